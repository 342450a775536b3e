"""What is drawn on a piece goes with it: edges, allowances, stitching line, folds, notches, text.

Shapely is the independent check of areas and lengths. What a mark means is our own (common practice, no source).
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pattern.drawn import only_piece, problems, read
from shapely.geometry import LineString, Polygon, box

from clothwright.pattern import MarkKind, Piece

BOX = '<rect x="10" y="10" width="20" height="40" {}/>'
LEFT, RIGHT, TOP, FOOT = "10,10 10,50", "30,10 30,50", "10,10 30,10", "10,50 30,50"
widths = st.floats(0, 5).map(lambda x: round(x, 2))


def edge(points: str, label: str) -> str:
    return f'<polyline points="{points}"><title>{label}</title></polyline>'


def piece(content: str, **asked: float) -> Piece:
    return only_piece(f'<g data-piece="a">{content}</g>', **asked)


# --- allowance per edge ------------------------------------------------------------------------------------------


@given(widths, widths, widths, widths)
def test_each_edge_gets_its_own_allowance_and_corners_run_on_to_each_other(
    left: float, right: float, top: float, foot: float
) -> None:
    lines = zip((LEFT, RIGHT, TOP, FOOT), (left, right, top, foot), strict=True)
    drawn = piece(
        BOX.format('data-line="stitch"') + "".join(edge(points, f"edge, allowance {cm} cm") for points, cm in lines),
        seam_allowance_cm=1,
    )
    assert drawn.width_cm == pytest.approx(20 + left + right)
    assert drawn.length_cm == pytest.approx(40 + top + foot)
    assert drawn.area_cm2 == pytest.approx((20 + left + right) * (40 + top + foot))


def test_a_hem_is_an_allowance_along_one_edge_and_the_rest_keeps_the_projects() -> None:
    drawn = piece(BOX.format('data-line="stitch"') + edge(FOOT, "hem 4 cm"), seam_allowance_cm=1.5)
    assert (drawn.width_cm, drawn.length_cm) == (pytest.approx(23), pytest.approx(45.5))
    assert [e.hem for e in drawn.edges] == [True]
    assert drawn.stitching is not None
    assert Polygon(drawn.stitching).area == pytest.approx(800)


@given(st.floats(0.2, 3), st.floats(5, 15))
def test_the_same_allowance_on_every_edge_is_the_allowance_all_round(cm: float, bulge: float) -> None:
    """Against shapely's own mitred buffer, on an outline with a curve, a hollow corner and a slant."""
    path = f'<path data-line="stitch" d="M 10 10 H 30 Q {30 + bulge} 30 30 50 L 22 40 L 10 50 Z"/>'
    one = edge("10,10 10,50", f"allowance {cm} cm")
    drawn = piece(path + one, seam_allowance_cm=cm)
    assert drawn.stitching is not None
    grown = Polygon(drawn.stitching).buffer(cm, join_style="mitre", mitre_limit=4)
    assert drawn.polygon.symmetric_difference(grown).area == pytest.approx(0, abs=0.02 * grown.length)
    assert drawn.polygon.buffer(1e-6).covers(Polygon(drawn.stitching))


def test_a_pieces_own_allowance_counts_before_the_projects() -> None:
    drawn = piece(BOX.format('data-line="stitch" data-allowance="2 cm"'), seam_allowance_cm=1)
    assert (drawn.width_cm, drawn.allowance_cm) == (pytest.approx(24), 2)


# --- which stretch an edge line means ----------------------------------------------------------------------------


def test_an_edge_line_need_not_follow_the_curve_it_means() -> None:
    arc = '<path d="M 10 10 H 30 A 20 20 0 0 1 30 50 H 10 Z"/>'
    drawn = piece(arc + edge("30,10 46,20 46,40 30,50", "seam armhole"))
    assert drawn.edges[0].length_cm == pytest.approx(20 * math.pi, rel=1e-3)


def test_an_edge_line_may_begin_in_the_middle_of_a_straight_side() -> None:
    drawn = piece(BOX.format('data-line="stitch"') + edge("10,30 10,50", "allowance 3 cm"), seam_allowance_cm=1)
    assert drawn.edges[0].length_cm == pytest.approx(20)
    assert drawn.area_cm2 == pytest.approx(22 * 42 + 2 * 21)


@pytest.mark.parametrize(
    ("line", "why"),
    [
        (edge("14,10 10,50", "seam side") + edge("12,14 10,50", "seam side"), "2.0 cm from the outline"),
        (edge("10,10 10,10.1", "seam side"), "it begins where it ends"),
        (edge("20,10 20,50", "seam side"), "both ways round the outline are as near"),
        (BOX.format('data-seam="side"'), "say it on an open line along that edge"),
        (edge(FOOT, "hem 4 cm, allowance 2 cm"), "a hem of 4 cm and an allowance of 2 cm; keep one"),
    ],
)
def test_an_edge_that_is_not_clear_is_asked_about(line: str, why: str) -> None:
    assert why in "\n".join(problems(f'<g data-piece="a">{BOX.format("")}{line}</g>'))


# --- folds, stitching lines, marks -------------------------------------------------------------------------------


def test_edges_and_marks_of_a_half_piece_are_there_twice_once_it_is_opened_out() -> None:
    content = BOX.format("") + edge(RIGHT, "seam side") + '<path data-match="a" d="M 30 20 h -1"/>'
    drawn = piece(f'<g data-fold="left">{content}</g>')
    assert [e.length_cm for e in drawn.edges] == [pytest.approx(40)] * 2
    assert sorted(round(e.line[0][1], 6) for e in drawn.edges) == [0, 40]
    assert [(m.kind, m.name) for m in drawn.marks] == [(MarkKind.NOTCH, "a")] * 2
    assert drawn.fold is not None
    assert LineString(drawn.fold).length == pytest.approx(40)


