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
- The judge looks at all of these. The shortest without a fault is pushed together once more, all pieces at
  once (see `tightening`), and is the answer. If there is none, there is no answer, and the first guess stands.
- Rules the solver can be told, it is told in shapes: a gap is outlines grown by half of it on a strip as much
  wider, a tolerance of the grain is more turns. Where others are asked it gets two fifths of the time; then the
  layout found is laid down again so that it keeps them (see `ruled`), and squeezed (see `squeezing`) in the rest.
- Where the solver starts from depends on the seed and decides how far it comes in a few seconds; with two dozen
  pieces or more, starts are then looked at first, and the search begins from the shortest.

`solve` is one task: one width, one slice of time, and one thread if nothing else is said. Two threads on one search
come further than two searches of one thread each. Tasks are done in processes that are spawned, never forked (a forked
child of a process that has searched before hangs): `Searchers`, or any executor.
"""

from __future__ import annotations

import math
import multiprocessing
import os
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import timedelta
from typing import Any, NamedTuple

from clothwright.layout.area import FIT_CM, measured, narrowest_cm
from clothwright.layout.arrangement import Copy, Layout, Placed, turn
from clothwright.layout.contact import fall
from clothwright.layout.judge import faults
from clothwright.layout.ruled import made_to_keep
from clothwright.layout.rules import NO_RULES, Rules
from clothwright.layout.squeezing import squeeze
from clothwright.layout.standing_in import StandIns, stand_ins
from clothwright.layout.tightening import ROUNDS, pushed, tightened
from clothwright.pattern import Ring

FLUSH_CM = 0.09
PADS_CM = (0.02, 0.1, 0.3)
EXPLORING = 0.8
#: What the solver gets of the time where rules are asked that it knows nothing of.
SOLVER_SHARE = 0.4
START_COST_S, OVERRUN, MOST_OVERRUN_S = 0.08, 0.3, 0.5
#: Pushing together takes so long for each piece.
TIGHTENING_S = 0.007
MANY = 28
START_S, STARTS_SHARE, MOST_STARTS, SHORT_S = 0.004, 0.06, 8, 5.0
LISTEN_S, PAUSE_TIMES, WORTH_TELLING, HASTY_ROUNDS = 0.25, 30.0, 0.99, 2


@dataclass(frozen=True)
class Effort:
    """How long to look: `seconds` by the clock, or `rounds` with none."""

    seconds: float = 0.0
    rounds: int = 0

    def part(self, share: float) -> Effort:
        """A share of it; of rounds, one at least."""
        return Effort(share * self.seconds, max(1, round(share * self.rounds)) if self.rounds else 0)


NO_EFFORT = Effort()


class Task(NamedTuple):
    """What `solve` is asked."""

    copies: tuple[Copy, ...]
    width_cm: float
    seconds: float
    seed: int
    threads: int = 1
    rules: Rules = NO_RULES


class Lie(NamedTuple):
    """How the solver laid a copy: its turn and the corner of its box."""

    turn_deg: float
    x_cm: float
    y_cm: float


def length(layout: Layout) -> float:
    """How long a layout is, cm: what searches compare."""
    return layout.length_cm


def limit(seconds: float, count: int = 0) -> float:
    """The limit to give the solver so that a task for `count` copies, judging included, takes about `seconds`."""
    running = max(0.0, seconds_to_search(seconds, count) - START_COST_S)
    return max(running / (1 + OVERRUN), running - MOST_OVERRUN_S)


def seconds_to_search(seconds: float, count: int) -> float:
    """What is left of `seconds` for the solver when pushing `count` copies together is to come out of them."""
    return seconds - min(0.1 * seconds, TIGHTENING_S * count)


def solve(
    copies: tuple[Copy, ...],
    width_cm: float,
    seconds: float,
    seed: int,
    threads: int = 1,
    rules: Rules = NO_RULES,
    tell: Callable[[Layout], None] | None = None,
) -> Layout | None:
    """One task: a judged layout after `seconds` of search, or None if there is none to be had.

    There is none when the solver is not installed, when it fails, when a piece is wider than the cloth, or when a rule
    cannot be kept. `tell` is called with judged layouts as they improve, from a thread of its own.
    """
    if rules.more_than_shapes:
        return _squeezed(copies, width_cm, seconds, seed, threads, rules, tell)
    standing = stand_ins(copies, width_cm, rules)
    widest = narrowest_cm(standing.copies)
    if not copies or widest > standing.width_cm + FIT_CM:
        return None
    answer = _Answer(copies, standing, rules, tell)
    for pad in PADS_CM:
        if standing.width_cm + pad - widest >= FLUSH_CM:
            lies = _solved(standing.copies, standing.width_cm + pad, seconds, seed, threads, answer.hear)
            if lies:
                return answer.best_of(lies)
    return None


def _squeezed(
    copies: tuple[Copy, ...],
    width_cm: float,
    seconds: float,
    seed: int,
    threads: int,
    rules: Rules,
    tell: Callable[[Layout], None] | None,
) -> Layout | None:
    """A layout found by shapes alone, then made to keep all rules and squeezed."""
    found = solve(copies, width_cm, SOLVER_SHARE * seconds, seed, threads, rules.in_shapes)
    if found is None:
        return None

    def heard(layout: Layout) -> None:
        if tell and not faults(copies, layout, rules=rules):
            tell(layout)

    layout = squeeze(copies, found, rules, (1 - SOLVER_SHARE) * seconds, seed, heard)
    return None if faults(copies, layout, rules=rules) else layout


class _Answer:
    """What the solver finds, made into layouts of the copies themselves that keep the rules."""

    def __init__(
        self, copies: tuple[Copy, ...], standing: StandIns, rules: Rules, tell: Callable[[Layout], None] | None
    ) -> None:
        self.copies, self.standing, self.rules, self.tell = copies, standing, rules, tell
        self.shortest_cm = math.inf

    def hear(self, lies: list[Lie], length_cm: float) -> None:
        """Tell of a layout under way where it is shorter by enough to be worth judging, as it came and not settled."""
        if self.tell and length_cm < self.shortest_cm * WORTH_TELLING:
            self.shortest_cm = length_cm
            if layout := self._mended(lies, HASTY_ROUNDS):
                self.tell(layout)

    def best_of(self, lies: list[Lie]) -> Layout | None:
        """The layout that the solver ended with, pushed together; with few copies, the better of two ways."""
        found = [self._mended(lies, ROUNDS)]
        if found[0] is None or len(lies) < MANY:
            settled = _shortest_valid(self.standing.copies, self.standing.width_cm, lies)
            layout = settled and self._keeping(settled)
            found.append(layout and tightened(self.copies, layout, self.rules))
        return min(filter(None, found), key=length, default=None)

    def _mended(self, lies: list[Lie], rounds: int) -> Layout | None:
        """The solver's layout pushed between the selvedges, apart where that made it overlap, and together."""
        standing = self.standing
        found = pushed(standing.copies, _as_it_came(standing.copies, standing.width_cm, lies), rounds=rounds)
        return None if faults(standing.copies, found) else self._keeping(found)

    def _keeping(self, found: Layout) -> Layout | None:
        """The copies themselves laid as their stand-ins lie, or as near to it as keeps the rules."""
        layout = self.standing.back(found)
        if not faults(self.copies, layout, rules=self.rules):
            return layout
        made = made_to_keep(self.copies, layout, self.rules)
        return (
            tightened(self.copies, made, self.rules)
            if made and not faults(self.copies, made, rules=self.rules)
            else None
        )


