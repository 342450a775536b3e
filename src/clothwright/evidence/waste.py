"""What a loom will waste of the next warp: the weaver's own figure and the warps seen, as one small model in log cm.

The waste of warp k on a loom l is

    ln waste = habit of this kind of loom + how this loom differs + how this warp differs

each with its spread (`waste.parts` of the table), together as wide as what looms of that kind were reported to waste. So a
warp seen on this loom tells most, one on another of her looms of the kind tells of the habit, and a loom not seen before
takes what is usual for the kind. A figure she typed is a measurement of this loom's middle.

How much one warp differs from the next is learned too: the table's spread counts as much as so many warps, and the warps
of each loom stand against their own mean beside it.

*Source*: Gaussian conditioning; the spread as the mean of a scaled inverse chi-squared prior and the seen squares
(Gelman and others, Bayesian Data Analysis, section 2.6, from memory).
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean
from typing import Any, Final

from clothwright.evidence.belief import Measurement, Questioned, independent
from clothwright.evidence.history import WasteSeen
from clothwright.evidence.priors import table
from clothwright.measure import Rung

#: Log spread of a waste that was cut off and measured: its ends are hardly straight. Common practice, no source.
MEASURED_LOG_SD: Final = 0.02
#: Warps that a belief takes in. Common practice, no source.
_MOST_WARPS: Final = 40
_HABIT: Final = "habit"


@dataclass(frozen=True)
class WasteBelieved:
    """Log cm of the next warp's waste: mean and spread, how many warps were seen on this loom, and on her others."""

    mean: float
    sd: float
    on_this_loom: int = 0
    on_others: int = 0
    questioned: tuple[Questioned, ...] = ()


def known_as(name: str, kind: str) -> str:
    """What a loom is known by: its name whatever its capitals, else its kind."""
    return name.strip().casefold() or kind


def waste_believed(
    loom: str, kind: str, seen: Sequence[WasteSeen], typed: tuple[float, float] | None = None
) -> WasteBelieved:
    """Belief about the next warp's waste on a loom (see `known_as`); `typed` is her figure, log cm, and its log spread.

    Her figure alone is taken with its spread; 0 cm of it is the caller's to keep.
    """
    of_kind = latest_warps(seen, kind)
    here = sum(one.loom == loom for one in of_kind)
    if typed and not here:
        return WasteBelieved(*typed, on_others=len(of_kind))
    between = between_warps(of_kind)
    rows = [_row(one, between) for one in of_kind]
    if typed:
        rows.insert(0, Measurement(_middle(loom), typed[0], _of_middle(typed[1], between), "loom waste as typed"))
    parts, usual = _parts(), table()["waste"][kind.replace(" ", "_")]
    looms = {loom, *(one.loom for one in of_kind)}
    before = {_HABIT: (math.log(usual["median"]), parts["weaver"])} | {
        f"loom {one}": (0.0, parts["loom"]) for one in looms
    }
    belief = independent(before).conditioned(rows)
    mean, middle = belief.expected(_middle(loom))
    return WasteBelieved(mean, math.hypot(middle, between), here, len(of_kind) - here, belief.questioned)


def latest_warps(seen: Iterable[WasteSeen], kind: str) -> list[WasteSeen]:
    """The wastes seen on looms of a kind; of very many the latest, since habits change."""
    return [one for one in seen if one.kind == kind and one.waste_cm > 0][-_MOST_WARPS:]


def between_warps(seen: Iterable[WasteSeen]) -> float:
    """Log spread from one warp to the next on one loom, by the table and by what each loom's warps differ."""
    parts = _parts()
    by_loom: dict[str, list[float]] = defaultdict(list)
    for one in seen:
        by_loom[one.loom].append(math.log(one.waste_cm))
    squares = sum((value - fmean(values)) ** 2 for values in by_loom.values() for value in values)
    free = sum(len(values) - 1 for values in by_loom.values())
    worth = parts["worth_warps"]
    return math.sqrt((worth * parts["warp"] ** 2 + squares) / (worth + free))


def _parts() -> Mapping[str, Any]:
    parts: Mapping[str, Any] = table()["waste"]["parts"]
    return parts


def _middle(loom: str) -> dict[str, float]:
    return {_HABIT: 1.0, f"loom {loom}": 1.0}


def _row(one: WasteSeen, between: float) -> Measurement:
    spread = math.hypot(one.log_sd, between)
    return Measurement(_middle(one.loom), math.log(one.waste_cm), spread, one.what, Rung.PAST_PROJECTS)


def _of_middle(typed_sd: float, between: float) -> float:
    """How well a typed figure tells the loom's middle: its spread is for one warp, and holds at least half of it."""
    return math.sqrt(max(typed_sd**2 - between**2, (typed_sd / 2) ** 2))
