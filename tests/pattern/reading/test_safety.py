"""A drawing is somebody else's file: what is refused, what is cleaned, and that nothing else ever comes of it.

*Source* of the attacks: "billion laughs" and external entities, as the defusedxml documentation lists them.
"""

import contextlib
import gzip
import socket
import time

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pattern.drawn import NAMESPACES, SIZE, page, problems, read

from clothwright.pattern import DrawingRefused, DrawingScale, read_drawing
from clothwright.pattern.reading.safety import MAX_BYTES, MAX_DEPTH, MAX_ELEMENTS

SQUARE = '<rect x="10" y="10" width="20" height="20" {}/>'


def refusal(data: bytes) -> str:
    with pytest.raises(DrawingRefused) as refused:
        read_drawing(data)
    return "\n".join(refused.value.problems)


def cleaned(content: str) -> str:
    drawing = read(content)
    assert len(drawing.pieces) == 1
    return "\n".join(drawing.notes)


# --- refused -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "prologue",
    [
        '<!DOCTYPE svg [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>',
        '<!DOCTYPE svg [<!ENTITY file SYSTEM "file:///etc/passwd">]>',
        '<!DOCTYPE svg [<!ENTITY % more SYSTEM "http://example.org/more.dtd"> %more;]>',
    ],
)
def test_a_document_type_or_entities_are_refused_with_what_to_do(prologue: str) -> None:
    assert "delete that line, or save the drawing as plain SVG" in refusal(prologue.encode() + page(SQUARE.format("")))


def test_the_document_type_line_that_programs_write_is_left_out_with_a_note() -> None:
    """SVG 1.1, section 5.1: the public identifier and address of the document type, declaring nothing itself."""
    line = b'<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">\n'
    drawing = read_drawing(line + page(SQUARE.format("")))
    assert len(drawing.pieces) == 1
    assert any("document type line" in note for note in drawing.notes)


@pytest.mark.parametrize(
    "content",
    [
        "<script>alert(1)</script>",
        '<script href="http://example.org/x.js"/>',
        '<defs><g display="none"><script/></g></defs>',
        '<html:script xmlns:html="http://www.w3.org/1999/xhtml"/>',
        '<a href=" java\nscript:alert(1)"><circle r="1"/></a>',
    ],
)
def test_a_script_is_refused_wherever_it_stands(content: str) -> None:
    (problem,) = problems(SQUARE.format("") + content)
    assert "scripts are not accepted" in problem


@pytest.mark.parametrize(
    "href", ["http://example.org/a.svg#b", "other.svg#b", "file:///etc/passwd", "//example.org/#b", "data:x"]
)
def test_a_use_that_points_out_of_the_drawing_is_refused(href: str) -> None:
    found = problems(SQUARE.format("") + f'<use href="{href}"/>')
    assert any("points out of the drawing" in problem for problem in found)


def test_a_use_that_leads_back_to_itself_is_refused() -> None:
    loop = '<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>'
    assert any("uses itself" in problem for problem in problems(SQUARE.format("") + loop))


def test_uses_that_multiply_each_other_are_stopped() -> None:
    """Ten levels of ten uses each would draw ten thousand million squares."""
    levels = "".join(f'<g id="l{i + 1}">{f"<use href={chr(34)}#l{i}{chr(34)}/>" * 10}</g>' for i in range(10))
    found = problems(f'<defs><g id="l0">{SQUARE.format("")}</g>{levels}</defs><use href="#l10"/>')
    assert any(f"more than {MAX_ELEMENTS} elements" in problem for problem in found)


def test_a_long_chain_of_uses_is_stopped() -> None:
    chain = "".join(f'<g id="l{i + 1}"><use href="#l{i}"/></g>' for i in range(MAX_DEPTH))
    found = problems(f'<defs><g id="l0">{SQUARE.format("")}</g>{chain}</defs><use href="#l{MAX_DEPTH}"/>')
    assert any(f"more than {MAX_DEPTH} deep" in problem for problem in found)


