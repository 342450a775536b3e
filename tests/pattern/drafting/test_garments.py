"""Whatever the body, what is sewn together is equal, girths add up, and every piece can be cut."""

from __future__ import annotations

import math

import pytest
from bodies import MERLE, bodies, design, eases
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from clothwright.pattern import CheckKind, Piece, check_pieces, read_drawing
from clothwright.pattern.drafting import Drafted, DraftRefused, draft
from clothwright.pattern.drawing_out import pieces_svg

GARMENTS = {
    "tunic": {"neck": ["boat", "slit"], "sleeve": ["long", "elbow", "short", "none"]},
    "wrap jacket": {
        "overlap": ["none", "panel"],
        "cloth_width": ["38 cm", "45 cm", "60 cm"],
        "neck_drop": ["6 cm", "14 cm"],
    },
    "waistcoat": {"neck": ["v", "round"], "waist": ["shaped", "straight"], "overlap": ["0 cm", "2 cm", "6 cm"]},
    "top": {
        "neck": ["round", "v", "boat", "close"],
        "sleeve": ["long", "elbow", "short", "none"],
        "waist": ["shaped", "straight"],
        "below_waist": ["0 cm", "14 cm", "45 cm"],
    },
    "skirt": {"style": ["gathered", "panelled"], "panels": ["2", "3", "6"], "flare": ["0 cm", "12 cm"]},
    "bag": {"depth": ["0 cm", "12 cm"], "lining_cloth": ["none", "tide cotton"], "width": ["20 cm", "44 cm"]},
}
#: Edges that are sewn together differ by less than a hair; what is gathered or eased says by how much.
EQUAL_CM = 0.02
#: A garment takes a tenth of a second to draft and to read back.
FEWER = settings(max_examples=25)


@st.composite
def drafted(draw: st.DrawFn, *garments: str) -> Drafted:
    """A garment for a random body; bodies it refuses are passed over, which the refusals' own test counts."""
    garment = draw(st.sampled_from(garments or sorted(GARMENTS)))
    options = {name: draw(st.sampled_from(values)) for name, values in GARMENTS[garment].items()}
    ease = (
        draw(eases("bust girth", "hip girth", most=30))
        if garment in ("tunic", "wrap jacket", "waistcoat", "top")
        else {}
    )
    body = draw(bodies())
    allowance = draw(st.sampled_from([0.6, 1.5, 2.5]))
    try:
        (one,) = draft(design(garment, body, ease, allowance, **options))
    except DraftRefused:
        assume(False)
    return one


def edges_of(pieces: tuple[Piece, ...]) -> dict[str, list[tuple[str, float]]]:
    """The edges of each seam: the piece and the length to be sewn, ease left out."""
    seams: dict[str, list[tuple[str, float]]] = {}
    for piece in pieces:
        for edge in piece.edges:
            if edge.seam is not None:
                seams.setdefault(edge.seam, []).append((piece.name, edge.length_cm - edge.ease_cm))
    return seams


@FEWER
@given(drafted())
def test_edges_that_are_sewn_together_are_equal_but_for_their_ease(one: Drafted) -> None:
    for seam, edges in edges_of(one.pieces).items():
        lengths = [length for _, length in edges]
        assert max(lengths) - min(lengths) <= EQUAL_CM, seam


@FEWER
@given(drafted())
def test_the_checks_walk_every_seam_and_find_nothing_to_mend(one: Drafted) -> None:
    wrong = [check for check in check_pieces(one.pieces) if check.kind is not CheckKind.SCALE]
    assert wrong == []


@FEWER
@given(drafted())
def test_every_seam_has_two_sides(one: Drafted) -> None:
    counts = {seam: 0 for piece in one.pieces for edge in piece.edges if (seam := edge.seam)}
    for piece in one.pieces:
        for edge in piece.edges:
            if edge.seam:
                counts[edge.seam] += piece.cut
    assert all(count >= 2 for count in counts.values()), counts


@FEWER
@given(drafted())
def test_every_piece_is_one_simple_outline_with_its_sewing_inside(one: Drafted) -> None:
    for piece in one.pieces:
        assert piece.polygon.is_valid
        assert piece.stitching is not None
        assert piece.grain_stated
        assert piece.polygon.buffer(0.01).covers(Polygon(piece.stitching)), piece.name


