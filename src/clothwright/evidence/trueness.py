"""Trueness: how right forecasts would have been on finished cloths, each made only from what was known before it.

Cloths are taken in the order given. For each, the finished width is forecast from the first width that was measured, and
the finished length from the first length, with everything measured of the cloths before it and nothing of its own that
came later. Then its measurements join what is known. An interval that claims 90 % should hold nine cloths in ten.

The rule of thumb beside it is the usual one: 10 % for take-up or draw-in, 10 % for washing, one after the other.
*Source*: common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from statistics import NormalDist, median
from typing import Any, Final

from clothwright.cloth import sett_from_wraps, structure
from clothwright.evidence.belief import Belief, Measurement, joint
from clothwright.evidence.cloths import (
    Making,
    SampleMeasured,
    measured_rows,
    sample_unknowns,
    true_size,
)
from clothwright.evidence.priors import LENGTH_STEPS, WIDTH_STEPS, Step
from clothwright.evidence.records import ClothRecord, reading_error_cm
from clothwright.evidence.together import Past
from clothwright.evidence.waste import known_as
from clothwright.measure import CM_PER_INCH
from clothwright.yarn import diameter_rule, ruler_wraps_per_cm

RULE_LOSS: Final = 0.10
SIZES_TOLD: Final = ("finished_width", "finished_length")
#: The columns of a table of cloths, and what the states are called here.
STATES: Final = {
    "reed_width_cm": "width_in_heddle",
    "on_loom_width_cm": "width_on_loom",
    "off_loom_width_cm": "width_off_loom",
    "finished_width_cm": "width_finished",
    "on_loom_length_cm": "length_on_loom",
    "off_loom_length_cm": "length_off_loom",
    "finished_length_cm": "length_finished",
}
_LIKE: Final = {"twill": "twill 2/2", "basket": "basket 2/2", "hopsack": "basket 2/2", "satin": "satin 5"}
_COUNTED: Final = {"loom": "on loom", "off loom": "off loom", "finished": "finished"}
#: Weft as a row tells it, header and ends with it. Common practice, no source.
_WEFT_LOG_SD: Final = 0.05
_MIDDLING_ENDS_PER_CM: Final = 4.0
_MIDDLING_M_PER_G: Final = 4.0


@dataclass(frozen=True)
class Told:
    """A forecast and what came: logs of cm; `first` is the size it was forecast from, `rule` the rule of thumb's."""

    cloth: str
    size: str
    first: float
    mean: float
    sd: float
    actual: float
    rule: float

    def within(self, share: float) -> bool:
        """Whether the interval of that share held the truth."""
        return abs(self.actual - self.mean) <= NormalDist().inv_cdf(0.5 + share / 2) * self.sd

    @property
    def error(self) -> float:
        """How far the forecast lay off, as a share."""
        return abs(math.expm1(self.mean - self.actual))

    @property
    def rule_error(self) -> float:
        """How far the rule of thumb lay off, as a share."""
        return abs(math.expm1(self.rule - self.actual))


@dataclass(frozen=True)
class Trueness:
    """How right the forecasts of one size were; shares from 0 to 1."""

    n: int
    coverage_50: float
    coverage_90: float
    median_error: float
    rule_of_thumb_median_error: float


def trueness(told: Iterable[Told]) -> Trueness | None:
    """Coverage and error of forecasts; None where there are none."""
    every = list(told)
    if not every:
        return None
    share = 1 / len(every)
    return Trueness(
        n=len(every),
        coverage_50=sum(one.within(0.5) for one in every) * share,
        coverage_90=sum(one.within(0.9) for one in every) * share,
        median_error=median(one.error for one in every),
        rule_of_thumb_median_error=median(one.rule_error for one in every),
    )


def replay(records: Sequence[ClothRecord]) -> Iterator[Told]:
    """Forecasts of finished width and length of every cloth that states them, in order."""
    yield from replay_measured([measured_of(record) for record in records if not record.moves])


def replay_measured(measured: Sequence[SampleMeasured]) -> Iterator[Told]:
    """Forecasts of finished width and length of every measured cloth that has them, in order."""
    past = Past(tuple(measured), looking_back=False)
    for before, one in enumerate(measured):
        belief = joint([past.belief([one.making], after=before), sample_unknowns(one)])
        yield from _forecasts(belief, one, list(measured_rows(one)))


