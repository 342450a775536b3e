"""A short layout at one width, looked for by an outside solver for as long as it is given.

The theory. `spyrrow` packs outlines on a strip. It is fast and finds what the first guess does not, but it is
not trusted: it works in single precision, leaves hairs of cloth between pieces, needs a little more than the
width when a piece is as wide as the cloth, and on some shapes its engine stops with a panic. So:

- Every outline is given at its own origin, already mirrored, with the number of copies that share it.
- The strip is made 0.02 cm wider than the cloth, so that pieces that just fit side by side are found to fit;
  where a piece is as wide as the cloth, 0.1 cm wider, and 0.3 cm if that stops the solver.
- What comes back is pushed between the selvedges and settled: the pieces fall toward the first selvedge,
  then toward the start, each until it touches (see `contact`), which takes out hairs and overlaps. The
  layout as it came is kept beside the settled ones, since a piece in the hollow of another can only be kept
  so.
- The judge looks at all of these, and the shortest without a fault is the answer. If there is none, there
  is no answer, and the first guess stands.

The search runs in tasks handed to an executor that the caller owns: `solve` is one task, one width, one
thread, one slice of time. Use processes that are spawned, never forked: a forked child of a process that
has searched before hangs. Stopping is the caller's business too: end the executor, or raise from
`progress`, and keep the best that `progress` was told.
"""

from __future__ import annotations

import math
import multiprocessing
import os
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, Future
from contextlib import contextmanager
from datetime import timedelta
from typing import NamedTuple

from clothwright.layout.area import FIT_CM, measured, narrowest_cm
from clothwright.layout.arrangement import Copy, Layout, Placed, turn
from clothwright.layout.contact import fall
from clothwright.layout.first_guess import first_guess
from clothwright.layout.judge import faults
from clothwright.pattern import Ring

FLUSH_CM = 0.09
PADS_CM = (0.02, 0.1, 0.3)
EXPLORING = 0.8
SHARES = (0.2, 0.8)
START_COST_S, OVERRUN, MOST_OVERRUN_S = 0.08, 0.3, 0.5


class Task(NamedTuple):
    """What `solve` is asked."""

    copies: tuple[Copy, ...]
    width_cm: float
    seconds: float
    seed: int


class Lie(NamedTuple):
    """How the solver laid a copy: its turn and the corner of its box."""

    turn_deg: float
    x_cm: float
    y_cm: float


def length(layout: Layout) -> float:
    """How long a layout is, cm: what searches compare."""
    return layout.length_cm


def search(
    copies: tuple[Copy, ...],
    width_cm: float,
    *,
    seconds: float,
    seed: int = 1,
    executor: Executor | None = None,
    workers: int = 2,
    progress: Callable[[float, Layout], None] | None = None,
) -> Layout:
    """The shortest layout found on cloth of `width_cm`: the first guess, or better after `seconds`.

    `workers`: how many tasks `executor` runs at once; each searches with a seed of its own. Without an
    executor, or with no seconds, it is the first guess. `progress` is told the share done and the best
    layout, between slices. Raises `TooWide` if a piece does not fit.
    """
    best = first_guess(copies, width_cm, seed=seed)
    tell = progress or (lambda _share, _layout: None)
    tell(0.0, best)
    if executor is None:
        return best
    shares = [share for share in SHARES if share * seconds > START_COST_S]
    for number, share in enumerate(shares):
        seeds = range(seed + number * workers, seed + (number + 1) * workers)
        tasks = [Task(copies, width_cm, limit(share * seconds), each) for each in seeds]
        best = min([best, *filter(None, run(executor, tasks))], key=length)
        tell((number + 1) / len(shares), best)
    return best


def limit(seconds: float) -> float:
    """The limit to give the solver so that a task, overrun and judging included, takes about `seconds`."""
    running = max(0.0, seconds - START_COST_S)
    return max(running / (1 + OVERRUN), running - MOST_OVERRUN_S)


def run(executor: Executor, tasks: Sequence[Task]) -> Iterator[Layout | None]:
    """The answers of `solve` to these tasks, in order; when stopped, tasks not yet begun are cancelled."""
    futures: list[Future[Layout | None]] = [executor.submit(solve, *task) for task in tasks]
    try:
        for future in futures:
            yield future.result()
    finally:
        for future in futures:
            future.cancel()


def solve(copies: tuple[Copy, ...], width_cm: float, seconds: float, seed: int) -> Layout | None:
    """One task: a judged layout after `seconds` of search, or None if there is none to be had.

    There is none when the solver is not installed, when it fails, or when a piece is wider than the cloth.
    """
    widest = narrowest_cm(copies)
    if not copies or widest > width_cm + FIT_CM:
        return None
    for pad in PADS_CM:
        if width_cm + pad - widest >= FLUSH_CM:
            lies = _solved(copies, width_cm + pad, seconds, seed)
            if lies:
                return _shortest_valid(copies, width_cm, lies)
    return None


