"""The garment laid anew on the cloth this warp gives: as it is, with something changed, in another size or version.

The stop is the least at which the pieces have their length as surely as sizes are trusted. Nothing here moves the width: the warp is on.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np

from clothwright.layout import TooWide
from clothwright.pattern import sizes, versions
from clothwright.planning import garment_of
from clothwright.planning.answer import layout_data
from clothwright.planning.job import Garment
from clothwright.planning.pieces.fitting import fit
from clothwright.planning.ways_out import garment_changes
from clothwright.project import ProblemsFound
from clothwright.project.parts.pattern_parts import PatternPart
from clothwright.project.pattern.garment import changed_pattern
from clothwright.weaving.answer import WayThrough
from clothwright.weaving.rest import HAIR, Rest, on_loom, turned
from clothwright.weaving.standing import Standing

_STEP_CM: Final = 1.0
_COSTS: Final = {
    "Cut what does not show from another cloth": "another cloth for them",
    "Let pieces be turned end for end": "only where the cloth looks the same both ways up",
    "Smaller seam allowances": "less cloth to let out, and more fraying; staystitch before cutting",
}


@dataclass(frozen=True)
class Cut:
    """A garment as it would be cut: what to do, what that changes and costs, and what of the pattern has to be said anew."""

    what: str
    change: str
    costs: str
    garment: Garment
    of_pattern: dict[str, str] = field(default_factory=dict)


def ways_to_cut(stands: Standing, rest: Rest) -> Iterator[WayThrough]:
    """The garment laid anew on the cloth that will exist, as it is and with something changed; nothing for a cloth without pieces."""
    garment = garment_on(stands, rest)
    if garment is None:
        return
    as_it_is = Cut("Lay the pieces anew", "on the cloth as it now is", "nothing", garment)
    anew = cut_anew(stands, rest, as_it_is)
    yield from [anew] if anew else []
    soonest = anew.stop_at_cm if anew else rest.end_cm
    for cut in (*_changed(garment), *_other_cuts(stands)):
        way = cut_anew(stands, rest, cut)
        if way is not None and way.stop_at_cm < soonest:
            yield way


def two_changes(stands: Standing, rest: Rest) -> Iterator[WayThrough]:
    """The garment with two things changed at once, laid anew."""
    garment = garment_on(stands, rest)
    for one in _changed(garment) if garment else ():
        rank = list(_COSTS).index(one.what)
        for other in _changed(one.garment):
            if list(_COSTS).index(other.what) <= rank:
                continue
            what = f"{one.what}, and {other.what[0].lower()}{other.what[1:]}"
            both = Cut(
                what,
                f"{one.change}; {other.change}",
                f"{one.costs}; {other.costs}",
                other.garment,
                one.of_pattern | other.of_pattern,
            )
            way = cut_anew(stands, rest, both)
            yield from [way] if way else []


def garment_on(stands: Standing, rest: Rest) -> Garment | None:
    """The garment that the cloth on the loom is for, where its size is known."""
    if stands.warped is None or rest.length_ratio is None or rest.finished_width is None:
        return None
    return stands.warped.job.garment


def _changed(garment: Garment) -> Iterator[Cut]:
    """The garment with something changed."""
    for what, change, other in garment_changes(garment):
        of_pattern = {"one_way": "no"} if what.startswith("Let pieces") else {}
        yield Cut(what, change, _COSTS[what], other, of_pattern)


def _other_cuts(stands: Standing) -> Iterator[Cut]:
    """The other sizes and versions that the pattern has."""
    assert stands.warped is not None
    project = stands.warped.job.as_typed
    pattern = project.pattern
    assert pattern is not None  # there is a garment
    every = changed_pattern(project, stands.drawings, every_size=True).every
    for part, what, names in (("version", "Another version", versions(every)), ("size", "Another size", sizes(every))):
        for name in names:
            if name != getattr(pattern, part):
                changed = _garment_with(stands, pattern.model_copy(update={part: name}))
                if changed is not None:
                    yield Cut(what, f"{part} {name}", "another garment than was planned", changed, {part: name})


def _garment_with(stands: Standing, pattern: PatternPart) -> Garment | None:
    assert stands.warped is not None
    project = stands.warped.job.as_typed.model_copy(update={"pattern": pattern})
    try:
        return garment_of(project, stands.drawings)[0]
    except ProblemsFound:
        return None


def cut_anew(stands: Standing, rest: Rest, cut: Cut) -> WayThrough | None:
    """A garment on the cloth this warp gives: the least stop at which its pieces have their length; None where that is no sooner."""
    assert stands.warped is not None
    assert rest.length_ratio is not None
    assert rest.finished_width is not None
    width = float(np.quantile(rest.finished_width, 1 - rest.trust_size))
    before, planned = stands.warped.weighed.fitted, stands.warped.job.garment
    assert planned is not None
    asked = replace(cut.garment.asked, kept=None)
    try:
        known = before.layout if before else None
        fitted = fit(replace(cut.garment, asked=asked), width, _shortest, None, known=known)
    except (ProblemsFound, TooWide):
        return None
    length = fitted.wanted.length_cm
    stop = max(math.ceil(float(np.quantile(length / rest.length_ratio, rest.trust_size)) - HAIR), rest.woven_cm)
    if stop >= rest.end_cm - _STEP_CM:
        return None
    chance, spare = rest.fares(stop)
    return WayThrough(
        what=cut.what,
        change=f"{cut.change}; stop at {stop:g} cm instead of {rest.end_cm:g} on the loom, {length:.0f} cm finished",
        costs=cut.costs,
        chance_enough=chance,
        spare_g=spare,
        stop_at_cm=float(stop),
        layout=layout_data(fitted.layout, fitted.outlines),
        outlines=on_loom(fitted, cut.garment, float(np.median(rest.length_ratio))),
        other_cloth=_moved(planned, cut),
        of_pattern=cut.of_pattern,
        turned=turned(fitted),
    )


def _moved(planned: Garment, cut: Cut) -> tuple[str, ...]:
    """The pieces of the plan that the cut leaves to another cloth; none of another size or version, whose pieces are others."""
    if {"size", "version"} & cut.of_pattern.keys():
        return ()
    stay = {piece.name for piece in cut.garment.pieces}
    return tuple(dict.fromkeys(one.panel_of or one.name for one in planned.pieces if one.name not in stay))


def _shortest(_width_cm: float, length_cm: float) -> float:
    """The warp is on, so its width costs nothing any more: the shortest layout is the one that takes least weft."""
    return length_cm
