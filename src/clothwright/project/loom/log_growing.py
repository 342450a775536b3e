"""How a weaving log grows: an entry is added at the end, once, and nothing in it is changed or taken away.

Two entries of one key and like content are one that was sent twice. Of two with one key and other content both are kept: the
later under a key of its own, as the other of the first, which stands until the weaver says which is right.

Which entries count: one that a later entry corrects does not, nor one that is the other of an entry. A correction that tells
nothing takes back what it corrects.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from clothwright.project.names import numbered_key
from clothwright.project.parts.log_parts import LogPart
from clothwright.project.problem import Problem, ProblemsFound
from clothwright.project.reading import read_entry

Tree = dict[str, Any]


class Came(StrEnum):
    """What became of an entry that came."""

    ADDED = "added"
    ALREADY_THERE = "already there"
    OTHER_KEPT = "kept beside another of its key"


@dataclass(frozen=True)
class Grown:
    """The project after an entry came: its tree, what became of the entry, and the key it stands under."""

    tree: Tree
    came: Came
    key: str


@dataclass(frozen=True)
class Entry:
    """An entry as it stands in the log: its key, its place from 0, and why it does not count, nothing where it does."""

    key: str
    number: int
    part: LogPart
    set_aside: str = ""
    #: The place of the entry it corrects, however often corrected; its own where it corrects none.
    in_place_of: int = 0

    @property
    def counts(self) -> bool:
        """Whether it is reckoned with."""
        return not self.set_aside


def with_entry(tree: Mapping[str, Any], data: object) -> Grown:
    """A project's tree, as typed, with one more entry of its log; the tree that was given is left as it is.

    ProblemsFound where the entry has no key of its own, or cannot be read: it has then to be put right where it was typed.
    """
    if not isinstance(data, Mapping) or not str(data.get("key") or "").strip():
        raise ProblemsFound(Problem(("key",), "an entry needs a key of its own, made where it is typed"))
    grown, entry = copy.deepcopy(dict(tree)), _filled(data)
    log = grown.get("log")
    if log is not None and not isinstance(log, list):
        raise ProblemsFound(Problem((), "the log of this project is no list; put it right on the project's page first"))
    kept = {**entry, "key": str(entry["key"]).strip()}
    for number, there in enumerate(log or []):
        if not isinstance(there, Mapping) or _key(there, number) != kept["key"]:
            continue
        if _content(there) == _content(kept):
            return Grown(dict(tree), Came.ALREADY_THERE, kept["key"])
        return _kept_beside(grown, kept)
    read_entry(kept, tree)
    grown["log"] = [*(log or []), kept]
    return Grown(grown, Came.ADDED, kept["key"])


def _kept_beside(grown: Tree, entry: Tree) -> Grown:
    """The entry as the other of the one that has its key, once."""
    log = grown["log"]
    others = [one for one in log if isinstance(one, Mapping) and str(one.get("other_of") or "").strip() == entry["key"]]
    for other in others:
        if _content(other) == _content(entry):
            return Grown(grown, Came.ALREADY_THERE, str(other["key"]))
    keys = {_key(one, number) for number, one in enumerate(log) if isinstance(one, Mapping)}
    free = next(key for n in range(2, len(log) + 3) if (key := f"{entry['key']} ({n})") not in keys)
    other = {**entry, "key": free, "other_of": entry["key"]}
    read_entry(other, {**grown, "log": log})
    grown["log"] = [*log, other]
    return Grown(grown, Came.OTHER_KEPT, free)


def _content(entry: Mapping[str, Any]) -> Tree:
    """What an entry says, without what it is called."""
    return {name: _one_blank(value) for name, value in _filled(entry).items() if name not in ("key", "other_of")}


def _one_blank(value: Any) -> Any:
    """The same with single blanks between words, so that “60  cm” is “60 cm”."""
    if isinstance(value, dict):
        return {key: _one_blank(one) for key, one in value.items()}
    if isinstance(value, list):
        return [_one_blank(one) for one in value]
    return " ".join(value.split()) if isinstance(value, str) else value


def _filled(value: Mapping[str, Any]) -> Tree:
    """A table without what was left blank, text without blanks around it."""
    kept = {str(key): _plain(one) for key, one in value.items()}
    return {key: one for key, one in kept.items() if one not in (None, "", [], {})}


def _plain(value: Any) -> Any:
    if isinstance(value, Mapping):
        return _filled(value)
    if isinstance(value, list | tuple):
        return [one for one in map(_plain, value) if one not in (None, "", [], {})]
    return value.strip() if isinstance(value, str) else value


def _key(entry: Mapping[str, Any], number: int) -> str:
    return str(entry.get("key") or "").strip() or numbered_key(number)


def entries(log: Sequence[LogPart]) -> tuple[Entry, ...]:
    """Every entry of a log in its order, each with whether it counts, and whose place a correction stands in."""
    keys = [part.key or numbered_key(number) for number, part in enumerate(log)]
    standing = _in_force(keys, log)
    by_key = {key: number for number, key in reversed(list(enumerate(keys)))}
    corrected = {part.corrects: key for key, part in zip(keys, log, strict=True) if part.corrects and standing[key]}
    places: list[int] = []
    for number, part in enumerate(log):
        of = by_key.get(part.corrects, number) if part.corrects else number
        places.append(places[of] if of < number else number)
    return tuple(
        Entry(key, number, part, _why_not(key, part, corrected, standing[key]), places[number])
        for number, (key, part) in enumerate(zip(keys, log, strict=True))
    )


def _in_force(keys: Sequence[str], log: Sequence[LogPart]) -> dict[str, bool]:
    """Whether each entry is in force: not taken back by a later one that is, and not the other of one."""
    in_force: dict[str, bool] = {}
    taken_back: set[str] = set()
    for key, part in reversed(list(zip(keys, log, strict=True))):
        in_force[key] = key not in taken_back and not part.other_of
        if in_force[key] and part.corrects and not part.told:
            taken_back.add(part.corrects)
    return in_force


def _why_not(key: str, part: LogPart, corrected: Mapping[str, str], in_force: bool) -> str:
    if part.other_of and not {key, part.other_of} & corrected.keys():
        return f"came with other content than {part.other_of}; which is right?"
    if key in corrected:
        return f"corrected by {corrected[key]}"
    if part.other_of:
        return f"{corrected.get(part.other_of, part.other_of)} stands in its place"
    return "" if in_force else "taken back"


def open_questions(log: Sequence[LogPart]) -> tuple[Entry, ...]:
    """The entries that came with other content under a key that was there, and are not settled."""
    return tuple(one for one in entries(log) if one.part.other_of and one.set_aside.endswith("?"))
