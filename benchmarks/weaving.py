"""How often the forecast at the loom warns in time, on weavings drawn from what is believed before them.

Each weaving is a cloth drawn from the plan's own belief, woven by a hand whose beat wanders as `weaving/drift.toml` says it may:
so this tells whether the sums are right, and not whether hands are like that. It is weighed every 30 cm on a scale of whole
grams, with marks a few mm off, and its picks are counted over 10 cm. The weft in hand is what the plan would call 99, 95, 80 and 50
chances in 100.

Four alarms are told, each by one rule for those that ran out and those that lasted: the verdict is no longer “enough”; the warning
as it is given (`LoomForecast.warned`); the yarn is more likely to run out than to last; the verdict is “not enough”. In time: the
yarn ran out, and the alarm was given at a mark at least 30 cm before. False: the yarn lasted, and the alarm was given at some mark.

Few run out where there is plenty, so many weavings are drawn, and the first so many of those that ran out and of those that lasted are told.

    .venv/bin/python benchmarks/weaving.py [--weavings 12000] [--told 150] [--seed 1] [--as-asked]
"""

from __future__ import annotations

import argparse
import json
import math
from collections.abc import Callable
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from clothwright.evidence import METER
from clothwright.measure import Draws
from clothwright.planning import Verdict
from clothwright.planning.forecast import all_lots
from clothwright.project import Project, read_project
from clothwright.project.domain import making
from clothwright.weaving import Standing, forecast_of, standing
from clothwright.weaving.beat import drift_table
from clothwright.weaving.standing import with_log

MARK_CM = 30.0
IN_TIME_CM = 30.0
FINE_CM = 1.0
STOCKS = (0.99, 0.95, 0.80, 0.50)


def project_with(weft_g: float, log: list[dict[str, object]]) -> Project:
    """A cloth of 44 by 230 cm with so much weft, and a log."""
    return read_project(
        {
            "yarn": [
                {
                    "name": "shingle",
                    "made": "mill",
                    "use": "warp",
                    "grist": "320 m/100 g",
                    "wraps": "15/in",
                    "balls": ["400 g"],
                },
                {
                    "name": "eelgrass",
                    "use": "weft",
                    "grist": [{"length": "10 m", "weight": "3.2 g"}, {"length": "10 m", "weight": "3.3 g"}],
                    "wraps": "15/in",
                    "balls": [f"{weft_g:.1f} g"],
                },
            ],
            "loom": {"heddles": ["30/10 cm"], "weaving_width": "60 cm", "waste": "55 cm"},
            "cloth": {"heddle": "30/10 cm", "finish": "hand wash"},
            "sample": [
                {
                    "name": "square",
                    "width": {"in_heddle": "24 cm", "finished": "21.6 cm"},
                    "length": {"on_loom": "24 cm", "finished": "21 cm"},
                    "picks": {"count": 74, "over": "24 cm"},
                }
            ],
            "want": {"width": "44 cm", "length": "230 cm"},
            "log": log,
        }
    )


@dataclass(frozen=True)
class Woven:
    """A weaving as it really went: grams used up to each cm, picks per cm at each cm."""

    used_g: Draws
    picks: Draws


@dataclass(frozen=True)
class AtMark:
    """What was told at a mark."""

    cm: float
    verdict: Verdict
    chance: float
    warned: bool


#: The alarms, in words, and when each is given.
ALARMS: dict[str, Callable[[AtMark], bool]] = {
    "no longer “enough”": lambda one: one.verdict is not Verdict.ENOUGH,
    "warned": lambda one: one.warned,
    "more likely to run out than to last": lambda one: one.chance < 0.5,
    "“not enough”": lambda one: one.verdict is Verdict.NOT_ENOUGH,
}


@dataclass(frozen=True)
class Went:
    """How one weaving went: where the yarn ran out (None: it lasted), and what was told at each mark."""

    ran_out_cm: float | None
    told: tuple[AtMark, ...]

    def alarmed(self, alarm: Callable[[AtMark], bool]) -> bool:
        """Whether an alarm was given, where the yarn ran out early enough."""
        last = math.inf if self.ran_out_cm is None else self.ran_out_cm - IN_TIME_CM
        return any(alarm(one) and one.cm <= last for one in self.told)


def drawn_back_walk(random: Generator, count: int, back_over_m: float) -> NDArray[np.float64]:
    """A walk from the first pick on, drawn back to where it began, every FINE_CM."""
    keeps = math.exp(-FINE_CM / 100 / back_over_m)
    steps = random.normal(0.0, math.sqrt(back_over_m / 2 * (1 - keeps**2)), count)
    walk, now = np.empty(count), 0.0
    for place, step in enumerate(steps):
        walk[place] = now = now * keeps + step
    return walk


