"""The two orders of colours of a cloth, the warp's and the weft's: where each is kept, and the words its page uses."""

from __future__ import annotations

import copy
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from clothwright.colours import HandRun
from clothwright.web.forms.colour_fields import COLOURS, WEFT_COLOURS
from clothwright.web.forms.form import FieldTable
from clothwright.web.forms.typed import Path, Tree, at, put, rows


@dataclass(frozen=True)
class Side:
    """One of the two orders.

    `path`: where its rules are kept; `thread`: what it is counted in; `url`: the name of its page; `order`: what the order is
    called; `balls`: whether a run may say which ball it is of.
    """

    path: Path
    thread: str
    url: str
    order: str
    table: FieldTable
    balls: bool

    @property
    def order_path(self) -> Path:
        """Where its order is kept."""
        return (*self.path, "order")

    @property
    def threads(self) -> str:
        """What it is counted in, several of them; and the field of a run that says how many."""
        return f"{self.thread}s"


WARP: Final = Side(("colours",), "end", "colours", "order of colours", FieldTable(COLOURS), balls=True)
WEFT: Final = Side(
    ("colours", "weft"), "pick", "weft_colours", "order of the weft", FieldTable(WEFT_COLOURS), balls=False
)


def with_order(tree: Tree, side: Side, runs: Sequence[HandRun]) -> Tree:
    """The tree with an order run by run."""
    changed = copy.deepcopy(tree)
    told = [
        {"yarn": run.yarn, side.threads: run.ends}
        | ({"ball": run.ball} if run.ball and side.balls else {})
        | ({"held": True} if run.held else {})
        for run in runs
    ]
    put(changed, side.order_path, told or None)
    return changed


def runs_kept(tree: Tree, side: Side) -> tuple[HandRun, ...]:
    """The order as it is kept, runs that cannot be read left out."""
    return tuple(hand_run(row, side) for row in rows(tree, side.order_path) if _is_run(row, side))


def _is_run(row: Any, side: Side) -> bool:
    many = at(row, (side.threads,))
    return isinstance(at(row, ("yarn",)), str) and isinstance(many, int) and not isinstance(many, bool) and many > 0


def hand_run(row: dict[str, Any], side: Side) -> HandRun:
    """A run as a project holds it, to be changed by hand."""
    ball = row.get("ball")
    return HandRun(row["yarn"], row[side.threads], ball if isinstance(ball, int) else None, row.get("held") is True)
