"""The judge says what is wrong with a layout, and nothing when nothing is."""

from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.affinity import rotate, translate
from shapely.geometry import Polygon
from shapely.ops import unary_union

from clothwright.layout import Layout, Placed, copies, faults
from clothwright.pattern import Piece, rectangle
from layout.cases import garments

COAT = copies(
    (
        rectangle("front", width_cm=10, length_cm=30, cut=2, one_way=True),
        Piece("sleeve", ((0, 0), (20, 0), (0, 10)), cut=2, pair=True),
    ),
    one_way=False,
)
# Two fronts side by side, 30 cm; each sleeve is half of a 20 × 10 box of its own. Own arithmetic:
# 30 + 20 = 50 cm, and (2 × 300 + 2 × 100) ÷ (50 × 20) = 0.8.
GOOD = Layout(
    20.0,
    50.0,
    0.8,
    (
        Placed("front", 1, 0.0, 0.0, 0.0, False),
        Placed("front", 2, 0.0, 10.0, 0.0, False),
        Placed("sleeve", 1, 30.0, 0.0, 180.0, False),
        Placed("sleeve", 2, 30.0, 10.0, 0.0, True),
    ),
)


def broken(number: int, **change: object) -> Layout:
    """GOOD with one placed copy changed."""
    placed = list(GOOD.placed)
    placed[number] = replace(placed[number], **change)
    return replace(GOOD, placed=tuple(placed))


def test_a_layout_that_can_be_cut_has_no_faults():
    assert faults(COAT, GOOD) == ()


def test_no_copies_on_no_cloth_is_a_layout():
    assert faults((), Layout(40.0, 0.0, 0.0, ())) == ()


# Each sentence worked out by hand from GOOD: own arithmetic.
@pytest.mark.parametrize(
    ("layout", "sentence"),
    [
        (replace(GOOD, placed=GOOD.placed[1:]), "front 1 is not placed"),
        (replace(GOOD, placed=(*GOOD.placed, GOOD.placed[0])), "front 1 is placed 2 times"),
        (broken(0, copy=3), "front 3 is placed, but was not asked for"),
        (broken(0, rotation_deg=180.0), "front 1 is turned by 180°; it may lie at 0° only"),
        (broken(2, rotation_deg=90.0), "sleeve 1 is turned by 90°; it may lie at 0° or 180° only"),
        (broken(2, mirrored=True), "sleeve 1 is mirrored, and should not be"),
        (broken(3, mirrored=False), "sleeve 2 is not mirrored, and should be"),
        (broken(1, y_cm=10.4), "front 2 sticks out past the far selvedge by 0.4 cm"),
        (broken(0, y_cm=-0.4), "front 1 sticks out past the first selvedge by 0.4 cm"),
        (broken(0, x_cm=-2.0), "front 1 sticks out past the start of the cloth by 2.0 cm"),
        (broken(1, y_cm=9.9), "front 1 and front 2 overlap by 3.0 cm²"),
        (broken(0, x_cm=float("nan")), "front 1 has no place on the cloth"),
        (replace(GOOD, length_cm=49.0), "the layout says it is 49.0 cm long, and is 50.0 cm"),
        (replace(GOOD, length_cm=float("nan")), "the layout says it is nan cm long, and is 50.0 cm"),
        (replace(GOOD, used_share=0.9), "the layout says it uses 90.0% of the cloth, and uses 80.0%"),
        (replace(GOOD, width_cm=0.0), "the cloth is 0.0 cm wide, which is no width"),
    ],
)
def test_every_kind_of_fault_is_named(layout, sentence):
    assert sentence in faults(COAT, layout)


def test_a_full_turn_more_is_the_same_turn():
    assert faults(COAT, broken(2, rotation_deg=-180.0)) == ()


def test_a_copy_asked_for_twice_is_a_fault():
    assert "front 1 is asked for twice" in faults((*COAT, COAT[0]), GOOD)


def test_a_hair_over_the_selvedge_is_let_pass_and_more_is_not():
    """0.01 cm is within what scissors can do; common practice, no source."""
    assert faults(COAT, replace(GOOD, width_cm=19.995)) == ()
    assert any("far selvedge" in fault for fault in faults(COAT, replace(GOOD, width_cm=19.98)))


def test_overlaps_are_let_pass_up_to_three_hundredths_in_all():
    """Fronts 30 cm long that overlap by 0.0009 and 0.0012 cm: 0.027 and 0.036 cm² by own arithmetic."""
    assert faults(COAT, broken(1, y_cm=9.9991)) == ()
    assert "front 1 and front 2 overlap by 0.036 cm²" in faults(COAT, broken(1, y_cm=9.9988))


def test_a_wanted_gap_is_kept():
    wider = replace(broken(1, y_cm=10.3), width_cm=21.0, used_share=800 / (50 * 21))
    assert "front 1 and front 2 lie 0.3 cm apart; 1.0 cm is wanted" in faults(COAT, wider, gap_cm=1.0)
    assert not any("front 1 and front 2" in fault for fault in faults(COAT, wider, gap_cm=0.3))


@settings(deadline=None)
@given(garments(), st.data())
def test_the_judge_agrees_with_the_area_that_all_pieces_cover_together(found, data):
    """Outside check by shapely's own turning and union: what covers less than its sum overlaps."""
    at = st.floats(0, 40)
    placed = tuple(
        Placed(
            c.piece,
            c.number,
            data.draw(at),
            data.draw(at),
            data.draw(st.sampled_from(c.turns_deg)),
            c.mirrored,
        )
        for c in found
    )
    shapes = [drawn(copy, p) for copy, p in zip(found, placed, strict=True)]
    lost = sum(shape.area for shape in shapes) - unary_union(shapes).area
    assume(lost > 0.031 or lost < 0.001)
    length = max(shape.bounds[2] for shape in shapes)
    layout = Layout(80.0, length, sum(shape.area for shape in shapes) / (80 * length), placed)
    assert any("overlap" in fault for fault in faults(found, layout)) == (lost > 0.03)
    assert all("overlap" in fault for fault in faults(found, layout))


def drawn(copy, placed):
    """A placed copy drawn by shapely's own turning."""
    turned = rotate(Polygon(copy.outline), placed.rotation_deg, origin=(0, 0))
    left, low, _, _ = turned.bounds
    return translate(turned, placed.x_cm - left, placed.y_cm - low)
