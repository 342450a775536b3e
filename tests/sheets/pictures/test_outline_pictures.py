"""Outlines before and after washing, on one another and to scale."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from clothwright.planning import TracedShape
from clothwright.sheets import outlines_svg

SVG = "{http://www.w3.org/2000/svg}"


def shape(state: str, width: float, length: float) -> TracedShape:
    corners = ((0.0, 0.0), (width, 0.0), (width, length), (0.0, length))
    return TracedShape(state, width, width, length, length, 0.0, corners)


def drawn(*shapes: TracedShape) -> dict[str, list[tuple[float, float]]]:
    root = ElementTree.fromstring(outlines_svg(shapes, name="tide square"))
    found = {}
    for path in root.iter(f"{SVG}path"):
        name = path.get("class", "")
        if name.startswith("cw-outline"):
            found[name] = [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", path.get("d", ""))]
    return found


def reach(points: list[tuple[float, float]]) -> tuple[float, float]:
    xs, ys = zip(*points, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def test_both_outlines_have_one_scale_and_one_middle() -> None:
    """22.4 × 32 cm became 20 × 30 cm: the drawn sizes stand in the same ratios, and their middles on one another."""
    found = drawn(shape("off the loom", 22.4, 32.0), shape("finished", 20.0, 30.0))
    before, after = (found[f"cw-outline-{key}"] for key in ("before", "finished"))
    assert reach(after)[0] / reach(before)[0] == pytest.approx(20 / 22.4, abs=1e-3)
    assert reach(after)[1] / reach(before)[1] == pytest.approx(30 / 32, abs=1e-3)
    assert min(x for x, _ in after) + max(x for x, _ in after) == pytest.approx(
        min(x for x, _ in before) + max(x for x, _ in before), abs=0.05
    )


def test_before_is_dashed_and_after_is_not_so_that_colour_carries_nothing() -> None:
    text = outlines_svg((shape("off the loom", 22, 30), shape("finished", 20, 28)))
    assert text.count("stroke-dasharray") == 2  # the outline and its key
    assert "style=" not in text


def test_the_picture_says_in_words_what_it_shows() -> None:
    text = outlines_svg((shape("finished", 20, 28),), imperial=True, name="<tide>")
    assert "finished:" in text
    assert "&lt;tide&gt;" in text


def test_nothing_traced_is_no_picture() -> None:
    assert outlines_svg(()) == ""
