"""The teacher's summary of a class in words: every student's figures, what to settle with whom, the yarn to buy in all.

Metres, and the yards beside them, are whole ones, rounded up; those of the project's units add up to the sums of what is printed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from clothwright.measure import CM_PER_YARD, Interval
from clothwright.planning import Verdict
from clothwright.planning.teaching.class_needs import CLOSE_CM, ClassNeeds, OwnYarn, Room, StudentNeeds, ToBuy
from clothwright.sheets.both_units import each_in_both
from clothwright.sheets.wording import (
    GRIST,
    LENGTH,
    THREADS,
    WEIGHT,
    YARN,
    Rounding,
    counted,
    literal,
    percent,
    plain_number,
    rounded,
)
from clothwright.yarn import Use

HEADS: Final = {
    "rows": "Every student",
    "settle": "To settle before the day",
    "buy": "Yarn to buy",
    "left_out": "Not worked out",
    "assumed": "What the figures stand on",
}
HEAD: Final = ("Student", "Heddle (reed)", "Ends", "Warp length", "Warp", "Weft", "Weft, low to high")
PRIVATE: Final = (
    "Names and looms of students stay on this machine: no file, bundle or archive of the project carries them."
)


def intro(needs: ClassNeeds) -> Iterator[str]:
    """What everybody weaves, and how many of them."""
    imperial = needs.imperial
    width, long = (LENGTH.text(cm, imperial=imperial) for cm in (needs.cloth_width_cm, needs.cloth_length_cm))
    sett = THREADS.text(needs.ends_per_cm, imperial=imperial)
    yield f"{literal(needs.piece)}: {width} × {long} finished, planned at {needs.heddle}, that is {sett}."
    waiting = sum(one.needs_a_word for one in needs.students)
    told = f"{counted(len(needs.students), 'student')}; {'nothing' if not waiting else counted(waiting, 'of them has', 'of them have')}"
    yield f"{told}{' to settle' if not waiting else ' something to settle'} before the day."


def rows(needs: ClassNeeds) -> Iterator[tuple[str, ...]]:
    """A row for each student; metres or yards first, as the project has them."""
    for one in needs.students:
        weft = one.weft_m()
        length = LENGTH.text(_warp_cm(one), imperial=needs.imperial, rounding=Rounding.UP)
        yield (
            literal(one.name),
            f"{one.heddle}{', own yarn' if one.own_yarn else ''}",
            str(one.sums.all_ends),
            length,
            _yarn_in_words(one.warp_m().expected, needs),
            _yarn_in_words(weft.expected, needs),
            _yarn_in_words(weft, needs),
        )


def _warp_cm(one: StudentNeeds) -> float:
    return one.sums.wound.expected * one.sums.units.cm


def _yarn_in_words(metres: float | Interval, needs: ClassNeeds) -> str:
    """Yarn in whole metres and in whole yards, the project's first: `303 m (332 yd)`, `261 to 296 m (286 to 324 yd)`."""
    span = metres if isinstance(metres, Interval) else Interval(metres, metres, metres)
    first, second = (_span(span, imperial) for imperial in (needs.imperial, not needs.imperial))
    return f"{first} ({second})"


def _span(metres: Interval, imperial: bool) -> str:
    whole = in_whole(metres, imperial)
    number = f"{whole.high:g}" if whole.low == whole.high else f"{whole.low:g} to {whole.high:g}"
    return f"{number}\u00a0{YARN.unit(imperial)}"


def in_whole(metres: Interval, imperial: bool) -> Interval:
    """Yarn up to whole metres, or whole yards."""
    unit = CM_PER_YARD / 100 if imperial else 1.0
    return Interval(*(float(math.ceil(one / unit - 1e-6)) for one in (metres.low, metres.expected, metres.high)))


# --- what to settle --------------------------------------------------------------------------------------------------


def to_settle(needs: ClassNeeds) -> Iterator[tuple[str, str]]:
    """Who needs a word before the day, and what to do."""
    for one in needs.students:
        for sentence in (*_room(one, needs), *_heddle(one, needs), *_own_yarn(one, needs), *_waste(one)):
            yield literal(one.name), sentence


def _room(one: StudentNeeds, needs: ClassNeeds) -> Iterator[str]:
    length = _Length(needs.imperial)
    wide = one.sums.width_in_heddle * one.sums.units.cm
    if one.room == Room.NOT_SAID:
        yield f"weaving width not said: ask for it; the warp stands {length(wide)} wide in her heddle."
    if one.room == Room.CLOSE:
        yield f"close: less than {length(CLOSE_CM)} is left on her loom; look that the outer ends run free."
    if one.room == Room.TOO_NARROW:
        assert one.loom_width_cm is not None  # a loom of no width is not too narrow
        finished = one.sums.finished_width * one.sums.units.cm
        yield (
            f"loom too narrow: it weaves {length(one.loom_width_cm)}. {one.sums.ends} ends fit, {length(wide)} in the heddle, "
            f"and finish about {length(finished)}, {length(one.narrower_cm)} narrower; her sheet is for these. "
            "Or lend her a wider loom."
        )


