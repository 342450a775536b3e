"""DXF: general drawings and apparel exchange files, what is asked, and what is refused.

*Source* of layers and units of apparel files: ASTM D6673-10, ANSI/AAMA-292. The files are written with ezdxf.
"""

import io
import math
import time

import ezdxf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon

from clothwright.pattern import Drawing, DrawingRefused, DrawingScale, MarkKind, Piece, read_drawing
from clothwright.pattern.reading.dxf_apparel import layers

MM, CM, INCH = 4, 5, 1


def saved(document: ezdxf.document.Drawing) -> bytes:
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode()


def plain(unit: int | None = CM) -> ezdxf.document.Drawing:
    document = ezdxf.new("R2010")
    document.header["$INSUNITS"] = unit or 0
    return document


def problems(data: bytes) -> str:
    with pytest.raises(DrawingRefused) as refused:
        read_drawing(data)
    return "\n".join(refused.value.problems)


# --- general drawings --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("unit", "cm"), [(MM, 0.1), (CM, 1), (INCH, 2.54), (6, 100), (2, 30.48)])
def test_the_unit_of_the_drawing_is_what_its_header_says(unit: int, cm: float) -> None:
    """Source: DXF reference, $INSUNITS: 1 inches, 2 feet, 4 mm, 5 cm, 6 m."""
    document = plain(unit)
    document.modelspace().add_lwpolyline([(0, 0), (20 / cm, 0), (20 / cm, 30 / cm), (0, 30 / cm)], close=True)
    assert read_drawing(saved(document)).pieces[0].area_cm2 == pytest.approx(600)


def test_a_drawing_without_a_unit_is_asked_about_and_read_once_the_scale_is_stated() -> None:
    document = plain(None)
    document.modelspace().add_lwpolyline([(0, 0), (8, 0), (8, 12), (0, 12)], close=True)
    assert "does not say its unit" in problems(saved(document))
    (piece,) = read_drawing(saved(document), scale=DrawingScale(2.54)).pieces
    assert (piece.width_cm, piece.length_cm) == (pytest.approx(20.32), pytest.approx(30.48))


def test_lines_and_arcs_that_meet_are_one_outline_and_curves_are_true() -> None:
    space = (document := plain()).modelspace()
    space.add_line((0, 0), (30, 0))
    space.add_arc((15, 50), 15, 0, 180)
    space.add_line((0, 50), (0, 0))
    space.add_line((30, 50), (30, 0))
    (piece,) = read_drawing(saved(document)).pieces
    assert piece.area_cm2 == pytest.approx(1500 + math.pi * 15**2 / 2, rel=1e-3)
    assert piece.around_cm == pytest.approx(130 + math.pi * 15, rel=1e-3)


@pytest.mark.parametrize(
    ("draw", "area"),
    [
        (lambda space: space.add_circle((20, 20), 10), math.pi * 100),
        (lambda space: space.add_ellipse((20, 20), (12, 0), 0.5), math.pi * 72),
        (lambda space: space.add_lwpolyline([(0, 0, 1), (20, 0, 1)], format="xyb", close=True), math.pi * 100),
        (
            lambda space: space.add_open_spline(
                [(0, 0), (0, 20), (20, 20), (20, 0), (0, 0)], degree=4, dxfattribs={"layer": "0"}
            ),
            None,
        ),
    ],
    ids=["circle", "ellipse", "bulges", "spline"],
)
def test_every_curve_of_a_drawing_program_is_an_outline(draw: object, area: float | None) -> None:
    document = plain()
    draw(document.modelspace())
    (piece,) = read_drawing(saved(document)).pieces
    if area:
        assert piece.area_cm2 == pytest.approx(area, rel=2e-3)
    else:
        assert piece.area_cm2 > 100


