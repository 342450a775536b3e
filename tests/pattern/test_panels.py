"""A piece divided into panels is the same piece once it is put together again.

The independent reference is shapely's own overlay: the published outlines (CC0, tests/published/nesting) and random ones are cut
here by boxes, not by the code under test, and compared part for part.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pattern.garments import NAMES, garment
from shapely import union_all
from shapely.affinity import scale
from shapely.geometry import Polygon, box

from clothwright.layout import copies
from clothwright.pattern import (
    CheckKind,
    Edge,
    Join,
    JoinedPiece,
    JoinRefused,
    MarkKind,
    Piece,
    PieceMark,
    Sewn,
    check_pieces,
    join_piece,
    read_join_place,
    rectangle,
)

ALLOWANCE = 1.5


def joined(piece: Piece, at: str, sewn: Sewn = Sewn.SEAM, allowance_cm: float = ALLOWANCE) -> JoinedPiece:
    return join_piece(piece, Join(read_join_place(at), sewn, allowance_cm))


def outlines() -> list[Piece]:
    return [Piece(f"{name} {one.name}", one.points) for name in NAMES for one in garment(name)]


WIDE = [piece for piece in outlines() if piece.width_cm > 12]


def put_together(one: JoinedPiece) -> Polygon:
    return union_all([Polygon(panel.part) for panel in one.panels], grid_size=1e-6)


def without_allowances(one: JoinedPiece) -> list[Polygon]:
    """The panels as cut, the strips beyond their joins cut off again, where they lie on the whole."""
    found = []
    for panel in one.panels:
        cut = Polygon(panel.on_the_whole(panel.piece.outline))
        found.append(cut.intersection(Polygon(panel.part).buffer(1e-6)))
    return found


# --- put together again -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("at", ["centre", "3 equal panels", "side panels of 4 cm", "5 cm from the right"])
def test_published_outlines_split_and_put_together_are_the_same_outline(at: str) -> None:
    tried = 0
    for piece in WIDE:
        try:
            one = joined(piece, at)
        except JoinRefused as refused:
            assert "can be sewn" in str(refused)  # noqa: PT017 - the only reason there is: a sliver
            continue
        tried += 1
        whole = put_together(one)
        assert whole.symmetric_difference(piece.polygon).area < 0.001 * piece.area_cm2
        assert whole.exterior.hausdorff_distance(piece.polygon.exterior) < 0.001 * piece.around_cm
        assert union_all(without_allowances(one)).symmetric_difference(piece.polygon).area < 0.001 * piece.area_cm2
    assert tried > 25


def test_each_panel_of_a_published_outline_is_what_a_box_cuts_out_of_it() -> None:
    """The panel without its strip is the outline within a box, and the strip a box on the join."""
    for piece in WIDE:
        middle = piece.width_cm / 2
        low, high = box(-1, -1, 500, middle), box(-1, middle, 500, 500)
        expected = {part.wkb for half in (low, high) for part in _polygons(piece.polygon.intersection(half))}
        try:
            one = joined(piece, "centre")
        except JoinRefused:
            continue
        assert len(one.panels) == len(expected)
        for panel in one.panels:
            part = Polygon(panel.part)
            half = low if part.centroid.y < middle else high
            (same,) = [
                p for p in _polygons(piece.polygon.intersection(half)) if p.intersects(part.representative_point())
            ]
            assert part.symmetric_difference(same).area < 1e-3
            below, above = (union_all(_polygons(piece.polygon.intersection(side))) for side in (low, high))
            crossing = below.intersection(above)
            strip = crossing.intersection(part.buffer(1e-6)).length * ALLOWANCE
            assert panel.piece.area_cm2 == pytest.approx(part.area + strip, abs=1e-3)


def _polygons(shape) -> list[Polygon]:
    return [one for one in getattr(shape, "geoms", [shape]) if one.geom_type == "Polygon" and one.area > 1e-5]


@st.composite
def pieces(draw: st.DrawFn) -> Piece:
    """Outlines round a middle, now and then hollow, as pieces of garments are."""
    spokes = draw(st.lists(st.floats(8, 60), min_size=5, max_size=12))
    step = 2 * math.pi / len(spokes)
    points = [(60 + r * math.cos(n * step), 60 + 0.6 * r * math.sin(n * step)) for n, r in enumerate(spokes)]
    cut = draw(st.integers(1, 4))
    return Piece("kelp", tuple(points), cut=cut, pair=draw(st.booleans()) and cut > 1, one_way=draw(st.booleans()))


@given(pieces(), st.sampled_from(["centre", "3 equal panels", "side panels of 3 cm"]), st.floats(0.5, 3))
@settings(max_examples=150, deadline=None)
def test_areas_add_up_seams_match_and_grain_and_count_are_kept(piece: Piece, at: str, allowance: float) -> None:
    try:
        one = joined(piece, at, allowance_cm=allowance)
    except JoinRefused:
        return
    seam = sum(seam.length_cm for seam in one.seams)
    assert sum(panel.area_cm2 for panel in one.pieces) == pytest.approx(piece.area_cm2 + 2 * allowance * seam, rel=1e-3)
    assert put_together(one).symmetric_difference(piece.polygon).area < 0.001 * piece.area_cm2
    for made in one.seams:
        sides = [edge.length_cm for panel in one.pieces for edge in panel.edges if edge.seam == made.name]
        assert sides == [pytest.approx(made.length_cm)] * 2
    for panel in one.pieces:
        assert (panel.cut, panel.pair, panel.one_way, panel.material) == (piece.cut, piece.pair, piece.one_way, "main")
    assert not [c for c in check_pieces(one.pieces) if c.kind in (CheckKind.SEAM, CheckKind.MATCH)]


@given(pieces(), st.sampled_from(["2 equal panels", "3 equal panels", "4 equal panels"]))
@settings(max_examples=100, deadline=None)
def test_equal_panels_are_no_wider_than_their_share_and_allowances(piece: Piece, at: str) -> None:
    try:
        one = joined(piece, at)
    except JoinRefused:
        return
    share = piece.width_cm / int(at[0])
    assert max(panel.width_cm for panel in one.pieces) <= share + 2 * ALLOWANCE + 1e-6


@given(pieces())
@settings(max_examples=60, deadline=None)
def test_mirrored_copies_of_panels_are_panels_of_the_mirrored_piece(piece: Piece) -> None:
    """Shapely's mirror image of the whole, joined at the same place, gives the mirror images of the panels."""
    pair = replace(piece, cut=2, pair=True)
    try:
        one = joined(pair, "4 cm from the left")
    except JoinRefused:
        return
    other = joined(Piece("kelp", tuple(scale(pair.polygon, 1, -1).exterior.coords)[:-1]), "4 cm from the right")
    mirrored = [copy for panel in one.pieces for copy in copies((panel,), one_way=False) if copy.mirrored]
    assert len(mirrored) == len(one.pieces)
    for copy in mirrored:
        shape = Polygon(copy.outline)
        assert min(shape.symmetric_difference(panel.polygon).area for panel in other.pieces) < 1e-3


