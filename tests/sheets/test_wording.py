"""How numbers and verdicts are said.

Conversions are re-added here with the exact factors of the international yard and pound agreement of 1959
(1 in = 2.54 cm, 1 yd = 0.9144 m, 1 lb = 453.59237 g).
"""

from dataclasses import replace

import pytest
from sheets.plans import BY_HAND, SHAWL, WAISTCOAT

from clothwright.measure import Interval
from clothwright.planning import Verdict
from clothwright.sheets import wording
from clothwright.sheets.wording import LENGTH, THREADS, WEIGHT, YARN, Rounding

UP, DOWN, NEAREST = Rounding.UP, Rounding.DOWN, Rounding.NEAREST


def spaced(text: str) -> str:
    return text.replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("kind", "value", "rounding", "metric_first", "imperial_first"),
    [
        (LENGTH, 346, NEAREST, "346 cm (136¼ in)", "136¼ in (346 cm)"),
        (LENGTH, 346.02, UP, "347 cm (136¼ in)", "136¼ in (347 cm)"),
        (LENGTH, 262.857, UP, "263 cm (103½ in)", "103½ in (263 cm)"),
        (LENGTH, 262.857, DOWN, "262 cm (103¼ in)", "103¼ in (262 cm)"),
        (LENGTH, 148 / 3, NEAREST, "49.3 cm (19½ in)", "19½ in (49.3 cm)"),
        (LENGTH, 55, UP, "55 cm (21¾ in)", "21¾ in (55 cm)"),
        (LENGTH, 2.54 * 4.375, NEAREST, "11.1 cm (4⅜ in)", "4⅜ in (11.1 cm)"),
        (LENGTH, 1, NEAREST, "1 cm (⅜ in)", "⅜ in (1 cm)"),
        (LENGTH, 0, NEAREST, "0 cm (0 in)", "0 in (0 cm)"),
        (YARN, 3.4, NEAREST, "3.4 m (3¾ yd)", "3¾ yd (3.4 m)"),
        (YARN, 981, UP, "981 m (1073 yd)", "1073 yd (981 m)"),
        (YARN, 987, DOWN, "987 m (1079 yd)", "1079 yd (987 m)"),
        (YARN, 12345, DOWN, "12 345 m (13 500 yd)", "13 500 yd (12 345 m)"),
        (YARN, 9.96, UP, "10 m (11 yd)", "11 yd (10 m)"),
        (WEIGHT, 112, NEAREST, "112 g (4 oz)", "4 oz (112 g)"),
        (WEIGHT, 3.1, NEAREST, "3.1 g (0.1 oz)", "0.1 oz (3.1 g)"),
        (THREADS, 3, NEAREST, "3 per cm (7.62 per in)", "7.62 per in (3 per cm)"),
    ],
)
def test_a_measure_shows_the_chosen_unit_first_and_rounds_to_the_safe_side(
    kind: wording.Kind, value: float, rounding: Rounding, metric_first: str, imperial_first: str
) -> None:
    assert spaced(kind.text(value, rounding=rounding)) == metric_first
    assert spaced(kind.text(value, rounding=rounding, imperial=True)) == imperial_first


def test_a_whole_step_stays_where_it_is_although_floating_point_adds_a_little() -> None:
    assert LENGTH.short(0.1 * 3, rounding=UP) == "0.3\u00a0cm"
    assert LENGTH.short(2.54 * 10.25, rounding=DOWN, imperial=True) == "10¼\u00a0in"


def test_a_range_rounds_outwards() -> None:
    assert spaced(YARN.range(Interval(951.6, 981, 1009.2))) == "951 to 1010 m (1040 to 1104 yd)"
    assert spaced(YARN.range(Interval.exactly(512))) == "512 m (560 yd)"


@pytest.mark.parametrize(
    ("share", "said"),
    [
        (0.9499, "94 chances in 100"),
        (0.95, "95 chances in 100"),
        (0.29, "29 chances in 100"),
        (0.01, "1 chance in 100"),
        (0.004, "less than 1 chance in 100"),
        (0.0, "less than 1 chance in 100"),
        (0.99, "99 chances in 100"),
        (0.9951, "more than 99 chances in 100"),
        (1.0, "more than 99 chances in 100"),
    ],
)
def test_a_chance_rounds_down_and_is_never_none_or_certain(share: float, said: str) -> None:
    assert wording.chances(share) == said


def test_the_verdict_says_the_chance_and_what_was_asked() -> None:
    assert wording.verdict_sentence(SHAWL) == (
        "Too close to call: 71 chances in 100 that the yarn lasts; you asked for 95."
    )
    assert wording.verdict_sentence(WAISTCOAT).startswith("Enough: 96 chances in 100")
    lost = replace(SHAWL, verdict=Verdict.NOT_ENOUGH, chance_enough=0.001)
    assert wording.verdict_sentence(lost).startswith("Not enough: less than 1 chance in 100")


def test_a_plan_by_hand_names_no_chance() -> None:
    said = wording.verdict_sentence(BY_HAND)
    assert said == "Too close to call: reckoned by hand, the yarn covers the lowest sum, but not the highest."
    assert wording.size_sentence(BY_HAND) == ""


def test_what_is_missing_rounds_up_and_what_is_spare_rounds_down() -> None:
    assert spaced(wording.spare(-23.1, YARN)) == "24 m (26 yd) missing"
    assert spaced(wording.spare(36.9, YARN)) == "36 m (40 yd) to spare"
    assert wording.spare(0.0, YARN) == "nothing to spare"


def test_the_margin_is_said_in_metres_in_grams_and_in_cm_of_cloth() -> None:
    assert spaced(wording.margin_sentence(SHAWL.margin)) == (
        "Expected: 6 m (6½ yd) to spare, that is 1.9 g (0 oz) to spare, or 2.9 cm (1⅛ in) to spare of finished cloth."
    )
    assert spaced(wording.margin_range_sentence(SHAWL.margin)) == (
        "Nine times in ten between 23 m (26 yd) missing and 36 m (39 yd) to spare."
    )


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (148, "148"),
        (0.875, "0.875"),
        (49.3333333, "49.33"),
        (1234.56789, "1235"),
        (0.012345, "0.01235"),
        (512.08, "512.08"),
    ],
)
def test_a_number_of_the_working_keeps_the_figures_that_matter(value: float, shown: str) -> None:
    assert wording.plain_number(value) == shown


def test_typed_text_loses_what_would_turn_or_break_a_line() -> None:
    assert wording.literal("a\x00b\u202ec\nd") == "a b c d"
    assert wording.literal("#import $x$ <b>") == "#import $x$ <b>"
