"""The form of a project page: the table of fields bound to a typed tree, and the tree read back from what was posted.

What is stored is the text as typed, with the field's unit put to a bare number. Nothing is checked here: a text that
makes no sense is stored as well, and the sentence that says so is placed beside its field.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from clothwright.cloth import split_heddles
from clothwright.project import Problem
from clothwright.web.forms.bound import (
    STRUCTURES_DECIDED,
    Bound,
    BoundField,
    BoundGroup,
    BoundRow,
    BoundRows,
    BoundSection,
    Told,
    key_of,
    shown_where_nothing,
)
from clothwright.web.forms.field import Field, Group, Kind, Part, Rows, Section
from clothwright.web.forms.fields import SECTIONS, structure_choices
from clothwright.web.forms.row_buttons import row_in_words
from clothwright.web.forms.typed import Path, Tree, at, put, reachable, rows

_NUMBER: Final = r"(?:\d+[ \u00a0]+\d+/\d+|\d+/\d+|\d+ ?[½¼¾⅓⅔⅛⅜⅝⅞]|[½¼¾⅓⅔⅛⅜⅝⅞]|\d[\d \u00a0]*(?:[.,]\d+)?|[.,]\d+)"
#: A number, or a spread of numbers, with no unit.
_BARE: Final = re.compile(
    rf"(?:(?:about|around|ca\.?|~|≈)\s*)?{_NUMBER}(?:\s*(?:to|±|\+/-|\+-|–|—|-)\s*{_NUMBER})?", re.I
)
_FRACTION: Final = re.compile(r"\d+/\d+")
#: Parts of the document that other pages than the project's ask for: the page, what it is called, and where it tells them.
_PAGES: Final[tuple[tuple[Path, str, str, str], ...]] = (
    (("colours", "weft"), "weft_colours", "Colours of the weft", "plan"),
    (("colours",), "colours", "Colours of the warp", "plan"),
    (("draft",), "threading", "Threading", "plan"),
    (("warping",), "threading", "Threading", "plan"),
    (("leaflet",), "leaflet", "Leaflet", "plan"),
    (("on_loom",), "at_loom", "At the loom", "stands"),
    (("off_loom",), "off_loom", "Off the loom", "plan"),
    (("finishing",), "off_loom", "Off the loom", "plan"),
    (("real_cloth",), "off_loom", "Off the loom", "plan"),
    (("checked",), "off_loom", "Off the loom", "plan"),
)


def _on_another_page(problem: Problem) -> Told:
    """A problem that no field of this page can show: on the page that can, else at the top of this one."""
    for path, page, words, anchor in _PAGES:
        if problem.path[: len(path)] == path:
            return Told(anchor, words, problem.sentence, page)
    return Told("main", problem.where or "The project", problem.sentence)


@dataclass(frozen=True)
class FieldTable:
    """What a page asks for: its sections, and the numbers of the rows they stand in where a page is about one row."""

    sections: tuple[Section, ...]
    numbers: tuple[int, ...] = ()


PROJECT: Final = FieldTable(SECTIONS)


class Form:
    """A table of fields bound to a tree, with the sentence for each place that has one."""

    def __init__(self, tree: Tree, problems: Iterable[Problem] = (), table: FieldTable = PROJECT) -> None:
        self.tree = tree
        self.table = table
        self.sentences: dict[Path, str] = {}
        self.sections = self._bound()
        self.told = self._placed(problems)
        if self.sentences:
            self.sections = self._bound()

    def fields(self) -> Iterator[BoundField]:
        """Every field on the page."""
        for section in self.sections:
            yield from _fields(section.parts)

    def filled(self) -> Iterator[tuple[str, BoundField]]:
        """Every field that something was typed into, with the title of its section."""
        for section in self.sections:
            yield from ((section.section.title, one) for one in _fields(section.parts) if one.value)

    def problems_by_key(self) -> dict[str, str]:
        """The sentence for each place, by the place's id on the page."""
        return {key_of(path): sentence for path, sentence in self.sentences.items()}

    def _placed(self, problems: Iterable[Problem]) -> tuple[Told, ...]:
        """Give each problem to the nearest place on the page, and say where that is."""
        slots = {path: (path, words) for section in self.sections for path, words in _slots(section.parts)}
        for section in self.table.sections:
            slots |= {(part,): ((section.key,), section.title) for part in section.holds}
        return tuple(self._told(problem, _nearest(problem, slots)) for problem in problems)

    def _told(self, problem: Problem, slot: tuple[Path, str] | None) -> Told:
        if slot is None:
            return _on_another_page(problem)
        path, words = slot
        self.sentences[path] = " · ".join(filter(None, (self.sentences.get(path), problem.sentence)))
        return Told(f"{key_of(path)}-problem", words, problem.sentence)

    def _bound(self) -> tuple[BoundSection, ...]:
        return tuple(self._section(section) for section in self.table.sections)

    def _section(self, section: Section) -> BoundSection:
        parts = self._parts(section.parts, self.table.numbers, ())
        return BoundSection(section, parts, self.sentences.get((section.key,), ""))

    def _parts(self, parts: tuple[Part, ...], numbers: tuple[int, ...], trail: tuple[str, ...]) -> tuple[Bound, ...]:
        found = (self._part(part, numbers, trail) for part in parts)
        return tuple(part for part in found if part is not None)

    def _part(self, part: Part, numbers: tuple[int, ...], trail: tuple[str, ...]) -> Bound | None:
        if isinstance(part, Group):
            return BoundGroup(part, self._parts(part.parts, numbers, trail))
        path = _numbered(part.path, numbers)
        if isinstance(part, Rows):
            return self._rows(part, path, numbers, trail)
        return self._field(part, path, trail)

    def _rows(self, part: Rows, path: Path, numbers: tuple[int, ...], trail: tuple[str, ...]) -> BoundRows:
        entries = (self._row(part, path, (*numbers, n), trail) for n in range(len(rows(self.tree, path))))
        return BoundRows(part, path, tuple(entries), self.sentences.get(path, ""))

    def _row(self, part: Rows, path: Path, numbers: tuple[int, ...], trail: tuple[str, ...]) -> BoundRow:
        here = (*path, numbers[-1])
        title = f"{part.word} {numbers[-1] + 1}"
        return BoundRow(here, title, self._parts(part.parts, numbers, (*trail, title)), self.sentences.get(here, ""))

    def _field(self, field: Field, path: Path, trail: tuple[str, ...]) -> BoundField | None:
        stored = at(self.tree, path)
        several = field.kind in (Kind.SEVERAL, Kind.STEPS)
        elsewhere = isinstance(stored, dict | list) and not several
        if elsewhere or not reachable(self.tree, path) or (field.only_where_given and stored is None):
            return None
        value = _shown(field, stored, path)
        unit = field.unit.for_units(self.tree.get("units")) if field.unit else ""
        choices = _choices(field, value, self.tree)
        return BoundField(field, path, trail, value, choices, unit, self.sentences.get(path, ""))


