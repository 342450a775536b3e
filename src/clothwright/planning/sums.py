"""The sums a careful person does with a calculator: every ratio exact, gaps filled by a stated rule of thumb.

Each figure is rounded when it is written down, and the next sum uses the written figure, so that adding up the printed
numbers gives the printed answer. A typed range of picks gives three sums: low, expected, high.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Final

from clothwright.evidence import LENGTH_STEPS, WIDTH_STEPS, ratio_prior, table
from clothwright.measure import Estimate, Grist, Interval, Ratio, Rung, ThreadsPerLength
from clothwright.planning.forecast import all_lots, take_up_ratio
from clothwright.planning.job import Job, Wanted
from clothwright.planning.working import WorkingLine
from clothwright.project.document import SamplePart
from clothwright.project.sampling import finished_length_cm, finished_width_cm
from clothwright.yarn import UNKNOWN_CORE_GRAMS, USUAL_FOLDING_TAKE_UP, Ball, Lot, Use

#: Rules of thumb for what nobody measured. Common practice, no source.
WARP_TAKE_UP: Final = 0.03
WEFT_TAKE_UP: Final = 0.05
PICKS_EITHER_WAY: Final = 0.10


@dataclass(frozen=True)
class Figures:
    """Every ratio of the sums: finished over heddle width, finished over woven length, woven over warp, and so on."""

    width_ratio: Estimate
    length_ratio: Estimate
    woven_of_warp: Estimate
    picks_on_loom: Estimate
    pick_length: Estimate
    waste_cm: Estimate


@dataclass
class Sheet:
    """Lines of working, written down one after another."""

    lines: list[WorkingLine] = field(default_factory=list)

    def write(self, step: str, sum_: str, value: float, unit: str, figure: Estimate | None = None) -> float:
        """Write a line and give back the figure as written, to two places."""
        written = round(value, 2)
        rung, source = (figure.rung, figure.source) if figure else (Rung.CALCULATED, "the lines above")
        self.lines.append(WorkingLine(step, sum_, written, unit, rung, source))
        return written


def figures(job: Job) -> Figures:
    """The ratios for a job: what was typed, else what a sample gave, else a rule of thumb."""
    length_ratio = _length_ratio(job)
    return Figures(
        _width_ratio(job),
        length_ratio,
        _woven_of_warp(job, length_ratio),
        _picks_on_loom(job, length_ratio),
        _pick_length(job),
        _waste(job),
    )


def _typed(quantity: Ratio | ThreadsPerLength | Grist, what: str) -> Estimate:
    three = (quantity.low, quantity.high) if quantity.has_spread else (None, None)
    return Estimate(quantity.expected, Rung.SAMPLED, f"{what} as typed: {quantity}", *three)


def _from_samples(job: Job, ratio: Callable[[SamplePart], float | None], what: str) -> Estimate | None:
    """The mean over the samples that say it."""
    found = [(value, sample.name) for sample in job.project.sample if (value := ratio(sample)) is not None]
    if not found:
        return None
    mean = round(sum(value for value, _ in found) / len(found), 4)
    return Estimate(mean, Rung.SAMPLED, f"{what} of {', '.join(name for _, name in found)}")


def _rule_ratio(job: Job, steps: tuple[str, ...], what: str) -> Estimate:
    prior = ratio_prior(job.yarns.fibre, job.project.cloth.finish)
    value = round(math.exp(sum(mean for step, mean in prior.mean.items() if step in steps)), 2)
    of = job.yarns.fibre or "yarn of unknown fibre"
    return Estimate(value, Rung.RULE_OF_THUMB, f"{what}, usual for {of}; no sample says")


def _width_ratio(job: Job) -> Estimate:
    if job.project.cloth.width_ratio:
        return _typed(job.project.cloth.width_ratio, "finished ÷ width in heddle")
    sampled = _from_samples(job, _sampled_width_ratio, "finished width ÷ width in heddle")
    return sampled or _rule_ratio(job, WIDTH_STEPS, "finished width ÷ width in heddle")


def _sampled_width_ratio(sample: SamplePart) -> float | None:
    finished, heddle = finished_width_cm(sample), sample.width.in_heddle
    return finished / heddle.cm if finished and heddle else None


def _length_ratio(job: Job) -> Estimate:
    if job.project.cloth.length_ratio:
        return _typed(job.project.cloth.length_ratio, "finished ÷ woven length")
    sampled = _from_samples(job, _sampled_length_ratio, "finished ÷ woven length")
    return sampled or _rule_ratio(job, LENGTH_STEPS, "finished ÷ woven length on the loom")


def _sampled_length_ratio(sample: SamplePart) -> float | None:
    finished, woven = finished_length_cm(sample), sample.length.on_loom
    return finished / woven.cm if finished and woven else None


def _woven_of_warp(job: Job, length_ratio: Estimate) -> Estimate:
    share = job.project.cloth.warp_take_up
    if share:
        value = round(take_up_ratio(share.expected, share.of), 4)
        return Estimate(value, Rung.SAMPLED, f"take-up as typed: {share}")
    sampled = _from_samples(job, _sampled_woven_of_warp, "woven length ÷ warp used")
    whole = _from_samples(job, _sampled_finished_of_warp, "finished length ÷ warp used")
    if sampled or not whole:
        rule = Estimate(1 - WARP_TAKE_UP, Rung.RULE_OF_THUMB, f"take-up {WARP_TAKE_UP:.0%} of warp; no sample says")
        return sampled or rule
    source = f"{whole.source} ({whole.value:g}) ÷ the length ratio"
    return Estimate(round(whole.value / length_ratio.value, 4), Rung.SAMPLED, source)


def _sampled_woven_of_warp(sample: SamplePart) -> float | None:
    warp, woven = sample.length.warp_used_cm, sample.length.on_loom
    return woven.cm / warp if warp and woven else None


def _sampled_finished_of_warp(sample: SamplePart) -> float | None:
    warp, finished = sample.length.warp_used_cm, sample.length.finished
    return finished.cm / warp if warp and finished else None


def _picks_on_loom(job: Job, length_ratio: Estimate) -> Estimate:
    cloth = job.project.cloth
    if cloth.picks:
        typed = _typed(cloth.picks, "picks")
        return _on_loom(typed, length_ratio) if cloth.picks_counted == "finished" else typed
    sampled = _from_samples(job, lambda sample: _sampled_picks(sample, length_ratio.value), "picks per cm")
    if sampled:
        return sampled
    balanced = job.heddle.per_cm
    low, high = (round(balanced * share, 4) for share in (1 - PICKS_EITHER_WAY, 1 + PICKS_EITHER_WAY))
    return Estimate(
        balanced, Rung.RULE_OF_THUMB, "as many picks as ends, 10 % either way; none were counted", low, high
    )


def _on_loom(finished: Estimate, length_ratio: Estimate) -> Estimate:
    low, middle, high = (round(value * length_ratio.value, 4) for value in finished.three)
    return Estimate(middle, finished.rung, f"{finished.source}, counted finished × the length ratio", low, high)


def _sampled_picks(sample: SamplePart, length_ratio: float) -> float | None:
    if sample.picks is None:
        return None
    per_cm = sample.picks.count / sample.picks.over.cm
    return per_cm * length_ratio if sample.picks.where == "finished" else per_cm


def _pick_length(job: Job) -> Estimate:
    share = job.project.cloth.weft_take_up
    if share:
        return Estimate(1 + share.expected, Rung.SAMPLED, f"weft take-up as typed: {share}")
    sampled = _from_samples(job, lambda sample: _sampled_pick_length(job, sample), "weft used by pick")
    rule = Estimate(
        1 + WEFT_TAKE_UP, Rung.RULE_OF_THUMB, f"weft take-up {WEFT_TAKE_UP:.0%} of width in heddle; no sample says"
    )
    return sampled or rule


def _sampled_pick_length(job: Job, sample: SamplePart) -> float | None:
    """Weft yarn of a pick over width in heddle: of one laid straight, else of all the weft where the picks were counted."""
    width, woven, used = sample.width.in_heddle, sample.length.on_loom, sample.weft_used
    if sample.one_pick and width:
        return sample.one_pick.straight.cm / width.cm
    if not (width and woven and used and sample.picks and sample.picks.where == "on loom"):
        return None
    picks = sample.picks.count / sample.picks.over.cm * woven.cm
    if used.length:
        return used.length.cm / (picks * width.cm)
    lot = next((lot for lot in job.yarns.weft if lot.name == sample.weft), job.yarns.weft[0])
    return used.weight.grams * lot.m_per_g * 100 / (picks * width.cm) if used.weight else None


def _waste(job: Job) -> Estimate:
    if job.loom.waste is not None:
        return Estimate(job.loom.waste.cm, Rung.PAST_PROJECTS, f"loom waste as typed: {job.loom.waste}")
    recorded = _from_samples(job, lambda sample: sample.length.waste.cm if sample.length.waste else None, "loom waste")
    row = table()["waste"]["rigid_heddle" if job.loom.kind == "rigid heddle" else "shaft"]
    return recorded or Estimate(row["median"], Rung.RULE_OF_THUMB, f"usual for a {job.loom.kind} loom")


@dataclass(frozen=True)
class HandSum:
    """The answers of the sums; cm and m."""

    ends: int
    width_in_heddle: float
    woven: float
    warp_cm: float
    warp_m: float
    weft_m: Interval
    finished_width: float
    finished_length: float


def work_out(job: Job, known: Figures, wanted: Wanted, sheet: Sheet) -> HandSum:
    """Ends, warp and weft for a finished cloth, each line written down."""
    ends, width = _ends(job, known.width_ratio, wanted, sheet)
    woven = _woven(known, wanted, sheet)
    warp_cm = _warp(job, known, woven, sheet)
    total_ends = ends + job.extra_ends
    warp_m = sheet.write("Warp yarn", f"{total_ends} ends × {warp_cm:g} cm ÷ 100", total_ends * warp_cm / 100, "m")
    weft = _weft(job, known, width, woven, sheet)
    finished_width = round(width * known.width_ratio.value, 2)
    return HandSum(
        ends, width, woven, warp_cm, warp_m, weft, finished_width, round(woven * known.length_ratio.value, 2)
    )


def _ends(job: Job, ratio: Estimate, wanted: Wanted, sheet: Sheet) -> tuple[int, float]:
    needed = wanted.width_cm / ratio.value
    sheet.write("Width in heddle needed", f"{wanted.width_cm:g} cm ÷ {ratio.value:g}", needed, "cm", ratio)
    ends, per_cm = job.ends_for(needed), round(job.heddle.per_cm, 4)
    up_to = {1: "rounded up", 2: "up to whole pairs"}.get(job.end_step, f"up to whole {job.end_step}s")
    sheet.write("Ends", f"{wanted.width_cm:g} cm ÷ {ratio.value:g} × {per_cm:g} ends per cm, {up_to}", ends, "ends")
    width = sheet.write("Width in heddle", f"{ends} ends ÷ {per_cm:g} per cm", ends / per_cm, "cm")
    return ends, width


def _woven(known: Figures, wanted: Wanted, sheet: Sheet) -> float:
    return sheet.write(
        "Weave, on the loom under tension",
        f"{wanted.length_cm:g} cm ÷ {known.length_ratio.value:g}",
        wanted.length_cm / known.length_ratio.value,
        "cm",
        known.length_ratio,
    )


def _warp(job: Job, known: Figures, woven: float, sheet: Sheet) -> float:
    with_sample = woven
    if job.on_warp_sample_cm:
        said = f"{woven:g} cm + {job.on_warp_sample_cm:g} cm"
        with_sample = sheet.write("With the on-warp sample", said, woven + job.on_warp_sample_cm, "cm")
    ratio, waste = known.woven_of_warp, known.waste_cm
    used = sheet.write(
        "Warp used by the weaving", f"{with_sample:g} cm ÷ {ratio.value:g}", with_sample / ratio.value, "cm", ratio
    )
    return sheet.write("Warp length", f"{used:g} cm + {waste.value:g} cm loom waste", used + waste.value, "cm", waste)


def _weft(job: Job, known: Figures, width: float, woven: float, sheet: Sheet) -> Interval:
    length = round(woven + job.on_warp_sample_cm, 2)
    per_pick = known.pick_length
    pick = sheet.write("Weft of one pick", f"{width:g} cm × {per_pick.value:g}", width * per_pick.value, "cm", per_pick)
    picks = known.picks_on_loom
    words = {"low": picks.three[0], "expected": picks.value, "high": picks.three[2]}
    if len(set(words.values())) == 1:
        words = {"": picks.value}
    sums = []
    for word, per_cm in words.items():
        said = f"{per_cm:g} picks per cm × {pick:g} cm × {length:g} cm ÷ 100"
        sums.append(sheet.write(f"Weft yarn, {word}".rstrip(", "), said, per_cm * pick * length / 100, "m", picks))
    return Interval(sums[0], sums[len(sums) // 2], sums[-1])


def cloth_weight(job: Job, known: Figures, sums: HandSum, sheet: Sheet) -> Interval:
    """Finished g/m²: grams of the warp and of the weft in the cloth, over its finished area; each line written down.

    *Source*: mass = threads per length × length of yarn in the cloth × mass per length, as `cloth.grams_per_m2`; the area is
    that of the finished cloth, so that what washing closes up makes it heavier.
    """
    ends, per_cm = sums.ends + job.extra_ends, known.woven_of_warp.value
    warp_m = sheet.write(
        "Warp in the cloth",
        f"{ends} ends × {sums.woven:g} cm ÷ {per_cm:g} ÷ 100",
        ends * sums.woven / per_cm / 100,
        "m",
    )
    warp, weft = (round(lots[0].m_per_g, 4) for lots in (job.yarns.warp, job.yarns.weft))
    area, length = (
        round(sums.finished_width * sums.finished_length / 10_000, 4),
        round(sums.woven + job.on_warp_sample_cm, 2),
    )
    three = {"low": sums.weft_m.low, "expected": sums.weft_m.expected, "high": sums.weft_m.high}
    words = three if sums.weft_m.high > sums.weft_m.low else {"": sums.weft_m.expected}
    found = [
        sheet.write(
            f"Weight of the cloth, {word}".rstrip(", "),
            f"({warp_m:g} m ÷ {warp:g} m/g + {metres:g} m × {sums.woven:g} ÷ {length:g} ÷ {weft:g} m/g) ÷ {area:g} m²",
            (warp_m / warp + metres * sums.woven / length / weft) / area,
            "g/m²",
        )
        for word, metres in words.items()
    ]
    return Interval(found[0], found[len(found) // 2], found[-1])


def stock_lines(job: Job, sheet: Sheet) -> dict[str, Interval]:
    """Metres in hand of every lot, each ball written down, a core nobody weighed as a band."""
    return {lot.name: _lot_lines(lot, sheet) for lot in all_lots(job)}


def _lot_lines(lot: Lot, sheet: Sheet) -> Interval:
    """Metres of a lot, every ball in the sum; an unknown core as a band."""
    metres = lot.metres_by_hand()
    said = " + ".join(_ball_sum(lot, ball, UNKNOWN_CORE_GRAMS.expected) for ball in lot.balls)
    if lot.kept_by_hand != 1:
        said = f"({said}) × {lot.kept_by_hand:g} kept in washing"
    if metres.low < metres.high:
        said += f"; {' and '.join(_left_open(lot))} leaves {metres.high:.2f} to {metres.low:.2f} m"
    source = Estimate(metres.expected, Rung.CALCULATED, "weighed and measured")
    written = sheet.write(f"{lot.name} in hand", said, metres.expected, "m", source)
    return Interval(round(metres.low, 2), written, round(metres.high, 2))


def _left_open(lot: Lot) -> Iterator[str]:
    """What makes the metres of a lot a band."""
    if any(ball.core_unknown for ball in lot.balls):
        yield "a core of 12 g to 2 oz"
    if lot.folding_left_out:
        yield f"folding of up to {USUAL_FOLDING_TAKE_UP.high:.0%} (from memory), not in {', '.join(lot.folding_left_out)},"


def _ball_sum(lot: Lot, ball: Ball, core_g: float) -> str:
    if ball.metres is not None:
        return f"{ball.metres:g} m"
    return f"{round(lot.net_g(ball, core_g), 2):g} g × {round(lot.ball_m_per_g(ball), 4):g} m/g"


def shared_by_hand(job: Job, have: dict[str, Interval], warp_m: float, weft_m: Interval) -> dict[str, Interval]:
    """Metres taken of each lot: yarn for one use goes there first, yarn for both fills what is left."""
    thirds = [_shared(job, {name: one.expected for name, one in have.items()}, warp_m, weft) for weft in _three(weft_m)]
    return {name: Interval(*(third[name] for third in thirds)) for name in have}


def _three(one: Interval) -> tuple[float, float, float]:
    return one.low, one.expected, one.high


def _shared(job: Job, have: dict[str, float], warp_m: float, weft_m: float) -> dict[str, float]:
    pools = {use: [lot.name for lot in all_lots(job) if lot.use == use] for use in Use}
    size = {use: sum(have[name] for name in names) for use, names in pools.items()}
    both = bool(pools[Use.BOTH])
    warp = min(warp_m, size[Use.WARP]) if both else warp_m
    weft = min(weft_m, size[Use.WEFT]) if both else weft_m
    need = {Use.WARP: warp, Use.WEFT: weft, Use.BOTH: warp_m + weft_m - warp - weft}
    return {
        name: round(need[use] * have[name] / max(size[use], 1e-9), 2) for use, names in pools.items() for name in names
    }
