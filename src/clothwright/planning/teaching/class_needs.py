"""One piece for many looms: what each student of a class warps and weaves, whose loom or heddle does not fit, what to buy.

Everybody weaves the cloth of the project. Her own loom, heddle and waste stand in place of the project's; the ratios are the
project's, by the sums a student can check. A cloth that her loom has no room for is worked out for the ends that fit, and
said; a heddle of another sett weaves another cloth, which is said as well.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any, Final

from clothwright.measure import Interval, Length, Weight
from clothwright.planning.answer import Verdict, plain_data
from clothwright.planning.cautions import cautions
from clothwright.planning.hand_plan import plan_by_hand
from clothwright.planning.job import Heddle, Job, Wanted, job_of, sett_candidates, sleyed_heddle
from clothwright.planning.pieces.fitting import fit
from clothwright.planning.sums import figures
from clothwright.planning.teaching.class_sums import IMPERIAL, METRIC, ClassSum, class_sum
from clothwright.project import ClassList, Problem, ProblemsFound, Project
from clothwright.project.document import BallPart, LoomPart, WantPart
from clothwright.project.teaching.class_parts import Language, OwnYarnPart, StudentPart
from clothwright.yarn import Use

#: Heddles this near in ends per cm weave the same cloth: what heddles printed in inches and in cm differ by.
_SAME_SETT: Final = 0.02
#: A loom with no more room than this beside the warp is close: outer ends rub on the frame. Common practice, no source.
CLOSE_CM: Final = 1.0
_ANY_BALL: Final = BallPart(net=Weight.read("100 g"))


class Room(StrEnum):
    """Whether the cloth has room on a loom."""

    FITS = "fits"
    CLOSE = "close"
    TOO_NARROW = "too narrow"
    NOT_SAID = "not said"


@dataclass(frozen=True)
class OwnYarn:
    """Yarn a student brings: what she needs of it and has, m; `verdict` is None where nobody said how much there is."""

    name: str
    use: Use
    m_per_g: float | None
    need_m: Interval
    have_m: Interval | None
    verdict: Verdict | None


@dataclass(frozen=True)
class StudentNeeds:
    """What one student warps and weaves; `number` is her place in the list, from 0."""

    number: int
    name: str
    language: Language
    large_print: bool
    imperial: bool
    kind: str
    direct: bool
    heddle: str
    ends_per_cm: float
    loom_width_cm: float | None
    waste_said: bool
    sums: ClassSum
    room: Room
    #: How much narrower than asked the cloth finishes on a loom too narrow for it, cm.
    narrower_cm: float
    #: Her sett over that of the piece: 1 where they are the same.
    against_sett: float
    #: The word for cloth of the class yarn at her sett, and whether it is worth sampling there.
    firmness: str
    worth_sampling: bool
    own_yarn: OwnYarn | None
    cautions: tuple[str, ...]

    @property
    def same_sett(self) -> bool:
        """Whether her heddle weaves the cloth of the piece."""
        return abs(self.against_sett - 1) < _SAME_SETT

    @property
    def needs_a_word(self) -> bool:
        """Whether the teacher has something to settle with her before the day."""
        short = self.own_yarn is not None and self.own_yarn.verdict not in (None, Verdict.ENOUGH)
        return self.room != Room.FITS or not self.same_sett or short or not self.waste_said

    def warp_m(self) -> Interval:
        """Warp yarn, m."""
        return self.sums.yarn_in_m(self.sums.warp_yarn)

    def weft_m(self) -> Interval:
        """Weft yarn, m."""
        return self.sums.yarn_in_m(self.sums.weft_yarn)

    def as_json(self) -> dict[str, Any]:
        """Her figures by the keys of the contract: cm, m, threads per cm."""
        sums, cm = self.sums, self.sums.units.cm
        return {
            "name": self.name,
            "units": "imperial" if self.imperial else "metric",
            "print": "large" if self.large_print else "ordinary",
            "language": self.language,
            "heddle": self.heddle,
            "ends_per_cm": self.ends_per_cm,
            "ends": sums.all_ends,
            "width_in_heddle_cm": round(sums.width_in_heddle * cm, 2),
            "warp_length_cm": plain_data(_rounded(sums.warp_length.scaled(cm))),
            "warp_m": plain_data(_rounded(self.warp_m())),
            "weft_m": plain_data(_rounded(self.weft_m())),
            "waste_cm": plain_data(_rounded(sums.waste.scaled(cm))),
            "finished_width_cm": round(sums.finished_width * cm, 2),
            "room": str(self.room),
            "narrower_cm": self.narrower_cm,
            "same_sett": self.same_sett,
            "against_sett": round(self.against_sett, 4),
            "firmness": self.firmness,
            "worth_sampling": self.worth_sampling,
            "own_yarn": None if self.own_yarn is None else plain_data(self.own_yarn),
        }


@dataclass(frozen=True)
class ToBuy:
    """Class yarn of one use for all who bring none of their own, at the high figure; grams with the margin, balls rounded up.

    `balls` is for yarn wound off for everybody from one lot, `balls_each` for whole balls to each student.
    """

    use: Use
    yarns: tuple[str, ...]
    m_per_g: float
    students: int
    m: Interval
    grams: float
    balls: int | None
    balls_each: int | None


@dataclass(frozen=True)
class ClassNeeds:
    """What every student of a class needs, and what the teacher buys; `left_out` are students not worked out, with why."""

    piece: str
    name: str
    day: str
    imperial: bool
    margin: float
    ball_g: float | None
    cloth_width_cm: float
    cloth_length_cm: float
    heddle: str
    ends_per_cm: float
    students: tuple[StudentNeeds, ...]
    to_buy: tuple[ToBuy, ...]
    assumed: tuple[str, ...]
    left_out: tuple[Problem, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """The class as plain data, by the keys of the contract."""
        data: dict[str, Any] = plain_data(replace(self, students=(), left_out=()))
        left_out = [
            {"student": one.path[1] if len(one.path) > 1 else None, "why": one.sentence} for one in self.left_out
        ]
        return data | {"students": [one.as_json() for one in self.students], "left_out": left_out}


def class_needs(
    project: Project, of_class: ClassList, *, drawings: Mapping[str, bytes], keep_going: bool = False
) -> ClassNeeds:
    """What each student needs of a project's piece, by sums she can check.

    ProblemsFound with every student's problem at once; with `keep_going` the others are worked out, and those problems told.
    ProblemsFound in any case where the project itself cannot be worked out.
    """
    piece = _piece(project, drawings)
    students, problems = [], []
    for number, student in enumerate(of_class.student):
        try:
            students.append(_student(piece, number, student, of_class))
        except ProblemsFound as found:
            problems += [_of_student(number, one) for one in found.problems]
    if problems and not keep_going:
        raise ProblemsFound(*problems)
    return ClassNeeds(
        piece=project.name,
        name=of_class.name,
        day=of_class.day,
        imperial=project.units == "imperial",
        margin=of_class.margin.expected,
        ball_g=of_class.ball.grams if of_class.ball else None,
        cloth_width_cm=piece.wanted.width_cm,
        cloth_length_cm=piece.wanted.length_cm,
        heddle=piece.job.heddle.name,
        ends_per_cm=piece.job.heddle.per_cm,
        students=tuple(students),
        to_buy=_to_buy(piece, of_class, students),
        assumed=tuple(_assumed(piece)),
        left_out=tuple(problems),
    )


@dataclass(frozen=True)
class PieceFigures:
    """The numbers of a piece that hold for every loom: its finished cloth, cm, where that is wanted and not cut into pieces, and its ratios."""

    width_cm: float | None
    length_cm: float | None
    width_ratio: float
    length_ratio: float
    woven_of_warp: float
    pick_length: float
    picks_per_cm: float


def piece_figures(project: Project) -> PieceFigures:
    """The numbers of a project's piece that every student begins with; ProblemsFound where they cannot be told."""
    wanted = None if project.pattern and project.pattern.holds_pieces else project.want
    cloth = wanted or WantPart(width=Length.read("10 cm"), length=Length.read("10 cm"))
    job = job_of(_stocked(project).model_copy(update={"want": cloth, "pattern": None}), {})
    known = figures(job)
    return PieceFigures(
        wanted.width.cm if wanted else None,
        wanted.length.cm if wanted and wanted.length else None,
        known.width_ratio.value,
        known.length_ratio.value,
        known.woven_of_warp.value,
        known.pick_length.value,
        known.picks_on_loom.value,
    )


