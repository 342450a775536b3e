"""PDF: true scale, layers, forms, pages joined by their marks, and what is refused.

*Source* of what a PDF means: ISO 32000-1:2008. The files are written with reportlab and pypdf.
"""

import io
import math
import time
import zlib
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader, PdfWriter
from pypdf.generic import DecodedStreamObject, DictionaryObject, FloatObject, NameObject, TextStringObject
from reportlab.lib.pagesizes import A4
from reportlab.pdfgen.canvas import Canvas

from clothwright.pattern import Drawing, DrawingRefused, DrawingScale, read_drawing

CM = 72 / 2.54


def made(draw: Callable[[Canvas], None], size: tuple[float, float] = A4) -> bytes:
    whole = io.BytesIO()
    canvas = Canvas(whole, pagesize=size)
    draw(canvas)
    canvas.showPage()
    canvas.save()
    return whole.getvalue()


def of_content(content: bytes, **page: object) -> bytes:
    """A PDF of one A4 page whose content is these bytes."""
    writer = PdfWriter()
    blank = writer.add_blank_page(*A4)
    stream = DecodedStreamObject()
    stream.set_data(content)
    blank[NameObject("/Contents")] = writer._add_object(stream)
    for key, value in page.items():
        blank[NameObject(f"/{key}")] = value
    whole = io.BytesIO()
    writer.write(whole)
    return whole.getvalue()


def problems(data: bytes) -> str:
    with pytest.raises(DrawingRefused) as refused:
        read_drawing(data)
    return "\n".join(refused.value.problems)


SQUARE = b"100 100 m 383.464566929 100 l 383.464566929 383.464566929 l 100 383.464566929 l s"


# --- scale and what shows ----------------------------------------------------------------------------------------


def test_a_point_is_a_seventy_second_of_an_inch() -> None:
    """10 cm are 283.46 points."""
    assert read_drawing(of_content(SQUARE)).pieces[0].area_cm2 == pytest.approx(100)


def test_a_page_may_have_a_unit_of_its_own_and_a_stated_scale_wins() -> None:
    data = of_content(SQUARE, UserUnit=FloatObject(2))
    assert read_drawing(data).pieces[0].area_cm2 == pytest.approx(400)
    drawing = read_drawing(data, scale=DrawingScale(2.54 / 72))
    assert drawing.pieces[0].area_cm2 == pytest.approx(100)
    assert "as stated; it prints as" in "\n".join(drawing.notes)


@pytest.mark.parametrize(("turn", "length"), [(0, 20), (90, 10), (180, 20), (270, 10)])
def test_a_page_shown_turned_is_read_as_it_is_shown(turn: int, length: float) -> None:
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(made(lambda c: c.rect(100, 100, 10 * CM, 20 * CM)))))
    writer.pages[0].rotate(turn)
    whole = io.BytesIO()
    writer.write(whole)
    assert read_drawing(whole.getvalue()).pieces[0].length_cm == pytest.approx(length, rel=1e-4)


def test_curves_are_true_and_a_shape_filled_and_stroked_is_one_piece() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.circle(30 * CM, 30 * CM, 25 * CM, stroke=0, fill=1)
        canvas.circle(30 * CM, 30 * CM, 25 * CM, stroke=1, fill=0)

    (piece,) = read_drawing(made(draw, (60 * CM, 60 * CM))).pieces
    assert piece.area_cm2 == pytest.approx(math.pi * 625, rel=1e-3)


@pytest.mark.parametrize(
    ("content", "pieces"),
    [
        (b"q 1 0 0 1 50 0 cm " + SQUARE + b" Q", 1),
        (b"100 100 m 100 383.464566929 l S 100 383.464566929 m 383 300 l S 383 300 m 100 100 l S", 1),
        (b"100 100 200 200 re W n " + SQUARE, 1),
        (b"100 300 m 100 400 300 400 v 300 200 200 200 y h f", 1),
    ],
)
def test_what_shows_is_read_and_what_only_clips_is_not(content: bytes, pieces: int) -> None:
    assert len(read_drawing(of_content(content)).pieces) == pieces


def test_a_form_is_drawn_where_it_is_used() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.beginForm("back")
        canvas.rect(0, 0, 4 * CM, 6 * CM)
        canvas.endForm()
        for left in (2, 12):
            canvas.saveState()
            canvas.translate(left * CM, 5 * CM)
            canvas.doForm("back")
            canvas.restoreState()

    assert [round(p.area_cm2, 3) for p in read_drawing(made(draw)).pieces] == [24, 24]


