"""An order changed by hand: run by run, each step giving the order that comes of it.

Nothing is judged here: an order changed by hand may break rules, or have more ends than the warp. That is for the judge.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace


@dataclass(frozen=True)
class HandRun:
    """Ends of one yarn side by side; `ball`: which of its yarn's balls, where it is said; `held`: a new drawing leaves it."""

    yarn: str
    ends: int
    ball: int | None = None
    held: bool = False


Runs = tuple[HandRun, ...]


def first_ends(runs: Sequence[HandRun]) -> tuple[int, ...]:
    """The number of each run's first end, counted from 1."""
    return tuple(1 + sum(run.ends for run in runs[:number]) for number in range(len(runs)))


def run_changed(runs: Sequence[HandRun], number: int, *, yarn: str, ends: int) -> Runs:
    """Another yarn, or another number of ends; of another yarn the ball is not said any more. ValueError below one end."""
    if ends < 1:
        raise ValueError(f"{ends} ends: a run has one at least; take the run away instead")
    was = runs[number]
    return _with(runs, number, replace(was, yarn=yarn, ends=ends, ball=was.ball if yarn == was.yarn else None))


def run_held(runs: Sequence[HandRun], number: int, *, held: bool) -> Runs:
    """Held, or let go."""
    return _with(runs, number, replace(runs[number], held=held))


def run_moved(runs: Sequence[HandRun], number: int, by: int) -> tuple[Runs, int]:
    """Moved past so many runs, not beyond an edge; and where it then stands."""
    to = min(max(number + by, 0), len(runs) - 1)
    others = [*runs[:number], *runs[number + 1 :]]
    return (*others[:to], runs[number], *others[to:]), to


def run_split(runs: Sequence[HandRun], number: int, after: int) -> Runs:
    """Cut in two after so many of its ends. ValueError where that leaves no end on one side."""
    run = runs[number]
    if not 0 < after < run.ends:
        raise ValueError(f"a run of {run.ends} ends can be split after 1 to {run.ends - 1} ends, not after {after}")
    return _with(runs, number, replace(run, ends=after), replace(run, ends=run.ends - after))


def run_taken_away(runs: Sequence[HandRun], number: int) -> Runs:
    """Without the run."""
    return _with(runs, number)


def _with(runs: Sequence[HandRun], number: int, *instead: HandRun) -> Runs:
    return (*runs[:number], *instead, *runs[number + 1 :])