def test_a_layer_says_what_its_lines_are_and_text_what_its_piece_is() -> None:
    space = (document := plain()).modelspace()
    space.add_lwpolyline([(0, 0), (20, 0), (20, 30), (0, 30)], close=True, dxfattribs={"layer": "stitch"})
    space.add_line((5, 5), (15, 5), dxfattribs={"layer": "grain"})
    space.add_text("back: cut 2, pair, size M", dxfattribs={"insert": (3, 10)})
    space.add_mtext("sand", dxfattribs={"insert": (90, 90)})
    drawing = read_drawing(saved(document), seam_allowance_cm=1)
    (piece,) = drawing.pieces
    assert (piece.name, piece.cut, piece.pair, piece.size) == ("back", 2, True, "M")
    assert (piece.length_cm, piece.width_cm) == (pytest.approx(22), pytest.approx(32))
    assert "so not used: “sand”" in "\n".join(drawing.notes)


def test_blocks_are_drawn_where_they_are_inserted_and_hidden_layers_are_not() -> None:
    document = plain()
    block = document.blocks.new("sleeve")
    block.add_lwpolyline([(0, 0), (10, 0), (10, 20), (0, 20)], close=True)
    document.modelspace().add_blockref("sleeve", (50, 0), dxfattribs={"xscale": 2, "rotation": 90})
    document.layers.add("away").off()
    document.modelspace().add_circle((0, 0), 9, dxfattribs={"layer": "away"})
    drawing = read_drawing(saved(document))
    (piece,) = drawing.pieces
    assert (piece.name, piece.length_cm, piece.width_cm) == ("sleeve", pytest.approx(20), pytest.approx(20))
    assert "hidden in the drawing: layer “away”" in "\n".join(drawing.notes)


def test_lines_of_which_three_meet_are_not_joined_by_guessing() -> None:
    """From one corner to another by three ways: which two of them are the outline is not known."""
    space = (document := plain()).modelspace()
    for middle in (-10, 0, 10):
        space.add_lwpolyline([(0, 0), (middle, 20), (0, 40)])
    assert "No piece was found" in problems(saved(document))


def test_what_is_neither_line_nor_text_is_told() -> None:
    space = (document := plain()).modelspace()
    space.add_circle((0, 0), 9)
    space.add_hatch()
    space.add_3dface([(0, 0), (1, 0), (1, 1), (0, 1)])
    told = "\n".join(read_drawing(saved(document)).notes)
    assert "Not lines or text, so not read: 1 HATCH, 1 3DFACE" in told


# --- apparel exchange files --------------------------------------------------------------------------------------


def apparel(units: str | None = "METRIC", style: tuple[str, ...] = ()) -> ezdxf.document.Drawing:
    document = ezdxf.new("R12")
    for line in (*([f"Units: {units}"] if units else []), "Style Name: saltmarsh smock", *style):
        document.modelspace().add_text(line, dxfattribs={"layer": "1"})
    return document


def add_piece(document: ezdxf.document.Drawing, name: str, *texts: str, per: float = 10, wide: float = 20) -> object:
    """A piece 30 cm along y and `wide` cm across; `per` units to the cm."""
    block = document.blocks.new(f"{name}-{len(document.blocks)}")
    corners = [(0, 0), (wide * per, 0), (wide * per, 20 * per), (0, 30 * per)]
    block.add_polyline2d(corners, close=True, dxfattribs={"layer": "1"})
    for text in (f"Piece Name: {name}", *texts):
        block.add_text(text, dxfattribs={"layer": "1"})
    document.modelspace().add_blockref(block.name, (0, 0))
    return block


def only(document: ezdxf.document.Drawing) -> Piece:
    (piece,) = read_drawing(saved(document)).pieces
    return piece


def told(document: ezdxf.document.Drawing) -> str:
    return "\n".join(read_drawing(saved(document)).notes)


@pytest.mark.parametrize(("units", "per"), [("METRIC", 10), ("ENGLISH", 1 / 2.54), ("metric", 10)])
def test_metric_files_are_in_millimetres_and_english_ones_in_inches(units: str, per: float) -> None:
    document = apparel(units)
    add_piece(document, "back", "Quantity: 1", per=per)
    assert only(document).area_cm2 == pytest.approx(500)


def test_an_apparel_file_without_units_is_asked_about_and_odd_units_are_refused() -> None:
    for units, why in ((None, "does not say its unit"), ("CUBITS", "“cubits” is not understood")):
        document = apparel(units)
        add_piece(document, "back", "Quantity: 1")
        assert why in problems(saved(document))


