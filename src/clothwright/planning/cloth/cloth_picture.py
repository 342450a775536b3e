"""The cloth of a plan as it will look: every thread with its colour and thickness, at the sett it has on the loom or finished.

    finished ends per cm  = ends ÷ finished width
    finished picks per cm = picks per cm on the loom × woven length on the loom ÷ finished length

each at its middle. A thread is as wide as it wraps round a ruler, just touching: that is how wide it looks, lying loose. The
calculated diameter, of the yarn pressed firm, is narrower, and yarn that blooms in the wash or is fulled is wider. A change that is only tried (another structure, sett, beat or colour) makes another picture and leaves the plan alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import cached_property
from itertools import groupby, pairwise, product
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from clothwright.cloth import Face, Structure, light_of_colours, structure
from clothwright.colours import ColoursOfCloth, Likeness, Sight, difference, likeness, seen_by
from clothwright.planning.answer import Plan
from clothwright.planning.cloth.cloth_colours import colours_of_cloth
from clothwright.planning.cloth.threading_plan import plan_threading
from clothwright.planning.job import chosen_heddle
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.domain import wraps_per_cm, yarns

#: Colours for yarns that have none yet, by their place in the project: a row of shore colours of our own.
STAND_INS: Final = ("#6f8f7a", "#b08d57", "#5b7083", "#a8665a", "#8c8a6f", "#7a6a8a")
#: The most threads to a cm that a picture is tried with.
MOST_PER_CM: Final = 100.0
#: How much narrower and wider than it wraps a yarn is tried.
LEAST_THICKNESS, MOST_THICKNESS = 0.3, 3.0
_COLOUR: Final = re.compile(r"#[0-9a-fA-F]{6}")


class ClothState(StrEnum):
    """When the cloth is looked at: the loom's sett and beat, or those after wet finishing."""

    FINISHED = "finished"
    ON_LOOM = "on the loom"


@dataclass(frozen=True)
class Tried:
    """What is tried instead of the plan's: None is the plan's own. `colours`: of yarns by name, as #rrggbb.

    `thickness`: yarn so many times as wide as it wraps.
    """

    structure: str | None = None
    ends_per_cm: float | None = None
    picks_per_cm: float | None = None
    colours: Mapping[str, str] = field(default_factory=dict)
    thickness: float = 1.0


AS_PLANNED: Final = Tried()


@dataclass(frozen=True)
class Contrast:
    """Two yarns that meet, `where` they do, and how far apart they look (ΔE₀₀) to whom."""

    one: str
    other: str
    where: tuple[str, ...]
    apart: Mapping[Sight, float]

    def looks(self, sight: Sight) -> Likeness:
        """How like they look to such eyes."""
        return likeness(self.apart[sight])

    def as_json(self) -> dict[str, Any]:
        """The contrast as plain data."""
        return {
            "one": self.one,
            "other": self.other,
            "where": list(self.where),
            "difference": {str(sight): round(value, 2) for sight, value in self.apart.items()},
            "looks": {str(sight): str(self.looks(sight)) for sight in self.apart},
        }


@dataclass(frozen=True)
class Stripe:
    """Threads of one yarn side by side; `first` counted from 1."""

    yarn: str
    first: int
    threads: int


