"""Ways to join a piece, from its shape alone."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from clothwright.pattern import MarkKind, Piece, PieceMark, rectangle
from clothwright.planning.pieces.join_options import options_for, why_not


def ways(piece: Piece, usable_cm: float, **more) -> list[tuple[str, str]]:
    return [(one.part.at, one.part.sewn) for one in options_for(piece, usable_cm, **more)]


def test_a_piece_too_wide_has_a_centre_seam_side_panels_and_its_selvedges() -> None:
    assert ways(rectangle("back", width_cm=56, length_cm=60), 40) == [
        ("centre", "seam"),
        ("side panels of 9.5 cm", "seam"),
        ("17.5 cm from the right", "seam"),
        ("centre", "selvedges butted"),
        ("centre", "selvedges lapped"),
    ]


def test_a_piece_of_more_than_two_widths_is_joined_from_the_fewest_equal_panels() -> None:
    found = ways(rectangle("coat", width_cm=100, length_cm=60), 38)
    assert ("3 equal panels", "seam") in found
    assert ("3 equal panels", "selvedges butted") in found
    assert ("centre", "seam") not in found


def test_a_piece_that_fits_has_a_centre_seam_and_its_drawn_lines_only() -> None:
    line = PieceMark(MarkKind.JOIN, ((0, 10), (60, 10)))
    marked = Piece("front", ((0, 0), (60, 0), (60, 30), (0, 30)), marks=(line,))
    assert ways(marked, 40) == [("drawn line", "seam"), ("centre", "seam")]


def test_trimmed_selvedges_are_not_joined() -> None:
    assert all(sewn == "seam" for _, sewn in ways(rectangle("back", width_cm=56, length_cm=60), 40, trimmed=True))


def test_lengths_are_proposed_in_inches_where_the_project_is() -> None:
    found = ways(rectangle("back", width_cm=56, length_cm=60), 40, imperial=True)
    assert ("side panels of 3.75 in", "seam") in found


def test_wider_allowances_make_wider_side_panels() -> None:
    found = ways(rectangle("back", width_cm=56, length_cm=60), 40, allowance_cm=2.5)
    assert ("side panels of 10.5 cm", "seam") in found


@given(st.floats(6, 200), st.floats(8, 60), st.floats(0, 3), st.booleans())
def test_every_panel_proposed_fits_the_cloth(width: float, usable: float, allowance: float, imperial: bool) -> None:
    piece = rectangle("kelp", width_cm=width, length_cm=40)
    for one in options_for(piece, usable, allowance_cm=allowance, imperial=imperial):
        assert one.widest_cm <= usable + 1e-5


def test_a_fold_off_the_grain_is_the_reason_where_nothing_else_fits() -> None:
    piece = Piece("cape", ((0, 0), (90, 0), (90, 300), (0, 300)), fold=((0, 100), (90, 200)))
    assert "off the grain" in why_not(piece, 20)
    assert why_not(rectangle("cape", width_cm=300, length_cm=90), 20) == (
        "cape: no way was found to join it from panels that fit on 20.0 cm of cloth"
    )
