"""The finished cloth that there is: its usable size, and the flaws on it, as the pieces have to be laid on it.

Its usable width is the least of the widths measured along it, less what is trimmed at each selvedge; its length what was measured, less
what squaring takes at each end. Before it is washed it is what is expected of it, and told as such: no cloth is cut by that.

Flaws come from three places. Those found on the finished cloth (`[[real_cloth.flaw]]`) lie where they were measured. Those of the log lie
where the weaving put them, carried over by what became of this cloth's own length and width; one of them that was found is told by
the place it was found at. Those of the planned layout (`[[layout.flaw]]`) count too. One of the log that is let be does not.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from statistics import fmean
from typing import Any, Final

import numpy as np

from clothwright.finishing.off_loom import FINISHED, OffLoom, counted_before_cm, woven_cm
from clothwright.layout import Flaw
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.document import RecordPart
from clothwright.project.parts.finishing_parts import RealClothPart
from clothwright.project.parts.layout_parts import FlawPart
from clothwright.project.parts.remnants import ClothInHand
from clothwright.weaving import AsFinished, Happened, flaw_of, happened, logged

#: A flaw found this near to where the log puts one is that one: the log's places are good to a few cm. Common practice, no source.
_SAME_FLAW_CM: Final = 6.0
FOUND, LOGGED, PLANNED = "found on the cloth", "of the log", "of the planned layout"
_TINY_CM: Final = 0.01
#: Start, middle and end.
_ALL_PLACES: Final = 3
_STRIP_CM: Final = 10.0
#: What a place is called where a narrower cloth does not reach.
NO_CLOTH: Final = "no cloth"
_NAME: Final = "the cloth"


@dataclass(frozen=True)
class FlawSeen:
    """A flaw on the finished cloth, where it comes from, and what it is called where it can be let be."""

    flaw: Flaw
    origin: str
    called: str = ""

    def as_json(self) -> dict[str, Any]:
        """The flaw as plain data, cm."""
        one = self.flaw
        return {
            "what": one.what,
            "at_cm": one.x_cm,
            "length_cm": one.length_cm,
            "from_selvedge_cm": one.y_cm if one.width_cm is not None else None,
            "width_cm": one.width_cm,
            "from": self.origin,
        }


@dataclass(frozen=True)
class RealCloth:
    """The finished cloth: its widths from start to end and its length, cm, what is lost at selvedges and ends, its flaws.

    `expected`: it is not washed or not measured yet, and these are the sizes expected of it.
    """

    widths_cm: tuple[float, ...]
    length_cm: float
    trim_cm: float
    squaring_cm: float
    flaws: tuple[FlawSeen, ...]
    expected: bool = False

    @property
    def least_width_cm(self) -> float:
        """The least of its widths."""
        return min(self.widths_cm)

    @property
    def usable_width_cm(self) -> float:
        """What pieces can be laid on, across."""
        return self.least_width_cm - 2 * self.trim_cm

    @property
    def usable_length_cm(self) -> float:
        """What pieces can be laid on, along."""
        return self.length_cm - 2 * self.squaring_cm

    @property
    def in_hand(self) -> ClothInHand:
        """The cloth with its flaws, as wide as its least width."""
        return ClothInHand(_NAME, self.least_width_cm, self.length_cm, tuple(one.flaw for one in self.flaws))

    def as_json(self) -> dict[str, Any]:
        """The cloth as plain data, cm."""
        return {
            "expected": self.expected,
            "widths_cm": list(self.widths_cm),
            "length_cm": self.length_cm,
            "selvedge_trim_cm": self.trim_cm,
            "squaring_cm": self.squaring_cm,
            "usable_width_cm": self.usable_width_cm,
            "usable_length_cm": self.usable_length_cm,
            "flaws": [one.as_json() for one in self.flaws],
        }


def real_cloth(project: Project, measured: OffLoom) -> RealCloth:
    """The cloth of a project as it was measured, or as it is expected; ProblemsFound with what is still to be measured."""
    finished = measured.of(FINISHED)
    widths, length = finished.widths_cm, finished.length_cm
    expected = not (widths and length)
    if expected:
        widths = widths or _just(measured.expected_width_cm)
        length = length or next(iter(_just(measured.expected_length_cm)), None)
    if not widths or not length:
        raise ProblemsFound(_to_measure(bool(widths)))
    part, pattern = project.real_cloth or RealClothPart(), project.pattern
    trim = part.selvedge_trim or (pattern.selvedge_trim if pattern else None)
    squaring = part.squaring or (pattern.squaring if pattern else None)
    cloth = RealCloth(widths, length, trim.cm if trim else 0.0, squaring.cm if squaring else 0.0, (), expected)
    _refuse_nothing_left(cloth)
    flaws = tuple(_flaws(project, part, fmean(widths), length))
    return RealCloth(widths, length, cloth.trim_cm, cloth.squaring_cm, flaws, expected)


def _just(expected: Any) -> tuple[float, ...]:
    return () if expected is None else (float(expected.expected),)


def _to_measure(has_width: bool) -> Problem:
    what = "length" if has_width else "width and length"
    return Problem(
        ("off_loom",),
        f"how large is the cloth? Give its {what} as measured off the loom, or finished: width at start, middle and end",
    )


def _refuse_nothing_left(cloth: RealCloth) -> None:
    if cloth.usable_width_cm <= 0:
        trims = f"trims of {cloth.trim_cm:g} cm leave nothing of a cloth {cloth.least_width_cm:g} cm wide"
        raise ProblemsFound(Problem(("real_cloth", "selvedge_trim"), trims))
    if cloth.usable_length_cm <= 0:
        ends = f"squaring by {cloth.squaring_cm:g} cm leaves nothing of a cloth {cloth.length_cm:g} cm long"
        raise ProblemsFound(Problem(("real_cloth", "squaring"), ends))


# --- flaws --------------------------------------------------------------------------------------------------------


def _flaws(project: Project, part: RealClothPart, width_cm: float, length_cm: float) -> Iterator[FlawSeen]:
    """Every flaw once: those found, then those of the log and of the plan that none found before them is."""
    seen = [FlawSeen(_typed(one), FOUND) for one in part.flaw]
    for more in (
        [one for one in _of_log(project, width_cm, length_cm) if one.called not in part.let_be],
        [FlawSeen(_typed(one), PLANNED) for one in project.layout.flaw],
    ):
        seen += [one for one in more if not any(_is_same(one.flaw, other.flaw) for other in seen)]
    yield from (one for one in seen if one.flaw.x_cm < length_cm)


def _typed(part: FlawPart) -> Flaw:
    across = part.from_selvedge.cm if part.from_selvedge else 0.0
    return Flaw(part.at.cm, part.length.cm, across, part.width.cm if part.width else None, part.what)


def _of_log(project: Project, width_cm: float, length_cm: float) -> Iterator[FlawSeen]:
    woven, before = woven_cm(project), counted_before_cm(project)
    if woven is None:
        return
    log = logged(project)
    fell = fmean(one.width_cm for one in log.widths) if log.widths else None
    ends = _ends(project)
    cloth = AsFinished(length_cm / woven, width_cm, fell, ends or 1)
    for one in happened(log.in_order):
        if one.is_flaw and one.at_cm >= before - _TINY_CM:
            yield FlawSeen(_carried(one, before, cloth, knows_ends=ends is not None), LOGGED, called(one))


def called(one: Happened) -> str:
    """What a flaw of the log is called: knot at 47 cm."""
    return f"{one.part.what} at {one.at_cm:g} cm"


def _carried(one: Happened, before_cm: float, cloth: AsFinished, *, knows_ends: bool) -> Flaw:
    """A flaw of the log on the finished cloth; an end is no place where nobody said how many there are."""
    part = one.part if knows_ends else one.part.model_copy(update={"end": None})
    return _typed(FlawPart.model_validate(flaw_of(Happened(part, max(0.0, one.at_cm - before_cm)), cloth)))


def _ends(project: Project) -> int | None:
    told = (project.on_loom and project.on_loom.ends) or (project.record or RecordPart()).ends
    return told or (project.on_loom and project.on_loom.first_plan and project.on_loom.first_plan.ends) or None


def _is_same(one: Flaw, other: Flaw) -> bool:
    """Whether two flaws are about one place, so that the second is the first told again."""
    along = abs((one.x_cm + one.length_cm / 2) - (other.x_cm + other.length_cm / 2))
    if along > _SAME_FLAW_CM + (one.length_cm + other.length_cm) / 2:
        return False
    if one.width_cm is None or other.width_cm is None:
        return True
    across = abs((one.y_cm + one.width_cm / 2) - (other.y_cm + other.width_cm / 2))
    return across <= _SAME_FLAW_CM


def narrower_places(cloth: RealCloth) -> tuple[Flaw, ...]:
    """Where the cloth is narrower than its widest: strips along its far selvedge that no piece may reach into.

    Between two places measured the width is taken to change evenly, and a strip is as wide as its narrower end.
    """
    if len(cloth.widths_cm) < _ALL_PLACES:
        return ()
    widest, count = max(cloth.widths_cm), max(1, round(cloth.length_cm / _STRIP_CM))
    ends = np.linspace(0.0, cloth.length_cm, count + 1)
    widths = np.interp(ends, np.linspace(0.0, cloth.length_cm, _ALL_PLACES), cloth.widths_cm)
    strips = (
        (float(start), float(end), float(min(one, other)))
        for start, end, one, other in zip(ends, ends[1:], widths, widths[1:], strict=False)
    )
    return tuple(
        Flaw(start, end - start, least, widest - least, NO_CLOTH)
        for start, end, least in strips
        if widest - least > _TINY_CM
    )