# --- names, edges, marks -----------------------------------------------------------------------------------------


def back(**more) -> Piece:
    """A back 50 cm wide, 60 long, opened out at its fold, stitched 1.5 cm inside; shoulders at the far end."""
    outline = ((0, 0), (60, 0), (60, 50), (0, 50))
    sewn = ((1.5, 1.5), (58.5, 1.5), (58.5, 48.5), (1.5, 48.5))
    edges = (
        Edge(((1.5, 1.5), (58.5, 1.5)), seam="side"),
        Edge(((58.5, 48.5), (1.5, 48.5)), seam="side"),
        Edge(((58.5, 1.5), (58.5, 48.5)), seam="yoke", ease_cm=1.0),
    )
    marks = (
        PieceMark(MarkKind.NOTCH, ((30, 0), (30, 1.5)), name="a"),
        PieceMark(MarkKind.INSIDE, ((20, 20), (30, 20), (30, 30), (20, 30)), closed=True),
        PieceMark(MarkKind.INSIDE, ((10, 40),)),
    )
    given = {"stitching": sewn, "fold": ((0, 25), (60, 25)), "edges": edges, "marks": marks, "allowance_cm": 1.5}
    return Piece("back", outline, **(given | more))


def test_panels_are_named_by_side_as_drawn_with_the_grain_upwards() -> None:
    assert [panel.name for panel in joined(back(), "centre").pieces] == ["back, left panel", "back, right panel"]
    three = joined(back(), "side panels of 10 cm")
    assert [panel.name for panel in three.pieces] == ["back, left panel", "back, middle panel", "back, right panel"]
    assert [panel.name for panel in joined(back(), "4 equal panels").pieces][1] == "back, panel 2 of 4"
    assert three.panels[0].part[0][1] > 25


