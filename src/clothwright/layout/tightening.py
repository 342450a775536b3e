"""A layout pushed together: all copies moved at once, each a little, so that the far end comes nearest the start.

The theory. Near where they lie, what keeps two copies apart is straight: a corner of one must stay outside the line of an
edge of the other that it faces. Such rows, one for each corner and edge within reach, with the selvedges and the start,
and the far end to be made least, are a linear programme, solved exactly. Its answer holds as far as the copies may be
trusted to face the same edges, so each copy may move by `reach` only. It is done again from where they come to lie, until
nothing is gained; a step after which copies overlap more than before is taken back and tried with less than half the reach.
A corner inside another copy by a hair must come out by as much, so what overlaps by hairs is mended on the way.

No copy turns and none jumps over another, so this finds the end of the valley a search stopped in, and no other valley.
Held copies stay: locked ones in both directions, those on a selvedge across, those whose stripes are matched as the
stripes run. Flaws are copies that never move.

*Source*: the separation and compaction models of Li and Milenkovic, "Compaction and separation algorithms for non-convex
polygons and their applications", European Journal of Operational Research 84 (1995), from memory; the rows are our own.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
import shapely

from clothwright.layout.area import measured
from clothwright.layout.arrangement import Copy, Layout, outline_in_place, points_in_place
from clothwright.layout.contact import Floats
from clothwright.layout.judge import faults
from clothwright.layout.keeping import flaw_box
from clothwright.layout.rules import NO_RULES, Rules

ROUNDS = 12
FIRST_REACH, LEAST_REACH = 0.02, 0.0002
LESS = 0.4
NEAR = 2.9
GAINED = 1e-5
HAIR = 1e-4
TILT = 1e-3
ARC_STEPS = 4


@dataclass(frozen=True)
class Body:
    """What lies on the cloth: its outline for contacts, its box, and how far it may move (0 or 1) along and across.

    `after`: bodies that must end before this one begins.
    """

    ring: Floats
    low: Floats
    high: Floats
    free: tuple[float, float]
    after: tuple[int, ...] = ()

    def moved(self, by: Floats) -> Body:
        """The body somewhere else."""
        return replace(self, ring=self.ring + by, low=self.low + by, high=self.high + by)


def tightened(copies: tuple[Copy, ...], layout: Layout, rules: Rules = NO_RULES, *, rounds: int = ROUNDS) -> Layout:
    """The layout pushed together, or as it was where that gains nothing the judge lets pass.

    The same every time: `rounds` linear programmes at most, no clock. The layout must have no faults to begin with.
    """
    found = pushed(copies, layout, rules, rounds=rounds)
    return found if found.length_cm < layout.length_cm and not faults(copies, found, rules=rules) else layout


def pushed(copies: tuple[Copy, ...], layout: Layout, rules: Rules = NO_RULES, *, rounds: int = ROUNDS) -> Layout:
    """The layout pushed together and, where copies overlap by hairs, apart; not judged."""
    if not layout.placed:
        return layout
    lying = bodies(copies, layout, rules)
    end_up = _pushed(lying, layout.width_cm, rounds)
    moves = [after.low - before.low for before, after in zip(lying, end_up, strict=True)]
    placed = tuple(
        replace(p, x_cm=round(max(0.0, p.x_cm + float(by[0])), 9), y_cm=round(p.y_cm + float(by[1]), 9))
        for p, by in zip(layout.placed, moves, strict=False)
    )
    return measured(copies, layout.width_cm, placed)


def bodies(copies: tuple[Copy, ...], layout: Layout, rules: Rules) -> list[Body]:
    """The copies as they lie, in the order of the layout, and behind them the flaws."""
    named = {(copy.piece, copy.number): copy for copy in copies}
    lots = {piece: number for number, lot in enumerate(rules.lots) for piece in lot}
    found = []
    for p in layout.placed:
        copy = named[p.piece, p.copy]
        outline = np.asarray(outline_in_place(copy, p))
        free = _free(copy, points_on_selvedge(copy, layout, rules), rules)
        earlier = [i for i, o in enumerate(layout.placed) if lots.get(o.piece, 99) < lots.get(p.piece, -1)]
        alone = [
            i
            for i, o in enumerate(layout.placed)
            if (o.piece in rules.whole_width or p.piece in rules.whole_width) and o.x_cm < p.x_cm
        ]
        ring = grown(outline, rules.gap_cm / 2)
        found.append(Body(ring, outline.min(axis=0), outline.max(axis=0), free, tuple({*earlier, *alone})))
    for flaw in rules.flaws:
        ring = np.asarray(flaw_box(flaw, layout.width_cm).exterior.coords)[:-1]
        found.append(Body(_forwards(ring), ring.min(axis=0), ring.max(axis=0), (0.0, 0.0)))
    return found


def points_on_selvedge(copy: Copy, layout: Layout, rules: Rules) -> bool:
    """Whether an edge of the copy that may lie on a selvedge does, or there is none and it keeps its distance anyhow."""
    p = next(p for p in layout.placed if (p.piece, p.copy) == (copy.piece, copy.number))
    lines = [points_in_place(copy, p, edge.line) for edge in rules.selvedges if edge.piece == copy.piece]
    return any(abs(y - at) < 0.01 for line in lines for _, y in line[:1] for at in (0.0, layout.width_cm))


def _free(copy: Copy, on_selvedge: bool, rules: Rules) -> tuple[float, float]:
    """Whether a copy may move along, and across, the cloth."""
    if any((p.piece, p.copy) == (copy.piece, copy.number) for p in rules.locked):
        return 0.0, 0.0
    matched = any(point.piece == copy.piece for point in rules.matches)
    along = matched and any(not stripes.across for stripes in rules.stripes)
    across = matched and any(stripes.across for stripes in rules.stripes)
    still_across = across or on_selvedge or rules.selvedge_cm > 0
    return (0.0 if along else 1.0), (0.0 if still_across else 1.0)


def grown(ring: Floats, by_cm: float) -> Floats:
    """An outline all of whose points are at least so far outside the given one; counter-clockwise, not closed."""
    if by_cm <= 0:
        return _forwards(ring)
    outside = by_cm / np.cos(np.pi / (4 * ARC_STEPS))
    shape = shapely.Polygon(ring).buffer(outside, quad_segs=ARC_STEPS)
    return _forwards(np.asarray(shape.exterior.coords)[:-1])


def _forwards(ring: Floats) -> Floats:
    """The ring counter-clockwise."""
    following = np.roll(ring, -1, axis=0)
    return ring if float(np.sum(ring[:, 0] * following[:, 1] - following[:, 0] * ring[:, 1])) > 0 else ring[::-1]


def _pushed(lying: list[Body], width_cm: float, rounds: int) -> list[Body]:
    """The bodies after as many steps as gain something."""
    reach, allowed = FIRST_REACH * width_cm, _overlap(lying) + HAIR**2 * width_cm
    end = _end(lying)
    for _ in range(rounds):
        stepped = _step(lying, width_cm, reach, apart=True) or _step(lying, width_cm, reach, apart=False)
        shared = _overlap(stepped) if stepped else 0.0
        if stepped is None or shared > allowed:
            reach *= LESS
            if reach < LEAST_REACH * width_cm:
                break
            continue
        gained, mended = end - _end(stepped), allowed - shared > HAIR**2 * width_cm * width_cm
        if gained >= 0 or mended:
            lying, end, allowed = stepped, _end(stepped), min(allowed, shared + HAIR**2 * width_cm)
        if gained < GAINED * end and not mended:
            break
    return lying


def _end(lying: Sequence[Body]) -> float:
    return max(float(body.high[0]) for body in lying if body.free != (0.0, 0.0) or body.after) if lying else 0.0


def _overlap(lying: Sequence[Body]) -> float:
    """The area that all bodies share two by two, cm²."""
    shapes = np.array([shapely.Polygon(body.ring) for body in lying])
    one, other = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    once = one < other
    return float(shapely.area(shapely.intersection(shapes[one[once]], shapes[other[once]])).sum())


def _step(lying: Sequence[Body], width_cm: float, reach: float, *, apart: bool) -> list[Body] | None:
    """One linear programme, with what overlaps brought `apart` or left as deep as it is; None if it has no answer."""
    from scipy.optimize import linprog
    from scipy.sparse import csr_array

    count = len(lying)
    rows = [*_facing(lying, reach, apart), *_following(lying), *_ending(lying)]
    entries = np.array([(n, column, value) for n, (row, _) in enumerate(rows) for column, value in row])
    size = (len(rows), 2 * count + 1)
    matrix = csr_array((entries[:, 2], (entries[:, 0].astype(int), entries[:, 1].astype(int))), shape=size)
    cost = np.concatenate([np.tile([TILT / count, 0.0], count), [1.0]])
    bounds = [bound for body in lying for bound in _bounds(body, width_cm, reach)] + [(None, None)]
    answer = linprog(cost, A_ub=matrix, b_ub=np.array([most for _, most in rows]), bounds=bounds, method="highs")
    if answer.status != 0:
        return None
    moves = answer.x[:-1].reshape(count, 2)
    return [body.moved(by) for body, by in zip(lying, moves, strict=True)]


Row = tuple[list[tuple[int, float]], float]


def _bounds(body: Body, width_cm: float, reach: float) -> Iterator[tuple[float, float]]:
    """How far a body may move along, and across."""
    along, across = (reach * free for free in body.free)
    yield max(-along, min(0.0, -float(body.low[0]))), along
    yield max(-across, min(0.0, -float(body.low[1]))), max(0.0, min(across, width_cm - float(body.high[1])))


def _following(lying: Sequence[Body]) -> Iterator[Row]:
    """Bodies that end before another begins."""
    for number, body in enumerate(lying):
        for earlier in body.after:
            yield [(2 * earlier, 1.0), (2 * number, -1.0)], max(0.0, float(body.low[0] - lying[earlier].high[0]))


def _ending(lying: Sequence[Body]) -> Iterator[Row]:
    """Every body that can move ends before the far end, the last unknown."""
    for number, body in enumerate(lying):
        if body.free[0]:
            yield [(2 * number, 1.0), (2 * len(lying), -1.0)], -float(body.high[0])


def _facing(lying: Sequence[Body], reach: float, apart: bool) -> Iterator[Row]:
    """Corners of each body that stay outside edges of another."""
    for one, other in _near(lying, NEAR * reach):
        a, b = lying[one], lying[other]
        normals, outside = _kept_outside(a.ring, b.ring, NEAR * reach)
        for (nx, ny), room in zip(normals, outside if apart else np.maximum(0.0, outside), strict=True):
            yield [(2 * one, -nx), (2 * one + 1, -ny), (2 * other, nx), (2 * other + 1, ny)], float(room)


def _near(lying: Sequence[Body], within: float) -> Iterable[tuple[int, int]]:
    """Pairs, both ways round, whose boxes are so near, of which one at least can move."""
    low = np.array([body.ring.min(axis=0) for body in lying]) - within
    high = np.array([body.ring.max(axis=0) for body in lying])
    touching = ((low[:, None] <= high[None]) & (low[None] <= high[:, None])).all(axis=-1)
    moving = np.array([any(body.free) for body in lying])
    touching &= ~np.eye(len(lying), dtype=bool) & (moving[:, None] | moving[None])
    return [(int(a), int(b)) for a, b in zip(*np.nonzero(touching), strict=True)]


def _kept_outside(corners: Floats, ring: Floats, within: float) -> tuple[Floats, Floats]:
    """The outward normals of the edges that corners must stay outside of, and how far outside they are.

    Each near corner keeps to the edge it is nearest to (at a corner of the ring, to the one of the two it is further
    outside of), and to every other edge within reach that it stands straight in front of.
    """
    edge = np.roll(ring, -1, axis=0) - ring
    long = np.hypot(edge[:, 0], edge[:, 1])
    start, edge, long = ring[long > 0], edge[long > 0], long[long > 0]
    normal = np.stack([edge[:, 1], -edge[:, 0]], axis=1) / long[:, None]
    from_start = corners[:, None] - start
    outside = (from_start * normal).sum(axis=-1)
    along = (from_start * edge).sum(axis=-1) / long**2
    away = np.linalg.norm(from_start - np.clip(along, 0, 1)[..., None] * edge, axis=-1)
    nearest = away.min(axis=1)
    kept: npt.NDArray[np.bool_] = (along > 0) & (along < 1) & (outside >= -HAIR * within) & (away < within)
    faced = np.where(away <= nearest[:, None] + 1e-9, outside, -np.inf).argmax(axis=1)
    kept[np.arange(len(corners)), faced] = True
    corner, faces = np.nonzero(kept & (nearest < within)[:, None])
    return normal[faces], outside[corner, faces]
