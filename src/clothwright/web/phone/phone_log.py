"""An entry from a phone on its way into the weaving log of its project."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import Any
from uuid import UUID

from clothwright.library import store
from clothwright.library.loom.weaving_log import add_entry
from clothwright.library.models import PhoneEntry, Project
from clothwright.project import ProblemsFound
from clothwright.web.loom.loom_told import forecast_of_revision
from clothwright.web.loom.loom_ways import WayTaken, overtaken, take_way


def log_entry(project: Project, said: Mapping[str, Any]) -> str:
    """Add an entry that came from a phone to the project's log by the one checked way; why not, in one sentence."""
    row = {**said["row"], "key": row_key(said["key"]), "when": when_here(said["made_at"])}
    if _corrects_what_never_came_in(project, row):
        del row["corrects"]
        if not set(row) - {"key", "when"}:
            return ""
    try:
        add_entry(project, row)
    except ProblemsFound as wrong:
        return f"{'; '.join(map(str, wrong.problems))}; it is kept as it came, and is not in the log"
    return ""


def way_entry(project: Project, said: Mapping[str, Any]) -> str:
    """Take a way out that was taken on a phone; why not, in one sentence, where weaver or project have gone another way by now."""
    way = WayTaken.model_validate(said["way"])
    try:
        if why := overtaken(way, forecast_of_revision(store.head(project), by_hand=False)):
            return f"“{way.what}” is not taken: {why}; it is kept as it came"
        take_way(project, way, row_key(said["key"]), when_here(said["made_at"]))
    except ProblemsFound as wrong:
        return f"{'; '.join(map(str, wrong.problems))}; it is kept as it came, and not taken"
    return ""


def when_here(made_at: str) -> str:
    """A moment of the phone's clock by the clock of this machine, as the log writes it."""
    return f"{datetime.datetime.fromisoformat(made_at).astimezone():%Y-%m-%d %H:%M:%S}"


def row_key(key: UUID | str) -> str:
    """What an entry of a phone is called in the log, where people read it."""
    return f"phone-{UUID(str(key)).hex[:10]}"


def _corrects_what_never_came_in(project: Project, row: Mapping[str, Any]) -> bool:
    """Whether an entry puts right one that is kept but could not be used: it then stands by itself."""
    unused = PhoneEntry.objects.filter(project=project, kind="log").exclude(sentence="")
    return str(row.get("corrects", "")) in map(row_key, unused.values_list("key", flat=True))