@given(st.integers(0, 359))
def test_a_fold_drawn_as_a_line_may_lie_at_any_angle(degrees: int) -> None:
    half = '<polygon points="20,20 20,50 30,50 26,20"/><line data-line="fold" x1="20" y1="20" x2="20" y2="50"/>'
    grain = '<line data-line="grain" x1="23" y1="45" x2="23" y2="25"/>'
    drawn = only_piece(f'<g transform="rotate({degrees} 25 35)"><g data-piece="a">{half}{grain}</g></g>')
    assert drawn.area_cm2 == pytest.approx(2 * 30 * 8)
    assert sorted((round(drawn.length_cm, 1), round(drawn.width_cm, 1))) == [20, 30]


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ('<line data-line="fold" x1="18" y1="10" x2="18" y2="50"/>', "lies 8.0 cm away from it"),
        ('<path data-line="fold" d="M 10 10 L 12 30 L 10 50"/>', "not one straight line"),
    ],
)
def test_a_fold_line_that_is_no_edge_of_the_piece_is_refused(line: str, why: str) -> None:
    assert why in "\n".join(problems(f'<g data-piece="a">{BOX.format("")}{line}</g>'))


def test_a_stitching_line_drawn_inside_the_cut_line_is_kept_and_nothing_is_added() -> None:
    inner = '<rect x="11" y="11" width="18" height="38" data-line="stitch"/>'
    drawn = piece(BOX.format("") + inner, seam_allowance_cm=1)
    assert drawn.area_cm2 == pytest.approx(800)
    assert drawn.stitching is not None
    assert Polygon(drawn.stitching).equals(box(1, 1, 39, 19))


def test_join_lines_notches_and_darts_are_kept_where_they_lie_on_the_piece() -> None:
    content = (
        BOX.format("")
        + '<line data-line="join" x1="20" y1="10" x2="20" y2="50"/><path data-line="notch" d="M 10 20 h 1"/>'
        + '<polygon points="15,40 17,48 13,48"/>'
    )
    drawn = piece(content)
    join, notch, dart = drawn.marks
    assert [m.kind for m in drawn.marks] == [MarkKind.JOIN, MarkKind.NOTCH, MarkKind.INSIDE]
    assert LineString(join.points).equals(LineString([(40, 10), (0, 10)]))
    assert notch.points == ((30, 20), (30, 19))
    assert dart.closed


# --- text and test squares ---------------------------------------------------------------------------------------


def test_text_in_a_piece_counts_as_its_label_and_attributes_count_before_it() -> None:
    text = '<text x="12" y="20">front: cut 2, pair, material lining</text>'
    drawn = only_piece(BOX.format('data-material="facing"') + text)
    assert (drawn.name, drawn.cut, drawn.pair, drawn.material) == ("front", 2, True, "facing")


def test_lines_of_text_are_read_where_each_of_them_stands() -> None:
    text = '<text><tspan x="12" y="20">cut 2</tspan><tspan x="12" y="25">sleeve</tspan><tspan x="1" y="1">sand</tspan></text>'
    content = BOX.format("") + text
    drawn = read(content)
    assert [(p.name, p.cut) for p in drawn.pieces] == [("sleeve", 2)]
    told = "\n".join(drawn.notes)
    assert "The piece with “sleeve” written in it is called that." in told
    assert "says nothing of one piece, so not used: “sand”" in told


def test_text_in_nested_sizes_belongs_to_each_and_in_a_pocket_to_the_pocket_only() -> None:
    content = (
        "".join(
            f'<rect x="10" y="10" width="{20 + i}" height="{40 + i}" data-size="{size}"/>'
            for i, size in enumerate("SM")
        )
        + '<text x="12" y="20">back: cut 2</text>'
    )
    assert [(p.name, p.size, p.cut) for p in read(content).pieces] == [("back", "S", 2), ("back", "M", 2)]
    pocket = '<rect x="12" y="30" width="8" height="8" data-piece="pocket"/><text x="13" y="33">cut 4</text>'
    assert [(p.name, p.cut) for p in read(BOX.format('data-piece="back"') + pocket).pieces] == [
        ("back", 1),
        ("pocket", 4),
    ]


def test_several_texts_in_a_nameless_piece_name_nothing() -> None:
    content = BOX.format("") + '<text x="12" y="20">sea</text><text x="12" y="30">sand</text>'
    assert read(content).pieces[0].name == "drawing"


@pytest.mark.parametrize("shape", ['<rect x="40" y="10" width="10" height="10" {}/>', '<path d="M 40 10 h 10" {}/>'])
def test_a_test_square_or_line_that_measures_what_it_says_is_no_piece(shape: str) -> None:
    assert [p.name for p in read(BOX.format('data-piece="a"') + shape.format('data-test="10 cm"')).pieces] == ["a"]


def test_a_test_square_that_is_off_refuses_the_drawing_with_its_true_scale() -> None:
    shape = '<rect x="40" y="10" width="10" height="10" data-test="4 in"/>'
    (problem,) = problems(BOX.format('data-piece="a"') + shape)
    assert "the test square of 10.16 cm measures 10.00 cm" in problem
    assert "1.016 times its size" in problem


def test_a_crossing_outline_is_refused_with_the_place_where_it_crosses() -> None:
    (problem,) = problems('<polygon data-piece="yoke" points="10,10 30,30 30,10 10,30"/>')
    assert "near 20.0 cm across, 20.0 cm down" in problem
