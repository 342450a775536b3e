"""The three ways a seamline is altered: spread or folded across the grain, a stretch of it moved, a corner pulled.

Each gives the line before, with more corners where it will bend, and after, corner by corner the same. The theory stands in
`altering`. Lengths are centimetres, x along the grain.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from shapely.geometry import LineString
from shapely.geometry import Point as ShapelyPoint

from clothwright.pattern.seamline import CORNER_DEG, Corners, Run, Seamline, shares_along, without_repeats

#: Trueing a line that crosses at a slant: over twice what is added, 4 to 12 cm to each side. Common practice, no source.
_TRUED: Final = (4.0, 12.0)
_STEP_CM: Final = 0.25
_STEPS: Final = 32
#: A line within this of the grain needs no trueing, degrees.
_ALONG_THE_GRAIN_DEG: Final = 0.5
_HARD_CM: Final = 0.05
_CLOSE_CM: Final = 0.5
#: Folding a line needs this much of it for each cm folded away, so that it does not run back on itself.
_FOLD_NEEDS: Final = 1.6
#: A seam that runs on without a corner is eased in over this length at that end, cm, or half the seam.
_EASED_CM: Final = 8.0
_MITRE: Final = 2.0


class MoveRefused(ValueError):
    """An alteration that the line cannot take; the message says why, without the piece's name."""


@dataclass(frozen=True, eq=False)
class Moved:
    """A seamline before and after, corner by corner; `eased`: seams that had to be eased in where they have no corner."""

    before: Seamline
    after: Seamline
    eased: tuple[str, ...] = ()


# --- lengthened and shortened ------------------------------------------------------------------------------------


def spread(line: Seamline, at_cm: float, by_cm: float) -> Moved:
    """The line cut across the grain at `at_cm` and spread by `by_cm`, or folded there if that is below nothing, then trued."""
    at_cm = _off_the_corners(line, at_cm)
    stretches = _trued_stretches(line, at_cm, by_cm)
    stops = [stop for one in stretches for stop in one.stops]
    before = line.with_corners_at(stops)
    shift = np.where(before.corners[:, 0] > at_cm, float(by_cm), 0.0)
    for one in stretches:
        inside = (before.distances - one.start) % before.around_cm
        on = inside <= one.long + 1e-9
        share = np.clip(inside[on] / one.long, 0.0, 1.0)
        shift[on] = by_cm * _smooth(share if one.upwards else 1 - share)
    return Moved(before, before.moved(before.corners + np.column_stack((shift, np.zeros(len(shift))))))


def beyond(points: Corners, at_cm: float, by_cm: float) -> Corners:
    """How far points inside a piece move when it is spread, or folded, at a line across the grain."""
    if by_cm >= 0:
        along = by_cm * (points[:, 0] > at_cm)
    else:
        along = -np.clip(points[:, 0] - (at_cm + by_cm / 2), 0.0, -by_cm)
    return np.column_stack((along, np.zeros(len(points))))


@dataclass(frozen=True)
class _Stretch:
    """A stretch of the line round a crossing, over which what is added is shared out; `upwards`: it crosses up the grain."""

    start: float
    long: float
    upwards: bool

    @property
    def stops(self) -> list[float]:
        """Where it needs corners."""
        count = max(_STEPS, int(self.long / _STEP_CM) + 1)
        return [self.start + self.long * share for share in np.linspace(0.0, 1.0, count + 1)]


def _off_the_corners(line: Seamline, at_cm: float) -> float:
    """The place of the line across, moved by a hair where it goes through a corner."""
    return at_cm + 1e-6 if np.abs(line.corners[:, 0] - at_cm).min() < 1e-7 else at_cm


def _trued_stretches(line: Seamline, at_cm: float, by_cm: float) -> list[_Stretch]:
    """The stretches round every crossing, none over a corner, an end of an edge, or half-way to the next crossing."""
    x, following = line.corners[:, 0], np.roll(line.corners, -1, axis=0)
    crossing = np.flatnonzero((x - at_cm) * (following[:, 0] - at_cm) < 0)
    if not len(crossing):
        raise MoveRefused("the line across does not meet it")
    share = (at_cm - x[crossing]) / (following[crossing, 0] - x[crossing])
    steps = following[crossing] - line.corners[crossing]
    places = line.distances[crossing] + share * np.linalg.norm(steps, axis=1)
    found = []
    for number, place in enumerate(places):
        gaps = [(places - place) % line.around_cm, (place - places) % line.around_cm]
        ahead, back = (float(np.delete(gap, number).min(initial=line.around_cm)) / 2 for gap in gaps)
        slant = np.degrees(np.arctan2(abs(steps[number, 1]), abs(steps[number, 0])))
        found.append(_stretch(line, float(place), (back, ahead), float(slant), by_cm, bool(steps[number, 0] > 0)))
    return found


