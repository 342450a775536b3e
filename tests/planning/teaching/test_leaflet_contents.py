"""What a leaflet says beside its table.

*Source of the bands*: tex is grams in 1,000 m by definition (ISO 1144), so 4 m in a gram is 250 tex; wraps go by the root of the metres in
a gram, as thickness does in every published rule (Peirce 1937, Ashenhurst): twice as fine a yarn has 1.414 times the wraps.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from planning.asking import changed, tree

from clothwright.planning import Leaflet, disagreements, leaflet
from clothwright.project import read_project

VEST, ROWS = tree("tideline-vest"), tree("rows-of-rectangles")
WAISTCOATS = changed(
    tree("spindrift-waistcoats"), leaflet__cloth_widths=["92 cm"], leaflet__sizes=["S"], leaflet__heddles=["30/10 cm"]
)


def made(given: dict[str, Any], **changes: object) -> Leaflet:
    return leaflet(read_project(changed(given, **changes)), drawings={})


@pytest.fixture(scope="module")
def waistcoats() -> Leaflet:
    """Size S in both versions on one cloth."""
    return made(WAISTCOATS)


def test_a_yarn_of_250_tex_has_bands_about_it() -> None:
    """4 m in a gram: from a tenth less to a tenth more does as it stands; the bands meet."""
    (yarn,) = made(VEST).contents.yarns
    finer, same, heavier = yarn.bands
    assert same.m_per_100g == (360.0, 440.0)
    assert same.tex == pytest.approx((227.27, 277.78), abs=0.01)
    assert (heavier.m_per_100g[1], same.m_per_100g[1]) == (same.m_per_100g[0], finer.m_per_100g[0])
    assert all(low < high for band in yarn.bands for low, high in (band.m_per_100g, band.tex, band.wraps_per_cm))


def test_wraps_go_by_the_root_of_the_metres() -> None:
    """15 wraps in an inch, counted; a yarn a quarter finer has 1.118 times as many."""
    (yarn,) = made(VEST, yarn__0__wraps="15/in").contents.yarns
    assert yarn.wraps_counted
    assert yarn.wraps_per_cm == pytest.approx(15 / 2.54, abs=0.001)
    assert yarn.bands[0].wraps_per_cm[1] == pytest.approx(15 / 2.54 * math.sqrt(1.25), abs=0.001)


def test_two_yarns_have_their_own_bands() -> None:
    """One for the warp, one for the weft."""
    second = {**VEST["yarn"][0], "name": "mud flat singles", "use": "weft", "grist": "6 m/g"}
    first = {**VEST["yarn"][0], "use": "warp"}
    assert [(one.use, one.m_per_100g) for one in made(VEST, yarn=[first, second]).contents.yarns] == [
        ("warp", 400.0),
        ("weft", 600.0),
    ]


def test_what_the_designer_says_stands_in_place_of_what_is_usual() -> None:
    """Order of making, care, and garment measures by size, in mixed units."""
    said = made(
        VEST,
        leaflet__making=["Weave it.", "Sew it."],
        leaflet__care=["Air it."],
        leaflet__measures={"chest, all round": {"S": "92 cm", "M": "38 in"}},
    ).contents
    assert said.making == ("Weave it.", "Sew it.")
    assert said.care == ("Air it.",)
    assert [(one.size, one.garment_cm) for one in said.measures] == [("S", 92.0), ("M", 96.52)]
    usual = made(VEST, cloth__finish="hand wash, dried flat").contents
    assert usual.care == ("Wash it as the sample was washed: hand wash, dried flat.",)
    assert not any("seam allowance" in one for one in usual.making)


def test_pieces_are_listed_as_they_are_cut(waistcoats: Leaflet) -> None:
    """Two fronts, one mirrored; the bindings are of another cloth and are not on this one."""
    by_name = {one.piece: one for one in waistcoats.contents.pieces if one.version == "short"}
    assert (by_name["front"].cut, by_name["front"].mirrored, by_name["front"].main_cloth) == (2, 1, True)
    assert not by_name["armhole binding"].main_cloth
    assert {one.piece for one in waistcoats.laid[0].outlines} == {n for n, p in by_name.items() if p.main_cloth}


def test_measures_of_a_drafted_garment_are_body_and_ease(waistcoats: Leaflet) -> None:
    """A body of 88 cm and 10 cm of ease."""
    bust = next(one for one in waistcoats.contents.measures if one.name == "bust girth")
    assert (bust.body_cm, bust.garment_cm) == (88.0, 98.0)


def test_a_leaflet_with_layouts_agrees_with_itself(waistcoats: Leaflet) -> None:
    """Layouts, list of pieces, bands and rows."""
    assert disagreements(waistcoats) == ()
    assert disagreements(made(ROWS, leaflet={"cloth_widths": ["48 cm", "60 cm"]}, pattern__squaring="4 cm")) == ()


def first_piece(found: Leaflet, **change: Any) -> Leaflet:
    """The leaflet with something changed in the list of pieces."""
    first, *rest = found.contents.pieces
    return replace(found, contents=replace(found.contents, pieces=(replace(first, **change), *rest)))


def first_layout(found: Leaflet, **change: Any) -> Leaflet:
    """The leaflet with something changed in its first layout."""
    first, *rest = found.laid
    return replace(found, laid=(replace(first, **change), *rest))


def first_band(found: Leaflet, **change: Any) -> Leaflet:
    """The leaflet with something changed in its first band."""
    (yarn,) = found.contents.yarns
    first, *rest = yarn.bands
    wrong = replace(yarn, bands=(replace(first, **change), *rest))
    return replace(found, contents=replace(found.contents, yarns=(wrong,)))


def test_one_wrong_figure_beside_the_table_is_found(waistcoats: Leaflet) -> None:
    """Each figure of a layout, a band, the list of pieces."""
    laid = waistcoats.laid[0]
    shifted = replace(laid.outlines[0], outline=tuple((x, y + 60) for x, y in laid.outlines[0].outline))
    for wrong in (
        first_layout(waistcoats, cloth_width_cm=93.0),
        first_layout(waistcoats, cloth_length_cm=laid.cloth_length_cm + 1),
        first_layout(waistcoats, squaring_cm=3.0),
        first_layout(waistcoats, used_share=laid.used_share + 0.01),
        first_layout(waistcoats, outlines=laid.outlines[1:]),
        first_layout(waistcoats, outlines=(shifted, *laid.outlines[1:])),
        first_piece(waistcoats, cut=3),
        first_piece(waistcoats, piece="yoke"),
        first_band(waistcoats, m_per_100g=(397.0, 450.0)),
        first_band(waistcoats, tex=(222.2, 253.5)),
        first_band(waistcoats, wraps_per_cm=(6.194, 6.7)),
    ):
        assert disagreements(wrong), wrong
