"""A cloth of grey handspun, a sample of it, and the sums that forecasts of it are."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from clothwright.evidence import (
    EDGE,
    LENGTH_STEPS,
    WIDTH_STEPS,
    Belief,
    Making,
    SampleMeasured,
    Step,
    believed_before,
    joint,
    measured_rows,
    sample_unknowns,
)

PLANNED_WIDTH_CM = 49.3

PLANNED = Making(
    key="this cloth",
    warp="grey",
    weft="grey",
    fibre="wool",
    finish="hand wash, dried flat",
    structure="plain",
    ends_per_cm=3.0,
    advised_ends_per_cm=2.95,
    warp_mm=0.77,
    weft_mm=0.77,
)


def finished_width(making: Making = PLANNED, width_cm: float = PLANNED_WIDTH_CM) -> dict[str, float]:
    """Log of finished width over width in the heddle."""
    return {making.unknown(step): 1.0 for step in WIDTH_STEPS} | {EDGE: 1 / width_cm}


def finished_length(making: Making = PLANNED) -> dict[str, float]:
    """Log of finished length over the warp used."""
    return {making.unknown(step): 1.0 for step in (Step.TAKE_UP, *LENGTH_STEPS)}


def weft_per_cm(making: Making = PLANNED) -> dict[str, float]:
    """Log of weft per cm woven over width in the heddle."""
    return {making.unknown(Step.PICKS): 1.0, making.unknown(Step.PICK_LENGTH): 1.0}


FORECASTS = {"finished width": finished_width(), "finished length": finished_length(), "weft per cm": weft_per_cm()}


def square(key: str = "square", of: Making = PLANNED, **measured: Any) -> SampleMeasured:
    """A washed square of 20 cm in the heddle, as the planned cloth is made unless said."""
    sizes = {
        "width_in_heddle": 20.0,
        "width_finished": 18.2,
        "warp_used": 20.6,
        "length_on_loom": 20.0,
        "length_finished": 17.9,
        "picks_count": 30.0,
        "picks_over": 10.0,
    }
    return SampleMeasured(making=replace(of, key=key), name=key, **(sizes | measured))


def after(*samples: SampleMeasured, planned: Making = PLANNED) -> Belief:
    """Belief about the planned cloth and the samples, after the samples."""
    before = believed_before([planned, *(one.making for one in samples)])
    every = joint([before, *(sample_unknowns(one) for one in samples)])
    return every.conditioned([row for one in samples for row in measured_rows(one)])


def spread(belief: Belief, what: dict[str, float]) -> float:
    """Standard deviation of a forecast's logarithm."""
    return belief.expected(what)[1]
