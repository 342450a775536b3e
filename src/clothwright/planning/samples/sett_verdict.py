"""Was the sett right? What a washed sample says of it: closer, right, or more open, with the reason; or what is missing.

Each sign leans from −1 (more open) to 1 (closer) and has a weight:

    loss of width, of length   how far it lies from what a cloth set as its yarn asks does in this fibre and finish, by the prior
                               of belief: a cloth that lost more than usual had room to move, so closer
    picks against ends         more picks than a balanced cloth takes crowd in between ends too far apart, so closer
    sett against the yarn      ends per cm against those its wraps advise, half a sign: wraps are a rule of thumb
    hand, in her words         the table of words; it weighs most, since it is what the cloth is for

The answer is the weighted mean, closer above a quarter, more open below minus a quarter. Two strong signs against each other
make no answer. Nothing is judged from fewer than two signs, nor before washing.

*Source*: looser setts draw in and shrink more, weavers' reports; the weights are common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from clothwright.cloth import cloth_cover, firmness, fractional_cover
from clothwright.evidence import EDGE, Belief, Making, SampleMeasured, Step, believed_before
from clothwright.measure import Z90
from clothwright.planning.samples.hand_words import Hand
from clothwright.planning.samples.sample_conflicts import STEPS_OF
from clothwright.planning.samples.sample_ratios import SIDES, Size, percent, sizes

_DECIDES: Final = 0.25
_STRONG: Final = 0.6
_SETT_FACTOR: Final = 1.35
#: What each sign weighs. Common practice, no source.
WEIGHTS: Final = {"width": 1.0, "length": 0.7, "picks": 1.0, "sett": 0.5, "hand": 1.6}


class SettAdvice(StrEnum):
    """What to do with the sett next time."""

    CLOSER = "closer"
    RIGHT = "right"
    MORE_OPEN = "more open"


@dataclass(frozen=True)
class Sign:
    """One thing that speaks for a sett: which, what it leans to, how much it weighs, and why in words."""

    what: str
    leans: float
    weight: float
    why: str


@dataclass(frozen=True)
class SettVerdict:
    """The answer on a sample's sett, or None with what is missing or why the signs make none."""

    advice: SettAdvice | None
    leans: float | None
    why: str
    signs: tuple[Sign, ...]
    missing: tuple[str, ...]
    words_not_used: tuple[str, ...]


def judge_sett(sample: SampleMeasured, share_of_closest: float, hand: Hand) -> SettVerdict:
    """The verdict on the sett of a sample; `share_of_closest` is its sett over the closest the threads allow."""
    signs = tuple(_signs(sample, share_of_closest, hand))
    missing = tuple(_missing(signs))
    if missing:
        return SettVerdict(None, None, f"not judged: {'; '.join(missing)}", signs, missing, hand.not_used)
    pulling = [[sign for sign in signs if way * sign.leans >= _STRONG] for way in (1, -1)]
    if all(pulling):
        why = f"the signs do not agree: {_reasons(pulling[0])}, which asks for closer; but {_reasons(pulling[1])}. Weave it again beside a neighbouring sett"
        return SettVerdict(None, None, why, signs, (), hand.not_used)
    total = sum(sign.weight for sign in signs)
    leans = sum(sign.weight * sign.leans for sign in signs) / total
    advice = SettAdvice.CLOSER if leans > _DECIDES else SettAdvice.MORE_OPEN if leans < -_DECIDES else SettAdvice.RIGHT
    return SettVerdict(advice, leans, _why(advice, signs), signs, (), hand.not_used)


def _why(advice: SettAdvice, signs: Sequence[Sign]) -> str:
    """The signs that carry the answer, the weightiest first; those against it after “though”."""
    way = {SettAdvice.CLOSER: 1, SettAdvice.MORE_OPEN: -1, SettAdvice.RIGHT: 0}[advice]
    ranked = sorted(signs, key=lambda sign: -abs(sign.weight * sign.leans))
    if way == 0:
        return _reasons(sorted(signs, key=lambda sign: abs(sign.leans)))
    carry = [sign for sign in ranked if sign.leans * way > 0.1]
    against = [sign for sign in ranked if sign.leans * way < -0.1]
    return _reasons(carry) + (f"; though {_reasons(against)}" if against else "")


def _reasons(signs: Sequence[Sign]) -> str:
    return "; ".join(sign.why for sign in signs)


def _missing(signs: Sequence[Sign]) -> Iterator[str]:
    """What would have to be measured before anything can be said."""
    seen = {sign.what for sign in signs}
    washed = seen & {"width", "length"}
    if not washed:
        yield "measure it finished and in an earlier state, in width or in length"
    if washed and not seen - washed - {"sett"} and len(washed) < 2:
        other = "length" if "width" in washed else "width"
        yield f"one sign is too few: give the {other} in two states, picks and where they were counted, or its hand in words"


