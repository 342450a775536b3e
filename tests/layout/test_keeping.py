"""The judge of rules names every rule that is broken, and nothing else; sentences by hand, own arithmetic."""

from dataclasses import replace

import pytest

from clothwright.layout import (
    Flaw,
    Layout,
    MatchPoint,
    Placed,
    Rules,
    SelvedgeEdge,
    Stripes,
    copies,
    faults,
    match_points,
    selvedge_edges,
)
from clothwright.pattern import Edge, MarkKind, Piece, PieceMark, rectangle

COAT = copies(
    (rectangle("front", width_cm=10, length_cm=30, cut=2, pair=True), rectangle("panel", width_cm=20, length_cm=8)),
    one_way=False,
)
# Two fronts side by side, 30 cm, a panel behind them: 38 cm, all of the cloth used.
GOOD = Layout(
    20.0,
    38.0,
    1.0,
    (
        Placed("front", 1, 0.0, 0.0, 0.0, False),
        Placed("front", 2, 0.0, 10.0, 0.0, True),
        Placed("panel", 1, 30.0, 0.0, 0.0, False),
    ),
)
OUTER = SelvedgeEdge("front", ((0.0, 0.0), (30.0, 0.0)), must=True)
BUST = (MatchPoint("side", "front", (5.0, 0.0)), MatchPoint("side", "panel", (3.0, 0.0)))


def lying(number: int, **change: object) -> Layout:
    placed = list(GOOD.placed)
    placed[number] = replace(placed[number], **change)
    return replace(GOOD, placed=tuple(placed))


@pytest.mark.parametrize(
    "rules",
    [
        Rules(),
        Rules(flaws=(Flaw(38.0, 5.0), Flaw(-4.0, 4.0))),
        Rules(locked=GOOD.placed[:1]),
        Rules(selvedges=(OUTER,)),
        Rules(whole_width=("panel",)),
        Rules(lots=(("front",), ("panel",))),
        Rules(stripes=(Stripes(7.0),), matches=BUST),
        Rules(stripes=(Stripes(7.0, even=False),), matches=BUST),
        Rules(stripes=(Stripes(20.0, across=True),), matches=BUST),
        Rules(one_way=True, grain_tolerance_deg=1.0),
    ],
)
def test_rules_that_are_kept_are_not_named(rules):
    """30 + 3 − 5 = 28 = 4 × 7 between the match points; the mirrored front's edge lies at y = 20."""
    assert faults(COAT, GOOD, rules=rules) == ()