def weave(stands: Standing, random: Generator) -> Woven:
    """One weaving drawn from the plan's belief."""
    warped = stands.warped
    assert warped is not None
    belief = warped.weighed.forecast.belief
    key = making(warped.job.project, warped.job.yarns, warped.job.heddle.per_cm).key
    belief = belief.kept([one for one in belief.names if one.startswith((f"{key}: ", "yarn ")) or one == METER])
    drawn = dict(zip(belief.names, random.multivariate_normal(belief.mean, belief.covariance), strict=True))
    wander, trend = drift_table()["wander"], drift_table()["trend"]["per_metre"]
    per_root = random.choice(wander["per_root_metre"], p=wander["weight"])
    count = math.ceil(stands.to_weave_cm / FINE_CM)
    walk = per_root * drawn_back_walk(random, count, wander["back_over_m"])
    drift = walk + random.normal(0.0, trend) * np.arange(1, count + 1) * FINE_CM / 100
    lot = next(lot for lot in all_lots(warped.job) if lot.name == "eelgrass")
    ball = random.normal(0.0, 0.06)
    picks = np.exp(drawn[f"{key}: picks"] + drift)
    per_cm = (
        picks
        * warped.width_in_heddle_cm
        / 100
        * math.exp(drawn[f"{key}: pick_length"] - drawn[f"yarn {lot.name}: grist"] + ball)
    )
    return Woven(np.cumsum(per_cm) * FINE_CM, picks)


def entry_at(mark: float, woven: Woven, weft_g: float, random: Generator) -> dict[str, object] | None:
    """What a weaver would log at a mark, grams to the gram and marks a few mm off; None where the yarn is used up before."""
    really = min(len(woven.used_g) * FINE_CM, mark + random.normal(0.0, drift_table()["mark"]["cm"]))
    at = int(really / FINE_CM) - 1
    left = weft_g - woven.used_g[at]
    if left < 1:
        return None
    counted = float(np.mean(woven.picks[max(0, at - 9) : at + 1])) * math.exp(
        random.normal(0.0, drift_table()["uneven"]["over_ten_cm"])
    )
    picks = {"count": round(counted * 10), "over": "10 cm"}
    return {"woven": f"{mark:g} cm", "weft_left": {"eelgrass": f"{round(left)} g"}, "picks": picks}


def went(stands: Standing, woven: Woven, weft_g: float, random: Generator, *, as_asked: bool) -> Went:
    """One weaving told mark by mark: every 30 cm, or where the forecast asked for the next weighing."""
    log: list[dict[str, object]] = []
    every = []
    mark: float | None = MARK_CM
    while mark is not None and mark < len(woven.used_g) * FINE_CM:
        entry = entry_at(mark, woven, weft_g, random)
        if entry is None:
            break
        log.append(entry)
        told = forecast_of(with_log(stands, project_with(weft_g, log)), ways_out=False)
        every.append(AtMark(mark, told.verdict, told.chance_enough or 0.0, told.warned))
        mark = told.weigh_next_at_cm if as_asked else mark + MARK_CM
    out = np.flatnonzero(woven.used_g > weft_g)
    return Went(float(out[0] * FINE_CM) if len(out) else None, tuple(every))


def main() -> None:
    """Report, for each stock, how often it warned in time and how often for nothing."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--weavings", type=int, default=12000)
    asked.add_argument("--told", type=int, default=150, help="of those that ran out, and of those that lasted")
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--keep", type=Path, help="a file for what was told at every mark (JSON)")
    asked.add_argument("--as-asked", action="store_true", help="weigh where the forecast asks to, not every 30 cm")
    given = asked.parse_args()
    random = np.random.default_rng(given.seed)
    nothing_yet = standing(project_with(500.0, [{"note": "warp on"}]))
    woven = [weave(nothing_yet, random) for _ in range(given.weavings)]
    kept: dict[str, list[dict[str, object]]] = {}
    for chance in STOCKS:
        weft_g = round(float(np.quantile([one.used_g[-1] for one in woven], chance)), 1)
        short = [one for one in woven if one.used_g[-1] > weft_g]
        lasted = [one for one in woven if one.used_g[-1] <= weft_g]
        some = [*short[: given.told], *lasted[: given.told]]
        planned = standing(project_with(weft_g, [{"note": "warp on"}]))
        found = [went(planned, one, weft_g, random, as_asked=given.as_asked) for one in some]
        report(chance, weft_g, found)
        kept[f"{chance:g}"] = [asdict(one) for one in found]
        if given.keep:
            given.keep.write_text(json.dumps(kept), encoding="utf-8")


def report(chance: float, weft_g: float, found: list[Went]) -> None:
    """One stock's lines."""
    short = [one for one in found if one.ran_out_cm is not None]
    lasted = [one for one in found if one.ran_out_cm is None]
    print(
        f"weft for {chance:.0%} of the weavings ({weft_g:g} g): told of {len(short)} that ran out and {len(lasted)} that lasted",
        flush=True,
    )
    for words, alarm in ALARMS.items():
        in_time, false = (
            np.mean([one.alarmed(alarm) for one in some]) if some else math.nan for some in (short, lasted)
        )
        print(f"    {words}: in time in {in_time:.1%}, false in {false:.1%}", flush=True)


if __name__ == "__main__":
    main()
