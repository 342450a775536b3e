"""The question a plan answers, resolved from the project: yarns, heddle, the cloth or the pieces asked for, trust.

A way out is the same question with something changed, so a job is a frozen value that can be copied with a change.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from math import lcm
from typing import Final, TypeVar

from clothwright.cloth import (
    SettCandidate,
    Thickness,
    Threading,
    candidates,
    read_heddles,
    read_wraps_taken,
    structure,
    structures,
    usual_heddles,
    woven_when_sleyed,
)
from clothwright.evidence import NO_HISTORY, History
from clothwright.layout import Copy, copies
from clothwright.pattern import Piece
from clothwright.planning.laying_rules import NOTHING_ASKED, Asked, layout_asked
from clothwright.planning.setts.side_by_side import SettQuestion, taken_line
from clothwright.planning.setts.thickness_told import tex_with_folding
from clothwright.planning.working import WorkingLine
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.document import LoomPart
from clothwright.project.domain import Yarns, advised_sett, samples, touching_per_cm, wraps_per_cm, yarns
from clothwright.project.pattern.changing import provisional_because
from clothwright.project.pattern.garment import pieces
from clothwright.project.pattern.pattern_state import PatternState, pattern_state, record_differs
from clothwright.project.record.past import in_use, record_gaps, set_aside_notes
from clothwright.project.sampling import with_drawn_outlines
from clothwright.yarn import Lot

#: What is lost squaring each end of cloth to be cut, where the weaver has not said. Common practice, no source.
DEFAULT_SQUARING_CM: Final = 0.0
#: Most pieces laid on one cloth: the time goes with their square, a hundred take ten seconds of work, and no garment has so many.
MOST_LAID: Final = 200
#: Heddles this near in ends per cm weave the same cloth: what heddles printed in inches and in cm differ by.
_SAME_SETT: Final = 0.02
_T = TypeVar("_T")


@dataclass(frozen=True)
class Heddle:
    """A heddle as typed, its ends per cm as sleyed, the structure woven then, and how many ends weave as one."""

    name: str
    per_cm: float
    weave: str = "plain"
    ends_together: int = 1
    sleying: str = ""


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
    asked: Asked = NOTHING_ASKED

    @cached_property
    def copies(self) -> tuple[Copy, ...]:
        """Every copy to be cut."""
        return copies(self.pieces, one_way=self.one_way)


@dataclass(frozen=True)
class Job:
    """The whole question. Exactly one of `wanted` and `garment` is set.

    `as_typed` is the project as it came; in `project` the structures are those woven, ends of a place as one.
    """

    as_typed: Project
    project: Project
    yarns: Yarns
    heddle: Heddle
    wanted: Wanted | None
    garment: Garment | None
    on_warp_sample_cm: float
    notes: tuple[str, ...] = ()
    history: History = NO_HISTORY
    #: Why the plan is provisional; empty where it is not. And which state of the pattern it is made from.
    provisional_because: str = ""
    pattern_state: PatternState | None = None

    @property
    def loom(self) -> LoomPart:
        """The loom it is woven on."""
        return self.project.loom

    @property
    def end_step(self) -> int:
        """Ends come in whole repeats, in pairs when the warp is wound direct, and all of a place that weave as one."""
        direct = 2 if self.loom.warping == "direct" else 1
        return lcm(self.project.cloth.repeat_ends, direct, self.heddle.ends_together)

    @property
    def extra_ends(self) -> int:
        """Floating selvedges: one end at each edge, outside the heddle."""
        return 2 if self.project.cloth.floating_selvedges else 0

    def at(self, heddle: Heddle) -> Job:
        """The same job at another heddle, weaving what is woven there."""
        return replace(self, heddle=heddle, project=weaving(self.project, heddle.weave))

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
    used = in_use(project)
    provisional = provisional_because(project) if garment else ""
    state = pattern_state(project, drawings) if garment else None
    of_pattern = tuple(filter(None, (provisional, record_differs(project, state))))
    told = (*notes, *_sleying_notes(project, heddle), *set_aside_notes(project), *record_gaps(project), *history.notes)
    woven = weaving(_samples_as_woven(used), heddle.weave)
    return Job(
        used,
        woven,
        cloth_yarns,
        heddle,
        wanted,
        garment,
        sample.cm if sample else 0.0,
        (*of_pattern, *told),
        history,
        provisional_because=provisional,
        pattern_state=state,
    )


def weaving(project: Project, weave: str) -> Project:
    """The project with what is really woven as the cloth's structure."""
    return project.model_copy(update={"cloth": project.cloth.model_copy(update={"structure": weave})})