def _signs(sample: SampleMeasured, share_of_closest: float, hand: Hand) -> Iterator[Sign]:
    for side in SIDES:
        yield from _loss(sample, side)
    yield from _picks(sample)
    made = sample.making
    if _finished(sample):
        leans = _within(-math.log(made.relative_sett) / math.log(_SETT_FACTOR))
        against = f"{made.ends_per_cm:.2f} ends per cm where its yarn advises {made.advised_ends_per_cm:.2f}"
        yield Sign("sett", leans, WEIGHTS["sett"], f"{against} ({firmness(share_of_closest)})")
    if hand.leans is not None:
        yield Sign("hand", hand.leans, WEIGHTS["hand"], f"in the hand: {', '.join(hand.used)}")


def _finished(sample: SampleMeasured) -> bool:
    return any(known and known[-1].state.words == "finished" and len(known) > 1 for known in _known(sample))


def _known(sample: SampleMeasured) -> tuple[tuple[Size, ...], ...]:
    return tuple(sizes(sample, side) for side in SIDES)


def well_set(making: Making) -> Belief:
    """What is believed of a cloth alike, but set as its yarn asks."""
    return believed_before([replace(making, ends_per_cm=making.advised_ends_per_cm)])


def _loss(sample: SampleMeasured, side: str) -> Iterator[Sign]:
    """The whole loss to the finished state against what a well-set cloth of this fibre and finish loses."""
    known = sizes(sample, side)
    if len(known) < 2 or known[-1].state.words != "finished":
        return
    order = [state.key for state in SIDES[side]]
    first, last = known[0], known[-1]
    steps = STEPS_OF[side][order.index(first.state.key) : order.index(last.state.key)]
    edge = {EDGE: 1 / first.cm} if first.state.key == "width_in_heddle" else {}
    mean, known_to = well_set(sample.making).expected({sample.making.unknown(step): 1.0 for step in steps} | edge)
    spread = math.hypot(known_to, first.log_sd, last.log_sd)
    off = (math.log(last.cm / first.cm) - mean) / spread
    usual = sorted(1 - math.exp(mean + way * Z90 * spread) for way in (-1, 1))
    lost, of = percent(1 - last.cm / first.cm), first.state.of
    said = f"it lost {lost} {of}, where a well-set cloth so finished loses {_loses(usual[0])} to {percent(usual[1])}"
    yield Sign(side, _within(-off / Z90), WEIGHTS[side], said)


def _picks(sample: SampleMeasured) -> Iterator[Sign]:
    """Picks against ends, both in the state where the picks were counted."""
    if sample.picks_count is None or not sample.picks_over:
        return
    on_loom = sample.picks_count / sample.picks_over
    made = sample.making
    belief = well_set(made)
    shortened = {"on loom": (), "off loom": STEPS_OF["length"][1:2], "finished": STEPS_OF["length"][1:]}
    weights = {made.unknown(Step.PICKS): 1.0} | {made.unknown(step): -1.0 for step in shortened[sample.picks_where]}
    mean, spread = belief.expected(weights)
    usual = mean - math.log(made.advised_ends_per_cm)
    off = (math.log(on_loom / made.ends_per_cm) - usual) / spread
    where = {"on loom": "on the loom", "off loom": "off the loom", "finished": "finished"}[sample.picks_where]
    said = f"{on_loom:.1f} picks per cm {where} to {made.ends_per_cm:.1f} ends per cm in the heddle, usual {math.exp(usual) * made.ends_per_cm:.1f}"
    yield Sign("picks", _within(off / Z90), WEIGHTS["picks"], said)


def _loses(share: float) -> str:
    return percent(share) if share >= 0 else f"nothing (or grows {percent(-share)})"


def _within(value: float) -> float:
    return max(-1.0, min(1.0, value))


def finished_cover(sample: SampleMeasured) -> float | None:
    """Share of the face that the finished threads cover, by geometry; None where widths, lengths or picks are missing."""
    width, length = _known(sample)
    if not (width and length and sample.picks_count and sample.picks_over and _finished(sample)):
        return None
    ends = sample.making.ends_per_cm * width[0].cm / width[-1].cm
    picks = sample.picks_count / sample.picks_over
    if sample.picks_where == "on loom":
        woven = next((size for size in length if size.state.words == "on the loom"), None)
        if woven is None:
            return None
        picks *= woven.cm / length[-1].cm
    covers = (fractional_cover(ends, sample.making.warp_mm), fractional_cover(picks, sample.making.weft_mm))
    return cloth_cover(*covers)
