"""A piece's picture tells cut from sewn by its lines, not by colour alone."""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree

from pattern.drawn import page

from clothwright.pattern import read_drawing
from clothwright.sheets import piece_svg

STITCHED = page(
    '<polygon data-piece="front" data-line="stitch" points="5,5 20,5 20,40 5,40"/>'
    '<polyline points="20,5 20,40"><title>seam side</title></polyline>'
)


def dashes(svg: str, css: str) -> list[str | None]:
    nodes = ElementTree.fromstring(svg).iter()
    return [node.get("stroke-dasharray") for node in nodes if node.get("class") == f"cw-{css}"]


def test_a_seam_is_drawn_dashed_where_it_is_the_stitching_line_and_unbroken_where_it_is_cut() -> None:
    (piece,) = read_drawing(STITCHED, seam_allowance_cm=1.5).pieces
    assert any(edge.seam == "side" for edge in piece.edges)
    svg = piece_svg(piece)
    assert dashes(svg, "cut") == [None]
    assert "6 3" in dashes(svg, "edge")
    assert None not in dashes(svg, "edge")
    assert set(dashes(piece_svg(replace(piece, stitching=None)), "edge")) == {None}
