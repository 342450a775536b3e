"""Changes to a pattern: every one is held against lengths and areas reckoned apart from it.

What a change of each kind does is common practice of the trade, no source; areas are worked out again by shapely from
the line before (strips, parallel offsets, cuts), which shares no code with the alteration.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pattern.drawn import read
from pattern.fitted import Numbers, bodice, lengths, published, sharpest, some_numbers
from shapely.affinity import translate
from shapely.geometry import LineString, Polygon, box

from clothwright.pattern import (
    Altered,
    Change,
    ChangeRefused,
    Do,
    Edge,
    MarkKind,
    Piece,
    PieceMark,
    alter,
    check_pieces,
)
from clothwright.pattern.seamline import CORNER_DEG, seamline_of

#: How much sharper than it was a line may turn at one of its corners after a change, degrees. Our own.
SHARPER_DEG = 6.0
NESTING = ("albano", "dagli", "mao", "marques", "shirts", "swim", "trousers", "synthetic_jacket")


def named(altered: Altered, name: str) -> Piece:
    return next(one.piece for one in altered.pieces if one.piece.name == name)


def plain(name: str, ring: tuple[tuple[float, float], ...], seams: dict[str, tuple[int, int]]) -> Piece:
    """A piece by its cut line whose seams run from corner to corner of it."""
    edges = tuple(Edge((ring[a], ring[b]), seam=seam) for seam, (a, b) in seams.items())
    return Piece(name, ring, edges=edges)


PANEL = plain(
    "panel", ((0, 0), (60, 0), (60, 20), (0, 20)), {"hem": (3, 0), "side": (0, 1), "top": (1, 2), "middle": (2, 3)}
)


# --- lengthened, shortened ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(("do", "by"), [(Do.LENGTHEN, 3.0), (Do.SHORTEN, 3.0)])
def test_lengthening_adds_exactly_that_to_what_crosses_the_line_and_leaves_the_rest(do: Do, by: float) -> None:
    after = named(alter([PANEL], Change(do, by, pieces=("panel",), at_cm=20.0)), "panel")
    added = by if do is Do.LENGTHEN else -by
    assert lengths(after) == pytest.approx({"hem": 20, "side": 60 + added, "top": 20, "middle": 60 + added})
    assert after.area_cm2 == pytest.approx(20 * (60 + added))


@given(some_numbers(), st.floats(0.3, 6), st.booleans())
@settings(max_examples=25, deadline=None)
def test_a_bodice_lengthened_at_the_waist_keeps_its_partners_its_other_seams_and_its_width(
    numbers: Numbers, by: float, longer: bool
) -> None:
    """The area grows by the width at the line, times the length, as nearly as the trued side allows."""
    pieces = bodice(numbers)
    altered = alter(pieces, Change(Do.LENGTHEN if longer else Do.SHORTEN, by, match="waist"))
    added = by if longer else -by
    slant = math.atan2(abs(numbers.slant), numbers.length - numbers.depth)
    for piece, one in zip(pieces, altered.pieces, strict=True):
        before, after = lengths(piece), lengths(one.piece)
        assert one.piece.length_cm == pytest.approx(piece.length_cm + added)
        assert after["side"] - before["side"] == pytest.approx(added * math.cos(slant), abs=0.03 * by + 0.01)
        assert {s: cm for s, cm in after.items() if s != "side"} == pytest.approx(
            {s: cm for s, cm in before.items() if s != "side"}, abs=1e-6
        )
        x = _waist(piece)
        across = Polygon(piece.stitching).intersection(box(x - 0.5, -100, x + 0.5, 100)).area
        grown = Polygon(one.piece.stitching).area - Polygon(piece.stitching).area
        assert grown == pytest.approx(added * across, rel=0.04, abs=0.5)
    assert [check for check in check_pieces(one.piece for one in altered.pieces) if "side" in check.sentence] == []


def _waist(piece: Piece) -> float:
    return next(mark.points[0][0] for mark in piece.marks if mark.name == "waist")


@pytest.mark.parametrize("name", NESTING)
def test_a_published_outline_is_spread_by_exactly_that_and_never_kinks(name: str) -> None:
    """Extent along the grain grows by d; the parts clear of the trueing are those cut off at the line, by shapely."""
    for piece in published(name):
        at, by = piece.length_cm * 0.47, piece.length_cm * 0.08
        after = named(alter([piece], Change(Do.LENGTHEN, by, pieces=(piece.name,), at_cm=at)), piece.name)
        assert after.length_cm == pytest.approx(piece.length_cm + by)
        assert after.width_cm == pytest.approx(piece.width_cm, abs=1e-6)
        clear = 12.5
        low = piece.polygon.intersection(box(-1, -1, at - clear, 200))
        high = piece.polygon.intersection(box(at + clear, -1, 900, 200))
        assert after.polygon.intersection(box(-1, -1, at - clear, 200)).symmetric_difference(low).area < 1e-3
        there = after.polygon.intersection(box(at + by + clear, -1, 900, 200))
        assert there.symmetric_difference(translate(high, by)).area < 1e-3
        for seam, turn in sharpest(after).items():
            assert turn <= sharpest(piece)[seam] + SHARPER_DEG


def test_what_lies_inside_beyond_the_line_goes_with_it_and_a_notch_with_its_seam() -> None:
    pocket = PieceMark(MarkKind.INSIDE, ((40, 5), (45, 5), (45, 12), (40, 12)), closed=True)
    notch, low = PieceMark(MarkKind.NOTCH, ((50, 0), (50, 1)), name="a"), PieceMark(MarkKind.NOTCH, ((5, 0),), name="b")
    join = PieceMark(MarkKind.JOIN, ((30, 0), (30, 20)))
    piece = Piece("panel", PANEL.outline, edges=PANEL.edges, marks=(pocket, notch, low, join))
    marks = named(alter([piece], Change(Do.LENGTHEN, 4, pieces=("panel",), at_cm=20)), "panel").marks
    assert marks[0].points == ((44, 5), (49, 5), (49, 12), (44, 12))
    assert np.array(marks[1].points) == pytest.approx(np.array([(54, 0), (54, 1)]))
    assert np.array(marks[2].points) == pytest.approx(np.array([(5, 0)]))
    assert [x for x, _ in marks[3].points] == pytest.approx([34, 34])


def test_a_drawn_line_with_a_name_says_where_to_lengthen_and_asks_for_no_partner() -> None:
    line = '<line x1="6" y1="25" x2="19" y2="25" data-line="inside" data-match="lengthen here"/>'
    content = f'<g data-piece="back" data-grain="y"><rect x="5" y="10" width="15" height="30"/>{line}</g>'
    (back,) = pieces = read(content).pieces
    assert check_pieces(pieces) == ()
    (one,) = alter(pieces, Change(Do.LENGTHEN, 2.0, match="lengthen here")).pieces
    assert one.piece.length_cm == pytest.approx(back.length_cm + 2)


# --- let out, taken in -------------------------------------------------------------------------------------------


@given(some_numbers(), st.floats(0.2, 2.5), st.sampled_from([None, "top", "bottom"]), st.booleans())
@settings(max_examples=30, deadline=None)
def test_a_seam_let_out_keeps_its_partners_and_adds_the_strip_along_it(
    numbers: Numbers, by: float, nothing_at: str | None, out: bool
) -> None:
    """The strip is a parallelogram, or a triangle where it tapers: its area by hand, the ends' slants told by shapely."""
    pieces = bodice(numbers)
    altered = alter(pieces, Change(Do.LET_OUT if out else Do.TAKE_IN, by, seam="side", nothing_at=nothing_at))
    for piece, one in zip(pieces, altered.pieces, strict=True):
        was, now = Polygon(piece.stitching), Polygon(one.piece.stitching)
        sides = 2 if piece.fold else 1
        side = [edge for edge in piece.edges if edge.seam == "side"]
        strips = sum(edge.length_cm for edge in side) * by * (0.5 if nothing_at else 1)
        assert len(side) == sides
        assert (now.area - was.area) * (1 if out else -1) == pytest.approx(strips, rel=0.06)
        moved = Polygon([(x - one.moved[0], y - one.moved[1]) for x, y in piece.stitching])
        outside = now.difference(moved.buffer(1e-6)) if out else moved.difference(now.buffer(1e-6))
        assert outside.area == pytest.approx(strips, rel=0.06)
    sides_of = {one.piece.name: lengths(one.piece)["side"] for one in altered.pieces}
    assert sides_of["back"] == pytest.approx(sides_of["front"], abs=0.3)


