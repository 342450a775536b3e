"""What a garment asks: its measures, eases and options as a table, and one set of answers read and checked.

An answer that is left out is the table's default, and is told as taken; a measure has no default. Everything that is
wrong is found at once, each with where it was typed.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, Final

from clothwright.measure import Length, QuantityError
from clothwright.pattern.drafting.measures import MeasureRefused, measure_named, proportions, read_body, read_measure

#: Of what is sewn: loosely woven handwoven cloth frays. From memory: 20 to 25 mm, overcast or bound.
USUAL_ALLOWANCE_CM: Final = 2.0
LARGEST_EASE_CM: Final = 120.0
_NUMBER: Final = re.compile(r"\d{1,4}(?:[.,]\d{1,4})?")
#: Whose the rules of proportion are; the page is in `measures.toml`.
_SHORT_SOURCE: Final = "W. D. F. Vincent"
Where = tuple[str, ...]


@dataclass(frozen=True)
class DraftProblem:
    """What is wrong with what was asked: where (`body`, `ease` or `options`, and the name), and one sentence."""

    where: Where
    sentence: str


class DraftRefused(ValueError):
    """A garment that cannot be drafted from what was given; `problems` holds every reason found."""

    def __init__(self, *problems: DraftProblem) -> None:
        self.problems = problems
        super().__init__("; ".join(problem.sentence for problem in problems))

    @classmethod
    def at(cls, where: Where, sentence: str) -> DraftRefused:
        """One reason, at one place."""
        return cls(DraftProblem(where, sentence))


@dataclass(frozen=True)
class Ease:
    """How much larger than the body a girth of the garment is to be, where nothing is said."""

    girth: str
    default: str
    source: str


@dataclass(frozen=True)
class Option:
    """A choice, length, count, number or name that a garment asks for, and what is taken where nothing is said."""

    name: str
    kind: str
    default: str
    says: str
    source: str
    choices: tuple[str, ...] = ()
    least: float = 0.0
    most: float = 1000.0
    needed: bool = False

    def read(self, text: str) -> Any:
        """The value a text means; DraftRefused with what is accepted."""
        text = " ".join(text.split())
        readers = {"choice": self._choice, "length": self._length, "name": self._name}
        return readers.get(self.kind, self._number)(text)

    def _choice(self, text: str) -> str:
        if text.lower() not in self.choices:
            raise self._refused(f"“{text}” came; accepted are {', '.join(self.choices)}")
        return text.lower()

    def _length(self, text: str) -> float:
        try:
            length = Length.read(text)
        except QuantityError as error:
            raise self._refused(str(error)) from None
        if length.has_spread:
            raise self._refused(f"“{text}” is a range; write one figure, as 40 cm")
        if not self.least <= length.cm <= self.most:
            raise self._refused(
                f"“{text}” is {length.cm:g} cm; {self.least:g} to {self.most:g} cm is accepted: {self.says}"
            )
        return length.cm

    def _number(self, text: str) -> float | int:
        whole = self.kind == "count"
        number = float(text.replace(",", ".")) if _NUMBER.fullmatch(text) else None
        if number is None or not self.least <= number <= self.most or (whole and number != int(number)):
            what = "a whole number" if whole else "a number"
            raise self._refused(f"“{text}” came; {what} from {self.least:g} to {self.most:g} is accepted")
        return int(number) if whole else number

    def _name(self, text: str) -> str:
        if not 0 < len(text) <= 60 or not text.isprintable():
            raise self._refused("write main, or the name of a cloth, of at most 60 letters")
        return text

    def _refused(self, why: str) -> DraftRefused:
        return DraftRefused.at(("options", self.name), f"{self.name}: {why}")


@dataclass(frozen=True)
class Asks:
    """What one garment asks for."""

    name: str
    title: str
    says: str
    needs: tuple[str, ...]
    needs_when: tuple[tuple[str, tuple[str, ...], tuple[str, ...]], ...]
    eases: tuple[Ease, ...]
    options: tuple[Option, ...]
    source: str

    def needed(self, options: Mapping[str, Any]) -> tuple[str, ...]:
        """The measures needed with these options."""
        more = (name for option, among, names in self.needs_when if options.get(option) in among for name in names)
        return tuple(dict.fromkeys((*self.needs, *more)))

    @property
    def ever_needed(self) -> tuple[str, ...]:
        """Every measure that is needed with some options."""
        return tuple(dict.fromkeys((*self.needs, *(name for _, _, names in self.needs_when for name in names))))


@cache
def garments() -> dict[str, Asks]:
    """Every garment by its name."""
    text = files(__package__).joinpath("garments.toml").read_text(encoding="utf-8")
    return {row["name"]: _asks(row) for row in tomllib.loads(text)["garment"]}


def _asks(row: Mapping[str, Any]) -> Asks:
    when = tuple((one["option"], tuple(one["among"]), tuple(one["measures"])) for one in row.get("needs_when", ()))
    options = (
        one | {"kind": one.get("kind", "choice"), "choices": tuple(one.get("choices", ()))} for one in row["option"]
    )
    return Asks(
        row["name"],
        row["title"],
        row["says"],
        tuple(row["needs"]),
        when,
        tuple(Ease(**one) for one in row.get("ease", ())),
        tuple(Option(**one) for one in options),
        row["source"],
    )


def garment_named(text: str) -> Asks:
    """The garment of that name; DraftRefused with those there are."""
    found = garments().get(" ".join(text.lower().split()))
    if found is None:
        raise DraftRefused.at(
            ("garment",), f"“{text}” is no garment that is made from measures here; there are {', '.join(garments())}"
        )
    return found


@dataclass(frozen=True)
class Figures:
    """What a garment is drafted from: measures and eases in cm, options read; `taken` tells of defaults."""

    asks: Asks
    body: Mapping[str, float]
    ease: Mapping[str, float]
    options: Mapping[str, Any]
    allowance_cm: float
    taken: tuple[str, ...]

    def with_ease(self, girth: str) -> float:
        """A girth of the body and its ease, cm."""
        return self.body[girth] + self.ease[girth]


def read_figures(
    asks: Asks,
    body: Mapping[str, str],
    ease: Mapping[str, str],
    options: Mapping[str, str],
    allowance_cm: float = USUAL_ALLOWANCE_CM,
) -> Figures:
    """The answers read; DraftRefused with everything that is wrong or missing."""
    problems: list[DraftProblem] = []
    chosen, taken = _options(asks, options, problems)
    eases, eases_taken = _eases(asks, ease, asks.needed(chosen), problems)
    found = _body(body, problems)
    missing = [name for name in asks.needed(chosen) if name not in found and not _told(name, problems)]
    if missing:
        problems.append(DraftProblem(("body",), _missing(asks, missing)))
    if problems:
        raise DraftRefused(*problems)
    return Figures(asks, found, eases, chosen, allowance_cm, (*_by_rule(body, found), *eases_taken, *taken))


def _by_rule(typed: Mapping[str, str], body: Mapping[str, float]) -> list[str]:
    """What each measure by proportion came to, and by which rule."""
    named = (measure_named(name).name for name, text in typed.items() if read_measure(name, text) is None)
    return [
        f"{name} by proportion: {body[name]:.1f} cm, {proportions()[name].rule} ({_SHORT_SOURCE})" for name in named
    ]


def _missing(asks: Asks, names: list[str]) -> str:
    wanted = "; ".join(f"{name} ({measure_named(name).means})" for name in names)
    return f"the {asks.name} still needs: {wanted}"


def _told(name: str, problems: list[DraftProblem]) -> bool:
    return any(problem.where[:1] == ("body",) and problem.where[1:] == (key_of(name),) for problem in problems)


def key_of(name: str) -> str:
    """A measure's name as it is written in a project file: bust_girth."""
    return name.replace("-", "_").replace(" ", "_")


