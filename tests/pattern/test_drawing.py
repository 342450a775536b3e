"""Which closed outlines are pieces, and where transforms, groups and `use` bring them.

*Source* of what is drawn where: SVG 1.1 and SVG 2 (W3C). What counts as a piece is our own (common practice, no source).
"""

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pattern.drawn import L_SHAPE, only_piece, page, problems, read
from shapely.affinity import affine_transform, translate
from shapely.geometry import Polygon

from clothwright.pattern import read_drawing, select, sizes

SQUARE = '<rect x="10" y="10" width="20" height="20" {}/>'
INNER = '<circle cx="20" cy="20" r="3" {}/>'
BESIDE = '<rect x="40" y="10" width="10" height="20" {}/>'


def names(content: str) -> list[str]:
    return [piece.name for piece in read(content).pieces]


def notes(content: str) -> str:
    return "\n".join(read(content).notes)


# --- which outlines are pieces -----------------------------------------------------------------------------------


def test_every_closed_outline_is_a_piece_and_a_nameless_one_is_numbered_and_told() -> None:
    content = SQUARE.format("") + BESIDE.format('data-piece="back"') + '<circle cx="20" cy="60" r="5"/>'
    assert names(content) == ["piece 1", "back", "piece 2"]
    assert "Closed outlines without a name are called “piece 1”, “piece 2”" in notes(content)


def test_a_single_nameless_outline_is_called_as_the_drawing() -> None:
    (piece,) = read_drawing(page(SQUARE.format("")), name="pocket").pieces
    assert piece.name == "pocket"


@pytest.mark.parametrize(
    "content",
    [
        f'<g data-piece="back">{SQUARE.format("")}{INNER.format("")}</g>',
        f'<g data-piece="back">{INNER.format("")}{SQUARE.format("")}</g>',
        f'<g data-piece="back">{SQUARE.format("")}<g>{INNER.format("")}</g></g>',
        f'<g data-piece="back">{SQUARE.format("")}{INNER.format("")}</g>'.replace(
            "/></g>", "><title>dart</title></circle></g>"
        ),
        f"<g>{SQUARE.format(chr(100) + 'ata-piece=' + chr(34) + 'back' + chr(34))}{INNER.format('')}</g>",
        '<path data-piece="back" d="M 10 10 h 20 v 20 h -20 z M 15 15 v 5 h 5 v -5 z"/>',
    ],
)
def test_a_closed_outline_inside_a_pieces_outline_is_a_mark_and_told(content: str) -> None:
    assert names(content) == ["back"]
    assert read(content).pieces[0].area_cm2 == pytest.approx(400)
    assert "Taken as marks inside “back”, not cut" in notes(content)


@pytest.mark.parametrize(
    "content",
    [
        SQUARE.format('data-piece="back"') + INNER.format('data-piece="facing"'),
        SQUARE.format('data-piece="back"') + f'<g data-piece="facing">{INNER.format("")}</g>',
        f'<g data-piece="back">{SQUARE.format("")}<g><title>facing: cut 2</title>{INNER.format("")}</g></g>',
    ],
)
def test_an_outline_with_a_name_of_its_own_is_a_piece_wherever_it_lies(content: str) -> None:
    assert names(content) == ["back", "facing"]
    assert "“facing” lies inside “back”; it is a piece of its own" in notes(content)


def test_sizes_drawn_into_each_other_are_all_pieces() -> None:
    nest = "".join(
        f'<rect x="10" y="10" width="{20 + 2 * i}" height="{30 + i}" data-size="{size}"/>'
        for i, size in enumerate("SML")
    )
    pieces = read(f'<g data-piece="back">{nest}<circle cx="20" cy="20" r="2"/></g>').pieces
    assert sizes(pieces) == ("S", "M", "L")
    (medium,) = select(pieces, size="M", version=None)
    assert (medium.name, medium.width_cm) == ("back", 22)


def test_one_name_for_two_outlines_side_by_side_is_refused() -> None:
    (problem,) = problems(f'<g data-piece="front">{SQUARE.format("")}{BESIDE.format("")}</g>')
    assert "“front” has 2 closed outlines side by side" in problem


def test_two_pieces_of_one_name_are_told_apart_by_number() -> None:
    content = SQUARE.format('data-piece="pocket"') + BESIDE.format('data-piece="pocket"')
    assert names(content) == ["pocket", "pocket 2"]
    assert "More than one piece is called “pocket”" in notes(content)


def test_a_named_piece_must_be_closed() -> None:
    (problem,) = problems('<polyline data-piece="collar" points="1,1 9,1 9,9"/>' + SQUARE.format(""))
    assert "“collar” is an open line; close it" in problem
    (problem,) = problems(f'<g data-piece="collar"><path d="M 1 1 H 9"/><path d="M 9 1 V 9"/></g>{SQUARE.format("")}')
    assert "“collar” has no closed outline" in problem


def test_an_open_line_without_a_mark_is_left_out_and_told_where_it_is() -> None:
    content = SQUARE.format("") + '<path d="M 2 3 H 9 V 5"/>'
    assert len(read(content).pieces) == 1
    assert "open line without a mark is no piece: a path near 2.0 cm across, 3.0 cm down" in notes(content)