def test_a_centre_seam_takes_the_fold_line() -> None:
    one = joined(back(fold=((0, 20), (60, 20))), "centre")
    assert [panel.width_cm for panel in one.pieces] == [pytest.approx(31.5), pytest.approx(21.5)]
    assert all(panel.fold is None for panel in one.pieces)


def test_no_seam_is_put_at_a_fold_that_runs_off_the_grain() -> None:
    with pytest.raises(JoinRefused, match="off the grain"):
        joined(back(fold=((0, 20), (60, 30))), "centre")


def test_edges_notches_and_marks_go_with_the_panel_they_lie_on() -> None:
    left, right = joined(back(), "centre").pieces
    assert [edge.seam for edge in left.edges] == ["side", "yoke", "back, join"]
    assert [mark.name for mark in right.marks if mark.kind is MarkKind.NOTCH and mark.name == "a"] == ["a"]
    assert not [mark for mark in left.marks if mark.name == "a"]
    assert len([mark for mark in left.marks if len(mark.points) == 1]) == 1
    assert left.stitching is not None
    assert Polygon(left.stitching).area == pytest.approx(57 * 23.5)


def test_an_edge_that_a_join_cuts_is_measured_as_a_whole_against_its_partner() -> None:
    left, right = joined(back(), "centre").pieces
    yokes = [edge for panel in (left, right) for edge in panel.edges if edge.seam == "yoke"]
    assert [edge.length_cm for edge in yokes] == [pytest.approx(23.5)] * 2
    assert [edge.of_the_whole for edge in yokes] == [(pytest.approx(47), pytest.approx(1))] * 2
    yoke = Piece("yoke", ((0, 0), (10, 0), (10, 46), (0, 46)), edges=(Edge(((0, 0), (0, 46)), seam="yoke"),))
    assert not [c for c in check_pieces((left, right, yoke)) if c.kind is CheckKind.SEAM]
    short = replace(yoke, edges=(Edge(((0, 0), (0, 40)), seam="yoke"),))
    assert [c for c in check_pieces((left, right, short)) if c.kind is CheckKind.SEAM]


def test_match_marks_lie_at_the_same_places_on_both_sides_of_a_join() -> None:
    one = joined(back(), "centre")
    places = [
        sorted(
            (mark.name, panel.on_the_whole(mark.points)[0]) for mark in panel.piece.marks if "join" in str(mark.name)
        )
        for panel in one.panels
    ]
    assert len(places[0]) == 2
    assert [name for name, _ in places[0]] == [name for name, _ in places[1]]
    for (_, here), (_, there) in zip(*places, strict=True):
        assert here == (pytest.approx(there[0], abs=1e-6), pytest.approx(there[1], abs=1e-6))


def test_a_panel_of_a_piece_cut_twice_is_not_asked_for_its_mirror() -> None:
    sleeve = Piece("sleeve", ((0, 0), (40, 0), (50, 15), (40, 30), (0, 30)), cut=2)
    assert not [c for c in check_pieces(joined(sleeve, "centre").pieces) if c.kind is CheckKind.MIRROR]


# --- drawn lines, hems, selvedges ---------------------------------------------------------------------------------


