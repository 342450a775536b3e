"""A walk over every address of the pages, complete by itself: a new route is walked, or the walk says what it needs.

The addresses are read from the list of addresses; what stands in them (a project's key, a number of the history) comes from
`Shore`, a small library made for the walk. A route that asks for a part nobody gave fails with a sentence, and so does one that
does not say what it takes: what it takes is asked of the route itself, by a method that none takes.
"""

from __future__ import annotations

import io
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.db import connection
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse
from PIL import Image

from clothwright.guide import chapters
from clothwright.library import store
from clothwright.library.folder import database_file, prepared_folder
from clothwright.library.keeping.archive import exported
from clothwright.library.keeping.backing_up import back_up
from clothwright.library.keeping.waiting import keep_waiting
from clothwright.library.models import OnHand, Photo, Project
from clothwright.library.shelves import on_hand, photos
from clothwright.library.shelves.on_hand import Kept
from clothwright.sheets import BY_KIND
from clothwright.web.needs import STUDIO_ONLY

#: A method that no page takes: the answer says which ones it does take.
_TAKEN_BY_NONE = "PATCH"

#: Addresses of one sheet, beside that of its paper, which is walked for every sheet.
_OF_ONE_SHEET = ("blank_sheet", "blank_preview", "sheet_preview", "type_sheet", "typed_photo")

#: What to put into addresses that ask for nothing of the library.
_GIVEN: dict[str, list[dict[str, Any]]] = {
    "by_number": [{"number": "2026-1"}],
    "chapter": [{"chapter": one.slug} for one in chapters()],
    "guide_picture": [{"picture": "wraps.svg"}],
}

PROJECT: dict[str, Any] = {
    "clothwright": 1,
    "name": "Samphire tabard",
    "units": "metric",
    "yarn": [{"name": "samphire", "fibre": "wool", "grist": "310 m/100 g", "balls": [{"net": "400 g"}]}],
    "loom": {"name": "quay loom", "weaving_width": "60 cm", "heddles": ["30/10 cm"], "waste": "55 cm"},
    "pattern": {"piece": [{"name": "panel", "width": "40 cm", "length": "60 cm", "cut": 2}]},
}
SAMPLE: dict[str, Any] = {
    "units": "metric",
    "yarn": [{"name": "samphire", "fibre": "wool", "grist": "310 m/100 g"}, {}],
    "sample": [{"name": "quay square", "warp": "samphire", "weft": "samphire", "heddle": "30/10 cm"}],
}


@dataclass(frozen=True)
class Visit:
    """One address, the name of its route, and the methods it says that it takes."""

    name: str
    path: str
    takes: frozenset[str]


@dataclass(frozen=True)
class Shore:
    """A small library: a project that can be planned, one thing on every shelf, a photo, a copy, a file that waits."""

    project: Project
    things: dict[Kept, OnHand]
    photo: Photo
    copy: str
    waiting: str

    @classmethod
    def made(cls) -> Shore:
        """The library in the database."""
        project = store.new_project(PROJECT, "started")
        store.change(project, {**PROJECT, "name": "Samphire tunic"}, "name")
        trees = {
            Kept.YARN: {"units": "metric", "yarn": [dict(PROJECT["yarn"][0])]},
            Kept.LOOM: {"units": "metric", "loom": dict(PROJECT["loom"])},
            Kept.SAMPLE: SAMPLE,
        }
        things = {kind: on_hand.add(kind, tree, "typed in") for kind, tree in trees.items()}
        file = io.BytesIO()
        Image.new("RGB", (40, 30), "teal").save(file, "PNG")
        photo = photos.keep_photo(things[Kept.SAMPLE], file.getvalue(), "quay.png")
        return cls(project, things, photo, _copy(), keep_waiting([exported()], "everything.zip"))

    def parts(self, name: str, asked: frozenset[str]) -> list[dict[str, Any]]:
        """What to put into the address of a route: one set of parts for each way it is worth walking."""
        if name == "sheet":
            return [{"key": self.project.pk, "kind": kind} for kind in BY_KIND]
        if name in _OF_ONE_SHEET:
            return [{part: {"key": self.project.pk, "kind": "measuring-yarn"}[part] for part in asked}]
        if "version" in asked:
            return [{"key": self.project.pk, "version": "1.0"}]
        if name in _GIVEN:
            return _GIVEN[name]
        if "sha256" in asked:
            return [{"key": self.project.pk, "sha256": self.photo.sha256}]
        alone = {"token": self.waiting, "name": self.copy, "page": "colours"}
        if only := asked & set(alone):
            return [{part: alone[part] for part in only}]
        if "kind" in asked:
            kinds = [Kept.SAMPLE] if name in ("add_photo", "thing_photo", "read_outline") else list(self.things)
            number = self.photo.pk if name == "thing_photo" else 1
            given = [{"kind": kind, "key": self.things[kind].pk, "number": number} for kind in kinds]
        else:
            given = [{"key": self.project.pk, "number": 1, "row": 0}]
        if strange := asked - set(given[0]):
            raise AssertionError(
                f"the route “{name}” asks for {', '.join(sorted(strange))}: say in tests/web/every_route.py what to put there"
            )
        return [{part: value for part, value in one.items() if part in asked} for one in given]

    @cached_property
    def visits(self) -> tuple[Visit, ...]:
        """Every address that one machine has, in their order; an AssertionError names a route that cannot be walked.

        Those of a shared studio alone are no pages here, and are walked by each role in its own tests.
        """
        return tuple(
            Visit(name, path, methods_taken(name, path))
            for name, asked in routes()
            if name not in STUDIO_ONLY
            for path in (reverse(name, kwargs=parts) for parts in self.parts(name, asked))
        )


def _copy() -> str:
    """A copy of the database as it is, in the folder of copies; the tests' own database is no file that could be copied."""
    prepared_folder()
    with closing(sqlite3.connect(database_file())) as file:
        file.executescript("\n".join(connection.connection.iterdump()))
    return back_up().name


def routes() -> Iterator[tuple[str, frozenset[str]]]:
    """Every route by its name, with the parts it asks for."""
    return _routes(get_resolver().url_patterns, "", frozenset())


def _routes(
    patterns: list[URLPattern | URLResolver], space: str, asked: frozenset[str]
) -> Iterator[tuple[str, frozenset[str]]]:
    for one in patterns:
        more = asked | frozenset(one.pattern.converters)
        if isinstance(one, URLResolver):
            yield from _routes(one.url_patterns, f"{space}{one.namespace}:" if one.namespace else space, more)
        else:
            assert one.name, f"the address “{one.pattern}” has no name, so nothing can lead to it"
            yield space + one.name, more


def methods_taken(name: str, path: str) -> frozenset[str]:
    """What a route takes, as it says itself."""
    answer = Client().generic(_TAKEN_BY_NONE, path)
    assert answer.status_code == 405, f"the route “{name}” does not say what it takes: decorate its view with require_…"
    return frozenset(method.strip() for method in answer.headers["Allow"].split(","))