def _samples_as_woven(project: Project) -> Project:
    """The project with samples that say their heddle saying what was woven in it."""
    made = [
        part.model_copy(
            update={"structure": _woven(part.structure or project.cloth.structure, sleyed_on(project, part.heddle))}
        )
        if part.heddle
        else part
        for part in project.sample
    ]
    return project.model_copy(update={"sample": made})


def _woven(weave: str, heddle: Threading) -> str:
    """The name of what is woven when sleyed so; where that has no name of its own, of what it is made from."""
    woven = woven_when_sleyed(structure(weave), heddle).name
    return woven if woven in {one.name for one in structures()} else weave


def sleyed_on(project: Project, heddle: Threading) -> Threading:
    """A heddle as it is on the project's loom: on one with shafts it is the reed. ValueError where it cannot be."""
    return heddle.in_shafts if project.loom.kind == "shaft" else heddle


def _sleying_notes(project: Project, heddle: Heddle) -> Iterator[str]:
    """How to sley a heddle that is not sleyed as usual, and what is woven by it."""
    if heddle.sleying:
        yield f"{heddle.name}: {heddle.sleying}."
    if heddle.weave != project.cloth.structure:
        yield f"The ends of a place weave as one, so {project.cloth.structure} becomes {heddle.weave}, and is planned as that."


def _or_problems(problems: list[Problem], part: Callable[[], _T]) -> _T | None:
    """A part of the job, or None with its problems added, so that all parts' problems are told at once."""
    try:
        return part()
    except ProblemsFound as found:
        problems.extend(found.problems)
        return None


def _asked(project: Project, drawings: Mapping[str, bytes]) -> tuple[Wanted | None, Garment | None, tuple[str, ...]]:
    if project.pattern is not None and project.pattern.holds_pieces:
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
    return garment_from(project, found), notes


def garment_from(project: Project, found: tuple[Piece, ...]) -> Garment:
    """Pieces as the project asks them to lie on the cloth."""
    pattern = project.pattern
    assert pattern is not None  # pieces come from it
    squaring = pattern.squaring.cm if pattern.squaring else DEFAULT_SQUARING_CM
    trim = pattern.selvedge_trim.cm if pattern.selvedge_trim else 0.0
    garment = Garment(found, pattern.one_way, squaring, trim)
    if (number := sum(piece.cut for piece in found)) > MOST_LAID:
        many = f"{number} pieces are to be cut; at most {MOST_LAID} are laid on one cloth, so divide them among several projects"
        raise ProblemsFound(Problem(("pattern",), many))
    asked = layout_asked(project.layout, found, garment.copies, squaring_cm=squaring, trim_cm=trim)
    return replace(garment, asked=asked)


def _needs_heddle(project: Project) -> None:
    """ProblemsFound where no heddle can be planned with."""
    stated, owned = project.cloth.heddle, project.loom.heddles
    if stated is None and not owned:
        raise ProblemsFound(Problem(("loom", "heddles"), "no heddle is given; write the ones owned, as 30/10 cm"))
    if stated is not None and stated.heddle.width_cm is not None:
        raise ProblemsFound(Problem(("cloth", "heddle"), f"“{stated}”: {_SECTIONS}"))
    if stated is None and not _of_one_sett(project):
        sections = "; ".join(map(str, owned))
        raise ProblemsFound(Problem(("loom", "heddles"), f"“{sections}”: {_SECTIONS}"))
    _can_be_sleyed(project)


def _can_be_sleyed(project: Project) -> None:
    """ProblemsFound where a heddle cannot be sleyed so on this loom."""
    for path, heddle in _heddles_by_path(project):
        try:
            sleyed_on(project, heddle)
        except ValueError as error:
            raise ProblemsFound(Problem(path, f"“{heddle}”: {error}")) from None


_SECTIONS: Final = (
    "a heddle of sections cannot be planned yet, since each section draws in for itself; write a heddle of one sett, "
    "and compare the sections with the sett command or page"
)


def _heddles_by_path(project: Project) -> Iterator[tuple[tuple[str | int, ...], Threading]]:
    if project.cloth.heddle:
        yield ("cloth", "heddle"), project.cloth.heddle
    yield from ((("loom", "heddles", place), one) for place, one in enumerate(project.loom.heddles))
    yield from ((("sample", place, "heddle"), one.heddle) for place, one in enumerate(project.sample) if one.heddle)


def _of_one_sett(project: Project) -> tuple[Threading, ...]:
    """The heddles owned that can be planned with."""
    return tuple(one for one in project.loom.heddles if one.heddle.width_cm is None)


