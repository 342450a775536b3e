"""The work of a leaflet in tasks: whoever does them the answer is the same, and nothing that is done is done again.

*Source of the lengths*: rectangles whose shortest layout is worked out by hand, 252 cm on 47 cm of cloth and 190 cm from 48 cm on.
"""

from __future__ import annotations

import math
import pickle
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from planning.asking import changed, tree
from shapely import Polygon

from clothwright.layout import NO_RULES, Copy, Effort, Placed, faults, outline_in_place, searching_by, turn
from clothwright.planning import Done, Forgetful, Leaflet, Working, leaflet
from clothwright.planning.job import garment_of
from clothwright.planning.teaching.leaflet_layouts import ToLay, laid_out
from clothwright.planning.teaching.leaflet_searching import _fewer_corners, _solved, _within, lay
from clothwright.project import Project, read_project

WIDTHS = ["47 cm", "48 cm", "49 cm"]
ROWS = changed(
    tree("rows-of-rectangles"), leaflet={"cloth_widths": WIDTHS, "heddles": ["30/10 cm", "40/10 cm"], "by_hand": True}
)
LENGTHS = {47.0: 252.0, 48.0: 190.0, 49.0: 190.0}


class Kept(Forgetful):
    """Answers kept in a dictionary, as they come back from a file."""

    def __init__(self) -> None:
        self.answers: dict[str, Any] = {}

    def get(self, key: str) -> Any:
        return self.answers.get(key)

    def put(self, key: str, answer: Any) -> None:
        self.answers[key] = answer


class Here(Executor):
    """Does what it is given at once, through pickle as on a wire, and counts it."""

    def __init__(self) -> None:
        self.done: list[str] = []

    def submit(self, function: Any, /, *args: Any, **more: Any) -> Future[Any]:
        self.done.append(function.__name__)
        future: Future[Any] = Future()
        work, with_ = pickle.loads(pickle.dumps((function, args)))
        future.set_result(pickle.loads(pickle.dumps(work(*with_, **more))))
        return future


def project(**changes: Any) -> Project:
    return read_project(changed(ROWS, **changes))


def made(asked: Project, working: Working) -> Leaflet:
    return leaflet(asked, drawings={}, working=working)


def test_who_does_the_work_changes_nothing() -> None:
    """Nobody, an executor through pickle, threads, and two processes of this machine: the same rows to the last figure."""
    alone = made(project(), Working())
    assert {row.cloth_width_cm: row.cloth_length_cm for row in alone.rows} == LENGTHS
    rounds = Effort(rounds=1)
    with ThreadPoolExecutor(2) as threads, searching_by(count=2) as processes:
        for by in (Here(), threads, processes):
            assert made(project(), Working(by=by, effort=rounds)).rows == alone.rows


def test_what_is_kept_is_not_done_again() -> None:
    """The second time nothing is handed out; another margin changes no task; one width more is one layout and its rows."""
    kept, first, second, third = Kept(), Here(), Here(), Here()
    rounds = Effort(rounds=1)
    before = made(project(), Working(by=first, effort=rounds, kept=kept))
    assert sorted(first.done) == ["lay"] * 3 + ["reckon"] * 2
    again = made(project(leaflet__margin="20 %"), Working(by=second, effort=rounds, kept=kept))
    assert second.done == []
    assert [row.warp.m for row in again.rows] == [row.warp.m for row in before.rows]
    made(project(leaflet__cloth_widths=[*WIDTHS, "53 cm"]), Working(by=third, effort=rounds, kept=kept))
    assert sorted(third.done) == ["lay", "reckon", "reckon"]


@pytest.mark.parametrize(
    "change",
    [{"cloth__length_ratio": "0.8"}, {"cloth__picks": "4/cm"}, {"loom__waste": "80 cm"}, {"yarn__0__grist": "3 m/g"}],
    ids=str,
)
def test_what_the_figures_stand_on_changes_their_key(change: dict[str, str]) -> None:
    """A figure kept under other ratios is not taken; the layouts still are."""
    kept, again = Kept(), Here()
    made(project(), Working(kept=kept))
    made(project(**change), Working(by=again, kept=kept))
    assert set(again.done) == {"reckon"}


def test_pieces_that_are_the_same_are_laid_once() -> None:
    """Two garments of equal pieces on cloth of one width are one layout."""
    kept, by = Kept(), Here()
    garment, _ = garment_of(project(), {})
    twin = replace(garment)
    found = laid_out([ToLay(garment, 48.0), ToLay(twin, 48.0)], Working(by=by, kept=kept))
    assert by.done == ["lay"]
    assert found[0] == found[1]


def test_a_stop_keeps_what_is_done_and_the_next_time_goes_on_from_there() -> None:
    """Stopped at the second of three layouts: the third alone is missing afterwards."""
    kept, again, told = Kept(), Here(), []

    def stop(done: Done) -> None:
        told.append(done)
        if done.layouts == 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        made(project(), Working(kept=kept, tell=stop))
    assert [one.layouts for one in told] == [0, 1, 2]
    heard: list[Done] = []
    made(project(), Working(by=again, kept=kept, tell=heard.append))
    assert again.done.count("lay") == 1
    assert (heard[0].layouts, heard[0].layouts_before, heard[0].layouts_in_all) == (2, 2, 3)


