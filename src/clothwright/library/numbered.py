"""Numbers that run on: of states, entries and versions, each within what it is of."""

from __future__ import annotations

from typing import Any

from django.db.models import Max, QuerySet


def last_number(rows: QuerySet[Any]) -> int:
    """The highest number given among rows; 0 where none was given yet."""
    return rows.aggregate(last=Max("number"))["last"] or 0
