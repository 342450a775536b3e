"""What is found has no fault under the rules kept, what is not kept is said, and dying helpers take nobody along."""

import os
import pickle
import signal
import time
from concurrent.futures import ThreadPoolExecutor

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon
from shapely.ops import unary_union

from clothwright.layout import (
    Effort,
    Flaw,
    MatchPoint,
    Placed,
    Rules,
    Searchers,
    SelvedgeEdge,
    Stripes,
    TooWide,
    copies,
    faults,
    find,
    first_guess,
    outline_in_place,
    tightened,
)
from clothwright.layout.finding import tasks
from clothwright.layout.searchers import _spawned
from clothwright.pattern import rectangle
from layout.cases import garments, published, waistcoat

JACKET = published("synthetic_jacket")[1]
FRONT, BACK = "frontL", "backL"
MATCHED = (MatchPoint("side", FRONT, (10.0, 0.0)), MatchPoint("side", BACK, (12.0, 0.0)))
RULES = {
    "none": Rules(),
    "gap": Rules(gap_cm=1.0),
    "tolerance": Rules(grain_tolerance_deg=2.0),
    "one way": Rules(one_way=True),
    "flaws": Rules(flaws=(Flaw(60.0, 4.0), Flaw(20.0, 1.0, 20.0, 1.0, "knot"))),
    "locked": Rules(locked=(Placed("collar", 1, 40.0, 3.0, 0.0, False),)),
    "selvedge": Rules(selvedges=(SelvedgeEdge("facingL", ((0.0, 0.0), (1.0, 0.0)), must=True),)),
    "kept off": Rules(selvedge_cm=1.0),
    "stripes": Rules(stripes=(Stripes(6.0),), matches=MATCHED),
    "checks": Rules(stripes=(Stripes(6.0, even=False), Stripes(4.0, across=True)), matches=MATCHED),
    "whole width": Rules(whole_width=("collar",)),
    "lots": Rules(lots=((FRONT, "frontR"), (BACK, "backR"))),
}


@pytest.mark.parametrize("name", RULES)
def test_every_kind_of_rule_is_kept(name):
    found = find(JACKET, 60.0, rules=RULES[name], effort=Effort(rounds=1))
    assert found.unkept == ()
    assert found.kept == RULES[name]
    assert faults(JACKET, found.layout, rules=RULES[name]) == ()
    assert found.layout.length_cm >= found.bound.length_cm
    assert found.over_bound < 1.7


def test_the_same_seed_and_rounds_give_the_same_layout():
    with ThreadPoolExecutor(2) as executor:
        once, again, threaded = (
            find(JACKET, 60.0, effort=Effort(rounds=2), seed=5, by=by) for by in (None, None, executor)
        )
    assert once == again == threaded
    assert once.layout.length_cm < first_guess(JACKET, 60.0, seed=5).length_cm


def test_a_rule_that_cannot_be_kept_is_said_and_the_rest_is_kept():
    """A flaw over a locked piece: one of the two has to go."""
    locked = Placed("collar", 1, 10.0, 0.0, 0.0, False)
    rules = Rules(locked=(locked,), flaws=(Flaw(10.0, 2.0),), gap_cm=0.5)
    found = find(JACKET, 60.0, rules=rules)
    assert found.unkept == ("flaws are covered",)
    assert found.kept.locked == (locked,)
    assert faults(JACKET, found.layout, rules=found.kept) == ()


def test_a_rule_about_no_piece_is_said():
    found = find(JACKET, 60.0, rules=Rules(whole_width=("cape",)))
    assert found.unkept == ("a rule is about cape, which is not among the pieces",)


def test_mirrored_pieces_on_stripes_that_do_not_bear_them_are_said():
    pair = copies((rectangle("front", width_cm=10, length_cm=30, cut=2, pair=True),), one_way=True)
    found = find(pair, 30.0, rules=Rules(stripes=(Stripes(4.0, across=True, even=False),)))
    assert found.unkept == ("stripes are not looked at, turned and mirrored pieces included",)


@settings(deadline=None, max_examples=12, suppress_health_check=[HealthCheck.too_slow])
@given(garments(), st.sampled_from(["none", "gap", "tolerance", "kept off"]))
def test_whatever_is_found_covers_what_its_pieces_cover(found, name):
    """Outside check by shapely's union: pieces that lie apart cover the sum of their areas."""
    answer = find(found, 40.0, rules=RULES[name], effort=Effort(rounds=1))
    by_name = {(copy.piece, copy.number): copy for copy in found}
    shapes = [Polygon(outline_in_place(by_name[p.piece, p.copy], p)) for p in answer.layout.placed]
    assert unary_union(shapes).area == pytest.approx(sum(shape.area for shape in shapes), abs=0.031)
    assert answer.bound.length_cm <= answer.layout.length_cm + 1e-6
    assert faults(found, answer.layout, rules=answer.kept) == ()


