"""The printed marker strips that a photograph of a paper piece is corrected by.

A strip is four square markers in a row, cut from the printed sheet and laid flat around the piece, wherever there is room.
Each marker is `SIDE_CM` across, their left edges `PITCH_CM` apart.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Final

from clothwright.pattern.piece import Point

SIDE_CM: Final = 3.6
PITCH_CM: Final = 4.4
STRIPS: Final = 4
#: Squares across a marker, with its border.
ACROSS: Final = 6


@dataclass(frozen=True)
class Marker:
    """One marker: its number, where it stands, and its squares, row by row, True for white, border included."""

    number: int
    strip: int
    place: int
    squares: tuple[tuple[bool, ...], ...]

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """Its corners on its strip, cm, y downwards: top left, top right, lower right, lower left."""
        left = self.place * PITCH_CM
        return (left, 0.0), (left + SIDE_CM, 0.0), (left + SIDE_CM, SIDE_CM), (left, SIDE_CM)


@cache
def markers() -> dict[int, Marker]:
    """The markers by number."""
    text = resources.files(__package__).joinpath("markers.toml").read_text(encoding="utf-8")
    return {row["number"]: _marker(row) for row in tomllib.loads(text)["marker"]}


def _marker(row: dict[str, object]) -> Marker:
    inner = [tuple(square == "1" for square in line) for line in str(row["squares"]).split()]
    black = (False,) * ACROSS
    squares = (black, *((False, *line, False) for line in inner), black)
    return Marker(int(str(row["number"])), int(str(row["strip"])), int(str(row["place"])), squares)
