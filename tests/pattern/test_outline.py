"""Opening out, allowance and grain: plain geometry, with shapely as the independent check."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from pattern.drawn import L_SHAPE, only_piece, problems, read
from shapely.affinity import rotate, scale, translate
from shapely.geometry import Polygon, box

sides = st.floats(2, 60).map(lambda x: round(x, 2))

# An L as drawn, y upright: corner at the lower left, the foot to the right, standing upright on the page.
L_UPRIGHT = Polygon([(0, 20), (4, 20), (4, 6), (10, 6), (10, 0), (0, 0)])


def at_origin(polygon: Polygon) -> Polygon:
    return translate(polygon, -polygon.bounds[0], -polygon.bounds[1])


# --- grain: a turn, never a mirroring ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("mark", "turned"),
    [("", -90), ('data-grain="y"', -90), ('data-grain="x"', 0), ('data-grain="270"', 90), ('data-grain="30"', -30)],
)
def test_the_grain_is_turned_to_run_along_x_and_the_piece_is_never_mirrored(mark: str, turned: float) -> None:
    """Seen on the page, an L stays an L: up the page becomes along the cloth by a quarter turn clockwise."""
    piece = only_piece(L_SHAPE.format(mark))
    expected = at_origin(rotate(L_UPRIGHT, turned, origin=(0, 0)))
    assert piece.polygon.symmetric_difference(expected).area == pytest.approx(0, abs=1e-6)
    mirrored = at_origin(scale(piece.polygon, 1, -1))
    assert piece.polygon.symmetric_difference(mirrored).area > 10


@pytest.mark.parametrize(
    ("line", "turned"),
    [("12,28 12,12", -90), ("12,12 12,28", -90), ("11,29 19,29", 0), ("19,29 11,29", 0), ("12,27 12.005,13", -90)],
)
def test_a_grain_line_shows_the_grain_whichever_way_it_is_drawn(line: str, turned: float) -> None:
    """A grain line has no head: upwards if it is upright, to the right if level (common practice, no source)."""
    piece = only_piece(f'<g>{L_SHAPE.format("")}<polyline data-line="grain" points="{line}"/></g>')
    expected = at_origin(rotate(L_UPRIGHT, turned, origin=(0, 0)))
    assert piece.polygon.symmetric_difference(expected).area == pytest.approx(0, abs=1e-6)


@given(st.floats(-44, 134).map(lambda a: round(a, 1)))
def test_a_slanted_grain_line_means_the_same_as_its_angle(angle: float) -> None:
    """Degrees run anticlockwise from the right of the page, where y points down."""
    assume(0.2 < angle % 90 < 89.8)
    dx, dy = 3 * math.cos(math.radians(angle)), -3 * math.sin(math.radians(angle))
    line = f'<line data-line="grain" x1="12" y1="20" x2="{12 + dx}" y2="{20 + dy}"/>'
    by_line = only_piece(f"<g>{L_SHAPE.format('')}{line}</g>")
    by_angle = only_piece(L_SHAPE.format(f'data-grain="{angle}"'))
    assert by_line.polygon.symmetric_difference(by_angle.polygon).area == pytest.approx(0, abs=0.1)


def test_a_grain_line_goes_with_the_piece_it_lies_in() -> None:
    both = L_SHAPE.format("") + '<rect data-piece="bar" x="30" y="10" width="20" height="5"/>'
    level = '<line data-line="grain" x1="32" y1="12" x2="48" y2="12"/>'
    ell, bar = read(both + level).pieces
    assert (ell.length_cm, bar.length_cm) == pytest.approx((20, 20))


def test_a_grain_line_in_no_piece_is_refused() -> None:
    both = L_SHAPE.format("") + '<rect data-piece="bar" x="30" y="10" width="20" height="5"/>'
    (problem,) = problems(both + '<line data-line="grain" x1="2" y1="70" x2="8" y2="70"/>')
    assert "lies in no piece" in problem


def test_a_piece_has_one_grain() -> None:
    line = '<line data-line="grain" x1="12" y1="28" x2="19" y2="28"/>'
    upright = L_SHAPE.format('data-grain="y"')
    (problem,) = problems(f"<g>{upright}{line}</g>")
    assert "grain in more than one direction: 90.0° and 0.0°" in problem
    (problem,) = problems(f'<g>{L_SHAPE.format("")}<path data-line="grain" d="M 12 28 Q 12 20 19 28"/></g>')
    assert "not one straight open line" in problem


# --- fold --------------------------------------------------------------------------------------------------------

# Straight on every side, so that any of them may lie on the fold; one corner cut off, so that no two are alike.
HALF = '<path data-piece="half" data-fold="{}" d="M 10 10 H 20 V 25 L 16 30 H 10 Z"/>'
HALF_AREA = 10 * 20 - 4 * 5 / 2


@pytest.mark.parametrize(
    ("side", "width", "length"), [("left", 20, 20), ("right", 20, 20), ("top", 10, 40), ("bottom", 10, 40)]
)
def test_an_outline_on_the_fold_is_opened_out_about_that_edge(side: str, width: float, length: float) -> None:
    piece = only_piece(HALF.format(side))
    assert piece.area_cm2 == pytest.approx(2 * HALF_AREA)
    assert (piece.width_cm, piece.length_cm) == pytest.approx((width, length))
    axis = (1, -1) if side in ("left", "right") else (-1, 1)
    assert piece.polygon.symmetric_difference(at_origin(scale(piece.polygon, *axis))).area == pytest.approx(0, abs=1e-6)


@given(sides, sides, st.floats(1, 30), st.sampled_from(["left", "top"]))
def test_opening_out_doubles_the_area_and_never_the_fold(w: float, h: float, curve: float, side: str) -> None:
    """A rectangle with a curved far side; shapely's union with its reflection is the independent check."""
    d = f"M 0 0 H {w} Q {w + curve} {h / 2} {w} {h} H 0 Z"
    if side == "top":
        d = f"M 0 0 H {w} V {h} Q {w / 2} {h + curve} 0 {h} Z"
    plain = only_piece(f'<path data-piece="a" d="{d}"/>')
    opened = only_piece(f'<path data-piece="a" data-fold="{side}" d="{d}"/>')
    assert opened.area_cm2 == pytest.approx(2 * plain.area_cm2)
    across, along = (2, 1) if side == "left" else (1, 2)
    assert opened.width_cm == pytest.approx(across * plain.width_cm)
    assert opened.length_cm == pytest.approx(along * plain.length_cm)