Heard = Callable[[list[Lie], float], None]


def _solved(
    copies: tuple[Copy, ...], strip_cm: float, seconds: float, seed: int, threads: int, heard: Heard
) -> list[Lie] | None:
    """How the solver lays each copy on the strip; None if it is not installed, or panics."""
    try:
        import spyrrow
    except ImportError:
        return None
    alike = _alike(copies)
    items = [
        spyrrow.Item(str(n), list(copies[group[0]].outline), len(group), list(copies[group[0]].turns_deg))
        for n, group in enumerate(alike)
    ]
    try:
        with _panic_unprinted():
            instance = spyrrow.StripPackingInstance("cloth", strip_cm, items)
            starts = min(MOST_STARTS, int(STARTS_SHARE * seconds * threads / (START_S * len(copies))))
            if len(copies) >= MANY and starts > 1 and seconds < SHORT_S:
                solutions = {other: instance.solve(_config(0.0, other, 1)) for other in range(seed, seed + starts)}
                seed = min(solutions, key=lambda other: float(solutions[other].width))
                seconds = max(0.0, seconds * (1 - STARTS_SHARE))
            with _listening(spyrrow, lambda solution: heard(_lies(copies, alike, solution), solution.width)) as queue:
                solution = instance.solve(_config(seconds, seed, threads), queue)
    except (KeyboardInterrupt, SystemExit):
        raise
    except BaseException:  # noqa: BLE001 - the solver's panic is no Exception
        return None
    return _lies(copies, alike, solution)


def _config(seconds: float, seed: int, threads: int) -> Any:
    """How the solver is to search; its limits are set afterwards, since only then it takes parts of seconds."""
    import spyrrow

    config = spyrrow.StripPackingConfig(
        early_termination=False, total_computation_time=1, num_workers=threads, seed=seed
    )
    config.exploration_time = timedelta(seconds=EXPLORING * seconds)
    config.compression_time = timedelta(seconds=(1 - EXPLORING) * seconds)
    return config


@contextmanager
def _listening(spyrrow: Any, hear: Callable[[Any], None]) -> Iterator[Any]:
    """A queue the solver reports to, listened to by a thread: the newest feasible solution, every quarter second.

    More seldom where hearing takes long, so that it costs the search a thirtieth of its time at most.
    """
    queue, ended = spyrrow.ProgressQueue(), threading.Event()

    def listen() -> None:
        pause_s = LISTEN_S
        while not ended.wait(pause_s):
            feasible = [found for kind, found in queue.drain() if str(kind).endswith("Feas")]
            began = time.perf_counter()
            if feasible:
                hear(feasible[-1])
            pause_s = max(LISTEN_S, PAUSE_TIMES * (time.perf_counter() - began))

    listener = threading.Thread(target=listen, daemon=True)
    listener.start()
    try:
        yield queue
    finally:
        ended.set()
        listener.join()


def _lies(copies: tuple[Copy, ...], alike: list[list[int]], solution: Any) -> list[Lie]:
    """How each copy lies in a solution; which of those that are cut alike lies where is as it comes."""
    left = [list(group) for group in alike]
    found = {left[int(item.id)].pop(): item for item in solution.placed_items}
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


def _as_it_came(copies: tuple[Copy, ...], width_cm: float, lies: list[Lie]) -> Layout:
    """The layout of the solver, pushed between the selvedges and not judged."""
    rings = [turn(copy.outline, lie.turn_deg) for copy, lie in zip(copies, lies, strict=True)]
    inside = _between_selvedges(rings, [lie.y_cm for lie in lies], width_cm)
    return measured(copies, width_cm, _placed(copies, lies, [max(0.0, lie.x_cm) for lie in lies], inside))


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
