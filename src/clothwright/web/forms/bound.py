"""Fields, rows and sections at their places in a typed tree: what a page of fields shows."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from clothwright.planning.cloth.cloth_picture import STAND_INS
from clothwright.web.forms.field import Field, Group, Kind, Rows, Section
from clothwright.web.forms.typed import Path, name_of

_COLOUR: Final = re.compile(r"#[0-9a-fA-F]{6}")
#: Fields of a structure that is decided here; elsewhere it may be left to the cloth.
STRUCTURES_DECIDED: Final = ("cloth.structure", "structure")
#: Colours for yarns that have none yet.
SHORE: Final = STAND_INS


class _AtAPath:
    """Stands at a path of the tree, and so has a name and a place on the page."""

    path: Path

    @property
    def name(self) -> str:
        """The dotted name, which a field is posted under."""
        return name_of(self.path)

    @property
    def key(self) -> str:
        """Its id on the page."""
        return key_of(self.path)


@dataclass(frozen=True)
class BoundField(_AtAPath):
    """A field at one place of a tree."""

    field: Field
    path: Path
    trail: tuple[str, ...]
    value: str
    choices: tuple[tuple[str, str], ...]
    unit: str
    problem: str

    shape = "field"

    @property
    def wrong(self) -> bool:
        """Whether what was typed is wrong; a field left blank may be needed, but is not wrong."""
        return bool(self.problem and self.value)

    @property
    def checked(self) -> bool:
        """Whether a yes-or-no field says yes."""
        return self.value == "yes"

    @property
    def picker(self) -> bool:
        """Whether a colour can be shown by the browser's colour picker."""
        return bool(_COLOUR.fullmatch(self.value))

    @property
    def place(self) -> str:
        """The field in words, with the rows it stands in: yarn 1, ball 2, Core."""
        return ", ".join((*self.trail, self.field.label))


@dataclass(frozen=True)
class BoundRow(_AtAPath):
    """One row of a list."""

    path: Path
    title: str
    parts: tuple[Bound, ...]
    problem: str


@dataclass(frozen=True)
class BoundRows(_AtAPath):
    """The rows of a list at one place of a tree."""

    rows: Rows
    path: Path
    entries: tuple[BoundRow, ...]
    problem: str

    shape = "rows"


@dataclass(frozen=True)
class BoundGroup:
    """Fields that belong together."""

    group: Group
    parts: tuple[Bound, ...]

    shape = "group"

    @property
    def open(self) -> bool:
        """Whether it shows what it holds: unless it may be folded away and nothing in it was typed or is wrong."""
        return not self.group.folded or any(map(_typed, self.parts))


@dataclass(frozen=True)
class BoundSection:
    """A section of the page."""

    section: Section
    parts: tuple[Bound, ...]
    problem: str

    @property
    def key(self) -> str:
        """Its id on the page."""
        return key_of((self.section.key,))


Bound = BoundField | BoundRows | BoundGroup


@dataclass(frozen=True)
class Told:
    """A problem as the page tells it: the id and the name of the place that shows it, and the sentence."""

    key: str
    place: str
    sentence: str
    #: The name of the page that shows it, where that is not the page of the project.
    page: str = ""


def key_of(path: Path) -> str:
    """The id on the page of what stands at a path."""
    return "-".join(("f", *map(str, path)))


def _typed(part: Bound) -> bool:
    """Whether anything was typed in a part of the page, or is said of it."""
    if isinstance(part, BoundField):
        return bool(part.problem) or part.value not in ("", shown_where_nothing(part.field, part.path))
    return any(map(_typed, part.parts)) if isinstance(part, BoundGroup) else bool(part.entries)


def shown_where_nothing(field: Field, path: Path) -> str:
    """What is shown where nothing was typed; posted back unchanged it is not stored."""
    if field.kind == Kind.COLOUR:
        return SHORE[int(path[1]) % len(SHORE)]
    if field.path in STRUCTURES_DECIDED:
        return "plain"
    return field.choices[0][0] if field.choices else ""
