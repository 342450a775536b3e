"""The question a plan answers, resolved from the project: yarns, heddle, the cloth or the pieces asked for, trust.

A way out is the same question with something changed, so a job is a frozen value that can be copied with a change.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from math import lcm
from typing import Final, TypeVar

from clothwright.cloth import (
    HeddleOwned,
    Section,
    SettCandidate,
    Thickness,
    candidates,
    closest_sett,
    read_heddles,
    read_wraps_taken,
    structure,
    usual_heddles,
)
from clothwright.evidence import NO_HISTORY, History
from clothwright.layout import Copy, copies
from clothwright.pattern import Piece
from clothwright.planning.setts import SettQuestion, taken_line
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.document import LoomPart
from clothwright.project.domain import Yarns, advised_sett, pieces, samples, touching_per_cm, wraps_per_cm, yarns
from clothwright.project.past import in_use, record_gaps, set_aside_notes
from clothwright.project.sampling import with_drawn_outlines

#: What is lost squaring each end of cloth to be cut, where the weaver has not said. Common practice, no source.
DEFAULT_SQUARING_CM: Final = 0.0
_T = TypeVar("_T")


@dataclass(frozen=True)
class Heddle:
    """A heddle as printed on it, and its ends per cm."""

    name: str
    per_cm: float


@dataclass(frozen=True)
class Wanted:
    """A finished cloth asked for, cm."""

    width_cm: float
    length_cm: float


@dataclass(frozen=True)
class Garment:
    """Pieces to be cut from one cloth; `trim_cm` is lost at each selvedge, `squaring_cm` at each end."""

    pieces: tuple[Piece, ...]
    one_way: bool
    squaring_cm: float
    trim_cm: float

    @cached_property
    def copies(self) -> tuple[Copy, ...]:
        """Every copy to be cut."""
        return copies(self.pieces, one_way=self.one_way)


@dataclass(frozen=True)
class Job:
    """The whole question. Exactly one of `wanted` and `garment` is set."""

    project: Project
    yarns: Yarns
    heddle: Heddle
    wanted: Wanted | None
    garment: Garment | None
    on_warp_sample_cm: float
    notes: tuple[str, ...] = ()
    history: History = NO_HISTORY

    @property
    def loom(self) -> LoomPart:
        """The loom it is woven on."""
        return self.project.loom

    @property
    def end_step(self) -> int:
        """Ends come in whole repeats, and in pairs when the warp is wound direct."""
        return lcm(self.project.cloth.repeat_ends, 2 if self.loom.warping == "direct" else 1)

    @property
    def extra_ends(self) -> int:
        """Floating selvedges: one end at each edge, outside the heddle."""
        return 2 if self.project.cloth.floating_selvedges else 0

    def asking(self, wanted: Wanted) -> Job:
        """The same job for another cloth."""
        return replace(self, wanted=wanted)

    def ends_for(self, width_in_heddle_cm: float) -> int:
        """The fewest ends that fill a width in the heddle."""
        steps = width_in_heddle_cm * self.heddle.per_cm / self.end_step
        return self.end_step * max(1, round_up(steps))

    def width_in_heddle(self, ends: int) -> float:
        """Width that so many ends fill, cm."""
        return ends / self.heddle.per_cm


def round_up(value: float) -> int:
    """The next whole number, a hair's breadth of arithmetic forgiven."""
    return -int(-(value - 1e-9) // 1)


def job_of(project: Project, drawings: Mapping[str, bytes], history: History = NO_HISTORY) -> Job:
    """The question a project asks, with what was measured before; ProblemsFound with all that keeps it unanswered."""
    problems: list[Problem] = []
    project = _or_problems(problems, lambda: with_drawn_outlines(project, drawings)) or project
    cloth_yarns = _or_problems(problems, lambda: yarns(project))
    asked = _or_problems(problems, lambda: _asked(project, drawings))
    _or_problems(problems, lambda: _needs_heddle(project))
    if problems or cloth_yarns is None or asked is None:
        raise ProblemsFound(*problems)
    wanted, garment, notes = asked
    sample = project.cloth.on_warp_sample
    heddle = chosen_heddle(project, cloth_yarns)
    notes = (*notes, *set_aside_notes(project), *record_gaps(project), *history.notes)
    return Job(in_use(project), cloth_yarns, heddle, wanted, garment, sample.cm if sample else 0.0, notes, history)


def _or_problems(problems: list[Problem], part: Callable[[], _T]) -> _T | None:
    """A part of the job, or None with its problems added, so that all parts' problems are told at once."""
    try:
        return part()
    except ProblemsFound as found:
        problems.extend(found.problems)
        return None


def _asked(project: Project, drawings: Mapping[str, bytes]) -> tuple[Wanted | None, Garment | None, tuple[str, ...]]:
    if project.pattern is not None and (project.pattern.file or project.pattern.piece):
        garment, notes = garment_of(project, drawings)
        if project.want is not None:
            notes = (*notes, "The pattern is laid out; the cloth wanted is not used while there are pieces.")
        return None, garment, notes
    if project.want is None:
        raise ProblemsFound(Problem(("want",), "what is to be woven? Give a cloth wanted, or a pattern with pieces"))
    if project.want.length is None:
        raise ProblemsFound(Problem(("want", "length"), "how long is the finished cloth to be? Write it as 230 cm"))
    if project.want.width.low <= 0 or project.want.length.low <= 0:
        raise ProblemsFound(Problem(("want",), "a cloth wanted has some width and some length"))
    return Wanted(project.want.width.cm, project.want.length.cm), None, ()


def garment_of(project: Project, drawings: Mapping[str, bytes]) -> tuple[Garment, tuple[str, ...]]:
    """The pieces of a project and how they may lie, with notes on the drawing; ProblemsFound when there are none."""
    pattern = project.pattern
    if pattern is None:
        raise ProblemsFound(Problem(("pattern",), "no pattern is given; name a drawing, or give pieces as numbers"))
    found, notes = pieces(project, drawings)
    squaring = pattern.squaring.cm if pattern.squaring else DEFAULT_SQUARING_CM
    trim = pattern.selvedge_trim.cm if pattern.selvedge_trim else 0.0
    return Garment(found, pattern.one_way, squaring, trim), notes


def _needs_heddle(project: Project) -> None:
    if project.cloth.heddle is None and not project.loom.heddles:
        raise ProblemsFound(Problem(("loom", "heddles"), "no heddle is given; write the ones owned, as 30/10 cm"))


def chosen_heddle(project: Project, cloth_yarns: Yarns) -> Heddle:
    """The heddle stated for the cloth, else the one owned that comes nearest to what the yarn asks for."""
    if project.cloth.heddle:
        return Heddle(project.cloth.heddle.typed, project.cloth.heddle.per_cm)
    nearest = sett_candidates(project, cloth_yarns)[0]
    return Heddle(nearest.heddle, nearest.ends_per_cm)


def sett_candidates(project: Project, cloth_yarns: Yarns) -> tuple[SettCandidate, ...]:
    """The heddles owned, nearest to what the warp asks for first."""
    warp = cloth_yarns.warp[0]
    weave = structure(project.cloth.structure)
    closest = closest_sett(touching_per_cm(warp), weave)
    return candidates({one.typed: one.per_cm for one in project.loom.heddles}, advised_sett(project, warp), closest)


def sett_question(project: Project, cloth_yarns: Yarns, sampled: Yarns | None = None) -> SettQuestion:
    """The heddles of a project side by side: the question that `compare_setts` answers with what each leads to.

    Without heddles owned, those commonly sold. A sample that does not say its heddle is taken as at the planned
    cloth's, or where none can be chosen as at the sett advised. `sampled` are the yarns that samples may be of, where
    those are more than the cloth's.
    """
    warp, weft = cloth_yarns.warp[0], cloth_yarns.weft[0]
    cloth, ratio = project.cloth, project.cloth.width_ratio
    kind = "reed" if project.loom.kind == "shaft" else "heddle"
    thickness = Thickness(wraps_per_cm(warp), wraps_per_cm(weft), touching_per_cm(warp), touching_per_cm(weft))
    owned = tuple(HeddleOwned(one.typed, kind, (Section(one.typed, one.per_cm),)) for one in project.loom.heddles)
    parts = {part.name: part for part in project.yarn}
    taken = parts[warp.name].wraps_taken
    has_heddle = bool(cloth.heddle or owned)
    stands_for = chosen_heddle(project, cloth_yarns).per_cm if has_heddle else advised_sett(project, warp)
    return SettQuestion(
        structure=structure(cloth.structure),
        thickness=thickness,
        heddles=owned or read_heddles(usual_heddles()),
        fibre=cloth_yarns.fibre,
        finish=cloth.finish,
        warp_tex=1000 / warp.m_per_g if warp.has_grist else None,
        weft_tex=1000 / weft.m_per_g if weft.has_grist else None,
        finished_width_cm=project.want.width.cm if project.want else None,
        loom_cm=project.loom.weaving_width.cm if project.loom.weaving_width else None,
        width_ratio=ratio.expected if ratio else None,
        end_step=lcm(cloth.repeat_ends, 2 if project.loom.warping == "direct" else 1),
        known=samples(in_use(project), sampled or cloth_yarns, stands_for),
        warp=warp.name,
        weft=weft.name,
        told=(taken_line(read_wraps_taken(taken), wraps_per_cm(warp)),) if taken else (),
    )
