"""Answers that take seconds are worked out beside the page: one of each member at a time, and what is wrong is an answer too."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Event
from typing import Any

import pytest

from clothwright.library import whose
from clothwright.project import Problem, ProblemsFound
from clothwright.web import long_answers, worked_apart
from clothwright.web.long_answers import LongAnswers

WREN, TERN = 1, 2


class HeldUp:
    """Works in the thread that asks, once it is let go on; stands in for the process apart."""

    def __init__(self) -> None:
        self.go_on = Event()

    def read(self, do: Callable[..., Any], *with_: Any, seconds: float) -> Any:
        assert seconds > 0
        self.go_on.wait(20)
        return do(*with_)


@pytest.fixture
def worker(monkeypatch: pytest.MonkeyPatch) -> Iterator[HeldUp]:
    held = HeldUp()
    monkeypatch.setattr(long_answers, "WORKERS", held)
    monkeypatch.setattr(worked_apart, "close_old_connections", lambda: None)
    yield held
    held.go_on.set()


@contextmanager
def seen_by(who: int) -> Iterator[None]:
    with whose.seeing(whose.Seen(owner=who)):
        yield


def doubled(number: int) -> int:
    return 2 * number


def wrong(_number: int) -> int:
    raise ProblemsFound(Problem(("pattern",), "no pattern is given"))


def waited_for(ask: Callable[[], Any]) -> Any:
    end = time.monotonic() + 20
    while (found := ask()) is None:
        assert time.monotonic() < end
        time.sleep(0.01)
    return found


def test_an_answer_is_on_its_way_until_it_is_there(worker: HeldUp) -> None:
    answers = LongAnswers[int](8)
    with seen_by(WREN):
        assert answers.ask("a", doubled, 21) == 0
        assert answers.get("a") is None
        assert answers.ask("a", doubled, 21) == 0
        worker.go_on.set()
        assert waited_for(lambda: answers.get("a")) == 42


def test_a_member_has_one_answer_on_its_way_and_another_member_comes_next(worker: HeldUp) -> None:
    """Wren's second is not begun; tern's first is, after wren's."""
    answers = LongAnswers[int](8)
    with seen_by(WREN):
        assert answers.ask("a", doubled, 1) == 0
        assert answers.ask("b", doubled, 2) == 1
    with seen_by(TERN):
        assert answers.ask("c", doubled, 3) == 1
    worker.go_on.set()
    assert waited_for(lambda: answers.get("c")) == 6
    assert answers.get("b") is None
    with seen_by(WREN):
        answers.ask("b", doubled, 2)
    assert waited_for(lambda: answers.get("b")) == 4


def test_what_is_wrong_with_a_project_is_said_where_the_answer_would_be(worker: HeldUp) -> None:
    answers = LongAnswers[int](8)
    worker.go_on.set()
    with seen_by(WREN):
        answers.ask("a", wrong, 1)
    with pytest.raises(ProblemsFound, match="no pattern is given"):
        waited_for(lambda: answers.get("a"))


def test_a_fault_of_ours_is_a_sentence_and_the_next_answer_is_worked_out(worker: HeldUp) -> None:
    answers = LongAnswers[float](8)
    worker.go_on.set()
    with seen_by(WREN):
        answers.ask("a", lambda: 1 / 0)
        with pytest.raises(ProblemsFound, match="the fault is the program's"):
            waited_for(lambda: answers.get("a"))
        assert answers.ask("b", doubled, 1) == 0
