"""Ways out when the yarn may not last: the same question with something changed, planned anew, best first."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from clothwright.layout import TooWide
from clothwright.pattern import Piece, often_of_other_cloth
from clothwright.planning.answer import WayOut
from clothwright.planning.job import Garment, Job, Wanted, sett_candidates
from clothwright.project import ProblemsFound

_SMALLER_STEP_CM: Final = 1.0
_MOST_CUT_SHARE: Final = 0.15
_LOOSER_BY: Final = (1.05, 1.35)
_WORTH_SAYING_M: Final = 0.5

#: How a changed job fares: chance that the yarn lasts, and metres to spare.
Fares = Callable[[Job], tuple[float, float]]


@dataclass(frozen=True)
class Change:
    """A changed job and what to say of it."""

    what: str
    change: str
    job: Job


def ways_out(job: Job, wanted: Wanted, fares: Fares, trust: float, spare_m: float) -> tuple[WayOut, ...]:
    """Every way out that can be planned and leaves more than `spare_m`, best first."""
    found = [way for change in _changes(job, wanted, fares, trust) if (way := _tried(change, fares))]
    return best_first(way for way in found if way.spare_m > spare_m + _WORTH_SAYING_M)


def best_first(ways: Iterable[WayOut]) -> tuple[WayOut, ...]:
    """Most certain first, then the one with most to spare."""
    return tuple(sorted(ways, key=lambda way: (-round(way.chance_enough, 2), -way.spare_m)))


def _tried(change: Change, fares: Fares) -> WayOut | None:
    try:
        chance, spare = fares(change.job)
    except (ProblemsFound, TooWide):
        return None
    return WayOut(change.what, change.change, chance, spare)


def _changes(job: Job, wanted: Wanted, fares: Fares, trust: float) -> Iterator[Change]:
    bare = replace(job, on_warp_sample_cm=0.0)
    if job.on_warp_sample_cm:
        yield Change("Leave out the on-warp sample", f"no sample of {job.on_warp_sample_cm:g} cm on this warp", bare)
    if job.garment is None:
        yield from _smaller(job, wanted, fares, trust)
        if job.on_warp_sample_cm:
            yield from _smaller(bare, wanted, fares, trust, also=", and no on-warp sample")
    else:
        yield from _garment_changes(job, job.garment)
    yield from _looser(job)


def _smaller(job: Job, wanted: Wanted, fares: Fares, trust: float, also: str = "") -> Iterator[Change]:
    """The least narrowing, and the least shortening, at which the yarn lasts with the trust asked."""
    for what, side, of in (("narrower", "width_cm", wanted.width_cm), ("shorter", "length_cm", wanted.length_cm)):
        size = _least_cut(job, wanted, side, of, fares, trust)
        smaller = job.asking(replace(wanted, **{side: size}))
        change = f"{size:g} cm instead of {of:g} cm finished{also}"
        yield Change(f"Weave the cloth {what}{also}", change, smaller)


def _least_cut(job: Job, wanted: Wanted, side: str, of: float, fares: Fares, trust: float) -> float:
    """By halving between whole-cm cuts: the largest size that is enough, at most 15 % off."""
    most = max(1, math.floor(of * _MOST_CUT_SHARE / _SMALLER_STEP_CM))
    low, high = 1, most
    while low < high:
        middle = (low + high) // 2
        enough = fares(job.asking(replace(wanted, **{side: of - middle * _SMALLER_STEP_CM})))[0] >= trust
        low, high = (low, middle) if enough else (middle + 1, high)
    return of - low * _SMALLER_STEP_CM


def _garment_changes(job: Job, garment: Garment) -> Iterator[Change]:
    return (Change(what, change, replace(job, garment=other)) for what, change, other in garment_changes(garment))


def garment_changes(garment: Garment) -> Iterator[tuple[str, str, Garment]]:
    """What could be changed about a garment as it is: what to do, what that changes, and the garment then."""
    hidden = [piece for piece in garment.pieces if often_of_other_cloth(piece.panel_of or piece.name)]
    if hidden and len(hidden) < len(garment.pieces):
        rest = tuple(piece for piece in garment.pieces if piece not in hidden)
        names = ", ".join(piece.name for piece in hidden)
        yield "Cut what does not show from another cloth", names, replace(garment, pieces=rest)
    if garment.one_way or any(piece.one_way for piece in garment.pieces):
        turned = tuple(replace(piece, one_way=False) for piece in garment.pieces)
        free = replace(garment, one_way=False, pieces=turned)
        yield "Let pieces be turned end for end", "if the cloth looks the same both ways up", free
    trimmed = tuple(map(_narrower_allowance, garment.pieces))
    if trimmed != garment.pieces:
        change = "5 mm less all round, where every edge carries an allowance of 15 mm or so"
        yield "Smaller seam allowances", change, replace(garment, pieces=trimmed)


def _narrower_allowance(piece: Piece) -> Piece:
    """The piece with 5 mm less all round."""
    less = piece.polygon.buffer(-0.5, join_style="mitre")
    if less.geom_type != "Polygon" or less.is_empty:
        return piece
    return replace(piece, outline=tuple(less.exterior.coords)[:-1])


def _looser(job: Job) -> Iterator[Change]:
    """The next heddles with fewer ends, as far as the yarn makes cloth of them."""
    for heddle, one in sett_candidates(job.as_typed, job.yarns):
        if _LOOSER_BY[0] <= job.heddle.per_cm / heddle.per_cm <= _LOOSER_BY[1]:
            change = f"{heddle.name} instead of {job.heddle.name}: {one.firmness}; the sample does not speak for it"
            yield Change("A more open sett", change, job.at(heddle))


def second_yarn(slack_m: np.ndarray, weft_m: np.ndarray, trust: float) -> WayOut | None:
    """A second yarn in weft bands from the start: the least share of the picks at which this yarn lasts.

    None where nothing is missing, where there may be no weft at all (a warp shorter than its waste), or too much is asked.
    """
    missing, least_weft = float(np.quantile(-slack_m, trust)), float(np.quantile(weft_m, 1 - trust))
    if missing <= 0 or least_weft <= 0:
        return None
    share = math.ceil(20 * missing / least_weft) / 20
    if share > 0.6:
        return None
    left = slack_m + share * weft_m
    other = math.ceil(share * float(np.quantile(weft_m, trust)))
    what = "A second yarn in weft bands from the start"
    change = f"{share:.0%} of the picks in another yarn of like thickness, about {other} m of it"
    return WayOut(what, change, float(np.mean(left >= 0)), float(np.median(left)))
