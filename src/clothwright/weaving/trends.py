"""How beat and width move along the cloth, in figures and words, and whether a mark was missed."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from clothwright.measure import Interval
from clothwright.weaving.answer import Rate, Trend
from clothwright.weaving.logged import Counted, Width
from clothwright.weaving.standing import Standing
from clothwright.weaving.stretches import Stretch, telling

#: A change smaller than this is not named. Common practice, no source.
_WORTH_NAMING: Final = 0.05
_NARROWER: Final = 0.01
#: Picks that differ by less have not changed: what counting tells apart. Common practice, no source.
_SAME_PICKS: Final = 0.03
#: Off the loom and marks disagree: a twentieth of a metre in two metres. The share asked at; common practice, no source.
MISSED_A_MARK: Final = 0.03


def trends(stands: Standing) -> tuple[Trend, ...]:
    """Grams per cm of every weft, picks per cm and width at the fell, each where it was measured twice."""
    picks = _picks_trend(stands.log.picks)
    weights = [
        _weight_trend(name, telling(stands.log.weighings[name], stands.woven_with(name)), picks)
        for name in stands.yarns
    ]
    return tuple(one for one in (*weights, picks, _width_trend(stands.log.widths)) if one is not None)


def _weight_trend(name: str, found: Sequence[Stretch], picks: Trend | None) -> Trend | None:
    if not found:
        return None
    told = tuple(Rate(name, one.before.woven_cm, one.after.woven_cm, one.g_per_cm, "g per cm") for one in found)
    used, length = sum(one.used_g for one in found[:-1]), sum(one.length_cm for one in found[:-1])
    if not used:
        return Trend(f"weft {name}", told, 0.0, f"{_stretch(found[-1])}.")
    before, last = used / length, found[-1].g_per_cm
    change = last / before - 1
    doubt = math.hypot(*(math.hypot(one.before.sd_g, one.after.sd_g) / max(one.used_g, 1e-9) for one in found[-2:]))
    named = abs(change) >= max(_WORTH_NAMING, 2 * doubt)
    return Trend(
        f"weft {name}", told, change, _weight_words(found[-1], before, change, picks if named else None, named)
    )


def _stretch(one: Stretch) -> str:
    return f"{one.g_per_cm:.2f} g a cm from {one.before.woven_cm:g} to {one.after.woven_cm:g} cm"


def _weight_words(last: Stretch, before: float, change: float, picks: Trend | None, named: bool) -> str:
    figures = f"{_stretch(last)}, {before:.2f} before ({change:+.0%})".replace("-", "−")
    if not named:
        return f"The beat is about as it was: {figures}."
    more = "heavier" if change > 0 else "lighter"
    if picks is not None and len(picks.rates) > 1 and abs(picks.change) < _SAME_PICKS:
        thick = "thicker" if change > 0 else "finer"
        return (
            f"The weft weighs {more} though the picks have hardly changed, so the yarn may be {thick} here: {figures}."
        )
    return f"The beat has grown {more}: {figures}."


def _picks_trend(found: Sequence[Counted]) -> Trend | None:
    if not found:
        return None
    told = tuple(Rate("picks", one.woven_cm - one.over_cm, one.woven_cm, one.per_cm, "per cm") for one in found)
    change = _last_against_before([one.per_cm for one in found])
    way = "closer" if change > 0 else "more open"
    words = f"{found[-1].per_cm:.2f} picks per cm at {found[-1].woven_cm:g} cm"
    if abs(change) >= _WORTH_NAMING:
        words += f", {way} than before ({change:+.0%})".replace("-", "−")
    return Trend("picks", told, change, f"{words}.")


def _width_trend(found: Sequence[Width]) -> Trend | None:
    if not found:
        return None
    told = tuple(Rate("width", one.woven_cm, one.woven_cm, one.width_cm, "cm") for one in found)
    change = _last_against_before([one.width_cm for one in found])
    words = f"{found[-1].width_cm:g} cm wide at the fell at {found[-1].woven_cm:g} cm"
    if abs(change) >= _NARROWER:
        words += f", {'narrower' if change < 0 else 'wider'} than before ({change:+.1%})".replace("-", "−")
    return Trend("width", told, change, f"{words}.")


def _last_against_before(values: Sequence[float]) -> float:
    if len(values) < 2:
        return 0.0
    return values[-1] / (sum(values[:-1]) / (len(values) - 1)) - 1


def missed_a_mark(stands: Standing, release: Interval | None) -> Iterator[str]:
    """Asks where the cloth measured off the loom is not what the marks say it should be.

    `release`: length off the loom over length under tension, as expected; without a plan nothing is known of it.
    """
    for one in stands.log.in_order:
        off = one.part.off_loom.length if one.part.off_loom else None
        if off is None or not stands.log.woven_cm:
            continue
        marks = stands.log.woven_cm
        expected = marks * (release.expected if release else 1.0)
        apart = off.cm / expected - 1
        within = release and marks * release.low <= off.cm <= marks * release.high
        if abs(apart) > MISSED_A_MARK and not within:
            let_go = "" if release else " Some of it goes when tension is let go."
            yield (
                f"{one.key}: {off} off the loom, where the marks add up to {marks:g} cm and about {expected:.0f} cm was expected. "
                f"Missed a mark, or counted one twice?{let_go}"
            )
