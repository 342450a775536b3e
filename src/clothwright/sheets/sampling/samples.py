"""What a sample tells, in sentences: for pages, paper and the command line alike."""

from __future__ import annotations

from collections.abc import Iterator

from clothwright.measure import Interval
from clothwright.planning import SampleTold, StepRatio, WidthForecast
from clothwright.planning.samples.sett_verdict import SettAdvice, SettVerdict
from clothwright.sheets.both_units import in_both
from clothwright.sheets.wording import CLOTH_WEIGHT, LENGTH, THREADS, counted, percent

_ADVICE = {
    SettAdvice.CLOSER: "Set it closer",
    SettAdvice.RIGHT: "The sett is right",
    SettAdvice.MORE_OPEN: "Set it more open",
}
_NARROWED = {"finished_width": "finished width", "finished_length": "finished length", "weft": "weft"}


def advice_word(verdict: SettVerdict) -> str:
    """The verdict on a sett in a few words."""
    if verdict.advice is not None:
        return _ADVICE[verdict.advice]
    return "Not judged yet" if verdict.missing else "The signs do not agree"


def advice_sentence(verdict: SettVerdict) -> str:
    """The verdict on a sett with its reason, or what is missing for one."""
    why = verdict.why.removeprefix("not judged: ").removeprefix("the signs do not agree: ")
    unused = f" Not used, since the table of the hand does not know it: {', '.join(verdict.words_not_used)}."
    return f"{advice_word(verdict)}: {in_both(why)}.{unused if verdict.words_not_used else ''}".replace(" %", "\u00a0%")


def ratio_sentence(one: StepRatio, *, imperial: bool = False) -> str:
    """A ratio, and its loss both ways: of the earlier size, and what more to make for the later."""
    before, after = (LENGTH.text(cm, imperial=imperial) for cm in (one.from_cm, one.to_cm))
    lost, more = percent(round(abs(one.lost_share), 3)), percent(round(abs(one.weave_share), 3))
    change, start = ("gains", "less") if one.lost_share < 0 else ("loses", "more")
    return (
        f"{before} {one.from_state} became {after} {one.to_state}: ratio {one.ratio:.3f} (±{100 * one.error_share:.1f} %), "
        f"{change} {lost} {one.lost_of}; start with {more} {start} than you want"
    )


def good_for_sentence(sample: SampleTold) -> str:
    """By how much the sample alone narrows what is forecast."""
    said = (f"{_NARROWED[what]} by {percent(round(share, 2))}" for what, share in sample.narrows.items())
    return f"it alone narrows the forecast of {', '.join(said)}"


def forecast_sentences(one: WidthForecast | None, *, imperial: bool = False) -> Iterator[str]:
    """What a sample supports for the finished width, two ways and fused."""
    if one is None:
        return
    low, high = (LENGTH.text(cm, imperial=imperial) for cm in one.supports_cm)
    yield f"{one.sample} supports {low} to {high} finished; {LENGTH.text(one.asked_width_cm, imperial=imperial)} is asked"
    for words, interval in two_ways(one):
        yield f"{words}: {LENGTH.text(interval.expected, imperial=imperial)}, {LENGTH.range(interval, imperial=imperial)}"


def two_ways(one: WidthForecast) -> tuple[tuple[str, Interval], ...]:
    """The three forecasts with the words for each."""
    return (
        ("at the same share of the width in the heddle", one.same_share_cm),
        ("at the same loss in cm, more or less what edges lose", one.same_loss_cm),
        ("as forecast, from both and all else that is known", one.fused_cm),
    )


def neighbour_sentences(sample: SampleTold, *, imperial: bool = False) -> Iterator[str]:
    """What the heddles next to the sample's would lead to."""
    whose = "owned" if sample.owned else "commonly sold"
    for one in sample.neighbours:
        leads = one.leads_to
        width = LENGTH.range(leads.finished_width_cm, imperial=imperial)
        weight = f", {CLOTH_WEIGHT.range(leads.g_per_m2, imperial=imperial)}" if leads.g_per_m2 else ""
        yield (
            f"{one.way}: {one.heddle}{'' if sample.owned else ', commonly sold'} ({THREADS.text(one.ends_per_cm, imperial=imperial)}), {one.firmness}: "
            f"{counted(leads.ends, 'end')}, {LENGTH.text(leads.width_in_heddle_cm, imperial=imperial)} in the heddle, {width} finished"
            f"{weight}"
        )
    there = {one.way for one in sample.neighbours}
    missing = [way for way in ("more open", "closer") if way not in there]
    if missing:
        yield f"no heddle {whose} is {' or '.join(missing)} than this one"
