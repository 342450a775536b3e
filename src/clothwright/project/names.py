"""The names of yarns: each its own, and only those used that there are.

This looks at the tree as typed, before the rest of it has been read, so that a wrong name and a wrong number are told at
once. What has not the shape of a yarn or a sample is passed over here; the document says what is wrong with it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any, Final

from clothwright.project.problem import Path, Problem

_NO_TABLE: Final[Mapping[str, Any]] = {}


def name_problems(tree: Mapping[str, Any]) -> list[Problem]:
    """Yarns of one name, and samples and log entries of a yarn that is not there."""
    named = [(number, name) for number, part in _tables(tree, "yarn") if (name := _name(part.get("name")))]
    counted = Counter(name for _, name in named)
    seen: set[str] = set()
    problems = []
    for number, name in named:
        if name in seen:
            why = f"{counted[name]} yarns are called {name}; give each its own name"
            problems.append(Problem(("yarn", number, "name"), why))
        seen.add(name)
    there = ", ".join(counted) or "none"
    problems += [
        Problem(path, f"“{name}”: no yarn has that name; there are {there}")
        for path, name in _used(tree)
        if name not in counted
    ]
    return problems


def _used(tree: Mapping[str, Any]) -> Iterator[tuple[Path, str]]:
    for number, sample in _tables(tree, "sample"):
        for side in ("warp", "weft"):
            if name := _name(sample.get(side)):
                yield ("sample", number, side), name
    for number, entry in _tables(tree, "log"):
        left = entry.get("weft_left")
        for key in left if isinstance(left, Mapping) else _NO_TABLE:
            yield ("log", number, "weft_left", key), str(key).strip()


def _tables(tree: Mapping[str, Any], field: str) -> list[tuple[int, Mapping[str, Any]]]:
    parts = tree.get(field)
    listed = parts if isinstance(parts, list) else []
    return [(number, part) for number, part in enumerate(listed) if isinstance(part, Mapping)]


def _name(value: object) -> str | None:
    return value.strip() if isinstance(value, str) and value.strip() else None