def test_pushing_together_never_makes_a_layout_longer_or_wrong():
    guess = first_guess(JACKET, 60.0)
    pushed = tightened(JACKET, guess)
    assert pushed.length_cm < guess.length_cm
    assert faults(JACKET, pushed) == ()


def test_a_search_tells_of_each_better_layout_and_ends_in_time():
    told = []
    with Searchers(2) as searchers:
        searchers.ready()
        began = time.perf_counter()
        found = find(JACKET, 60.0, effort=Effort(seconds=4.0), by=searchers, tell=told.append)
        took = time.perf_counter() - began
    lengths = [layout.length_cm for layout in told]
    assert lengths == sorted(lengths, reverse=True)
    assert told[-1] == found.layout
    assert all(faults(JACKET, layout) == () for layout in told)
    assert len(told) >= 2
    assert took < 20


def test_a_search_that_is_stopped_is_gone_at_once():
    """What `tell` raises ends the search; its processes are ended with the block."""

    class Enough(Exception):
        pass

    def tell(layout):
        if len(told) == 1:
            raise Enough
        told.append(layout)

    told = []
    with Searchers(1) as searchers:
        searchers.ready()
        with pytest.raises(Enough):
            find(JACKET, 60.0, effort=Effort(seconds=60.0), by=searchers, tell=tell)
        began = time.perf_counter()
    assert time.perf_counter() - began < 1
    assert searchers.process_ids == ()


def test_a_killed_process_leaves_what_it_told_and_another_takes_its_place():
    with Searchers(1) as searchers:
        searchers.ready()
        (first,) = searchers.process_ids

        def kill_at_the_second(layout):
            told.append(layout)
            if len(told) == 2:
                os.kill(first, signal.SIGKILL)

        told = []
        found = find(JACKET, 60.0, effort=Effort(seconds=6.0), by=searchers, tell=kill_at_the_second)
        assert len(told) >= 2
        assert faults(JACKET, found.layout) == ()
        searchers.ready()
        assert len(searchers.process_ids) == 1
        assert first not in searchers.process_ids


def test_a_process_that_dies_idle_is_replaced():
    with Searchers(1) as searchers:
        searchers.ready()
        os.kill(searchers.process_ids[0], signal.SIGKILL)
        time.sleep(0.2)
        found = find(waistcoat(), 48.0, effort=Effort(seconds=0.5), by=searchers)
        assert found.layout.length_cm == pytest.approx(190)


def test_a_panic_in_a_searcher_is_no_answer_and_no_end():
    """A sliver 10 × 0.001 cm makes the solver panic; the first guess stands, and the process lives on."""
    sliver = copies((rectangle("sliver", width_cm=0.001, length_cm=10),), one_way=True)
    with Searchers(1) as searchers:
        searchers.ready()
        before = searchers.process_ids
        assert find(sliver, 20.0, effort=Effort(seconds=0.5), by=searchers).layout == first_guess(sliver, 20.0)
        assert searchers.process_ids == before


def test_any_executor_carries_the_search(spawned):
    found = find(JACKET, 60.0, effort=Effort(seconds=2.0), by=spawned)
    assert faults(JACKET, found.layout) == ()
    assert found.layout.length_cm < first_guess(JACKET, 60.0).length_cm


@pytest.mark.parametrize(("name", "most"), [("synthetic_jacket", 8_000), ("shirts", 30_000)])
def test_tasks_are_small_enough_for_any_wire(name, most):
    """Bytes of one pickled task; what a cluster would send for each."""
    facts, found = published(name)
    (task,) = tasks(found, facts.get("strip_width") or 60.0, Rules(), 10.0, 1, 2)
    assert len(pickle.dumps(task)) < most
    assert pickle.loads(pickle.dumps(task)) == task


def test_a_piece_that_does_not_fit_is_refused_by_name():
    with pytest.raises(TooWide, match="front"):
        find(waistcoat(), 25.0)


def test_a_spawned_process_is_deaf_to_ctrl_c():
    searcher = _spawned()
    time.sleep(2.0)
    os.kill(searcher.process.pid, signal.SIGINT)
    time.sleep(0.2)
    assert searcher.process.is_alive()
    searcher.process.kill()
    searcher.process.join()