def test_name_quantity_and_material_of_a_piece_are_read_and_its_other_texts_told() -> None:
    document = apparel(style=("Author: tide", "Sample Size: M"))
    add_piece(document, "front", "Quantity: 2", "Material: lining", "Size: M", "Category: bodice")
    piece = only(document)
    assert (piece.name, piece.cut, piece.material, piece.size) == ("front", 2, "lining", None)
    notes = told(document)
    for words in (
        "Style “saltmarsh smock”",
        "sample size is “M”",
        "category “bodice”",
        "All its pieces are of size “M”",
    ):
        assert words in notes


@pytest.mark.parametrize(
    ("quantity", "cut", "pair", "said"),
    [("4", 4, False, None), ("1,1", 2, True, "1 as drawn and 1 mirrored"), ("two", 1, False, "it is cut once unless")],
)
def test_a_quantity_is_a_whole_number_or_one_for_each_side(
    quantity: str, cut: int, pair: bool, said: str | None
) -> None:
    """Left and right with a comma: from memory of the standard."""
    document = apparel()
    add_piece(document, "front", f"Quantity: {quantity}")
    assert (only(document).cut, only(document).pair) == (cut, pair)
    assert said is None or said in told(document)


def test_the_grain_line_turns_the_piece() -> None:
    document = apparel()
    block = add_piece(document, "back", "Quantity: 1")
    block.add_line((20, 50), (150, 50), dxfattribs={"layer": "7"})
    piece = only(document)
    assert (piece.length_cm, piece.width_cm, piece.grain_stated) == (pytest.approx(20), pytest.approx(30), True)


def test_a_piece_with_a_mirror_line_at_its_edge_is_opened_out() -> None:
    document = apparel()
    block = add_piece(document, "back", "Quantity: 1")
    block.add_line((0, 0), (0, 300), dxfattribs={"layer": "6"})
    piece = only(document)
    assert (piece.area_cm2, piece.width_cm) == (pytest.approx(1000), pytest.approx(40))
    assert piece.fold is not None


def test_a_mirror_line_through_the_middle_of_a_whole_piece_opens_nothing() -> None:
    document = apparel()
    block = add_piece(document, "back", "Quantity: 1")
    block.add_line((100, 0), (100, 300), dxfattribs={"layer": "6"})
    assert only(document).area_cm2 == pytest.approx(500)
    assert "taken as drawn whole" in told(document)


def test_sew_lines_notches_holes_and_internal_lines_are_kept_on_the_piece() -> None:
    document = apparel()
    block = add_piece(document, "back", "Quantity: 1")
    block.add_polyline2d([(10, 10), (190, 10), (190, 190), (10, 280)], close=True, dxfattribs={"layer": "14"})
    block.add_point((200, 100), dxfattribs={"layer": "4"})
    block.add_point((100, 0), dxfattribs={"layer": "80"})
    block.add_point((50, 50), dxfattribs={"layer": "13"})
    block.add_line((20, 20), (60, 20), dxfattribs={"layer": "8"})
    piece = only(document)
    assert piece.stitching is not None
    assert Polygon(piece.stitching).area == pytest.approx(18 * (18 + 27) / 2)
    assert sorted(mark.kind for mark in piece.marks) == [MarkKind.INSIDE] * 2 + [MarkKind.NOTCH] * 2
    assert any(LineString(m.points).length == pytest.approx(4) for m in piece.marks if len(m.points) > 1)


def test_a_block_for_each_size_gives_every_size() -> None:
    document = apparel()
    for size, wide in (("S", 20), ("M", 22), ("L", 24)):
        add_piece(document, "back", "Quantity: 1", f"Size: {size}", wide=wide)
    pieces = read_drawing(saved(document)).pieces
    assert [(p.name, p.size, round(p.width_cm)) for p in pieces] == [
        ("back", "S", 20),
        ("back", "M", 22),
        ("back", "L", 24),
    ]


def test_grading_by_rules_is_told_and_not_made_up() -> None:
    document = apparel(style=("Sample Size: 12", "Grade Rule Table: dune"))
    block = add_piece(document, "back", "Quantity: 1")
    block.add_text("# 3", dxfattribs={"layer": "2"})
    assert "1 points carry a rule number, for the rule table “dune”" in told(document)