def _body(typed: Mapping[str, str], problems: list[DraftProblem]) -> dict[str, float]:
    good: dict[str, str] = {}
    for name, text in typed.items():
        try:
            read_measure(name, text)
            good[name] = text
        except MeasureRefused as refusal:
            problems.append(DraftProblem(("body", key_of(name)), str(refusal)))
    try:
        return read_body(good)
    except MeasureRefused as refusal:
        problems.append(DraftProblem(("body",), str(refusal)))
        return {}


def _eases(
    asks: Asks, typed: Mapping[str, str], needed: tuple[str, ...], problems: list[DraftProblem]
) -> tuple[dict[str, float], list[str]]:
    by_girth = {one.girth: Length.read(one.default).cm for one in asks.eases}
    said: dict[str, float] = {}
    for name, text in typed.items():
        where = ("ease", key_of(name))
        try:
            girth = measure_named(name).name
            if girth not in by_girth:
                raise MeasureRefused(
                    f"the {asks.name} has no ease at the {girth}; it has at {', '.join(by_girth) or 'none'}"
                )
            if girth in said:
                raise MeasureRefused(f"ease at the {girth} came twice, under two of its names; keep one")
            said[girth] = _ease(girth, text)
        except (MeasureRefused, QuantityError) as refusal:
            problems.append(DraftProblem(where, str(refusal)))
    left = (one for one in asks.eases if one.girth in needed and one.girth not in said)
    return by_girth | said, [f"ease at the {one.girth}: {one.default} ({one.source})" for one in left]


def _ease(girth: str, text: str) -> float:
    length = Length.read(text)
    if not 0 <= length.cm <= LARGEST_EASE_CM or length.has_spread:
        raise MeasureRefused(
            f"ease at the {girth}: “{text}” came; one figure from 0 to {LARGEST_EASE_CM:g} cm is accepted"
        )
    return length.cm


def _options(asks: Asks, typed: Mapping[str, str], problems: list[DraftProblem]) -> tuple[dict[str, Any], list[str]]:
    known = {one.name: one for one in asks.options}
    for name in typed.keys() - known.keys():
        sentence = f"{name}: the {asks.name} has no such option; it has {', '.join(known)}"
        problems.append(DraftProblem(("options", name), sentence))
    chosen: dict[str, Any] = {}
    taken = []
    for name, option in known.items():
        text = typed.get(name, "").strip() or option.default
        if text:
            try:
                chosen[name] = option.read(text)
            except DraftRefused as refusal:
                problems.extend(refusal.problems)
        elif option.needed:
            problems.append(DraftProblem(("options", name), f"{name} is needed: {option.says}"))
        if text and not typed.get(name, "").strip():
            taken.append(f"{name.replace('_', ' ')}: {option.default} ({option.source})")
    return chosen, taken