def test_text_names_a_piece_and_says_its_marks() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.rect(2 * CM, 2 * CM, 10 * CM, 15 * CM)
        canvas.drawString(4 * CM, 9 * CM, "back: cut 2, pair")

    (piece,) = read_drawing(made(draw)).pieces
    assert (piece.name, piece.cut, piece.pair) == ("back", 2, True)


@pytest.mark.parametrize(("side", "wrong"), [(10, False), (9.4, True)])
def test_a_test_square_shows_whether_the_page_was_scaled(side: float, wrong: bool) -> None:
    def draw(canvas: Canvas) -> None:
        canvas.rect(2 * CM, 14 * CM, 15 * CM, 10 * CM)
        canvas.rect(2 * CM, 2 * CM, side * CM, side * CM)
        canvas.drawString(4 * CM, 5 * CM, "test square 10 cm")

    if wrong:
        assert "The scale is wrong: the test square of 10 cm measures 9.40 cm" in problems(made(draw))
    else:
        assert len(read_drawing(made(draw)).pieces) == 1


def layered(*, off: bool) -> bytes:
    """A square on a layer named “size M”, which may be switched off."""
    writer = PdfWriter(
        clone_from=PdfReader(
            io.BytesIO(
                of_content(
                    b"/OC /L1 BDC "
                    + SQUARE
                    + b" EMC "
                    + SQUARE.replace(b"383.464566929", b"400").replace(b"100 ", b"390 ")
                )
            )
        )
    )
    layer = writer._add_object(
        DictionaryObject({NameObject("/Type"): NameObject("/OCG"), NameObject("/Name"): TextStringObject("size M")})
    )
    from pypdf.generic import ArrayObject

    writer.pages[0][NameObject("/Resources")] = DictionaryObject(
        {NameObject("/Properties"): DictionaryObject({NameObject("/L1"): layer})}
    )
    writer.root_object[NameObject("/OCProperties")] = DictionaryObject(
        {
            NameObject("/OCGs"): ArrayObject([layer]),
            NameObject("/D"): DictionaryObject({NameObject("/OFF"): ArrayObject([layer] if off else [])}),
        }
    )
    whole = io.BytesIO()
    writer.write(whole)
    return whole.getvalue()


def test_layers_are_folders_that_say_the_size_and_hidden_ones_are_left_out() -> None:
    assert {piece.size for piece in read_drawing(layered(off=False)).pieces} == {"M", None}
    hidden = read_drawing(layered(off=True))
    assert [piece.size for piece in hidden.pieces] == [None]
    assert "hidden in the drawing: layer “size M”" in "\n".join(hidden.notes)


# --- several pages -----------------------------------------------------------------------------------------------

OUTLINE = [(3, 3), (31, 5), (33, 30), (22, 46), (3, 44)]
FRAME = (17.0, 24.0)


def tiled(label: Callable[[int, int], str], *, frame: bool = True) -> bytes:
    """An outline 30 x 43 cm over four A4 pages, each drawn whole and cut off by a clip, as printing to tiles does."""
    whole = io.BytesIO()
    canvas = Canvas(whole, pagesize=A4)
    across, down = FRAME
    for row in range(2):
        for column in range(2):
            if frame:
                canvas.rect(2 * CM, 2 * CM, across * CM, down * CM)
            canvas.drawString(2 * CM, 1 * CM, label(row, column))
            path = canvas.beginPath()
            at = [(2 + x - column * across, 2 + down - (y - row * down)) for x, y in OUTLINE]
            path.moveTo(*(v * CM for v in at[0]))
            for point in at[1:]:
                path.lineTo(*(v * CM for v in point))
            path.close()
            canvas.drawPath(path)
            canvas.showPage()
    canvas.save()
    return whole.getvalue()


@pytest.mark.parametrize(
    "label",
    [lambda row, column: f"{'AB'[row]}{column + 1}", lambda row, column: f"Row {row + 1}, column {column + 1} of 2"],
)
def test_tiled_pages_are_joined_by_their_frames_and_places(label: Callable[[int, int], str]) -> None:
    from shapely.geometry import Polygon

    drawing = read_drawing(tiled(label))
    (piece,) = drawing.pieces
    assert piece.area_cm2 == pytest.approx(Polygon(OUTLINE).area, rel=1e-3)
    assert piece.around_cm == pytest.approx(Polygon(OUTLINE).length, rel=1e-3)
    assert "4 pages are joined to one drawing" in "\n".join(drawing.notes)


