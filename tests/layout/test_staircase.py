"""The staircase: layouts over widths, judged by yarn."""

import os
import signal
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from clothwright.layout import (
    Effort,
    Layout,
    Searchers,
    Step,
    TooWide,
    best,
    faults,
    first_guess,
    narrowest_cm,
    staircase,
)
from layout.cases import Recording, garments, published, waistcoat

WIDTHS = (42.0, 44.0, 46.0, 47.0, 48.0, 49.0)


def yarn_m(width_cm: float, length_cm: float) -> float:
    """One end and one pick a centimetre, 60 cm of waste: a stand-in, own arithmetic."""
    return width_cm * (length_cm + 60) / 100 + width_cm * length_cm / 100


def test_the_waistcoat_steps_down_at_48_cm():
    """Rows by hand: 252 cm up to 47, 190 from 48. Own arithmetic."""
    steps = staircase(waistcoat(), WIDTHS, yarn_m=yarn_m)
    assert [step.width_cm for step in steps] == list(WIDTHS)
    assert [step.layout.length_cm for step in steps] == pytest.approx([252, 252, 252, 252, 190, 190])
    assert best(steps).width_cm == 48
    assert best(steps).yarn_m == pytest.approx(48 * 2.5 + 48 * 1.9)


def test_yarn_decides_not_length():
    """At 50 cm 188 are enough, by a row of back and front; 48 × 190 still takes less yarn. Own arithmetic."""
    steps = staircase(waistcoat(), (48, 50), yarn_m=yarn_m)
    assert steps[1].layout.length_cm < steps[0].layout.length_cm
    assert best(steps).width_cm == 48


def test_without_an_executor_the_answer_is_always_the_same():
    once, again = (staircase(waistcoat(), WIDTHS, effort=Effort(9), seed=3, yarn_m=yarn_m) for _ in range(2))
    assert once == again


@settings(deadline=None, max_examples=25)
@given(garments(), st.lists(st.floats(0, 30), min_size=1, max_size=4))
def test_every_step_is_valid_and_no_longer_than_the_one_before(found, spare):
    widths = [narrowest_cm(found) + more for more in spare]
    steps = staircase(found, widths, yarn_m=yarn_m)
    lengths = [step.layout.length_cm for step in steps]
    assert lengths == sorted(lengths, reverse=True)
    for step in steps:
        assert faults(found, step.layout) == ()
        assert step.layout.width_cm == step.width_cm
        assert step.yarn_m == yarn_m(step.width_cm, step.layout.length_cm)


def test_a_search_over_widths_is_valid_and_no_worse_than_the_first_guesses(spawned):
    _, found = published("synthetic_jacket")
    told = []
    steps = staircase(
        found,
        (42.0, 45.0, 60.0),
        effort=Effort(2),
        seed=1,
        by=spawned,
        yarn_m=yarn_m,
        progress=lambda share, step: told.append((share, step.yarn_m)),
    )
    assert all(faults(found, step.layout) == () for step in steps)
    hasty = [first_guess(found, width, tries=7).length_cm for width in (42.0, 45.0, 60.0)]
    assert all(step.layout.length_cm <= guess for step, guess in zip(steps, hasty, strict=True))
    assert best(steps).yarn_m < min(yarn_m(w, h) for w, h in zip((42.0, 45.0, 60.0), hasty, strict=True))
    shares, yarns = [share for share, _ in told], [yarn for _, yarn in told]
    assert (shares[0], shares[-1], shares) == (0.0, 1.0, sorted(shares))
    assert yarns == sorted(yarns, reverse=True)


@pytest.mark.parametrize("seconds", [0.3, 1, 2, 8, 30])
def test_the_time_given_is_never_overspent(seconds):
    """The limits of all tasks, spread over two workers, are within the time, and use a good part of it."""
    executor = Recording()
    _, found = published("synthetic_jacket")
    widths = [42 + number for number in range(24)]
    staircase(found, widths, effort=Effort(seconds), by=executor, yarn_m=yarn_m)
    planned = sum(task[3] for task in executor.asked) / 2
    assert planned <= seconds
    assert planned >= 0.4 * seconds or seconds < 8


