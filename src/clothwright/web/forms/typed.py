"""Places in the typed tree: reading and setting what stands at a path, rows, and what of it is blank.

The tree is kept exactly as typed, and may hold anything: a list where a table belongs, a number where text belongs.
So nothing here assumes a shape; a place that cannot be reached holds nothing.
"""

from __future__ import annotations

import copy
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from clothwright.project import Problem

Tree = dict[str, Any]
Path = tuple[str | int, ...]


def path_of(name: str) -> Path:
    """The path a dotted name stands for: yarn.0.name."""
    return tuple(int(step) if step.isdecimal() else step for step in name.split("."))


def name_of(path: Path) -> str:
    """The dotted name of a path."""
    return ".".join(map(str, path))


def at(tree: object, path: Path) -> Any:
    """What stands at a path, or None."""
    for step in path:
        tree = _below(tree, step)
    return tree


def _below(part: object, step: str | int) -> Any:
    if isinstance(part, dict) and isinstance(step, str):
        return part.get(step)
    if isinstance(part, list) and isinstance(step, int) and step < len(part):
        return part[step]
    return None


def reachable(tree: object, path: Path) -> bool:
    """Whether a value can be set at a path without taking away what stands in its way."""
    for step in path:
        if tree is None:
            return True
        if not isinstance(tree, dict if isinstance(step, str) else list):
            return False
        tree = _below(tree, step)
    return True


def put(tree: Tree, path: Path, value: Any) -> None:
    """Set the value at a path, making tables on the way; None takes away what stood there."""
    part: Any = tree
    for step, following in pairwise(path):
        inner = _below(part, step)
        if not isinstance(inner, dict | list):
            if value is None:
                return
            inner = _set(part, step, {} if isinstance(following, str) else [])
        part = inner
    if value is not None:
        _set(part, path[-1], value)
    elif isinstance(part, dict):
        part.pop(str(path[-1]), None)


def _set(part: Any, step: str | int, value: Any) -> Any:
    part[step] = value
    return value


def rows(tree: Tree, path: Path) -> list[Any]:
    """The rows of a list; none where something else stands there."""
    found = at(tree, path)
    return found if isinstance(found, list) else []


def with_row(tree: Tree, path: Path, row: Any) -> Tree:
    """The tree with one more row at the end of a list."""
    changed = copy.deepcopy(tree)
    put(changed, path, [*rows(changed, path), row])
    return changed


def without_row(tree: Tree, path: Path) -> Tree:
    """The tree without the row at a path; a list that loses its last row goes too."""
    changed = copy.deepcopy(tree)
    kept = [row for number, row in enumerate(rows(changed, path[:-1])) if number != path[-1]]
    put(changed, path[:-1], kept or None)
    return changed


@dataclass
class Filled:
    """The tree without what was left blank, and where each row of it stood."""

    tree: Tree
    _numbers: dict[Path, list[int]] = field(default_factory=dict)

    @classmethod
    def of(cls, tree: Tree) -> Filled:
        """Leave out empty tables, empty text and rows with nothing in them."""
        filled = cls({})
        filled.tree = filled._table(tree, ())
        return filled

    def problems(self, found: Iterable[Problem]) -> tuple[Problem, ...]:
        """Problems of the filled tree, each at the place in the tree as typed."""
        return tuple(Problem(self._typed_path(one.path), one.sentence) for one in found)

    def _table(self, value: Mapping[str, Any], path: Path) -> Tree:
        kept = {key: self._part(one, (*path, key)) for key, one in value.items()}
        return {key: one for key, one in kept.items() if not _blank(one)}

    def _part(self, value: Any, path: Path) -> Any:
        if isinstance(value, Mapping):
            return self._table(value, path)
        return self._list(value, path) if isinstance(value, list) else value

    def _list(self, value: list[Any], path: Path) -> list[Any]:
        kept: list[Any] = []
        numbers = self._numbers[path] = []
        for number, one in enumerate(value):
            part = self._part(one, (*path, len(kept)))
            if not _blank(part):
                kept.append(part)
                numbers.append(number)
        return kept

    def _typed_path(self, path: Path) -> Path:
        typed: Path = ()
        for length, step in enumerate(path):
            numbers = self._numbers.get(path[:length], [])
            known = isinstance(step, int) and step < len(numbers)
            typed = (*typed, numbers[int(step)] if known else step)
        return typed


def _blank(value: Any) -> bool:
    return value is None or (isinstance(value, str | dict | list) and not value)
