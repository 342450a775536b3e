"""The page of a pattern's fit: what is typed is kept, changes are added, set aside and brought back, and undone."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from pattern.drawn import page
from pattern.fitted import drawn_bodice

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.web.forms.form import for_the_page, starting_tree
from clothwright.web.pattern.fit import pattern_key

pytestmark = pytest.mark.django_db

OUT: dict[str, Any] = {"do": "let out", "seam": "side", "by": "1 cm", "why": "tight over the hips"}


def started(*changes: dict[str, Any], **pattern: Any) -> Project:
    base = {"file": "bodice.svg", "seam_allowance": "15 mm", "change": list(changes)}
    tree = starting_tree("Kelp bodice") | {"pattern": base | pattern}
    return store.new_project(for_the_page(tree), "started", {"bodice.svg": page(drawn_bodice())})


def url(name: str, project: Project) -> str:
    return reverse(name, args=[project.pk])


def html(client: Client, project: Project, **query: str) -> str:
    return client.get(url("fit", project), query).content.decode()


def pattern(project: Project) -> dict[str, Any]:
    found: dict[str, Any] = store.head(store.project(project.pk)).tree["pattern"]
    return found


def mark(client: Client, project: Project, do: str, reason: str = "", *, said: str | None = None) -> Any:
    shown = said or re.findall(r'name="said" value="([^"]*)"', html(client, project))[0]
    return client.post(url("mark_change", project), {"row": "0", "said": shown, "do": do, "reason": reason})


def test_the_page_shows_each_change_its_seams_and_every_piece_before_and_after(client: Client) -> None:
    shown = html(client, started(OUT))
    for words in ("“side” let out by 1 cm.", "tight over the hips", "side on back: 40", "Dashed: before,", "Solid: after,", "Seams walked", "Provisional: no mock-up", "pattern before this change"):  # fmt: skip
        assert words in shown, words
    assert shown.count("cw-before") >= 2


def test_what_is_typed_of_the_mock_up_is_kept_and_ends_the_provisional_plan(client: Client) -> None:
    project = started()
    client.post(
        url("fit", project), {"pattern.mock_up.sewn": "2026-10-01", "pattern.mock_up.fits": "yes", "do": "save"}
    )
    assert pattern(project)["mock_up"] == {"sewn": "2026-10-01", "fits": True}
    assert "the plan is not provisional" in html(client, project)


def test_a_change_is_added_typed_and_answered_in_a_fragment(client: Client) -> None:
    project = started()
    client.post(url("fit", project), {"do": "add pattern.change"})
    typed = {f"pattern.change.0.{name}": value for name, value in (("do", "take in"), ("seam", "side"), ("by", "1"))}
    answer = client.post(url("fit", project), typed | {"press": "save"}, headers={"HX-Request": "true"})
    assert pattern(project)["change"] == [{"do": "take in", "seam": "side", "by": "1 cm"}]
    assert "“side” taken in by 1 cm." in answer.content.decode()
    assert "<html" not in answer.content.decode()


def test_a_wrong_name_is_said_and_nothing_typed_is_lost(client: Client) -> None:
    project = started(OUT | {"seam": "sied"}, OUT)
    shown = html(client, project)
    assert "“sied”: no piece has a seam of that name; there are neck" in shown
    assert 'value="sied"' in shown
    assert "side on back: 40" in shown


def test_a_change_is_set_aside_with_a_reason_brought_back_and_undone(client: Client) -> None:
    project = started(OUT)
    assert "Say why it is set aside" in mark(client, project, "aside").content.decode()
    assert "set_aside" not in pattern(project)["change"][0]
    assert mark(client, project, "aside", "the sheet was stiff").status_code == 302
    assert pattern(project)["change"][0]["set_aside"] == "the sheet was stiff"
    assert "Set aside: the sheet was stiff" in html(client, project)
    assert "As it was brought in." in html(client, project)
    mark(client, project, "bring back")
    assert "set_aside" not in pattern(project)["change"][0]
    client.post(url("fit", project), {"do": "undo"})
    assert pattern(project)["change"][0]["set_aside"] == "the sheet was stiff"


def test_a_change_that_was_altered_meanwhile_is_not_set_aside_unseen(client: Client) -> None:
    project = started(OUT)
    assert mark(client, project, "aside", "why", said="0" * 64).status_code == 409
    assert "set_aside" not in pattern(project)["change"][0]
    for row in ("9", "-1", "x", "99999999"):
        assert client.post(url("mark_change", project), {"row": row, "said": "", "do": "aside"}).status_code == 409


def test_the_pattern_can_be_looked_at_as_it_was_before_a_change(client: Client) -> None:
    project = started(OUT)
    shown = html(client, project, before="1")
    assert "Shown as it was before change 1." in shown
    assert "As it was brought in." in shown
    assert "no change 7: there are 1" in html(client, project, before="7")
    assert "Shown as it was" not in html(client, project, before="neap")


def test_all_sizes_of_a_piece_are_laid_over_each_other_and_named(client: Client) -> None:
    rects = "".join(
        f'<rect x="{x}" y="5" width="{w}" height="30" data-piece="panel" data-size="{s}" data-grain="y"/>'
        for s, x, w in (("S", 5, 10), ("L", 30, 14))
    )
    tree = starting_tree("Sizes") | {"pattern": {"file": "p.svg", "size": "S"}}
    project = store.new_project(tree, "started", {"p.svg": page(f"<g>{rects}</g>")})
    shown = html(client, project)
    assert "panel in 2 sizes" in shown
    assert "size S: 10\xa0cm" in shown
    assert "size L: 14\xa0cm" in shown


def test_a_project_finished_today_keeps_the_state_of_its_pattern(client: Client) -> None:
    project = started(OUT)
    client.post(url("project", project), {"do": "finish"})
    head = store.head(store.project(project.pk))
    key = pattern_key(head.tree, store.drawings_of(head))
    assert head.tree["record"]["pattern_state"] == key
    assert key is not None
    assert len(key) == 8


def test_pieces_and_garment_lead_to_the_page_and_the_sheet_shows_what_was(client: Client) -> None:
    project = started(OUT)
    for name in ("project", "pieces"):
        assert url("fit", project) in client.get(url(name, project)).content.decode()
    response = client.get(reverse("sheet", args=[project.pk, "pieces"]), {"paper": "A4", "before": "1"})
    assert response.content.startswith(b"%PDF")