def test_a_pattern_over_several_pages_without_marks_is_refused_and_not_glued_by_guessing() -> None:
    assert "pages 1, 2, 3, 4, which carry no marks to join them by" in problems(
        tiled(lambda _row, _column: "", frame=False)
    )


def test_pieces_on_pages_of_their_own_need_no_marks() -> None:
    whole = io.BytesIO()
    canvas = Canvas(whole, pagesize=A4)
    for wide in (8, 9, 10):
        canvas.rect(3 * CM, 3 * CM, wide * CM, 20 * CM)
        canvas.showPage()
    canvas.save()
    assert [round(p.width_cm) for p in read_drawing(whole.getvalue()).pieces] == [8, 9, 10]


# --- bad and hostile files ---------------------------------------------------------------------------------------


def test_a_file_with_a_password_is_refused() -> None:
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(of_content(SQUARE))))
    writer.encrypt("wrack", algorithm="RC4-128")
    whole = io.BytesIO()
    writer.write(whole)
    assert "has a password" in problems(whole.getvalue())


def test_a_script_is_refused() -> None:
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(of_content(SQUARE))))
    writer.root_object[NameObject("/OpenAction")] = DictionaryObject(
        {NameObject("/S"): NameObject("/JavaScript"), NameObject("/JS"): TextStringObject("app.alert('tide')")}
    )
    whole = io.BytesIO()
    writer.write(whole)
    assert "holds a script" in problems(whole.getvalue())


def bomb(packed: bytes) -> bytes:
    writer = PdfWriter()
    page = writer.add_blank_page(*A4)
    from pypdf.generic import EncodedStreamObject

    stream = EncodedStreamObject()
    stream._data = packed
    stream[NameObject("/Filter")] = NameObject("/FlateDecode")
    page[NameObject("/Contents")] = writer._add_object(stream)
    whole = io.BytesIO()
    writer.write(whole)
    return whole.getvalue()


@pytest.mark.parametrize("content", [b" " * 300_000_000, b"0 0 m 1 1 l S " * 400_000], ids=["blanks", "lines"])
def test_a_little_that_unpacks_to_much_is_stopped(content: bytes) -> None:
    data = bomb(zlib.compress(content, 9))
    assert len(data) < 1_000_000
    began = time.process_time()
    assert problems(data)
    assert time.process_time() - began < 15


def test_a_million_points_are_refused() -> None:
    content = b"0 0 m " + b"1 1 l 2 5 l " * 60_000 + b"S"
    assert "more than 100000 points" in problems(of_content(content))


def test_forms_inside_themselves_are_stopped() -> None:
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(of_content(b"/F Do"))))
    form = DecodedStreamObject()
    form.set_data(b"/F Do /F Do")
    form[NameObject("/Subtype")] = NameObject("/Form")
    reference = writer._add_object(form)
    writer.pages[0][NameObject("/Resources")] = DictionaryObject(
        {NameObject("/XObject"): DictionaryObject({NameObject("/F"): reference})}
    )
    whole = io.BytesIO()
    writer.write(whole)
    began = time.process_time()
    assert "more than 20 deep" in problems(whole.getvalue())
    assert time.process_time() - began < 5


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"%PDF-1.7\n%nothing more", "cannot be read as PDF"),
        (b"%PDF-1.7\n" + b" " * 10_000_001, "at most 10 MB"),
        (of_content(b""), "No piece was found"),
        (of_content(b"1 0 0 1 0 0 0 cm 5 l q Q Q Q h S 1e99 0 m 4 4 l S"), "No piece was found"),
    ],
)
def test_what_holds_no_pieces_is_refused_in_a_sentence(data: bytes, why: str) -> None:
    assert why in problems(data)


SMALL = of_content(SQUARE)


@settings(max_examples=40)
@given(st.integers(0, len(SMALL) - 1), st.binary(min_size=1, max_size=6), st.integers(0, 40))
def test_a_damaged_file_gives_pieces_or_a_sentence_and_nothing_else(at: int, put: bytes, gone: int) -> None:
    try:
        assert isinstance(read_drawing(SMALL[:at] + put + SMALL[at + gone :]), Drawing)
    except DrawingRefused as refused:
        told = refused.problems
        assert told
