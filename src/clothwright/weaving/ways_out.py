"""Ways to finish well from half way: the same cloth from here on with something changed, planned anew, best first.

What is woven stays. What can still be changed is the rest: how it is beaten, which yarn it is of, where it stops, and what is
cut from the cloth that will then exist. A way that cuts is a layout found anew for the cloth as it is now believed: the stop is
the least at which the pieces have their length as surely as sizes are trusted. Nothing here moves the width: the warp is on.

A weft band lies straight across the cloth, so on every piece that it crosses. Where it is to match left to right it is woven
once for every copy of a piece, at the same place of each; where a piece's end is woven already it cannot be banded any more.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from clothwright.layout import TooWide, outline_in_place
from clothwright.measure import Draws
from clothwright.pattern import Piece, Ring, often_of_other_cloth, sizes, versions
from clothwright.planning import PlacedOutline, Verdict, garment_of
from clothwright.planning.answer import layout_data
from clothwright.planning.fitting import Fitted, fit
from clothwright.planning.job import Garment
from clothwright.planning.ways_out import garment_changes
from clothwright.project import ProblemsFound
from clothwright.project.garment import changed_pattern
from clothwright.project.pattern_parts import PatternPart
from clothwright.weaving.answer import WayThrough, YarnAtLoom
from clothwright.weaving.reckoned import Reckoned
from clothwright.weaving.standing import Standing

#: How much lighter the rest may be beaten before it shows as another cloth. Common practice, no source.
MOST_LIGHTER: Final = 0.10
#: A border deeper than this share of its piece is a panel of other cloth, and told as none. Common practice, no source.
_DEEPEST: Final = 1 / 3
_STEP_CM: Final = 1.0
_MOST_BORDERS: Final = 3
_HAIR: Final = 1e-9


@dataclass(frozen=True)
class _Rest:
    """The rest of the cloth in every drawn cloth (by hand in one): of the yarn that is short first.

    `from_cm`: where it was weighed; `per_cm`: grams that a cm takes; `could_cm`: how far the warp reaches, None where it is not in doubt.
    """

    stands: Standing
    yarn: YarnAtLoom
    left_g: Draws
    per_cm: Draws
    from_cm: float
    woven_cm: float
    end_cm: float
    trust: float
    trust_size: float
    by_hand: bool
    length_ratio: Draws | None
    finished_width: Draws | None
    could_cm: Draws | None

    def fares(
        self, stop_cm: float, *, takes: float = 1.0, banded_cm: float = 0.0, more_g: float = 0.0
    ) -> tuple[float | None, float]:
        """Chance that yarn (and warp) last to a stop: with so much of the weft a cm, so much of the way in another yarn, and more of it."""
        rest = self.stands.rest_cm(self.yarn.name, self.from_cm, stop_cm)
        spare = self.left_g + more_g - self.per_cm * takes * max(0.0, rest - banded_cm)
        lasts = spare >= -_HAIR
        if self.could_cm is not None:
            lasts = lasts & (self.could_cm >= stop_cm - _HAIR)
        return (None if self.by_hand else float(np.mean(lasts))), float(np.median(spare))

    def is_enough(self, chance: float | None, spare_g: float) -> bool:
        """Whether that is as sure as is trusted; by hand, whether it is to spare."""
        return spare_g >= 0 if chance is None else chance >= self.trust

    def least(self, values: Sequence[float], enough: Iterable[bool]) -> float | None:
        """The first of some values that is enough."""
        return next((value for value, sure in zip(values, enough, strict=True) if sure), None)


def ways_through(stands: Standing, reckoned: Reckoned, found: Verdict) -> tuple[WayThrough, ...]:
    """Every way out that leaves more than going on as it is, surest first; none where yarn and warp are enough."""
    warp_short = reckoned.warp is not None and reckoned.warp.verdict is Verdict.NOT_ENOUGH
    if (found is Verdict.ENOUGH and not warp_short) or not stands.still_to_weave_cm:
        return ()
    rest = _rest(stands, reckoned, warp_short=warp_short)
    chance, spare = rest.fares(rest.end_cm)
    ways = [*_of_yarn(stands, rest), *_of_size(stands, rest), *_of_garment(stands, rest)]
    if warp_short:
        ways = [one for one in ways if one.stop_at_cm < rest.end_cm]
    better = [one for one in ways if one.spare_g > spare + 0.05 or (one.chance_enough or 0.0) > (chance or 0.0)]
    return tuple(sorted(better, key=lambda one: _how_good(rest, one)))


def _how_good(rest: _Rest, one: WayThrough) -> tuple[bool, float, float]:
    return (not rest.is_enough(one.chance_enough, one.spare_g), -round(one.chance_enough or 0.0, 2), -one.spare_g)


def _rest(stands: Standing, reckoned: Reckoned, *, warp_short: bool) -> _Rest:
    yarn = min(reckoned.yarns, key=lambda one: one.spare_g.expected / max(one.need_g.expected, 1e-6))
    made = reckoned.cloth
    drawn = reckoned.drawn
    return _Rest(
        stands=stands,
        yarn=yarn,
        left_g=drawn.left_g[yarn.name] if drawn else np.array([yarn.left_g]),
        per_cm=np.exp(drawn.log_g_per_cm[yarn.name]) if drawn else np.array([_by_hand_rate(yarn)]),
        from_cm=yarn.weighed_at_cm,
        woven_cm=stands.log.woven_cm,
        end_cm=stands.to_weave_cm,
        trust=stands.project.trust.yarn.expected,
        trust_size=stands.project.trust.size.expected,
        by_hand=reckoned.by_hand,
        length_ratio=made.length_ratio if made else None,
        finished_width=made.finished_width if made else None,
        could_cm=made.could_weave if made and warp_short else None,
    )


def _by_hand_rate(yarn: YarnAtLoom) -> float:
    return yarn.g_per_cm.expected if yarn.g_per_cm else 0.0


# --- the yarn of the rest -----------------------------------------------------------------------------------------


def _of_yarn(stands: Standing, rest: _Rest) -> Iterator[WayThrough]:
    yield from _lighter(stands, rest)
    yield from _goes_on_with(stands, rest)
    yield from _last_stretch(stands, rest)
    if stands.warped is not None and stands.warped.weighed.fitted is not None and rest.length_ratio is not None:
        yield from _borders(stands, rest, stands.warped.weighed.fitted)


def _lighter(stands: Standing, rest: _Rest) -> Iterator[WayThrough]:
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


def _goes_on_with(stands: Standing, rest: _Rest) -> Iterator[WayThrough]:
    """A weft in hand that the log does not name goes on where the short one ends, metre for metre."""
    wefts = {lot.name: lot for lot in stands.warped.job.yarns.weft} if stands.warped else {}
    this = wefts.get(rest.yarn.name)
    for name, lot in wefts.items():
        if name in stands.yarns or this is None:
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


def _last_stretch(stands: Standing, rest: _Rest) -> Iterator[WayThrough]:
    """Another yarn over the last of the cloth: the least stretch, with the pieces that lie in it."""
    lengths = [5.0 * number for number in range(1, 1 + int((rest.end_cm - rest.woven_cm) / 5))]
    found = rest.least(lengths, (rest.is_enough(*rest.fares(rest.end_cm, banded_cm=cm)) for cm in lengths))
    if found is None:
        return
    chance, spare = rest.fares(rest.end_cm, banded_cm=found)
    band = (rest.end_cm - found, rest.end_cm)
    falls = _falls_on(stands, rest, [band])
    yield WayThrough(
        what=f"Another yarn over the last {found:g} cm",
        change=f"from {band[0]:g} cm on, of like thickness" + (f"; it falls on {falls}" if falls else ""),
        costs=_grams_of_other(rest, found),
        chance_enough=chance,
        spare_g=spare,
        stop_at_cm=rest.end_cm,
        bands=(band,),
    )


def _grams_of_other(rest: _Rest, banded_cm: float) -> str:
    grams = math.ceil(float(np.quantile(rest.per_cm, rest.trust)) * banded_cm)
    return f"about {grams} g of another yarn, washed with a piece of this cloth first"


def _falls_on(stands: Standing, rest: _Rest, bands: Sequence[tuple[float, float]]) -> str:
    """The pieces that bands fall on, in words; nothing without a layout."""
    fitted = stands.warped.weighed.fitted if stands.warped else None
    if fitted is None or rest.length_ratio is None or stands.warped is None or stands.warped.job.garment is None:
        return ""
    ratio, squaring = float(np.median(rest.length_ratio)), stands.warped.job.garment.squaring_cm
    names: dict[str, int] = {}
    for one in fitted.outlines:
        low, high = min(x for x, _ in one.outline) + squaring, max(x for x, _ in one.outline) + squaring
        if any(low < to * ratio - 0.1 and high > start * ratio + 0.1 for start, to in bands):
            names[one.piece] = names.get(one.piece, 0) + 1
    return ", ".join(f"{name} ({count})" if count > 1 else name for name, count in names.items()) or "no piece"


# --- borders ------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _End:
    """One end of a piece: all its copies' ends on the finished cloth, as (place of the end, +1 where the piece lies beyond it)."""

    piece: Piece
    top: bool
    places: tuple[tuple[float, int], ...]

    @property
    def hem_cm(self) -> float:
        """How deep a hem is turned up at this end; nothing where there is none."""
        edge = self.piece.length_cm if self.top else 0.0
        depths = (
            one.allowance_cm or 0.0
            for one in self.piece.edges
            if one.hem and all(abs(x - edge) < (one.allowance_cm or 0.0) + 1.0 for x, _ in one.line)
        )
        return max(depths, default=0.0)

    def bands(self, depth_cm: float) -> tuple[tuple[float, float], ...]:
        """The stretches of finished cloth that a border of this depth takes, those that meet taken together."""
        every = sorted((at, at + depth_cm) if way > 0 else (at - depth_cm, at) for at, way in self.places)
        joined: list[tuple[float, float]] = []
        for start, end in every:
            if joined and start <= joined[-1][1] + _HAIR:
                joined[-1] = (joined[-1][0], max(end, joined[-1][1]))
            else:
                joined.append((start, end))
        return tuple(joined)


