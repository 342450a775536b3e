"""A layout at once: a few dozen quick tries, the shortest kept. No clock, no outside solver, the same every
time.

The theory. Copies are laid down one after another in some order. Each goes as near the start of the cloth
as it can, in the best of its turns and the best of some places across the cloth: flush with a selvedge,
flush with the side of a copy already there, or at one of 48 even steps. How far along the cloth it must
move at each of these places is arithmetic on forbidden stretches (see `contact`). To try thousands of
places, the stretches are read from a table made once, which looks at each outline on one line in every step
and counts distances in whole steps. The table errs a little, on the side of keeping pieces apart; two
pieces that only touch side by side never hinder each other in it. What it proposes is a proposal: it is
placed again with exact contacts, and only that is measured and given out.

The order decides how good a try is. The first tries take the longest first, the largest first, and the
widest first; each of the others moves one copy, drawn with the given seed, to another place in the best
order so far.

A try looks at every pair of copies for every place, so its time grows as their number squared, and the
number of tries shrinks by as much: 60 for eight pieces or fewer, 31 for a dozen, 3 from forty on.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from random import Random
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from shapely.geometry import Polygon

from clothwright.layout.area import FIT_CM, measured, refuse_too_wide
from clothwright.layout.arrangement import Copy, Layout, Placed, turn
from clothwright.layout.contact import TOUCH_CM, Floats, edges, fall, least_free
from clothwright.pattern import Ring

LINES = 48
PAIR_VISITS = 4500
FEWEST_TRIES, MOST_TRIES = 3, 60

Order = Sequence[int]


class Lie(NamedTuple):
    """One way a copy may lie: an index into the table, and how far across the cloth."""

    shape: int
    y_cm: float


class Proposal(NamedTuple):
    """How every copy is to lie, laid down in this order, and the length that would take by the table."""

    order: Order
    lies: dict[int, Lie]
    length_cm: float


@dataclass(frozen=True)
class Shape:
    """An outline as it may lie, with its size, cm; copies that lie alike when turned, each in its own way, share one."""

    ring: Ring
    length_cm: float
    width_cm: float


@dataclass(frozen=True)
class Table:
    """How far one shape must move to clear another, for every step of their distance across the cloth.

    `reach[a, b, d + lines]`: the most that `b` reaches beyond the beginning of `a`, when `a` lies `d` steps
    further across the cloth than `b`; minus infinity where they share no line.
    `ways`: the shapes each copy may take, with the turn that brings this copy there.
    """

    shapes: tuple[Shape, ...]
    ways: tuple[dict[int, float], ...]
    cloth_cm: float
    step_cm: float
    lengths: Floats
    widths: Floats
    reach: Floats


@lru_cache(maxsize=2048)
def first_guess(copies: tuple[Copy, ...], width_cm: float, *, seed: int = 1, tries: int | None = None) -> Layout:
    """A valid layout on cloth of `width_cm`, the shortest of `tries`; `TooWide` if a piece does not fit.

    `tries` is settled by the number of copies when not given. Asked again for the same, it is not worked out again.
    """
    refuse_too_wide(copies, width_cm)
    if not copies:
        return Layout(width_cm, 0.0, 0.0, ())
    table = table_of(copies, width_cm)
    proposals = _proposals(table, _orders(copies), tries or tries_for(len(copies)), Random(seed))
    layouts = (measured(copies, width_cm, _place(copies, table, proposal)) for proposal in proposals)
    return min(layouts, key=lambda layout: layout.length_cm)


def tries_for(count: int) -> int:
    """How many tries are worth making for so many copies, so that a dozen take less than 0.1 s."""
    return max(FEWEST_TRIES, min(MOST_TRIES, PAIR_VISITS // max(1, count * count)))


def _orders(copies: tuple[Copy, ...]) -> list[list[int]]:
    """Longest first, largest first, widest first: the orders tried before any are drawn."""
    outlines = [Polygon(copy.outline) for copy in copies]
    sizes = np.array([(shape.bounds[2], shape.area, shape.bounds[3]) for shape in outlines])
    return [np.argsort(-size, kind="stable").tolist() for size in sizes.T]


def _proposals(table: Table, starts: list[list[int]], tries: int, random: Random) -> Iterator[Proposal]:
    """Ever shorter proposals: from the given orders, then by moving one copy in the best so far."""
    best = _propose(table, starts[0])
    yield best
    for number in range(1, tries):
        order = starts[number] if number < len(starts) else _one_moved(best.order, random)
        other = _propose(table, order)
        if other.length_cm < best.length_cm:
            yield other
        if other.length_cm <= best.length_cm:
            best = other


def _one_moved(order: Order, random: Random) -> list[int]:
    """The order with one copy taken out and put in somewhere else."""
    other = list(order)
    other.insert(random.randrange(len(other)), other.pop(random.randrange(len(other))))
    return other


def _place(copies: tuple[Copy, ...], table: Table, proposal: Proposal) -> tuple[Placed, ...]:
    """The copies lying as proposed, each as near the start as it comes by exact contact."""
    lies = [proposal.lies[index] for index in range(len(copies))]
    turns = [ways[lie.shape] for ways, lie in zip(table.ways, lies, strict=True)]
    rings = [turn(copy.outline, degrees) for copy, degrees in zip(copies, turns, strict=True)]
    rest = fall(rings, [lie.y_cm for lie in lies], proposal.order)
    return tuple(
        Placed(copy.piece, copy.number, x, lie.y_cm, degrees, copy.mirrored)
        for copy, x, lie, degrees in zip(copies, rest, lies, turns, strict=True)
    )


def _propose(table: Table, order: Order) -> Proposal:
    """How the copies lie, by the table, when they are laid down in this order."""
    down = _Down(table, len(order))
    lies = {copy: down.lay(tuple(table.ways[copy])) for copy in order}
    return Proposal(order, lies, down.length_cm)


class _Down:
    """The copies laid down so far in one try: which shape, and where."""

    def __init__(self, table: Table, count: int) -> None:
        self.table, self.count = table, 0
        self.shape = np.zeros(count, dtype=np.intp)
        self.x, self.y, self.top = np.zeros(count), np.zeros(count), np.zeros(count)
        self.length_cm = 0.0

    def lay(self, ways: tuple[int, ...]) -> Lie:
        """Lay a copy where its far end comes nearest the start; among equals, nearest the first selvedge."""
        places = [self._places(shape) for shape in ways]
        shape = np.repeat(ways, [len(y) for y in places])
        y = np.concatenate(places)
        x = self._least_x(shape, y)
        ends = x + self.table.lengths[shape]
        chosen = int(np.argmin(ends + 1e-6 * y))
        self._keep(int(shape[chosen]), float(x[chosen]), float(y[chosen]))
        return Lie(int(shape[chosen]), float(y[chosen]))

    def _places(self, shape: int) -> Floats:
        """Where across the cloth it is worth trying to lay a shape."""
        width = self.table.shapes[shape].width_cm
        last = max(0.0, self.table.cloth_cm - width)
        beside = np.concatenate([self.top[: self.count], self.y[: self.count] - width])
        steps = np.arange(0.0, last, self.table.step_cm)
        found = np.concatenate([[0.0, last], beside[(beside > 0) & (beside < last)], steps])
        return np.unique(found)

    def _least_x(self, shape: npt.NDArray[np.intp], y: Floats) -> Floats:
        """How near the start each of these could lie, by the table."""
        n, reach = self.count, self.table.reach
        top = y + self.table.widths[shape]
        beside = (y[:, None] >= self.top[:n] - TOUCH_CM) | (top[:, None] <= self.y[:n] + TOUCH_CM)
        steps = ((y[:, None] - self.y[:n]) / self.table.step_cm).astype(np.intp)
        high = reach[shape[:, None], self.shape[:n], LINES + steps]
        low = -reach[self.shape[:n], shape[:, None], LINES - steps]
        return least_free(self.x[:n] + low, np.where(beside, -np.inf, self.x[:n] + high))

    def _keep(self, shape: int, x: float, y: float) -> None:
        size, n = self.table.shapes[shape], self.count
        self.shape[n], self.x[n], self.y[n], self.top[n] = shape, x, y, y + size.width_cm
        self.count, self.length_cm = n + 1, max(self.length_cm, x + size.length_cm)


def table_of(copies: tuple[Copy, ...], width_cm: float, lines: int = LINES) -> Table:
    """The shapes of all copies in every turn that fits, each once, and their reach over one another."""
    found: dict[Ring, Shape] = {}
    ways = [list(_ways(copy, width_cm, found)) for copy in copies]
    index = {key: number for number, key in enumerate(found)}
    shapes = tuple(found.values())
    step = width_cm / lines
    numbered = tuple(_turn_by_shape([(index[key], degrees) for key, degrees in keys]) for keys in ways)
    sizes = np.array([(shape.length_cm, shape.width_cm) for shape in shapes]).T
    return Table(shapes, numbered, width_cm, step, sizes[0], sizes[1], _reach(shapes, step, lines))


def _turn_by_shape(ways: list[tuple[int, float]]) -> dict[int, float]:
    """The first turn by which a copy comes to lie in each shape."""
    found: dict[int, float] = {}
    for shape, degrees in ways:
        found.setdefault(shape, degrees)
    return found


def _ways(copy: Copy, width_cm: float, found: dict[Ring, Shape]) -> Iterator[tuple[Ring, float]]:
    """The key of each turn of a copy that fits on the cloth, and the turn; its shape is added to `found`."""
    for degrees in copy.turns_deg:
        ring = turn(copy.outline, degrees)
        length, width = max(x for x, _ in ring), max(y for _, y in ring)
        if width <= width_cm + FIT_CM:
            key = tuple(sorted((round(x, 6), round(y, 6)) for x, y in ring))
            found.setdefault(key, Shape(ring, length, width))
            yield key, degrees


def _reach(shapes: tuple[Shape, ...], step_cm: float, lines: int) -> Floats:
    """`Table.reach`: for two shapes at any distance, the greatest difference over the lines they share."""
    begins, ends = zip(*(_on_lines(shape, step_cm, lines) for shape in shapes), strict=True)
    around = np.full((len(shapes), 3 * lines), -np.inf)
    for row, x in zip(around, ends, strict=True):
        row[lines : lines + len(x)] = x
    windows = np.lib.stride_tricks.sliding_window_view(around, lines, axis=1)
    return np.stack([(windows[:, :, : len(x)] - x).max(axis=-1) for x in begins])


def _on_lines(shape: Shape, step_cm: float, lines: int) -> tuple[Floats, Floats]:
    """Where lines in the middle of each step across a shape enter and leave it; the last may be short."""
    count = min(lines, math.ceil(shape.width_cm / step_cm))
    at = np.minimum((np.arange(count) + 0.5) * step_cm, shape.width_cm)
    begins, ends = edges(shape.ring)
    return _crossing(begins, at, np.inf).min(axis=0), _crossing(ends, at, -np.inf).max(axis=0)


def _crossing(rows: Floats, at: Floats, outside: float) -> Floats:
    """Where lines at heights `at` cross the edges; `outside` where they do not."""
    low, high, x, slope = rows[:, :, None]
    return np.where((low <= at) & (at <= high), x + slope * (at - low), outside)
