"""A joined piece is drawn to scale, with its joins, its panels named, and the width of the cloth."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from clothwright.pattern import Join, JoinedPiece, join_piece, read_join_place, rectangle
from clothwright.sheets import joined_svg


def joined(name: str = "back") -> JoinedPiece:
    return join_piece(rectangle(name, width_cm=50, length_cm=40), Join(read_join_place("side panels of 10 cm")))


def places(data: str) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in re.findall(r"([-\d.]+) ([-\d.]+)", data)]


def parts(svg: str, css: str) -> list[ElementTree.Element]:
    return [node for node in ElementTree.fromstring(svg).iter() if node.get("class") == f"cw-{css}"]


def test_panels_and_cloth_are_drawn_to_one_scale() -> None:
    svg = joined_svg(joined(), 32.0)
    widths = []
    for node in parts(svg, "panel"):
        xs = [x for x, _ in places(node.get("d", ""))]
        widths.append(max(xs) - min(xs))
    assert widths == [pytest.approx(w * widths[1] / 30, abs=0.05) for w in (10, 30, 10)]
    (cloth,) = parts(svg, "cloth")
    (x0, _), (x1, _) = places(cloth.get("d", ""))[:2]
    assert x1 - x0 == pytest.approx(32 * widths[1] / 30, abs=0.05)


def test_joins_are_dashed_and_panels_named_in_words() -> None:
    svg = joined_svg(joined(), 32.0)
    assert len(parts(svg, "join")) == 2
    assert all(node.get("stroke-dasharray") for node in parts(svg, "join"))
    for words in ("back, left panel", "back, middle panel", "back, right panel"):
        assert words in svg


def test_a_name_with_markup_is_only_text() -> None:
    svg = joined_svg(joined("<script>"), 32.0)
    assert "<script>" not in svg
    assert " style=" not in svg
