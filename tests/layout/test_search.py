"""The search gives valid layouts, no longer than the first guess, and survives its solver."""

import multiprocessing
import sys
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from types import SimpleNamespace

import pytest
from hypothesis import HealthCheck, given, settings

from clothwright.layout import (
    Copy,
    Effort,
    TooWide,
    copies,
    faults,
    find,
    first_guess,
    least_length_cm,
    narrowest_cm,
    solve,
)
from clothwright.layout.search import limit
from clothwright.pattern import Piece, rectangle
from layout.cases import garments, published, waistcoat

SLIVER = (Copy("sliver", 1, ((0.0, 0.0), (10.0, 0.0), (10.0, 0.001), (0.0, 0.001)), False, (0.0,)),)


@pytest.mark.parametrize(("width", "best_seen"), [(42.0, 386.2), (60.0, 250.5)])
def test_a_jacket_is_found_valid_and_short(spawned, width, best_seen):
    """At 42 cm the sleeve is as wide as the cloth. `best_seen`: many runs of `spyrrow` at 42.5 and 60 cm."""
    _, found = published("synthetic_jacket")
    layout = find(found, width, effort=Effort(1.5), by=spawned).layout
    assert faults(found, layout) == ()
    assert least_length_cm(found, width) <= layout.length_cm <= 1.12 * best_seen


@pytest.mark.parametrize("name", ["dagli", "trousers"])
def test_published_garments_are_found_valid_and_short(spawned, name):
    """`best_known`: record layouts, see tests/published/nesting."""
    facts, found = published(name)
    layout = find(found, facts["strip_width"], effort=Effort(1.5), by=spawned).layout
    assert faults(found, layout) == ()
    assert 0.999 * facts["best_known"]["length"] <= layout.length_cm <= 1.25 * facts["best_known"]["length"]


@pytest.mark.parametrize(("width", "length"), [(42, 252), (47, 252), (48, 190), (49, 190)])
def test_the_waistcoat_comes_out_at_whole_centimetres(width, length):
    """Settling takes out the solver's hairs of cloth, also where rows fill the cloth. Own arithmetic."""
    layout = solve(waistcoat(), width, 0.5, 1)
    assert faults(waistcoat(), layout) == ()
    assert layout.length_cm >= length - 1e-6
    assert layout.length_cm == pytest.approx(round(layout.length_cm), abs=1e-6)


@settings(deadline=None, max_examples=15, suppress_health_check=[HealthCheck.too_slow])
@given(garments())
def test_whatever_is_solved_is_valid(found):
    """Also where the widest piece is exactly as wide as the cloth, which the solver itself cannot do."""
    width = narrowest_cm(found)
    layout = solve(found, width, 0.05, 1)
    assert layout is None or (layout.width_cm == width and faults(found, layout) == ())


def test_a_square_as_wide_as_the_cloth_is_solved():
    """The solver panics on 10 in 10; with 0.1 cm lent and taken back it lies flush."""
    square = copies((rectangle("square", width_cm=10, length_cm=10),), one_way=True)
    layout = solve(square, 10.0, 0.05, 1)
    assert faults(square, layout) == ()
    assert layout.length_cm == pytest.approx(10, abs=1e-6)


def test_a_piece_in_the_hollow_of_another_stays_there():
    """A square 9.5 × 14 in a slot 10 × 15, open to the selvedge: 20 cm, not 29.5. Own drawing."""
    yoke = Piece("yoke", ((0, 0), (20, 0), (20, 20), (15, 20), (15, 5), (5, 5), (5, 20), (0, 20)))
    found = copies((yoke, rectangle("tab", width_cm=14, length_cm=9.5)), one_way=True)
    layout = solve(found, 20.5, 1.0, 1)
    assert faults(found, layout) == ()
    assert layout.length_cm < 20.1


def test_what_cannot_be_solved_has_no_answer():
    assert solve(waistcoat(), 25.0, 0.05, 1) is None
    assert solve((), 25.0, 0.05, 1) is None


def test_a_panic_of_the_solver_is_no_answer(capfd):
    """A sliver 10 × 0.001 cm makes the solver panic; the noise shows that it did."""
    assert solve(SLIVER, 20.0, 0.05, 1) is None
    assert "panicked" in capfd.readouterr().err


def test_a_panic_in_a_child_process_makes_no_noise(capfd):
    with ProcessPoolExecutor(1, mp_context=multiprocessing.get_context("spawn")) as executor:
        assert executor.submit(solve, SLIVER, 20.0, 0.05, 1).result() is None
        assert executor.submit(print_to_standard_error).result() is None
    noise = capfd.readouterr().err
    assert "panicked" not in noise
    assert "still heard" in noise


def print_to_standard_error():
    print("still heard", file=sys.stderr, flush=True)


@pytest.mark.parametrize("stop", [KeyboardInterrupt, SystemExit])
def test_stopping_is_not_taken_for_a_panic(monkeypatch, stop):
    def solving(*_):
        raise stop

    fake = SimpleNamespace(
        Item=lambda *_: None,
        ProgressQueue=lambda: SimpleNamespace(drain=list),
        StripPackingConfig=lambda **_: SimpleNamespace(),
        StripPackingInstance=lambda *_: SimpleNamespace(solve=solving),
    )
    monkeypatch.setitem(sys.modules, "spyrrow", fake)
    with pytest.raises(stop):
        solve(waistcoat(), 48, 0.05, 1)


def test_without_the_solver_the_first_guess_stands(monkeypatch):
    monkeypatch.setitem(sys.modules, "spyrrow", None)
    assert solve(waistcoat(), 48, 0.05, 1) is None
    with ThreadPoolExecutor(2) as executor:
        layout = find(waistcoat(), 48, effort=Effort(0.5), by=executor).layout
    assert layout == first_guess(waistcoat(), 48, seed=1)


@pytest.mark.parametrize("seconds", [0, 5])
def test_without_an_executor_the_first_guess_stands(seconds):
    assert find(waistcoat(), 48, effort=Effort(seconds)).layout == first_guess(waistcoat(), 48)


def test_a_piece_that_does_not_fit_is_refused_by_name(spawned):
    with pytest.raises(TooWide, match="front"):
        find(waistcoat(), 25, effort=Effort(1), by=spawned)


def test_a_limit_leaves_time_for_the_overrun():
    """Measured: up to a third of a second over at one second, less for shorter limits."""
    assert limit(0.0) == 0
    assert all(0 < limit(seconds) < seconds for seconds in (0.1, 1, 10))
    assert limit(60) > 59
