"""A leaflet as it is given out: every figure frozen as plain data, and made into the same leaflet again years later.

A version is frozen whole, layouts and words with it, so that it prints again as it was and can be held against a later one,
whatever the project or the program has become since.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache
from typing import Any, Final

from pydantic import TypeAdapter, ValidationError

from clothwright.planning.teaching.leaflet_table import Leaflet
from clothwright.project import Problem, ProblemsFound

FORMAT: Final = 1
_VERSION: Final = re.compile(r"[0-9A-Za-z](?:[0-9A-Za-z.\-]{0,18}[0-9A-Za-z])?")


@dataclass(frozen=True)
class PublishedVersion:
    """A version given out on a day, with the leaflet as it was then."""

    version: str
    day: date
    leaflet: Leaflet


@lru_cache(maxsize=1)
def _adapter() -> TypeAdapter[PublishedVersion]:
    return TypeAdapter(PublishedVersion)


def frozen(published: PublishedVersion) -> dict[str, Any]:
    """A version as plain data, every figure to its last place."""
    data: dict[str, Any] = _adapter().dump_python(published, mode="json")
    return {"clothwright_leaflet": FORMAT} | data


def thawed(data: Any) -> PublishedVersion:
    """The version that was frozen; ProblemsFound where that is not what came."""
    try:
        if data.get("clothwright_leaflet") != FORMAT:
            raise ValueError("another format")
        return _adapter().validate_python({name: one for name, one in data.items() if name != "clothwright_leaflet"})
    except (AttributeError, ValidationError, ValueError):
        raise ProblemsFound(
            Problem((), "this is not a leaflet that was published by this program, or it was damaged")
        ) from None


def version_named(text: str, before: tuple[str, ...]) -> str:
    """A version as typed; ProblemsFound where it cannot be one, or was given out before."""
    version = text.strip()
    if not _VERSION.fullmatch(version):
        raise ProblemsFound(
            Problem((), f"“{text}” is no version; write figures and letters with points, as 1.0 or 2026-11")
        )
    if version in before:
        raise ProblemsFound(
            Problem((), f"version {version} was given out already; those are never changed, so name a new one")
        )
    return version


def given_out(leaflet: Leaflet, version: str, day: date, before: tuple[PublishedVersion, ...]) -> PublishedVersion:
    """The leaflet as a version of that day; ProblemsFound where the version cannot be called so."""
    named = version_named(version, tuple(one.version for one in before))
    return PublishedVersion(named, day, replace(leaflet, version=named))


def last_two(every: tuple[PublishedVersion, ...]) -> tuple[PublishedVersion, PublishedVersion]:
    """The version given out last and the one before it; ProblemsFound where there are not two."""
    if len(every) < 2:
        told = f"only version {every[0].version} was given out" if every else "no version was given out yet"
        raise ProblemsFound(Problem((), f"{told}: there is nothing to correct"))
    return every[-2], every[-1]


def refuse_unready(reasons: tuple[str, ...]) -> None:
    """ProblemsFound with everything that keeps a leaflet from being given out."""
    if reasons:
        raise ProblemsFound(*(Problem(("leaflet",), f"not published: {why.rstrip('.')}") for why in reasons))
