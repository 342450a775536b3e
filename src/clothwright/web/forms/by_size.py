"""What the leaflet's page has by size: the measures of the finished garment, and lengths of cloth that are given.

Each is a table with a row for each measure, or finished width, and a field for every size. The document holds them by names
that may be any words; on the page they stand by number.
"""

from __future__ import annotations

import copy
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from clothwright.measure import Length, QuantityError
from clothwright.project import Problem
from clothwright.project.parts.leaflet_parts import SAME_WIDTH_CM
from clothwright.web.forms.bound import BoundField, Told
from clothwright.web.forms.field import CM, Field
from clothwright.web.forms.form import with_unit
from clothwright.web.forms.typed import Path, Tree, at, put, rows

_LONGEST: Final = 80
_ByName = dict[str, dict[str, Any]]


@dataclass(frozen=True)
class Asked:
    """One such table: where it stands in the document, how it is posted, and what it is called on the page.

    `by_width`: its rows are finished widths, and the document holds it by size and then by width, not the other way round.
    """

    where: Path
    posted: str
    legend: str
    help: str
    names: str
    another: str
    stays: str
    by_width: bool = False

    def tells(self, problem: Problem) -> bool:
        """Whether a field of the table shows it: it is of one row."""
        return problem.path[:2] == self.where and len(problem.path) >= (4 if self.by_width else 3)


MEASURES: Final = Asked(
    ("leaflet", "measures"),
    "measure",
    "The finished garment",
    "Its measures by size, as a reader compares them with her own. Those of a garment made from measures come by themselves.",
    "What is measured",
    "Another measure",
    "The measures of the finished garment that the file brought are not by size; they stay as they are.",
)
CLOTH_LENGTHS: Final = Asked(
    ("leaflet", "cloth_lengths"),
    "length",
    "Lengths of cloth that are given",
    "For each finished width the length that a size takes. Where none is given, it is that of the pieces laid out.",
    "Finished width ↔",
    "Another width",
    "The lengths of cloth that the file brought are not by size and width; they stay as they are.",
    by_width=True,
)
EVERY: Final = (MEASURES, CLOTH_LENGTHS)


@dataclass(frozen=True)
class SizeRow:
    """One row: what it is of, and its length in every size; `note` says why it is not in the leaflet, if it is not."""

    name: BoundField
    lengths: tuple[BoundField, ...]
    another: str
    note: str = ""

    @property
    def title(self) -> str:
        """What it is called on the page."""
        return f"{self.name.value or self.another}{self.note}"

    @property
    def parts(self) -> tuple[BoundField, ...]:
        """Its fields in their order."""
        return (self.name, *self.lengths)


@dataclass(frozen=True)
class BySize:
    """A table as the page shows it: its sizes, and its rows with a blank one at the end.

    No rows: a file brought something of another shape, which stays as it is.
    """

    asked: Asked
    sizes: tuple[str, ...] = ()
    rows: tuple[SizeRow, ...] = ()

    def fields(self) -> Iterator[BoundField]:
        """Every field."""
        for row in self.rows:
            yield from row.parts

    @property
    def told(self) -> tuple[Told, ...]:
        """What is wrong, with the field that shows it."""
        return tuple(Told(f"{one.key}-problem", one.place, one.problem) for one in self.fields() if one.problem)

    @property
    def sentences(self) -> dict[str, str]:
        """The sentence of each field that has one, by its id."""
        return {one.key: one.problem for one in self.fields() if one.problem}

    def tells(self, problem: Problem) -> bool:
        """Whether a field of the table shows it: it is of one row."""
        return bool(self.rows) and self.asked.tells(problem)


def by_size(asked: Asked, tree: Tree, sizes: Iterable[str], problems: Iterable[Problem] = ()) -> BySize:
    """A table of a tree, `sizes` being the pattern's, with what is wrong in it."""
    by_name = at(tree, asked.where) or {}
    if not isinstance(by_name, dict) or not all(isinstance(one, dict) for one in by_name.values()):
        return BySize(asked)
    by_name = _turned(by_name) if asked.by_width else by_name
    columns = _columns(tree, sizes, by_name)
    unit = CM.for_units(tree.get("units"))
    every = dict(by_name) if "" in by_name else {**by_name, "": {}}
    said = _said(asked, problems)
    made = (_row(asked, n, what, every[what], columns, unit, said, tree) for n, what in enumerate(every))
    return BySize(asked, columns, tuple(made))


def _said(asked: Asked, problems: Iterable[Problem]) -> Mapping[Path, str]:
    """What is wrong, by row and size; what is wrong with the name of a row by its name alone."""
    said: dict[Path, str] = {}
    for one in problems:
        if not asked.tells(one):
            continue
        place = one.path[2:4]
        if asked.by_width:
            width = str(place[1])
            place = place[::-1] if _cm(width) is not None else (width,)
        if one.sentence not in said.get(place, ""):
            said[place] = " · ".join(filter(None, (said.get(place), one.sentence)))
    return said


