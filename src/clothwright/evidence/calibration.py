"""Calibration: of intervals that claim a share, how many held, and how many would if the claim were true.

If an interval holds with chance p, of n of them k hold with the chances of Binomial(n, p). The band is its middle 95 %: a share
held outside the band is more than luck. *Source*: the binomial distribution, any text on statistics.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import Final

from clothwright.evidence.trueness import Told

#: The shares claimed: 10 % to 90 %.
SHARES: Final = tuple(tenth / 10 for tenth in range(1, 10))
BAND: Final = 0.95
_HAIR: Final = 1e-12


@dataclass(frozen=True)
class Calibrated:
    """One claim: its share, the share of intervals that held, and the band that luck explains; shares from 0 to 1."""

    share: float
    held: float
    low: float
    high: float

    @property
    def by_luck(self) -> bool:
        """Whether what held lies within what luck explains."""
        return self.low - _HAIR <= self.held <= self.high + _HAIR


def calibration(told: Sequence[Told]) -> tuple[Calibrated, ...]:
    """Every claim against what held; none without forecasts."""
    count = len(told)
    if not count:
        return ()
    return tuple(
        Calibrated(share, sum(one.within(share) for one in told) / count, *_band(count, share)) for share in SHARES
    )


def _band(count: int, share: float) -> tuple[float, float]:
    """The middle 95 % of the share that holds, of so many intervals that each hold with that chance."""
    below = list(accumulate(_chance(count, held, share) for held in range(count + 1)))
    ends = ((1 - BAND) / 2, (1 + BAND) / 2)
    low, high = (next((held for held, sum_ in enumerate(below) if sum_ >= end - _HAIR), count) for end in ends)
    return low / count, high / count


def _chance(count: int, held: int, share: float) -> float:
    ways = math.lgamma(count + 1) - math.lgamma(held + 1) - math.lgamma(count - held + 1)
    return math.exp(ways + held * math.log(share) + (count - held) * math.log1p(-share))