def _solved(copies: tuple[Copy, ...], strip_cm: float, seconds: float, seed: int) -> list[Lie] | None:
    """How the solver lays each copy on the strip; None if it is not installed, or panics."""
    try:
        import spyrrow
    except ImportError:
        return None
    config = spyrrow.StripPackingConfig(total_computation_time=1, num_workers=1, seed=seed)
    config.exploration_time = timedelta(seconds=EXPLORING * seconds)
    config.compression_time = timedelta(seconds=(1 - EXPLORING) * seconds)
    alike = _alike(copies)
    items = [
        spyrrow.Item(str(number), list(copies[same[0]].outline), len(same), list(copies[same[0]].turns_deg))
        for number, same in enumerate(alike)
    ]
    try:
        with _panic_unprinted():
            solution = spyrrow.StripPackingInstance("cloth", strip_cm, items).solve(config)
    except (KeyboardInterrupt, SystemExit):
        raise
    except BaseException:  # noqa: BLE001 - the solver's panic is no Exception
        return None
    found = {alike[int(item.id)].pop(): item for item in solution.placed_items}
    return [_lie(copy, found[i].rotation, found[i].translation) for i, copy in enumerate(copies)]


def _alike(copies: tuple[Copy, ...]) -> list[list[int]]:
    """The copies by number, those that are cut and may lie alike together."""
    groups: dict[tuple[Ring, tuple[float, ...]], list[int]] = {}
    for number, copy in enumerate(copies):
        groups.setdefault((copy.outline, copy.turns_deg), []).append(number)
    return list(groups.values())


@contextmanager
def _panic_unprinted() -> Iterator[None]:
    """Keep the solver's backtrace off standard error, in the main thread of a child process only."""
    if multiprocessing.parent_process() is None or threading.current_thread() is not threading.main_thread():
        yield
        return
    kept, nowhere = os.dup(2), os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 2)
    try:
        yield
    finally:
        os.dup2(kept, 2)
        os.close(kept)
        os.close(nowhere)


def _lie(copy: Copy, rotation_deg: float, translation: tuple[float, float]) -> Lie:
    """The solver turns a ring about its origin and then moves it: the turn, and the corner of the box."""
    turn_deg = min(copy.turns_deg, key=lambda t: abs((rotation_deg - t + 180) % 360 - 180))
    c, s = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    left = min(c * x - s * y for x, y in copy.outline)
    low = min(s * x + c * y for x, y in copy.outline)
    return Lie(turn_deg, left + translation[0], low + translation[1])


def _shortest_valid(copies: tuple[Copy, ...], width_cm: float, lies: list[Lie]) -> Layout | None:
    """The shortest of the layout as it came and the layouts settled from it that the judge lets pass."""
    rings = [turn(copy.outline, lie.turn_deg) for copy, lie in zip(copies, lies, strict=True)]
    x, y = [max(0.0, lie.x_cm) for lie in lies], [lie.y_cm for lie in lies]
    inside = _between_selvedges(rings, y, width_cm)
    fallen = _between_selvedges(rings, fall([_across(ring) for ring in rings], x, _by(y)), width_cm)
    ways = [(x, inside), (fall(rings, inside, _by(x)), inside), (fall(rings, fallen, _by(x)), fallen)]
    layouts = [measured(copies, width_cm, _placed(copies, lies, *way)) for way in ways]
    return next((layout for layout in sorted(layouts, key=length) if not faults(copies, layout)), None)


def _between_selvedges(rings: list[Ring], y: list[float], width_cm: float) -> list[float]:
    """The distances across the cloth, changed as little as brings every ring between the selvedges."""
    last = [max(0.0, width_cm - max(up for _, up in ring)) for ring in rings]
    return [min(max(0.0, at), most) for at, most in zip(y, last, strict=True)]


def _across(ring: Ring) -> Ring:
    """The ring with along and across exchanged, so that it falls toward the selvedge."""
    return tuple((y, x) for x, y in ring)


def _by(positions: list[float]) -> list[int]:
    return sorted(range(len(positions)), key=positions.__getitem__)


def _placed(copies: tuple[Copy, ...], lies: list[Lie], x: list[float], y: list[float]) -> tuple[Placed, ...]:
    return tuple(
        Placed(copy.piece, copy.number, round(at_x, 9), round(at_y, 9), lie.turn_deg, copy.mirrored)
        for copy, lie, at_x, at_y in zip(copies, lies, x, y, strict=True)
    )
