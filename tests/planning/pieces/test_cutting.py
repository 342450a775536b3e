"""The order of cutting leaves every piece whole: the scissors come in through what is cut already and waste."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from planning.asking import changed, planned, tree
from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from clothwright.planning import Plan, cutting_order

ROWS = tree("rows-of-rectangles")
PLAN = planned(changed(ROWS, pattern__squaring="3 cm", pattern__selvedge_trim="1 cm"))


def outlines(plan: Plan) -> dict[tuple[str, int], Polygon]:
    return {(one.piece, one.copy): Polygon(one.outline) for one in plan.outlines}


def test_every_copy_is_cut_once_and_numbered() -> None:
    order = cutting_order(PLAN)
    assert [one.number for one in order] == list(range(1, 9))
    assert {(one.piece, one.copy) for one in order} == set(outlines(PLAN))


def test_between_the_first_end_and_a_piece_only_cut_pieces_begin() -> None:
    """Reckoned by shapely: the cloth before the near edge of each piece meets no piece that is cut later."""
    shapes, order = outlines(PLAN), cutting_order(PLAN)
    for number, one in enumerate(order):
        before = box(-1, -1, shapes[one.piece, one.copy].bounds[0] - 0.01, 999)
        later = unary_union([shapes[other.piece, other.copy] for other in order[number:]])
        assert later.intersection(before).area < 0.01


def test_a_straight_cut_meets_no_piece_and_parts_what_is_before_it_from_what_is_behind() -> None:
    order, shapes = cutting_order(PLAN), outlines(PLAN)
    cuts = [(one.number, one.straight_across_cm) for one in order if one.straight_across_cm is not None]
    assert cuts
    for first, at in cuts:
        x = at - 3
        assert all(shape.bounds[2] <= x + 0.06 or shape.bounds[0] >= x - 0.06 for shape in shapes.values())
        assert all(one.along_cm[1] <= at + 0.06 for one in order[:first])
        following = [one for one in order[first:] if one.straight_across_cm is not None]
        assert all(one.along_cm[0] >= at - 0.06 for one in following)


def test_places_are_measured_from_the_end_and_the_selvedge_of_the_cloth() -> None:
    """Squaring of 3 cm and a trim of 1 cm lie before the layout."""
    order = cutting_order(PLAN)
    assert min(one.along_cm[0] for one in order) == pytest.approx(3)
    assert min(one.across_cm[0] for one in order) == pytest.approx(1)


@given(st.lists(st.tuples(st.integers(0, 60), st.integers(1, 30)), min_size=1, max_size=8))
@settings(max_examples=60, deadline=None)
def test_straight_cuts_are_all_those_that_meet_no_piece(spans: list[tuple[int, int]]) -> None:
    """Against brute force: every whole centimetre at which no piece lies on both sides, between two that do."""
    one = PLAN.outlines[0]
    found = tuple(
        replace(one, copy=number, outline=((x, 0), (x + long, 0), (x + long, 1), (x, 1)))
        for number, (x, long) in enumerate(spans, 1)
    )
    assert PLAN.layout is not None
    placed = tuple(replace(PLAN.layout.placed[0], piece=one.piece, copy=n) for n in range(1, len(spans) + 1))
    order = cutting_order(replace(PLAN, outlines=found, layout=replace(PLAN.layout, placed=placed), squaring_cm=0.0))
    ends = {x + long for x, long in spans}
    clear = {x for x in ends if not any(a < x < a + long for a, long in spans) and x < max(ends)}
    assert {each.straight_across_cm for each in order} - {None} == clear


def test_a_plan_without_pieces_has_no_order() -> None:
    assert cutting_order(planned(tree("slate-tide-cloth"))) == ()