@dataclass(frozen=True, eq=False)
class ClothPicture:
    """A cloth to be drawn.

    `threads`: the yarn of each end and pick, and every yarn's colour; `stand_ins`: yarns whose colour is not said, and is
    made up. `squaring_cm`, `trim_cm`: where the layout begins, along and across. `first_end_left`: at which edge the first end is, as the
    weaver sits at the loom. `drawdown`: which ends lie over the weft, pick by pick over and over, where the project has a draft of its own;
    else the structure's.
    """

    name: str
    state: ClothState
    structure: Structure
    threads: ColoursOfCloth
    stand_ins: tuple[str, ...]
    ends_per_cm: float
    picks_per_cm: float
    thickness_mm: Mapping[str, float]
    squaring_cm: float = 0.0
    trim_cm: float = 0.0
    first_end_left: bool = True
    drawdown: NDArray[np.bool_] | None = None
    notes: tuple[str, ...] = ()

    @property
    def ends_from_near(self) -> tuple[str, ...]:
        """The yarn of each end as the cloth lies on the table, right side up: from the selvedge nearest to who cuts."""
        return self.threads.warp[::-1] if self.first_end_left else self.threads.warp

    def across_from_near(self, near: tuple[float, float]) -> tuple[float, float]:
        """A span across the cloth, told from the selvedge that lies nearest on the table, as told from the first end's, cm."""
        if not self.first_end_left:
            return near
        return max(0.0, self.face.width_cm - near[1]), self.face.width_cm - near[0]

    @cached_property
    def face(self) -> Face:
        """The face of the cloth, as most people see it."""
        return self.seen(Sight.ALL_CONES)

    def seen(self, sight: Sight) -> Face:
        """The face in the colours that someone sees."""
        warp, weft = self.threads.warp, self.threads.weft
        return Face(
            _tiled(self._repeat, len(weft), len(warp)),
            self.ends_per_cm,
            self.picks_per_cm,
            _of_each(warp, self.thickness_mm),
            _of_each(weft, self.thickness_mm),
            self._light(warp, sight),
            self._light(weft, sight),
        )

    @property
    def _repeat(self) -> NDArray[np.bool_]:
        if self.drawdown is not None:
            return self.drawdown
        return np.array([[up == "1" for up in pick] for pick in self.structure.draft])

    def _light(self, names: Sequence[str], sight: Sight) -> NDArray[np.float32]:
        light = {name: light_of_colours([seen_by(colour, sight)])[0] for name, colour in self.threads.hex_of.items()}
        return np.array([light[name] for name in names], np.float32)

    @cached_property
    def warp_stripes(self) -> tuple[Stripe, ...]:
        """The stripes of the warp, from the first selvedge."""
        return stripes_of(self.threads.warp)

    @cached_property
    def weft_stripes(self) -> tuple[Stripe, ...]:
        """The stripes of the weft, from the first pick."""
        return stripes_of(self.threads.weft)

    @cached_property
    def contrasts(self) -> tuple[Contrast, ...]:
        """Every two yarns that meet, those least apart first, to whoever sees them least apart."""
        found = (Contrast(one, other, where, self._apart(one, other)) for (one, other), where in self._meetings.items())
        return tuple(sorted(found, key=lambda one: (min(one.apart.values()), one.one, one.other)))

    @property
    def _meetings(self) -> dict[tuple[str, str], tuple[str, ...]]:
        """Pairs of yarns that lie side by side or cross, each once, with where."""
        warp, weft = self.threads.warp, self.threads.weft
        met = (
            ("side by side in the warp", pairwise(warp)),
            ("side by side in the weft", pairwise(weft)),
            ("where warp and weft cross", product(dict.fromkeys(warp), dict.fromkeys(weft))),
        )
        found: dict[tuple[str, str], tuple[str, ...]] = {}
        for where, pairs in met:
            for one, other in dict.fromkeys((min(pair), max(pair)) for pair in pairs if pair[0] != pair[1]):
                found[one, other] = (*found.get((one, other), ()), where)
        return found

    def _apart(self, one: str, other: str) -> dict[Sight, float]:
        first, second = self.threads.hex_of[one], self.threads.hex_of[other]
        return {sight: difference(first, second, sight) for sight in Sight}

    def as_json(self) -> dict[str, Any]:
        """What is drawn, as plain data; cm, threads per cm, mm."""
        warp, weft = self.threads.warp, self.threads.weft
        return {
            "name": self.name,
            "state": str(self.state),
            "structure": self.structure.name,
            "draft_of_its_own": self.drawdown is not None,
            "first_end": "left" if self.first_end_left else "right",
            "ends": len(warp),
            "picks": len(weft),
            "ends_per_cm": round(self.ends_per_cm, 4),
            "picks_per_cm": round(self.picks_per_cm, 4),
            "width_cm": round(self.face.width_cm, 3),
            "length_cm": round(self.face.length_cm, 3),
            "yarns": [
                {
                    "name": name,
                    "colour": self.threads.hex_of[name],
                    "colour_said": name not in self.stand_ins,
                    "thickness_mm": round(self.thickness_mm[name], 3),
                    "ends": warp.count(name),
                    "picks": weft.count(name),
                }
                for name in self.threads.yarns
            ],
            "warp_stripes": [{"yarn": one.yarn, "ends": one.threads} for one in self.warp_stripes],
            "weft_stripes": [{"yarn": one.yarn, "picks": one.threads} for one in self.weft_stripes],
            "contrasts": [one.as_json() for one in self.contrasts],
            "notes": list(self.notes),
        }


def picture_of_cloth(
    project: Project, plan: Plan, *, state: ClothState = ClothState.FINISHED, tried: Tried = AS_PLANNED
) -> ClothPicture:
    """The cloth of a plan, to be drawn; ProblemsFound where a colour order clashes or what is tried cannot be."""
    threads, used = colours_of_cloth(project, plan), yarns(project)
    ends_per_cm, picks_per_cm = setts_of(plan, state)
    hex_of, stand_ins = _colours(project, threads)
    planned = ClothPicture(
        name=plan.name,
        state=state,
        structure=structure(chosen_heddle(project, used).weave),
        threads=replace(threads, hex_of=hex_of),
        stand_ins=stand_ins,
        ends_per_cm=ends_per_cm,
        picks_per_cm=picks_per_cm,
        thickness_mm={lot.name: 10 / wraps_per_cm(lot) for lot in (*used.warp, *used.weft)},
        squaring_cm=plan.squaring_cm,
        trim_cm=plan.selvedge_trim_cm,
        first_end_left=project.draft is None or project.draft.first_end == "left",
        drawdown=_drawdown(project, plan),
        notes=tuple(_notes(project, plan, threads, stand_ins)),
    )
    return trying(planned, tried)


