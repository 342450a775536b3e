"""The pages of a pattern: pieces, what looks wrong, their sheets; and a photograph traced, corrected and used."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from pattern.drawn import page

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.web.forms.form import starting_tree

pytestmark = pytest.mark.django_db

DRAWING = page(
    '<polygon data-piece="front" data-cut="2" points="5,5 20,5 20,40 9,40"/>'
    '<polyline points="20,5 20,40"><title>seam side</title></polyline>'
)


def started(pattern: dict[str, Any] | None = None) -> Project:
    tree = starting_tree("Kelp smock")
    return store.new_project(tree | {"pattern": pattern or {"file": "smock.svg"}}, "started", {"smock.svg": DRAWING})


def url(name: str, project: Project) -> str:
    return reverse(name, args=[project.pk])


def test_pieces_are_drawn_with_what_looks_wrong_and_how_to_mend_it(client: Client) -> None:
    html = client.get(url("pieces", started())).content.decode()
    for words in ("<svg", "front", "Mirror missing.", "mark it “pair”", "No grain.", "Seam side", "35\xa0cm"):
        assert words in html


def test_a_pattern_that_cannot_be_read_says_why_and_prints_nothing(client: Client) -> None:
    project = started({"file": "gone.svg"})
    assert "“gone.svg” was not found" in client.get(url("pieces", project)).content.decode()
    assert client.get(reverse("sheet", args=[project.pk, "pieces"])).status_code == 302


@pytest.mark.parametrize("paper", ["A4", "A3", "letter", "copyshop"])
def test_pieces_are_printed_on_the_paper_asked_for(client: Client, paper: str) -> None:
    response = client.get(reverse("sheet", args=[started().pk, "pieces"]), {"paper": paper})
    assert response["Content-Type"] == "application/pdf"
    assert response.content.startswith(b"%PDF")


def photo() -> bytes:
    from pattern.photographed import BROWN, Shot, lay, lay_strip, photograph, table

    picture = table()
    lay(picture, [(30, 30), (60, 30), (60, 66), (30, 66)], BROWN)
    lay_strip(picture, 0, (22, 17), 0)
    lay_strip(picture, 2, (34, 78), 0)
    return photograph(picture, Shot(tilt_deg=20, noise=4))


def field(html: str, name: str) -> str:
    found = re.search(rf'name="{name}" value="([^"]*)"', html)
    assert found, name
    return found[1]


def test_a_photograph_is_traced_shown_corrected_and_used(client: Client) -> None:
    project = started()
    upload = SimpleUploadedFile("yoke.jpg", photo(), content_type="image/jpeg")
    html = client.post(url("trace", project), {"photo": upload, "sheet": "markers", "name": "yoke"}).content.decode()
    assert "<image" in html
    assert re.search(r"(29\.9|30|30\.1)\xa0cm \(.{0,12}\) wide", html)
    corners = re.search(r"<textarea[^>]*>([^<]*)</textarea>", html)[1]  # type: ignore[index]
    assert len(corners.splitlines()) == 4
    kept = {"corners": corners.replace("2.0", "3.0", 1), "flat": field(html, "flat"), "flat_cm": field(html, "flat_cm")}
    shown = client.post(url("trace", project), {**kept, "do": "show", "name": "yoke"}).content.decode()
    assert "<image" in shown
    assert "3.0" in shown
    assert "The project’s drawing is smock.svg" in shown
    used = client.post(url("trace", project), {**kept, "corners": corners, "do": "use", "name": "yoke"})
    assert used.status_code == 302
    project = store.project(project.pk)
    head = store.head(project)
    assert head.tree["pattern"]["file"] == "yoke.svg"
    assert "front" not in client.get(url("pieces", project)).content.decode().split("Each piece")[1]
    store.undo(project)
    assert store.head(project).tree["pattern"]["file"] == "smock.svg"


@pytest.mark.parametrize(
    ("posted", "why"),
    [
        ({"photo": SimpleUploadedFile("a.gif", b"GIF89a"), "sheet": "markers"}, "no photograph in JPEG or PNG"),
        ({"photo": SimpleUploadedFile("a.png", b"GIF89a"), "sheet": "beach"}, "accepted are markers, A4, A3, letter"),
        ({"corners": "1, 2\nthree\n4, 5", "do": "show"}, "Line 2, “three”, is no corner"),
        ({"corners": "1, 2\n4, 5", "do": "use"}, "2 corners came; an outline has 3"),
        ({"corners": "0, 0\n9, 9\n9, 0\n0, 9", "do": "use"}, "crosses itself"),
    ],
)
def test_what_cannot_be_used_is_said_and_what_was_typed_is_kept(client: Client, posted: dict, why: str) -> None:
    project = started()
    response = client.post(url("trace", project), posted)
    html = response.content.decode()
    assert response.status_code == 422
    assert why in html
    assert posted.get("corners", "") in html
    assert store.head(project).number == 1


def test_a_picture_that_is_no_photograph_of_ours_is_not_shown(client: Client) -> None:
    posted = {"corners": "0, 0\n9, 0\n9, 9", "do": "show", "flat": "javascript:alert(1)", "flat_cm": "12, 12"}
    html = client.post(url("trace", started()), posted).content.decode()
    assert "javascript" not in html
    assert "<image" not in html


def test_the_garment_section_leads_to_both_pages(client: Client) -> None:
    project = started()
    html = client.get(url("project", project)).content.decode()
    assert url("pieces", project) in html
    assert url("trace", project) in html


PAGES_OF_THE_PATTERN = ("measures", "draw", "trace", "pieces", "fit", "narrow")


@pytest.mark.parametrize("name", PAGES_OF_THE_PATTERN)
def test_each_page_of_the_pattern_leads_to_every_other_and_back_to_the_project(client: Client, name: str) -> None:
    """The page itself is the one that is marked as current."""
    project = started()
    html = client.get(url(name, project)).content.decode()
    _, _, nav = html.partition('aria-label="Pages of the pattern"')
    nav, _, _ = nav.partition("</nav>")
    assert [re.search(f'href="{url(one, project)}"', nav) is not None for one in PAGES_OF_THE_PATTERN] == [True] * 6
    assert re.findall(r'href="([^"]+)" aria-current="page"', nav) == [url(name, project)]
    assert f'href="{url("project", project)}#garment"' in nav


def test_two_edges_of_one_seam_and_length_are_told_once(client: Client) -> None:
    """A skirt made from measures: its panel is sewn to the next on both sides."""
    body = {"waist_girth": "74 cm", "hip_girth": "98 cm", "waist_to_hips": "20 cm"}
    html = client.get(url("pieces", started({"from_measures": {"garment": "skirt", "body": body}}))).content.decode()
    panel, _, _ = html.partition("waistband</h3>")
    assert panel.count("<dt>Seam panels</dt>") == 1
    assert ", 2 times" in panel


def test_lines_before_the_changes_are_offered_only_where_something_changed(client: Client) -> None:
    brought = {"piece": [{"name": "back", "width": "40 cm", "length": "60 cm"}]}
    changed = brought | {"change": [{"do": "lengthen", "by": "2 cm", "piece": ["back"], "at": "20 cm"}]}
    offered = ["before=1" in client.get(url("pieces", started(one))).content.decode() for one in (brought, changed)]
    assert offered == [False, True]
