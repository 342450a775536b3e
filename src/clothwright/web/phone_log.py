"""An entry from a phone on its way into the weaving log of its project."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import Any
from uuid import UUID

from clothwright.library.models import PhoneEntry, Project
from clothwright.library.weaving_log import add_entry
from clothwright.project import ProblemsFound


def log_entry(project: Project, said: Mapping[str, Any]) -> str:
    """Add an entry that came from a phone to the project's log by the one checked way; why not, in one sentence."""
    row = {**said["row"], "key": str(said["key"]), "when": when_here(said["made_at"])}
    if _corrects_what_never_came_in(project, row):
        del row["corrects"]
        if not set(row) - {"key", "when"}:
            return ""
    try:
        add_entry(project, row)
    except ProblemsFound as wrong:
        return f"{'; '.join(map(str, wrong.problems))}; it is kept as it came, and is not in the log"
    return ""


def when_here(made_at: str) -> str:
    """A moment of the phone's clock by the clock of this machine, as the log writes it."""
    return f"{datetime.datetime.fromisoformat(made_at).astimezone():%Y-%m-%d %H:%M:%S}"


def _corrects_what_never_came_in(project: Project, row: Mapping[str, Any]) -> bool:
    """Whether an entry puts right one that is kept but could not be used: it then stands by itself."""
    try:
        of = UUID(str(row.get("corrects", "")))
    except ValueError:
        return False
    return PhoneEntry.objects.filter(project=project, key=of, kind="log").exclude(sentence="").exists()