def test_limits_on_bytes_elements_and_depth_hold() -> None:
    assert "5.0 MB large" in refusal(page("<!--" + "x" * MAX_BYTES + "-->"))
    assert f"more than {MAX_ELEMENTS} elements" in refusal(page("<g/>" * (MAX_ELEMENTS + 1)))
    assert f"more than {MAX_DEPTH} deep" in refusal(page("<g>" * 5000 + "</g>" * 5000))


def test_a_drawing_of_very_many_outlines_or_points_is_refused() -> None:
    many = "".join(f'<rect x="{i % 50}" y="{i // 50}" width="0.5" height="0.5"/>' for i in range(1001))
    assert "more than 1000 closed outlines" in refusal(page(many))
    zigzag = "M 0 0" + " 1 1 2 0" * 60_000 + "z"
    assert "more than 100000 points" in refusal(page(f'<path d="{zigzag}"/>'))


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "empty"),
        (b"  \n", "empty"),
        (gzip.compress(page(SQUARE)), "compressed"),
        (b"%PDF-1.4", "cannot be read as PDF"),
        (page(SQUARE.format(""))[:-6], "cannot be read as SVG"),
        (b"<html><body/></html>", "it begins with “html”"),
        (b'<?xml version="1.0" encoding="no-such"?><svg/>', "cannot be read as SVG"),
        (b"\xff\xfe<svg/>", "cannot be read as SVG"),
        (page('<rect x="&undefined;"/>'), "cannot be read as SVG"),
    ],
)
def test_what_is_no_drawing_is_refused_in_a_sentence(data: bytes, why: str) -> None:
    assert why in refusal(data)


@pytest.mark.parametrize(
    "shape",
    [
        '<rect width="1e400" height="1"/>',
        '<rect width="nan" height="1"/>',
        '<circle r="99999999"/>',
        '<path d="M 0 0 L 1e308 1e308 L 5 0 Z"/>',
        '<g transform="scale(1e7)"><g transform="scale(1e7)"><circle r="1e7"/></g></g>',
        '<path d="M 0 0 A 1e-300 1e-300 0 0 1 5 5 L 5 0 Z" transform="matrix(1e7 1e7 1e7 1e7 0 0)"/>',
        '<g transform="scale(1e-300)"><path d="M 0 0 A 5 5 0 0 1 5 5 Z"/></g>',
    ],
)
def test_numbers_without_measure_are_refused(shape: str) -> None:
    assert problems(shape)


MUCH = MAX_BYTES // 2


@pytest.mark.parametrize(
    "content",
    [
        f'<path id="p" d="{"M 0 0 " * (MUCH // 6)}"/>' + '<use href="#p"/>' * 10_000,
        f'<g id="p" transform="{"scale(1)" * (MUCH // 8)}"/>' + '<use href="#p"/>' * 10_000,
        f'<rect width="{"1" * MUCH}!" height="5"/>',
        f'<rect width="1{" " * MUCH}!" height="5"/>',
        f'<polygon points="{"1 2 " * (MUCH // 4)}"/>',
        f'<path d="M 0 0 {"l 1 1" * (MUCH // 5)}"/>',
        f'<rect width="5" height="5"><title>{"a," * (MUCH // 2)}</title></rect>',
        f'<rect width="5" height="5" style="{"url( " * (MUCH // 5)}"/><style>{"display " * (MUCH // 8)}</style>',
        SQUARE.format("") + '<line data-line="grain" x1="11" y1="11" x2="11" y2="20"/>' * 15_000,
        f'<path data-line="stitch" d="M 0 0 {"l 0.1 30 l 0.1 -30" * 4000} v 60 H 0 z"/>',
    ],
    ids=lambda content: content[:20],
)
def test_a_drawing_made_to_take_long_is_answered_soon(content: str) -> None:
    """Ten seconds is far more than is needed, and far less than any of these takes without its limit."""
    started = time.process_time()
    with contextlib.suppress(DrawingRefused):
        read_drawing(page(content), seam_allowance_cm=1)
    assert time.process_time() - started < 10


