"""A layout that keeps the rules: copies laid down one after another, each only where every rule lets it lie.

The theory. Locked copies and flaws are on the cloth before anything else. Then each copy, in some order, goes as near the
start as it can: in each turn the rules allow, at each place across that they allow (flush with a selvedge where an edge
must lie there; whole repeats apart where stripes across the cloth are matched), along the cloth at the first move that no
stretch forbids (see `contact`). What a rule says along the cloth is arithmetic on that move: copies of a lot begin where
the lot before ends; a piece over the whole width forbids the stretch of its box to everything; and where stripes are
matched, only every repeat-th move is taken, from the one at which the stripes meet those of the copies already down. The
first copy of a match anchors it.

An order comes from the sizes of the copies, or from a layout found without the rules: then each copy wishes for its turn
and its place across, and the layout is that one made to keep the rules. From the best order so far copies are moved, as
often as asked; the answer is always the same for the same seed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

import numpy as np

from clothwright.layout.area import FIT_CM, measured
from clothwright.layout.arrangement import Copy, Layout, Placed, outline_in_place, points_in_place, turn
from clothwright.layout.contact import Floats, edges, excess, least_free, shifted
from clothwright.layout.first_guess import _one_moved, _orders
from clothwright.layout.keeping import flaw_box
from clothwright.layout.rules import Rules, Stripes
from clothwright.layout.tightening import grown

EVEN_PLACES = 12
PAIRS_A_TRY = 1500
FEWEST, MOST = 4, 24
SAME_PHASE_CM = 1e-6
FAR_CM = 1e6


@dataclass(frozen=True)
class Down:
    """Something on the cloth: its edges where lines enter and leave it, its box, the piece it is (none for a flaw)."""

    begins: Floats
    ends: Floats
    low: tuple[float, float]
    high: tuple[float, float]
    piece: str | None


@dataclass(frozen=True)
class Wish:
    """How a copy would like to lie: its turn, and how far across the cloth."""

    turn_deg: float
    y_cm: float


def ruled_guess(
    copies: tuple[Copy, ...], width_cm: float, rules: Rules, *, seed: int = 1, tries: int | None = None
) -> Layout | None:
    """The shortest of `tries` layouts that keep the rules; None if no order tried can be laid down so."""
    random, best, order = Random(seed), None, list(range(len(copies)))
    starts = _orders(copies) if copies else [[]]
    for number in range(tries or tries_for(len(copies))):
        trial = starts[number] if number < len(starts) else _one_moved(order, random)
        layout = laid(copies, width_cm, rules, trial)
        if layout and (best is None or layout.length_cm <= best.length_cm):
            best, order = layout, trial
    return best


def tries_for(count: int) -> int:
    """How many tries are worth making for so many copies: a second's worth at most."""
    return max(FEWEST, min(MOST, PAIRS_A_TRY // max(1, count * count)))


def made_to_keep(copies: tuple[Copy, ...], layout: Layout, rules: Rules) -> Layout | None:
    """A layout found without the rules, laid down again so that it keeps them; None if that cannot be done."""
    numbers = {(copy.piece, copy.number): number for number, copy in enumerate(copies)}
    along = sorted(layout.placed, key=lambda p: (p.x_cm, p.y_cm))
    wishes = {numbers[p.piece, p.copy]: Wish(p.rotation_deg, p.y_cm) for p in layout.placed}
    order = [numbers[p.piece, p.copy] for p in along]
    return laid(copies, layout.width_cm, rules, order, wishes)


def laid(
    copies: tuple[Copy, ...],
    width_cm: float,
    rules: Rules,
    order: Sequence[int],
    wishes: dict[int, Wish] | None = None,
) -> Layout | None:
    """The copies laid down in this order, lot after lot; None where one finds no place."""
    cloth = _Cloth(copies, width_cm, rules)
    lots = {piece: number for number, lot in enumerate(rules.lots) for piece in lot}
    for number in sorted(order, key=lambda number: lots.get(copies[number].piece, len(rules.lots))):
        if not cloth.lay(copies[number], (wishes or {}).get(number)):
            return None
    return measured(copies, width_cm, tuple(cloth.placed))


class _Cloth:
    """What lies on the cloth so far in one try, and where stripes stand at each match."""

    def __init__(self, copies: tuple[Copy, ...], width_cm: float, rules: Rules) -> None:
        self.width_cm, self.rules = width_cm, rules
        self.down: list[Down] = []
        self.placed: list[Placed] = []
        self.phase: dict[tuple[Stripes, str], float] = {}
        self.lot = {piece: number for number, lot in enumerate(rules.lots) for piece in lot}
        for flaw in rules.flaws:
            ring = np.asarray(flaw_box(flaw, width_cm).exterior.coords)[:-1]
            self.down.append(_down(ring, ring, None))
        locked = {(p.piece, p.copy): p for p in rules.locked}
        for copy in copies:
            if (name := (copy.piece, copy.number)) in locked:
                self._keep(copy, locked[name])

    def lay(self, copy: Copy, wish: Wish | None) -> bool:
        """Lay a copy where its far end comes nearest the start; False if it has no place."""
        if any((p.piece, p.copy) == (copy.piece, copy.number) for p in self.placed):
            return True
        turns = self.rules.turns_deg(copy)
        wished = [wish.turn_deg] if wish and wish.turn_deg in turns else turns
        found = [place for degrees in wished for place in self._places(copy, degrees, wish)]
        if not found:
            return False
        _, _, placed = min(found, key=lambda place: place[:2])
        self._keep(copy, placed)
        return True

    def _places(self, copy: Copy, degrees: float, wish: Wish | None) -> list[tuple[float, float, Placed]]:
        """The best place in this turn: its far end, how far across, and how the copy lies there; none, or one."""
        ring = np.asarray(turn(copy.outline, degrees))
        length, width = ring.max(axis=0)
        lying = Placed(copy.piece, copy.number, 0.0, 0.0, degrees, copy.mirrored)
        across = self._across(copy, lying, float(width), wish)
        phases = [self._every(copy, lying, stripes) for stripes in self.rules.stripes if not stripes.across]
        if not len(across) or "none" in phases:
            return []
        every = next((phase for phase in phases if isinstance(phase, tuple)), None)
        x = self._least_x(copy, grown(ring, self.rules.gap_cm / 2), float(length), across, every)
        ends = np.where(x + length <= self._last(copy) + FIT_CM, x + length + 1e-6 * across, FAR_CM)
        chosen = int(np.argmin(ends))
        if ends[chosen] >= FAR_CM:
            return []
        y = float(across[chosen])
        return [(float(ends[chosen]), y, Placed(copy.piece, copy.number, float(x[chosen]), y, degrees, copy.mirrored))]

    def _least_x(
        self, copy: Copy, ring: Floats, length: float, across: Floats, every: tuple[float, float] | None
    ) -> Floats:
        """How near the start the copy could lie at each of these places across."""
        least = max((d.high[0] for d in self.down if self._lot(d.piece) < self._lot(copy.piece, -1)), default=0.0)
        if not self.down:
            return least_free(np.zeros((len(across), 0)), np.zeros((len(across), 0)), least, every)
        low, high = _forbidden(ring, across, self.down)
        for column, other in enumerate(self.down):
            if other.piece is not None and not {copy.piece, other.piece}.isdisjoint(self.rules.whole_width):
                low[:, column] = other.low[0] - length - self.rules.gap_cm
                high[:, column] = other.high[0] + self.rules.gap_cm
        return least_free(low, high, least, every)

    def _lot(self, piece: str | None, none: int = 10**6) -> int:
        return self.lot.get(piece, none) if piece is not None else none

    def _last(self, copy: Copy) -> float:
        """Where the copy must end: before any copy of a later lot that lies already."""
        mine = self._lot(copy.piece)
        return min((d.low[0] for d in self.down if mine < self._lot(d.piece, -1)), default=FAR_CM)

    def _across(self, copy: Copy, lying: Placed, width: float, wish: Wish | None) -> Floats:
        """Where across the cloth the copy may lie in this turn."""
        last = max(0.0, self.width_cm - width) if width <= self.width_cm + FIT_CM else -1.0
        places = self._selvedge_places(copy, lying, last)
        for stripes in self.rules.stripes:
            if stripes.across and (every := self._every(copy, lying, stripes)) is not None:
                if every == "none":
                    return np.zeros(0)
                places = _on_repeat(places, every, last)
        if wish is not None and (near := places[np.abs(places - wish.y_cm) < self.width_cm / 8]).size:
            places = near
            if self._anywhere(copy) and 0 <= wish.y_cm <= last:
                places = np.append(places, wish.y_cm)
        return places

    def _anywhere(self, copy: Copy) -> bool:
        """Whether nothing is said of where across the cloth this copy lies."""
        held = any(edge.must and edge.piece == copy.piece for edge in self.rules.selvedges)
        return not held and not self.rules.selvedge_cm and not any(stripes.across for stripes in self.rules.stripes)

    def _selvedge_places(self, copy: Copy, lying: Placed, last: float) -> Floats:
        """Places across the cloth that the rules of selvedges allow."""
        if last < 0:
            return np.zeros(0)
        flush = {
            end: _flush(copy, lying, [e.line for e in self.rules.selvedges if e.piece == copy.piece], end, last)
            for end in (0.0, last)
        }
        must = [edge.line for edge in self.rules.selvedges if edge.piece == copy.piece and edge.must]
        if must:
            return np.array([end for end in (0.0, last) if all(_flush(copy, lying, [m], end, last) for m in must)])
        first, final = self.rules.selvedge_cm, last - self.rules.selvedge_cm
        beside = [
            y
            for d in self.down
            for y in (d.high[1] + self.rules.gap_cm, d.low[1] - last_width(lying, copy) - self.rules.gap_cm)
        ]
        found = [*beside, first, final, *np.linspace(first, max(first, final), EVEN_PLACES)]
        inner = [y for y in found if first - FIT_CM <= y <= final + FIT_CM]
        at_edges = [end for end in (0.0, last) if flush[end]] if self.rules.selvedge_cm else [0.0, last]
        return np.unique(np.array([*inner, *at_edges]))

    def _every(self, copy: Copy, lying: Placed, stripes: Stripes) -> tuple[float, float] | str | None:
        """The first place and the step at which the stripes of a copy meet; None if free, "none" if they cannot."""
        wanted = []
        for name, at in self._match_places(copy, lying, stripes):
            if (phase := self.phase.get((stripes, name))) is not None:
                signed = -phase if stripes.runs_back(lying) else phase
                wanted.append((stripes.offset_cm + signed - at) % stripes.repeat_cm)
        if any(stripes.out_cm(wanted[0], other) > SAME_PHASE_CM for other in wanted):
            return "none"
        return (wanted[0], stripes.repeat_cm) if wanted else None

    def _match_places(self, copy: Copy, lying: Placed, stripes: Stripes) -> list[tuple[str, float]]:
        """The match points of a copy by name, and where they lie as the stripes run."""
        points = [point for point in self.rules.matches if point.piece == copy.piece]
        places = points_in_place(copy, lying, tuple(point.at for point in points))
        return [(point.name, at[1] if stripes.across else at[0]) for point, at in zip(points, places, strict=True)]

    def _keep(self, copy: Copy, placed: Placed) -> None:
        ring = np.asarray(outline_in_place(copy, placed))
        self.down.append(_down(grown(ring, self.rules.gap_cm / 2), ring, copy.piece))
        self.placed.append(placed)
        for stripes in self.rules.stripes:
            for name, at in self._match_places(copy, placed, stripes):
                point = (0.0, at) if stripes.across else (at, 0.0)
                self.phase.setdefault((stripes, name), stripes.phase_cm(point, placed))


def last_width(lying: Placed, copy: Copy) -> float:
    """How wide a copy is across the cloth as it lies, cm."""
    return max(y for _, y in turn(copy.outline, lying.rotation_deg))


def _flush(
    copy: Copy, lying: Placed, lines: Sequence[tuple[tuple[float, float], ...]], end: float, last: float
) -> bool:
    """Whether one of these edges lies on the selvedge when the copy lies at that end of its room across."""
    at = last + last_width(lying, copy) if end else 0.0
    raised = Placed(lying.piece, lying.copy, 0.0, end, lying.rotation_deg, lying.mirrored)
    return any(all(abs(y - at) <= FIT_CM for _, y in points_in_place(copy, raised, line)) for line in lines)


def _on_repeat(places: Floats, every: tuple[float, float] | str, last: float) -> Floats:
    """All places whole repeats from the first; where only the selvedges are allowed, those of them that are."""
    assert isinstance(every, tuple)
    first, repeat = every
    steps = first + repeat * np.arange(np.ceil(-first / repeat), np.floor((last - first) / repeat) + 1)
    if len(places) > 2:
        return np.asarray(steps[(steps >= places.min() - FIT_CM) & (steps <= places.max() + FIT_CM)])
    return np.asarray([y for y in places if abs((y - first + repeat / 2) % repeat - repeat / 2) <= SAME_PHASE_CM])


def _down(ring: Floats, box: Floats, piece: str | None) -> Down:
    begins, ends = edges(tuple((float(x), float(y)) for x, y in ring))
    (left, low), (right, high) = box.min(axis=0), box.max(axis=0)
    return Down(begins, ends, (float(left), float(low)), (float(right), float(high)), piece)


def _forbidden(ring: Floats, across: Floats, down: Sequence[Down]) -> tuple[Floats, Floats]:
    """The stretch of moves along the cloth that each thing forbids a ring, at each place across."""
    begins, ends = edges(tuple((float(x), float(y)) for x, y in ring))
    begun, ended = [d.begins for d in down], [d.ends for d in down]
    count = len(across)
    here_begins = np.hstack([shifted(begins, 0.0, float(y)) for y in across])
    here_ends = np.hstack([shifted(ends, 0.0, float(y)) for y in across])
    high = excess(here_begins, np.hstack(ended)).reshape(count, begins.shape[1], -1).max(axis=1)
    low = -excess(np.hstack(begun), here_ends).reshape(-1, count, ends.shape[1]).max(axis=2).T
    starts = [np.cumsum([0] + [rows.shape[1] for rows in group[:-1]]) for group in (begun, ended)]
    return np.minimum.reduceat(low, starts[0], axis=1), np.maximum.reduceat(high, starts[1], axis=1)