@pytest.mark.parametrize(
    ("rules", "layout", "sentence"),
    [
        (Rules(gap_cm=0.5), GOOD, "front 1 and front 2 lie 0.0 cm apart; 0.5 cm is wanted"),
        (Rules(one_way=True), lying(0, rotation_deg=180.0), "front 1 is turned by 180°; it may lie at 0° only"),
        (
            Rules(grain_tolerance_deg=2.0),
            lying(0, rotation_deg=3.0),
            "front 1 is turned by 3°; it may lie at 0° or 180°, within 2°, only",
        ),
        (Rules(flaws=(Flaw(25.0, 2.0, what="knot"),)), GOOD, "front 2 covers the knot at 25.0 cm"),
        (Rules(flaws=(Flaw(31.0, 1.0, 3.0, 1.0),)), GOOD, "panel 1 covers the flaw at 31.0 cm"),
        (Rules(locked=GOOD.placed[2:]), lying(2, x_cm=31.0), "panel 1 is locked, and lies 1.0 cm from its place"),
        (
            Rules(locked=GOOD.placed[2:]),
            lying(2, rotation_deg=180.0),
            "panel 1 is locked at 0°, and is turned by 180°",
        ),
        (
            Rules(selvedges=(replace(OUTER, line=((0.0, 10.0), (30.0, 10.0))),)),
            GOOD,
            "front 1 has an edge that must lie on a selvedge, and does not",
        ),
        (Rules(selvedge_cm=1.0), GOOD, "front 1 lies 0.0 cm from a selvedge; 1.0 cm is wanted"),
        (Rules(whole_width=("front",)), GOOD, "front 1 takes the whole width of the cloth, and front 2 lies beside it"),
        (
            Rules(lots=(("panel",), ("front",))),
            GOOD,
            "panel 1 reaches 38.0 cm past the start of front 2, which is of a later lot",
        ),
        (
            Rules(stripes=(Stripes(8.0),), matches=BUST),
            GOOD,
            "stripes at side are 4.0 cm out between front 1 and panel 1",
        ),
        (
            Rules(stripes=(Stripes(7.0),), matches=BUST),
            lying(2, rotation_deg=180.0),
            "stripes at side are 2.0 cm out between front 1 and panel 1",
        ),
        (
            Rules(stripes=(Stripes(7.0, even=False),)),
            lying(2, rotation_deg=180.0),
            "panel 1 is turned by 180°; it may lie at 0° only",
        ),
        (
            Rules(stripes=(Stripes(4.0, across=True, even=False),)),
            GOOD,
            "front 2 is mirrored, which stripes with an uneven repeat across the cloth do not bear",
        ),
    ],
)
def test_every_rule_that_is_broken_is_named(rules, layout, sentence):
    """A panel turned round has its point at 30 + 8 − 3 = 35, seen backwards: −35 against 5 is 2 out of 7."""
    assert sentence in faults(COAT, layout, rules=rules)


def test_an_edge_that_may_lie_on_a_selvedge_lets_its_piece_lie_there():
    may = replace(OUTER, must=False)
    said = faults(COAT, GOOD, rules=Rules(selvedge_cm=1.0, selvedges=(may,)))
    assert not any("front" in sentence for sentence in said)
    assert any("panel 1" in sentence for sentence in said)


def test_a_half_turn_is_none_where_the_repeat_is_even_and_the_point_is_in_its_middle():
    """At the middle of a repeat of 7 the stripes look alike both ways: 3.5 ≡ −3.5. Own arithmetic."""
    middle = (MatchPoint("side", "front", (3.5, 0.0)), MatchPoint("side", "panel", (3.0, 0.0)))
    rules = Rules(stripes=(Stripes(7.0),), matches=middle)
    # The panel turned round at 33.5 has its point at 33.5 + 8 − 3 = 38.5 = 5 × 7 + 3.5.
    turned = replace(lying(2, x_cm=33.5, rotation_deg=180.0), length_cm=41.5, used_share=760 / (20 * 41.5))
    assert faults(COAT, turned, rules=rules) == ()


def test_match_points_lie_on_the_stitching_line_and_edges_come_from_the_drawing():
    """A notch cut from the edge at y = 0 meets the stitching line 1.5 cm inside. Own drawing."""
    stitching = ((1.5, 1.5), (28.5, 1.5), (28.5, 8.5), (1.5, 8.5))
    notch = PieceMark(MarkKind.NOTCH, ((12.0, 0.0), (12.0, 0.5)), name="side")
    edge = Edge(((0.0, 10.0), (30.0, 10.0)), selvedge=True)
    outline = ((0, 0), (30, 0), (30, 10), (0, 10))
    piece = Piece("front", outline, stitching=stitching, marks=(notch,), edges=(edge, Edge(outline[:2])))
    assert match_points((piece,)) == (MatchPoint("side", "front", (12.0, 1.5)),)
    assert selvedge_edges((piece,)) == (SelvedgeEdge("front", ((0.0, 10.0), (30.0, 10.0))),)


@pytest.mark.parametrize("wrong", [0.0, -1.0, float("nan")])
def test_a_repeat_that_is_none_is_refused(wrong):
    with pytest.raises(ValueError, match="no repeat"):
        Stripes(wrong)


def test_a_gap_below_nothing_is_refused():
    with pytest.raises(ValueError, match="gap_cm"):
        Rules(gap_cm=-1.0)