def test_rounds_go_from_all_widths_to_six_to_the_best_with_two_seeds():
    executor = Recording()
    _, found = published("synthetic_jacket")
    staircase(found, [42 + n for n in range(12)], effort=Effort(20), by=executor, yarn_m=yarn_m)
    widths = [task[2] for task in executor.asked]
    assert sorted(widths[:12]) == [42 + n for n in range(12)]
    assert len(set(widths[12:18])) == 6
    assert widths[18] == widths[19]
    assert len(widths) == 20
    assert executor.asked[18][4] != executor.asked[19][4]


def test_widths_that_cannot_win_are_not_searched():
    """With yarn as the cube of the width nothing wide can win, even without any waste."""
    executor = Recording()
    staircase(waistcoat(), (48, 96, 97), effort=Effort(8), by=executor, yarn_m=lambda w, h: w**3 * h)
    assert {task[2] for task in executor.asked} == {48}


def test_the_same_seed_and_rounds_give_the_same_staircase_whoever_does_the_work(spawned):
    """No clock is read: two processes, one process and an executor end with the same places."""
    _, found = published("synthetic_jacket")
    widths, answers = (45.0, 52.0, 60.0), []
    for by in (Searchers(2), Searchers(1), spawned):
        answers.append(staircase(found, widths, effort=Effort(rounds=2), seed=4, by=by, yarn_m=yarn_m))
        if isinstance(by, Searchers):
            by.end()
    assert answers[0] == answers[1] == answers[2]
    assert best(answers[0]).yarn_m < best(staircase(found, widths, seed=4, yarn_m=yarn_m)).yarn_m


def test_more_rounds_are_never_worse():
    with Searchers(2) as searchers:
        some = [
            best(staircase(waistcoat(), WIDTHS, effort=Effort(rounds=n), by=searchers, yarn_m=yarn_m))
            for n in (1, 2, 3)
        ]
    yarns = [step.yarn_m for step in some]
    assert yarns == sorted(yarns, reverse=True)


def test_a_process_killed_during_a_search_over_widths_takes_nobody_along():
    """Each process in turn is killed at work; the staircase is whole, and valid."""
    _, found = published("synthetic_jacket")
    with Searchers(2) as searchers:
        killed = []

        def kill(share: float, _: Step) -> None:
            if share > 0 and len(killed) < 2:
                killed.append(searchers.process_ids[0])
                os.kill(killed[-1], signal.SIGKILL)

        steps = staircase(found, (45.0, 60.0), effort=Effort(3), by=searchers, yarn_m=yarn_m, progress=kill)
        assert not set(killed) & set(searchers.process_ids)
    assert len(killed) == 2
    assert [faults(found, step.layout) for step in steps] == [(), ()]


def test_what_the_pulse_raises_ends_a_search_at_once():
    """Asked to stop in the middle of a slice of half a minute."""
    _, found = published("synthetic_jacket")
    asked_at: list[float] = []

    def pulse() -> None:
        if asked_at and time.monotonic() > asked_at[0]:
            raise InterruptedError

    with Searchers(2, pulse) as searchers:
        searchers.ready()
        asked_at.append(time.monotonic() + 3)
        with pytest.raises(InterruptedError):
            staircase(found, (45.0, 60.0), effort=Effort(200), by=searchers, yarn_m=yarn_m)
        assert time.monotonic() - asked_at[0] < 1.0
        assert len(searchers.process_ids) == 0


def test_what_progress_raises_ends_the_search():
    """The first task is answered; the others never are, and are cancelled."""
    executor = Recording(answering=False)

    def stop(share: float, _: Step) -> None:
        if share > 0:
            raise InterruptedError

    _, found = published("synthetic_jacket")
    with pytest.raises(InterruptedError):
        staircase(found, (42, 50, 60), effort=Effort(5), by=executor, yarn_m=yarn_m, progress=stop)
    assert [future.cancelled() for future in executor.futures] == [False, True, True]


def test_a_width_on_which_a_piece_does_not_fit_is_refused():
    with pytest.raises(TooWide, match="front"):
        staircase(waistcoat(), (25, 48), yarn_m=yarn_m)


@pytest.mark.parametrize(("wider", "chosen"), [(99.95, 40), (99.8, 45)])
def test_within_a_thousandth_the_narrower_is_best(wider, chosen):
    nothing = Layout(0, 0, 0, ())
    assert best((Step(40, nothing, 100.0), Step(45, nothing, wider))).width_cm == chosen