def test_a_layout_on_narrower_cloth_serves_wider_cloth() -> None:
    """Where a wider one was found longer, by bad luck of its search, the narrower stands in, judged on the wider cloth."""
    garment, _ = garment_of(project(), {})
    kept = Kept()
    asked = [ToLay(garment, 48.0), ToLay(garment, 60.0)]
    laid_out(asked, Working(kept=kept))
    short, long = (key for key in kept.answers)
    worse = lay(garment, 47.0, Effort(), 1)["layout"] | {"width_cm": 60.0}
    kept.answers[long]["layout"] = worse | {"used_share": worse["used_share"] * 47 / 60}
    narrow, wide = laid_out(asked, Working(kept=kept))
    assert kept.answers[short]["layout"]["length_cm"] == narrow.layout.length_cm == 190.0
    assert wide.layout.length_cm == 190.0
    assert wide.layout.width_cm == 60.0


def test_a_layout_kept_that_has_a_fault_is_made_again() -> None:
    """Somebody changed the file: the judge finds pieces one upon the other."""
    kept, by = Kept(), Here()
    garment, _ = garment_of(project(), {})
    laid_out([ToLay(garment, 48.0)], Working(kept=kept))
    (answer,) = kept.answers.values()
    for placed in answer["layout"]["placed"]:
        placed["x_cm"] = 0.0
    laid_out([ToLay(garment, 48.0)], Working(by=by, kept=kept))
    assert by.done == ["lay"]


def test_a_longer_search_is_made_and_a_shorter_one_is_served_by_it() -> None:
    """What was guessed is searched when seconds are asked; what was searched longer is good enough for less."""
    kept = Kept()
    garment, _ = garment_of(project(), {})
    asked = [ToLay(garment, 48.0)]
    done = []
    for seconds in (0.0, 0.4, 0.2, 0.4, 0.8):
        by = Here()
        laid_out(asked, Working(by=by, effort=Effort(seconds), kept=kept))
        done.append(len(by.done))
    assert done == [1, 1, 0, 0, 1]


def test_figures_at_the_trust_are_the_same_whichever_stand_beside_them() -> None:
    """A table of three widths and a table of one: what is kept of one serves in the other."""
    three = made(project(leaflet__by_hand=False), Working())
    for width in WIDTHS:
        one = made(project(leaflet__by_hand=False, leaflet__cloth_widths=[width]), Working())
        assert set(one.rows) <= set(three.rows)


def test_answers_that_are_lost_are_made_here() -> None:
    """An executor that loses everything costs time and nothing else."""

    class Losing(Executor):
        def submit(self, _function: Any, /, *_args: Any, **_more: Any) -> Future[Any]:
            future: Future[Any] = Future()
            future.set_exception(OSError("the wire was cut"))
            return future

    assert made(project(), Working(by=Losing())).rows == made(project(), Working()).rows


@given(
    st.lists(st.floats(5, 20), min_size=80, max_size=80),
    st.sampled_from((0.0, 180.0)),
    st.floats(0, 90),
    st.floats(0, 40),
)
@settings(max_examples=60)
def test_an_outline_of_fewer_corners_holds_the_outline_wherever_it_is_put(
    radii: list[float], turned: float, x: float, y: float
) -> None:
    """A jagged ring, as drawn or turned end for end: the ring in its place lies within the simpler one in its own."""
    corners = [(r * math.cos(math.tau * n / 80), r * math.sin(math.tau * n / 80)) for n, r in enumerate(radii)]
    ring = turn(tuple(corners), 0.0)
    simple = _fewer_corners(ring)
    copy = Copy("front", 1, ring, False, (0.0, 180.0))
    placed = Placed("front", 1, x, y, turned, False)
    outer = Polygon(outline_in_place(replace(copy, outline=simple), placed))
    inner = Polygon(outline_in_place(copy, _within(ring, placed)))
    assert inner.difference(outer).area < 1e-6
    assert outer.buffer(-0.5).within(inner) or not outer.buffer(-0.5).area


def test_drafted_curves_are_searched_by_fewer_corners_and_judged_by_their_own() -> None:
    """A waistcoat of 1,190 corners: the search comes no longer than the guess, and the judge finds no fault with the pieces themselves."""
    waistcoat = read_project(tree("spindrift-waistcoats"))
    garment, _ = garment_of(waistcoat, {})
    assert sum(len(copy.outline) for copy in garment.copies) > 1000
    guess, searched = (lay(garment, 80.0, Effort(seconds), 1)["layout"]["length_cm"] for seconds in (0.0, 0.4))
    assert searched <= guess + 1e-9
    found = _solved(garment.copies, 80.0, 0.3, 1, NO_RULES)
    assert found is not None
    assert faults(garment.copies, found) == ()