def test_the_fold_is_the_edge_seen_on_the_page_after_every_transform() -> None:
    turned = only_piece(f'<g transform="rotate(180 30 40)">{HALF.format("left")}</g>')
    assert turned.polygon.symmetric_difference(
        at_origin(rotate(only_piece(HALF.format("right")).polygon, 180))
    ).area == (pytest.approx(0, abs=1e-6))


@pytest.mark.parametrize(
    ("d", "why"),
    [
        ("M 10 10 L 20 12 V 30 H 12 Z", "is not a straight line along that side"),
        ("M 10 10 H 20 V 30 H 10.5 Z", "is not a straight line along that side"),
        ("M 20 10 V 30 C 5 30 5 10 20 10 Z", "is not a straight line along that side"),
        ("M 20 10 V 30 A 10 10 0 0 1 20 10 Z", "is not a straight line along that side"),
        ("M 10 10 H 20 V 40 H 10 V 30 H 15 V 20 H 10 Z", "leaves the fold and comes back"),
        ("M 10 10 L 20 5 V 40 L 10 10.5 Z", "straight for less than 1 cm"),
    ],
)
def test_a_fold_that_is_not_one_straight_edge_along_the_page_is_refused(d: str, why: str) -> None:
    (problem,) = problems(f'<path data-piece="a" data-fold="left" d="{d}"/>')
    assert problem.startswith("“a”: its fold is at the left")
    assert why in problem


