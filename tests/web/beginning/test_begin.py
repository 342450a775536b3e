"""From an empty library to a verdict by a few answers, with nothing lost on the way and every default shown as one."""

from __future__ import annotations

import uuid
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.project.beginning import few_answers as begun

pytestmark = pytest.mark.django_db


def begin(client: Client, words: str, key: str = "") -> Project:
    """Answer the first question."""
    key = key or str(uuid.uuid4())
    answer = client.post(reverse("begin_start"), {"new_key": key, "begun_yarn": words})
    assert answer.status_code == 302
    return store.project(key)


def answered(client: Client, project: Project, **said: str) -> str:
    """Answer more questions; the page that comes of it."""
    url = reverse("begin", args=[project.pk])
    posted = {name.replace("__", "."): value for name, value in said.items()}
    assert client.post(url, posted).status_code == 303
    return client.get(url).content.decode()


def tree_of(project: Project) -> dict[str, Any]:
    return store.head(store.project(project.pk)).tree


def test_an_empty_library_asks_one_question(client: Client) -> None:
    """The first page asks for yarn, and for a name only beside it."""
    page = client.get("/").content.decode()
    assert "What yarn do you have?" in page
    assert page.index("What yarn do you have?") < page.index("Start a project")
    begin(client, "8/2 cotton, 250 g")
    assert reverse("begin_start") in client.get("/").content.decode()


def test_three_answers_lead_to_the_planner_s_verdict(client: Client) -> None:
    """Yarn, loom and size are enough; the page and the project's own page say the same."""
    project = begin(client, "3 balls of 50 g, 160 m each, wool")
    page = answered(
        client, project, begun_making="cloth", loom__weaving_width="60", want__width="45 cm", want__length="70 in"
    )
    assert 'id="verdict"' in page
    assert "Taken, because nobody said" in page
    assert "plain weave" in page
    assert "The one measurement that would sharpen it most" in page
    assert tree_of(project)["want"] == {"width": "45 cm", "length": "70 in"}
    assert tree_of(project)["loom"]["weaving_width"] == "60 cm"
    own = client.get(reverse("project", args=[project.pk])).content.decode()
    assert "The working behind every number" in own
    verdict = page.split('class="verdict')[1].split("</dl>")[0]
    assert verdict in own.replace("\n\n", "\n") or verdict.split("<strong>")[1].split("<")[0] in own


def test_every_default_leads_to_its_own_field(client: Client) -> None:
    """A link beside each default goes to an entry that the project's page really has."""
    project = begin(client, "250 g of 400 m/100 g wool")
    page = answered(client, project, begun_making="cloth", want__width="45 cm", want__length="100 cm")
    own = client.get(reverse("project", args=[project.pk])).content.decode()
    anchors = [part.split('"')[0] for part in page.split('class="defaults"')[1].split("</ul>")[0].split("#")[1:]]
    assert len(anchors) > 10
    assert [one for one in anchors if f'id="{one}"' not in own] == []


def test_a_heddle_is_taken_until_one_is_said(client: Client) -> None:
    """The default follows the yarn; what she says stays; emptied, a default is taken again."""
    project = begin(client, "250 g of 400 m/100 g wool")
    first = tree_of(project)["loom"]["heddles"] if "loom" in tree_of(project) else None
    page = answered(client, project, begun_yarn="250 g of 100 m/100 g wool")
    thicker = tree_of(project)["loom"]["heddles"]
    assert thicker != first
    assert f"{thicker[0]} is taken" in page
    answered(client, project, loom__heddles="7.5/in; 30/10 cm")
    assert tree_of(project)["loom"]["heddles"] == ["7.5/in", "30/10 cm"]
    answered(client, project, begun_yarn="250 g of 400 m/100 g wool")
    assert tree_of(project)["loom"]["heddles"] == ["7.5/in", "30/10 cm"]
    answered(client, project, loom__heddles="")
    assert begun.HEDDLES in begun.still_taken(tree_of(project))


