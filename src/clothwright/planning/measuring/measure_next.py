"""What to measure next: everything of the project that could be measured, what it would tell, and what it costs.

How far a measurement narrows the plan is known before it is made (`narrowing`). The list is ordered by the chance that it
makes the verdict definite per hour; where the verdict stands already, by the share of the doubt it takes away per hour. Yarn
used up counts as the time it takes to make or to earn (`metre` in `sampling.toml`), so that a minute and a metre can be
set against each other; both are told apart in each entry.

A measurement before the warp is wound changes the plan: it is made anew, tighter. One on the loom comes after that, and
tells only whether the yarn lasts.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

from clothwright.evidence import (
    METER,
    WIDTH_STEPS,
    Measurement,
    Step,
    ball_unknown,
    core_unknown,
    grist_unknown,
    table,
)
from clothwright.planning.answer import ToMeasure, Verdict
from clothwright.planning.forecast import WASTE, all_lots
from clothwright.planning.job import Job
from clothwright.planning.measuring.doubt import scale_unknown, washing_unknown
from clothwright.planning.measuring.narrowing import Narrowing
from clothwright.planning.measuring.sampling import On, SampleSearch, SmallWarp, narrows, sampling_table
from clothwright.planning.weighing_up import WeighedUp
from clothwright.project.domain import making
from clothwright.yarn import Lot

#: A change of the chance, and a share of doubt, that are worth a line.
_WORTH_SAYING: Final = 0.005
_WORTH_NARROWING: Final = 0.02
NOW: Final = "before warping"
ON_LOOM: Final = "on the loom"
#: Spreads left by a scale that shows 0.1 g, by a tape along 10 m, by counting over 20 cm. Common practice, no source.
_FINE_SCALE_G: Final = 0.1 / 12**0.5
_TAPE_LOG: Final = 0.005
_COUNTED_LOG: Final = 0.015
_FIRST_CM: Final = 20.0


@dataclass(frozen=True)
class Trial:
    """A measurement that could be made: its rows (values do not matter), what it costs, when, and why it would help."""

    what: str
    costs: str
    why: str
    rows: Sequence[Measurement]
    minutes: float
    when: str = NOW
    warp_m: float = 0.0
    weft_m: float = 0.0
    grams: float = 0.0

    @property
    def metres(self) -> float:
        """Yarn used up."""
        return self.warp_m + self.weft_m


def what_to_measure(weighed: WeighedUp) -> tuple[ToMeasure, ...]:
    """Measurements that narrow the plan, most for what they cost first."""
    search = SampleSearch(weighed)
    found = [told_of(trial, search.narrowing) for trial in possible_trials(weighed, search)]
    worth = [one for one in found if _worth_saying(one, weighed)]
    return tuple(sorted(worth, key=lambda one: -one.rank))


def _worth_saying(one: ToMeasure, weighed: WeighedUp) -> bool:
    """Whether it may settle an open verdict, or takes away some of the doubt."""
    settles = weighed.verdict == Verdict.TOO_CLOSE and one.settles >= _WORTH_SAYING
    return settles or max(one.narrows_margin, one.narrows_width, one.narrows_length) >= _WORTH_NARROWING


def told_of(trial: Trial, narrowing: Narrowing) -> ToMeasure:
    """What a trial would tell, over a belief that knows its unknowns."""
    told, before = narrowing.told_by(trial.rows), trial.when == NOW
    costs = narrowing.costs_log(trial.warp_m, trial.weft_m) if trial.metres else 0.0
    settles = narrowing.settles(told, before_warping=before, costs_log=costs)
    shares = narrows(told)
    return ToMeasure(
        what=trial.what,
        settles=settles,
        costs=trial.costs,
        why=f"{trial.why}; {_gone(shares)}",
        when=trial.when,
        minutes=trial.minutes,
        metres=trial.metres,
        grams=trial.grams,
        saves_m=max(0.0, narrowing.saves_m(told)) if before else 0.0,
        rank=_rank(trial, settles, shares, narrowing.weighed),
        **shares,
    )


def _rank(trial: Trial, settles: float, shares: dict[str, float], weighed: WeighedUp) -> float:
    """Chance of a definite verdict, or the share of doubt that goes, per hour of work and of yarn."""
    metre: float = sampling_table()["metre"]["mill" if weighed.job.yarns.warp[0].replaceable else "handspun"]
    gain = settles if weighed.verdict == Verdict.TOO_CLOSE else max(shares.values())
    return gain / ((trial.minutes + metre * trial.metres) / 60)


def _gone(shares: dict[str, float]) -> str:
    """What part of the doubt goes, in words."""
    words = {"narrows_margin": "what is left over", "narrows_width": "the width", "narrows_length": "the length"}
    said = [f"{shares[name] * 100:.0f} % in {word}" for name, word in words.items() if shares[name] >= 0.01]
    return f"of the doubt it takes away {', '.join(said)}" if said else "it takes away hardly any doubt"


def possible_trials(weighed: WeighedUp, search: SampleSearch) -> Iterator[Trial]:
    """Every measurement that could be made for a job."""
    for lot in all_lots(weighed.job):
        yield from _yarn_trials(lot)
    yield from _meter_trials(weighed.job)
    yield sample_trial(search, On.LOOM)
    yield sample_trial(search, On.CARD)
    yield _waste_trial()
    yield from _loom_trials(weighed.job)


def _spreads(lot: Lot) -> dict[str, Any]:
    return dict(table()["yarn"]["mill" if lot.made == "mill" else "handspun"])


def _yarn_trials(lot: Lot) -> Iterator[Trial]:
    weighed = [number for number, ball in enumerate(lot.balls) if ball.net_g is not None]
    if weighed:
        yield _weigh_again(lot, weighed)
        yield _weigh_finer(lot, len(weighed))
    if any(ball.core_unknown for ball in lot.balls):
        row = Measurement({core_unknown(lot): 1.0}, 0.0, 0.05, "")
        what = f"Weigh an empty core like that of {lot.name}"
        yield Trial(what, "1 minute, no yarn", "the scale weighed the core too", [row], 1)
    if not lot.washed:
        row = Measurement({washing_unknown(lot): 1.0}, 0.0, math.hypot(0.01, _spreads(lot)["wash_between_skeins"]), "")
        what = f"Wash a skein of 10 m of {lot.name} and measure it before and after"
        why = "yarn measured before washing loses length in it, and nobody knows how much"
        yield Trial(what, "20 minutes and a night to dry, no yarn lost", why, [row], 20)


def _weigh_again(lot: Lot, balls: Sequence[int]) -> Trial:
    spread = math.hypot(0.005, _spreads(lot)["within_ten_metres"] / math.sqrt(3))
    rows = [Measurement({grist_unknown(lot): 1.0, ball_unknown(lot, number): 1.0}, 0.0, spread, "") for number in balls]
    many = f"each of the {len(rows)} balls" if len(rows) > 1 else "the ball"
    return Trial(
        f"Weigh 10 m of {lot.name} again, from three places of {many}, to 0.1 g",
        f"{5 * len(rows)} minutes, no yarn",
        "uneven yarn: a few metres tell only so much about the whole ball",
        rows,
        5 * len(rows),
    )


def _weigh_finer(lot: Lot, balls: int) -> Trial:
    row = Measurement({scale_unknown(lot): 1.0}, 0.0, _FINE_SCALE_G * math.sqrt(balls), "")
    what = f"Weigh {lot.name} on a scale that shows 0.1 g"
    return Trial(what, f"{2 * balls} minutes, no yarn", "the scale shows whole steps only", [row], 2 * balls)


def _meter_trials(job: Job) -> Iterator[Trial]:
    """Check what metered the balls against a tape."""
    metered = [ball for lot in all_lots(job) for ball in lot.balls if ball.metres is not None]
    tools = {ball.wound_on: f"yarn wound on {ball.wound_on}" if ball.wound_on else METER for ball in metered}
    for tool, unknown in tools.items():
        what = f"Measure a turn of {tool} with a tape" if tool else "Run 10 m, measured by tape, through the meter"
        row = Measurement({unknown: 1.0}, 0.0, _TAPE_LOG, "")
        yield Trial(what, "10 minutes, no yarn", "every metered ball shares the error of the meter", [row], 10)


def sample_trial(search: SampleSearch, on: On) -> Trial:
    """The smallest sample that tells most, on a loom or on a card."""
    choice = search.smallest(on)
    sample, long = choice.sample, choice.sample.first
    size = f"{long.width_in_heddle_cm:.0f} cm wide and {long.woven_cm:.0f} cm long"
    where = f"at {long.heddle}" if on == On.LOOM else f"on a notched card, spaced as {long.heddle}"
    why = "width, length and picks of this yarn at this sett, finished this way"
    if on == On.CARD:
        why += "; beat and tension differ from the loom's, and that is counted"
    return Trial(
        f"Weave a sample {size} {where}, measure it on and off the {on}, wash it, measure again",
        f"{_time(sample.minutes)}, and about {sample.metres:.0f} m of yarn ({_yarn(sample)})",
        why,
        search.rows(sample),
        sample.minutes,
        warp_m=sample.warp_m,
        weft_m=sample.weft_m,
        grams=sample.grams,
    )


def _yarn(sample: SmallWarp) -> str:
    return f"{sample.warp_m:.0f} m warp, {sample.weft_m:.0f} m weft, {sample.grams:.0f} g"


def _time(minutes: int) -> str:
    """Minutes in the words of a day."""
    return f"about {round(minutes, -1)} minutes of work and a night to dry"


def _waste_trial() -> Trial:
    return Trial(
        "Measure what this loom wastes on one warp: front tie-on and unwoven end",
        "5 minutes at the end of any warp, no yarn",
        "every end pays the waste once",
        [Measurement({WASTE: 1.0}, 0.0, 0.03, "")],
        5,
    )


def _loom_trials(job: Job) -> Iterator[Trial]:
    made = making(job.project, job.yarns, job.heddle.per_cm)
    costs = "5 minutes, no yarn, once the warp is on"
    picks = Measurement({made.unknown(Step.PICKS): 1.0}, 0.0, _COUNTED_LOG, "")
    what = f"Count the picks after the first {_FIRST_CM:.0f} cm of the real cloth"
    yield Trial(what, costs, "a heavier beat takes more weft", [picks], 5, ON_LOOM)
    weft = {made.unknown(Step.PICKS): 1.0, made.unknown(Step.PICK_LENGTH): 1.0}
    what = f"Weigh the weft before and after the first {_FIRST_CM:.0f} cm of the real cloth"
    why = "grams of weft per cm woven, picks and take-up together"
    yield Trial(what, costs, why, [Measurement(weft, 0.0, 0.03, "")], 5, ON_LOOM)
    width = Measurement({made.unknown(WIDTH_STEPS[0]): 1.0}, 0.0, 0.005, "")
    what = f"Measure the width at the fell after the first {_FIRST_CM:.0f} cm of the real cloth"
    yield Trial(what, costs, "what draws in on the loom does not come back in the wash", [width], 5, ON_LOOM)
