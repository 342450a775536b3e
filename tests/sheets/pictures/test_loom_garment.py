"""The pieces of a way out drawn upright: bands at one height on every copy, what comes from another cloth told apart."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from weaving.at_looms import tabard, weighed

from clothwright.project import read_project
from clothwright.sheets import loom_garment_svg
from clothwright.weaving import LoomForecast, WayThrough, forecast

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def sleeves() -> LoomForecast:
    """A back and two sleeves, one after the other along the cloth, with too little weft."""
    tree = tabard(5)
    tree["pattern"]["piece"] = [
        {"name": "back", "width": "40 cm", "length": "60 cm"},
        {"name": "sleeve", "width": "40 cm", "length": "58 cm", "cut": 2},
    ]
    tree["log"] = [
        {"woven": "30 cm", "weft_left": {"eelgrass": "104 g"}},
        {"woven": "62 cm", "weft_left": {"eelgrass": "80 g"}},
    ]
    return forecast(read_project(tree))


def way(told: LoomForecast, begins: str) -> WayThrough:
    return next(one for one in told.ways_out if one.what.startswith(begins))


def drawn(told: LoomForecast, one: WayThrough) -> ElementTree.Element:
    return ElementTree.fromstring(loom_garment_svg(told, one))


def paths(picture: ElementTree.Element, css: str) -> list[list[tuple[float, float]]]:
    """The corners of every closed path of a class."""
    every = [node.get("d", "") for node in picture.iter(f"{SVG}path") if node.get("class") == f"cw-{css}"]
    return [
        [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+)[ ,](-?[\d.]+)", data)]
        for data in every
        if data.endswith("Z")
    ]


def heights(ring: list[tuple[float, float]]) -> tuple[float, float]:
    ys = [y for _, y in ring]
    return min(ys), max(ys)


def test_a_band_lies_at_one_height_on_both_sleeves_and_on_nothing_else(sleeves: LoomForecast) -> None:
    """The foot of a band at the foot is the foot of its piece, and it is as deep as the way says."""
    one = way(sleeves, "A band at the foot of sleeve")
    picture = drawn(sleeves, one)
    pieces, bands = paths(picture, "piece"), paths(picture, "band")
    assert (len(pieces), len(bands)) == (3, 2)
    (top, foot), other = map(heights, bands)
    assert other == pytest.approx((top, foot), abs=0.2)
    sleeve = heights(pieces[1])
    assert foot == pytest.approx(sleeve[1], abs=0.2)
    depth = (one.bands[0][1] - one.bands[0][0]) / (one.bands[1][1] - one.bands[1][0])
    assert depth == pytest.approx(1)
    long = max(x for x, _ in sleeves.outlines[1].outline) - min(x for x, _ in sleeves.outlines[1].outline)
    share = (one.bands[0][1] - one.bands[0][0]) / long
    assert (foot - top) / (sleeve[1] - sleeve[0]) == pytest.approx(share, abs=0.02)


def test_what_comes_from_another_cloth_is_drawn_dashed_and_said() -> None:
    told = forecast(read_project(tabard(5)))
    picture = drawn(told, way(told, "Cut what does not show"))
    dashed = [node for node in picture.iter(f"{SVG}path") if node.get("stroke-dasharray")]
    assert len(dashed) == 1
    assert "From another cloth: front facing 1" in (picture.findtext(f"{SVG}desc") or "")
    assert "dashed: from another cloth" in "".join(picture.itertext())


def test_a_cloth_without_pieces_has_no_such_picture() -> None:
    told = forecast(weighed((0, 212), (60, 165), (150, 85)))
    assert loom_garment_svg(told, told.ways_out[0]) == ""