def test_layers_the_standard_does_not_have_are_told() -> None:
    document = apparel()
    block = add_piece(document, "back", "Quantity: 1")
    block.add_line((0, 0), (5, 5), dxfattribs={"layer": "77"})
    block.add_point((0, 0), dxfattribs={"layer": "2"})
    assert "layer “77”, which the standard does not have" in told(document)
    assert "Not used (turn points)" in told(document)


def test_the_table_of_layers_is_the_standards() -> None:
    """Source: ASTM D6673-10, table of layers."""
    held = {number: use for number, (use, _) in layers().items()}
    assert (held["1"], held["6"], held["7"], held["14"]) == ("outline", "fold", "grain", "stitch")
    assert {held[str(n)] for n in (4, 80, 81, 82, 83)} == {"notch"}


# --- bad and hostile files ---------------------------------------------------------------------------------------


def test_a_million_points_are_refused_at_once() -> None:
    line = "  0\nVERTEX\n 10\n1.0\n 20\n2.0\n"
    data = f"  0\nSECTION\n  2\nENTITIES\n{line * 130_000}  0\nENDSEC\n  0\nEOF\n".encode()
    began = time.process_time()
    assert "more than 100000 points" in problems(data)
    assert time.process_time() - began < 2


def test_blocks_inside_blocks_without_end_are_stopped() -> None:
    document = plain()
    for level in range(12):
        block = document.blocks.new(f"b{level}")
        for i in range(10):
            if level:
                block.add_blockref(f"b{level - 1}", (i, 0))
            else:
                block.add_line((i, 0), (i, 1))
    document.modelspace().add_blockref("b11", (0, 0))
    began = time.process_time()
    assert "more than 20000 elements" in problems(saved(document))
    assert time.process_time() - began < 20


def test_a_block_that_holds_itself_is_stopped() -> None:
    document = plain()
    block = document.blocks.new("tide")
    block.add_circle((0, 0), 5)
    block.add_blockref("tide", (1, 0))
    document.modelspace().add_blockref("tide", (0, 0))
    assert problems(saved(document))


def test_an_array_of_a_block_is_asked_to_be_one() -> None:
    document = plain()
    document.blocks.new("tide").add_circle((0, 0), 5)
    document.modelspace().add_blockref(
        "tide", (0, 0), dxfattribs={"row_count": 30000, "column_count": 30000, "row_spacing": 1, "column_spacing": 1}
    )
    assert "900000000 times as an array" in problems(saved(document))


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"AutoCAD Binary DXF\r\n\x1a\x00....", "binary DXF"),
        (b"  0\nSECTION\n  2\nENTITIES\n  0\n", "No piece was found|cannot be read as DXF|does not say its unit"),
        (b"  0\nSECTION\n" + b" " * 10_000_001, "at most 10 MB"),
        (saved(plain()), "No piece was found"),
    ],
)
def test_what_is_no_drawing_of_pieces_is_refused_in_a_sentence(data: bytes, why: str) -> None:
    assert any(words in problems(data) for words in why.split("|"))


def test_numbers_beyond_all_measure_are_a_problem_and_not_a_crash() -> None:
    document = plain()
    document.modelspace().add_circle((1e300, 0), 1e300)
    document.modelspace().add_lwpolyline([(0, 0), (1e9, 0), (1e9, 1e9)], close=True)
    assert problems(saved(document))


def _small() -> bytes:
    document = apparel()
    add_piece(document, "back", "Quantity: 1")
    return saved(document)


SMALL = _small()


@settings(max_examples=25)
@given(st.integers(0, len(SMALL) - 1), st.binary(min_size=1, max_size=6), st.integers(0, 40))
def test_a_damaged_file_gives_pieces_or_a_sentence_and_nothing_else(at: int, put: bytes, gone: int) -> None:
    damaged = SMALL[:at] + put + SMALL[at + gone :]
    try:
        assert isinstance(read_drawing(damaged), Drawing)
    except DrawingRefused as refused:
        told = refused.problems
        assert told
