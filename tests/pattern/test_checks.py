"""What looks wrong in a pattern is told with its mend; what is right is not.

The rules are common practice, no source; lengths are those of the drawing.
"""

import pytest
from pattern.drawn import read
from pattern.garments import garment

from clothwright.pattern import Check, CheckKind, Piece, check_pieces
from clothwright.pattern.checks import is_symmetric

GRAIN = 'data-grain="y"'


def checks(content: str, *, seam_allowance_cm: float = 0.0) -> list[Check]:
    return list(check_pieces(read(content, seam_allowance_cm=seam_allowance_cm).pieces))


def kinds(content: str, **how: float) -> list[CheckKind]:
    return [check.kind for check in checks(content, **how)]


def piece(name: str, left: float, *, foot: float = 40, edge: str = "", marks: str = GRAIN) -> str:
    """A piece with a slant left side from (left, 10) to (left + 2, foot)."""
    line = f'<polyline points="{left},10 {left + 2},{foot}"><title>{edge}</title></polyline>' if edge else ""
    return f'<g data-piece="{name}" {marks}><polygon points="{left},10 {left + 15},10 {left + 15},{foot} {left + 2},{foot}"/>{line}</g>'


def test_a_pattern_that_is_right_has_nothing_to_say() -> None:
    sound = piece("back", 5, edge="seam side") + piece(
        "front", 30, edge="seam side", marks=f'{GRAIN} data-cut="2" data-pair="true"'
    )
    assert checks(sound) == []


@pytest.mark.parametrize(
    ("longer", "label", "wrong"),
    [(40.2, "seam side", False), (42, "seam side", True), (42, "seam side, ease 2 cm", False)],
)
def test_edges_sewn_together_are_as_long_as_each_other_but_for_their_ease(
    longer: float, label: str, wrong: bool
) -> None:
    found = checks(piece("back", 5, edge="seam side") + piece("front", 30, foot=longer, edge=label))
    assert [check.kind for check in found] == [CheckKind.SEAM] * wrong
    if wrong:
        assert found[0].pieces == ("back", "front")
        assert "30.1 cm long on back and 32.1 cm on front" in found[0].sentence
        assert "“ease 2.0 cm” on the edge of front" in found[0].mend


def test_a_seam_sewn_to_nothing_is_told_unless_the_piece_is_cut_twice() -> None:
    (alone,) = checks(piece("back", 5, edge="seam sied"))
    assert "sewn to nothing" in alone.sentence
    assert kinds(piece("back", 5, edge="seam middle", marks=f'{GRAIN} data-cut="2" data-pair="true"')) == []


@pytest.mark.parametrize(
    ("marks", "wrong"),
    [
        ('data-cut="2"', True),
        ('data-cut="2" data-pair="true"', False),
        ('data-cut="1"', False),
        ('data-cut="3"', False),
    ],
)
def test_two_of_a_lopsided_piece_without_a_mirror_are_asked_about(marks: str, wrong: bool) -> None:
    assert kinds(piece("front", 5, marks=f"{GRAIN} {marks}")) == [CheckKind.MIRROR] * wrong


def test_two_of_a_symmetric_piece_need_no_mirror() -> None:
    assert kinds(f'<rect x="5" y="5" width="10" height="30" data-piece="band" data-cut="2" {GRAIN}/>') == []
    assert is_symmetric(((0, 0), (10, 0), (8, 6), (2, 6)))
    assert not is_symmetric(((0, 0), (10, 0), (8, 6), (0, 6)))


@pytest.mark.parametrize(
    ("outer", "inner", "wrong"),
    [("stitch", (7, 7, 26, 36), True), ("cut", (7, 7, 26, 36), False), ("stitch", (10, 20, 8, 9), False)],
)
def test_an_allowance_added_to_a_line_that_already_has_one_is_told(outer: str, inner: tuple, wrong: bool) -> None:
    x, y, w, h = inner
    content = (
        f'<g data-piece="back" {GRAIN}><rect x="5.5" y="5.5" width="29" height="39" data-line="{outer}"/>'
        f'<rect x="{x}" y="{y}" width="{w}" height="{h}" data-line="cut"/></g>'
    )
    found = checks(content, seam_allowance_cm=1.5)
    assert [check.kind for check in found] == [CheckKind.ALLOWANCE] * wrong
    assert not wrong or "1.5 cm inside it all round" in found[0].sentence


def test_a_piece_without_a_grain_is_told() -> None:
    (check,) = checks('<rect x="5" y="5" width="10" height="30" data-piece="band"/>')
    assert check.kind is CheckKind.GRAIN
    assert "up the page is taken" in check.sentence


@pytest.mark.parametrize(("side", "wrong"), [(1.5, True), (30, False), (290, True)])
def test_a_piece_of_unusual_size_asks_for_the_scale(side: float, wrong: bool) -> None:
    made = Piece("band", ((0, 0), (side, 0), (side, 1), (0, 1)))
    assert [check.kind for check in check_pieces([made])] == [CheckKind.SCALE] * wrong


def test_a_match_point_that_meets_nothing_is_told() -> None:
    notch = '<path data-match="{}" d="M 20 25 h -1"/></g>'
    alone = piece("back", 5).removesuffix("</g>") + notch.format("a")
    assert kinds(alone) == [CheckKind.MATCH]
    other = piece("front", 30).removesuffix("</g>") + notch.format("a").replace("M 20", "M 45")
    assert kinds(alone + other) == []


def test_published_outlines_are_looked_at_without_a_fault_of_ours() -> None:
    for name in ("albano", "shirts", "trousers"):
        for one in garment(name):
            check_pieces([Piece(one.name, one.points)])
