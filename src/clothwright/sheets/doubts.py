"""What contributes most to the doubt, and what to measure next, in words: for page, paper and command line alike."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from clothwright.measure import Interval
from clothwright.planning import Doubt, Plan, Swing, ToMeasure
from clothwright.sheets.wording import LENGTH, NINE_IN_TEN, WEIGHT, YARN, Kind, Rounding, chances, percent

#: A share of the variance from which an unknown is named.
_NAMED: Final = 0.01
_MOST_ROWS: Final = 9
#: Yarn set aside below this is not worth a figure, m.
_LITTLE_M: Final = 0.5

DOUBT_HEAD: Final = ("Unknown", "Left over", "Finished width", "Finished length", "Yarn set aside for it")
WHAT_A_BAR_MEANS: Final = (
    f"From low to high, {NINE_IN_TEN}, as far as this one moves it, with what goes along with it. In brackets how far "
    "low and high would still lie apart if it were known exactly. What hangs together is told of by both, so that these do not add up."
)


def doubt_sentence(plan: Plan) -> str:
    """Which unknowns contribute most, in a sentence; empty where there is no doubt to speak of."""
    parts = [
        f"{what} from {one.what}"
        for what, one in (
            ("what is left over", _most(plan, lambda one: one.margin_m)),
            ("the finished width", _most(plan, lambda one: one.finished_width_cm)),
            ("the finished length", _most(plan, lambda one: one.finished_length_cm)),
        )
        if one
    ]
    return f"Most of the doubt comes: in {', in '.join(parts)}." if parts else ""


def _most(plan: Plan, figure: Callable[[Doubt], Swing]) -> Doubt | None:
    found = max(plan.doubt, key=lambda one: figure(one).share, default=None)
    return found if found and figure(found).share >= _NAMED else None


def doubt_rows(plan: Plan, *, imperial: bool) -> list[list[str]]:
    """Each unknown with how far it moves each figure, most in what is left over first."""
    return [_row(one, imperial) for one in _worth_a_row(plan)]


def _worth_a_row(plan: Plan) -> list[Doubt]:
    named = [one for one in plan.doubt if max(_shares(one)) >= _NAMED]
    return named[:_MOST_ROWS]


def _shares(one: Doubt) -> tuple[float, float, float]:
    return one.margin_m.share, one.finished_width_cm.share, one.finished_length_cm.share


def _row(one: Doubt, imperial: bool) -> list[str]:
    aside = (
        YARN.text(one.sets_aside_m, imperial=imperial, rounding=Rounding.UP) if one.sets_aside_m > _LITTLE_M else "–"
    )
    figures = ((one.margin_m, YARN), (one.finished_width_cm, LENGTH), (one.finished_length_cm, LENGTH))
    return [one.what, *(_swing(swing, kind, imperial) for swing, kind in figures), aside]


def _swing(swing: Swing, kind: Kind, imperial: bool) -> str:
    if swing.share < _NAMED:
        return "–"
    return f"{kind.text(swing.spread, imperial=imperial)} [{kind.text(swing.if_known, imperial=imperial)}]"


def apart(interval: Interval) -> float:
    """How far low and high lie apart."""
    return interval.high - interval.low


def costs_words(one: ToMeasure, *, imperial: bool) -> str:
    """What a measurement costs, in words and in the units chosen."""
    time = f"{one.minutes:.0f} {'minute' if one.minutes == 1 else 'minutes'}"
    if not one.metres:
        return f"{time}, no yarn, {one.when}"
    yarn = YARN.text(one.metres, imperial=imperial, rounding=Rounding.UP)
    return (
        f"{time} and a night to dry, {yarn} of yarn, {WEIGHT.text(one.grams, imperial=imperial, rounding=Rounding.UP)}"
    )


def tells_words(one: ToMeasure, *, imperial: bool) -> str:
    """What a measurement would tell: the chance that the verdict is definite then, and the yarn a surer plan saves."""
    said = f"{chances(one.settles)} that the verdict is definite then".capitalize()
    if one.saves_m <= _LITTLE_M:
        return f"{said}."
    saved = YARN.text(one.saves_m, imperial=imperial, rounding=Rounding.DOWN)
    return f"{said}; the surer plan takes about {saved} less, at the same trust."


def narrows_words(margin: float, width: float, length: float) -> str:
    """What part of each doubt goes, in words."""
    said = {"left over": margin, "width": width, "length": length}
    return ", ".join(f"{word} {percent(round(share, 2))}" for word, share in said.items())
