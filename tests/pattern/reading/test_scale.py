"""True size, checked against CSS Values and Units (W3C): 1 in = 2.54 cm = 96 px = 72 pt = 6 pc; and SVG 1.1, 7.7 and 7.8."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pattern.drawn import only_piece, page, problems, read

from clothwright.pattern import DrawingRefused, DrawingScale, read_drawing

SQUARE = '<rect data-piece="square" x="1" y="1" width="10" height="10"/>'


@pytest.mark.parametrize(
    ("width", "cm_per_unit"),
    [
        ("100mm", 0.1),
        ("100cm", 1.0),
        ("100in", 2.54),
        ("7200pt", 2.54),
        ("600pc", 2.54),
        ("4000Q", 1.0),
        ("1e2mm", 0.1),
        (" 50.8 mm ", 0.0508),
    ],
)
def test_units_of_real_length_give_the_true_size(width: str, cm_per_unit: float) -> None:
    piece = only_piece(SQUARE, size=f'width="{width}" height="{width}" viewBox="0 0 100 100"')
    assert (piece.length_cm, piece.width_cm) == pytest.approx((10 * cm_per_unit, 10 * cm_per_unit))


@pytest.mark.parametrize(
    "size",
    [
        'viewBox="0 0 100 100"',
        'width="100" height="100" viewBox="0 0 100 100"',
        'width="100px" height="100px"',
        'width="100%" height="100%" viewBox="0 0 100 100"',
        'width="100mm" height="100px" viewBox="0 0 100 100"',
        "",
    ],
)
def test_a_drawing_without_a_real_size_is_refused_with_the_question(size: str) -> None:
    (problem,) = problems(SQUARE, size=size)
    assert "gives no real size: set its width and height in mm or cm" in problem
    assert "or state the scale" in problem


@pytest.mark.parametrize("size", ['viewBox="0 0 100 100"', 'width="100" height="100"', 'width="9cm" height="9cm"', ""])
def test_a_stated_scale_is_what_one_unit_is(size: str) -> None:
    (piece,) = read_drawing(page(SQUARE, size), scale=DrawingScale(2.5)).pieces
    assert piece.length_cm == pytest.approx(25)


def test_a_stated_scale_wins_over_the_drawings_own_size_and_says_so() -> None:
    drawing = read_drawing(page(SQUARE), scale=DrawingScale(2.0))
    assert drawing.pieces[0].length_cm == pytest.approx(20)
    assert any("taken as 2 cm, as stated; by its own width and height it would be 1 cm" in n for n in drawing.notes)


@pytest.mark.parametrize("cm", [0.0, -1.0, float("nan"), float("inf")])
def test_a_scale_that_makes_no_sense_cannot_be_stated(cm: float) -> None:
    with pytest.raises(ValueError, match="makes no sense"):
        DrawingScale(cm)


def test_one_of_width_and_height_is_enough_as_the_view_box_gives_the_other() -> None:
    assert only_piece(SQUARE, size='width="200mm" viewBox="0 0 100 50"').length_cm == pytest.approx(2)
    assert only_piece(SQUARE, size='height="200mm" width="auto" viewBox="0 0 100 50"').length_cm == pytest.approx(4)


def test_uneven_width_and_height_give_the_smaller_even_scale() -> None:
    """Source: SVG 1.1, 7.8: xMidYMid meet if left out; slice takes the larger."""
    size = 'width="100cm" height="300cm" viewBox="0 0 100 100"'
    drawing = read(SQUARE, size=size)
    assert drawing.pieces[0].length_cm == pytest.approx(10)
    assert any("not in the proportion of the viewBox" in note for note in drawing.notes)
    assert only_piece(SQUARE, size=size.replace("100cm", "900cm")).length_cm == pytest.approx(30)
    assert only_piece(SQUARE, size=f'{size} preserveAspectRatio="xMinYMin slice"').length_cm == pytest.approx(30)


def test_a_drawing_stretched_one_way_is_refused() -> None:
    size = 'width="100cm" height="300cm" viewBox="0 0 100 100" preserveAspectRatio="none"'
    (problem,) = problems(SQUARE, size=size)
    assert "stretched more one way than the other" in problem
    even = size.replace("300cm", "100cm")
    assert only_piece(SQUARE, size=even).length_cm == pytest.approx(10)


def test_without_a_view_box_a_unit_is_a_css_pixel() -> None:
    """Source: CSS, 1 px = 1/96 in; SVG 1.1, 7.10: lengths with units inside the drawing."""
    drawing = read('<rect data-piece="a" width="24cm" height="960"/>', size='width="50cm" height="50cm"')
    assert (drawing.pieces[0].width_cm, drawing.pieces[0].length_cm) == pytest.approx((24, 25.4))
    assert any("no viewBox" in note for note in drawing.notes)


def test_a_length_with_a_unit_inside_a_scaled_drawing_is_read_as_svg_says_and_told() -> None:
    """In a drawing of 1 unit = 1 mm, "10mm" is 10 x 96/25.4 units, so 37.8 mm: SVG 1.1, 7.10."""
    size = 'width="500mm" height="500mm" viewBox="0 0 500 500"'
    drawing = read('<rect data-piece="a" width="10mm" height="100"/>', size=size)
    assert drawing.pieces[0].width_cm == pytest.approx(1 * 96 / 25.4)
    assert any("follows the drawing's scale" in note for note in drawing.notes)


def test_percentages_are_of_the_view_box() -> None:
    """Source: SVG 1.1, 7.10: of its width, its height, and of √((w² + h²)/2) for a radius."""
    piece = only_piece('<rect data-piece="a" x="1%" width="50%" height="25%"/>')
    assert (piece.width_cm, piece.length_cm) == pytest.approx((30, 20))
    circle = only_piece('<circle data-piece="a" cx="50%" cy="50%" r="10%"/>')
    assert circle.width_cm == pytest.approx(2 * 0.1 * ((60**2 + 80**2) / 2) ** 0.5, abs=0.04)


@pytest.mark.parametrize(
    "size",
    [
        'width="wide" height="5cm" viewBox="0 0 1 1"',
        'width="-5cm" height="5cm" viewBox="0 0 1 1"',
        'width="5cm" height="5cm" viewBox="0 0 0 1"',
        'width="5cm" height="5cm" viewBox="0 0 1"',
        'width="5cm" height="5cm" viewBox="a b c d"',
        'width="5em" height="5em" viewBox="0 0 1 1"',
    ],
)
def test_a_size_that_cannot_be_read_is_refused(size: str) -> None:
    (problem,) = problems(SQUARE, size=size)
    assert problem.startswith("The drawing's size cannot be read")


@given(st.floats(0.01, 50), st.floats(1, 2000), st.floats(-500, 500))
def test_the_origin_of_the_view_box_does_not_change_a_size(scale: float, side: float, origin: float) -> None:
    content = f'<rect data-piece="a" x="{origin}" y="{origin}" width="{side / 2}" height="{side}"/>'
    size = f'width="{side * scale}mm" height="{side * scale}mm" viewBox="{origin} {origin} {side} {side}"'
    if not 4 < side * scale < 20000:
        return
    piece = only_piece(content, size=size)
    assert (piece.width_cm, piece.length_cm) == pytest.approx((side * scale / 20, side * scale / 10))


def test_a_nested_drawing_is_fitted_into_its_own_width_and_height() -> None:
    """Source: SVG 1.1, 7.9: 20 x 20 cm with a viewBox of 5 x 5 makes one unit 4 cm."""
    inner = (
        '<svg x="5" y="5" width="20" height="20" viewBox="0 0 5 5"><rect data-piece="a" width="2" height="3"/></svg>'
    )
    piece = only_piece(inner)
    assert (piece.width_cm, piece.length_cm) == pytest.approx((8, 12))


def test_other_problems_are_told_together_with_a_missing_size() -> None:
    found = problems('<rect data-piece="a" data-cut="two" width="10" height="10"/>', size="")
    assert len(found) == 2


def test_a_seam_allowance_that_makes_no_sense_is_refused() -> None:
    for allowance in (-1.0, float("nan"), 1000.0):
        with pytest.raises(DrawingRefused, match="seam allowance"):
            read_drawing(page(SQUARE), seam_allowance_cm=allowance)
