"""The page “Lay by hand”: what is moved is judged at once, kept as a change of the project, and undone."""

from __future__ import annotations

import html
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from clothwright.library import store
from clothwright.library.models import LayoutRun, Project
from clothwright.web import planned, searching
from clothwright.web.forms.form import for_the_page

pytestmark = pytest.mark.django_db
ROWS = Path(__file__).parents[3] / "examples" / "rows-of-rectangles.toml"


@pytest.fixture
def project() -> Project:
    return store.new_project(for_the_page(tomllib.loads(ROWS.read_text(encoding="utf-8"))), "opened")


def url(project: Project) -> str:
    return reverse("lay_by_hand", args=[project.pk])


def typed(said: str) -> dict[str, str]:
    """What the page's form holds: its texts and hidden fields, and the boxes that are ticked."""
    found = {}
    for tag in re.findall(r"<input[^>]*>", said):
        name, value = (re.search(rf' {word}="([^"]*)"', tag) for word in ("name", "value"))
        if name and name[1] != "csrfmiddlewaretoken" and ('type="checkbox"' not in tag or " checked" in tag):
            found[name[1]] = html.unescape(value[1]) if value else ""
    return found


def said(client: Client, project: Project) -> str:
    return client.get(url(project)).content.decode()


def post(client: Client, project: Project, do: str, **changes: str) -> Any:
    form = typed(said(client, project)) | {name.replace("__", "."): text for name, text in changes.items()}
    return client.post(url(project), form | {"do": do})


def test_the_plans_layout_is_shown_with_every_copy_and_nothing_wrong(client: Client, project: Project) -> None:
    text = said(client, project)
    assert text.count("data-copy=") == 8
    assert "Nothing is wrong with it" in text
    assert "as much yarn as the plan" in text
    assert (
        reverse("lay_by_hand", args=[project.pk]) in client.get(reverse("project", args=[project.pk])).content.decode()
    )


def test_a_piece_moved_over_another_is_said_and_nothing_is_kept(client: Client, project: Project) -> None:
    before = store.head(project).number
    place = typed(said(client, project))
    text = post(client, project, "look", along__1=place["along.0"], across__1=place["across.0"]).content.decode()
    assert "overlap" in text
    assert store.head(project).number == before


def test_a_place_that_cannot_be_read_is_said_and_stays_in_its_field(client: Client, project: Project) -> None:
    text = html.unescape(post(client, project, "look", along__1="soon").content.decode())
    assert "soon" in typed(text)["along.1"]
    assert "“soon”" in text


def test_a_layout_kept_is_the_plans_and_is_undone(client: Client, project: Project) -> None:
    place = typed(said(client, project))
    far = max(float(text.split()[0]) for name, text in place.items() if name.startswith("along.")) + 300
    assert post(client, project, "keep", along__0=f"{far} cm").status_code == 302
    project.refresh_from_db()
    answer = planned.answer(store.head(project))
    assert answer.plan is not None
    assert answer.plan.layout is not None
    assert max(one.x_cm for one in answer.plan.layout.placed) == pytest.approx(far)
    assert post(client, project, "undo").status_code == 302
    project.refresh_from_db()
    assert "layout" not in store.head(project).tree


def test_a_layout_kept_with_a_fault_is_not_used_and_the_plan_says_why(client: Client, project: Project) -> None:
    place = typed(said(client, project))
    post(client, project, "keep", along__1=place["along.0"], across__1=place["across.0"])
    project.refresh_from_db()
    answer = planned.answer(store.head(project))
    assert answer.plan is not None
    assert any(note.startswith("The kept layout is no longer used: ") for note in answer.plan.notes)


def test_two_pieces_change_places(client: Client, project: Project) -> None:
    before = typed(said(client, project))
    after = typed(post(client, project, "swap", swap__one="0", swap__other="3").content.decode())
    for name in ("along", "across"):
        assert (after[f"{name}.0"], after[f"{name}.3"]) == (before[f"{name}.3"], before[f"{name}.0"])


def test_the_search_goes_on_from_what_is_locked(client: Client, project: Project, monkeypatch: Any) -> None:
    monkeypatch.setattr(searching, "start", lambda found: LayoutRun(project=found))
    place = typed(said(client, project))
    answer = post(client, project, "search", locked__2="yes", along__2="7 cm", across__2="3 cm")
    assert answer.status_code == 302
    project.refresh_from_db()
    (kept,) = store.head(project).tree["layout"]["place"]
    assert kept["locked"] is True
    assert (kept["along"], kept["across"]) == ("7 cm", "3 cm")
    made = planned.answer(store.head(project)).plan
    assert made is not None
    assert made.layout is not None
    (one,) = [one for one in made.layout.placed if (one.piece, one.copy) == (kept["piece"], kept["number"])]
    assert (one.x_cm, one.y_cm) == pytest.approx((7, 3))
    assert place


def test_nothing_is_kept_over_a_change_made_meanwhile(client: Client, project: Project) -> None:
    form = typed(said(client, project))
    store.change(project, store.head(project).tree | {"name": "Other"}, "renamed")
    answer = client.post(url(project), form | {"do": "keep"})
    assert answer.status_code == 409
    assert "changed meanwhile" in answer.content.decode()


def test_a_project_without_pieces_says_so(client: Client) -> None:
    empty = store.new_project({"clothwright": 1, "name": "Spring tide"}, "begun")
    assert "There is no layout yet" in said(client, empty)


def test_the_cutting_sheet_is_had_from_the_page_and_only_where_there_is_something_to_cut(
    client: Client, project: Project
) -> None:
    where = reverse("sheet", args=[project.pk, "cutting"])
    assert where in client.get(reverse("project", args=[project.pk])).content.decode()
    for address in (where, f"{where}?large"):
        answer = client.get(address)
        assert answer["Content-Type"] == "application/pdf"
        assert answer.content.startswith(b"%PDF")
    empty = store.new_project({"clothwright": 1, "name": "Spring tide"}, "begun")
    assert client.get(reverse("sheet", args=[empty.pk, "cutting"])).status_code == 302


def test_every_layout_kept_is_shown_with_its_picture_and_laid_again(client: Client, project: Project) -> None:
    assert "Layouts kept" not in said(client, project)
    post(client, project, "keep", along__0="300")
    post(client, project, "keep", along__0="400")
    text = said(client, project)
    section = text[text.index("Layouts kept") :]
    assert section.count("cw-remnant") == 2
    assert section.count("in use") == 1
    assert section.count("Lay it so again") == 1
    assert " style=" not in section
    (number,) = re.findall(r'name="kept" value="(\d+)"', section)
    earlier = store.revision(project, int(number)).tree["layout"]["place"]
    client.post(url(project), {"do": "again", "kept": number})
    head = store.head(store.project(project.pk))
    assert head.tree["layout"]["place"] == earlier
    assert head.what == f"laid the pieces as layout {number}"


@pytest.mark.parametrize("kept", ["", "99", "1", "x"])
def test_a_layout_that_was_never_kept_changes_nothing(client: Client, project: Project, kept: str) -> None:
    assert client.post(url(project), {"do": "again", "kept": kept}).status_code == 302
    assert store.head(store.project(project.pk)).number == store.head(project).number
