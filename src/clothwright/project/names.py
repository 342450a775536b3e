"""The names of yarns, cores and winders: each its own, and only those used that there are.

This looks at the tree as typed, before the rest of it has been read, so that a wrong name and a wrong number are told at
once. What has not the shape of a yarn or a sample is passed over here; the document says what is wrong with it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from typing import Any, Final, TypeVar

from clothwright.project.fields import CoreName, read_core
from clothwright.project.problem import Path, Problem
from clothwright.yarn import read_turns

_Value = TypeVar("_Value")

_NO_TABLE: Final[Mapping[str, Any]] = {}


def name_problems(tree: Mapping[str, Any]) -> list[Problem]:
    """Yarns of one name, and samples, log entries and yarn left over of a yarn that is not there."""
    named = [(number, name) for number, part in _tables(tree, "yarn") if (name := _name(part.get("name")))]
    counted = Counter(name for _, name in named)
    seen: set[str] = set()
    problems = []
    for number, name in named:
        if name in seen:
            why = f"{counted[name]} yarns are called {name}; give each its own name"
            problems.append(Problem(("yarn", number, "name"), why))
        seen.add(name)
    problems += [*_own_names(tree, "other_loom", "looms"), *_own_names(tree, "cloth_in_hand", "cloths in hand")]
    problems += _tools(tree, "core", _cores_used(tree))
    problems += _tools(tree, "winder", _winders_used(tree))
    there = ", ".join(counted) or "none"
    logged = _in_log(tree) if counted else ()
    problems += [
        Problem(path, f"“{name}”: no yarn has that name; there are {there}")
        for path, name in (*_used(tree), *logged)
        if name not in counted
    ]
    return [*problems, *_keys(tree)]


def _own_names(tree: Mapping[str, Any], kind: str, words: str) -> Iterator[Problem]:
    """Parts of a kind that have the name of an earlier one."""
    listed = [(number, name) for number, part in _tables(tree, kind) if (name := _name(part.get("name")))]
    names = [name for _, name in listed]
    for place, (number, name) in enumerate(listed):
        if name in names[:place]:
            why = f"{names.count(name)} {words} are called {name}; give each its own name"
            yield Problem((kind, number, "name"), why)


#: What to do about a tool that is used and not listed.
_LIST_IT: Final = {
    "core": "weigh an empty one and list it under [[core]], or leave core out and the weight is a band",
    "winder": "list it under [[winder]] with the length of a turn",
}


def _tools(tree: Mapping[str, Any], kind: str, used: Iterator[tuple[Path, str]]) -> list[Problem]:
    """Cores, or winders, of one name, and those used that are not in the list."""
    listed = [(number, name) for number, part in _tables(tree, kind) if (name := _name(part.get("name")))]
    names = [name for _, name in listed]
    problems = [
        Problem((kind, number, "name"), f"{names.count(name)} of the {kind}s are called {name}; give each its own name")
        for place, (number, name) in enumerate(listed)
        if name in names[:place]
    ]
    there = ", ".join(dict.fromkeys(names)) or "none"
    for path, name in used:
        if name not in names:
            problems.append(
                Problem(path, f"“{name}”: no {kind} has that name; there are {there}. {_capital(_LIST_IT[kind])}")
            )
    return problems


def _capital(sentence: str) -> str:
    return sentence[:1].upper() + sentence[1:]


def _in_log(tree: Mapping[str, Any]) -> Iterator[tuple[Path, str]]:
    """The yarns the weaving log names; a log of a project without yarns may call its weft as it likes."""
    for number, entry in _tables(tree, "log"):
        left = entry.get("weft_left")
        for key in left if isinstance(left, Mapping) else _NO_TABLE:
            yield ("log", number, "weft_left", key), str(key).strip()
        for place, part in _weighed(entry):
            if name := _name(part.get("yarn")):
                yield ("log", number, "weighed", *place, "yarn"), name


def _weighed(entry: Mapping[str, Any]) -> list[tuple[Path, Mapping[str, Any]]]:
    """What an entry has on the scale: one table, or several."""
    one = entry.get("weighed")
    if isinstance(one, Mapping):
        return [((0,), one)]
    return [((place,), part) for place, part in _tables(entry, "weighed")]


def _keys(tree: Mapping[str, Any]) -> Iterator[Problem]:
    """Entries of the log of one key, and those that correct, or are the other of, one that does not stand before them."""
    before: list[str] = []
    for number, entry in _tables(tree, "log"):
        key = _name(entry.get("key")) or numbered_key(number)
        for field, said in (("corrects", "corrects"), ("other_of", "is the other of")):
            of = _name(entry.get(field))
            if of and of not in before:
                why = f"“{of}”: no entry before this one has that key, and an entry {said} an earlier one"
                yield Problem(("log", number, field), why)
        if key in before:
            yield Problem(("log", number, "key"), f"“{key}” is the key of an earlier entry; give each its own")
        before.append(key)


def numbered_key(number: int) -> str:
    """The key of an entry that was given none: its place in the log, which only grows."""
    return f"entry {number + 1}"


def _cores_used(tree: Mapping[str, Any]) -> Iterator[tuple[Path, str]]:
    for number, entry in _tables(tree, "log"):
        for place, part in _weighed(entry):
            if isinstance(core := _read(read_core, _name(part.get("core")) or ""), CoreName):
                yield ("log", number, "weighed", *place, "core"), core.name
    for path, ball in _balls(tree):
        if name := _name(ball.get("core")):
            core = _read(read_core, name)
            if isinstance(core, CoreName):
                yield (*path, "core"), core.name


def _winders_used(tree: Mapping[str, Any]) -> Iterator[tuple[Path, str]]:
    for path, part in _lengths_of_yarn(tree):
        turns = _read(read_turns, _name(part.get("length")) or "")
        if turns:
            yield (*path, "length"), turns.winder


def _lengths_of_yarn(tree: Mapping[str, Any]) -> Iterator[tuple[Path, Mapping[str, Any]]]:
    """Every table with a length of yarn: metered balls, and weighings of a yarn or of a ball."""
    for number, yarn in _tables(tree, "yarn"):
        yield from _weighings(("yarn", number, "grist"), yarn.get("grist"))
    for path, ball in _balls(tree):
        yield path, ball
        yield from _weighings((*path, "grist"), ball.get("grist"))


def _weighings(path: Path, grist: object) -> Iterator[tuple[Path, Mapping[str, Any]]]:
    if isinstance(grist, Mapping):
        yield path, grist
    for number, part in enumerate(grist if isinstance(grist, list) else []):
        if isinstance(part, Mapping):
            yield (*path, number), part


def _balls(tree: Mapping[str, Any]) -> Iterator[tuple[Path, Mapping[str, Any]]]:
    for number, yarn in _tables(tree, "yarn"):
        for place, ball in _tables(yarn, "balls"):
            yield ("yarn", number, "balls", place), ball


def _read(read: Callable[[str], _Value], text: str) -> _Value | None:
    """What a text holds; None where it cannot be read, which the document says."""
    try:
        return read(text)
    except ValueError:
        return None


def _used(tree: Mapping[str, Any]) -> Iterator[tuple[Path, str]]:
    for number, sample in _tables(tree, "sample"):
        for side in ("warp", "weft"):
            if name := _name(sample.get(side)):
                yield ("sample", number, side), name
    yield from _in_colours(tree.get("colours"))
    record = tree.get("record")
    for number, left in _tables(record if isinstance(record, Mapping) else _NO_TABLE, "left"):
        if name := _name(left.get("yarn")):
            yield ("record", "left", number, "yarn"), name


def _in_colours(colours: object) -> Iterator[tuple[Path, str]]:
    """The yarns that the rules of the colour orders, and the orders, of warp and weft name."""
    told = colours if isinstance(colours, Mapping) else _NO_TABLE
    yield from _in_order(told, ("colours",), ("not_at_edges", "use_up", "spread"))
    kept = told.get("keep_for_weft")
    for key in kept if isinstance(kept, Mapping) else _NO_TABLE:
        yield ("colours", "keep_for_weft", key), str(key).strip()
    selvedge = told.get("selvedge")
    if name := _name(selvedge.get("yarn") if isinstance(selvedge, Mapping) else None):
        yield ("colours", "selvedge", "yarn"), name
    weft = told.get("weft")
    if isinstance(weft, Mapping):
        yield from _in_order(weft, ("colours", "weft"), ("yarns", "not_at_ends", "use_up", "turn_about"))


def _in_order(told: Mapping[str, Any], path: Path, lists: tuple[str, ...]) -> Iterator[tuple[Path, str]]:
    """The yarns in lists, in pairs kept apart, in stripes and in an order."""
    for field in lists:
        yield from _listed((*path, field), told.get(field))
    pairs = told.get("not_side_by_side")
    for number, pair in enumerate(pairs if isinstance(pairs, list) else []):
        yield from _listed((*path, "not_side_by_side", number), pair)
    for field in ("stripes", "order"):
        for number, part in _tables(told, field):
            if name := _name(part.get("yarn")):
                yield (*path, field, number, "yarn"), name


def _listed(path: Path, names: object) -> Iterator[tuple[Path, str]]:
    for number, value in enumerate(names if isinstance(names, list) else []):
        if name := _name(value):
            yield (*path, number), name


def _tables(tree: Mapping[str, Any], field: str) -> list[tuple[int, Mapping[str, Any]]]:
    parts = tree.get(field)
    listed = parts if isinstance(parts, list) else []
    return [(number, part) for number, part in enumerate(listed) if isinstance(part, Mapping)]


def _name(value: object) -> str | None:
    return value.strip() if isinstance(value, str) and value.strip() else None