def test_a_straight_seam_let_out_lies_parallel_to_where_it_lay_and_its_neighbours_run_on() -> None:
    after = named(alter([PANEL], Change(Do.LET_OUT, 1.5, seam="side")), "panel")
    assert lengths(after) == pytest.approx({"hem": 21.5, "side": 60, "top": 21.5, "middle": 60})
    tapered = named(alter([PANEL], Change(Do.TAKE_IN, 2, seam="side", nothing_at="top")), "panel")
    assert lengths(tapered) == pytest.approx({"hem": 18, "side": math.hypot(60, 2), "top": 20, "middle": 60})


def test_a_curved_seam_let_out_is_the_offset_that_shapely_draws() -> None:
    """An armhole as an arc of a circle of radius 10 taken in by 1 cm is one of radius 11; shapely's offset agrees."""
    arc = [(30 + 10 * math.cos(a), 20 - 10 * math.sin(a)) for a in np.linspace(math.pi / 2 + 0.6, math.pi, 60)][::-1]
    ring = ((0, 0), (45, 0), (45, arc[-1][1]), *reversed(arc), (0, 20))
    piece = Piece("sleeve side", ring, edges=(Edge(tuple(arc), seam="curve"),))
    after = named(alter([piece], Change(Do.TAKE_IN, 1, seam="curve")), "sleeve side")
    curve = np.array(next(edge.line for edge in after.edges))
    middle = np.array([30, 20])
    assert np.linalg.norm(curve[3:-3] - middle, axis=1) == pytest.approx(11, abs=0.02)
    drawn = LineString(arc).offset_curve(-1.0).buffer(0.01)
    assert drawn.contains(LineString(curve[3:-3]))


