"""Pictures of a piece before and after, and of all its sizes: to one scale, told apart in words and dashes."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from clothwright.pattern import AlteredPiece, Piece, rectangle
from clothwright.sheets import fit_svg, sizes_svg

WAS = rectangle("panel", width_cm=20, length_cm=60)
NOW = rectangle("panel", width_cm=24, length_cm=66)


def paths(svg: str) -> dict[str, list[tuple[float, float]]]:
    found = {}
    for node in ElementTree.fromstring(svg):
        if node.tag.endswith("path"):
            points = re.findall(r"(-?[\d.]+) (-?[\d.]+)", node.get("d", ""))
            found[f"{node.get('class')} {node.get('stroke-dasharray', '')}".strip()] = [
                (float(x), float(y)) for x, y in points
            ]
    return found


def extent(points: list[tuple[float, float]]) -> tuple[float, float]:
    xs, ys = zip(*points, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def test_before_and_after_lie_on_each_other_at_one_scale_the_grain_upwards() -> None:
    """The foot moved 4 cm down the grain and the side 4 cm out: the drawn lines differ by that, at the scale of both."""
    drawn = paths(fit_svg(AlteredPiece(WAS, (-4.0, 0.0)), NOW))
    before, after = drawn["cw-before 6 4"], drawn["cw-after"]
    scale = extent(after)[1] / 66
    assert extent(after)[0] == pytest.approx(24 * scale, abs=0.05)
    assert extent(before) == pytest.approx((20 * scale, 60 * scale), abs=0.05)
    assert max(y for _, y in after) - max(y for _, y in before) == pytest.approx(4 * scale, abs=0.05)


def test_a_picture_says_in_words_what_is_before_and_what_after() -> None:
    svg = fit_svg(AlteredPiece(WAS), NOW)
    assert "Dashed: before, 20\xa0cm (7⅞\xa0in) across" in svg
    assert "Solid: after, 24\xa0cm" in svg


def test_sizes_are_drawn_at_one_scale_each_with_dashes_of_its_own_and_named() -> None:
    sizes: list[Piece] = [replace(WAS, size="S"), replace(NOW, size="L")]
    svg = sizes_svg(sizes)
    drawn = list(paths(svg).values())
    scale = extent(drawn[1])[1] / 66
    assert extent(drawn[0]) == pytest.approx((20 * scale, 60 * scale), abs=0.05)
    assert "size S: 20" in svg
    assert "size L: 24" in svg
    assert len(paths(svg)) == 2
