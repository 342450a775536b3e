"""Entries of the weaving log added to a stored project: the one way in, for the page, a phone and a file alike."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from django.db import transaction

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.project import ProblemsFound
from clothwright.project.loom.log_growing import Came, Grown, Tree, with_entry

#: What else an entry changes about the tree of its project.
Changes = Callable[[Tree], Tree]


def _nothing_else(tree: Tree) -> Tree:
    return tree


@transaction.atomic
def add_entry(project: Project, data: object, *, also: Changes = _nothing_else, what: str = "") -> Grown:
    """Add an entry, plain data with a key made where it was typed, to a project's log; nothing is saved where it is there.

    `also`: what else the entry changes about the project, in the same step; `what`: what was done, in the words of the history.
    ProblemsFound, and nothing is saved, where the entry cannot be read.
    """
    store.lock(project)
    head = store.head(project)
    grown = with_entry(head.tree, data)
    tree = also(grown.tree) if grown.came is Came.ADDED else grown.tree
    store.change(project, tree, what or _what(data, grown))
    return grown


#: A key that a program made is longer than one a person chose, and tells a person nothing.
_LONGEST_NAME: Final = 12


def _what(data: object, grown: Grown) -> str:
    entry: dict[str, Any] = data if isinstance(data, dict) else {}
    corrected = entry.get("corrects")
    said = f"corrected {corrected} in the log" if corrected else "added to the log"
    woven = f", {entry['woven']} woven" if entry.get("woven") else ""
    name = grown.key if len(grown.key) <= _LONGEST_NAME else "an entry"
    return f"{name} {said}{woven}"


__all__ = ["Grown", "ProblemsFound", "add_entry"]
