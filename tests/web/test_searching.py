from __future__ import annotations

import re
import time
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client

from clothwright.layout import Copy, Searchers, Step
from clothwright.library import store
from clothwright.library.models import KnownLayout, LayoutRun, Project
from clothwright.library.pieces import search_queue
from clothwright.library.pieces.layouts import layouts_known
from clothwright.web import planned, searching

pytestmark = pytest.mark.django_db

#: A search of no seconds gives it nothing to do.
IDLE = Searchers()

PIECES: dict[str, Any] = {
    "name": "Rows",
    "yarn": [{"name": "limpet", "grist": "310 m/100 g", "balls": [{"net": "900 g"}]}],
    "loom": {"weaving_width": "70 cm", "heddles": ["30/10 cm"], "waste": "55 cm"},
    "pattern": {
        "piece": [
            {"name": "back", "width": "24 cm", "length": "62 cm", "cut": 2},
            {"name": "side", "width": "12 cm", "length": "40 cm", "cut": 2},
        ]
    },
}


@pytest.fixture
def project() -> Project:
    planned.forget_plans()
    return store.new_project(PIECES, "started")


def run_of(project: Project, **more: Any) -> LayoutRun:
    return LayoutRun.objects.create(project=project, seconds=0, **more)


def test_a_search_keeps_what_it_finds_and_says_what_came_of_it(project: Project) -> None:
    run = run_of(project)
    outcome = searching.search_layouts(run, store.head(project), IDLE)
    assert outcome == "no better layout found"
    assert KnownLayout.objects.count() == 1
    run.refresh_from_db()
    assert run.share_done == 1


def test_a_better_layout_found_is_used_by_the_next_plan(project: Project, monkeypatch: pytest.MonkeyPatch) -> None:
    run = run_of(project)
    searching.search_layouts(run, store.head(project), IDLE)

    def lucky(**_: Any) -> Any:
        """A search that finds one layout, on narrower cloth than anybody thought the pieces would fit."""

        def search(copies: tuple[Copy, ...], widths_cm: tuple[float, ...], yarn_for: Any, _: Any) -> tuple[Step, ...]:
            known = layouts_known(copies)
            widest = max(known, key=lambda one: one.width_cm)
            narrow = replace(widest, width_cm=max(y + 24 for y in (one.y_cm for one in widest.placed)))
            return (Step(narrow.width_cm, narrow, yarn_for(narrow.width_cm, narrow.length_cm)),)

        return search

    monkeypatch.setattr(searching, "searched_layouts", lucky)
    searching.search_layouts(run, store.head(project), IDLE)
    LayoutRun.objects.update(ended=True)
    plan = planned.answer(store.head(project)).plan
    assert plan is not None
    widths = {step.width_cm for step in plan.staircase}
    assert {one["width_cm"] for one in KnownLayout.objects.get().layouts} <= widths


def test_a_search_asked_to_stop_stops_at_its_next_pulse_and_keeps_the_best(project: Project) -> None:
    """Asked while processes are at work on slices of many seconds; ended within a second, mostly a tenth of one."""
    odd = [{"name": f"part {n}", "width": f"{7 + n} cm", "length": f"{61 - 7 * n} cm", "cut": 2} for n in range(5)]
    store.change(project, {**PIECES, "pattern": {"piece": odd}}, "pieces that leave gaps")
    run = LayoutRun.objects.create(project=project, seconds=600)
    asked: list[float] = []

    def pulse() -> None:
        if not asked and len(searchers.process_ids) == 2 and time.monotonic() > began + 3:
            searching.ask_to_stop(project)
            asked.append(time.monotonic())
        searching.stop_if_asked(run)

    began = time.monotonic()
    with Searchers(pulse=pulse) as searchers:
        outcome = searching.search_layouts(run, store.head(project), searchers)
        assert time.monotonic() - asked[0] < 1
    assert re.fullmatch(r"no better layout found|a layout that saves \d+\.\d m of yarn", outcome)
    assert KnownLayout.objects.get().layouts


def test_a_project_without_pieces_has_nothing_to_search(project: Project) -> None:
    store.change(project, {**PIECES, "pattern": {}}, "no pieces")
    assert searching.search_layouts(run_of(project), store.head(project), IDLE).startswith("nothing to search for")


def test_one_search_runs_at_a_time(project: Project) -> None:
    already = run_of(project)
    assert searching.start(store.new_project(PIECES, "another")) == already


def test_a_search_cut_off_by_the_end_of_the_program_does_not_run_for_ever(project: Project) -> None:
    run_of(project)
    search_queue.end_those_cut_off()
    assert searching.running() is None
    latest = searching.latest(project)
    assert latest is not None
    assert "cut off" in latest.outcome


def test_the_page_shows_how_far_a_search_is_and_asks_again(client: Client, project: Project) -> None:
    LayoutRun.objects.create(project=project, seconds=1000, share_done=0.4)
    html = client.get(f"/project/{project.pk}/search/", headers={"hx-request": "true"}).content.decode()
    assert 'value="40"' in html
    assert 'hx-trigger="every 1s"' in html
    client.post(f"/project/{project.pk}/search/stop/")
    assert LayoutRun.objects.get().stop_asked


def test_a_search_is_as_far_as_it_says_or_as_the_clock_says(project: Project) -> None:
    run = run_of(project, share_done=0.4)
    assert run.percent == 40
    run.started_at -= timedelta(seconds=5)
    run.seconds = 10
    assert 50 <= run.percent < 60
    run.started_at -= timedelta(seconds=500)
    assert run.percent == 99
    run.ended = True
    assert run.percent == 100


def test_until_there_was_a_search_the_page_says_that_the_layout_is_a_first_guess(
    client: Client, project: Project
) -> None:
    short = {**PIECES, "yarn": [{"name": "limpet", "grist": "310 m/100 g", "balls": [{"net": "50 g"}]}]}
    store.change(project, short, "less yarn")
    said = "The pieces lie as a first guess"
    assert said in client.get(f"/project/{project.pk}/").content.decode()
    run_of(project, ended=True)
    planned.forget_plans()
    assert said not in client.get(f"/project/{project.pk}/").content.decode()


def test_when_a_search_has_ended_the_plan_is_shown_anew_and_what_is_typed_left_alone(
    client: Client, project: Project
) -> None:
    run_of(project, ended=True, outcome="no better layout found")
    response = client.get(f"/project/{project.pk}/search/", headers={"hx-request": "true"})
    assert response["HX-Retarget"] == "#plan"
    html = response.content.decode()
    assert "no better layout found" in html
    assert 'name="rev"' not in html
    assert "every 1s" not in html


def test_without_script_the_search_goes_back_to_the_page(client: Client, project: Project) -> None:
    run_of(project)
    assert client.get(f"/project/{project.pk}/search/").status_code == 302