@pytest.mark.parametrize("name", NESTING)
def test_published_outlines_let_out_and_taken_in_seam_by_seam_stay_pieces_with_no_kink(name: str) -> None:
    """Area grows by about the strip; nothing else of the line moves: the difference lies within reach of the seam."""
    made = refused = 0
    for piece in published(name):
        for edge in piece.edges:
            for do in (Do.LET_OUT, Do.TAKE_IN):
                by = min(1.0, edge.length_cm / 12)
                try:
                    (one,) = alter([piece], Change(do, by, seam=edge.seam)).pieces
                except ChangeRefused:
                    refused += 1
                    continue
                made += 1
                was = Polygon([(x - one.moved[0], y - one.moved[1]) for x, y in piece.outline])
                seam = LineString([(x - one.moved[0], y - one.moved[1]) for x, y in edge.line])
                differs = was.symmetric_difference(one.piece.polygon)
                assert differs.difference(seam.buffer(6 * by + 0.1)).area < 1e-6
                assert sharpest(one.piece).get(edge.seam or "", 0.0) <= sharpest(piece)[edge.seam or ""] + SHARPER_DEG
    assert made > 4 * refused


# --- raised, lowered ---------------------------------------------------------------------------------------------


def test_a_neck_is_lowered_at_the_fold_with_nothing_at_the_shoulder_and_goes_over_the_fold_square() -> None:
    pieces = bodice()
    back = named(alter(pieces, Change(Do.LOWER, 2, pieces=("back",), seam="neck", nothing_at="shoulder")), "back")
    before = pieces[0]
    assert lengths(back)["shoulder"] == pytest.approx(lengths(before)["shoulder"])
    assert lengths(back)["side"] == pytest.approx(lengths(before)["side"])
    assert back.fold is not None
    assert before.fold is not None
    assert abs(back.fold[0][0] - back.fold[1][0]) == pytest.approx(
        abs(before.fold[0][0] - before.fold[1][0]) - 2, abs=1e-6
    )
    line = seamline_of(back)
    meets = {run.first for run in line.runs if run.edge.seam == "neck"} & {
        run.last for run in line.runs if run.edge.seam == "neck"
    }
    assert len(meets) == 1
    assert abs(line.turns_deg[meets.pop()]) < CORNER_DEG / 2