@FEWER
@given(drafted())
def test_a_drawing_of_the_pieces_reads_back_to_the_same_pieces(one: Drafted) -> None:
    """Area and every length of edge to 0.1 %, and what is written on them exactly."""
    back = read_drawing(pieces_svg(one.pieces)).pieces
    assert [piece.name for piece in back] == [piece.name for piece in one.pieces]
    for was, now in zip(one.pieces, back, strict=True):
        assert (now.cut, now.pair, now.material) == (was.cut, was.pair, was.material)
        assert now.area_cm2 == pytest.approx(was.area_cm2, rel=0.001)
        assert now.around_cm == pytest.approx(was.around_cm, rel=0.001)
        assert [edge.seam for edge in now.edges] == [edge.seam for edge in was.edges]
        for edge, drawn in zip(was.edges, now.edges, strict=True):
            assert drawn.length_cm == pytest.approx(edge.length_cm, rel=0.001, abs=0.002)
            assert (drawn.hem, drawn.selvedge) == (edge.hem, edge.selvedge)
            assert drawn.ease_cm == pytest.approx(edge.ease_cm, abs=1e-3)
        assert [mark.name for mark in now.marks if mark.name] == [mark.name for mark in was.marks if mark.name]


# --- girths ------------------------------------------------------------------------------------------------------


def width_at(piece: Piece, edge_of: str) -> float:
    """How wide a piece is sewn where its edges of one seam begin, all across, cm."""
    ends = [edge.line[-1] if edge_of == "armhole" else edge.line[0] for edge in piece.edges if edge.seam == "side"]
    return max(y for _, y in ends) - min(y for _, y in ends)


@FEWER
@given(bodies(), eases("bust girth", "waist girth", "hip girth"), st.sampled_from(["waistcoat", "top"]))
def test_finished_widths_across_add_up_to_body_and_ease(
    body: dict[str, float], ease: dict[str, float], garment: str
) -> None:
    """Bust, waist and hips of a shaped garment are exactly what was asked for, in the table and measured on the pieces."""
    options = {"waist": "shaped", "below_waist": "60 cm"} | (
        {"sleeve": "none", "neck": "close"} if garment == "top" else {}
    )
    try:
        (one,) = draft(design(garment, body, ease, **options))
    except DraftRefused:
        assume(False)
    rows = {row.name: row for row in one.finished}
    for girth in ("bust girth", "waist girth", "hip girth"):
        assert rows[girth].garment_cm == pytest.approx(body[girth] + ease[girth], abs=1e-6)
        assert rows[girth].ease_cm == pytest.approx(ease[girth], abs=1e-6)
    back = next(piece for piece in one.pieces if piece.name == "back")
    assert 2 * width_at(back, "side") == pytest.approx(body["bust girth"] + ease["bust girth"], abs=1e-4)


@FEWER
@given(bodies(), eases("bust girth", "hip girth", most=30), st.sampled_from(["40 cm", "50 cm", "64 cm", ""]))
def test_a_tunic_is_never_smaller_than_asked_and_its_widths_add_up(
    body: dict[str, float], ease: dict[str, float], cloth: str
) -> None:
    asked = max(body[girth] + ease[girth] for girth in ("bust girth", "hip girth"))
    try:
        (one,) = draft(design("tunic", body, ease, neck="slit", sleeve="none", cloth_width=cloth))
    except DraftRefused:
        assume(False)
    wide = {name: sum(_sewn_width(p) * p.cut for p in one.pieces if p.name == name) for name in ("front", "back")}
    girth = next(row for row in one.finished if row.name == "bust girth").garment_cm
    assert sum(wide.values()) == pytest.approx(girth, abs=1e-4)
    assert girth >= asked - 1e-6
    if not cloth:
        assert girth == pytest.approx(asked)


def _sewn_width(piece: Piece) -> float:
    ys = [y for _, y in piece.stitching or ()]
    return max(ys) - min(ys)


@FEWER
@given(bodies(), st.floats(0, 30), st.sampled_from([2, 4, 7]))
def test_panels_of_a_skirt_add_up_at_waist_and_hips(body: dict[str, float], ease: float, panels: int) -> None:
    girths = {"waist girth": 2.0, "hip girth": round(ease, 1)}
    (one,) = draft(design("skirt", body, girths, style="panelled", panels=str(panels)))
    waist = sum(edge.length_cm for edge in one.pieces[0].edges if edge.seam == "waist") * panels
    assert waist == pytest.approx(body["waist girth"] + 2, abs=1e-3)
    hips = [mark.points[0][1] for mark in one.pieces[0].marks if mark.name == "hips"]
    assert (max(hips) - min(hips)) * panels == pytest.approx(body["hip girth"] + girths["hip girth"], abs=1e-3)


@FEWER
@given(bodies(), st.sampled_from(["36 cm", "42 cm", "55 cm"]), st.sampled_from(["none", "panel"]))
def test_no_piece_of_a_garment_cut_selvedge_to_selvedge_is_wider_than_the_cloth(
    body: dict[str, float], cloth: str, overlap: str
) -> None:
    try:
        (one,) = draft(
            design("wrap jacket", body, cloth_width=cloth, overlap=overlap, length="110 cm", neck_drop="8 cm")
        )
    except DraftRefused:
        assume(False)
    wide = float(cloth.split()[0])
    assert all(piece.width_cm <= wide + 1e-4 for piece in one.pieces)
    assert all(piece.width_cm == pytest.approx(wide) for piece in one.pieces if piece.name in ("body", "sleeve"))
    assert sum(piece.width_cm for piece in one.pieces if piece.name in ("overlap panel", "band")) <= wide + 1e-4