# --- cleaned -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "content",
    [
        SQUARE.format("") + '<image href="http://example.org/a.png"/>',
        SQUARE.format("") + '<a xlink:href="http://example.org/"/>',
        SQUARE.format('fill="url(http://example.org/a.svg#p)"'),
        SQUARE.format("style=\"fill:url('https://example.org/x')\""),
        SQUARE.format("") + "<style>@import 'http://example.org/a.css';</style>",
        SQUARE.format("") + "<style>rect { fill: url(//example.org/a) }</style>",
    ],
)
def test_what_lies_outside_the_drawing_is_left_out_with_a_note(content: str) -> None:
    assert "nothing outside the drawing is ever fetched" in cleaned(content)


@pytest.mark.parametrize("local", ['fill="url(#p)"', "style=\"fill:url('#p')\"", 'fill="url( &quot;#p&quot; )"'])
def test_what_lies_inside_the_drawing_needs_no_note(local: str) -> None:
    assert "fetched" not in cleaned(SQUARE.format(local))


def test_event_attributes_foreign_content_and_an_asked_style_sheet_are_left_out_with_a_note() -> None:
    assert "a drawing runs nothing: onload of rect" in cleaned(SQUARE.format('onload="x()"'))
    assert "no part of SVG: foreignObject" in cleaned(SQUARE.format("") + "<foreignObject><b/></foreignObject>")
    asked = b'<?xml-stylesheet href="http://example.org/a.css"?>' + page(SQUARE.format(""))
    assert any("style sheet" in note for note in read_drawing(asked).notes)


def test_what_somebody_typed_is_shortened_and_kept_on_one_line_in_a_sentence() -> None:
    long = "x" * 300 + "\n\u202e\x85"
    found = problems(f'<rect data-piece="a" data-cut="{long}" width="9" height="9"/><use href="http://{long}"/>')
    assert all(len(problem) < 400 and problem.isprintable() for problem in found)


# --- nothing but DrawingRefused ----------------------------------------------------------------------------------

GOOD = page(
    f"""<style>.a {{ fill: none }}</style><defs><path id="d" d="M 0 0 c 1 2 3 4 5 0 z"/><symbol id="s" viewBox="0 0 9 9">
    <circle cx="4" cy="4" r="3"/></symbol></defs><g inkscape:groupmode="layer" inkscape:label="size M" transform="rotate(3)">
    <g data-piece="back" data-cut="2" data-pair="true" data-line="stitch"><path data-fold="left"
    d="M 5 5 h 9 q 2 3 6 3 l 4 20 v 30 H 5 Z"/><line data-line="grain" x1="9" y1="50" x2="9" y2="10"/></g></g>
    <use href="#d" x="30" y="40" transform="scale(2)"/><use href="#s" width="9" height="9" data-piece="badge"/>
    <ellipse cx="40%" cy="9" rx="4" ry="3"><title>cuff: cut 2, pair, grain 45, one way, material lining</title></ellipse>
    <path d="M 30 30 A 5 3 20 1 0 35 31 S 40 40 30 30" style="stroke:#000"/>{SQUARE.format('rx="2"')}"""
)


def never_anything_else(data: bytes) -> None:
    for scale in (None, DrawingScale(0.1)):
        try:
            drawing = read_drawing(data, seam_allowance_cm=1.5, scale=scale)
            told, came_of_it = drawing.notes, len(drawing.pieces)
        except DrawingRefused as refused:
            told, came_of_it = refused.problems, len(refused.problems)
        assert came_of_it > 0
        assert all(sentence and sentence.isprintable() for sentence in told)