def _turned(by: Mapping[str, Mapping[str, Any]]) -> _ByName:
    """By width and then size what is by size and then width, or back."""
    turned: _ByName = {}
    for outer, inner in by.items():
        for name, value in inner.items():
            turned.setdefault(name, {})[outer] = value
    return turned


def _columns(tree: Tree, sizes: Iterable[str], by_name: _ByName) -> tuple[str, ...]:
    """The sizes that are tabulated, then any other that something was typed for; one without a name where there are none."""
    given = at(tree, CLOTH_LENGTHS.where)
    told = [str(one) for one in rows(tree, ("leaflet", "sizes"))] or [
        *sizes,
        *(given if isinstance(given, dict) else ()),
    ]
    return tuple(dict.fromkeys((*told, *(size for by in by_name.values() for size in by)))) or ("",)


def _row(
    asked: Asked,
    number: int,
    what: str,
    by: Mapping[str, Any],
    sizes: tuple[str, ...],
    unit: str,
    said: Mapping[Path, str],
    tree: Tree,
) -> SizeRow:
    trail = (f"{asked.posted} {number + 1}",)
    lengths = (
        BoundField(
            Field(f"{asked.posted}.*.{place}", f"Size {size}" if size else "Length"),
            (asked.posted, number, place),
            trail,
            str(by.get(size, "")),
            (),
            unit,
            said.get((what, size), ""),
        )
        for place, size in enumerate(sizes)
    )
    label = Field(f"{asked.posted}.*.what", asked.names, wide=not asked.by_width, longest=_LONGEST)
    name_unit = unit if asked.by_width else ""
    name = BoundField(label, (asked.posted, number, "what"), trail, what, (), name_unit, said.get((what,), ""))
    return SizeRow(name, tuple(lengths), asked.another, _note(tree, what) if asked.by_width else "")


def _note(tree: Tree, width: str) -> str:
    """That a width is not in the leaflet, where others are asked for."""
    asked = [_cm(str(one)) for one in rows(tree, ("leaflet", "cloth_widths"))]
    cm = _cm(width)
    if not asked or cm is None or any(one is None or abs(one - cm) <= SAME_WIDTH_CM for one in asked):
        return ""
    return ": not in the leaflet, since it is none of the finished widths above"


def _cm(text: str) -> float | None:
    """A width; None where it cannot be read, which is told beside it."""
    try:
        return Length.read(text).cm
    except QuantityError:
        return None


def with_sizes(asked: Asked, tree: Tree, posted: Mapping[str, str]) -> Tree:
    """The tree with what was posted of a table; where the page did not post it, as it was.

    A row of which nothing is left is taken away. Two of one name stay two: the second is called by a number too.
    """
    if f"{asked.posted}.size.0" not in posted:
        return tree
    sizes = [posted[f"{asked.posted}.size.{place}"] for place in _counted(asked, posted, "size.{}")]
    unit = CM.for_units(tree.get("units"))
    found: _ByName = {}
    for number in _counted(asked, posted, "{}.what"):
        name = with_unit(_text(asked, posted, f"{number}.what"), unit if asked.by_width else "")
        lengths = {
            size: with_unit(text, unit)
            for place, size in enumerate(sizes)
            if (text := _text(asked, posted, f"{number}.{place}"))
        }
        if name or lengths:
            found[_free(name, found)] = lengths
    changed = copy.deepcopy(tree)
    put(changed, asked.where, (_by_size_first(found, sizes) if asked.by_width else found) or None)
    return changed


def _by_size_first(by_width: _ByName, sizes: list[str]) -> _ByName:
    """Lengths by size and then width; a width that has none yet is kept with the first size."""
    turned = _turned({width: lengths or {sizes[0]: ""} for width, lengths in by_width.items()})
    return {size: turned[size] for size in sizes if size in turned}


def _counted(asked: Asked, posted: Mapping[str, str], named: str) -> Iterator[int]:
    """The numbers that something was posted for, from 0 on."""
    number = 0
    while f"{asked.posted}.{named.format(number)}" in posted:
        yield number
        number += 1


def _text(asked: Asked, posted: Mapping[str, str], named: str) -> str:
    return posted.get(f"{asked.posted}.{named}", "").replace("\0", "").strip()


def _free(name: str, taken: Mapping[str, object]) -> str:
    """The name, with a number where it is taken."""
    again = (f"{name} ({number})".strip() for number in range(2, len(taken) + 3))
    return next(one for one in (name, *again) if one not in taken)
