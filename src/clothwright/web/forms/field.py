"""What a field of a page is: how it is shown and kept, the unit a bare number takes, and how fields stand together."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final


class Kind(StrEnum):
    """How a field is shown and kept."""

    TEXT = "text"
    CHOICE = "choice"
    YARN = "yarn"
    YES = "yes"
    COUNT = "count"
    SEVERAL = "several"
    STEPS = "steps"
    COLOUR = "colour"


@dataclass(frozen=True)
class Unit:
    """The unit a bare number takes, when the project is metric and when it is imperial."""

    metric: str
    imperial: str

    def for_units(self, units: object) -> str:
        """The unit for what a project's `units` says."""
        return self.imperial if units == "imperial" else self.metric


CM: Final = Unit("cm", "in")
MM: Final = Unit("mm", "in")
METRES: Final = Unit("m", "yd")
GRAMS: Final = Unit("g", "oz")
GRIST: Final = Unit("m/100 g", "yd/lb")
THREADS: Final = Unit("/cm", "/in")
HEDDLE: Final = Unit("/10 cm", "/in")
PERCENT: Final = Unit("%", "%")
OF_WARP: Final = Unit("% of warp", "% of warp")
OF_WIDTH: Final = Unit("% of width in heddle", "% of width in heddle")


@dataclass(frozen=True)
class Field:
    """One field: `path` in the document; `choices` are what is stored and what is shown, the first is the default."""

    path: str
    label: str
    kind: Kind = Kind.TEXT
    american: str = ""
    unit: Unit | None = None
    help: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    wide: bool = False
    #: Shown only where a file brought a value; people are not asked for it.
    only_where_given: bool = False
    #: The most letters that can be typed.
    longest: int = 300


@dataclass(frozen=True)
class Rows:
    """Rows of the same fields: `path` of the list, what one row is called, and the words on the button that adds one."""

    path: str
    word: str
    add: str
    parts: tuple[Part, ...]
    #: Small rows stand on one line, large ones under a heading of their own.
    small: bool = False
    help: str = ""
    #: The words on the button once there is a row.
    again: str = ""


@dataclass(frozen=True)
class Group:
    """Fields that belong together, under a small heading; `folded` away while nothing in it was typed."""

    title: str
    parts: tuple[Part, ...]
    help: str = ""
    folded: bool = False


Part = Field | Rows | Group


@dataclass(frozen=True)
class Section:
    """A section of the page; `key` is its anchor, `holds` the parts of the document whose problems it shows."""

    key: str
    title: str
    intro: str
    parts: tuple[Part, ...]
    holds: tuple[str, ...] = ()


def same_words(*words: str) -> tuple[tuple[str, str], ...]:
    """Choices that are shown by the words they are stored as."""
    return tuple((word, word) for word in words)