def _borders(stands: Standing, rest: _Rest, fitted: Fitted) -> Iterator[WayThrough]:
    """Bands of another yarn at an end of a piece, the same on every copy: facings and hems first, then those that cross least."""
    assert stands.warped is not None
    garment = stands.warped.job.garment
    assert garment is not None  # it has a layout
    assert rest.length_ratio is not None
    ratio = float(np.median(rest.length_ratio))
    found = [
        (end, way)
        for piece in garment.pieces
        for end in _ends(garment, fitted, piece)
        if (way := _border(stands, rest, end, ratio)) is not None
    ]
    found.sort(
        key=lambda pair: (not often_of_other_cloth(pair[0].piece.name), not pair[0].hem_cm, _length(pair[1].bands))
    )
    yield from (way for _, way in found[:_MOST_BORDERS])


def _length(bands: Iterable[tuple[float, float]]) -> float:
    return sum(end - start for start, end in bands)


def _ends(garment: Garment, fitted: Fitted, piece: Piece) -> Iterator[_End]:
    by_key = {(copy.piece, copy.number): copy for copy in garment.copies}
    lying = [one for one in fitted.layout.placed if one.piece == piece.name]
    for top in (False, True):
        places = []
        for one in lying:
            xs = [x for x, _ in outline_in_place(by_key[one.piece, one.copy], one)]
            far = top == (one.rotation_deg % 360 == 0)
            places.append((max(xs) + garment.squaring_cm, -1) if far else (min(xs) + garment.squaring_cm, 1))
        yield _End(piece, top, tuple(places))


