"""The picture of how often forecasts held says in words what it draws."""

from __future__ import annotations

from xml.etree import ElementTree

from clothwright.evidence import Calibrated
from clothwright.sheets import calibration_svg

CLAIMS = (Calibrated(0.5, 0.6, 0.2, 0.8), Calibrated(0.9, 0.5, 0.7, 1.0))
_SVG = "{http://www.w3.org/2000/svg}"


def test_a_claim_beyond_luck_is_a_cross_and_in_words() -> None:
    root = ElementTree.fromstring(calibration_svg({"Finished width": (12, CLAIMS)}))
    described = root.findtext(f"{_SVG}desc") or ""
    assert "Finished width, 12 forecasts" in described
    assert "50 % of 90 % (more than luck)" in described.replace("\u00a0", " ")
    assert len(root.findall(f"{_SVG}circle[@class='cw-held']")) == 1
    assert len(root.findall(f"{_SVG}line[@class='cw-beyond']")) == 2
    assert len(root.findall(f"{_SVG}rect[@class='cw-band']")) == 2


def test_a_dot_lies_on_the_slanting_line_where_as_much_held_as_was_claimed() -> None:
    root = ElementTree.fromstring(calibration_svg({"All": (40, (Calibrated(0.5, 0.5, 0.3, 0.7),))}))
    dot, line = root.find(f"{_SVG}circle"), root.find(f"{_SVG}line[@class='cw-true']")
    assert dot is not None
    assert line is not None
    middle = [(float(line.get(f"{axis}1", 0)) + float(line.get(f"{axis}2", 0))) / 2 for axis in "xy"]
    assert [float(dot.get("cx", 0)), float(dot.get("cy", 0))] == middle
