"""Answers kept while the program runs."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from clothwright.library import store
from clothwright.library.models import LayoutRun, Revision
from clothwright.web import planned
from clothwright.web.cloth import threading
from clothwright.web.colours import colour_answers
from clothwright.web.forms.form import for_the_page
from clothwright.web.latest import Latest
from clothwright.web.loom import off_loom
from clothwright.web.record import record_told
from clothwright.web.teaching import leaflets

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.mark.django_db
@pytest.mark.parametrize(
    "answered",
    [colour_answers.answered, leaflets.answered, threading.answered],
    ids=["colours", "leaflet", "threading"],
)
def test_what_is_reckoned_from_a_plan_is_made_anew_when_better_layouts_are_known(
    answered: Callable[[Revision], Any],
) -> None:
    """The same answer as long as nothing is found; after a longer search another, as the plan is."""
    tree = tomllib.loads((EXAMPLES / "rows-of-rectangles.toml").read_text(encoding="utf-8"))
    tree["leaflet"] = {"cloth_widths": ["48 cm"]}
    revision = store.head(store.new_project(for_the_page(tree), "opened"))
    first, plan = answered(revision), planned.answer(revision)
    assert answered(revision) is first
    assert planned.answer(revision) is plan
    planned.forget_plans()
    assert planned.answer(revision) is not plan
    assert answered(revision) is not first


@pytest.mark.django_db
@pytest.mark.parametrize(
    "answered",
    [
        planned.answer,
        colour_answers.answered,
        leaflets.answered,
        off_loom.answered,
        record_told.told,
        threading.answered,
    ],
    ids=["plan", "colours", "leaflet", "off the loom", "record", "threading"],
)
def test_a_search_that_ended_in_another_process_is_known_without_forgetting_anything(
    answered: Callable[[Revision], Any],
) -> None:
    """As in a studio, where a search has a process of its own: what this program keeps goes by the last search that ended."""
    tree = tomllib.loads((EXAMPLES / "rows-of-rectangles.toml").read_text(encoding="utf-8"))
    tree["leaflet"] = {"cloth_widths": ["48 cm"]}
    project = store.new_project(for_the_page(tree), "opened")
    revision = store.head(project)
    first = answered(revision)
    run = LayoutRun.objects.create(project=project, seconds=0)
    assert answered(revision) is first
    LayoutRun.objects.filter(pk=run.pk).update(ended=True)
    assert answered(revision) is not first


def test_the_value_longest_unused_goes_first() -> None:
    """Two are kept; the one looked at stays."""
    kept = Latest[str](2)
    kept.put(1, "ebb")
    kept.put(2, "flood")
    assert kept.get(1) == "ebb"
    kept.put(3, "slack")
    assert [kept.get(key) for key in (1, 2, 3)] == ["ebb", None, "slack"]
