"""A plan made apart, as in a shared studio: who saved a change is answered in a moment, the figures follow, each plan is made once."""

from __future__ import annotations

import re
from threading import Event, Thread

import pytest
from django.test import Client
from web.test_pages import CLOTH, FRAGMENT, change, page, url

from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.planning import plan
from clothwright.project import read_project
from clothwright.web import planned

pytestmark = pytest.mark.django_db


@pytest.fixture
def project() -> Project:
    return store.new_project(CLOTH, "started")


class Apart:
    """Plans made by threads that begin when they may; the states that were planned."""

    def __init__(self) -> None:
        self.may, self.made = Event(), list[int]()

    def make(self, revision: Revision, by_hand: bool) -> planned.Answer:
        assert self.may.wait(60)
        self.made.append(revision.number)
        return planned.Answer(plan(read_project(revision.tree), by_hand=by_hand), (), revision.number)


@pytest.fixture
def apart(monkeypatch: pytest.MonkeyPatch) -> Apart:
    made = Apart()
    monkeypatch.setattr(planned, "apart_now", lambda: True)
    monkeypatch.setattr(planned, "_made_apart", made.make)
    monkeypatch.setattr(planned, "_MOMENT_S", 0.01)
    return made


def test_a_change_is_answered_before_its_plan_is_there_and_the_page_fetches_that(
    client: Client, project: Project, apart: Apart
) -> None:
    apart.may.set()
    before = page(client, project)
    apart.may.clear()
    answered = change(client, project, before, loom__waste="75 cm")
    assert store.head(store.project(project.pk)).tree["loom"]["waste"] == "75 cm"
    assert "the new figures are being worked out. Those below are of before." in answered
    assert "Being worked out" in answered, "in the line that stays in sight"
    assert 'id="plan"' not in answered, "figures of before are not drawn again as if they were new"
    assert 'name="rev" value="2"' in answered
    fetches = re.search(r'hx-get="(/project/[^"]+/plan/)" hx-trigger="load"', answered)
    assert fetches is not None
    apart.may.set()
    figures = client.get(fetches[1], **FRAGMENT)
    assert figures["HX-Retarget"] == "#plan"
    assert "being worked out" not in (told := figures.content.decode())
    assert _to_spare(told) < _to_spare(before), "more loom waste leaves less yarn"
    assert apart.made == [1, 2]


def test_a_plan_that_comes_in_a_moment_is_in_the_answer(
    client: Client, project: Project, apart: Apart, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(planned, "_MOMENT_S", 60.0)
    apart.may.set()
    assert "being worked out" not in change(client, project, loom__waste="75 cm")


def test_who_opens_the_page_gets_all_of_it_whoever_asks(client: Client, project: Project, apart: Apart) -> None:
    apart.may.set()
    opened = client.get(url(project), **FRAGMENT)
    assert 'id="typed"' in opened.content.decode()
    assert "HX-Reswap" not in opened


def test_pages_that_ask_for_one_plan_at_once_wait_for_one_making(project: Project, apart: Apart) -> None:
    revision = store.head(project)
    asked = planned._asked(revision, by_hand=False)
    came = list[planned.Answer]()
    waiting = [Thread(target=lambda: came.append(asked.answer())) for _ in range(3)]
    for each in waiting:
        each.start()
    assert not asked.comes_within(0.01)
    apart.may.set()
    for each in waiting:
        each.join()
    assert apart.made == [1]
    assert came[0] is came[1] is came[2] is asked.kept


def test_the_plan_alone_is_a_part_of_the_page_and_without_the_script_the_page_itself(
    client: Client, project: Project
) -> None:
    assert client.get(url(project, "plan_pane"))["Location"] == url(project)


def _to_spare(html: str) -> int:
    """Metres of yarn that a page tells are to spare."""
    found = re.search(r"<dt>Yarn</dt><dd>(\d+)\s+m", html)
    assert found is not None
    return int(found[1])
