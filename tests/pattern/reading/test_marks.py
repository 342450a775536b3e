"""What is written on a drawing; the words are our own (common practice, no source)."""

import pytest
from pattern.drawn import only_piece, page, problems, read

from clothwright.pattern import MAIN_CLOTH, read_drawing

RECT = 'x="5" y="5" width="10" height="20"'
LAYER = 'inkscape:groupmode="layer" inkscape:label='


def test_marks_stand_in_attributes() -> None:
    marks = 'data-piece="back" data-cut="4" data-pair="true" data-one-way="true" data-material="lining" data-size="M"'
    piece = only_piece(f'<rect {RECT} {marks} data-version="short"/>')
    assert (piece.name, piece.cut, piece.pair, piece.one_way) == ("back", 4, True, True)
    assert (piece.material, piece.size, piece.version) == ("lining", "M", "short")


WORDS = "back: cut 2, pair, fold left, grain x, stitch, one way, material lining, size M, version short"


@pytest.mark.parametrize(
    "shape",
    [
        f"<rect {RECT}><title>{WORDS}</title></rect>",
        f'<rect {RECT} inkscape:label="{WORDS}"/>',
        f'<rect {RECT} data-name="{WORDS}"/>',
        f"<g><title>{WORDS}</title><rect {RECT}/></g>",
        f'<g inkscape:label="{WORDS.upper().replace("BACK", "back").replace("LINING", "lining").replace("SHORT", "short")}">'
        f"<rect {RECT}/></g>",
    ],
)
def test_the_same_words_stand_in_the_label_of_a_shape_or_its_group(shape: str) -> None:
    piece = only_piece(shape, seam_allowance_cm=1)
    assert (piece.name, piece.cut, piece.pair, piece.one_way) == ("back", 2, True, True)
    assert (piece.material, piece.size, piece.version) == ("lining", "M", "short")
    assert (piece.length_cm, piece.width_cm) == pytest.approx((20 + 2, 20 + 2))


def test_what_is_left_out_is_cut_once_in_the_main_cloth_and_belongs_to_every_size() -> None:
    piece = only_piece(f'<rect {RECT} data-piece="a"/>')
    assert (piece.cut, piece.pair, piece.one_way, piece.material) == (1, False, False, MAIN_CLOTH)
    assert (piece.size, piece.version) == (None, None)


def test_an_attribute_wins_over_the_label_and_both_are_told() -> None:
    drawing = read(f'<rect {RECT} data-cut="3"><title>back: cut 2</title></rect>')
    assert drawing.pieces[0].cut == 3
    assert any("says its cut twice; “3” is used" in note for note in drawing.notes)


def test_the_shapes_own_mark_wins_then_that_of_the_nearest_group() -> None:
    inner = f'<g data-cut="3"><rect {RECT} data-piece="a" data-size="S"/></g>'
    piece = only_piece(f'<g data-cut="2" data-size="M" data-material="lining">{inner}</g>')
    assert (piece.cut, piece.size, piece.material) == (3, "S", "lining")


@pytest.mark.parametrize(
    ("mark", "accepted"),
    [
        ('data-cut="two"', "a whole number from 1 to 999"),
        ('data-cut="0"', "a whole number from 1 to 999"),
        ('data-cut="2.5"', "a whole number from 1 to 999"),
        ('data-pair="perhaps"', "“true” or “false”"),
        ('data-one-way=""', "“true” or “false”"),
        ('data-fold="middle"', "“left”, “right”, “top” or “bottom”"),
        ('data-grain="up"', "degrees anticlockwise from x"),
        ('data-line="dashed"', "“cut”, “stitch”, “grain”, “fold”, “join”, “notch”, “edge” or “inside”"),
        ('data-size=""', "a name of 1 to 120 letters"),
    ],
)
def test_a_value_that_is_none_is_a_problem_that_says_what_is_accepted(mark: str, accepted: str) -> None:
    (problem,) = problems(f'<rect {RECT} data-piece="cuff" {mark}/>')
    assert problem.startswith("“cuff”:")
    assert mark in problem
    assert accepted in problem


def test_a_bad_value_in_a_label_is_a_problem_too() -> None:
    (problem,) = problems(f"<rect {RECT}><title>cuff: cut two</title></rect>")
    assert "“cut two” in its label is not understood" in problem


