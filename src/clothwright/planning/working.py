"""A line of working: a sum as a person would write it, and where its numbers come from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from clothwright.measure import Rung


@dataclass(frozen=True)
class WorkingLine:
    """One line of the sum: `sum` as a person would write it, its `value` in `unit`, and where its numbers come from."""

    step: str
    sum: str
    value: float
    unit: str
    rung: Rung
    source: str

    def as_json(self) -> dict[str, Any]:
        """The line as scripts read it."""
        return {
            "step": self.step,
            "sum": self.sum,
            "value": self.value,
            "unit": self.unit,
            "rung": str(self.rung),
            "from": self.source,
        }
