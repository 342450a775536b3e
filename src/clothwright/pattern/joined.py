"""A join as it is asked for, and a piece with its panels and joins; how joins are sewn is a table."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, cached_property
from importlib import resources
from typing import Any, Final

from clothwright.pattern.join_place import JoinPlace
from clothwright.pattern.piece import Piece, Point, Ring, line_length, shifted

#: What is nearer than the first lies on a line, and what is shorter than the second is none, cm.
ON_CM: Final = 1e-5
SHORTEST_CM: Final = 0.05


class JoinRefused(ValueError):
    """A join that cannot be made on this piece; the message says why."""


class Sewn(StrEnum):
    """How two panels are put together."""

    SEAM = "seam"
    BUTTED = "selvedges butted"
    LAPPED = "selvedges lapped"

    @property
    def by_selvedge(self) -> bool:
        """Whether it joins selvedges rather than cut edges."""
        return self is not Sewn.SEAM

    @property
    def words(self) -> str:
        """What is done, in words."""
        return str(_sewn_row(self)["words"])

    @property
    def usual_allowance_cm(self) -> float:
        """Cloth beyond the join on each panel where the weaver has not said, cm."""
        return float(_sewn_row(self)["allowance_cm"])


@dataclass(frozen=True)
class Join:
    """How a piece is to be joined: where, how it is sewn, and the cloth beyond the join on each panel, cm.

    `material`: what a hem that is cut off for a facing is cut from.
    """

    place: JoinPlace
    sewn: Sewn = Sewn.SEAM
    allowance_cm: float = 1.5
    material: str | None = None


@dataclass(frozen=True)
class JoinSeam:
    """One join of a piece: its name, its line on the piece, and its length, cm."""

    name: str
    line: Ring

    @property
    def length_cm(self) -> float:
        """Length of the seam of one copy, cm."""
        return line_length(self.line)


@dataclass(frozen=True)
class Panel:
    """One panel: the piece to cut, and the part of the whole it becomes, where that lies on the whole.

    `corner`: where the panel's own origin lies on the whole.
    """

    piece: Piece
    part: Ring
    corner: Point

    def on_the_whole(self, line: Ring) -> Ring:
        """A line of the panel where it lies on the whole piece."""
        return shifted(line, *self.corner)


@dataclass(frozen=True)
class JoinedPiece:
    """A piece with its panels and joins."""

    whole: Piece
    join: Join
    panels: tuple[Panel, ...]
    seams: tuple[JoinSeam, ...]

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """The panels as pieces to cut."""
        return tuple(panel.piece for panel in self.panels)

    @property
    def seam_cm(self) -> float:
        """Length of all joins of all copies, cm: what there is to sew."""
        return self.whole.cut * sum(seam.length_cm for seam in self.seams)


def narrowest_proposed_cm() -> float:
    """The narrowest panel that is proposed, cm; narrower ones are joined where they are asked for."""
    return float(join_table()["limits"]["narrowest_proposed_cm"])


def _sewn_row(sewn: Sewn) -> dict[str, Any]:
    return next(row for row in join_table()["sewn"] if row["name"] == sewn)


@cache
def join_table() -> dict[str, Any]:
    """How joins are sewn, with usual allowances and limits."""
    return tomllib.loads(resources.files(__package__).joinpath("joins.toml").read_text(encoding="utf-8"))
