"""The page “What can be chosen”: the front first, then each kind, and how many plans were made."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from django.test import Client
from django.urls import reverse

from clothwright.library import store
from clothwright.web.forms.form import for_the_page

pytestmark = pytest.mark.django_db
EXAMPLES = Path(__file__).parents[3] / "examples"


def said(client: Client, name: str) -> str:
    tree = tomllib.loads((EXAMPLES / f"{name}.toml").read_text(encoding="utf-8"))
    project = store.new_project(for_the_page(tree), "opened")
    answer = client.get(reverse("choices", args=[project.pk]))
    assert answer.status_code == 200
    return answer.content.decode()


def test_choices_are_told_by_what_is_given_up(client: Client) -> None:
    page = said(client, "rows-of-rectangles")
    for words in ("Yarn against what is given up", "Nothing given up", "Two warps instead of one", "plans made"):
        assert words in page
    assert " style=" not in page


def test_a_project_without_pieces_says_why_there_are_no_choices(client: Client) -> None:
    assert "no pattern is given" in said(client, "slate-tide-cloth")