def _stretch(
    line: Seamline, place: float, room: tuple[float, float], slant_deg: float, by_cm: float, upwards: bool
) -> _Stretch:
    stops = np.concatenate((line.distances[np.abs(line.turns_deg) >= CORNER_DEG], _ends(line)))
    reach = min(max(2 * abs(by_cm), _TRUED[0]), _TRUED[1])
    if slant_deg <= _ALONG_THE_GRAIN_DEG:
        reach = _HARD_CM if by_cm > 0 else abs(by_cm)
    back = min(reach, room[0], *((place - stops) % line.around_cm)) if len(stops) else min(reach, room[0])
    ahead = min(reach, room[1], *((stops - place) % line.around_cm)) if len(stops) else min(reach, room[1])
    if by_cm < 0 and back + ahead < _FOLD_NEEDS * -by_cm:
        raise MoveRefused("the line across lies too near a corner for so much to be folded away there")
    return _Stretch(place - back, max(back + ahead, 1e-3), upwards)


def _ends(line: Seamline) -> Corners:
    return line.distances[[number for run in line.runs for number in (run.first, run.last)]]


def _smooth(share: Corners) -> Corners:
    """From nothing to all without a kink at either end."""
    return share * share * (3 - 2 * share)


# --- a stretch moved ---------------------------------------------------------------------------------------------

#: How much of the change each place of a run takes, by its share from the run's first corner to its last.
Taking = Callable[[Corners], Corners]


def with_room(line: Seamline, seam: str | None, by_cm: float) -> Seamline:
    """The line with corners close together along a seam, and beside its ends as far as the lines there may be cut off.

    What lies beside the line follows the stretch between two corners evenly, so long straight stretches must be short where
    only a part of them moves.
    """
    runs = [run for run in line.runs if run.edge.seam == seam]
    reach = 4 * by_cm + 1.0
    stops: list[float] = []
    for run in runs:
        start, end = line.distances[run.first], line.distances[run.last]
        long = (end - start) % line.around_cm or line.around_cm
        stops += [start + long * share for share in np.linspace(0, 1, int(long / _CLOSE_CM) + 2)]
        for off in (_HARD_CM, *np.arange(_STEP_CM, reach, _STEP_CM)):
            stops += [start - off, end + off]
    return line.with_corners_at(stops)


def move_runs(
    line: Seamline, runs: Sequence[tuple[Run, Taking]], by_cm: float, direction: tuple[float, float] | None
) -> Moved:
    """The runs moved outwards by `by_cm`, or in a direction; the lines beside them run on to meet them, or are cut off there."""
    shift, taken = np.zeros_like(line.corners), np.zeros(len(line.corners), dtype=bool)
    eased: list[str] = []
    for run, taking in runs:
        numbers = line.of(run)
        weight = taking(line.shares(numbers))
        weight = weight * _eased(line, run, [other for other, _ in runs], weight, eased)
        way = _outwards(line.corners[numbers]) if direction is None else np.array([direction])
        own = by_cm * weight[:, None] * way
        again = taken[numbers][:, None]
        shift[numbers] = np.where(again, (shift[numbers] + own) / 2, own)
        taken[numbers] = True
    places = line.corners + shift
    for stretch in _stretches(line, [run for run, _ in runs]):
        _meet(line, places, stretch)
    return Moved(line, line.moved(places), tuple(dict.fromkeys(eased)))


def _outwards(run: Corners) -> Corners:
    """Unit steps to the right of a stretch at each of its points, so that sides moved by them stay parallel."""
    steps = np.diff(run, axis=0)
    steps = steps / np.maximum(np.linalg.norm(steps, axis=1, keepdims=True), 1e-12)
    right = np.column_stack((steps[:, 1], -steps[:, 0]))
    ahead, back = np.vstack((right, right[-1:])), np.vstack((right[:1], right))
    both = ahead + back
    long = np.maximum((both * ahead).sum(axis=1, keepdims=True), 2 / _MITRE**2)
    return np.asarray(both / long)


def _eased(line: Seamline, run: Run, moving: list[Run], weight: Corners, eased: list[str]) -> Corners:
    """What is left of the change near an end where the line runs on without a corner into one that does not move."""
    numbers = line.of(run)
    along = line.shares(numbers)
    long = float(np.linalg.norm(np.diff(line.corners[numbers], axis=0), axis=1).sum())
    reach = min(_EASED_CM, long / 2) / max(long, 1e-9)
    factor = np.ones(len(numbers))
    for end, number, share in ((0, run.first, along), (-1, run.last, 1 - along)):
        on = any(number in (other.first, other.last) for other in moving if other is not run)
        if not on and abs(line.turns_deg[number]) < CORNER_DEG and weight[end] > 0:
            factor = factor * _smooth(np.clip(share / reach, 0.0, 1.0))
            eased.append(run.edge.seam or "")
    return factor