def test_an_unclear_line_is_a_question_with_its_choices_as_buttons(client: Client) -> None:
    """Nothing is guessed meanwhile; the pressed choice takes the place of that line alone."""
    project = begin(client, "3 balls of 50 g, 160 m\n8/2 cotton, 250 g")
    page = client.get(reverse("begin", args=[project.pk])).content.decode()
    assert 'value="answer 3 balls of 50 g, 160 m each"' in page
    assert "What would you make?" not in page
    page = answered(
        client, project, begun_yarn="3 balls of 50 g, 160 m\n8/2 cotton, 250 g", do="answer 3 balls of 50 g, 160 m each"
    )
    assert begun.yarn_words(tree_of(project)) == "3 balls of 50 g, 160 m each\n8/2 cotton, 250 g"
    assert "What would you make?" in page


def test_the_same_page_sent_twice_makes_one_project(client: Client) -> None:
    """Going back and answering again changes the project that was begun, and undo has both answers."""
    key = str(uuid.uuid4())
    begin(client, "8/2 cotton, 250 g", key)
    project = begin(client, "8/2 cotton, 350 g", key)
    assert Project.objects.count() == 1
    assert begun.yarn_words(tree_of(project)) == "8/2 cotton, 350 g"
    store.undo(project)
    assert begun.yarn_words(tree_of(project)) == "8/2 cotton, 250 g"


def test_going_back_to_the_first_question_leads_to_what_was_begun(client: Client) -> None:
    """It says that it is kept and leads there; one put away, or begun otherwise, is not offered."""
    assert "Begun already" not in client.get(reverse("begin_start")).content.decode()
    store.new_project({"name": "limpet stole"}, "started")
    project = begin(client, "8/2 cotton, 250 g")
    page = client.get(reverse("begin_start")).content.decode()
    assert f'Begun already, and kept: <a href="{reverse("begin", args=[project.pk])}">' in page
    assert "limpet stole" not in page
    store.put_away(project)
    assert "Begun already" not in client.get(reverse("begin_start")).content.decode()


def test_what_is_wrong_stays_as_typed_and_is_told_at_its_place(client: Client) -> None:
    """A size with no unit that can be, and a wide cloth on a narrow loom, are told; nothing is lost."""
    project = begin(client, "250 g of 400 m/100 g wool")
    page = answered(client, project, begun_making="cloth", want__width="wide", want__length="100")
    assert "Still to be settled" in page
    assert 'href="#f-want-width-problem"' in page
    assert tree_of(project)["want"] == {"width": "wide", "length": "100 cm"}
    assert client.post(reverse("begin_start"), {"begun_yarn": " "}).status_code == 422


def test_a_garment_asks_for_the_measures_it_needs_and_no_other(client: Client) -> None:
    """They are the fields of the page of measures, and lead to a verdict."""
    project = begin(client, "900 g of 300 m/100 g wool")
    page = answered(client, project, begun_making="skirt")
    assert 'name="pattern.from_measures.body.waist_girth"' in page
    assert 'name="pattern.from_measures.body.bust_girth"' not in page
    assert "Still to be settled" not in page
    measures = {"waist_girth": "74 cm", "hip_girth": "38 1/2 in", "waist_to_hips": "20 cm"}
    said = {f"pattern.from_measures.body.{name}": value for name, value in measures.items()}
    page = answered(client, project, asked="skirt", **said)
    assert 'id="verdict"' in page
    assert tree_of(project)["pattern"]["from_measures"]["body"] == measures


def test_a_pattern_file_leads_back_to_the_questions(client: Client) -> None:
    """A drawing taken here comes back here."""
    from django.core.files.uploadedfile import SimpleUploadedFile

    project = begin(client, "900 g of 300 m/100 g wool")
    assert "The pattern file" in answered(client, project, begun_making="drawing")
    square = b'<svg xmlns="http://www.w3.org/2000/svg" width="40cm" height="60cm" viewBox="0 0 40 60"><path id="panel" d="M0 0H40V60H0Z"/></svg>'
    upload = {"drawing": SimpleUploadedFile("panel.svg", square), "back": "begin"}
    answer = client.post(reverse("drawing", args=[project.pk]), upload)
    assert answer["Location"] == reverse("begin", args=[project.pk]) + "#verdict"
    assert 'id="verdict"' in client.get(answer["Location"]).content.decode()
