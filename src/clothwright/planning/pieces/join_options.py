"""The ways a piece could be joined for cloth of a width: from its shape alone, before anything is planned.

A piece that is too wide has the ways whose panels all fit on the cloth. A line drawn on it where it may be joined comes
first. A piece that fits has a centre seam and its drawn lines, since narrower panels may lie better beside the others.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from clothwright.measure import CM_PER_INCH
from clothwright.pattern import (
    Join,
    JoinedPiece,
    JoinRefused,
    Piece,
    Sewn,
    drawn_joins,
    join_piece,
    narrowest_proposed_cm,
    read_join_place,
)
from clothwright.project.parts.pattern_parts import JoinPart

#: Side panels are proposed to the half centimetre, or the quarter inch.
_STEP_CM: Final = 0.5
_MOST_EQUAL: Final = 6
_FITS_CM: Final = 1e-6


@dataclass(frozen=True)
class JoinOption:
    """A way to join a piece: in words that follow “joined”, as it is written in the project, and the panels it gives."""

    what: str
    part: JoinPart
    joined: JoinedPiece

    @property
    def kind(self) -> str:
        """The way in short: with side panels, by their selvedges."""
        return "by their selvedges" if Sewn(self.part.sewn).by_selvedge else self.what.partition(" of ")[0]

    @property
    def widest_cm(self) -> float:
        """The widest panel, cm."""
        return max(panel.width_cm for panel in self.joined.pieces)


def options_for(
    piece: Piece, usable_cm: float, *, allowance_cm: float | None = None, trimmed: bool = False, imperial: bool = False
) -> tuple[JoinOption, ...]:
    """The ways to join a piece so that every panel fits on cloth of that usable width, a drawn line first.

    `allowance_cm`: of the seams of a join, where the pattern has its own. `trimmed`: the selvedges are cut off, so
    they cannot be joined.
    """
    allowance = Sewn.SEAM.usual_allowance_cm if allowance_cm is None else allowance_cm
    ways = _ways(piece, usable_cm, allowance, trimmed, imperial)
    made = (_option(piece, what, at, sewn, allowance) for what, at, sewn in ways)
    found = [one for one in made if one is not None and one.widest_cm <= usable_cm + _FITS_CM]
    return tuple({(one.part.at, one.part.sewn): one for one in found}.values())


def why_not(piece: Piece, usable_cm: float, *, allowance_cm: float | None = None) -> str:
    """Why no way of joining makes a piece fit."""
    allowance = Sewn.SEAM.usual_allowance_cm if allowance_cm is None else allowance_cm
    try:
        join_piece(piece, Join(read_join_place("centre"), Sewn.SEAM, allowance))
    except JoinRefused as refused:
        return str(refused)
    return f"{piece.name}: no way was found to join it from panels that fit on {usable_cm:.1f} cm of cloth"


def _option(piece: Piece, what: str, at: str, sewn: Sewn, allowance: float) -> JoinOption | None:
    join = Join(read_join_place(at), sewn, sewn.usual_allowance_cm if sewn.by_selvedge else allowance)
    said: dict[str, Any] = {"piece": piece.name, "at": at}
    said |= {"sewn": str(sewn)} if sewn.by_selvedge else {}
    try:
        return JoinOption(what, JoinPart(**said), join_piece(piece, join))
    except JoinRefused:
        return None


def _ways(
    piece: Piece, usable: float, allowance: float, trimmed: bool, imperial: bool
) -> Iterator[tuple[str, str, Sewn]]:
    if drawn_joins(piece):
        yield "at the line drawn on it", "drawn line", Sewn.SEAM
    yield "by a centre seam", "centre", Sewn.SEAM
    if piece.width_cm <= usable + _FITS_CM:
        return
    yield from _equal(piece, usable, allowance)
    yield from _sides(piece, usable, allowance, imperial)
    if not trimmed:
        yield "by a centre seam with the selvedges butted", "centre", Sewn.BUTTED
        yield "by a centre seam with the selvedges lapped", "centre", Sewn.LAPPED
        panels = math.ceil(piece.width_cm / usable - _FITS_CM)
        if 2 < panels <= _MOST_EQUAL:
            yield f"from {panels} equal panels, selvedges butted", f"{panels} equal panels", Sewn.BUTTED


def _equal(piece: Piece, usable: float, allowance: float) -> Iterator[tuple[str, str, Sewn]]:
    """The fewest equal panels that fit, from three on."""
    for panels in range(2, _MOST_EQUAL + 1):
        sides = 2 if panels > 2 else 1
        if piece.width_cm / panels + sides * allowance <= usable + _FITS_CM:
            if panels > 2:
                yield f"from {panels} equal panels", f"{panels} equal panels", Sewn.SEAM
            return


def _sides(piece: Piece, usable: float, allowance: float, imperial: bool) -> Iterator[tuple[str, str, Sewn]]:
    """A middle as wide as the cloth takes with a panel at each side, or at one."""
    both = _rounded_up((piece.width_cm - (usable - 2 * allowance)) / 2, imperial)
    one = _rounded_up(piece.width_cm - (usable - allowance), imperial)
    if narrowest_proposed_cm() <= both.cm < piece.width_cm / 2:
        yield f"with side panels of {both.text}", f"side panels of {both.text}", Sewn.SEAM
    if narrowest_proposed_cm() <= one.cm < piece.width_cm / 2:
        yield f"with one side panel of {one.text}", f"{one.text} from the right", Sewn.SEAM


@dataclass(frozen=True)
class _Length:
    cm: float
    text: str


def _rounded_up(cm: float, imperial: bool) -> _Length:
    """At least this length, and what is proposed at least, in whole steps as a person would write it."""
    least = max(cm, narrowest_proposed_cm())
    step, unit = (CM_PER_INCH / 4, "in") if imperial else (_STEP_CM, "cm")
    steps = math.ceil(least / step - _FITS_CM)
    return _Length(steps * step, f"{steps / (4 if imperial else 2):g} {unit}")