def _fields(parts: tuple[Bound, ...]) -> Iterator[BoundField]:
    for part in parts:
        if isinstance(part, BoundField):
            yield part
        elif isinstance(part, BoundGroup):
            yield from _fields(part.parts)
        else:
            for row in part.entries:
                yield from _fields(row.parts)


def _slots(parts: tuple[Bound, ...]) -> Iterator[tuple[Path, str]]:
    """Every place on the page where a sentence can stand, and what it is called."""
    for part in parts:
        if isinstance(part, BoundGroup):
            yield from _slots(part.parts)
        elif isinstance(part, BoundField):
            yield part.path, part.place
        else:
            yield part.path, ", ".join(filter(None, (row_in_words(part.name), part.rows.word)))
            for row in part.entries:
                yield row.path, row_in_words(row.name)
                yield from _slots(row.parts)


def _nearest(problem: Problem, slots: Mapping[Path, tuple[Path, str]]) -> tuple[Path, str] | None:
    """The place of a problem: the field its sentence begins with, its own path, or the nearest above it."""
    named = (*problem.path, problem.sentence.split(" ", 1)[0])
    found = (slots[named[:length]] for length in range(len(named), 0, -1) if named[:length] in slots)
    return next(found, None)


def _numbered(path: str, numbers: tuple[int, ...]) -> Path:
    left = iter(numbers)
    return tuple(next(left) if step == "*" else int(step) if step.isdecimal() else step for step in path.split("."))


