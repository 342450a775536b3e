"""The page “Cut from cloth in hand”: what fits is drawn, wrong lines are told with their number, and what was typed stays."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from django.test import Client
from django.urls import reverse

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.web.forms.form import for_the_page

pytestmark = pytest.mark.django_db
ROWS = Path(__file__).parents[3] / "examples" / "rows-of-rectangles.toml"


def kept() -> Project:
    return store.new_project(for_the_page(tomllib.loads(ROWS.read_text(encoding="utf-8"))), "opened")


def said(client: Client, cloths: str) -> str:
    answer = client.get(reverse("cut_from", args=[kept().pk]), {"cloths": cloths})
    assert answer.status_code == 200
    return answer.content.decode()


def test_all_that_fits_is_drawn_with_its_places(client: Client) -> None:
    page = said(client, "48 cm x 190 cm")
    for words in ("All pieces can be cut", "cw-remnant", "Where each piece lies", "back 1"):
        assert words in page
    assert " style=" not in page


def test_what_does_not_fit_is_told_with_ways_out(client: Client) -> None:
    page = said(client, "48 cm x 180 cm")
    assert "Left over: back × 2" in page
    assert "Ways out, best first" in page


def test_a_wrong_line_is_told_by_its_number_and_nothing_typed_is_lost(client: Client) -> None:
    page = said(client, "48 cm x 190 cm\n<b>wide</b>")
    assert "Line 2:" in page
    assert "&lt;b&gt;wide&lt;/b&gt;</textarea>" in page
    assert "<b>wide" not in page


def test_nothing_typed_asks_and_refuses_nothing(client: Client) -> None:
    page = said(client, "")
    assert "Cloths, one a line" in page
    assert "problems" not in page.split("<main")[1]


def test_cloths_kept_with_the_project_are_there_the_next_time_and_in_its_history(client: Client) -> None:
    project = kept()
    at = reverse("cut_from", args=[project.pk])
    asked = client.get(at, {"cloths": "grey: 48 cm x 190 cm; knot at 84 cm"}).content.decode()
    assert "Keep these with the project" in asked
    answer = client.post(at, {"cloths": "grey: 48 cm x 190 cm; knot at 84 cm"})
    assert answer.status_code == 302
    page = client.get(at).content.decode()
    assert "grey: 48 cm x 190 cm; knot at 84 cm</textarea>" in page
    assert "cw-remnant" in page
    assert "Kept with the project" in page
    changed = store.project(project.pk)
    assert store.head(changed).what == "kept 1 cloth in hand"
    store.undo(changed)
    assert "</textarea>" in (page := client.get(at).content.decode())
    assert "grey" not in page


def test_a_wrong_cloth_is_not_kept_and_stays_as_typed(client: Client) -> None:
    project = kept()
    page = client.post(reverse("cut_from", args=[project.pk]), {"cloths": "grey: wide"}).content.decode()
    assert "Line 1:" in page
    assert "grey: wide</textarea>" in page
    assert "cloth_in_hand" not in store.head(store.project(project.pk)).tree


def test_two_cloths_of_one_name_are_told(client: Client) -> None:
    assert "2 cloths are called blue" in said(client, "blue: 48 cm x 90 cm\nblue: 48 cm x 100 cm")