def _stocked(project: Project) -> Project:
    """The project with a ball of every yarn, since a class asks how much is needed and not how much there is."""
    yarn = [one if one.balls else one.model_copy(update={"balls": [_ANY_BALL]}) for one in project.yarn]
    return project.model_copy(update={"yarn": yarn})


@dataclass(frozen=True)
class _Piece:
    """What everybody weaves: the project without its stock, its job, and the finished cloth."""

    project: Project
    drawings: Mapping[str, bytes]
    job: Job
    wanted: Wanted


def _piece(project: Project, drawings: Mapping[str, bytes]) -> _Piece:
    stocked = _stocked(project)
    job = job_of(stocked, drawings)
    if job.wanted is not None:
        return _Piece(stocked, drawings, job, job.wanted)
    cloth = plan_by_hand(job, None).cloth
    return _Piece(stocked, drawings, job, Wanted(cloth.asked_width_cm, cloth.asked_length_cm))


def _student(piece: _Piece, number: int, student: StudentPart, of_class: ClassList) -> StudentNeeds:
    job = _her_job(piece, student)
    imperial = (student.units or piece.project.units) == "imperial"
    units, waste = IMPERIAL if imperial else METRIC, _waste(job, student.loom)
    sums = class_sum(job, piece.wanted, units, waste=waste)
    room = _room(job, sums, student.loom)
    narrower = 0.0
    if room == Room.TOO_NARROW:
        job, sums, narrower = _on_narrow_loom(piece, job, sums, student.loom, waste)
    candidate = sett_candidates(_on(piece.project, student.loom), piece.job.yarns)
    hers = next(one for heddle, one in candidate if heddle.name == job.heddle.name)
    return StudentNeeds(
        number=number,
        name=student.name,
        language=student.language or of_class.language,
        large_print=student.print == "large",
        imperial=imperial,
        kind=student.loom.kind,
        direct=student.loom.warping == "direct",
        heddle=job.heddle.name,
        ends_per_cm=job.heddle.per_cm,
        loom_width_cm=student.loom.weaving_width.cm if student.loom.weaving_width else None,
        waste_said=student.loom.waste is not None,
        sums=sums,
        room=room,
        narrower_cm=narrower,
        against_sett=job.heddle.per_cm / piece.job.heddle.per_cm,
        firmness=hers.firmness,
        worth_sampling=hers.sample_this,
        own_yarn=_own_yarn(student.yarn, sums),
        cautions=cautions(replace(job, garment=piece.job.garment), None),
    )