def _shown(field: Field, stored: object, path: Path) -> str:
    if field.kind in (Kind.SEVERAL, Kind.STEPS) and isinstance(stored, list):
        return "; ".join(map(str, stored))
    if field.kind == Kind.YES:
        return _yes_or_no(stored, field.choices[0][0])
    if stored is None:
        return shown_where_nothing(field, path)
    return str(stored)


def _yes_or_no(stored: object, default: str) -> str:
    if stored is None:
        return default
    return "yes" if str(stored).lower() in ("true", "yes", "on", "1") else "no"


def _choices(field: Field, value: str, tree: Tree) -> tuple[tuple[str, str], ...]:
    if field.kind == Kind.YARN:
        names = [str(name) for row in rows(tree, ("yarn",)) if (name := at(row, ("name",)))]
        left_out = "which yarn?" if field.path.startswith(("record.", "colours.")) else "as in the cloth"
        known = (("", left_out), *((name, name) for name in dict.fromkeys(names)))
    elif field.path.endswith("structure"):
        blank = () if field.path in STRUCTURES_DECIDED else (("", "as in the cloth"),)
        known = (*blank, *structure_choices())
    else:
        known = field.choices
    if field.kind in (Kind.CHOICE, Kind.YARN) and value not in dict(known):
        return (*known, (value, value))
    return known


def read_posted(tree: Tree, posted: Mapping[str, str], table: FieldTable = PROJECT) -> Tree:
    """The tree with every posted field set; units are those the page showed when it was typed."""
    changed = copy.deepcopy(tree)
    for field in Form(tree, table=table).fields():
        if field.name in posted and (text := posted[field.name].replace("\0", "").strip()) != field.value:
            put(changed, field.path, _stored(field, text))
    return _renamed(tree, changed)


def _stored(field: BoundField, text: str) -> Any:
    """What to keep for a text; None where it is left out."""
    if field.field.kind == Kind.YES:
        return text == "yes"
    if not text:
        return None
    if field.field.kind == Kind.COUNT:
        return int(text) if re.fullmatch(r"\d{1,9}", text) else text
    if field.field.kind == Kind.STEPS:
        return [one.strip() for one in text.split(";") if one.strip()]
    if field.field.kind == Kind.SEVERAL:
        return [with_unit(one, field.unit) for one in split_heddles(text)]
    return with_unit(text, field.unit)


def with_unit(text: str, unit: str) -> str:
    """The text, a bare number with the unit the page shows beside it; 30/10 is no bare number of threads."""
    if not unit or not _BARE.fullmatch(text) or (unit.startswith("/") and _FRACTION.fullmatch(text)):
        return text
    return f"{text}{unit}" if unit.startswith("/") else f"{text} {unit}"


def _renamed(before: Tree, after: Tree) -> Tree:
    """Samples, and what is left of a yarn, follow a yarn that was given another name."""
    old, new = ([at(row, ("name",)) for row in rows(tree, ("yarn",))] for tree in (before, after))
    names = {was: now for was, now in zip(old, new, strict=False) if was and now and was != now and was not in new}
    for sample in rows(after, ("sample",)):
        for side in ("warp", "weft"):
            used = at(sample, (side,))
            if isinstance(used, str) and used in names:
                sample[side] = names[used]
    for left in rows(after, ("record", "left")):
        if at(left, ("yarn",)) in names:
            left["yarn"] = names[left["yarn"]]
    if names and isinstance(after.get("colours"), dict):
        after["colours"] = _with_names(after["colours"], names)
    return after