def test_a_polyline_whose_ends_meet_is_an_outline() -> None:
    assert only_piece('<polyline points="10,10 30,10 30,40 10,10"/>').area_cm2 == pytest.approx(300)


def test_notches_and_joins_are_no_pieces_and_told() -> None:
    content = f"""<g data-piece="back">{SQUARE.format("")}<path data-line="notch" d="M 10 20 h 1"/>
        <path data-line="notch" d="M 12 12 h 4 v 4 z"/><line data-line="join" x1="10" x2="30" y1="25" y2="25"/></g>"""
    assert names(content) == ["back"]
    assert "Notches, which do not change the layout: “back”" in notes(content)
    assert "pieces are laid whole: “back”" in notes(content)


@pytest.mark.parametrize(
    "hidden",
    [
        '<g style="display:none">{}</g>',
        '<g display="none">{}</g>',
        '<g style="visibility: hidden">{}</g>',
        '<g visibility="collapse">{}</g>',
        '<g style="display : none !important">{}</g>',
    ],
)
def test_hidden_things_are_left_out_and_told(hidden: str) -> None:
    content = SQUARE.format("") + hidden.format(BESIDE.format('id="b"'))
    assert len(read(content).pieces) == 1
    assert "Left out, hidden in the drawing" in notes(content)


def test_what_is_made_visible_inside_something_invisible_is_drawn() -> None:
    """Source: SVG 1.1, 11.5: visibility is inherited and may be set again; display is not."""
    content = f'<g visibility="hidden">{SQUARE.format("visibility=" + chr(34) + "visible" + chr(34))}</g>'
    assert len(read(content).pieces) == 1


def test_text_images_and_a_drawing_programs_own_things_are_left_out_and_told() -> None:
    content = SQUARE.format("") + "<text>Cut two</text><image href='data:image/png;base64,AA'/><metadata/><blob/>"
    told = notes(content + '<namedview xmlns="http://example.org/program"><guide position="3,4"/></namedview>')
    for word in (
        "Text that says nothing of one piece, so not used: “Cut two”",
        "Images are not read",
        "draws nothing: metadata",
        "“blob”",
        "namedview",
    ):
        assert word in told


def test_a_rectangle_as_large_as_the_page_under_the_pieces_is_the_background() -> None:
    content = '<rect width="100%" height="100%" fill="white"/>' + SQUARE.format("") + BESIDE.format("")
    assert len(read(content).pieces) == 2
    assert "Left out, taken as the page's background" in notes(content)
    assert only_piece('<rect width="100%" height="100%"/>').area_cm2 == pytest.approx(4800)


def test_a_drawing_without_any_piece_is_refused() -> None:
    (problem,) = problems("<text>nothing here</text>")
    assert problem.startswith("No piece was found")


def test_a_piece_of_absurd_size_is_refused_or_left_out() -> None:
    (problem,) = problems('<rect data-piece="a" width="2001" height="5"/>')
    assert "“a” is 20.0 m large; at most 20 m is accepted" in problem
    (problem,) = problems('<rect data-piece="a" width="0.1" height="0.1"/>')
    assert "“a” is only 1 x 1 mm" in problem
    assert "too small to be a piece" in notes(SQUARE.format("") + '<circle cx="50" cy="50" r="0.05"/>')


def test_an_outline_that_crosses_itself_is_refused_by_name() -> None:
    (problem,) = problems('<polygon data-piece="yoke" points="10,10 20,20 20,10 10,20"/>')
    assert problem.startswith("“yoke”: the outline crosses itself")


@pytest.mark.parametrize("d", ["M 1 1 L 9 9 rubbish", "L 1 1"])
def test_a_path_that_cannot_be_read_is_refused_by_name(d: str) -> None:
    (problem, *_) = problems(f'<path data-piece="yoke" d="{d}"/>{SQUARE.format("")}')
    assert problem.startswith("“yoke”: it cannot be read as SVG")


# --- transforms, groups and use ----------------------------------------------------------------------------------

_STEPS = st.one_of(
    st.tuples(st.just("translate"), st.tuples(st.floats(-20, 20), st.floats(-20, 20))),
    st.tuples(st.just("rotate"), st.tuples(st.floats(-180, 180))),
    st.tuples(st.just("scale"), st.tuples(st.floats(0.5, 2), st.floats(0.5, 2))),
    st.tuples(st.just("scale"), st.tuples(st.just(-1.0), st.floats(0.5, 2))),
    st.tuples(st.just("skewX"), st.tuples(st.floats(-40, 40))),
)


def _matrix(kind: str, numbers: tuple[float, ...]) -> list[float]:
    """The step for shapely: [a, b, d, e, xoff, yoff] of x' = a x + b y + xoff, y' = d x + e y + yoff."""
    if kind == "translate":
        return [1, 0, 0, 1, *numbers]
    if kind == "scale":
        return [numbers[0], 0, 0, numbers[1], 0, 0]
    angle = math.radians(numbers[0])
    if kind == "skewX":
        return [1, math.tan(angle), 0, 1, 0, 0]
    return [math.cos(angle), -math.sin(angle), math.sin(angle), math.cos(angle), 0, 0]


