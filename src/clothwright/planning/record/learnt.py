"""What a record taught: each figure as it was believed before it, and as it is believed with it.

Both are told of the next cloth like this one, from all that was known before its day and from that with its record; so the
difference is what this record alone has added. Nothing is typed again: the record is evidence as it stands.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

from clothwright.evidence import NO_HISTORY, History, SampleMeasured
from clothwright.measure import Interval
from clothwright.planning.behind import evidence_behind
from clothwright.planning.job import Job, job_of
from clothwright.project import Project
from clothwright.project.record.past import Seen, seen_of

_NO_DRAWINGS: Final[Mapping[str, bytes]] = MappingProxyType({})
#: A figure that moved by less than this share of its spread taught nothing to speak of.
_NOTHING: Final = 0.02


@dataclass(frozen=True)
class Learnt:
    """A figure before and after a record, nine times in ten; `came` is what the record itself says, where it does."""

    key: str
    name: str
    unit: str
    before: Interval
    after: Interval
    came: float | None

    @property
    def narrower(self) -> float:
        """The share of its spread that the record took away; below nothing where it made it wider."""
        return 1 - (self.after.high - self.after.low) / (self.before.high - self.before.low)

    def as_json(self) -> dict[str, Any]:
        """The figure as plain data."""
        three = {
            when: {"low": round(one.low, 6), "expected": round(one.expected, 6), "high": round(one.high, 6)}
            for when, one in (("before", self.before), ("after", self.after))
        }
        came = None if self.came is None else round(self.came, 6)
        return {"figure": self.name, "unit": self.unit, **three, "came": came, "narrower": round(self.narrower, 6)}


@dataclass(frozen=True)
class Lesson:
    """What a record taught, figure by figure; `idle`: why it tells nothing, or is not used, where that is so."""

    figures: tuple[Learnt, ...] = ()
    idle: str = ""

    def as_json(self) -> dict[str, Any]:
        """The lesson as plain data."""
        return {"figures": [one.as_json() for one in self.figures], "not_used": self.idle or None}


def lesson(project: Project, *, drawings: Mapping[str, bytes] = _NO_DRAWINGS, history: History = NO_HISTORY) -> Lesson:
    """What a project's record taught, beside `history`, what was known before it; ProblemsFound where it cannot be planned."""
    piece = _piece(project)
    if piece is None:
        return Lesson(idle="there is no record yet")
    if piece.set_aside:
        return Lesson(idle=f"it is set aside: {piece.set_aside}")
    if piece.idle or not piece.tells:
        return Lesson(idle=piece.idle or "too little was measured for it to tell anything")
    again = project.model_copy(update={"record": None})
    before = job_of(again, drawings, history)
    after = job_of(again, drawings, _with(history, piece))
    return Lesson(tuple(_figures(before, after, piece)))


def _piece(project: Project) -> Seen | None:
    found = [one for one in seen_of(project, "this").pieces if one.place == ("record",)]
    return found[0] if found else None


def _with(history: History, piece: Seen) -> History:
    cloths = (*history.cloths, piece.cloth) if piece.cloth else history.cloths
    wastes = (*history.wastes, piece.waste) if piece.waste else history.wastes
    return History(cloths, wastes, history.notes)


def _figures(before: Job, after: Job, piece: Seen) -> list[Learnt]:
    width = _width_in_heddle(piece.cloth, before)
    came = _came(piece)
    told = zip(evidence_behind(before, width), evidence_behind(after, width), strict=True)
    found = [
        Learnt(one.key, one.name, one.unit, one.stages[-1].after, two.stages[-1].after, came.get(one.key))
        for one, two in told
        if one.stages[-1].after.low < one.stages[-1].after.high
    ]
    return [one for one in found if one.came is not None or _moved(one)]


def _moved(one: Learnt) -> bool:
    spread = one.before.high - one.before.low
    return abs(one.narrower) > _NOTHING or abs(one.after.expected - one.before.expected) > _NOTHING * spread


def _width_in_heddle(cloth: SampleMeasured | None, job: Job) -> float:
    """As wide as it was woven, else as wide as the loom weaves: only the edges' part depends on it."""
    if cloth is not None and cloth.width_in_heddle:
        return cloth.width_in_heddle
    width = job.loom.weaving_width
    return width.cm if width else 50.0


def _came(piece: Seen) -> dict[str, float]:
    """What the record itself says of each figure, without any belief."""
    found: dict[str, float] = {"waste": piece.waste.waste_cm} if piece.waste else {}
    cloth = piece.cloth
    if cloth is None:
        return found
    pairs = {
        "width": (cloth.width_finished, cloth.width_in_heddle),
        "length": (cloth.length_finished, cloth.length_on_loom),
        "take-up": (cloth.length_on_loom, cloth.warp_used),
    }
    found |= {key: one / of for key, (one, of) in pairs.items() if one and of}
    if cloth.picks_count and cloth.picks_over and cloth.picks_where == "on loom":
        found["picks"] = cloth.picks_count / cloth.picks_over
        if cloth.weft_used_m and cloth.length_on_loom and cloth.width_in_heddle:
            picks = found["picks"] * cloth.length_on_loom
            found["pick-length"] = 100 * cloth.weft_used_m / picks / cloth.width_in_heddle
    return found