@FEWER
@given(bodies(), st.sampled_from(["40 cm", "58 cm", "64 cm"]))
def test_the_widths_of_a_tunic_reach_from_selvedge_to_selvedge(body: dict[str, float], cloth: str) -> None:
    try:
        (one,) = draft(design("tunic", body, neck="slit", cloth_width=cloth))
    except DraftRefused:
        assume(False)
    wide = float(cloth.split()[0])
    assert all(piece.width_cm <= wide + 1e-4 for piece in one.pieces)
    assert all(piece.width_cm == pytest.approx(wide) for piece in one.pieces if piece.name in ("front", "back"))
    assert all(
        edge.selvedge for piece in one.pieces if piece.name == "front" for edge in piece.edges if edge.seam == "side"
    )


# --- necks and sleeves -------------------------------------------------------------------------------------------


@FEWER
@given(bodies(), eases("head girth", most=8), st.sampled_from(["round", "v", "boat", "close"]))
def test_the_neck_of_a_top_lets_the_head_through(body: dict[str, float], ease: dict[str, float], neck: str) -> None:
    """The lines of the neck, measured on the pieces, and twice the slit are at least the head and its ease."""
    try:
        (one,) = draft(design("top", body, ease, neck=neck, sleeve="none"))
    except DraftRefused:
        assume(False)
    opening = sum(
        edge.length_cm
        for p in one.pieces
        if p.name in ("front", "back")
        for edge in p.edges
        if edge.seam in ("neck front", "neck back")
    )
    slits = [mark for p in one.pieces if p.name == "back" for mark in p.marks if str(mark.kind) == "inside"]
    opening += 2 * sum(math.dist(*mark.points) for mark in slits)
    assert opening >= body["head girth"] + ease["head girth"] - 0.01


@FEWER
@given(bodies(), st.sampled_from(["boat", "slit"]))
def test_the_neck_of_a_tunic_lets_the_head_through(body: dict[str, float], neck: str) -> None:
    try:
        (one,) = draft(design("tunic", body, neck=neck, sleeve="none"))
    except DraftRefused:
        assume(False)
    opening = next(row for row in one.finished if row.name.startswith("neck opening"))
    shoulders = [edge.length_cm for edge in one.pieces[0].edges if edge.seam == "shoulder"]
    across = _sewn_width(one.pieces[0]) - sum(shoulders)
    slit = sum(math.dist(*m.points) for m in one.pieces[0].marks if str(m.kind) == "inside")
    assert 2 * across + 2 * slit == pytest.approx(opening.garment_cm, abs=1e-4)
    assert opening.garment_cm >= body["head girth"] + 2 - 1e-6


@FEWER
@given(bodies(), st.sampled_from(["0 cm", "1.5 cm", "4 cm"]), eases("upper arm girth", least=4, most=16))
def test_a_sleeve_fits_its_armhole_and_the_arm(body: dict[str, float], cap: str, ease: dict[str, float]) -> None:
    """The top of the sleeve is the armhole and its ease; its width is the arm and its ease; its underarm edges are equal."""
    try:
        (one,) = draft(design("top", body, ease, sleeve="long", cap_ease=cap, neck="close"))
    except DraftRefused:
        assume(False)
    sleeve = next(piece for piece in one.pieces if piece.name == "sleeve")
    armholes = [
        next(e.length_cm for e in p.edges if e.seam == f"armhole {p.name}")
        for p in one.pieces
        if p.name in ("front", "back")
    ]
    top = sum(edge.length_cm for edge in sleeve.edges if edge.seam in ("armhole front", "armhole back"))
    assert top == pytest.approx(sum(armholes) + float(cap.split()[0]), abs=0.01)
    caps = {edge.seam: edge for edge in sleeve.edges if edge.seam and edge.seam.startswith("armhole")}
    across = abs(caps["armhole front"].line[-1][1] - caps["armhole back"].line[0][1])
    assert across == pytest.approx(body["upper arm girth"] + ease["upper arm girth"], abs=0.01)
    under = [edge.length_cm for edge in sleeve.edges if edge.seam == "underarm"]
    assert under[0] == pytest.approx(under[1])
    assert (
        next(row for row in one.finished if row.name == "sleeve end").garment_cm
        >= min(body["hand girth"] + 1, across) - 1e-6
    )