def test_words_and_marks_that_are_not_known_are_told() -> None:
    drawing = read(f'<rect {RECT} data-colour="red"><title>cuff: cut 2, felled</title></rect>')
    assert drawing.pieces[0].cut == 2
    assert any("“felled” in its label is not understood" in note for note in drawing.notes)
    assert any("Not known as marks, so not used: “data-colour”" in note for note in drawing.notes)


def test_a_label_without_a_colon_is_a_name() -> None:
    assert only_piece(f"<rect {RECT}><title>left cuff</title></rect>").name == "left cuff"


def test_a_mark_in_a_label_without_a_colon_is_asked_about() -> None:
    (problem,) = problems(f"<rect {RECT}><title>cuff, cut 2</title></rect>")
    assert "is “cut 2” a mark or part of the name “cuff, cut 2”?" in problem
    drawing = read(f"<rect {RECT}><title>cut 2 fronts</title></rect>")
    assert drawing.pieces[0].name == "cut 2 fronts"
    assert any("taken as a name" in note for note in drawing.notes)


def test_a_label_of_nothing_but_marks_names_nothing() -> None:
    sized = f'<g inkscape:label="size M, version short"><rect {RECT} data-piece="a"/></g>'
    assert (only_piece(sized).size, only_piece(sized).version) == ("M", "short")


@pytest.mark.parametrize("label", ["size M", "Size M", "size: M"])
def test_a_layer_named_for_a_size_gives_it_to_the_pieces_in_it(label: str) -> None:
    assert only_piece(f'<g {LAYER}"{label}"><rect {RECT} data-piece="a"/></g>').size == "M"


def test_layers_give_size_and_version_together_or_one_inside_the_other() -> None:
    inside = f'<g {LAYER}"size M"><g {LAYER}"version short"><rect {RECT} data-piece="a"/></g></g>'
    together = f'<g {LAYER}"size M, version short"><rect {RECT} data-piece="a"/></g>'
    for content in (inside, together):
        assert (only_piece(content).size, only_piece(content).version) == ("M", "short")


def test_any_other_layer_is_only_a_folder_and_told() -> None:
    drawing = read(f'<g {LAYER}"M"><rect {RECT} data-piece="a"/></g><g {LAYER}"Layer 2"><rect {RECT}/></g>')
    assert [(piece.name, piece.size) for piece in drawing.pieces] == [("a", None), ("piece 1", None)]
    assert any("folders only" in note and "“M”, “Layer 2”" in note for note in drawing.notes)


def test_a_group_with_a_data_name_may_be_a_layer_and_names_no_piece_without_a_colon() -> None:
    inside = f'<rect {RECT} data-name="back"/><rect x="7" y="7" width="4" height="4" data-name="pocket"/>'
    assert [piece.name for piece in read(f'<g data-name="Layer 1">{inside}</g>').pieces] == ["back", "pocket"]
    assert only_piece(f'<g data-name="back: cut 2"><rect {RECT}/></g>').name == "back"


def test_a_layer_labelled_with_name_and_colon_is_a_piece() -> None:
    assert only_piece(f'<g {LAYER}"back: cut 2"><rect {RECT}/></g>').cut == 2


def test_a_pair_is_asked_how_often_it_is_cut() -> None:
    for mark, came in (("", "no number to cut"), ('data-cut="1"', "cut 1")):
        (problem,) = problems(f'<rect {RECT} data-piece="sleeve" data-pair="true" {mark}/>')
        assert "“sleeve” is a pair with" in problem
        assert came in problem
    odd = read(f'<rect {RECT} data-piece="sleeve" data-pair="true" data-cut="3"/>')
    assert any("cut 3: 1 of them mirrored" in note for note in odd.notes)


def test_every_problem_of_a_drawing_is_told_at_once() -> None:
    bad = f'<rect {RECT} data-piece="a" data-cut="x" data-fold="y"/><rect {RECT} data-piece="b" data-line="z"/>'
    crossed = '<path data-piece="c" d="M 30 10 L 40 20 V 10 L 30 20 Z"/>'
    assert len(problems(bad + crossed + "<script/>")) == 5


def test_the_drawings_own_title_names_no_piece() -> None:
    drawing = read_drawing(page(f"<title>Waistcoat, all sizes</title><rect {RECT}/>"), name="waistcoat")
    assert drawing.pieces[0].name == "waistcoat"
