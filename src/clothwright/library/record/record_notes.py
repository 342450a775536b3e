"""What was found out later of a garment, added to its record: a list that only grows."""

from __future__ import annotations

import copy
from typing import Any

from django.db import transaction
from pydantic import ValidationError

from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.project import Problem, ProblemsFound
from clothwright.project.parts.record_parts import LaterPart


@transaction.atomic
def add_later(project: Project, entry: dict[str, Any]) -> Revision:
    """Add an entry to what was found out later of a project's garment; ProblemsFound, and nothing is kept, where it cannot be read."""
    store.lock(project)
    tree = copy.deepcopy(store.head(project).tree)
    there = rows_of_record(tree, "later")
    part = _read(entry)
    if part.corrects is not None and part.corrects > len(there):
        raise ProblemsFound(Problem(("record", "later"), f"number {part.corrects} is to be corrected; there is none"))
    tree["record"]["later"] = [*there, _plain(part)]
    return store.change(project, tree, f"added to the record: {part.about}")


def rows_of_record(tree: dict[str, Any], name: str) -> list[Any]:
    """The rows of a list of a tree's record, made where there is none; ProblemsFound where something else stands there, which stays."""
    record = tree.setdefault("record", {})
    there = record.get(name, []) if isinstance(record, dict) else None
    if not isinstance(there, list):
        raise ProblemsFound(
            Problem(("record",), "the record cannot be read as it stands, so nothing can be added to it")
        )
    return there


def _read(entry: dict[str, Any]) -> LaterPart:
    try:
        return LaterPart.model_validate(entry)
    except ValidationError as wrong:
        said = (str(one["msg"]).removeprefix("Value error, ") for one in wrong.errors())
        raise ProblemsFound(*(Problem(("record", "later"), sentence) for sentence in said)) from None


def _plain(part: LaterPart) -> dict[str, Any]:
    return {name: value for name, value in part.model_dump().items() if value}