def trying(picture: ClothPicture, tried: Tried) -> ClothPicture:
    """The same cloth with what is tried: as many ends, as long; ProblemsFound where it cannot be."""
    _check(picture, tried)
    picks_per_cm = tried.picks_per_cm or picture.picks_per_cm
    weft = picture.threads.weft
    picks = max(1, round(len(weft) * picks_per_cm / picture.picks_per_cm))
    goes_on = weft[:picks] + weft[-1:] * (picks - len(weft))
    hex_of = {**picture.threads.hex_of, **tried.colours}
    return replace(
        picture,
        structure=structure(tried.structure) if tried.structure else picture.structure,
        drawdown=None if tried.structure else picture.drawdown,
        threads=ColoursOfCloth(picture.threads.warp, goes_on, hex_of),
        stand_ins=tuple(name for name in picture.stand_ins if name not in tried.colours),
        ends_per_cm=tried.ends_per_cm or picture.ends_per_cm,
        picks_per_cm=picks_per_cm,
        thickness_mm={name: mm * tried.thickness for name, mm in picture.thickness_mm.items()},
    )


def setts_of(plan: Plan, state: ClothState) -> tuple[float, float]:
    """Ends and picks per cm of a plan's cloth, in the middle: in the heddle and under tension, or finished."""
    on_loom = plan.weft.picks_per_cm_on_loom.expected
    if state is ClothState.ON_LOOM:
        return plan.warp.ends_per_cm, on_loom
    shorter = plan.cloth.finished_length_cm.expected / plan.weft.woven_on_loom_cm.expected
    return plan.warp.ends / plan.cloth.finished_width_cm.expected, on_loom / shorter


def stripes_of(threads: Iterable[str]) -> tuple[Stripe, ...]:
    """Threads of one yarn side by side, as stripes."""
    found, first = [], 1
    for yarn, group in groupby(threads):
        many = sum(1 for _ in group)
        found.append(Stripe(yarn, first, many))
        first += many
    return tuple(found)


def _check(picture: ClothPicture, tried: Tried) -> None:
    """ProblemsFound, with every problem, where what is tried cannot be."""
    problems = []
    for name, value in (("ends", tried.ends_per_cm), ("picks", tried.picks_per_cm)):
        if value is not None and not 0 < value <= MOST_PER_CM:
            problems.append(
                Problem((name,), f"{value:g} to the cm: a picture has more than none and up to {MOST_PER_CM:g}")
            )
    if not LEAST_THICKNESS <= tried.thickness <= MOST_THICKNESS:
        problems.append(
            Problem(
                ("thickness",),
                f"{tried.thickness:.0%}: yarn is tried from {LEAST_THICKNESS:.0%} to {MOST_THICKNESS:.0%} as wide as it wraps",
            )
        )
    if tried.structure:
        try:
            structure(tried.structure)
        except KeyError as error:
            problems.append(Problem(("structure",), str(error.args[0])))
    there = picture.threads.yarns
    for name, colour in tried.colours.items():
        if name not in there:
            problems.append(
                Problem(("colour", name), f"no thread of this cloth is {name}; there are {', '.join(there)}")
            )
        elif not _COLOUR.fullmatch(colour):
            problems.append(Problem(("colour", name), f"“{colour[:40]}” for {name}: write a colour as #6f8f7a"))
    if problems:
        raise ProblemsFound(*problems)


def _colours(project: Project, threads: ColoursOfCloth) -> tuple[dict[str, str], tuple[str, ...]]:
    """The colour of every yarn in the cloth, and the yarns whose colour is made up."""
    places = {part.name: place for place, part in enumerate(project.yarn)}
    made_up = tuple(name for name in threads.yarns if name not in threads.hex_of)
    return {**threads.hex_of, **{name: STAND_INS[places[name] % len(STAND_INS)] for name in made_up}}, made_up


def _tiled(repeat: NDArray[np.bool_], picks: int, ends: int) -> NDArray[np.bool_]:
    """Which ends lie over the weft, over all of the cloth."""
    return np.tile(repeat, (-(-picks // len(repeat)), -(-ends // repeat.shape[1])))[:picks, :ends]


def _drawdown(project: Project, plan: Plan) -> NDArray[np.bool_] | None:
    """The ups and downs of the project's own threading and lifts, all ends of one repeat of picks; None where it has none."""
    part = project.draft
    if part is None or not any((part.threading, part.tie_up, part.treadling, part.lifting, part.sticks)):
        return None
    return plan_threading(project, lambda: plan).draft.up


def _of_each(names: Sequence[str], values: Mapping[str, float]) -> NDArray[np.float32]:
    return np.array([values[name] for name in names], np.float32)


def _notes(project: Project, plan: Plan, threads: ColoursOfCloth, stand_ins: Sequence[str]) -> Iterator[str]:
    if stand_ins:
        yield f"No colour is said for {', '.join(stand_ins)}; one stands in for it."
    if project.colours is None and len(yarns(project).warp) > 1:
        yield f"The warp has no colour order yet, so all of it is drawn in {threads.warp[0]}."
    if len(set(threads.weft)) == 1 and len(yarns(project).weft) > 1:
        yield f"The weft is drawn in {threads.weft[0]} alone."
    if len(threads.warp) != plan.warp.ends:
        yield f"The colour order has {len(threads.warp)} ends and the plan {plan.warp.ends}; the order is drawn."
