"""Ratios of a sample and its width carried to a wider cloth, against published shrinkages and weavers' reports."""

from __future__ import annotations

from dataclasses import replace

import pytest
from evidence.cloths_for_tests import PLANNED

from clothwright.evidence import SampleMeasured
from clothwright.measure import CM_PER_INCH, Interval
from clothwright.planning.samples.sample_ratios import smallness, step_ratios, width_forecast


def sample(**sizes: float) -> SampleMeasured:
    return SampleMeasured(replace(PLANNED, key="square"), name="square", **sizes)  # type: ignore[arg-type]


FUSED = Interval(40, 44, 48)


@pytest.mark.parametrize(
    ("before_in", "after_in", "lost", "weave_in"),
    [
        # 10 in became 8: 20 %, and 12.5 in must be woven for 10: cnch.org, "Ratios, rationale, rate of shrinkage", 2016.
        (10, 8, 0.20, 12.5),
        # 10 in became 8½: 15 %: peggyosterkamp.com, "Shrinkage". What to weave for 10 in is arithmetic.
        (10, 8.5, 0.15, 10 / 0.85),
    ],
)
def test_a_loss_is_a_share_of_the_earlier_size_and_is_divided_out(
    before_in: float, after_in: float, lost: float, weave_in: float
) -> None:
    (one,) = step_ratios(sample(length_on_loom=before_in * CM_PER_INCH, length_finished=after_in * CM_PER_INCH))
    assert one.lost_share == pytest.approx(lost)
    assert 10 * (1 + one.weave_share) == pytest.approx(weave_in)
    assert one.lost_of == "of the woven length on the loom"


def test_losses_of_the_steps_multiply_up_to_the_whole() -> None:
    """Cotton towels: 14 in in the reed, 12¾ off the loom, 11 finished: 8.9 %, then 13.7 % of the rest, 21.4 % in all
    (schoolofweaving.tv, forum on twill towels)."""
    first, then, whole = step_ratios(sample(width_in_heddle=14.0, width_off_loom=12.75, width_finished=11.0))
    assert [round(one.lost_share, 3) for one in (first, then, whole)] == [0.089, 0.137, 0.214]
    assert first.ratio * then.ratio == pytest.approx(whole.ratio)


def test_a_wide_cloth_reported_lies_between_the_same_share_and_the_same_loss() -> None:
    """One hand drew in 7.4 % on 8 in and 4.5 % on 35 in (a weaver's report): neither way alone says it, both hold it."""
    narrow = sample(width_in_heddle=8 * CM_PER_INCH, width_finished=8 * CM_PER_INCH * (1 - 0.074))
    one = width_forecast(narrow, 35 * CM_PER_INCH, FUSED, 80)
    assert one is not None
    wide = 35 * CM_PER_INCH * (1 - 0.045)
    assert one.same_share_cm.expected < wide < one.same_loss_cm.expected
    assert one.same_share_cm.expected == pytest.approx(35 * CM_PER_INCH * (1 - 0.074))
    assert one.same_loss_cm.expected == pytest.approx(35 * CM_PER_INCH - 8 * CM_PER_INCH * 0.074)


def test_what_a_sample_supports_runs_from_the_least_to_the_most_of_the_three() -> None:
    one = width_forecast(sample(width_in_heddle=24.0, width_finished=21.6), 50.0, Interval(43.5, 45.5, 47.0), 44.5)
    assert one is not None
    assert one.supports_cm == (43.5, pytest.approx(47.6))
    assert one.says == "square supports 43.5 to 47.6 cm finished; 44.5 cm is asked"


def test_at_the_sample_s_own_width_both_ways_say_the_same() -> None:
    one = width_forecast(sample(width_in_heddle=24.0, width_finished=21.6), 24.0, FUSED, 21)
    assert one is not None
    assert one.same_share_cm.expected == pytest.approx(one.same_loss_cm.expected)


def test_without_both_widths_there_is_nothing_to_carry() -> None:
    assert width_forecast(sample(width_off_loom=22.0, width_finished=21.0), 50.0, FUSED, 44) is None


def test_a_traced_width_stands_in_for_one_not_taped() -> None:
    one = width_forecast(sample(width_in_heddle=24.0, traced_width_finished=21.6), 50.0, FUSED, 44)
    assert one is not None
    assert one.same_share_cm.expected == pytest.approx(45)


def test_a_strip_that_is_too_small_says_so() -> None:
    """A strip of 12 cm that lost nothing became a cloth that went from 37 to 32 cm (a weaver's report): the strip warns."""
    strip = sample(width_in_heddle=12.0, width_finished=12.0, length_on_loom=10.0)
    assert [sentence.split(":")[0] for sentence in smallness(strip, 37)] == ["12.0 cm wide", "10.0 cm long"]
    assert list(smallness(sample(width_in_heddle=30.0, length_on_loom=30.0), 50)) == []
    assert "less than half" in next(smallness(sample(width_in_heddle=20.0, length_on_loom=30.0), 50))