@given(st.lists(_STEPS, max_size=5))
def test_transforms_of_nested_groups_give_the_outline_transformed_by_hand(steps: list) -> None:
    """The innermost transform comes first (SVG 1.1, 7.4); shapely is the independent check."""
    content, expected = (
        L_SHAPE.format('data-grain="x"'),
        Polygon([(10, 10), (14, 10), (14, 24), (20, 24), (20, 30), (10, 30)]),
    )
    for kind, numbers in reversed(steps):
        content = f'<g transform="{kind}({" ".join(f"{n:.9f}" for n in numbers)})">{content}</g>'
        expected = affine_transform(expected, _matrix(kind, numbers))
    upright = affine_transform(expected, [1, 0, 0, -1, 0, 0])
    upright = translate(upright, -upright.bounds[0], -upright.bounds[1])
    if min(upright.bounds[2:]) < 0.5:
        return
    assert only_piece(content).polygon.symmetric_difference(upright).area == pytest.approx(0, abs=1e-3)


def test_a_shape_mirrored_on_the_page_is_mirrored_on_the_cloth() -> None:
    plain, mirrored = (only_piece(f"<g {t}>{L_SHAPE.format('')}</g>") for t in ("", 'transform="scale(-1 1)"'))
    flipped = affine_transform(plain.polygon, [1, 0, 0, -1, 0, plain.width_cm])
    assert mirrored.polygon.symmetric_difference(flipped).area == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("href", ["href", "xlink:href"])
def test_use_draws_its_target_again_moved_and_with_the_marks_around_it(href: str) -> None:
    content = f"""<defs><rect id="half" width="10" height="20"/></defs>
        <use {href}="#half" x="5" y="5" data-piece="left" data-cut="2"/>
        <g transform="scale(2)"><use {href}="#half" x="15" y="5"><title>right: grain x</title></use></g>"""
    left, right = read(content).pieces
    assert (left.name, left.cut, left.width_cm, left.length_cm) == ("left", 2, 10, 20)
    assert (right.name, right.cut, right.width_cm, right.length_cm) == ("right", 1, 40, 20)


def test_a_symbol_is_drawn_only_where_it_is_used_and_fitted_into_the_size_given() -> None:
    """Source: SVG 1.1, 5.5 and 5.6: the width and height of `use` go over to the symbol's viewBox."""
    content = '<symbol id="s" viewBox="0 0 5 5"><rect data-piece="a" width="2" height="3"/></symbol>'
    assert problems(content)[0].startswith("No piece was found")
    piece = only_piece(content + '<use href="#s" width="20" height="20"/>')
    assert (piece.width_cm, piece.length_cm) == pytest.approx((8, 12))


def test_a_use_of_nothing_is_refused() -> None:
    assert "uses “gone”, which is not in the drawing" in problems('<use href="#gone"/>' + SQUARE.format(""))[0]


def test_a_transform_written_as_style_is_refused_and_not_overlooked() -> None:
    (problem,) = problems(SQUARE.format('data-piece="a" style="fill:none; transform: scale(2)"'))
    assert "transform in its style is not read" in problem
    assert "style sheets are not read" in notes(SQUARE.format("") + "<style>.h { display: none }</style>")


def test_clipping_is_told() -> None:
    assert "clipped or masked; it is read whole" in notes(SQUARE.format('clip-path="url(#c)"'))


# --- the page in the documentation -------------------------------------------------------------------------------

DOCS = Path(__file__).parents[2] / "docs" / "drawings.md"


def example_in_docs() -> bytes:
    text = DOCS.read_text(encoding="utf-8")
    return text.partition("```svg\n")[2].partition("```")[0].encode()


def test_the_example_in_the_documentation_is_read_as_it_says() -> None:
    """The table under the example is what the example gives, row for row."""
    rows = [line for line in DOCS.read_text(encoding="utf-8").splitlines() if line.startswith("| *")]
    pieces = read_drawing(example_in_docs(), seam_allowance_cm=1.5).pieces
    told = [
        f"| *{p.name}* | {p.size or 'all'} | {p.cut} | {'yes' if p.pair else 'no'} | {p.length_cm:.1f} | {p.width_cm:.1f} |"
        for p in pieces
    ]
    assert told == rows


def test_every_mark_and_word_is_in_the_documentation() -> None:
    from clothwright.pattern.reading.marks import MARKS

    text = DOCS.read_text(encoding="utf-8")
    assert [mark for mark in MARKS if f"`data-{mark}`" not in text] == []


def test_what_the_documentation_says_of_limits_is_what_holds() -> None:
    from clothwright.pattern.reading import assembly, safety

    text = DOCS.read_text(encoding="utf-8")
    assert f"{safety.MAX_BYTES / 1e6:g} MB" in text
    assert f"{safety.MAX_ELEMENTS:,} elements" in text
    assert f"{safety.MAX_DEPTH} deep" in text
    assert f"{assembly.MAX_OUTLINES:,} closed outlines" in text
    assert f"{assembly.LARGEST_PIECE_CM / 100:g} m" in text