def test_the_drawing_that_is_mutated_below_is_good_but_for_its_turned_fold() -> None:
    assert len(read_drawing(GOOD.replace(b"rotate(3)", b"rotate(0)")).pieces) == 6


@given(st.binary(max_size=400))
def test_random_bytes_give_a_drawing_or_a_refusal(data: bytes) -> None:
    never_anything_else(data)
    never_anything_else(b"<svg " + NAMESPACES.encode() + b" " + SIZE.encode() + b">" + data + b"</svg>")


_SCRAPS = st.sampled_from(
    [b"", b"<", b'"', b"-", b".", b"0", b"1e7", b"1e-7", b"NaN", b"inf", b"%", b"#s", b"#d", b"z", b"M", b"A", b"/>"]
)
_LONGER_SCRAPS = st.sampled_from(
    [
        b"<g>",
        b"data-fold='top' ",
        b" data-line='grain' ",
        b"&#0;",
        b"\xc3",
        b"\x00",
        b"9" * 30,
        b"cm",
        b"0 0 0 0",
        b"none",
    ]
)
_CUTS = st.lists(
    st.tuples(st.integers(0, len(GOOD)), st.integers(0, 12), _SCRAPS | _LONGER_SCRAPS), min_size=1, max_size=4
)


@settings(max_examples=400, suppress_health_check=[HealthCheck.too_slow], deadline=None)
@given(_CUTS)
def test_mutated_drawings_give_a_drawing_or_a_refusal(cuts: list[tuple[int, int, bytes]]) -> None:
    data = GOOD
    for at, length, scrap in cuts:
        data = data[:at] + scrap + data[at + length :]
    never_anything_else(data)


_VALUES = st.one_of(
    st.floats().map(str),
    st.text(max_size=12),
    st.sampled_from(["1e7", "-1e7", "1e-7", "0", "50%", "3mm", "auto", "none"]),
)
_KEYS = [
    "x",
    "y",
    "width",
    "height",
    "rx",
    "r",
    "d",
    "points",
    "transform",
    "viewBox",
    "data-fold",
    "data-cut",
    "data-grain",
]
_KEYS += ["data-line", "data-piece", "style", "href", "display", "visibility", "preserveAspectRatio"]
_TAGS = st.sampled_from(["g", "rect", "circle", "ellipse", "path", "polygon", "line", "use", "svg", "symbol", "title"])
_ATTRIBUTES = st.dictionaries(st.sampled_from(_KEYS), _VALUES, max_size=5)
_TREES = st.recursive(
    st.tuples(_TAGS, _ATTRIBUTES, st.just([])), lambda t: st.tuples(_TAGS, _ATTRIBUTES, st.lists(t, max_size=3))
)


def _written(tree: tuple) -> str:
    from xml.sax.saxutils import quoteattr

    tag, attributes, children = tree
    stated = " ".join(f"{key}={quoteattr(value)}" for key, value in attributes.items())
    return f"<{tag} {stated}>{''.join(map(_written, children))}</{tag}>"


@settings(max_examples=300, suppress_health_check=[HealthCheck.too_slow], deadline=None)
@given(st.lists(_TREES, max_size=4))
def test_random_trees_give_a_drawing_or_a_refusal(trees: list) -> None:
    never_anything_else(page("".join(map(_written, trees)) + SQUARE.format("")).replace(b"\x00", b""))


def test_reading_opens_no_file_and_no_connection(monkeypatch: pytest.MonkeyPatch) -> None:
    read_drawing(page(SQUARE.format("")))

    def refuse(*_args: object, **_kwargs: object) -> None:
        raise AssertionError("a drawing reached out")

    monkeypatch.setattr("builtins.open", refuse)
    monkeypatch.setattr("io.open", refuse)
    monkeypatch.setattr(socket, "socket", refuse)
    outside = '<image href="http://example.org/a.png"/><style>@import "http://example.org/a.css";</style>'
    assert len(read_drawing(page(SQUARE.format("") + outside)).pieces) == 1
