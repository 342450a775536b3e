"""What each page of a project is for, and what has to come first: told at its top while something is missing."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any, Final

from django.urls import reverse

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.web.forms.typed import Tree, at, rows


@dataclass(frozen=True)
class Missing:
    """Something a page cannot do without: in words, and the address of the field where it is typed."""

    words: str
    url: str


@dataclass(frozen=True)
class Purpose:
    """What a page is for, and what is missing for it."""

    is_for: str
    missing: tuple[Missing, ...]


def purpose_of(name: str, project: Project) -> Purpose | None:
    """What a page of a project is for and what is missing there; None where nothing is, or the page is no page of a project."""
    row = table()["page"].get(name)
    if row is None:
        return None
    tree = store.head(project).tree
    missing = [_missing(need, project) for need in row["needs"] if not _THERE[need](tree)]
    return Purpose(row["is_for"], tuple(missing)) if missing else None


def _missing(need: str, project: Project) -> Missing:
    row = table()["need"][need]
    return Missing(row["words"], f"{reverse(row['page'], args=[project.pk])}#{row['field']}")


@cache
def table() -> dict[str, Any]:
    """The two tables: pages, and what they need."""
    text = resources.files(__package__).joinpath("purposes.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def _yarn(tree: Tree) -> bool:
    """Whether a yarn with a name was told of."""
    return any(at(one, ("name",)) for one in rows(tree, ("yarn",)))


def _heddle(tree: Tree) -> bool:
    return bool(at(tree, ("loom", "heddles")) or at(tree, ("cloth", "heddle")))


def _pieces(tree: Tree) -> bool:
    drafted, drawn = at(tree, ("pattern", "from_measures", "garment")), at(tree, ("pattern", "file"))
    return bool(drafted or drawn or any(at(one, ("width",)) for one in rows(tree, ("pattern", "piece"))))


def _making(tree: Tree) -> bool:
    return bool(at(tree, ("want", "width"))) or _pieces(tree)


def _sample(tree: Tree) -> bool:
    return any(isinstance(one, dict) and any(one.values()) for one in rows(tree, ("sample",)))


def _record(tree: Tree) -> bool:
    found = at(tree, ("record",))
    return isinstance(found, dict) and any(found.values())


_THERE: Final[dict[str, Callable[[Tree], bool]]] = {
    "yarn": _yarn,
    "heddle": _heddle,
    "making": _making,
    "pieces": _pieces,
    "sample": _sample,
    "record": _record,
}