def test_a_fold_drawn_a_tenth_of_a_millimetre_off_is_taken_as_straight() -> None:
    piece = only_piece('<path data-piece="a" data-fold="left" d="M 10.01 10 H 20 V 30 H 10 Z"/>')
    assert piece.width_cm == pytest.approx(20)


# --- allowance ---------------------------------------------------------------------------------------------------


@given(sides, sides, st.floats(0.3, 5))
def test_an_allowance_on_a_rectangle_adds_a_strip_on_each_side_and_its_corners(w: float, h: float, s: float) -> None:
    """Plain geometry with mitred corners: (w + 2s)(h + 2s) = w h + 2 (w + h) s + 4 s²."""
    piece = only_piece(f'<rect data-piece="a" data-line="stitch" width="{w}" height="{h}"/>', seam_allowance_cm=s)
    assert piece.area_cm2 == pytest.approx(w * h + 2 * (w + h) * s + 4 * s * s)
    assert len(piece.outline) == 4


def test_an_outline_of_the_cut_line_gets_no_allowance() -> None:
    assert only_piece('<rect data-piece="a" width="10" height="20"/>', seam_allowance_cm=2).area_cm2 == pytest.approx(
        200
    )


@pytest.mark.parametrize("side", ["left", "right", "top", "bottom"])
def test_the_fold_gets_no_allowance(side: str) -> None:
    """Opened out, the stitching line is 20 x 20 or 10 x 40; the allowance goes round the whole."""
    d = '<rect data-piece="a" data-line="stitch" data-fold="{}" x="10" y="10" width="10" height="20"/>'
    piece = only_piece(d.format(side), seam_allowance_cm=1.5)
    opened = (20, 20) if side in ("left", "right") else (10, 40)
    assert (piece.width_cm, piece.length_cm) == pytest.approx((opened[0] + 3, opened[1] + 3))


def test_a_very_sharp_corner_is_cut_off_where_svgs_mitre_limit_stops() -> None:
    """Source: SVG 1.1, stroke-miterlimit: 4 half-widths; a corner of 5.7 degrees would reach 20."""
    piece = only_piece(
        '<path data-piece="a" data-line="stitch" data-grain="x" d="M 10 20 L 50 18 V 22 Z"/>', seam_allowance_cm=1
    )
    assert 40 + 1 + 1 < piece.length_cm <= 40 + 1 + 4


@given(st.floats(5, 25), st.floats(0.5, 3))
def test_an_allowance_round_a_circle_makes_a_larger_circle(r: float, s: float) -> None:
    """To 0.5 mm: the flattened circle lies up to 0.2 mm inside, and its offset the same."""
    piece = only_piece(f'<circle data-piece="a" data-line="stitch" cx="30" cy="40" r="{r}"/>', seam_allowance_cm=s)
    assert piece.area_cm2 == pytest.approx(math.pi * (r + s) ** 2, abs=2 * math.pi * (r + s) * 0.05)


def test_a_hollow_corner_gets_its_allowance_from_both_sides() -> None:
    piece = only_piece(L_SHAPE.format('data-line="stitch" data-grain="x"'), seam_allowance_cm=1)
    expected = box(0, 0, 6, 22).union(box(0, 0, 12, 8))
    assert piece.polygon.symmetric_difference(expected).area == pytest.approx(0, abs=1e-6)


def test_an_opening_that_the_allowance_closes_is_told() -> None:
    keyhole = (
        '<path data-piece="a" data-line="stitch" d="M 10 10 H 30 V 40 H 21 V 34 H 26 V 16 H 14 V 34 H 20 V 40 H 10 Z"/>'
    )
    drawing = read(keyhole, seam_allowance_cm=1)
    assert any("closes an opening" in note for note in drawing.notes)
    assert drawing.pieces[0].area_cm2 == pytest.approx(22 * 32)


def test_a_stitching_line_without_an_allowance_is_told() -> None:
    drawing = read('<rect data-piece="a" data-line="stitch" width="10" height="20"/>')
    assert any("seam allowance is 0: “a”" in note for note in drawing.notes)
