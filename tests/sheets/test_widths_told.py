"""The staircase in words and drawn: the advice in one sentence, steps named, readable without colour."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from clothwright.layout import Layout
from clothwright.planning import LeastLength, WidthAdvice, WidthStep
from clothwright.sheets import staircase_svg
from clothwright.sheets.widths import advice_sentence, advice_sentences, bound_sentence, stairs_rows

ADVICE = WidthAdvice(48.0, 49.0, 190.0, chance_narrower=0.104, longer_cm=62.0, more_m=120.2, certain=True)
STAIRS = (
    WidthStep(42.0, 252.0, 900.0, 42.0, 0.999),
    WidthStep(48.0, 190.0, 800.0, 48.0, 0.896, falls_cm=62.0),
    WidthStep(50.0, 190.0, 830.0, 48.0, 0.896),
)


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


def test_the_advice_is_one_sentence_with_length_yarn_and_the_chance_rounded_up() -> None:
    said = plain(advice_sentence(ADVICE, imperial=False))
    assert said.startswith(
        "Finish at 49 cm (19¼ in), not at 48 cm (19 in): narrower, the pieces take 252 cm (99¼ in) instead of "
        "190 cm (75 in)"
    )
    assert "62 cm (24½ in) more cloth and about 121 m" in said
    assert said.endswith("; 11 chances in 100 that the cloth comes out so narrow.")


def test_a_step_that_was_only_found_is_not_told_as_proved() -> None:
    found = WidthAdvice(48.0, 49.0, 190.0, longer_cm=62.0)
    assert "No layout on narrower cloth" not in " ".join(advice_sentences(found, imperial=False))
    assert "as far as layouts were looked for" in " ".join(advice_sentences(found, imperial=False))


def test_a_near_step_up_is_told_and_a_far_one_is_not() -> None:
    near, far = (WidthAdvice(47.0, 48.0, 252.0, wider_cm=w, shorter_by_cm=62.0) for w in (48.0, 70.0))
    assert "62 cm" in plain(" ".join(advice_sentences(near, imperial=False)))
    assert "70" not in " ".join(advice_sentences(far, imperial=False))


@pytest.mark.parametrize(("length", "words"), [(190.0, "this one is as short"), (200.0, "at most 10 cm")])
def test_the_bound_says_what_could_still_be_saved(length: float, words: str) -> None:
    said = bound_sentence(
        Layout(48.0, length, 0.9, ()), LeastLength(190.0, "the area of the pieces, over the width"), imperial=False
    )
    assert words in plain(said)


def test_rows_mark_the_step_and_the_width_taken_in_words() -> None:
    rows = [plain(row[-1]) for row in stairs_rows(STAIRS, 48.0, imperial=False)]
    assert rows[0] == rows[2] == ""
    assert rows[1].startswith("taken, step: 62 cm")


@pytest.mark.parametrize("imperial", [False, True])
def test_the_picture_drops_where_the_length_falls_and_names_the_step(imperial: bool) -> None:
    svg = staircase_svg(STAIRS, ADVICE, 48.0, imperial=imperial)
    nodes = list(ElementTree.fromstring(svg).iter())
    length = next(node for node in nodes if node.get("class") == "cw-stair")
    places = [(float(x), float(y)) for x, y in re.findall(r"([-\d.]+) ([-\d.]+)", length.get("d", ""))]
    assert places[1][0] == places[2][0]
    assert places[2][1] > places[1][1]
    assert len([node for node in nodes if node.get("class") == "cw-step"]) == 1
    said = plain("".join(node.text or "" for node in nodes))
    assert ("−24" if imperial else "−62 cm") in said
    assert "Dots: the width the pieces need" in said
    assert " style=" not in svg


def test_everything_drawn_lies_within_the_picture() -> None:
    root = ElementTree.fromstring(staircase_svg(STAIRS, ADVICE, 48.0))
    across, high = (float(one) for one in root.get("viewBox", "").split()[2:])
    for node in root.iter():
        if node.get("x") and node.tag.endswith("text"):
            assert 0 <= float(node.get("x")) <= across
            assert 0 <= float(node.get("y")) <= high
