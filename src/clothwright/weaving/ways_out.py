"""Ways to finish well from half way: the same cloth from here on with something changed, planned anew, best first.

What is woven stays. What can still be changed is the rest: how it is beaten, which yarn it is of, where it stops, and what is
cut from the cloth that will then exist. Where no way that keeps to this yarn reaches by itself, two are taken together.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clothwright.planning import Verdict
from clothwright.weaving.answer import WayThrough
from clothwright.weaving.borders import borders
from clothwright.weaving.cut_anew import ways_to_cut
from clothwright.weaving.reckoned import Reckoned
from clothwright.weaving.rest import MOST_LIGHTER, Rest, falls_on, grams_of_other, in_words, rest_of
from clothwright.weaving.standing import Standing
from clothwright.weaving.two_at_once import two_at_once


def ways_through(stands: Standing, reckoned: Reckoned, found: Verdict) -> tuple[WayThrough, ...]:
    """Every way out that leaves more than going on as it is, surest first; none where yarn and warp are enough."""
    warp_short = reckoned.warp is not None and reckoned.warp.verdict is Verdict.NOT_ENOUGH
    if not reckoned.yarns or (found is Verdict.ENOUGH and not warp_short) or not stands.still_to_weave_cm:
        return ()
    rest = rest_of(stands, reckoned, warp_short=warp_short)
    chance, spare = rest.fares(rest.end_cm)
    ways = [*_of_yarn(stands, rest), *_of_size(stands, rest), *ways_to_cut(stands, rest)]
    ways += two_at_once(stands, rest, ways)
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
    share = rest.least_lighter(rest.end_cm) or MOST_LIGHTER
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
            another_yarn=True,
        )


def _last_stretch(stands: Standing, rest: Rest) -> Iterator[WayThrough]:
    """Another yarn over the last of the cloth: the least stretch, with the pieces that lie in it."""
    end = rest.its_end_cm
    lengths = [5.0 * number for number in range(1, 1 + int((end - rest.woven_cm) / 5))]
    taken = (rest.taken_from_it([(end - cm, end)]) for cm in lengths)
    found = rest.least(lengths, (rest.is_enough(*rest.fares(rest.end_cm, banded_cm=cm)) for cm in taken))
    if found is None:
        return
    band = (end - found, end)
    chance, spare = rest.fares(rest.end_cm, banded_cm=rest.taken_from_it([band]))
    pieces = falls_on(stands, rest, [band])
    yield WayThrough(
        what=f"Another yarn over the last {found:g} cm" + ("" if end == rest.end_cm else f" before {end:g} cm"),
        change=f"from {band[0]:g} cm on, of like thickness"
        + (f"; it falls on {in_words(pieces)}" if pieces is not None else ""),
        costs=grams_of_other(rest, found),
        chance_enough=chance,
        spare_g=spare,
        stop_at_cm=rest.end_cm,
        bands=(band,),
        falls_on=tuple(pieces or ()),
        another_yarn=True,
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
