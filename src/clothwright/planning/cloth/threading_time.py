"""How long threading and sleying may take: from what others need, and from the weaver's own times as soon as there are some.

Minutes per end are lognormal. What others need is the belief before; each time of her own is one look at her pace, which
differs from day to day. So one time of her own moves the middle most of the way, and the spread stays that of a day.

    weight of the times = n/s² over n/s² + 1/s₀²

*Source:* the normal model with known spreads, conditioned; the spreads themselves are common practice, no source.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Final

from clothwright.measure import Z90, Interval

#: How far one day's pace is from another's, in logs. Common practice, no source.
_DAY_LOG_SD: Final = 0.25


@dataclass(frozen=True)
class TimeNeeded:
    """Minutes to thread and sley, and how many times of the weaver's own they rest on."""

    minutes: Interval
    own_times: int


def time_needed(ends: int, loom: str, timed: Sequence[tuple[int, float]]) -> TimeNeeded:
    """The minutes that so many ends take on a kind of loom; `timed`: ends and minutes of times of her own."""
    low, high = _usual()[loom]
    before, before_sd = (math.log(low) + math.log(high)) / 2, (math.log(high) - math.log(low)) / (2 * Z90)
    known, day = 1 / before_sd**2, 1 / _DAY_LOG_SD**2
    seen = [math.log(minutes / many) for many, minutes in timed]
    precision = known + day * len(seen)
    middle = (known * before + day * sum(seen)) / precision
    reach = Z90 * math.sqrt(1 / precision + (_DAY_LOG_SD**2 if seen else 0.0))
    at = [ends * math.exp(middle + side * reach) for side in (-1, 0, 1)]
    return TimeNeeded(Interval(*at), len(seen))


@cache
def _usual() -> dict[str, tuple[float, float]]:
    table = tomllib.loads(resources.files(__package__).joinpath("threading_times.toml").read_text(encoding="utf-8"))
    return {row["kind"]: (row["low"], row["high"]) for row in table["loom"]}
