"""Estimates: a number with its spread, the rung of evidence it stands on, and where it came from."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from clothwright.measure.quantity import Z90

Draws = NDArray[np.float64]

#: Where the ends and the middle of a 90 % interval lie, as shares of the draws in order.
_POINTS = np.array([0.05, 0.5, 0.95])


class Rung(StrEnum):
    """The ladder of evidence, lowest first."""

    RULE_OF_THUMB = "rule of thumb"
    CALCULATED = "calculated"
    SAMPLED = "sampled"
    MEASURED_ON_LOOM = "measured on the loom"
    PAST_PROJECTS = "past projects"


@dataclass(frozen=True)
class Estimate:
    """A positive number with its spread, the rung it stands on, and where it came from.

    `low` and `high` are the ends of a 90 % interval; left out, the number is taken as exact.
    """

    value: float
    rung: Rung
    source: str
    low: float | None = None
    high: float | None = None

    @property
    def three(self) -> tuple[float, float, float]:
        """Low, expected, high; alike where there is no spread."""
        return self.low or self.value, self.value, self.high or self.value

    @property
    def log_sd(self) -> float:
        """Standard deviation of the logarithm."""
        low, _, high = self.three
        return math.log(high / low) / (2 * Z90)


@dataclass(frozen=True)
class Interval:
    """A 90 % interval and the median."""

    low: float
    expected: float
    high: float

    @classmethod
    def of_draws(cls, draws: Draws) -> Interval:
        """The 5 %, 50 % and 95 % points of a row of draws, in between two of them by their distance."""
        ordered = np.sort(draws)
        last = len(ordered) - 1
        low, expected, high = np.interp(_POINTS * last, np.arange(last + 1), ordered)
        return cls(float(low), float(expected), float(high))

    @classmethod
    def exactly(cls, value: float) -> Interval:
        """A value without spread."""
        return cls(value, value, value)

    def scaled(self, factor: float) -> Interval:
        """The interval in another unit."""
        return Interval(self.low * factor, self.expected * factor, self.high * factor)
