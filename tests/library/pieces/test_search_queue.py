"""One of each member in turn, however many somebody asks for; what was asked for is forgotten by no stop."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from clothwright.library import store, whose
from clothwright.library.models import LayoutRun, Member, Project
from clothwright.library.pieces import search_queue
from clothwright.library.pieces.search_queue import Asked, in_turn

NOON = datetime(2026, 11, 26, 12, tzinfo=UTC)


def asked(*who: int) -> list[Asked]:
    return [Asked(number, one, NOON + timedelta(seconds=number)) for number, one in enumerate(who)]


def test_one_of_each_member_in_turn_and_not_first_come_all_served() -> None:
    """Wren asks for three before tern and rail ask for one each: hers are the first, the fourth and the fifth."""
    wren, tern, rail = 1, 2, 3
    order = in_turn(asked(wren, wren, wren, tern, rail), [], {})
    assert [one.who for one in order] == [wren, tern, rail, wren, wren]


def test_who_has_one_running_and_who_was_served_lately_come_later() -> None:
    wren, tern, rail = 1, 2, 3
    order = in_turn(asked(wren, tern, rail), [wren], {tern: NOON, rail: NOON - timedelta(hours=1)})
    assert [one.who for one in order] == [rail, tern, wren]


@given(st.lists(st.integers(1, 5), min_size=1, max_size=24), st.lists(st.integers(1, 5), max_size=4))
def test_nobody_is_passed_twice_by_the_same_member_while_she_waits(who: list[int], under_way: list[int]) -> None:
    """Before anybody's first, no other has two more begun than one beyond what she had running less than the others."""
    order = [one.who for one in in_turn(asked(*who), under_way, {})]
    assert sorted(order, key=str) == sorted(who, key=str)
    for member in set(who):
        before = order[: order.index(member)]
        for other in set(before):
            assert before.count(other) + under_way.count(other) <= under_way.count(member) + 1


# --- in the library --------------------------------------------------------------------------------------------------

pytest_db = pytest.mark.django_db


def of_member(name: str) -> Member:
    return Member.objects.get_or_create(email=f"{name}@guild.example", defaults={"name": name})[0]


def project_of(name: str, word: str = "cap") -> Project:
    return store.new_project({"name": f"{name} {word}"}, "started") if not name else _made_for(name, word)


def _made_for(name: str, word: str) -> Project:
    with whose.seeing(whose.Seen(owner=of_member(name).pk)):
        return store.new_project({"name": f"{name} {word}"}, "started")


@pytest.fixture
def _db(db: Any) -> None:
    """The library."""


@pytest.mark.usefixtures("_db")
def test_a_second_search_of_a_project_is_the_one_that_waits_already() -> None:
    cap = project_of("wren")
    first = search_queue.ask(cap, 30)
    assert search_queue.ask(cap, 30) == first
    assert search_queue.ask(cap, 40, of_leaflet=True) != first


@pytest.mark.usefixtures("_db")
def test_one_under_way_is_replaced_only_where_the_project_has_changed_since() -> None:
    """As it is: the same one. Changed: that one is stopped with its best kept, and a new one waits."""
    cap = project_of("wren")
    search_queue.ask(cap, 30)
    begun = search_queue.begin_next()
    assert begun is not None
    assert search_queue.ask(cap, 30) == begun
    store.change(cap, {"name": "wren cap", "notes": "wider"}, "notes")
    other = search_queue.ask(cap, 30)
    assert other != begun
    assert other.waits
    begun.refresh_from_db()
    assert begun.stop_asked


@pytest.mark.usefixtures("_db")
def test_the_next_is_begun_once_and_looks_at_the_project_as_it_is_then() -> None:
    cap = project_of("wren")
    run = search_queue.ask(cap, 30)
    store.change(cap, {"name": "wren cap", "notes": "wider"}, "notes")
    begun = search_queue.begin_next()
    assert begun == run
    run.refresh_from_db()
    assert (run.waits, run.begun_times, run.revision) == (False, 1, store.head(cap).number)
    assert search_queue.begin_next() is None


@pytest.mark.usefixtures("_db")
def test_where_one_stands_counts_the_others_and_their_seconds() -> None:
    """Two run at once: one under way for 30 s, one other of 30 s before it."""
    search_queue.ask(project_of("wren"), 30)
    search_queue.begin_next()
    search_queue.ask(project_of("tern"), 30)
    last = search_queue.ask(project_of("rail"), 30)
    place = search_queue.place_of(last, at_once=2)
    assert (place.before, place.under_way) == (1, 1)
    assert place.seconds == pytest.approx(30, abs=2)


@pytest.mark.usefixtures("_db")
def test_one_member_has_so_many_waiting_and_is_told_when_there_are_more() -> None:
    for number in range(search_queue.MOST_WAITING):
        with whose.seeing(whose.Seen(owner=of_member("wren").pk)):
            search_queue.ask(project_of("wren", f"cap {number}"), 30)
    with whose.seeing(whose.Seen(owner=of_member("wren").pk)):
        refused = search_queue.ask(project_of("wren", "one more"), 30)
    assert (refused.ended, refused.outcome) == (True, search_queue.FULL)
    with whose.seeing(whose.Seen(owner=of_member("tern").pk)):
        assert search_queue.ask(project_of("tern"), 30).waits


@pytest.mark.usefixtures("_db")
def test_a_search_that_waits_leaves_the_queue_when_it_is_stopped() -> None:
    cap = project_of("wren")
    run = search_queue.ask(cap, 30)
    search_queue.stop(cap)
    run.refresh_from_db()
    assert (run.ended, run.outcome) == (True, search_queue.STOPPED_WAITING)
    assert search_queue.begin_next() is None


@pytest.mark.usefixtures("_db")
def test_a_stop_of_the_program_puts_back_what_was_under_way_and_gives_up_in_the_end() -> None:
    """Begun anew at each start, three times in all; what somebody stopped is not begun again."""
    cap, stole = project_of("wren"), project_of("tern", "stole")
    run, stopped = search_queue.ask(cap, 30), search_queue.ask(stole, 30)
    for times in range(1, search_queue.MOST_BEGUN + 1):
        while search_queue.begin_next() is not None:
            pass
        if times == 1:
            search_queue.stop(stole)
        assert search_queue.put_back() == (1 if times < search_queue.MOST_BEGUN else 0)
    run.refresh_from_db()
    stopped.refresh_from_db()
    assert (run.ended, run.outcome) == (True, search_queue.CUT_OFF)
    assert (stopped.ended, stopped.outcome) == (True, "stopped")


@pytest.mark.usefixtures("_db")
def test_what_came_of_a_search_is_written_down_once() -> None:
    run = search_queue.ask(project_of("wren"), 30)
    assert search_queue.say_ended(run.pk, "no better layout found")
    assert not search_queue.say_ended(run.pk, search_queue.DIED)
    assert LayoutRun.every.get(pk=run.pk).ended_at <= timezone.now()