def _heddle(one: StudentNeeds, needs: ClassNeeds) -> Iterator[str]:
    if one.same_sett:
        return
    more = percent(abs(one.against_sett - 1))
    side = "closer" if one.against_sett > 1 else "more open"
    suits = "worth a sample" if one.worth_sampling else "too far from what the class yarn asks"
    yield (
        f"heddle {one.heddle} is {more} {side} than {needs.heddle}: with the class yarn “{one.firmness}”, {suits}. "
        f"Lend her one of {needs.heddle}; or {_other_yarn(one)}; or let her weave a sample first. Her sheet is for {one.heddle}."
    )


def _other_yarn(one: StudentNeeds) -> str:
    return f"give her {'thinner' if one.against_sett > 1 else 'thicker'} yarn"


def _own_yarn(one: StudentNeeds, needs: ClassNeeds) -> Iterator[str]:
    own = one.own_yarn
    if own is None or own.verdict == Verdict.ENOUGH:
        return
    need = f"she needs {YARN.range(own.need_m, imperial=needs.imperial)} of it"
    if own.have_m is None:
        yield f"brings yarn of her own, and how much is not said: {need}."
        return
    have = YARN.range(own.have_m, imperial=needs.imperial)
    short = YARN.text(own.need_m.high - own.have_m.low, imperial=needs.imperial, rounding=Rounding.UP)
    word = "close" if own.verdict == Verdict.TOO_CLOSE else "not enough"
    yield f"own yarn {word}: {need}, and has {have}. Have {short} of something that goes with it at hand."


def _waste(one: StudentNeeds) -> Iterator[str]:
    if not one.waste_said:
        yield "loom waste not said: it is taken as usual for such a loom; ask her to measure it."


class _Length:
    def __init__(self, imperial: bool) -> None:
        self.imperial = imperial

    def __call__(self, cm: float) -> str:
        return LENGTH.text(cm, imperial=self.imperial)


# --- what to buy -----------------------------------------------------------------------------------------------------


def to_buy(needs: ClassNeeds) -> Iterator[str]:
    """The yarn for everybody who brings none of her own, as a sum to add again."""
    for one in needs.to_buy:
        yield _sum(one, needs)
        yield from _balls(one, needs)
    if len(needs.to_buy) == 2 and needs.to_buy[0].yarns == needs.to_buy[1].yarns:
        weights = [_weight(one, needs.imperial) for one in needs.to_buy]
        in_all = _weight_in_words(sum(weights), needs.imperial)
        added = " + ".join(map(plain_number, weights))
        yield f"In all of {literal(', '.join(needs.to_buy[0].yarns))}: {added} = {in_all}."
    if own := sum(one.own_yarn is not None for one in needs.students):
        yield f"{counted(own, 'student brings', 'students bring')} other yarn, which is not in these sums."


def _balls(one: ToBuy, needs: ClassNeeds) -> Iterator[str]:
    if needs.ball_g and one.balls is not None and one.balls_each is not None:
        yield (
            f"{_name(one.use)}: {counted(one.balls, 'ball')} of {WEIGHT.text(needs.ball_g, imperial=needs.imperial)} wound off for everybody from one lot, "
            f"{counted(one.balls_each, 'ball')} if each student gets whole ones."
        )


def _sum(one: ToBuy, needs: ClassNeeds) -> str:
    each = [
        in_whole(_of(student, one.use), needs.imperial).high
        for student in needs.students
        if _takes(student.own_yarn, one.use)
    ]
    total = sum(each)
    in_all = _yarn_in_words(total * (CM_PER_YARD / 100 if needs.imperial else 1.0), needs)
    added = " + ".join(f"{value:g}" for value in each)
    at = "at the high figure, " if one.m.low < one.m.high else ""
    return (
        f"{_name(one.use)} ({literal(', '.join(one.yarns))}), {at}{added} = {in_all}; at "
        f"{GRIST.text(one.m_per_g, imperial=needs.imperial)} and with {percent(needs.margin)} to spare "
        f"{_weight_in_words(_weight(one, needs.imperial), needs.imperial)}."
    )


def _weight(one: ToBuy, imperial: bool) -> float:
    """What is bought in the unit shown, up to its next whole gram or tenth of an ounce."""
    unit = WEIGHT.imperial if imperial else WEIGHT.metric
    return round(rounded(one.grams / unit.size, unit.coarse, Rounding.UP), 1)


def _weight_in_words(weight: float, imperial: bool) -> str:
    unit = WEIGHT.imperial if imperial else WEIGHT.metric
    return WEIGHT.text(weight * unit.size, imperial=imperial, rounding=Rounding.UP)


def _of(student: StudentNeeds, use: Use) -> Interval:
    return student.warp_m() if use == Use.WARP else student.weft_m()


def _takes(own: OwnYarn | None, use: Use) -> bool:
    return own is None or own.use not in (use, Use.BOTH)


def _name(use: Use) -> str:
    return "Warp" if use == Use.WARP else "Weft"


def assumed(needs: ClassNeeds) -> list[str]:
    """What the figures stand on."""
    return each_in_both(needs.assumed)


def left_out(needs: ClassNeeds) -> Iterator[str]:
    """The students whose figures could not be worked out, and why."""
    for one in needs.left_out:
        yield str(one)
