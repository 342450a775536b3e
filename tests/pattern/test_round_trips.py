"""Outlines written by general drawing libraries come back with their area and length, through every reader."""

import pytest
from pattern.garments import NAMES, WRITERS, garment
from shapely.affinity import rotate, translate
from shapely.geometry import Polygon

from clothwright.pattern import Piece, read_drawing


def as_on_the_cloth(polygon: Polygon) -> Polygon:
    """A page upright (y upwards), then its grain, up the page, brought along x."""
    upright = Polygon([(x, -y) for x, y in polygon.exterior.coords])
    turned = rotate(upright, -90, origin=(0, 0))
    return translate(turned, -turned.bounds[0], -turned.bounds[1])


def in_drawn_order(pieces: tuple[Piece, ...]) -> list[Piece]:
    return sorted(pieces, key=lambda piece: int(piece.name.split()[-1]) if piece.name[-1].isdigit() else 0)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("writer", WRITERS)
def test_published_outlines_keep_area_length_and_shape_within_a_thousandth(writer: str, name: str) -> None:
    """Source: tests/published/nesting; 0.1 % is what a tape cannot tell."""
    drawn = garment(name)
    pieces = in_drawn_order(read_drawing(WRITERS[writer](drawn)).pieces)
    assert len(pieces) == len(drawn)
    for piece, outline in zip(pieces, drawn, strict=True):
        expected = as_on_the_cloth(outline.polygon)
        assert piece.area_cm2 == pytest.approx(expected.area, rel=1e-3)
        assert piece.around_cm == pytest.approx(expected.length, rel=1e-3)
        assert piece.polygon.symmetric_difference(expected).area < 1e-3 * expected.area


@pytest.mark.parametrize("writer", [name for name in WRITERS if "PDF" not in name])
def test_names_come_back_where_the_file_can_hold_them(writer: str) -> None:
    drawn = garment("shirts")
    assert {piece.name for piece in read_drawing(WRITERS[writer](drawn)).pieces} == {one.name for one in drawn}