def _forecasts(belief: Belief, one: SampleMeasured, rows: Sequence[Measurement]) -> Iterator[Told]:
    for side, steps in (("width", WIDTH_STEPS), ("length", (Step.TAKE_UP, *LENGTH_STEPS))):
        of_side = [row for row in rows if true_size(one, side) in row.weights and not _counts_picks(one, row)]
        finished = getattr(one, f"{side}_finished")
        if finished is None or len(of_side) < 2:
            continue
        first, last = of_side[0], of_side[-1]
        mean, sd = belief.conditioned([first]).expected(last.weights)
        lost = 2 if all(step_name not in first.weights for step_name in map(one.making.unknown, steps)) else 1
        rule = first.value + lost * math.log1p(-RULE_LOSS)
        yield Told(one.name, f"finished_{side}", first.value, mean, math.hypot(sd, last.sd), last.value, rule)


def _counts_picks(one: SampleMeasured, row: Measurement) -> bool:
    return one.making.unknown(Step.PICKS) in row.weights


def measured_of(record: ClothRecord, *, counted: bool = False) -> SampleMeasured:
    """A record as a measured cloth; `counted`, with its picks and the weft it used."""
    sizes: dict[str, Any] = {ours: record.sizes[theirs] for theirs, ours in STATES.items() if theirs in record.sizes}
    wound, waste = record.sizes.get("warp_wound_cm"), record.sizes.get("loom_waste_cm")
    if wound and waste and wound > waste:
        sizes["warp_used"] = wound - waste
    spreads = {name: reading_error_cm(size) / size for name, size in sizes.items()}
    amounts = _amounts(record) if counted else {}
    return SampleMeasured(making=_making(record), name=record.name, typed_log_sd=spreads, **sizes, **amounts)


def _amounts(record: ClothRecord) -> dict[str, Any]:
    """Picks where they were counted, and metres of weft, as far as the row tells."""
    found: dict[str, Any] = {}
    ppi, where = record.sizes.get("ppi"), _COUNTED.get(record.words.get("ppi_where", ""))
    if ppi and where:
        found |= {"picks_count": 4 * ppi, "picks_over": 4 * CM_PER_INCH, "picks_where": where}
    metres, grams = record.sizes.get("weft_used_m"), record.sizes.get("weft_used_g")
    grist = record.sizes.get("yarn_grist_m_per_kg")
    if metres or (grams and grist):
        found |= {"weft_used_m": metres or (grams or 0) * (grist or 0) / 1000, "weft_error_log": _WEFT_LOG_SD}
    return found


def _structure_like(words: str) -> str:
    """The structure of the table that a description comes nearest to; plain where it says nothing known."""
    return next((name for word, name in _LIKE.items() if word in words.lower()), "plain")


def _making(record: ClothRecord) -> Making:
    ends = record.sizes.get("epi", 0.0) / CM_PER_INCH or _MIDDLING_ENDS_PER_CM
    m_per_g = record.sizes.get("yarn_grist_m_per_kg", 1000 * _MIDDLING_M_PER_G) / 1000
    rule, weave = diameter_rule(record.words["fibre"], "mill"), _structure_like(record.words["structure"])
    wraps = record.sizes.get("wpi", 0.0) / CM_PER_INCH or ruler_wraps_per_cm(m_per_g, rule)
    known = "epi" in record.sizes and not record.sizes.keys().isdisjoint({"wpi", "yarn_grist_m_per_kg"})
    yarn = f"{record.weaver}: {record.words['fibre']}, {record.words['yarn_form']}"
    return Making(
        key=f"cloth {record.number}",
        warp=record.words.get("warp_yarn") or yarn,
        weft=record.words.get("weft_yarn") or yarn,
        fibre=record.words["fibre"],
        finish=record.words["finish"],
        structure=weave,
        ends_per_cm=ends,
        advised_ends_per_cm=sett_from_wraps(wraps, structure(weave)) if known else ends,
        warp_mm=rule.diameter_mm(m_per_g),
        weft_mm=rule.diameter_mm(m_per_g),
        weaver=record.weaver,
        loom=known_as(record.words.get("loom", ""), record.words["loom_type"]),
        sett_known=known,
    )
