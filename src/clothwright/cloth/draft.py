"""A draft: which shafts each end is threaded on, and which shafts rise for each pick.

Ends and picks are counted from 1, as weavers do; the first end is the one at the right edge of a draft on paper, the first
pick the one nearest the weaver. A rigid heddle is two shafts: its holes, and its slots, which a pick-up stick or a second heddle
divides further. Which end lies over the weft follows: an end is up when any of its shafts is raised.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import reduce
from operator import or_

import numpy as np
from numpy.typing import NDArray

from clothwright.cloth.structure import Structure

Shafts = frozenset[int]

#: More shafts than any handloom has; it also bounds what a draft that somebody sent may ask of this machine.
MOST_SHAFTS = 128


class DraftError(ValueError):
    """A draft that cannot be woven; the message says what is wrong, in one sentence."""


@dataclass(frozen=True)
class Draft:
    """A threading and its lifts: shafts of each end, shafts raised for each pick; numbered from 1.

    `tie_up` and `treadling`: for each treadle its shafts, for each pick its treadles, where the loom has treadles; `lifts`
    then follow from them, and `rising` says whether a treadle raises its shafts or sinks them.
    """

    shafts: int
    threading: tuple[Shafts, ...]
    lifts: tuple[Shafts, ...]
    tie_up: tuple[Shafts, ...] = ()
    treadling: tuple[Shafts, ...] = ()
    rising: bool = True

    def __post_init__(self) -> None:
        """Check once that every shaft and treadle named is there."""
        if not 1 <= self.shafts <= MOST_SHAFTS:
            raise DraftError(f"{self.shafts} shafts: a loom has 1 to {MOST_SHAFTS}")
        for what, rows, most in (
            ("end", self.threading, self.shafts),
            ("pick", self.lifts, self.shafts),
            ("treadle", self.tie_up, self.shafts),
        ):
            _check(what, rows, most, "shaft")
        _check("pick", self.treadling, len(self.tie_up), "treadle")

    @property
    def up(self) -> NDArray[np.bool_]:
        """Which ends lie over the weft, (picks, ends): the first pick and the first end come first.

        Worked out once for each kind of end and of lift, and laid out from them.
        """
        (ends, of_end), (lifts, of_pick) = _kinds(self.threading), _kinds(self.lifts)
        threaded, lifted = _as_table(ends, self.shafts), _as_table(lifts, self.shafts)
        crossings = np.asarray((lifted.astype(np.int32) @ threaded.T.astype(np.int32)) > 0)
        return crossings[np.ix_(of_pick, of_end)]


def lifts_of(
    tie_up: tuple[Shafts, ...], treadling: tuple[Shafts, ...], shafts: int, *, rising: bool
) -> tuple[Shafts, ...]:
    """The shafts raised for each pick by the treadles trodden; where treadles sink shafts, all the others rise."""
    _check("pick", treadling, len(tie_up), "treadle")
    _check("treadle", tie_up, shafts, "shaft")
    tied = [_as_bits(treadle) for treadle in tie_up]
    every = (1 << (shafts + 1)) - 2
    found: dict[int, Shafts] = {}
    lifts = []
    for pick in treadling:
        raised = reduce(or_, (tied[treadle - 1] for treadle in pick), 0)
        raised = raised if rising or not pick else every & ~raised
        if raised not in found:
            found[raised] = _of_bits(raised, shafts)
        lifts.append(found[raised])
    return tuple(lifts)


def _as_bits(shafts: Shafts) -> int:
    return reduce(or_, (1 << shaft for shaft in shafts), 0)


def _of_bits(bits: int, shafts: int) -> Shafts:
    return frozenset(shaft for shaft in range(1, shafts + 1) if bits >> shaft & 1)


def draft_of(structure: Structure, *, ends: int, picks: int) -> Draft:
    """A structure as a draft of so many ends and picks: ends that lift alike share a shaft, shafts in the order they come."""
    columns = list(zip(*structure.draft, strict=True))
    kinds = list(dict.fromkeys(columns))
    threading = tuple(frozenset({kinds.index(columns[end % structure.ends]) + 1}) for end in range(ends))
    lifts = tuple(
        frozenset(number for number, column in enumerate(kinds, 1) if column[pick % structure.picks] == "1")
        for pick in range(picks)
    )
    return Draft(len(kinds), threading, lifts)


def repeat_of(up: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """The least rows and columns that, over and over, make the whole table."""
    return up[: _period(up), : _period(up.T)]


def _period(rows: NDArray[np.bool_]) -> int:
    """The least number of rows after which they come again, to the end; in time of their number (Knuth, Morris, Pratt)."""
    told = [row.tobytes() for row in rows]
    border, borders = 0, [0]
    for row in told[1:]:
        while border and told[border] != row:
            border = borders[border - 1]
        border += told[border] == row
        borders.append(border)
    return len(told) - border


def _kinds(rows: tuple[Shafts, ...]) -> tuple[tuple[Shafts, ...], NDArray[np.intp]]:
    """The rows that differ, in the order they come, and for each row which of them it is."""
    numbers: dict[Shafts, int] = {}
    of_row = [numbers.setdefault(row, len(numbers)) for row in rows]
    return tuple(numbers), np.array(of_row, dtype=np.intp)


def _check(what: str, rows: tuple[Shafts, ...], most: int, kind: str) -> None:
    for number, row in enumerate(rows, 1):
        wrong = [one for one in sorted(row) if not 1 <= one <= most]
        if wrong:
            raise DraftError(f"{what} {number} names {kind} {wrong[0]}, and there are {most} {kind}s")


def _as_table(rows: tuple[Shafts, ...], shafts: int) -> NDArray[np.bool_]:
    table = np.zeros((len(rows), shafts), dtype=bool)
    for number, row in enumerate(rows):
        table[number, [shaft - 1 for shaft in row]] = True
    return table
