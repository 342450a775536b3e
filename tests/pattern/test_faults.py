"""What keeps a drawing from being laid out can be looked at: told with its mend, and refused in the same words as ever."""

from __future__ import annotations

import io

import pytest
from pattern.drawn import page, problems
from pattern.garments import WRITERS, garment
from reportlab.pdfgen.canvas import Canvas

from clothwright.pattern import CheckKind, DrawingScale, Marks, SaidOfPiece, look_at_drawing, read_drawing

BOW = '<polygon data-piece="bow" points="5,5 25,25 25,5 5,25"/>'
BAND = '<rect x="30" y="5" width="10" height="30" data-piece="band"/>'
SQUARE = '<rect x="45" y="60" width="{0}" height="{0}" data-test="10 cm"/>'
OPEN = '<polyline data-piece="yoke" points="5,40 25,40 25,60 5,60"/>'


def test_a_crossing_outline_is_shown_with_its_place_and_the_others_are_pieces() -> None:
    found = look_at_drawing(page(BOW + BAND))
    assert [piece.name for piece in found.pieces] == ["band"]
    (fault,) = found.faults
    assert (fault.kind, fault.piece, fault.at) == (CheckKind.OUTLINE, "bow", pytest.approx((15, 15)))
    assert "near 15.0 cm across, 15.0 cm down" in fault.sentence
    assert len(fault.line) == 4
    assert problems(BOW + BAND) == (fault.refusal,)


@pytest.mark.parametrize("side", [9.0, 10.5])
def test_a_wrong_test_square_gives_the_scale_that_makes_it_true(side: float) -> None:
    content = BAND + SQUARE.format(side)
    (fault,) = look_at_drawing(page(content)).faults
    assert fault.kind is CheckKind.SCALE
    assert problems(content) == (fault.refusal,)
    assert fault.scale_cm == pytest.approx(10 / side)
    mended = read_drawing(page(content), scale=DrawingScale(fault.scale_cm or 0))
    assert mended.pieces[0].length_cm == pytest.approx(30 * 10 / side, rel=1e-3)


def test_a_page_that_was_scaled_when_printed_gives_its_true_scale() -> None:
    """Source: reportlab, which writes a square of 9 cm that says 10; a point is 1/72 inch."""
    whole = io.BytesIO()
    canvas = Canvas(whole, pagesize=(1000, 1000))
    side = 9 * 72 / 2.54
    canvas.rect(50, 600, side, side)
    canvas.drawString(80, 700, "test square 10 cm")
    canvas.rect(500, 100, 300, 700)
    canvas.save()
    (fault,) = look_at_drawing(whole.getvalue()).faults
    assert fault.scale_cm == pytest.approx(2.54 / 72 * 10 / 9, rel=1e-4)


@pytest.mark.parametrize("other", [SQUARE.format(8).replace("60", "45"), SQUARE.format(10).replace("60", "45")])
def test_test_squares_that_do_not_agree_leave_the_scale_open(other: str) -> None:
    found = look_at_drawing(page(BAND + SQUARE.format(9) + other))
    assert {fault.scale_cm for fault in found.faults} == {None}


@pytest.mark.parametrize(
    "content", [OPEN, OPEN.replace(' data-piece="yoke"', "").join(('<g data-piece="yoke">', "</g>"))]
)
def test_an_open_outline_is_shown_and_closed_where_that_is_asked(content: str) -> None:
    (fault,) = look_at_drawing(page(BAND + content)).faults
    assert (fault.kind, fault.piece, fault.may_close, fault.closed) == (CheckKind.OPEN, "yoke", True, False)
    assert problems(BAND + content) == (fault.refusal,)
    mended = read_drawing(page(BAND + content), said=[SaidOfPiece("yoke", Marks(cut=2), close=True)])
    (yoke,) = (piece for piece in mended.pieces if piece.name == "yoke")
    assert (yoke.area_cm2, yoke.cut) == (pytest.approx(400), 2)


def test_what_is_said_of_an_open_piece_is_no_problem_while_it_is_looked_at() -> None:
    found = look_at_drawing(page(BAND + OPEN), said=[SaidOfPiece("yoke", Marks(cut=2))])
    assert [fault.piece for fault in found.faults] == ["yoke"]


@pytest.mark.parametrize("writer", WRITERS)
def test_a_sound_drawing_has_no_faults_through_any_reader(writer: str) -> None:
    data = WRITERS[writer](garment("shirts"))
    assert look_at_drawing(data).faults == ()
    assert look_at_drawing(data).pieces == read_drawing(data).pieces