def _stretches(line: Seamline, runs: Sequence[Run]) -> list[list[int]]:
    """The runs put together where one ends where another begins."""
    left = [(run.first, run.last, list(line.of(run))) for run in runs]
    joined: list[tuple[int, int, list[int]]] = []
    while left:
        first, last, numbers = left.pop(0)
        while True:
            on = next((one for one in left if one[0] == last and one[1] != first), None)
            before = next((one for one in left if one[1] == first and one[0] != last), None)
            if on is not None:
                left.remove(on)
                last, numbers = on[1], numbers + on[2][1:]
            elif before is not None:
                left.remove(before)
                first, numbers = before[0], before[2] + numbers[1:]
            else:
                break
        joined.append((first, last, numbers))
    return [[int(n) for n in numbers] for _, _, numbers in joined]


def _meet(line: Seamline, places: Corners, numbers: list[int]) -> None:
    """Bring both ends of a moved stretch to where the lines beside it meet it, on or beyond their ends."""
    count = len(line.corners)
    for way, own in ((-1, numbers), (1, numbers[::-1])):
        end = own[0]
        if np.linalg.norm(places[end] - line.corners[end]) < 1e-9:
            continue
        beside = _beside(line, end, way, count - len(numbers) + 2)
        _join(line, places, own, beside)


def _beside(line: Seamline, end: int, way: int, most: int) -> list[int]:
    """The corners from an end of a stretch along the line beside it, up to its next corner."""
    count, found = len(line.corners), [end]
    while len(found) < most:
        found.append((found[-1] + way) % count)
        if abs(line.turns_deg[found[-1]]) >= CORNER_DEG:
            break
    return found


def _join(line: Seamline, places: Corners, own: list[int], beside: list[int]) -> None:
    """Where the moved stretch and the line beside it meet, from the end they share; what lies beyond goes to that place."""
    end = own[0]
    moved = places[own]
    still = line.corners[beside]
    reach = 8 * float(np.linalg.norm(places[end] - line.corners[end])) + 1.0
    one, two = _run_on(moved, reach), _run_on(still, reach)
    meeting = _nearest_meeting(one, two, places[end])
    if meeting is None:
        raise MoveRefused("at one of its ends the line beside it does not reach it; move it less")
    for numbers, extended in ((own, one), (beside, two)):
        at = LineString(extended).project(ShapelyPoint(meeting)) - reach
        along = np.concatenate(([0.0], np.cumsum(np.linalg.norm(np.diff(extended[1:], axis=0), axis=1))))
        passed = [n for n, far in zip(numbers, along, strict=True) if far <= at + 1e-9]
        if len(passed) >= len(numbers):
            raise MoveRefused("nothing would be left of it, or of the line beside it; move it less")
        places[[end, *passed]] = meeting


def _run_on(line: Corners, reach: float) -> Corners:
    """A line run on straight before its first point."""
    clean = without_repeats(line)
    step = clean[0] - clean[1]
    return np.vstack((line[0] + step / np.linalg.norm(step) * reach, line))


def _nearest_meeting(one: Corners, two: Corners, near: Corners) -> Corners | None:
    """Where two lines meet, nearest to a point; None where they do not."""
    met = LineString(one).intersection(LineString(two))
    parts = list(met.geoms) if hasattr(met, "geoms") else [met]
    points = [np.array(place) for part in parts if not part.is_empty for place in part.coords]
    return min(points, key=lambda point: float(np.linalg.norm(point - near)), default=None)


# --- a corner pulled ---------------------------------------------------------------------------------------------


def pull(line: Seamline, corners: Sequence[tuple[int, Run, Run]], by: tuple[float, float]) -> Moved:
    """Corners moved by a step, the two edges at each following, less and less, to nothing at their other ends."""
    shift = np.zeros_like(line.corners)
    for number, *edges in corners:
        for run in edges:
            numbers = line.of(run)
            along = shares_along(line.corners[numbers])
            weight = 1 - along if run.first == number else along
            shift[numbers] = np.maximum(np.abs(shift[numbers]), np.abs(weight[:, None] * np.array(by))) * np.sign(by)
    return Moved(line, line.moved(line.corners + shift))


def crosses_itself(corners: Corners) -> bool:
    """Whether a closed line crosses itself, repeated points left out."""
    ring = without_repeats(corners)
    ring = ring[:-1] if np.linalg.norm(ring[0] - ring[-1]) < 1e-6 else ring
    return len(ring) < 3 or not LineString([*map(tuple, ring), tuple(ring[0])]).is_simple
