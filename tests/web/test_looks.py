"""The colours of the style sheets stand out from one another as far as they must, by daylight and by lamplight.

*Source* of the sums: Web Content Accessibility Guidelines 2.2 (W3C Recommendation, 2024), “relative luminance” and “contrast
ratio”; 1.4.3 asks 4.5 of text, 1.4.11 asks 3 of what shows where a control is and that it has the focus.
"""

from __future__ import annotations

import re
from importlib import resources

import pytest

SHEETS = {
    "notebook": ("web/static/clothwright/notebook.css", "paper sheet entry accent-soft wrong-soft caution stale"),
    "phone": ("web/static/clothwright/phone.css", "paper sheet entry accent-soft wrong-soft"),
    "buyers": ("sheets/teaching/buyers/buyers.css", "paper"),
}
TEXTS = ("ink", "soft")
ON_COLOUR = (("accent", "on-accent"), ("accent-deep", "on-accent"), ("wrong", "on-wrong"))


def colours(sheet: str) -> list[dict[str, str]]:
    """The named colours by daylight, and by lamplight where those stand."""
    text = resources.files("clothwright").joinpath(SHEETS[sheet][0]).read_text("utf-8")
    day, lamp = (dict(re.findall(r"--([a-z-]+):\s*(#[0-9a-f]{3,6})", part)) for part in _roots(text))
    return [day, {**day, **lamp}]


def _roots(text: str) -> tuple[str, str]:
    found = re.findall(r":root \{(.*?)\}", text, re.DOTALL)
    return found[0], found[1]


def luminance(colour: str) -> float:
    """Relative luminance, from 0 for black to 1 for white."""
    digits = colour[1:] if len(colour) == 7 else "".join(one * 2 for one in colour[1:])
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_sums_are_those_of_the_guidelines() -> None:
    """Black on white is 21 to 1; #767676 is the lightest grey that reads on white (WCAG 2.2, understanding 1.4.3: 4.54)."""
    assert contrast("#000", "#fff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("light", [0, 1], ids=["daylight", "lamplight"])
@pytest.mark.parametrize("sheet", SHEETS)
def test_text_reads_and_controls_are_seen(sheet: str, light: int) -> None:
    named = colours(sheet)[light]
    grounds = [named[one] for one in SHEETS[sheet][1].split()]
    texts = [named[one] for one in (*TEXTS, "accent", "wrong") if one in named]
    assert [(text, ground) for text in texts for ground in grounds if contrast(text, ground) < 4.5] == []
    pairs = [(named[ground], named[text]) for ground, text in ON_COLOUR if ground in named and text in named]
    assert [pair for pair in pairs if contrast(*pair) < 4.5] == []
    assert [ground for ground in grounds if contrast(named["edge"], ground) < 3] == []


def test_lamplight_is_another_set_of_colours_and_not_a_few() -> None:
    """A colour left out would stay that of daylight: only thread is seen alike on both."""
    for sheet in SHEETS:
        day, lamp = colours(sheet)
        assert {name for name in day if day[name] == lamp[name]} <= {"thread"}


def test_phone_and_notebook_have_the_same_colours() -> None:
    for notebook, phone in zip(colours("notebook"), colours("phone"), strict=True):
        assert {name: notebook[name] for name in phone} == phone
