"""A layout squeezed: the strip is made shorter than it, and what overlaps then is moved until nothing does.

The theory. Copies may overlap for a while, at a penalty. Of two copies at given places across the cloth, the moves along it
at which they touch make one stretch (see `contact`), read from a table of finer lines than the first guess has. So for one
copy every rule is a forbidden stretch as well: a flaw or a locked copy is a body that never moves; a copy of an earlier lot
forbids all before its end; one over the whole width forbids the stretch of its box wherever across; matched stripes and
selvedges leave fewer places to choose from. How deep a copy lies in a stretch, or how far it would have to go sideways if
that is less, times the weight of the pair, is the penalty of a place. Each copy that overlaps goes to the place of least
penalty, all turns, places across and ends of stretches tried; then pairs that still overlap weigh more. Where nothing
overlaps, the places are handed to the linear programme that pushes together (see `tightening`) and to the judge.

It begins from a layout found without the rules, at lengths ever nearer that one's, and goes on from the shortest that keeps
them, a per cent shorter each time. What comes out keeps the rules and is never longer than what went in.

*Source*: the weights are those of guided local search, Voudouris and Tsang, European Journal of Operational Research 113 (1999), for
packing Egeblad, Nielsen and Odgaard, same journal 183 (2007), both from memory; the stretches and places are our own.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from random import Random
from typing import Final

import numpy as np
import numpy.typing as npt

from clothwright.layout.area import FIT_CM, measured, narrowest_cm
from clothwright.layout.arrangement import (
    HALF_TURN,
    Copy,
    Layout,
    Placed,
    outline_in_place,
    points_in_place,
    turn,
)
from clothwright.layout.contact import TOUCH_CM, Floats
from clothwright.layout.first_guess import table_of
from clothwright.layout.judge import faults
from clothwright.layout.keeping import flaw_box
from clothwright.layout.keeping_most import with_rules
from clothwright.layout.ruled import made_to_keep
from clothwright.layout.rules import Rules
from clothwright.layout.standing_in import stand_ins
from clothwright.layout.tightening import pushed, tightened
from clothwright.pattern import Ring

FINE_LINES: Final = 120
ROWS: Final = 60
MOST_SWEEPS, PATIENCE, SWEEPS_IN_ROUND = 120, 25, 300
MORE_WEIGHT, LESS_WEIGHT = 1.3, 0.95
#: The table keeps copies apart by a part of a line; so much of a line of overlap is left to the linear programme.
LEFT_TO_PUSH: Final = 0.7
FIRST_SHRINK, LEAST_SHRINK, LEAST_GAIN_CM = 0.012, 0.001, 1e-6
FIRST_SHARE, LAST_SHARE = 0.4, 0.9

Enough = Callable[[], bool]
Numbers = npt.NDArray[np.intp]


def squeezed(
    copies: tuple[Copy, ...],
    layout: Layout,
    rules: Rules,
    *,
    enough: Enough,
    unruled: Layout | None = None,
    seed: int = 1,
    tell: Callable[[Layout], None] = lambda _layout: None,
) -> Layout:
    """A shorter layout that keeps the rules, or the one given where none is found before it is `enough`.

    `layout` has no fault under the rules; `unruled` is a shorter one that may break them. `tell` hears of each better one.
    """
    strip = _Strip(copies, layout, rules, Random(seed))
    if strip.still.all():
        return layout
    hunt = _Hunt(strip, layout, enough, tell)
    others = [one for one in (unruled, _turned(copies, unruled, rules)) if one is not None]
    if others:
        _toward(hunt, others)
    shrink = FIRST_SHRINK
    while not enough():
        if not hunt.found(hunt.best.length_cm * (1 - shrink), (hunt.best, hunt.best, *others)):
            shrink = shrink * 0.6 if shrink * 0.6 > LEAST_SHRINK else FIRST_SHRINK
    return hunt.best


class _Hunt:
    """The shortest layout so far, and whoever hears of it."""

    def __init__(self, strip: _Strip, best: Layout, enough: Enough, tell: Callable[[Layout], None]) -> None:
        self.strip, self.best, self.enough, self.tell = strip, best, enough, tell

    def found(self, length_cm: float, starts: Sequence[Layout]) -> bool:
        """Whether a shorter layout came of one of these starts at this length."""
        for start in starts:
            layout = self.strip.shorter(start, length_cm, self.enough) if not self.enough() else None
            if layout is not None and layout.length_cm < self.best.length_cm - LEAST_GAIN_CM:
                self.best = layout
                self.tell(layout)
                return True
        return False


def _toward(hunt: _Hunt, others: Sequence[Layout]) -> None:
    """From layouts that break rules, at lengths ever nearer theirs, as long as that succeeds."""
    low, share = others[0].length_cm, FIRST_SHARE
    while share < LAST_SHARE and hunt.best.length_cm > low and not hunt.enough():
        if not hunt.found(low + share * (hunt.best.length_cm - low), others):
            share = (1 + share) / 2


def squeeze(
    copies: tuple[Copy, ...],
    unruled: Layout,
    rules: Rules,
    seconds: float,
    seed: int,
    tell: Callable[[Layout], None] = lambda _layout: None,
) -> Layout:
    """One task: a layout without rules made to keep as many as can be, and squeezed for `seconds`, or so many sweeps.

    With no seconds no clock is read, and the answer is the same for the same seed.
    """
    kept = with_rules(copies, unruled, rules, seed=seed)
    tell(kept.layout)
    if not kept.kept.more_than_shapes or kept.layout.length_cm <= unruled.length_cm:
        return kept.layout
    enough = _until(seconds) if seconds > 0 else _times(SWEEPS_IN_ROUND)
    return squeezed(copies, kept.layout, kept.kept, enough=enough, unruled=unruled, seed=seed, tell=tell)


def _until(seconds: float) -> Enough:
    until = time.perf_counter() + seconds
    return lambda: time.perf_counter() > until


def _times(times: int) -> Enough:
    left = iter(range(times))
    return lambda: next(left, None) is None


def _turned(copies: tuple[Copy, ...], layout: Layout | None, rules: Rules) -> Layout | None:
    """The layout turned end for end as a whole; none where a copy may not be."""
    if layout is None or not all(t % 360 == 0 or t % 360 == HALF_TURN for c in copies for t in rules.turns_deg(c)):
        return None
    named = {(copy.piece, copy.number): copy for copy in copies}
    placed = []
    for p in layout.placed:
        copy = named[p.piece, p.copy]
        degrees = (p.rotation_deg + HALF_TURN) % 360
        if degrees not in {t % 360 for t in rules.turns_deg(copy)}:
            return None
        right, top = np.asarray(turn(copy.outline, p.rotation_deg)).max(axis=0)
        x, y = layout.length_cm - p.x_cm - right, layout.width_cm - p.y_cm - top
        placed.append(replace(p, x_cm=float(x), y_cm=float(y), rotation_deg=degrees))
    return replace(layout, placed=tuple(placed))


class _Strip:
    """Copies on a strip, where they may lie, and how much each lies in each other."""

    def __init__(self, copies: tuple[Copy, ...], ruled: Layout, rules: Rules, random: Random) -> None:
        self.copies, self.rules, self.random = copies, rules, random
        self.ruled = {(p.piece, p.copy): p for p in ruled.placed}
        self.standing = stand_ins(copies, ruled.width_cm, rules)
        self.width_cm = max(self.standing.width_cm, narrowest_cm(self.standing.copies))
        flaws = list(_flaws(rules, ruled.width_cm, self.standing.gap_cm / 2, self.width_cm))
        self.count, self.all = len(copies), len(copies) + len(flaws)
        bodies = (*self.standing.copies, *(copy for copy, _, _ in flaws))
        self.table = table_of(bodies, self.width_cm, FINE_LINES)
        self.index = {(copy.piece, copy.number): i for i, copy in enumerate(copies)}
        self.shape, self.x, self.y = np.zeros(self.all, dtype=np.intp), np.zeros(self.all), np.zeros(self.all)
        for i, (_, x, y) in enumerate(flaws, start=self.count):
            self.shape[i], self.x[i], self.y[i] = next(iter(self.table.ways[i])), x, y
        locked = {(p.piece, p.copy) for p in rules.locked}
        self.still = np.array([(copy.piece, copy.number) in locked for copy in copies], dtype=bool)
        self.weight = np.ones((self.count, self.all))
        self._set_order(bodies)
        self.places = [self._places(i) for i in range(self.count)]

    def _set_order(self, bodies: tuple[Copy, ...]) -> None:
        """Which bodies come before which, and which take the whole width."""
        lots = {piece: number for number, lot in enumerate(self.rules.lots) for piece in lot}
        lot = np.array([lots.get(copy.piece, -1) for copy in bodies])
        ordered = (lot[:, None] >= 0) & (lot[None] >= 0)
        self.after = ordered & (lot[:, None] > lot[None])
        self.before = ordered & (lot[:, None] < lot[None])
        alone = np.array([copy.piece in self.rules.whole_width for copy in bodies])
        self.whole = (alone[:, None] | alone[None]) & ~np.eye(self.all, dtype=bool)
        self.whole[:, self.count :] = False

    def _places(self, i: int) -> dict[int, tuple[float, float, Floats]]:
        """For each shape a copy may take: from where to where across it may lie, and places beside that it may."""
        copy, found = self.copies[i], {}
        matched = any(point.piece == copy.piece for point in self.rules.matches) and bool(self.rules.stripes)
        for shape, degrees in self.table.ways[i].items():
            if degrees % 360 not in {t % 360 for t in self.standing.copies[i].turns_deg}:
                continue
            if matched and degrees != self.ruled[copy.piece, copy.number].rotation_deg:
                continue
            found[shape] = self._across(copy, shape, degrees)
        return found

    def _across(self, copy: Copy, shape: int, degrees: float) -> tuple[float, float, Floats]:
        last = max(0.0, self.width_cm - self.table.shapes[shape].width_cm)
        lying = Placed(copy.piece, copy.number, 0.0, 0.0, degrees, copy.mirrored)
        edges = [edge for edge in self.rules.selvedges if edge.piece == copy.piece]
        musts = [edge.line for edge in edges if edge.must]
        if musts:
            ends = [end for end in (0.0, last) if all(self._flush(copy, lying, line, end) for line in musts)]
            return 1.0, 0.0, np.array(ends, dtype=float)
        off = self.rules.selvedge_cm
        flush = [end for end in (0.0, last) if any(self._flush(copy, lying, e.line, end) for e in edges)]
        matched = any(point.piece == copy.piece for point in self.rules.matches)
        for stripes in self.rules.stripes if matched else ():
            if stripes.across:
                at = self.ruled[copy.piece, copy.number].y_cm
                steps = at + stripes.repeat_cm * np.arange(np.ceil((off - at) / stripes.repeat_cm), 1 + last)
                return 1.0, 0.0, steps[(steps >= off - FIT_CM) & (steps <= last - off + FIT_CM)]
        return off, last - off, np.array(flush, dtype=float)

    def _flush(self, copy: Copy, lying: Placed, line: Ring, end: float) -> bool:
        """Whether an edge lies on the selvedge when the stand-in of the copy lies at that end of its room."""
        width = self.width_cm - self.standing.gap_cm
        placed = replace(lying, y_cm=0.0 if end == 0.0 else width - _width(copy, lying))
        at = 0.0 if end == 0.0 else width
        return all(abs(y - at) <= FIT_CM for _, y in points_in_place(copy, placed, line))

    def take(self, layout: Layout) -> None:
        """Have the copies lie as in a layout; those of matched stripes as in the ruled one."""
        for p in self.standing.forth(layout):
            i = self.index[p.piece, p.copy]
            ruled = self.ruled[p.piece, p.copy]
            if self.still[i] or self._lattice(i) is not None:
                (p,) = self.standing.forth(replace(layout, placed=(ruled,)))
            wanted = [s for s, t in self.table.ways[i].items() if t % 360 == p.rotation_deg % 360]
            self.shape[i] = wanted[0] if wanted and wanted[0] in self.places[i] else next(iter(self.places[i]))
            self.x[i], self.y[i] = p.x_cm, p.y_cm
        self.weight[:] = 1.0

    def shorter(self, start: Layout, length_cm: float, enough: Enough) -> Layout | None:
        """A layout found from another on a strip of this length; none where copies overlap to the end."""
        self.take(start)
        return self.layout() if self.without_overlap(length_cm, enough) else None

    def _lattice(self, i: int) -> tuple[float, float] | None:
        """The first place along and the step of a copy whose stripes are matched along the cloth."""
        copy = self.copies[i]
        if not any(point.piece == copy.piece for point in self.rules.matches):
            return None
        repeat = next((stripes.repeat_cm for stripes in self.rules.stripes if not stripes.across), None)
        return None if repeat is None else (self.ruled[copy.piece, copy.number].x_cm, repeat)

    def without_overlap(self, length_cm: float, enough: Enough) -> bool:
        """Move copies until none overlaps on a strip of this length; whether that was reached."""
        length = length_cm + self.standing.gap_cm
        self._bring_inside(length)
        least, since = np.inf, 0
        for _ in range(MOST_SWEEPS):
            deep = self._all_depths()
            total = float(deep.sum())
            if total <= 0:
                return True
            since = 0 if total < least * 0.99 else since + 1
            least = min(least, total)
            if enough() or since > PATIENCE:
                return False
            share = deep / deep.max()
            self.weight = np.where(
                deep > 0, self.weight * (MORE_WEIGHT + share), np.maximum(1.0, self.weight * LESS_WEIGHT)
            )
            wrong = np.flatnonzero((deep > 0).any(axis=1) & ~self.still)
            for i in self.random.sample(wrong.tolist(), len(wrong)):
                self._move(i, length)
        return False

    def _bring_inside(self, length: float) -> None:
        for i in range(self.count):
            if not self.still[i]:
                self.x[i] = min(max(0.0, self.x[i]), max(0.0, length - self.table.lengths[self.shape[i]]))
                low, high, places = self.places[i][int(self.shape[i])]
                free = [min(max(self.y[i], low), high)] if low <= high else []
                allowed = np.array([*free, *places])
                self.y[i] = allowed[np.abs(allowed - self.y[i]).argmin()] if allowed.size else self.y[i]

    def _all_depths(self) -> Floats:
        """How deep each copy lies in each other body, beyond what is left to pushing; nothing in itself."""
        copies = np.arange(self.count)
        return _depth(self.x[copies, None], *self._stretches(copies, self.shape[copies], self.y[copies]))[:, 0]

    def _stretches(self, i: Numbers, shape: Numbers, y: Floats) -> tuple[Floats, Floats, Floats]:
        """For copies in these shapes and places across: from where to where along each body forbids them, and how deep across."""
        t = self.table
        top, tops = y + t.widths[shape], self.y + t.widths[self.shape]
        across = np.minimum(top[:, None] - self.y, tops - y[:, None])
        steps = ((y[:, None] - self.y) / t.step_cm).astype(np.intp)
        slack = LEFT_TO_PUSH * t.step_cm
        high = self.x + t.reach[shape[:, None], self.shape, FINE_LINES + steps]
        low = self.x - t.reach[self.shape, shape[:, None], FINE_LINES - steps]
        apart = (across <= TOUCH_CM) | (low >= high)
        length = t.lengths[shape][:, None]
        ends = self.x + t.lengths[self.shape]
        low = np.where(self.whole[i], self.x - length, low)
        high = np.where(self.whole[i], ends, high)
        low = np.where(self.after[i], -np.inf, np.where(self.before[i], self.x - length, low))
        high = np.where(self.before[i], np.inf, np.where(self.after[i], ends, high))
        bound = self.whole[i] | self.after[i] | self.before[i]
        across = np.where(bound, np.inf, across)
        apart = apart & ~bound
        apart[np.arange(len(y)), i] = True
        low, high = np.where(apart, np.inf, low + slack * ~bound), np.where(apart, -np.inf, high - slack * ~bound)
        return low, high, across

    def _move(self, i: int, length: float) -> None:
        """Bring a copy to the place of least penalty."""
        shape, y = self._rows(i)
        low, high, across = self._stretches(np.full(len(y), i), shape, y)
        last = np.maximum(0.0, length - self.table.lengths[shape])
        ends = np.concatenate(
            [low, high, np.zeros((len(y), 1)), last[:, None], np.full((len(y), 1), self.x[i])], axis=1
        )
        x = np.clip(np.where(np.isfinite(ends), ends, 0.0), 0.0, last[:, None])
        if (lattice := self._lattice(i)) is not None:
            begin, step = lattice
            steps = (x - begin) / step
            x = np.concatenate([begin + np.floor(steps) * step, begin + np.ceil(steps) * step], axis=1)
            x = np.where((x >= -TOUCH_CM) & (x <= last[:, None] + TOUCH_CM), x, begin)
        deep = _depth(x, low, high, across)
        penalty = (deep * self.weight[i]).sum(axis=-1) + 1e-6 * x + 1e-7 * np.array([self.random.random()])
        row, column = np.unravel_index(int(penalty.argmin()), penalty.shape)
        self.shape[i], self.x[i], self.y[i] = shape[row], x[row, column], y[row]

    def _rows(self, i: int) -> tuple[Numbers, Floats]:
        """Shapes and places across that are tried for a copy: by the others, at the ends, some at random, and where it is."""
        shapes, ys = [], []
        tops = self.y + self.table.widths[self.shape]
        each = ROWS // len(self.places[i])
        for shape, (low, high, places) in self.places[i].items():
            found = list(places)
            if low <= high:
                beside = np.concatenate([tops, self.y - self.table.widths[shape]])
                free = [low, high, *(low + (high - low) * self.random.random() for _ in range(each)), *beside]
                found += [y for y in (*free, self.y[i]) if low <= y <= high]
            shapes += [shape] * len(found)
            ys += found
        return np.array(shapes, dtype=np.intp), np.array(ys)

    def layout(self) -> Layout:
        """The copies where they lie, pushed apart and together, keeping the rules; endless where the judge does not let it pass."""
        placed = tuple(
            Placed(copy.piece, copy.number, float(x), float(y), self.table.ways[i][int(shape)], copy.mirrored)
            for i, (copy, x, y, shape) in enumerate(zip(self.copies, self.x, self.y, self.shape, strict=False))
        )
        found = self.standing.back(measured(self.standing.copies, self.width_cm, placed))
        found = replace(
            found, placed=tuple(self.ruled[p.piece, p.copy] if self._is_still(p) else p for p in found.placed)
        )
        together = pushed(self.copies, found, self.rules)
        if not faults(self.copies, together, rules=self.rules):
            return together
        made = made_to_keep(self.copies, found, self.rules)
        if made is None or faults(self.copies, made, rules=self.rules):
            return replace(found, length_cm=np.inf)
        return tightened(self.copies, made, self.rules)

    def _is_still(self, p: Placed) -> bool:
        return bool(self.still[self.index[p.piece, p.copy]])


def _depth(x: Floats, low: Floats, high: Floats, across: Floats) -> Floats:
    """How deep moves along lie in each stretch, or sideways where that is less; the stretches on the last axis."""
    inside = np.minimum(x[..., None] - low[:, None], high[:, None] - x[..., None])
    return np.where(inside > TOUCH_CM, np.minimum(inside, across[:, None]), 0.0)


def _flaws(rules: Rules, width_cm: float, off_cm: float, strip_cm: float) -> Iterator[tuple[Copy, float, float]]:
    """The flaws as bodies at their own origin, and where they lie on the strip; what lies off the cloth is left out."""
    for number, flaw in enumerate(rules.flaws):
        left, low, right, high = flaw_box(flaw, width_cm).bounds
        left, low, high = max(0.0, left), max(0.0, low), min(width_cm, high)
        if right > left and high > low:
            across = (0.0, strip_cm) if high - low >= width_cm else (low + off_cm, high + off_cm)
            ring = (
                (0.0, 0.0),
                (right - left, 0.0),
                (right - left, across[1] - across[0]),
                (0.0, across[1] - across[0]),
            )
            yield Copy(f"flaw {number}", 0, ring, False, (0.0,)), left + off_cm, across[0]


def _width(copy: Copy, lying: Placed) -> float:
    return max(y for _, y in outline_in_place(copy, replace(lying, x_cm=0.0, y_cm=0.0)))
