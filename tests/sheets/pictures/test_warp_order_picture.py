"""The strip of the warp's colours: to scale, lettered, told in words."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from clothwright.sheets import warp_order_svg
from clothwright.sheets.pictures.warp_order import yarn_letters

SVG = "{http://www.w3.org/2000/svg}"
RUNS = [("kelp", 4), ("shale", 2), ("kelp", 2), ("dulse & co", 12)]


def drawn(svg: str, css: str) -> list[ElementTree.Element]:
    return [one for one in ElementTree.fromstring(svg).iter() if one.get("class") == f"cw-{css}"]


def test_every_end_is_as_wide_as_every_other() -> None:
    boxes = drawn(warp_order_svg(RUNS, {"kelp": "#334433"}), "run")
    widths = [float(box.get("width", 0)) for box in boxes]
    assert [width / widths[1] * 2 for width in widths] == pytest.approx([4, 2, 2, 12], abs=0.02)


@pytest.mark.parametrize("ends", [60, 200, 700])
def test_a_wide_warp_is_cut_into_rows_that_together_hold_every_end(ends: int) -> None:
    runs = [("kelp" if n % 2 else "shale", 2) for n in range(ends // 2)]
    boxes = drawn(warp_order_svg(runs, {}), "run")
    widths = [float(box.get("width", 0)) for box in boxes]
    scale = min(widths) / 2 if len({round(w, 1) for w in widths}) == 1 else max(widths) / 2
    assert sum(widths) / scale == pytest.approx(ends, rel=0.01)
    assert all(14 - 0.1 <= float(b.get("x", 0)) <= 386.1 - float(b.get("width", 0)) for b in boxes)


def test_colours_are_never_the_only_way_to_tell_a_yarn() -> None:
    svg = warp_order_svg(RUNS, {"kelp": "#334433", "shale": "red;x"}, ends_per_cm=3.0)
    text = " ".join(ElementTree.fromstring(svg).itertext())
    for words in (
        "From the first selvedge: 4 kelp, 2 shale",
        "A kelp: 6 ends",
        "C dulse & co: 12 ends, colour not said",
    ):
        assert words in " ".join(text.split())
    assert "6.7" in text
    assert "red;x" not in svg
    assert " style=" not in svg


def test_more_yarns_than_letters_have_two_letters_each() -> None:
    letters = yarn_letters([f"yarn {n}" for n in range(60)])
    assert len(set(letters.values())) == 60
    assert letters["yarn 26"] == "AA"
