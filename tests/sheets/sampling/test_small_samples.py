"""A sample first, in words and drawn to scale."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from clothwright.measure import Interval, Rung
from clothwright.planning import (
    Doubtful,
    HeddleFares,
    On,
    SampleChoice,
    SampleFirst,
    Section,
    SmallWarp,
    Verdict,
    WorkingLine,
)
from clothwright.sheets import small_samples, small_warp_svg

NS = {"svg": "http://www.w3.org/2000/svg"}
LOOM = SmallWarp(
    on=On.LOOM,
    sections=(Section("30/10 cm", 3.0, 48, 16.0, 12.0, 33), Section("40/10 cm", 4.0, 48, 12.0, 12.0, 44)),
    ends=48,
    warp_cm=100.0,
    waste_cm=50.0,
    heading_cm=2.0,
    change_cm=15.0,
    warp_m=48.0,
    weft_m=12.0,
    warp_g=15.0,
    weft_g=4.0,
    minutes=130,
)
CARD = SmallWarp(
    on=On.CARD,
    sections=(Section("30/10 cm", 3.0, 24, 8.0, 8.0, 24),),
    ends=24,
    warp_cm=17.0,
    waste_cm=6.0,
    heading_cm=1.0,
    change_cm=0.0,
    warp_m=4.08,
    weft_m=2.0,
    warp_g=1.3,
    weft_g=0.6,
    minutes=60,
)


def answer(sample: SmallWarp) -> SampleFirst:
    choice = SampleChoice(sample, 0.71, 0.3, 0.45, 0.25, 22.7)
    doubt = Doubtful(Interval(-20, 5, 30), Interval(42, 44, 46), Interval(220, 230, 240))
    fares = HeddleFares("30/10 cm", 3.0, True, True, 150, 340.0, 981.2, 0.71, Verdict.TOO_CLOSE, 0.71, 0.45)
    return SampleFirst(
        name="Sandbar shawl",
        verdict=Verdict.TOO_CLOSE,
        chance_enough=0.6,
        trust_yarn=0.95,
        choice=choice,
        beside=(),
        now=doubt,
        after=doubt,
        heddles=(fares,),
        working=(WorkingLine("Warp yarn", "48 ends × 100 cm ÷ 100", 48.0, "m", Rung.CALCULATED, "the lines above"),),
        notes=("A note.",),
    )


def rects(svg: str, css: str) -> list[tuple[float, float]]:
    found = ElementTree.fromstring(svg).findall(f".//svg:rect[@class='cw-{css}']", NS)
    return [(float(one.get("width", "0")), float(one.get("height", "0"))) for one in found]


@pytest.mark.parametrize("sample", [LOOM, CARD], ids=["loom", "card"])
def test_sections_are_drawn_to_one_scale(sample: SmallWarp) -> None:
    """Woven length and width of every section in the proportion of their cm, along and across alike."""
    woven = rects(small_warp_svg(sample), "woven")
    scales = [
        side / cm
        for (long, high), one in zip(woven, sample.sections, strict=True)
        for side, cm in ((long, one.woven_cm), (high, one.width_in_heddle_cm))
    ]
    assert max(scales) / min(scales) == pytest.approx(1, abs=0.002)


def test_a_card_has_a_notch_for_each_end_at_both_ends() -> None:
    svg = ElementTree.fromstring(small_warp_svg(CARD))
    assert len(svg.findall(".//svg:line[@class='cw-notch']", NS)) == 2 * 24


def test_the_steps_say_what_to_wind_and_when_to_change_the_heddle() -> None:
    steps = small_samples.steps(answer(LOOM), "hand wash", imperial=False)
    assert steps[0].startswith(
        "Wind 48 ends of 100\u00a0cm (39½\u00a0in) and thread them in the 30/10 cm heddle: 16\u00a0cm"
    )
    change = next(number for number, step in enumerate(steps) if "40/10 cm" in step)
    counted = next(number for number, step in enumerate(steps) if "count the picks" in step)
    assert change > counted
    assert any("(hand wash)" in step for step in steps)


def test_a_card_is_cut_and_notched_as_the_heddle_is_spaced() -> None:
    """Ten ends at 30/10 cm take 3.3 cm."""
    first = small_samples.steps(answer(CARD), "", imperial=False)[0]
    assert "24 notches as 30/10 cm, ten of them in 3.3\u00a0cm" in first


def test_yarn_is_rounded_up_and_what_is_saved_down() -> None:
    said = " ".join(small_samples.tells(answer(LOOM), imperial=False))
    assert "60\u00a0m" in said
    assert "15\u00a0g" in said
    assert "about 22\u00a0m (24\u00a0yd) less" in said


def test_the_sample_taken_is_marked_with_a_sign_not_only_by_colour() -> None:
    rows = small_samples.beside_rows(answer(LOOM), imperial=False)
    assert rows[0][0].startswith("▶ ")
    assert small_samples.heddle_rows(answer(LOOM), imperial=False)[0][0] == "30/10 cm (planned), sampled"
