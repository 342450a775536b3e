"""Body measures by name: what each is, how a text is read as one, and published tables of sizes.

Nothing is filled in unasked. A measure that is missing is a question; one that a published rule finds from another is
found only where the weaver writes “by proportion”.

*Source:* names as in ISO 8559; every row of `measures.toml` says what was read and what is from memory.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from importlib.resources import files
from typing import Any, Final

from clothwright.measure import CM_PER_INCH, Length, QuantityError

BY_PROPORTION: Final = "by proportion"


@dataclass(frozen=True)
class Measure:
    """A body measure: its name, how it is taken, and between what a person may measure, cm."""

    name: str
    means: str
    least_cm: float
    most_cm: float
    also: tuple[str, ...]
    source: str


@dataclass(frozen=True)
class Proportion:
    """A published rule: `measure` is `times` the measure `of`, and `plus_in` inches."""

    measure: str
    of: str
    times: float
    plus_in: float
    rule: str
    source: str

    def cm(self, of_cm: float) -> float:
        """What the rule gives, cm."""
        return of_cm * self.times + self.plus_in * CM_PER_INCH


@dataclass(frozen=True)
class SizeTable:
    """A published table: for each size the measures it prints, as printed."""

    name: str
    title: str
    sizes: tuple[str, ...]
    measures: tuple[tuple[str, tuple[str, ...]], ...]
    source: str

    def body(self, size: str) -> dict[str, str]:
        """The measures of one size, as printed; KeyError if the table has no such size."""
        if size not in self.sizes:
            raise KeyError(f"“{size}” is no size of {self.title}; its sizes are {', '.join(self.sizes)}")
        return {name: row[self.sizes.index(size)] for name, row in self.measures}


class MeasureRefused(ValueError):
    """A measure that cannot be: the message says what came and what is accepted."""


def _table(name: str) -> dict[str, Any]:
    return tomllib.loads(files(__package__).joinpath(name).read_text(encoding="utf-8"))


@cache
def measures() -> dict[str, Measure]:
    """Every body measure by its name, from the head down."""
    return {
        row["name"]: Measure(
            row["name"], row["means"], row["least"], row["most"], tuple(row.get("also", ())), row["source"]
        )
        for row in _table("measures.toml")["measure"]
    }


@cache
def proportions() -> dict[str, Proportion]:
    """The published rules that find one measure from another, by the measure they give."""
    rows = _table("measures.toml")["proportion"]
    return {
        row["measure"]: Proportion(
            row["measure"], row["from"], row["times"], row["plus_in"], row["rule"], row["source"]
        )
        for row in rows
    }


@cache
def size_tables() -> dict[str, SizeTable]:
    """The published tables of sizes by their short names."""
    return {
        row["name"]: SizeTable(
            row["name"],
            row["title"],
            tuple(row["sizes"]),
            tuple((name, tuple(values)) for name, values in row["measures"].items()),
            row["source"],
        )
        for row in _table("size_tables.toml")["table"]
    }


def size_table(name: str) -> SizeTable:
    """The table of that name; MeasureRefused with the names there are."""
    found = size_tables().get(" ".join(name.split()))
    if found is None:
        raise MeasureRefused(f"“{name}” is no table of sizes here; there are {', '.join(size_tables())}")
    return found


def measure_named(text: str) -> Measure:
    """The measure a text names, by its own or another word for it; MeasureRefused with those that are near."""
    wanted = " ".join(text.replace("_", " ").lower().split())
    for one in measures().values():
        if wanted in (one.name, one.name.replace("-", " "), *one.also):
            return one
    near = get_close_matches(wanted, measures(), n=3, cutoff=0.6)
    raise MeasureRefused(
        f"“{text}” is no body measure here; {'is it ' + ' or '.join(near) if near else 'there are ' + ', '.join(measures())}"
    )


def read_measure(name: str, text: str) -> float | None:
    """The measure typed, cm; None where it is to be found by proportion; MeasureRefused if it cannot be."""
    measure = measure_named(name)
    if " ".join(text.lower().split()) == BY_PROPORTION:
        if measure.name not in proportions():
            raise MeasureRefused(
                f"{measure.name}: no published rule here gives it; measure it, {measure.means} "
                f"({', '.join(proportions())} can be by proportion)"
            )
        return None
    try:
        length = Length.read(text)
    except QuantityError as error:
        raise MeasureRefused(f"{measure.name}: {error}") from None
    if length.has_spread:
        raise MeasureRefused(f"{measure.name}: “{text}” is a range; a garment is made from one figure, as 92 cm")
    if not measure.least_cm <= length.cm <= measure.most_cm:
        raise MeasureRefused(
            f"{measure.name}: “{text}” is {length.cm:g} cm; between {measure.least_cm:g} and {measure.most_cm:g} cm is accepted"
        )
    return length.cm


def read_body(typed: Mapping[str, str]) -> dict[str, float]:
    """The measures typed, cm, those by proportion found; MeasureRefused for the first that cannot be."""
    named = [(measure_named(name).name, text) for name, text in typed.items()]
    twice = _said_twice(name for name, _ in named)
    if twice:
        raise MeasureRefused(f"{twice} came twice, under two of its names; keep one")
    read = {name: read_measure(name, text) for name, text in named}
    body = {name: cm for name, cm in read.items() if cm is not None}
    for name in read.keys() - body.keys():
        rule = proportions()[name]
        if rule.of not in body:
            raise MeasureRefused(f"{name} by proportion is {rule.rule}: the {rule.of} is needed for it")
        body[name] = rule.cm(body[rule.of])
    return body


def _said_twice(names: Iterable[str]) -> str | None:
    seen: set[str] = set()
    for name in names:
        if name in seen:
            return name
        seen.add(name)
    return None