@given(some_numbers(), st.floats(0.2, 2.5), st.booleans())
@settings(max_examples=20, deadline=None)
def test_a_corner_raised_moves_by_that_and_only_its_two_seams_change(numbers: Numbers, by: float, up: bool) -> None:
    pieces = bodice(numbers)
    change = Change(Do.RAISE if up else Do.LOWER, by, pieces=("front",), corner=("shoulder", "armhole front"))
    front = named(alter(pieces, change), "front")
    before, after = lengths(pieces[1]), lengths(front)
    unchanged = {"neck", "side", "hem front"}
    assert {s: after[s] for s in unchanged} == pytest.approx({s: before[s] for s in unchanged}, abs=1e-6)
    rise = numbers.slope - (by if up else -by)
    assert after["shoulder"] == pytest.approx(math.hypot(9.5, rise), abs=0.02)
    assert max(sharpest(front).values()) <= max(sharpest(pieces[1]).values()) + SHARPER_DEG


def test_a_hem_lowered_lengthens_the_sides_beside_it() -> None:
    after = named(alter([PANEL], Change(Do.LOWER, 3, seam="hem")), "panel")
    assert lengths(after) == pytest.approx({"hem": 20, "side": 63, "top": 20, "middle": 63})


# --- allowances, order, partners, sizes --------------------------------------------------------------------------


@pytest.mark.parametrize(
    "change",
    [
        Change(Do.LENGTHEN, 2, match="waist"),
        Change(Do.LET_OUT, 1, seam="side"),
        Change(Do.LOWER, 1, seam="neck", nothing_at="shoulder"),
    ],
    ids=str,
)
def test_allowances_stay_as_wide_as_they_were(change: Change) -> None:
    """Beside the middle of each edge the cut line lies as far out as it did: 1.5 cm, 4 cm at the hem."""
    for one in alter(bodice(), change).pieces:
        cut = one.piece.polygon.exterior
        for edge in one.piece.edges:
            wide = 4.0 if edge.hem else 1.5
            middle = LineString(edge.line).interpolate(0.5, normalized=True)
            assert cut.distance(middle) == pytest.approx(wide, abs=0.02)


@pytest.mark.parametrize("do", [Do.LET_OUT, Do.TAKE_IN])
def test_a_notch_on_a_line_that_only_runs_on_stays_where_it_is_and_one_on_the_seam_goes_with_it(do: Do) -> None:
    """On paper only the end of a hem is drawn on; a notch in its middle is not moved."""
    on_hem, on_side = PieceMark(MarkKind.NOTCH, ((0, 10),), name="h"), PieceMark(MarkKind.NOTCH, ((30, 0),), name="s")
    (one,) = alter([replace(PANEL, marks=(on_hem, on_side))], Change(do, 2, seam="side")).pieces
    hem, side = (np.array(mark.points[0]) + np.array(one.moved) for mark in one.piece.marks)
    assert hem == pytest.approx(np.array([0, 10]))
    assert side == pytest.approx(np.array([30, -2 if do is Do.LET_OUT else 2]))


@pytest.mark.parametrize(("do", "by"), [(Do.LET_OUT, 1.5), (Do.TAKE_IN, 1.5)])
def test_a_stitching_line_inside_a_cut_line_goes_with_it(do: Do, by: float) -> None:
    """Drawn 1 cm inside all round, it lies 1 cm inside after the change too, corners apart."""
    inner = ((1, 1), (59, 1), (59, 19), (1, 19))
    (one,) = alter([replace(PANEL, stitching=inner)], Change(do, by, seam="side")).pieces
    assert one.piece.stitching is not None
    sewn, cut = Polygon(one.piece.stitching), one.piece.polygon.exterior
    assert cut.contains(sewn) is False
    assert Polygon(cut).contains(sewn)
    for start, end in zip(one.piece.stitching, (*one.piece.stitching[1:], one.piece.stitching[0]), strict=True):
        middle = LineString([start, end]).interpolate(0.5, normalized=True)
        assert cut.distance(middle) == pytest.approx(1.0, abs=0.01)


@given(some_numbers(), st.floats(0.3, 3), st.floats(0.3, 2))
@settings(max_examples=15, deadline=None)
def test_changes_far_from_each_other_may_be_made_in_either_order(numbers: Numbers, neck: float, waist: float) -> None:
    one = Change(Do.LOWER, neck, seam="neck", nothing_at="shoulder")
    other = Change(Do.LOWER, waist, seam="hem front")
    first = _both(bodice(numbers), one, other)
    second = _both(bodice(numbers), other, one)
    for a, b in zip(first, second, strict=True):
        assert a.polygon.symmetric_difference(b.polygon).area < 0.01