def test_a_piece_is_joined_across_the_grain_only_where_a_line_is_drawn() -> None:
    line = PieceMark(MarkKind.JOIN, ((20, 0.4), (24, 25), (20, 49.6)))
    one = joined(back(marks=(line,)), "drawn line")
    assert [panel.name for panel in one.pieces] == ["back, upper panel", "back, lower panel"]
    assert put_together(one).symmetric_difference(back().polygon).area < 0.001 * 3000
    assert not [mark for panel in one.pieces for mark in panel.marks if mark.kind is MarkKind.JOIN]
    with pytest.raises(JoinRefused, match="no join line is drawn"):
        joined(back(), "drawn line")
    with pytest.raises(JoinRefused, match="from edge to edge"):
        joined(back(marks=(PieceMark(MarkKind.JOIN, ((20, 10), (20, 30))),)), "drawn line")


def test_a_hem_that_is_cut_off_becomes_a_facing_of_the_cloth_named() -> None:
    hem = Edge(((4.0, 1.5), (4.0, 48.5)), allowance_cm=4.0, hem=True)
    join = Join(read_join_place("hem"), material="lining cloth")
    whole, facing = join_piece(back(edges=(hem,)), join).pieces
    if whole.name != "back":
        whole, facing = facing, whole
    assert (facing.name, facing.material, whole.material) == ("back, hem facing", "lining cloth", "main")
    assert whole.length_cm == pytest.approx(60 - 4 + 1.5)
    assert facing.length_cm == pytest.approx(4 + 1.5)
    assert not any(edge.hem for edge in (*whole.edges, *facing.edges))


@pytest.mark.parametrize(("sewn", "beyond"), [(Sewn.BUTTED, 0.0), (Sewn.LAPPED, 0.5)])
def test_edges_of_selvedge_joins_lie_at_the_side_of_the_panel_and_say_so(sewn: Sewn, beyond: float) -> None:
    left, right = joined(back(), "centre", sewn, sewn.usual_allowance_cm).pieces
    for panel, side in ((left, beyond), (right, 25.0)):
        (edge,) = [edge for edge in panel.edges if edge.seam == "back, join"]
        assert edge.selvedge
        assert edge.line[0][1] == pytest.approx(side)
        assert panel.width_cm == pytest.approx(25 + beyond)


def test_a_drawn_line_joins_no_selvedges() -> None:
    line = PieceMark(MarkKind.JOIN, ((20, 0), (20, 50)))
    with pytest.raises(JoinRefused, match="along the grain"):
        joined(back(marks=(line,)), "drawn line", Sewn.BUTTED, 0.0)


@pytest.mark.parametrize(
    ("at", "why"),
    [
        ("50 cm", "lies outside it"),
        ("0.4 cm", "0.4 cm wide; one of 1 cm or more"),
        ("side panels of 25 cm", "leave no middle"),
    ],
)
def test_a_join_that_cannot_be_made_says_why(at: str, why: str) -> None:
    with pytest.raises(JoinRefused, match=why):
        joined(back(), at)


# --- kimono from one bolt ------------------------------------------------------------------------------------------


def test_kimono_body_on_its_bolt_is_two_panels_butted_at_the_centre_back() -> None:
    """A body of two loom widths is two lengths of the bolt, selvedge to selvedge, and nothing is cut across.

    *Source:* width 36 to 37 cm and the centre-back seam that narrow cloth forces, S. Briscoe, "How to cut out kimono and other
    things", 2008: body = 4 x (height + 8 cm), in two lengths over the shoulder.
    """
    height, bolt = 160.0, 36.5
    body = rectangle("body", width_cm=2 * bolt, length_cm=2 * (height + 8))
    one = joined(body, "centre", Sewn.BUTTED, 0.0)
    assert [panel.width_cm for panel in one.pieces] == [pytest.approx(bolt)] * 2
    assert sum(panel.length_cm for panel in one.pieces) == pytest.approx(672)
    assert sum(panel.area_cm2 for panel in one.pieces) == pytest.approx(672 * bolt)
