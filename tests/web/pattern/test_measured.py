"""The page that makes a garment from measures: what it asks, what it shows, what it keeps."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.web.forms.form import starting_tree

pytestmark = pytest.mark.django_db

SKIRT = {
    "asked": "skirt",
    "pattern.from_measures.garment": "skirt",
    "pattern.from_measures.body.waist_girth": "74",
    "pattern.from_measures.body.hip_girth": "38 1/2 in",
    "pattern.from_measures.body.waist_to_hips": "20",
}


def started(units: str = "metric") -> Project:
    return store.new_project(starting_tree("Thrift skirt", units), "started")


def head(project: Project) -> Revision:
    return store.head(store.project(project.pk))


def url(name: str, project: Project) -> str:
    return reverse(name, args=[project.pk])


def test_before_a_garment_is_chosen_the_page_says_what_can_be_made_and_what_each_needs(client: Client) -> None:
    html = client.get(url("measures", started())).content.decode()
    for words in ("Tunic of rectangles", "Wrap jacket", "Waistcoat", "Shaped top", "Skirt", "Bag", "waist to hips"):
        assert words in html


def test_choosing_a_garment_asks_for_its_measures_and_says_which_are_missing(client: Client) -> None:
    posted = {"asked": "", "pattern.from_measures.garment": "skirt"}
    html = client.post(url("measures", started()), posted).content.decode()
    assert 'name="pattern.from_measures.body.waist_girth"' in html
    assert "the skirt still needs: waist girth" in html


def test_measures_typed_show_pieces_and_finished_measures_and_keep_nothing(client: Client) -> None:
    project = started()
    html = client.post(url("measures", project), SKIRT).content.decode()
    for words in ("panel", "waistband", "<svg", "97.8\xa0cm", "76\xa0cm", "Not said, and so taken"):
        assert words in html
    assert head(project).number == 1


def test_a_change_comes_back_as_a_fragment_and_another_garment_as_the_whole_form(client: Client) -> None:
    project = started()
    asked = {"HX-Request": "true"}
    fragment = client.post(url("measures", project), SKIRT, headers=asked)
    assert "<html" not in fragment.content.decode()
    assert 'id="plan"' in fragment.content.decode()
    other = client.post(url("measures", project), SKIRT | {"pattern.from_measures.garment": "top"}, headers=asked)
    assert other["HX-Retarget"] == "#page"
    assert 'value="38 1/2 in"' in other.content.decode()


def test_choices_that_the_other_garment_has_not_are_named_when_they_are_left_out(client: Client) -> None:
    posted = SKIRT | {"pattern.from_measures.garment": "bag", "pattern.from_measures.options.flare": "12"}
    assert (
        "Left out, since the bag has no such choice: flare: 12 cm."
        in client.post(url("measures", started()), posted).content.decode()
    )


def test_what_is_used_goes_into_the_project_in_one_step_that_can_be_undone(client: Client) -> None:
    project = started()
    response = client.post(url("measures", project), SKIRT | {"do": "use"})
    assert response.status_code == 302
    assert response["Location"] == url("pieces", project)
    draft = head(project).tree["pattern"]["from_measures"]
    assert draft["body"] == {"waist_girth": "74 cm", "hip_girth": "38 1/2 in", "waist_to_hips": "20 cm"}
    pieces = client.get(url("pieces", project)).content.decode()
    assert "waistband" in pieces
    assert "Nothing looks wrong" in pieces
    assert "made from measures, skirt" in client.get(url("history", project)).content.decode()
    store.undo(store.project(project.pk))
    assert "from_measures" not in head(project).tree["pattern"]


def test_a_garment_that_cannot_be_drafted_is_not_used_and_stays_typed(client: Client) -> None:
    project = started()
    posted = SKIRT | {"pattern.from_measures.body.waist_girth": "9", "do": "use"}
    html = client.post(url("measures", project), posted).content.decode()
    assert "is 9 cm; between 35 and 180 cm is accepted" in html
    assert 'value="9 cm"' in html
    assert head(project).number == 1


def test_a_file_that_writes_measures_by_other_names_is_shown_under_ours(client: Client) -> None:
    project = started()
    tree = starting_tree("Thrift skirt") | {
        "pattern": {"from_measures": {"garment": "bag", "body": {"chest girth": "96 cm", "neck-base girth": "38 cm"}}}
    }
    store.change(store.project(project.pk), tree, "opened")
    html = client.get(url("measures", project)).content.decode()
    assert "36\xa0cm" in html
    html = client.post(
        url("measures", project), {"asked": "bag", "pattern.from_measures.garment": "top"}
    ).content.decode()
    assert 'name="pattern.from_measures.body.bust_girth" value="96 cm"' in html


def test_bare_numbers_are_inches_in_an_imperial_project(client: Client) -> None:
    project = started("imperial")
    client.post(
        url("measures", project),
        SKIRT
        | {
            "pattern.from_measures.body.waist_girth": "29",
            "pattern.from_measures.body.waist_to_hips": "8",
            "do": "use",
        },
    )
    assert head(project).tree["pattern"]["from_measures"]["body"]["waist_girth"] == "29 in"


def test_sizes_of_a_published_table_stand_side_by_side(client: Client) -> None:
    posted = {
        "asked": "skirt",
        "pattern.from_measures.garment": "skirt",
        "pattern.from_measures.table": "ASTM D5585 straight",
        "pattern.from_measures.sizes": "8; 12",
        "pattern.from_measures.body.hip_girth": "100",
        "pattern.from_measures.body.waist_to_hips": "20",
    }
    html = client.post(url("measures", started()), posted).content.decode()
    assert html.count("Finished measures, ") == 2
    html = client.post(url("measures", started()), posted | {"pattern.from_measures.sizes": "8; 13"}).content.decode()
    assert "“13” is no size of ASTM D5585-11e1" in html


def test_the_garment_section_and_the_pieces_lead_to_measures(client: Client) -> None:
    project = started()
    assert url("measures", project) in client.get(url("pieces", project)).content.decode()
    html = client.get(url("project", project)).content.decode()
    assert url("measures", project) in html
    assert 'name="pattern.from_measures.garment"' in html