def _border(stands: Standing, rest: _Rest, end: _End, ratio: float) -> WayThrough | None:
    """The least border at which the yarn lasts, where none of it is woven already; None where there is none."""
    woven = rest.woven_cm * ratio
    deepest = end.piece.length_cm if often_of_other_cloth(end.piece.name) else end.piece.length_cm * _DEEPEST
    depths = [number * _STEP_CM for number in range(2, 1 + int(deepest / _STEP_CM))]
    depths = [depth for depth in depths if all(start >= woven for start, _ in end.bands(depth))]
    lengths = [_length(end.bands(depth)) / ratio for depth in depths]
    enough = (rest.is_enough(*rest.fares(rest.end_cm, banded_cm=cm)) for cm in lengths)
    depth = rest.least(depths, enough)
    if depth is None:
        return None
    bands = tuple((start / ratio, finish / ratio) for start, finish in end.bands(depth))
    chance, spare = rest.fares(rest.end_cm, banded_cm=_length(bands))
    where = "top" if end.top else "foot"
    copies = "on every copy alike" if len(end.places) > 1 else "on its one copy"
    hem = " The hem turns it under." if 0 < depth <= end.hem_cm else ""
    at = ", ".join(f"{start:.0f} to {finish:.0f} cm" for start, finish in bands)
    return WayThrough(
        what=f"A band at the {where} of {end.piece.name}",
        change=f"{depth:g} cm finished in another yarn, {copies}, woven at {at}.{hem} It crosses {_falls_on(stands, rest, bands)}",
        costs=_grams_of_other(rest, _length(bands)),
        chance_enough=chance,
        spare_g=spare,
        stop_at_cm=rest.end_cm,
        bands=bands,
    )


# --- where it stops -----------------------------------------------------------------------------------------------


def _of_size(stands: Standing, rest: _Rest) -> Iterator[WayThrough]:
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


def _of_garment(stands: Standing, rest: _Rest) -> Iterator[WayThrough]:
    """The garment laid anew on the cloth that will exist, as it is and with something changed."""
    warped = stands.warped
    garment = warped.job.garment if warped else None
    if warped is None or garment is None or rest.length_ratio is None or rest.finished_width is None:
        return
    anew = list(_cut_anew(stands, rest, "Lay the pieces anew", "on the cloth as it now is", "nothing", garment))
    yield from anew
    soonest = anew[0].stop_at_cm if anew else rest.end_cm
    yield from (one for one in _changed_cuts(stands, rest, garment) if one.stop_at_cm < soonest)


def _changed_cuts(stands: Standing, rest: _Rest, garment: Garment) -> Iterator[WayThrough]:
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
    stands: Standing, rest: _Rest, what: str, change: str, costs: str, garment: Garment
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
    stop = max(math.ceil(float(np.quantile(length / rest.length_ratio, rest.trust_size)) - _HAIR), rest.woven_cm)
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


def on_loom(fitted: Fitted, garment: Garment, length_ratio: float) -> tuple[PlacedOutline, ...]:
    """The pieces where the weaver meets them: along the cloth under tension, across as finished, cm."""

    def moved(ring: Ring) -> Ring:
        return tuple(((x + garment.squaring_cm) / length_ratio, y + garment.trim_cm) for x, y in ring)

    return tuple(replace(one, outline=moved(one.outline)) for one in fitted.outlines)
