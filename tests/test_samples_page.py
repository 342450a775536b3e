"""The page on samples says what the code does: its weights, and its sums."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from evidence.cloths_for_tests import PLANNED

from clothwright.evidence import SampleMeasured
from clothwright.measure import Interval
from clothwright.planning.samples.sample_ratios import step_ratios, width_forecast
from clothwright.planning.samples.sett_verdict import WEIGHTS

PAGE = (Path(__file__).parent.parent / "docs/samples.md").read_text(encoding="utf-8")


def test_the_weights_of_the_signs_are_those_of_the_table() -> None:
    printed = [float(one) for one in re.findall(r"^\| .* \| .* \| ([\d.]+) \|$", PAGE, re.MULTILINE)]
    assert printed == list(WEIGHTS.values())


def test_the_two_widths_of_the_page_are_those_of_the_code() -> None:
    strip = SampleMeasured(replace(PLANNED, key="strip"), name="tide square", width_in_heddle=24.0, width_finished=21.6)
    one = width_forecast(strip, 50.0, Interval(43.5, 45.5, 47.0), 44.5)
    assert one is not None
    for cm in (one.same_share_cm.expected, one.same_loss_cm.expected):
        assert f"{cm:.1f} cm" in PAGE
    assert one.says in " ".join(PAGE.split())


def test_the_loss_both_ways_of_the_page_is_that_of_the_code() -> None:
    (one,) = step_ratios(SampleMeasured(replace(PLANNED, key="x"), length_on_loom=24.0, length_finished=21.0))
    assert (one.lost_share, one.weave_share) == (pytest.approx(0.125), pytest.approx(1 / 7))
    assert "loses 12.5 % of the woven length; start with 14.3 % more than you want" in " ".join(PAGE.split())