@FEWER
@given(bodies())
def test_a_match_point_lies_as_far_up_the_sleeve_as_up_the_armhole(body: dict[str, float]) -> None:
    try:
        (one,) = draft(design("top", body, sleeve="elbow", neck="close", cap_ease="2 cm"))
    except DraftRefused:
        assume(False)
    front, sleeve = (next(p for p in one.pieces if p.name == name) for name in ("front", "sleeve"))
    far = [
        next(_up_from_underarm(p, mark.points[0]) for mark in p.marks if mark.name == "front armhole")
        for p in (front, sleeve)
    ]
    assert far[0] == pytest.approx(far[1], abs=0.05)


def _up_from_underarm(piece: Piece, point: tuple[float, float]) -> float:
    lines = [LineString(edge.line) for edge in piece.edges if edge.seam == "armhole front"]
    line = min(lines, key=lambda one: one.distance(Point(point)))
    return line.length - line.project(Point(point))


# --- what is refused ---------------------------------------------------------------------------------------------


def test_most_bodies_get_most_garments() -> None:
    """Of a body of the middle every garment can be made with every option it has."""
    from itertools import product

    for garment, options in GARMENTS.items():
        for chosen in product(*options.values()):
            picked = dict(zip(options, chosen, strict=True))
            if picked.get("overlap") == "panel":
                picked["length"] = "130 cm"
            draft(design(garment, MERLE, **picked))


@pytest.mark.parametrize(
    ("garment", "body", "options", "where", "says"),
    [
        ("waistcoat", {"back width": 55.0}, {}, "body", "no room is left for the arm"),
        ("waistcoat", {"cervical to waist": 20.0}, {}, "body", "the waist must lie 2 cm or more below the armhole"),
        ("waistcoat", {"scye depth": 9.0}, {"scye_lower": "0 cm"}, "body", "8 cm or more is needed"),
        ("waistcoat", {}, {"neck_drop": "55 cm"}, "options", "at most 52.0 cm is accepted"),
        ("tunic", {"head girth": 70.0, "bust girth": 50.0, "hip girth": 50.0}, {}, "options", "take the slit neck"),
        ("tunic", {}, {"cloth_width": "24 cm"}, "options", "2 widths of 24 cm, less their seams"),
        ("wrap jacket", {}, {"cloth_width": "20 cm"}, "options", "weave 27.5 cm or wider"),
        ("wrap jacket", {}, {}, "options", "cloth_width is needed"),
        (
            "wrap jacket",
            {},
            {"cloth_width": "45 cm", "overlap": "panel", "neck_drop": "30 cm"},
            "options",
            "no overlap panel",
        ),
        ("top", {"head girth": 70.0, "shoulder length": 6.0}, {"neck": "boat"}, "options", "take a deeper neck"),
        ("top", {"upper arm girth": 60.0}, {}, "ease", "too flat"),
        ("top", {}, {"sleeve": "half"}, "options", "“half” came; accepted are long, elbow, short, none"),
        ("skirt", {}, {"cloth_width": "20 cm"}, "options", "it does not pass the hips"),
        ("skirt", {}, {"panels": "3.5"}, "options", "a whole number from 2 to 12"),
        ("skirt", {}, {"style": "panelled", "length": "18 cm"}, "options", "below the hips"),
    ],
)
def test_what_cannot_be_made_is_refused_in_one_sentence_where_it_was_typed(
    garment: str, body: dict[str, float], options: dict[str, str], where: str, says: str
) -> None:
    with pytest.raises(DraftRefused) as refused:
        draft(design(garment, MERLE | body, **options))
    (problem,) = refused.value.problems
    assert problem.where[0] == where
    assert says in problem.sentence


def test_everything_wrong_and_everything_missing_is_said_at_once() -> None:
    from clothwright.pattern.drafting import Design

    asked = Design("top", (("bust girth", "92"), ("elbow", "30 cm")), (("knee girth", "3 cm"),), (("neck", "square"),))
    with pytest.raises(DraftRefused) as refused:
        draft(asked)
    said = "\n".join(problem.sentence for problem in refused.value.problems)
    for words in (
        "92 what? Write 92 cm or 92 in",
        "“elbow” is no body measure",
        "“knee girth” is no body",
        "“square” came",
        "still needs: waist girth",
    ):
        assert words in said
    assert "still needs: bust girth" not in said


def test_a_measure_by_proportion_is_told_with_what_it_came_to_and_whose_rule_it_is() -> None:
    """Vincent's depth of scye, B/6 + 3 in, of 92 cm: 22.95 cm."""
    from dataclasses import replace

    typed = design("waistcoat")
    body = tuple((name, "by proportion" if name == "scye depth" else text) for name, text in typed.body)
    (one,) = draft(replace(typed, body=body))
    assert any(said.startswith("scye depth by proportion: 23.0 cm, a sixth of the breast") for said in one.taken)
