"""Ways to finish well from half way: the same cloth from here on with something changed, planned anew, best first.

What is woven stays. What can still be changed is the rest: how it is beaten, which yarn it is of, where it stops, and what is
cut from the cloth that will then exist. A way that cuts is a layout found anew for the cloth as it is now believed: the stop is
the least at which the pieces have their length as surely as sizes are trusted. Nothing here moves the width: the warp is on.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np

from clothwright.layout import TooWide
from clothwright.pattern import sizes, versions
from clothwright.planning import Verdict, garment_of
from clothwright.planning.answer import layout_data
from clothwright.planning.fitting import fit
from clothwright.planning.job import Garment
from clothwright.planning.ways_out import garment_changes
from clothwright.project import ProblemsFound
from clothwright.project.garment import changed_pattern
from clothwright.project.pattern_parts import PatternPart
from clothwright.weaving.answer import WayThrough
from clothwright.weaving.borders import borders
from clothwright.weaving.reckoned import Reckoned
from clothwright.weaving.rest import HAIR, Rest, falls_on, grams_of_other, on_loom, rest_of
from clothwright.weaving.standing import Standing

#: How much lighter the rest may be beaten before it shows as another cloth. Common practice, no source.
MOST_LIGHTER: Final = 0.10
_STEP_CM: Final = 1.0


def ways_through(stands: Standing, reckoned: Reckoned, found: Verdict) -> tuple[WayThrough, ...]:
    """Every way out that leaves more than going on as it is, surest first; none where yarn and warp are enough."""
    warp_short = reckoned.warp is not None and reckoned.warp.verdict is Verdict.NOT_ENOUGH
    if not reckoned.yarns or (found is Verdict.ENOUGH and not warp_short) or not stands.still_to_weave_cm:
        return ()
    rest = rest_of(stands, reckoned, warp_short=warp_short)
    chance, spare = rest.fares(rest.end_cm)
    ways = [*_of_yarn(stands, rest), *_of_size(stands, rest), *_of_garment(stands, rest)]
    if warp_short:
        ways = [one for one in ways if one.stop_at_cm < rest.end_cm]
    better = [one for one in ways if one.spare_g > spare + 0.05 or (one.chance_enough or 0.0) > (chance or 0.0)]
    return tuple(sorted(better, key=lambda one: _how_good(rest, one)))


def _how_good(rest: Rest, one: WayThrough) -> tuple[bool, float, float]:
    return (not rest.is_enough(one.chance_enough, one.spare_g), -round(one.chance_enough or 0.0, 2), -one.spare_g)


# --- the yarn of the rest -----------------------------------------------------------------------------------------


def _of_yarn(stands: Standing, rest: Rest) -> Iterator[WayThrough]:
    yield from _lighter(stands, rest)
    yield from _goes_on_with(stands, rest)
    yield from _last_stretch(stands, rest)
    if stands.warped is not None and stands.warped.weighed.fitted is not None and rest.length_ratio is not None:
        yield from borders(stands, rest, stands.warped.weighed.fitted)


def _lighter(stands: Standing, rest: Rest) -> Iterator[WayThrough]:
    """The least lightening of the beat at which the yarn lasts, or the most the cloth bears where none is."""
    shares = [number / 100 for number in range(2, round(MOST_LIGHTER * 100) + 1)]
    enough = (rest.is_enough(*rest.fares(rest.end_cm, takes=1 - share)) for share in shares)
    share = rest.least(shares, enough) or MOST_LIGHTER
    chance, spare = rest.fares(rest.end_cm, takes=1 - share)
    picks = stands.log.picks[-1].per_cm if stands.log.picks else None
    counted = f", {picks * (1 - share):.2f} picks per cm instead of {picks:.2f}" if picks else ""
    yield WayThrough(
        what="Beat lighter",
        change=f"{share:.0%} fewer picks from here on{counted}",
        costs="the rest is more open, and may shrink a little more; beyond a tenth it would look like another cloth",
        chance_enough=chance,
        spare_g=spare,
        stop_at_cm=rest.end_cm,
    )


def _goes_on_with(stands: Standing, rest: Rest) -> Iterator[WayThrough]:
    """A weft in hand that the log does not name goes on where the short one ends, metre for metre."""
    wefts = {lot.name: lot for lot in stands.warped.job.yarns.weft} if stands.warped else {}
    this = wefts.get(rest.yarn.name)
    for name, lot in wefts.items():
        if name in stands.log.weighings or this is None:
            continue
        as_this = lot.grams * lot.expected_m_per_g / this.expected_m_per_g
        chance, spare = rest.fares(rest.end_cm, more_g=as_this)
        ends = rest.yarn.ends_at_cm.expected if rest.yarn.ends_at_cm else rest.end_cm
        yield WayThrough(
            what=f"Go on with {name}",
            change=f"where {rest.yarn.name} ends, at about {ends:.0f} cm",
            costs="it shows where the yarns differ; wash a piece of both first",
            chance_enough=chance,
            spare_g=spare,
            stop_at_cm=rest.end_cm,
        )


def _last_stretch(stands: Standing, rest: Rest) -> Iterator[WayThrough]:
    """Another yarn over the last of the cloth: the least stretch, with the pieces that lie in it."""
    lengths = [5.0 * number for number in range(1, 1 + int((rest.end_cm - rest.woven_cm) / 5))]
    found = rest.least(lengths, (rest.is_enough(*rest.fares(rest.end_cm, banded_cm=cm)) for cm in lengths))
    if found is None:
        return
    chance, spare = rest.fares(rest.end_cm, banded_cm=found)
    band = (rest.end_cm - found, rest.end_cm)
    falls = falls_on(stands, rest, [band])
    yield WayThrough(
        what=f"Another yarn over the last {found:g} cm",
        change=f"from {band[0]:g} cm on, of like thickness" + (f"; it falls on {falls}" if falls else ""),
        costs=grams_of_other(rest, found),
        chance_enough=chance,
        spare_g=spare,
        stop_at_cm=rest.end_cm,
        bands=(band,),
    )


# --- where it stops -----------------------------------------------------------------------------------------------


def _of_size(stands: Standing, rest: Rest) -> Iterator[WayThrough]:
    """A cloth without pieces woven shorter: as far as the yarn lasts as surely as is trusted."""
    if stands.warped is not None and stands.warped.job.garment is not None:
        return
    low, high = max(rest.woven_cm, rest.from_cm), rest.end_cm
    stops = [high - number for number in range(1, int(high - low) + 1)]
    stop = rest.least(stops, (rest.is_enough(*rest.fares(cm)) for cm in stops))
    if stop is None:
        return
    chance, spare = rest.fares(stop)
    finished = ""
    if rest.length_ratio is not None:
        ratio = float(np.median(rest.length_ratio))
        finished = f", about {stop * ratio:.0f} cm finished instead of {rest.end_cm * ratio:.0f}"
    yield WayThrough(
        what="Stop sooner",
        change=f"at {stop:g} cm instead of {rest.end_cm:g} on the loom{finished}",
        costs=f"{rest.end_cm - stop:g} cm of cloth",
        chance_enough=chance,
        spare_g=spare,
        stop_at_cm=stop,
    )


def _of_garment(stands: Standing, rest: Rest) -> Iterator[WayThrough]:
    """The garment laid anew on the cloth that will exist, as it is and with something changed."""
    warped = stands.warped
    garment = warped.job.garment if warped else None
    if warped is None or garment is None or rest.length_ratio is None or rest.finished_width is None:
        return
    anew = list(_cut_anew(stands, rest, "Lay the pieces anew", "on the cloth as it now is", "nothing", garment))
    yield from anew
    soonest = anew[0].stop_at_cm if anew else rest.end_cm
    yield from (one for one in _changed_cuts(stands, rest, garment) if one.stop_at_cm < soonest)


def _changed_cuts(stands: Standing, rest: Rest, garment: Garment) -> Iterator[WayThrough]:
    """The garment with something changed, laid anew."""
    costs = {
        "Cut what does not show from another cloth": "another cloth for them",
        "Let pieces be turned end for end": "only where the cloth looks the same both ways up",
        "Smaller seam allowances": "less cloth to let out, and more fraying; staystitch before cutting",
    }
    for what, change, other in garment_changes(garment):
        yield from _cut_anew(stands, rest, what, change, costs.get(what, "see the change"), other)
    for what, change, other in _other_cuts(stands):
        yield from _cut_anew(stands, rest, what, change, "another garment than was planned", other)


def _other_cuts(stands: Standing) -> Iterator[tuple[str, str, Garment]]:
    """The other sizes and versions that the pattern has."""
    assert stands.warped is not None
    project = stands.warped.job.as_typed
    pattern = project.pattern
    assert pattern is not None  # there is a garment
    every = changed_pattern(project, stands.drawings, every_size=True).every
    for field, what, names in (("version", "Another version", versions(every)), ("size", "Another size", sizes(every))):
        for name in names:
            if name != getattr(pattern, field):
                changed = _garment_with(stands, pattern.model_copy(update={field: name}))
                if changed is not None:
                    yield what, f"{field} {name}", changed


def _garment_with(stands: Standing, pattern: PatternPart) -> Garment | None:
    assert stands.warped is not None
    project = stands.warped.job.as_typed.model_copy(update={"pattern": pattern})
    try:
        return garment_of(project, stands.drawings)[0]
    except ProblemsFound:
        return None


def _cut_anew(
    stands: Standing, rest: Rest, what: str, change: str, costs: str, garment: Garment
) -> Iterator[WayThrough]:
    """A garment on the cloth this warp gives: the least stop at which its pieces have their length, if that is sooner."""
    assert stands.warped is not None
    assert rest.length_ratio is not None
    assert rest.finished_width is not None
    width = float(np.quantile(rest.finished_width, 1 - rest.trust_size))
    before = stands.warped.weighed.fitted
    asked = replace(garment.asked, kept=None)
    try:
        fitted = fit(replace(garment, asked=asked), width, _shortest, None, known=before.layout if before else None)
    except (ProblemsFound, TooWide):
        return
    length = fitted.wanted.length_cm
    stop = max(math.ceil(float(np.quantile(length / rest.length_ratio, rest.trust_size)) - HAIR), rest.woven_cm)
    if stop >= rest.end_cm - _STEP_CM:
        return
    chance, spare = rest.fares(stop)
    yield WayThrough(
        what=what,
        change=f"{change}; stop at {stop:g} cm instead of {rest.end_cm:g} on the loom, {length:.0f} cm finished",
        costs=costs,
        chance_enough=chance,
        spare_g=spare,
        stop_at_cm=float(stop),
        layout=layout_data(fitted.layout, fitted.outlines),
        outlines=on_loom(fitted, garment, float(np.median(rest.length_ratio))),
    )


def _shortest(_width_cm: float, length_cm: float) -> float:
    """The warp is on, so its width costs nothing any more: the shortest layout is the one that takes least weft."""
    return length_cm