def _her_job(piece: _Piece, student: StudentPart) -> Job:
    """The question of the piece on her loom, at the heddle of hers that is nearest to the sett of the piece."""
    if not student.loom.heddles:
        raise ProblemsFound(
            Problem(("loom", "heddles"), f"which heddle has {student.name}? Write it as 30/10 cm or 7.5/in")
        )
    of_one_sett = [one for one in student.loom.heddles if one.heddle.width_cm is None]
    if not of_one_sett:
        sections = "; ".join(map(str, student.loom.heddles))
        raise ProblemsFound(Problem(("loom", "heddles"), f"“{sections}”: write a heddle of one sett, as 30/10 cm"))
    width, length = (Length.read(f"{cm!r} cm") for cm in (piece.wanted.width_cm, piece.wanted.length_cm))
    loom = student.loom.model_copy(update={"heddles": of_one_sett})
    asked = _on(piece.project, loom).model_copy(update={"want": WantPart(width=width, length=length), "pattern": None})
    job = job_of(asked, piece.drawings)
    return job.at(_nearest([sleyed_heddle(asked, one) for one in of_one_sett], piece.job.heddle))


def _on(project: Project, loom: LoomPart) -> Project:
    """The project on another loom, its heddle not decided."""
    cloth = project.cloth.model_copy(update={"heddle": None})
    return project.model_copy(update={"loom": loom, "cloth": cloth, "other_loom": []})


def _nearest(heddles: Sequence[Heddle], planned: Heddle) -> Heddle:
    return min(heddles, key=lambda one: abs(math.log(one.per_cm / planned.per_cm)))


def _waste(job: Job, loom: LoomPart) -> Interval:
    """Her loom waste, cm, as typed, or what is usual for such a loom where nobody said."""
    if loom.waste is None:
        return Interval.exactly(figures(job).waste_cm.value)
    return Interval(loom.waste.low, loom.waste.cm, loom.waste.high)


def _room(job: Job, sums: ClassSum, loom: LoomPart) -> Room:
    if loom.weaving_width is None:
        return Room.NOT_SAID
    left = loom.weaving_width.cm - sums.ends / job.heddle.per_cm
    if left < -1e-6:
        return Room.TOO_NARROW
    return Room.CLOSE if left < CLOSE_CM else Room.FITS


def _on_narrow_loom(
    piece: _Piece, job: Job, asked: ClassSum, loom: LoomPart, waste: Interval
) -> tuple[Job, ClassSum, float]:
    """The ends that fit, and how much narrower than asked the cloth then finishes, cm; a garment is laid out anew on it."""
    assert loom.weaving_width is not None  # a loom of no width is not too narrow
    most = int(loom.weaving_width.cm * job.heddle.per_cm / job.end_step + 1e-9) * job.end_step
    if most < 1:
        sentence = (
            f"“{loom.weaving_width}”: not one end of a {job.heddle.name} heddle fits; write the weaving width as 50 cm"
        )
        raise ProblemsFound(Problem(("loom", "weaving_width"), sentence))
    narrow = round(job.width_in_heddle(most) * figures(job).width_ratio.value, 2)
    wanted = _laid_narrow(piece, narrow) if piece.job.garment else replace(piece.wanted, width_cm=narrow)
    sums = class_sum(job, wanted, asked.units, waste=waste, most_ends=most)
    return job, sums, round(max(0.0, piece.wanted.width_cm - narrow), 2)


