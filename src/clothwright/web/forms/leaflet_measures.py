"""The measures of the finished garment on the page of the leaflet: a row for each, with a field for every size.

The document holds them by what is measured and by size, which may be any words; on the page they stand by number.
"""

from __future__ import annotations

import copy
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from clothwright.project import Problem
from clothwright.web.forms.bound import BoundField, Told
from clothwright.web.forms.field import CM, Field
from clothwright.web.forms.form import with_unit
from clothwright.web.forms.typed import Path, Tree, at, put, rows

_WHERE: Final[Path] = ("leaflet", "measures")
#: How a field is posted: by the number of its row, and of its size.
_POSTED: Final = "measure"
_LONGEST: Final = 80


@dataclass(frozen=True)
class MeasureRow:
    """One measure of the garment: what is measured, and its length in every size."""

    what: BoundField
    lengths: tuple[BoundField, ...]

    @property
    def title(self) -> str:
        """What it is called on the page."""
        return self.what.value or "Another measure"

    @property
    def parts(self) -> tuple[BoundField, ...]:
        """Its fields in their order."""
        return (self.what, *self.lengths)


@dataclass(frozen=True)
class Measures:
    """The table as the page shows it: its sizes, and a row for each measure with a blank one at the end."""

    sizes: tuple[str, ...]
    rows: tuple[MeasureRow, ...]

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


def is_told_of(problem: Problem) -> bool:
    """Whether a field of the table shows it: it is of one measure."""
    return problem.path[:2] == _WHERE and len(problem.path) > 2


def measures_shown(tree: Tree, sizes: Iterable[str], problems: Iterable[Problem] = ()) -> Measures | None:
    """The table of a tree, `sizes` being the pattern's; None where a file brought something else than measures by size."""
    by_measure = at(tree, _WHERE) or {}
    if not isinstance(by_measure, dict) or not all(isinstance(one, dict) for one in by_measure.values()):
        return None
    columns = _columns(tree, sizes, by_measure)
    said: dict[Path, str] = {}
    for one in problems:
        said[one.path[2:4]] = " · ".join(filter(None, (said.get(one.path[2:4]), one.sentence)))
    unit = CM.for_units(tree.get("units"))
    every = (*by_measure.items(), ("", {})) if "" not in by_measure else tuple(by_measure.items())
    return Measures(columns, tuple(_row(n, what, by, columns, unit, said) for n, (what, by) in enumerate(every)))


def _columns(tree: Tree, sizes: Iterable[str], by_measure: Mapping[str, Mapping[str, Any]]) -> tuple[str, ...]:
    """The sizes that are tabulated, then any other that something was typed for; one without a name where there are none."""
    told = [str(one) for one in rows(tree, ("leaflet", "sizes"))] or [
        *sizes,
        *(at(tree, ("leaflet", "cloth_lengths")) or ()),
    ]
    return tuple(dict.fromkeys((*told, *(size for by in by_measure.values() for size in by)))) or ("",)


def _row(
    number: int, what: str, by: Mapping[str, Any], sizes: tuple[str, ...], unit: str, said: Mapping[Path, str]
) -> MeasureRow:
    trail = (f"measure {number + 1}",)
    lengths = (
        BoundField(
            Field(f"{_POSTED}.*.{place}", f"Size {size}" if size else "Length"),
            (_POSTED, number, place),
            trail,
            str(by.get(size, "")),
            (),
            unit,
            said.get((what, size), ""),
        )
        for place, size in enumerate(sizes)
    )
    label = Field(f"{_POSTED}.*.what", "What is measured", wide=True, longest=_LONGEST)
    name = BoundField(label, (_POSTED, number, "what"), trail, what, (), "", said.get((what,), ""))
    return MeasureRow(name, tuple(lengths))


def with_measures(tree: Tree, posted: Mapping[str, str]) -> Tree:
    """The tree with the measures that were posted; where the page did not post them, as it was.

    A row of which nothing is left is taken away. Two measures of one name stay two: the second is called by a number too.
    """
    if f"{_POSTED}.size.0" not in posted:
        return tree
    sizes = [posted[f"{_POSTED}.size.{place}"] for place in _counted(posted, "size.{}")]
    unit = CM.for_units(tree.get("units"))
    found: dict[str, dict[str, str]] = {}
    for number in _counted(posted, "{}.what"):
        name = _text(posted, f"{number}.what")
        lengths = {
            size: with_unit(text, unit)
            for place, size in enumerate(sizes)
            if (text := _text(posted, f"{number}.{place}"))
        }
        if name or lengths:
            found[_free(name, found)] = lengths
    changed = copy.deepcopy(tree)
    put(changed, _WHERE, found or None)
    return changed


def _counted(posted: Mapping[str, str], named: str) -> Iterator[int]:
    """The numbers that something was posted for, from 0 on."""
    number = 0
    while f"{_POSTED}.{named.format(number)}" in posted:
        yield number
        number += 1


def _text(posted: Mapping[str, str], named: str) -> str:
    return posted.get(f"{_POSTED}.{named}", "").replace("\0", "").strip()


def _free(name: str, taken: Mapping[str, object]) -> str:
    """The name, with a number where it is taken."""
    again = (f"{name} ({number})".strip() for number in range(2, len(taken) + 3))
    return next(one for one in (name, *again) if one not in taken)