def _both(pieces: tuple[Piece, ...], one: Change, other: Change) -> list[Piece]:
    once = [a.piece for a in alter(pieces, one).pieces]
    return [a.piece for a in alter(once, other).pieces]


@given(some_numbers(), st.floats(0.3, 2))
@settings(max_examples=15, deadline=None)
def test_letting_out_and_taking_in_again_gives_the_piece_back(numbers: Numbers, by: float) -> None:
    pieces = bodice(numbers)
    back = _both(pieces, Change(Do.LET_OUT, by, seam="side"), Change(Do.TAKE_IN, by, seam="side"))
    for piece, again in zip(pieces, back, strict=True):
        assert again.polygon.symmetric_difference(piece.polygon).area < 0.05
        assert lengths(again) == pytest.approx(lengths(piece), abs=0.02)


def test_a_partner_that_was_not_changed_is_told() -> None:
    pieces = bodice()
    altered = alter(pieces, Change(Do.LENGTHEN, 3, pieces=("front",), match="waist"))
    (check,) = (one for one in check_pieces(one.piece for one in altered.pieces) if "“side”" in one.sentence)
    assert "front is 3.0 cm longer than its partner" in check.sentence
    assert [walked.piece for walked in altered.walked] == ["front"]


def sized() -> list[Piece]:
    """A panel in two sizes: the larger a quarter longer."""
    large = tuple((x * 1.25, y) for x, y in PANEL.outline)
    seams = {"hem": (3, 0), "side": (0, 1), "top": (1, 2), "middle": (2, 3)}
    return [replace(PANEL, size="S"), replace(plain("panel", large, seams), size="L")]


def test_a_change_on_the_fitted_size_goes_to_every_size_the_same_or_in_proportion() -> None:
    """On a seam a quarter longer, in proportion is a quarter more; the line across lies at the same share of the length."""
    same = alter(sized(), Change(Do.LET_OUT, 2, seam="side"), fitted_size="S")
    assert [round(one.piece.width_cm, 6) for one in same.pieces] == [22, 22]
    share = alter(sized(), Change(Do.LET_OUT, 2, seam="side", in_proportion=True), fitted_size="S")
    assert [round(one.piece.width_cm, 6) for one in share.pieces] == [22, 22.5]
    longer = Change(Do.LENGTHEN, 4, pieces=("panel",), at_cm=30, in_proportion=True)
    mark = PieceMark(MarkKind.NOTCH, ((36.0, 0.0),))
    pieces = [sized()[0], replace(sized()[1], marks=(mark,))]
    after = [one.piece for one in alter(pieces, longer, fitted_size="S").pieces]
    assert [round(piece.length_cm, 6) for piece in after] == [64, 80]
    assert after[1].marks[0].points[0][0] == pytest.approx(36.0)


# --- refused -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (Change(Do.LET_OUT, 1, seam="sied"), "“sied”: no piece has a seam of that name; there are neck, shoulder"),
        (Change(Do.LET_OUT, 1, seam="side", pieces=("sleve",)), "“sleve”: no piece has that name; there are back, front"),
        (Change(Do.LENGTHEN, 1, match="hip"), "“hip”: no notch or line has that name; there are waist"),
        (Change(Do.LET_OUT, 1, seam="hem back", pieces=("front",)), "none of front has the seam “hem back”"),
        (Change(Do.LENGTHEN, 1, pieces=("front",), at_cm=200), "200 cm from its foot lies outside it"),
        (Change(Do.TAKE_IN, 40, seam="side"), "move it less"),
        (Change(Do.TAKE_IN, 1, seam="side", nothing_at="neck"), "meets “neck” at neither of its ends"),
        (Change(Do.TAKE_IN, 1, seam="hem back", nothing_at="top"), "runs across the grain; name the seam it meets"),
        (Change(Do.RAISE, 1, corner=("neck", "side")), "“neck” and “side” do not meet"),
        (Change(Do.SHORTEN, 30, match="waist"), "too near a corner"),
    ],
)  # fmt: skip
def test_what_cannot_be_changed_is_one_sentence(change: Change, why: str) -> None:
    with pytest.raises(ChangeRefused) as refused:
        alter(bodice(), change)
    assert why in str(refused.value)
    assert "\n" not in str(refused.value)