def on_other_looms(job: Job) -> tuple[Job, ...]:
    """The same job on each other loom of the project that has a heddle of the same sett."""
    found = []
    for loom in job.as_typed.other_loom:
        typed = job.as_typed.model_copy(update={"loom": loom})
        heddles = (heddle for heddle, _ in sett_candidates(typed, job.yarns)) if loom.heddles else ()
        same = next((one for one in heddles if abs(one.per_cm / job.heddle.per_cm - 1) < _SAME_SETT), None)
        if same is not None:
            there = job.project.model_copy(update={"loom": loom})
            found.append(replace(job, as_typed=typed, project=weaving(there, same.weave), heddle=same))
    return tuple(found)


def chosen_heddle(project: Project, cloth_yarns: Yarns) -> Heddle:
    """The heddle stated for the cloth, else the one owned that comes nearest to what the yarn asks for."""
    if project.cloth.heddle:
        return sleyed_heddle(project, project.cloth.heddle)
    return sett_candidates(project, cloth_yarns)[0][0]


def sleyed_heddle(project: Project, typed: Threading) -> Heddle:
    """A heddle as the project's loom has it: its sett, what is woven in it, and how to sley it."""
    heddle = sleyed_on(project, typed)
    weave = _woven(project.cloth.structure, heddle)
    sleying = "" if heddle.way.usual else heddle.way.words
    return Heddle(str(typed), heddle.per_cm, weave, heddle.ends_together, sleying)


def sett_candidates(project: Project, cloth_yarns: Yarns) -> tuple[tuple[Heddle, SettCandidate], ...]:
    """The heddles owned that can be planned with, as sleyed, nearest to what the yarns ask for first."""
    thickness = _thickness(cloth_yarns)
    typed = {sleyed_on(project, one): one for one in _of_one_sett(project)}
    found = candidates(typed, thickness, structure(project.cloth.structure))
    return tuple((sleyed_heddle(project, typed[one]), candidate) for one, candidate in found)


def _thickness(cloth_yarns: Yarns) -> Thickness:
    warp, weft = cloth_yarns.warp[0], cloth_yarns.weft[0]
    return Thickness(wraps_per_cm(warp), wraps_per_cm(weft), touching_per_cm(warp), touching_per_cm(weft))


def sett_question(project: Project, cloth_yarns: Yarns, sampled: Yarns | None = None) -> SettQuestion:
    """The heddles of a project side by side: the question that `compare_setts` answers with what each leads to.

    Without heddles owned, those commonly sold. A sample that does not say its heddle is taken as at the planned
    cloth's, or where none can be chosen as at the sett advised. `sampled` are the yarns that samples may be of, where
    those are more than the cloth's.
    """
    _can_be_sleyed(project)
    warp, weft = cloth_yarns.warp[0], cloth_yarns.weft[0]
    cloth, ratio = project.cloth, project.cloth.width_ratio
    typed = tuple(sleyed_on(project, one) for one in project.loom.heddles)
    owned = tuple(dict.fromkeys(one.heddle for one in typed))
    parts = {part.name: part for part in project.yarn}
    taken = parts[warp.name].wraps_taken
    told = (taken_line(read_wraps_taken(taken), wraps_per_cm(warp)),) if taken else ()
    (warp_tex, lines), (weft_tex, more) = _tex(warp), _tex(weft)
    has_heddle = bool(cloth.heddle or _of_one_sett(project))
    stands_for = chosen_heddle(project, cloth_yarns).per_cm if has_heddle else advised_sett(project, warp)
    return SettQuestion(
        structure=structure(cloth.structure),
        thickness=_thickness(cloth_yarns),
        heddles=owned or read_heddles(usual_heddles()),
        fibre=cloth_yarns.fibre,
        finish=cloth.finish,
        warp_tex=warp_tex,
        weft_tex=weft_tex,
        finished_width_cm=project.want.width.cm if project.want else None,
        loom_cm=project.loom.weaving_width.cm if project.loom.weaving_width else None,
        width_ratio=ratio.expected if ratio else None,
        end_step=lcm(cloth.repeat_ends, 2 if project.loom.warping == "direct" else 1),
        known=samples(in_use(project), sampled or cloth_yarns, stands_for),
        warp=warp.name,
        weft=weft.name,
        other_ways=bool(owned),
        typed=typed,
        told=(*told, *dict.fromkeys((*lines, *more))),
    )


def _tex(lot: Lot) -> tuple[float | None, tuple[WorkingLine, ...]]:
    """Tex of a lot where anything says its metres per gram."""
    return tex_with_folding(lot.name, 1000 / lot.m_per_g, bool(lot.folding_left_out)) if lot.has_grist else (None, ())
