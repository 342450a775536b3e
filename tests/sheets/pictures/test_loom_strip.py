"""The cloth on the loom as a picture and in words: to scale, escaped, in either units."""

from __future__ import annotations

from typing import Any
from xml.etree import ElementTree

import pytest
from weaving.at_looms import tabard, weighed

from clothwright.project import read_project
from clothwright.sheets import loom_strip_svg
from clothwright.sheets.loom.at_loom import entry_words, sections
from clothwright.weaving import LoomForecast, forecast, happened, logged

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def warned() -> LoomForecast:
    return forecast(read_project(tabard(5)))


def drawn(svg: str, css: str) -> list[ElementTree.Element]:
    return [one for one in ElementTree.fromstring(svg).iter() if one.get("class") == f"cw-{css}"]


def number(one: ElementTree.Element, name: str) -> float:
    return float(one.get(name, "nan"))


def test_woven_and_stop_are_as_long_as_they_are(warned: LoomForecast) -> None:
    """120 of 226 cm: the woven part is that share of the cloth, and the stop stands at its end."""
    svg = loom_strip_svg(warned)
    (woven,), (cloth,), (stop,) = (drawn(svg, css) for css in ("woven", "to-weave", "stop"))
    assert number(woven, "width") / number(cloth, "width") == pytest.approx(120 / 226, abs=1e-3)
    assert number(stop, "x1") == pytest.approx(number(cloth, "x") + number(cloth, "width"), abs=0.05)


def test_a_way_out_stops_sooner_and_its_bands_are_drawn(warned: LoomForecast) -> None:
    sooner = next(one for one in warned.ways_out if one.stop_at_cm < warned.to_weave_cm)
    (whole,), (rest,) = (drawn(loom_strip_svg(warned, way=sooner), css) for css in ("to-weave", "unwoven"))
    assert number(whole, "width") / number(rest, "width") == pytest.approx(sooner.stop_at_cm / 226, abs=1e-3)
    banded = next(one for one in warned.ways_out if one.bands)
    band = drawn(loom_strip_svg(warned, way=banded), "band")[0]
    (start, end), *_ = banded.bands
    assert number(band, "width") / number(rest, "width") == pytest.approx((end - start) / 226, abs=1e-3)


def test_knots_are_crossed_where_they_lie(warned: LoomForecast) -> None:
    knots = [one for one in happened(logged(read_project(tabard(5))).in_order) if one.is_flaw]
    svg = loom_strip_svg(warned, flaws=knots)
    assert len(drawn(svg, "flaw")) == 1
    assert "crosses: knots" in svg


def test_it_says_in_words_what_it_shows_and_has_no_style(warned: LoomForecast) -> None:
    svg = loom_strip_svg(warned, imperial=True)
    title, described = (ElementTree.fromstring(svg).findtext(f"{SVG}{tag}") or "" for tag in ("title", "desc"))
    assert "woven, to scale" in title
    assert "in the order of weaving: back 1, front 1" in described
    assert "style=" not in svg
    assert "inches under tension" in svg


def test_names_and_notes_are_shown_as_typed_and_not_obeyed() -> None:
    project = weighed((0, 212), (60, 165))
    tree: dict[str, Any] = project.model_dump(mode="json", exclude_defaults=True)
    tree["name"] = "<script>alert(1)</script>\u202e"
    told = forecast(read_project(tree))
    assert "<script>" not in loom_strip_svg(told)
    one = logged(read_project({"log": [{"note": "slack\u202e", "minutes": 20}]})).in_order[0]
    assert entry_words(one) == "20 min; slack"


@pytest.mark.parametrize("imperial", [False, True])
@pytest.mark.parametrize("by_hand", [False, True])
@pytest.mark.parametrize("entries", [1, 5, 8])
def test_every_forecast_is_said_without_a_gap(entries: int, by_hand: bool, imperial: bool) -> None:
    told = forecast(read_project(tabard(entries)), by_hand=by_hand)
    said = [line for _, lines in sections(told, imperial=imperial) for line in lines]
    assert all(said)
    assert not any(word in line for line in said for word in ("None", "nan", "inf ", "  "))
    assert said[0].split(":")[0] in ("Enough", "Too close to call", "Not enough")
