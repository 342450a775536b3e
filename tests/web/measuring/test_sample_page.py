"""The page “a sample first”, and what makes a plan unsure on the plan page."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.web.forms.form import for_the_page

pytestmark = pytest.mark.django_db
EXAMPLE = Path(__file__).parents[3] / "examples" / "slate-tide-cloth.toml"


def kept(**changes: Any) -> Project:
    tree = tomllib.loads(EXAMPLE.read_text(encoding="utf-8"))
    for part, values in changes.items():
        tree[part] = {**tree[part], **values} if isinstance(values, dict) else values
    return store.new_project(for_the_page(tree), "opened")


def test_the_page_shows_the_sample_its_drawing_and_its_steps(client: Client) -> None:
    said = client.get(f"/project/{kept().pk}/sample-first/").content.decode()
    assert "On a small warp" in said
    assert "cw-small-warp" in said
    assert "Wind " in said
    assert "chances in 100 that the verdict is definite" in said


def test_a_card_is_asked_for_in_the_address(client: Client) -> None:
    said = client.get(f"/project/{kept().pk}/sample-first/?on=card").content.decode()
    assert "On a card" in said
    assert "Cut a stiff card" in said


def test_heddles_ticked_are_those_sampled(client: Client) -> None:
    project = kept(loom={"heddles": ["30/10 cm", "40/10 cm"]})
    said = client.get(f"/project/{project.pk}/sample-first/?heddle=40/10+cm&heddle=30/10+cm").content.decode()
    assert said.count("checked") == 3
    assert "thread the same ends in the 40/10 cm heddle" in said


def test_what_is_missing_is_told_with_a_link_to_its_place(client: Client) -> None:
    project = kept(want={"width": "44 cm", "length": ""})
    answer = client.get(f"/project/{project.pk}/sample-first/")
    assert answer.status_code == 200
    assert "how long is the finished cloth to be" in answer.content.decode()
    assert f'href="/project/{project.pk}/#f-want-length-problem"' in answer.content.decode()


def test_a_heddle_nobody_owns_in_the_address_is_a_sentence(client: Client) -> None:
    said = client.get(f"/project/{kept().pk}/sample-first/?heddle=<b>9</b>").content.decode()
    assert "is not among the heddles owned" in said
    assert "<b>9</b>" not in said


def test_there_is_no_page_for_a_project_that_is_not_there(client: Client) -> None:
    assert client.get(f"/project/{uuid4()}/sample-first/").status_code == 404


def test_the_plan_page_shows_what_makes_it_unsure_and_leads_to_the_sample(client: Client) -> None:
    project = kept()
    said = client.get(f"/project/{project.pk}/").content.decode()
    assert "What makes it unsure" in said
    assert "cw-doubt" in said
    assert f'href="/project/{project.pk}/sample-first/"' in said
    by_hand = client.get(f"/project/{project.pk}/?by_hand=1").content.decode()
    assert "What makes it unsure" not in by_hand


def test_nothing_on_the_page_carries_style_or_script(client: Client) -> None:
    said = client.get(f"/project/{kept().pk}/sample-first/").content.decode()
    assert " style=" not in said
    assert "<script>" not in said
