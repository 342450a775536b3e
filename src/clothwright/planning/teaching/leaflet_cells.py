"""The work of a leaflet in pure tasks: a layout for each garment and width, the figures of each cloth at each heddle.

A task is a plain call that can be pickled: processes of this machine, any `concurrent.futures` executor or a cluster may do it,
and nothing but its answer comes back, as plain data. An answer is kept by a digest of everything it depends on and of the
version of the way it is reckoned, so it is never wrong, only unknown: whatever was done before a stop, a crash or a
change elsewhere in the project is not done again, and versions or leaflets that share pieces share their layouts.

A layout that was searched for by the clock is taken for any search no longer than that; one found by rounds, for the same rounds and
seed only. What comes from elsewhere is judged before it is used. A layout for one width serves every wider one.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from itertools import groupby
from math import ceil
from typing import Any, Final, Protocol

import numpy as np
from shapely import Polygon
from shapely.geometry.polygon import orient

from clothwright.layout import (
    HALF_TURN,
    NO_EFFORT,
    NO_RULES,
    By,
    Copy,
    Effort,
    Layout,
    Placed,
    Rules,
    Step,
    faults,
    measured,
    solve,
    turn,
)
from clothwright.layout.on_executor import asked_of
from clothwright.layout.rounds import one_round
from clothwright.layout.search import limit
from clothwright.layout.searchers import Asked
from clothwright.measure import Draws, Interval
from clothwright.pattern import Ring
from clothwright.planning.job import Garment, Heddle, Job, Wanted
from clothwright.planning.pieces.fitting import LayoutSearch, YarnFor, fit, quick_layouts, rough_layouts
from clothwright.planning.pieces.selvedges import off_selvedge, selvedge_edges
from clothwright.planning.sums import Sheet, figures, work_out
from clothwright.planning.weighing_up import WeighedUp, weigh_up
from clothwright.project import ProblemsFound

#: Raised when a layout, or a figure, would come out otherwise than before for the same question.
LAID_VERSION: Final = 1
FIGURES_VERSION: Final = 1
#: Work is given up as lost only after so long: on a busy machine a second of it takes many.
_PATIENT_S: Final = 60.0
#: Outlines of more corners than this in all are searched with by outlines of fewer, which hold them.
_MANY_CORNERS: Final = 300
_SPARE_CM: Final = 0.02
#: So many cloths are reckoned in one task: a task of a few milliseconds costs more to hand out than to do.
_AT_ONCE: Final = 24
#: What a change of these in a project leaves as it was in every figure.
_NOT_IN_FIGURES: Final = {"leaflet", "want", "pattern", "name"}

#: Why a cell has no row while its layout is still to be made.
NOT_YET: Final = "not laid out yet"

Answer = dict[str, Any]
Metres = tuple[float, float, float]


class KeptAnswers(Protocol):
    """Where answers are kept by their key; what cannot be read there is unknown."""

    def get(self, key: str) -> Answer | None:
        """The answer kept under a key."""
        ...

    def put(self, key: str, answer: Answer) -> None:
        """Keep an answer, whole or not at all."""
        ...


class Forgetful:
    """Keeps nothing."""

    def get(self, _key: str) -> Answer | None:
        """Nothing."""
        return None

    def put(self, _key: str, _answer: Answer) -> None:
        """Nothing is done."""


KEEPS_NOTHING: Final = Forgetful()


@dataclass(frozen=True)
class Done:
    """How far the work is: so many of all tasks, and how many of them had been done before."""

    layouts: int
    layouts_in_all: int
    layouts_before: int
    figures: int = 0
    figures_in_all: int = 0
    figures_before: int = 0

    @property
    def share(self) -> float:
        """Share of the layouts that are there, which take the time."""
        return self.layouts / self.layouts_in_all if self.layouts_in_all else 1.0


def _say_nothing(_done: Done) -> None:
    """Nobody asks how far it is."""


@dataclass(frozen=True)
class Working:
    """How a leaflet is worked out: who does it (nobody: here), how long all layouts are searched for, where answers are kept.

    `also` are layouts known from elsewhere, taken where they are shorter. What `tell` raises ends the work. `at_most`: where more
    layouts than that are missing none is made, and their cells say so.
    """

    by: By | None = None
    effort: Effort = NO_EFFORT
    seed: int = 1
    kept: KeptAnswers = KEEPS_NOTHING
    tell: Callable[[Done], None] = _say_nothing
    also: LayoutSearch | None = None
    at_most: int | None = None


HERE: Final = Working()


@dataclass(frozen=True)
class ToLay:
    """The pieces of a garment, and the finished width of cloth to lay them on."""

    garment: Garment
    width_cm: float

    @property
    def usable_cm(self) -> float:
        """Width between the trims."""
        return self.width_cm - 2 * self.garment.trim_cm


@dataclass(frozen=True)
class Laid:
    """A layout, what it does not keep, in words, and the seconds it was searched for; or why there is none."""

    layout: Layout | None
    told: tuple[str, ...] = ()
    refused: str = ""
    seconds: float = 0.0


@dataclass(frozen=True)
class Figured:
    """Ends, warp length and metres (needed, low, high) of one cloth."""

    ends: int
    warp_cm: float
    warp_m: Metres
    weft_m: Metres


def digest(*of: Any) -> str:
    """The same for the same content, and for no other."""
    return hashlib.sha256(json.dumps(of, sort_keys=True, default=str).encode()).hexdigest()


# Layouts.


def laid_out(asked: Sequence[ToLay], working: Working) -> list[Laid]:
    """A layout for each, in their order: known before, or found now; each one that is alike is laid once."""
    places = _keys_of_layouts(asked, working)
    every = dict(zip(places, asked, strict=True))
    each = _each(working, len(every))
    known = {key: laid for key, one in every.items() if (laid := _known(one, key, each, working)) is not None}
    done = _counter(working, len(every), len(known))
    missing = {key: one for key, one in every.items() if key not in known}
    if working.at_most is not None and len(missing) > working.at_most:
        known |= dict.fromkeys(missing, Laid(None, refused=NOT_YET))
        missing = {}
    for key, laid in _laid_now(missing, each, working):
        known[key] = laid
        done(1)
    found = [_with_also(one, known[key], working.also) for key, one in zip(places, asked, strict=True)]
    return _narrower_serves(asked, found)


def lay(garment: Garment, width_cm: float, effort: Effort, seed: int) -> Answer:
    """The task: a layout of least length at a finished width, as plain data."""
    try:
        fitted = fit(garment, width_cm, _length_alone, _searched_here(effort, seed), only_widest=True)
    except ProblemsFound as refused:
        why = "; ".join(problem.sentence for problem in refused.problems)
        return {"layout": None, "told": [], "refused": why, "seconds": effort.seconds}
    return {"layout": asdict(fitted.layout), "told": list(fitted.told), "refused": "", "seconds": effort.seconds}


def _length_alone(_width_cm: float, length_cm: float) -> float:
    return length_cm


def _searched_here(effort: Effort, seed: int) -> LayoutSearch:
    """A search in this very process: a first guess, hasty where more follows, and what the solver finds in the time or the rounds."""

    def search(
        copies: tuple[Copy, ...], widths_cm: tuple[float, ...], yarn_for: YarnFor, rules: Rules = NO_RULES
    ) -> tuple[Step, ...]:
        guess = quick_layouts if effort == NO_EFFORT or rules != NO_RULES else rough_layouts
        steps = guess(copies, widths_cm, yarn_for, rules)
        return tuple(_better(copies, step, yarn_for, rules, effort, seed) for step in steps)

    return search


def _better(copies: tuple[Copy, ...], step: Step, yarn_for: YarnFor, rules: Rules, effort: Effort, seed: int) -> Step:
    """The step, or a shorter layout; where rules go beyond shapes, the one that keeps them."""
    found = [one_round(copies, step.width_cm, rules, seed + number) for number in range(effort.rounds)]
    if effort.seconds > 0 and not effort.rounds:
        found = [_solved(copies, step.width_cm, limit(effort.seconds, len(copies)), seed, rules)]
    layouts = [one for one in found if one is not None]
    if not rules.more_than_shapes or not layouts:
        layouts.append(step.layout)
    layout = min(layouts, key=lambda one: one.length_cm)
    return Step(step.width_cm, layout, yarn_for(step.width_cm, layout.length_cm))


def _solved(copies: tuple[Copy, ...], width_cm: float, seconds: float, seed: int, rules: Rules) -> Layout | None:
    """What the solver finds; drafted curves of hundreds of corners go by outlines of fewer, where nothing else is asked."""
    if rules != NO_RULES or sum(len(copy.outline) for copy in copies) <= _MANY_CORNERS:
        return solve(copies, width_cm, seconds, seed, 1, rules)
    simple = tuple(replace(copy, outline=_fewer_corners(copy.outline)) for copy in copies)
    found = solve(simple, width_cm, seconds, seed, 1)
    if found is None:
        return None
    by_key = {(copy.piece, copy.number): copy for copy in copies}
    placed = tuple(_within(by_key[one.piece, one.copy].outline, one) for one in found.placed)
    layout = measured(copies, width_cm, placed)
    return None if faults(copies, layout) else layout


def _expanded(ring: Ring) -> Ring:
    """The ring with fewer corners, grown by as much as they may stand inside it; where it lies, not moved to a corner."""
    grown = Polygon(ring).simplify(_SPARE_CM).buffer(_SPARE_CM, join_style="mitre")
    return tuple((float(x), float(y)) for x, y in list(orient(grown).exterior.coords)[:-1])


def _fewer_corners(ring: Ring) -> Ring:
    return turn(_expanded(ring), 0.0)


def _within(ring: Ring, placed: Placed) -> Placed:
    """Where the ring itself lies when the one grown from it is placed so: its box begins a hair further in."""
    (low_x, low_y), (wide_x, wide_y) = (_corner(one, placed.rotation_deg) for one in (ring, _expanded(ring)))
    return replace(placed, x_cm=placed.x_cm + low_x - wide_x, y_cm=placed.y_cm + low_y - wide_y)


def _corner(ring: Ring, degrees: float) -> tuple[float, float]:
    """The low corner of the box of a ring turned about its origin, by none or by half a turn."""
    sign = -1.0 if degrees % 360 == HALF_TURN else 1.0
    return min(sign * x for x, _ in ring), min(sign * y for _, y in ring)


def _each(working: Working, layouts: int) -> Effort:
    """The share of the effort of each layout, the same however many are known already."""
    if working.by is None:
        return NO_EFFORT
    if working.effort.rounds or not layouts:
        return working.effort
    turns = ceil(layouts / asked_of(working.by).count)
    return Effort(working.effort.seconds / turns)


def _keys_of_layouts(asked: Sequence[ToLay], working: Working) -> list[str]:
    """A key for each; what depends on the garment alone is digested once for each garment."""
    garments = {id(one.garment): _digest_of(one.garment) for one in {id(one.garment): one for one in asked}.values()}
    rounds = [working.effort.rounds, working.seed] if working.by is not None and working.effort.rounds else []
    return [digest("layout", LAID_VERSION, garments[id(one.garment)], one.width_cm, rounds) for one in asked]


def _digest_of(garment: Garment) -> str:
    """A digest of all in a garment on which its layout on some width depends."""
    edges = [(piece.name, asdict(edge)) for piece in garment.pieces for edge in selvedge_edges(piece)]
    return digest(
        [(copy.piece, copy.number, copy.mirrored, copy.turns_deg, copy.outline) for copy in garment.copies],
        asdict(garment.asked),
        [garment.one_way, garment.trim_cm, garment.squaring_cm],
        edges,
    )


def _known(one: ToLay, key: str, each: Effort, working: Working) -> Laid | None:
    """A layout kept that was searched for as long, and in which the judge finds no fault."""
    answer = working.kept.get(key)
    laid = _laid(answer) if answer else None
    if laid is None or laid.seconds < each.seconds - 1e-6:
        return None
    return laid if laid.layout is None or _sound(one.garment, laid.layout) else None


def _laid(answer: Answer) -> Laid | None:
    """An answer as it was given; None where it is not one."""
    try:
        stored = answer["layout"]
        layout = stored and Layout(**{**stored, "placed": tuple(Placed(**each) for each in stored["placed"])})
        return Laid(layout, tuple(answer["told"]), answer["refused"], float(answer["seconds"]))
    except (KeyError, TypeError, ValueError):
        return None


def _is_shorter(one: Laid, other: Laid) -> bool:
    return bool(one.layout and other.layout and one.layout.length_cm < other.layout.length_cm)


def _sound(garment: Garment, layout: Layout | None) -> bool:
    return layout is not None and not faults(garment.copies, layout) and not off_selvedge(garment, layout)


def _laid_now(asked: dict[str, ToLay], each: Effort, working: Working) -> Iterator[tuple[str, Laid]]:
    """Each layout as it is found, kept at once; one that nobody answered is made here."""
    keys = list(asked)
    seconds = each.seconds
    late = _PATIENT_S + 10 * seconds
    work = [Asked(lay, (one.garment, one.width_cm, each, working.seed), seconds=late) for one in asked.values()]
    for number, answer in _answers(work, working):
        key = keys[number]
        kept = working.kept.get(key)
        before = _laid(kept) if kept else None
        now = _laid(answer)
        assert now is not None  # made by the task above
        if before and _is_shorter(before, now) and _sound(asked[key].garment, before.layout):
            now = replace(before, seconds=now.seconds)
        working.kept.put(key, _data(now))
        yield key, now


def _data(laid: Laid) -> Answer:
    return {
        "layout": asdict(laid.layout) if laid.layout else None,
        "told": list(laid.told),
        "refused": laid.refused,
        "seconds": laid.seconds,
    }


def _answers(work: Sequence[Asked], working: Working) -> Iterator[tuple[int, Any]]:
    """What comes of each piece of work as it ends, by its number."""
    if working.by is None:
        yield from ((number, one.do(*one.with_)) for number, one in enumerate(work))
        return
    answered: set[int] = set()
    for told in asked_of(working.by).told(work):
        if told.found is not None and told.number not in answered:
            answered.add(told.number)
            yield told.number, told.found
    lost = (number for number in range(len(work)) if number not in answered)
    yield from ((number, work[number].do(*work[number].with_)) for number in lost)


def _with_also(one: ToLay, laid: Laid, also: LayoutSearch | None) -> Laid:
    """The layout, or one known from elsewhere that is shorter."""
    if also is None or laid.layout is None:
        return laid
    steps = also(one.garment.copies, (one.usable_cm,), _length_alone, one.garment.asked.rules)
    shortest = min((step.layout for step in steps if step.width_cm <= one.usable_cm), key=_length, default=laid.layout)
    return _shorter(one, laid, shortest)


def _narrower_serves(asked: Sequence[ToLay], found: list[Laid]) -> list[Laid]:
    """The layouts, those on narrower cloth of the same pieces laid on wider cloth where they are shorter."""
    better = list(found)
    order = sorted(range(len(asked)), key=lambda n: (id(asked[n].garment), asked[n].width_cm))
    for _, group in groupby(order, key=lambda n: id(asked[n].garment)):
        best: Layout | None = None
        for number in group:
            if best is not None and better[number].layout is not None:
                better[number] = _shorter(asked[number], better[number], best)
            best = better[number].layout or best
    return better


def _shorter(one: ToLay, laid: Laid, other: Layout) -> Laid:
    """The layout, or another laid on the same cloth, where that is shorter and has no fault there."""
    assert laid.layout is not None  # asked only where there is one
    if other.length_cm >= laid.layout.length_cm - 1e-9:
        return laid
    share = other.used_share * other.width_cm / laid.layout.width_cm
    layout = replace(other, width_cm=laid.layout.width_cm, used_share=share)
    garment = one.garment
    ruled = faults(garment.copies, layout, rules=garment.asked.rules)
    return laid if ruled or off_selvedge(garment, layout) else replace(laid, layout=layout, told=())


def _length(layout: Layout) -> float:
    return layout.length_cm


# Figures.


def figured(
    base: Job, heddles: Sequence[Heddle], cloths: Sequence[Wanted], by_hand: bool, working: Working
) -> dict[tuple[Heddle, Wanted], Figured]:
    """The figures of every cloth at every heddle: known before, or reckoned now."""
    stands_on = _stands_on(base, by_hand)
    cells = {
        (heddle, cloth): digest(stands_on, asdict(heddle), asdict(cloth)) for heddle in heddles for cloth in cloths
    }
    found = {cell: known for cell, key in cells.items() if (known := _figured(working.kept.get(key)))}
    missing = [cell for cell in cells if cell not in found]
    done = _counter(working, len(cells), len(found), figures=True)
    for cell, answer in _reckoned(base, missing, by_hand, working):
        working.kept.put(cells[cell], answer)
        now = _figured(answer)
        assert now is not None  # made by the task below
        found[cell] = now
        done(1)
    return found


def reckon(base: Job, heddle: Heddle, cloths: Sequence[Wanted], by_hand: bool) -> list[Answer]:
    """The task: the figures of some cloths at a heddle, as plain data; each is the same whichever stand beside it."""
    job, like = base.at(heddle), None
    answers = []
    for cloth in cloths:
        asked = job.asking(cloth)
        if by_hand:
            answers.append(asdict(_by_hand(asked)))
        else:
            like = weigh_up(asked, like=like)
            answers.append(asdict(_at_the_trust(like)))
    return answers


def _reckoned(
    base: Job, cells: Sequence[tuple[Heddle, Wanted]], by_hand: bool, working: Working
) -> Iterator[tuple[tuple[Heddle, Wanted], Answer]]:
    batches: list[tuple[Heddle, list[Wanted]]] = []
    for heddle, group in groupby(cells, key=lambda cell: cell[0]):
        cloths = [cloth for _, cloth in group]
        batches += [(heddle, cloths[at : at + _AT_ONCE]) for at in range(0, len(cloths), _AT_ONCE)]
    work = [Asked(reckon, (base, heddle, cloths, by_hand), seconds=_PATIENT_S) for heddle, cloths in batches]
    for number, answers in _answers(work, working):
        heddle, cloths = batches[number]
        yield from (((heddle, cloth), answer) for cloth, answer in zip(cloths, answers, strict=True))


def _stands_on(base: Job, by_hand: bool) -> str:
    """A digest of all in the project that a figure may depend on."""
    project = base.project.model_dump(mode="json", exclude=_NOT_IN_FIGURES)
    return digest("figures", FIGURES_VERSION, by_hand, project, base.on_warp_sample_cm, repr(base.history))


def _figured(answer: Answer | None) -> Figured | None:
    try:
        return answer and Figured(  # type: ignore[return-value]
            int(answer["ends"]), float(answer["warp_cm"]), _three(answer["warp_m"]), _three(answer["weft_m"])
        )
    except (KeyError, TypeError, ValueError):
        return None


def _three(values: Sequence[float]) -> Metres:
    needed, low, high = map(float, values)
    return needed, low, high


def _by_hand(job: Job) -> Figured:
    """Ends, warp length and metres by sums that a reader can check."""
    assert job.wanted is not None  # a cell is a cloth wanted
    sums = work_out(job, figures(job), job.wanted, Sheet())
    weft = sums.weft_m
    return Figured(sums.ends, sums.warp_cm, (sums.warp_m,) * 3, (weft.expected, weft.low, weft.high))


def _at_the_trust(weighed: WeighedUp) -> Figured:
    """The same at the chances asked: the cloth is large enough, and the yarn lasts."""
    warp, weft = (_trusted(metres, weighed.trust) for metres in (weighed.outcome.warp_m, weighed.outcome.weft_m))
    return Figured(weighed.decision.ends, weighed.decision.warp_cm, warp, weft)


def _trusted(metres: Draws, trust: float) -> Metres:
    """What is enough with the chance asked, and the ends of nine cloths in ten."""
    spread = Interval.of_draws(metres)
    return round(float(np.quantile(metres, trust)), 2), round(spread.low, 2), round(spread.high, 2)


def _counter(working: Working, in_all: int, before: int, *, figures: bool = False) -> Callable[[int], None]:
    """Tells how far it is, at the start and with each answer."""
    count = before

    def more(by: int) -> None:
        nonlocal count
        count += by
        done = Done(1, 1, 1, count, in_all, before) if figures else Done(count, in_all, before)
        working.tell(done)

    more(0)
    return more
