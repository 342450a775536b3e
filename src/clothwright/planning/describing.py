"""The working of a forecast plan: every number in the order a weaver asks for it, with its spread and its source."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clothwright.evidence import folding_unknown
from clothwright.measure import Draws, Estimate, Interval, Rung
from clothwright.planning.forecast import all_lots
from clothwright.planning.measuring.samples_told import samples_of, width_forecasts
from clothwright.planning.sums import Figures
from clothwright.planning.weighing_up import WeighedUp
from clothwright.planning.working import WorkingLine
from clothwright.yarn import Lot


def working(weighed: WeighedUp, known: Figures) -> tuple[WorkingLine, ...]:
    """Every line of the working of a plan whose ratios are `known` so."""
    return (
        *_cloth_lines(weighed),
        *_width_lines(weighed, known),
        *_length_lines(weighed, known),
        *_yarn_lines(weighed, known),
    )


def _line(step: str, sum_: str, value: float, unit: str, figure: Estimate | None = None) -> WorkingLine:
    rung, source = (figure.rung, figure.source) if figure else (Rung.CALCULATED, "the lines above")
    return WorkingLine(step, sum_, round(value, 3), unit, rung, source)


def _between(draws: Draws, places: int = 2) -> str:
    one = Interval.of_draws(draws)
    return f"{one.expected:.{places}f}, nine times in ten {one.low:.{places}f} to {one.high:.{places}f}"


def _cloth_lines(weighed: WeighedUp) -> list[WorkingLine]:
    if weighed.fitted is None:
        return []
    garment, layout = weighed.job.garment, weighed.fitted.layout
    assert garment is not None  # a fitted cloth is for a garment
    source = Estimate(layout.length_cm, Rung.CALCULATED, "the layout of least yarn found")
    width = f"{layout.width_cm:.1f} cm usable + 2 × {garment.trim_cm:g} cm trim"
    length = f"{layout.length_cm:.1f} cm layout + 2 × {garment.squaring_cm:g} cm squaring"
    return [
        _line("Finished width asked", width, weighed.wanted.width_cm, "cm", source),
        _line("Finished length asked", length, weighed.wanted.length_cm, "cm", source),
    ]


def _width_lines(weighed: WeighedUp, known: Figures) -> list[WorkingLine]:
    job, forecast = weighed.job, weighed.forecast
    ends = weighed.decision.ends
    width, finished = job.width_in_heddle(ends), weighed.outcome.finished_width
    ratio = finished / width
    wide = float(np.mean(finished >= weighed.wanted.width_cm - 1e-9))
    yield_ = f"{width:.2f} cm × {_between(ratio)}; {wide:.0%} of cloths reach {weighed.wanted.width_cm:.1f} cm"
    return [
        _line("Finished ÷ heddle width", _between(ratio), float(np.median(ratio)), "", known.width_ratio),
        _line("Ends", f"the fewest that are wide enough often enough, in {job.end_step}s", ends, "ends"),
        _line("Width in heddle", f"{ends} ends ÷ {job.heddle.per_cm:.4g} per cm", width, "cm"),
        *_two_ways(weighed),
        _line("Finished width", yield_, float(np.median(forecast.finished_width(ends))), "cm"),
    ]


def _two_ways(weighed: WeighedUp) -> list[WorkingLine]:
    """What each sample supports for the finished width: the same share, and the same loss in cm."""
    lines = []
    for one in width_forecasts(weighed, samples_of(weighed)):
        source = Estimate(0, Rung.SAMPLED, f"{one.sample}, in the heddle and finished")
        share, loss, width = one.same_share_cm, one.same_loss_cm, one.width_in_heddle_cm
        ratio, lost = share.expected / width, width - loss.expected
        lines += [
            _line("Finished width at the same share", f"{width:.2f} cm × {ratio:.4f}", share.expected, "cm", source),
            _line("Finished width at the same loss", f"{width:.2f} cm − {lost:.2f} cm", loss.expected, "cm", source),
        ]
    return lines


def _length_lines(weighed: WeighedUp, known: Figures) -> list[WorkingLine]:
    job, forecast = weighed.job, weighed.forecast
    decision, finished = weighed.decision, weighed.outcome.finished_length
    long = float(np.mean(finished >= weighed.wanted.length_cm - 1e-9))
    stop = f"the stopping place of least yarn; {long:.0%} of cloths reach {weighed.wanted.length_cm:.1f} cm finished"
    warp = (
        f"({decision.weave_to_cm:g} cm + {job.on_warp_sample_cm:g} cm sample) ÷ {np.median(forecast.take_up):.3f} "
        f"+ {np.median(forecast.waste):.0f} cm waste, and what the trust asks"
    )
    return [
        _line(
            "Finished ÷ woven length",
            _between(forecast.length_ratio),
            float(np.median(forecast.length_ratio)),
            "",
            known.length_ratio,
        ),
        _line("Weave to, on the loom under tension", stop, decision.weave_to_cm, "cm"),
        _line(
            "Woven ÷ warp used", _between(forecast.take_up), float(np.median(forecast.take_up)), "", known.woven_of_warp
        ),
        _line("Loom waste", _between(forecast.waste, 0), float(np.median(forecast.waste)), "cm", known.waste_cm),
        _line("Warp length", warp, decision.warp_cm, "cm"),
    ]


def _yarn_lines(weighed: WeighedUp, known: Figures) -> list[WorkingLine]:
    forecast, outcome = weighed.forecast, weighed.outcome
    decision = weighed.decision
    ends = decision.ends + weighed.job.extra_ends
    pick = weighed.job.width_in_heddle(decision.ends) * forecast.pick_length
    woven = decision.weave_to_cm + weighed.job.on_warp_sample_cm
    weft = f"{np.median(forecast.picks_per_cm):.2f} × {np.median(pick):.1f} cm × {woven:g} cm ÷ 100: {_between(outcome.weft_m, 0)}"
    in_hand = [line for lot in all_lots(weighed.job) for line in _stock_lines(lot, weighed)]
    slack = weighed.stock.slack_m
    left = f"in hand less needed: {_between(slack, 0)}; it lasts in {weighed.chance_enough:.0%} of cloths"
    return [
        _line("Warp yarn", f"{ends} ends × {decision.warp_cm:g} cm ÷ 100", float(outcome.warp_m[0]), "m"),
        _line(
            "Picks per cm on the loom",
            _between(forecast.picks_per_cm),
            float(np.median(forecast.picks_per_cm)),
            "per cm",
            known.picks_on_loom,
        ),
        _line("Weft of one pick", _between(pick, 1), float(np.median(pick)), "cm", known.pick_length),
        _line("Weft yarn", weft, float(np.median(outcome.weft_m)), "m"),
        *in_hand,
        _line("Left over", left, float(np.median(slack)), "m"),
    ]


def _stock_lines(lot: Lot, weighed: WeighedUp) -> Iterator[WorkingLine]:
    """What there is of a lot, before it what its count leaves out."""
    if left_out := lot.folding_left_out:
        kept = np.exp(weighed.forecast.drawn[folding_unknown(lot)])
        usual = Estimate(0, Rung.RULE_OF_THUMB, "usual for folded yarn, from memory of the trade; nobody measured it")
        said = f"{', '.join(left_out)} is of the strands; measured metres per gram ÷ those: {_between(kept, 3)}"
        yield _line(f"{lot.name}, what folding leaves", said, float(np.median(kept)), "", usual)
    draws = weighed.stock.of_lot[lot.name]
    source = Estimate(0, Rung.CALCULATED, "weighed and measured, each ball by its own reading where it has one")
    said = f"{len(lot.balls)} {'ball' if len(lot.balls) == 1 else 'balls'}, {lot.grams:.0f} g: {_between(draws, 0)}"
    yield _line(f"{lot.name} in hand", said, float(np.median(draws)), "m", source)