def _laid_narrow(piece: _Piece, width_cm: float) -> Wanted:
    """The cloth of a garment's pieces at a width, by the first guess of their layout; ProblemsFound where a piece is wider."""
    assert piece.job.garment is not None  # asked only for a garment
    try:
        laid = fit(piece.job.garment, width_cm, lambda _width, length: length, None, only_widest=True).wanted
        return Wanted(width_cm, laid.length_cm)
    except ProblemsFound as found:
        why = "; ".join(one.sentence for one in found.problems)
        raise ProblemsFound(Problem(("loom", "weaving_width"), f"the pieces do not fit on this loom: {why}")) from None


def _own_yarn(part: OwnYarnPart | None, sums: ClassSum) -> OwnYarn | None:
    if part is None:
        return None
    warp, weft = sums.yarn_in_m(sums.warp_yarn), sums.yarn_in_m(sums.weft_yarn)
    both = Interval(warp.low + weft.low, warp.expected + weft.expected, warp.high + weft.high)
    use = Use(part.use)
    need = {Use.WARP: warp, Use.WEFT: weft, Use.BOTH: both}[use]
    have = Interval(*part.metres) if part.metres else None
    m_per_g = part.grist.m_per_g if part.grist else None
    return OwnYarn(part.name, use, m_per_g, _rounded(need), have and _rounded(have), _verdict(need, have))


def _verdict(need: Interval, have: Interval | None) -> Verdict | None:
    """Enough where the least there is covers the most that is needed."""
    if have is None:
        return None
    if have.low >= need.high:
        return Verdict.ENOUGH
    return Verdict.NOT_ENOUGH if have.high < need.low else Verdict.TOO_CLOSE


def _to_buy(piece: _Piece, of_class: ClassList, students: Sequence[StudentNeeds]) -> tuple[ToBuy, ...]:
    """Warp and weft of the class yarn; a use that every student brings herself is left out."""
    found = []
    for use in (Use.WARP, Use.WEFT):
        takers = [one for one in students if one.own_yarn is None or one.own_yarn.use not in (use, Use.BOTH)]
        if takers:
            found.append(_bought(piece, of_class, use, [_whole_metres(one, use) for one in takers]))
    return tuple(found)


def _whole_metres(student: StudentNeeds, use: Use) -> Interval:
    """What a student needs of a use, up to whole metres, as the teacher's summary has it."""
    metres = student.warp_m() if use == Use.WARP else student.weft_m()
    return Interval(*(float(math.ceil(one - 1e-6)) for one in (metres.low, metres.expected, metres.high)))


def _bought(piece: _Piece, of_class: ClassList, use: Use, each: Sequence[Interval]) -> ToBuy:
    lots = piece.job.yarns.warp if use == Use.WARP else piece.job.yarns.weft
    m_per_g, ball = round(lots[0].m_per_g, 4), of_class.ball.grams if of_class.ball else None
    grams = [round(one.high / m_per_g * (1 + of_class.margin.expected), 2) for one in each]
    metres = Interval(sum(one.low for one in each), sum(one.expected for one in each), sum(one.high for one in each))
    in_all = round(metres.high / m_per_g * (1 + of_class.margin.expected), 2)
    return ToBuy(
        use=use,
        yarns=tuple(dict.fromkeys(lot.name for lot in lots)),
        m_per_g=m_per_g,
        students=len(each),
        m=metres,
        grams=in_all,
        balls=math.ceil(in_all / ball - 1e-9) if ball else None,
        balls_each=sum(math.ceil(one / ball - 1e-9) for one in grams) if ball else None,
    )


def _assumed(piece: _Piece) -> Iterator[str]:
    """What every student's figures stand on."""
    known = figures(piece.job)
    yield f"Finished width ÷ width in heddle {known.width_ratio.value:g}: {known.width_ratio.source}."
    yield f"Finished length ÷ woven length {known.length_ratio.value:g}: {known.length_ratio.source}."
    yield f"Woven length ÷ warp used {known.woven_of_warp.value:g}: {known.woven_of_warp.source}."
    yield f"{known.picks_on_loom.value:g} picks per cm on the loom: {known.picks_on_loom.source}."
    yield f"Yarn of a pick ÷ width in heddle {known.pick_length.value:g}: {known.pick_length.source}."


def _of_student(number: int, problem: Problem) -> Problem:
    return Problem(("student", number, *problem.path), problem.sentence)


def _rounded(one: Interval) -> Interval:
    return Interval(round(one.low, 2), round(one.expected, 2), round(one.high, 2))