def _with_names(part: Any, names: Mapping[str, str]) -> Any:
    """The rules of the colours with yarns called by their new names: in lists, as `yarn`, and as keys of shares kept."""
    if isinstance(part, list):
        return [names.get(one, one) if isinstance(one, str) else _with_names(one, names) for one in part]
    if not isinstance(part, dict):
        return part
    return {
        names.get(key, key): names.get(value, value)
        if key == "yarn" and isinstance(value, str)
        else _with_names(value, names)
        for key, value in part.items()
    }


def change_in_words(before: Tree, after: Tree, table: FieldTable = PROJECT) -> str:
    """What changed between two trees of the same rows, in the words of the page."""
    old = {field.path: field for field in Form(before, table=table).fields()}
    new = {field.path: field for field in Form(after, table=table).fields()}
    said = []
    for path in dict.fromkeys((*new, *old)):
        was, now = (_said(fields.get(path)) for fields in (old, new))
        if was != now:
            said.append(f"{(new.get(path) or old[path]).place}: {was} → {now}")
    return "; ".join(said[:3]) + (f" and {len(said) - 3} more" if len(said) > 3 else "") or "changed"


def _said(field: BoundField | None) -> str:
    if field is None or not field.value:
        return "nothing"
    return dict(field.choices).get(field.value, field.value)


def starting_tree(name: str, units: str = "metric") -> Tree:
    """What a new project holds: its name, and one blank row wherever something must be typed."""
    return {
        "clothwright": 1,
        "name": name,
        "units": units,
        "yarn": [{"balls": [{}]}],
        "sample": [{}],
        "pattern": {"piece": [{}]},
    }


def for_the_page(tree: Tree) -> Tree:
    """A tree from a file in the shape the page shows rows in; it means the same."""
    shaped = copy.deepcopy(tree)
    for yarn in rows(shaped, ("yarn",)):
        if isinstance(yarn, dict):
            _spell_out(yarn)
    for sample in rows(shaped, ("sample",)):
        for state in ("off_loom", "finished"):
            corners = rows(sample, ("traced", state))
            corners[:] = [_corner(one) for one in corners]
    _spell_names(rows(shaped, ("pattern", "change")), ("piece", "corner"))
    _spell_names(rows(shaped, ("pattern", "made_size")), ("between",))
    for number, measured in enumerate(rows(shaped, ("off_loom",))):
        if isinstance(at(measured, ("width",)), str):
            put(shaped, ("off_loom", number, "width"), {"middle": at(measured, ("width",))})
    if isinstance(at(shaped, ("record", "width", "finished")), str):
        put(shaped, ("record", "width", "finished"), {"middle": at(shaped, ("record", "width", "finished"))})
    return shaped


def _spell_names(parts: list[Any], fields: tuple[str, ...]) -> None:
    """Lists of names as the page takes them, with commas between; one with a comma of its own stays a list."""
    for part in parts:
        for field in fields:
            names = at(part, (field,))
            if isinstance(names, list) and not any("," in str(name) for name in names):
                part[field] = ", ".join(map(str, names))


def _corner(one: object) -> object:
    """A corner as a row of the page."""
    pair = isinstance(one, list) and len(one) == 2
    return {"across": str(one[0]), "along": str(one[1])} if pair else one  # type: ignore[index]


def _spell_out(yarn: Tree) -> None:
    if isinstance(yarn.get("grist"), dict):
        yarn["grist"] = [yarn["grist"]]
    if isinstance(yarn.get("balls"), list):
        yarn["balls"] = [one if isinstance(one, dict) else {"net": str(one)} for one in yarn["balls"]]
