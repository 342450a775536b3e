"""Which state of the pattern a plan was made from: a short key of everything that shapes its pieces.

The key is made of the drawing's own bytes and of what was typed that shapes a piece: marks, numbers, allowance, scale, size,
version, sizes made, and the changes that count, in their order. The file's name, the mock-up, how pieces may lie, days,
reasons and changes set aside are no part of it. What is left out counts as its default, so that a field added to the
document later leaves the key of older projects as it is.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from clothwright.project.document import Project
from clothwright.project.parts.pattern_parts import PatternPart
from clothwright.project.pattern.changing import day_in_words

_SHAPE_NOTHING: Final = {"file", "mock_up", "change", "one_way", "squaring", "selvedge_trim"}
_OF_A_CHANGE: Final = {"date", "why", "set_aside"}
_KEY_LETTERS: Final = 8


@dataclass(frozen=True)
class PatternState:
    """`key`: eight letters and figures; `last_change`: the day of the last change that counts, ISO, or None; `changes`: how many."""

    key: str
    last_change: str | None
    changes: int
    size: str | None
    version: str | None

    @property
    def words(self) -> str:
        """The state in a line: pattern 3f9a21c4, 2 changes, the last of 3 October 2026."""
        if not self.changes:
            return f"pattern {self.key}, unchanged"
        last = f", the last of {day_in_words(self.last_change)}" if self.last_change else ""
        return f"pattern {self.key}, {self.changes} {'change' if self.changes == 1 else 'changes'}{last}"


def pattern_state(project: Project, drawings: Mapping[str, bytes]) -> PatternState | None:
    """The state of a project's pattern; None where there is none."""
    pattern = project.pattern
    if pattern is None or not pattern.holds_pieces:
        return None
    counting = [change for change in pattern.change if not change.set_aside]
    days = [change.date for change in counting if change.date]
    return PatternState(_key(pattern, drawings), max(days, default=None), len(counting), pattern.size, pattern.version)


def _key(pattern: PatternPart, drawings: Mapping[str, bytes]) -> str:
    shapes: dict[str, Any] = pattern.model_dump(mode="json", exclude=_SHAPE_NOTHING, exclude_defaults=True)
    changes = [
        change.model_dump(mode="json", exclude=_OF_A_CHANGE, exclude_defaults=True)
        for change in pattern.change
        if not change.set_aside
    ]
    drawing = drawings.get(pattern.file or "")
    shapes |= {"change": changes} if changes else {}
    shapes |= {"drawing": hashlib.sha256(drawing).hexdigest()} if drawing is not None else {}
    return hashlib.sha256(json.dumps(shapes, sort_keys=True).encode()).hexdigest()[:_KEY_LETTERS]


def record_differs(project: Project, state: PatternState | None) -> str:
    """What to say where the record was made from another state of the pattern; empty where it was not."""
    kept = project.record.pattern_state if project.record else ""
    if not kept or (state is not None and state.key == kept):
        return ""
    now = f"is at {state.key}" if state else "is gone"
    return f"The record was made from the pattern at {kept}, and the pattern now {now}: this plan is not the one that was woven."
