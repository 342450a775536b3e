"""Versions of a leaflet on the command line: each a file beside the project file, written once and never over.

What changed since the last one is told when the next is given out, and before it by `--changes`.
"""

from __future__ import annotations

import datetime
import json
import re
from pathlib import Path
from typing import Any

from rich.console import Console

from clothwright.planning import Leaflet
from clothwright.planning.teaching.leaflet_versions import PublishedVersion, frozen, given_out, refuse_unready, thawed
from clothwright.project import Problem, ProblemsFound
from clothwright.sheets import leaflet_words as words
from clothwright.sheets.teaching.buyers_page import buyers_file
from clothwright.sheets.teaching.leaflet_changes import Change, changes

_console = Console(highlight=False, soft_wrap=True, markup=False)


def published_beside(file: Path) -> tuple[PublishedVersion, ...]:
    """The versions given out, in files beside the project file, the earliest first."""
    found = [_read(one) for one in sorted(file.parent.glob(f"{file.stem}.leaflet-*.json"))]
    return tuple(sorted(found, key=lambda one: (one.day, _in_order(one.version))))


def _read(file: Path) -> PublishedVersion:
    try:
        return thawed(json.loads(file.read_text(encoding="utf-8")))
    except (OSError, ValueError, ProblemsFound) as wrong:
        raise ProblemsFound(Problem((file.name,), f"this published leaflet cannot be read: {wrong}")) from None


def _in_order(version: str) -> list[tuple[int, str]]:
    """Numbers of a version as numbers: 1.10 comes after 1.9."""
    return [(int(part), "") if part.isdigit() else (-1, part) for part in re.split(r"[.\-]", version)]


def publish_beside(file: Path, leaflet: Leaflet, version: str) -> tuple[Path, PublishedVersion]:
    """Give out a leaflet as a version: its file, which is new. ProblemsFound with everything that keeps it from being given out."""
    refuse_unready(words.not_to_be_given_out(leaflet))
    today = datetime.datetime.now().astimezone().date()
    made = given_out(leaflet, version, today, published_beside(file))
    to = file.with_name(f"{file.stem}.leaflet-{made.version}.json")
    try:
        with to.open("x", encoding="utf-8") as out:
            json.dump(frozen(made), out)
    except OSError as error:
        raise ProblemsFound(Problem((to.name,), f"it cannot be written: {error.strerror}")) from None
    return to, made


def write_buyers_page(file: Path, leaflet: Leaflet, to: Path, *, imperial: bool) -> None:
    """The page for buyers of the last version given out where nothing changed since, else of the leaflet as it is, a proof."""
    last = (None, *published_beside(file))[-1]
    same = last is not None and not changes(last.leaflet, leaflet)
    page = buyers_file(last.leaflet if last and same else leaflet, imperial=imperial)
    try:
        to.write_text(page, encoding="utf-8")
    except OSError as error:
        raise ProblemsFound(Problem((str(to),), f"it cannot be written: {error.strerror}")) from None


def changes_since(before: PublishedVersion | None, leaflet: Leaflet, *, imperial: bool) -> tuple[Change, ...]:
    """What is printed otherwise than in a version given out; nothing where there is none."""
    return changes(before.leaflet, leaflet, imperial=imperial) if before else ()


def as_data(before: PublishedVersion | None, found: tuple[Change, ...]) -> dict[str, Any]:
    """The changes as plain data."""
    every = [{"where": one.where, "what": one.what, "was": one.was, "now": one.now} for one in found]
    return {"since": before.version if before else None, "changes": every}


def show_changes(before: PublishedVersion | None, found: tuple[Change, ...]) -> None:
    """Print what changed, a sentence each."""
    if before is None:
        _console.print("No version was given out before.")
        return
    _console.print(
        f"Since version {before.version} of {before.day.isoformat()}:" if found else f"As in version {before.version}."
    )
    for one in found:
        _console.print(f"  {one.sentence}")
