"""The threading of a project: every end with its yarn, its shaft or hole, and its place in the heddle.

Ends, heddle and colours come from where they are settled: typed with the draft, the colours or the cloth, else the plan. The
threading is the one written, else the one the structure asks for: straight through its kinds of end, or hole and slot by
turns. The first end is at the left edge, as the weaver sits, unless the draft says the right.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import count
from typing import Final

from clothwright.cloth import (
    SLOT,
    RigidThreading,
    Threading,
    ends_in_places,
    read_threading,
    rigid_threading_of,
    structure,
)
from clothwright.planning.answer import Plan
from clothwright.planning.cloth.on_rigid_heddle import as_typed, kind_of_place, slots_of, woven_on_rigid
from clothwright.planning.cloth.on_shafts import woven_on_shafts
from clothwright.planning.cloth.threading_answer import CheckSum, EndThreaded, ThreadingPlan
from clothwright.planning.cloth.threading_places import InPlaces, floating_in, placed, placed_in_two, stretches_of
from clothwright.planning.cloth.threading_time import time_needed
from clothwright.planning.cloth.threading_woven import Woven, numbered, told_at
from clothwright.planning.colours.colour_plan import plan_colours, planned_warp, wanted_warp
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.document import YarnPart
from clothwright.project.parts.threading_parts import ThreadingPart

_MOST_ENDS: Final = 20_000
#: Ends and minutes of times of the weaver's own.
Timed = tuple[int, float]


def plan_threading(project: Project, plan: Callable[[], Plan], *, timed: Sequence[Timed] = ()) -> ThreadingPlan:
    """The threading of a project; `plan` is asked only for what is not typed. ProblemsFound where something does not agree.

    `timed`: ends and minutes of other projects, on the same kind of loom.
    """
    part = project.draft or ThreadingPart()
    ends, yarn_of, notes = _ends_and_yarns(project, part, plan)
    floating = floating_in(project)
    if ends - floating < 1 or ends > _MOST_ENDS:
        sentence = f"{ends} ends: a threading has 1 to {_MOST_ENDS}, floating selvedges besides"
        raise ProblemsFound(Problem(("draft", "ends"), sentence))
    sleyed = _heddle(project, plan)
    on_rigid = project.loom.kind == "rigid heddle"
    make = _rigid if on_rigid else _shafts
    woven, in_places = make(project, part, sleyed, ends - floating)
    threads = tuple(_threads(woven, in_places, yarn_of, floating))
    times = [*timed, *((one.ends, one.minutes) for one in part.timed)]
    answer = ThreadingPlan(
        loom=project.loom.kind,
        structure=project.cloth.structure,
        ends=ends,
        floating=floating,
        first_edge=part.first_end,
        written=woven.written,
        threads=threads,
        draft=replace(woven.draft, threading=tuple(end.shafts for end in threads)),
        shaft_words=woven.shaft_words,
        sticks=woven.sticks,
        sheds=woven.sheds,
        in_heddle=in_places.told,
        ends_per_cm=(ends - floating) / in_places.told.width_cm,
        checks=(),
        time=time_needed(ends - floating, project.loom.kind, times),
        notes=(*notes, *woven.notes, *in_places.notes),
        colours={yarn.name: yarn.colour for yarn in yarns_in(project, "warp") if yarn.colour},
    )
    return replace(answer, checks=tuple(_checks(answer, in_places)))


def _ends_and_yarns(
    project: Project, part: ThreadingPart, plan: Callable[[], Plan]
) -> tuple[int, Sequence[str | None], tuple[str, ...]]:
    """All ends, the yarn of each where it is settled, and what is to be said of that."""
    if project.colours is not None:
        warp = wanted_warp(project) or planned_warp(project, plan())
        answer = plan_colours(project, warp)
        found = [run.yarn for run in answer.order for _ in range(run.ends)]
        if part.ends is not None and part.ends != len(found):
            sentence = (
                f"the draft says {part.ends} ends and the colours have {len(found)}; make them agree, or leave ends out"
            )
            raise ProblemsFound(Problem(("draft", "ends"), sentence))
        drawn = (
            ("The order of colours is drawn and not kept yet: keep it before you thread by it.",)
            if answer.drawn
            else ()
        )
        return len(found), found, drawn
    ends = part.ends or plan().warp.ends
    names = [yarn.name for yarn in yarns_in(project, "warp")]
    if len(names) == 1:
        return ends, names * ends, ()
    unsettled = "The warp has several yarns, and no order of them is settled: see the colours of the project."
    return ends, [None] * ends, (unsettled,) if names else ()


def yarns_in(project: Project, side: str) -> tuple[YarnPart, ...]:
    """The yarns for the warp, or the weft, as typed; their balls need not be weighed yet."""
    return tuple(yarn for yarn in project.yarn if yarn.use in (side, "warp and weft"))


def _heddle(project: Project, plan: Callable[[], Plan]) -> Threading:
    owned = project.loom.heddles
    found = project.cloth.heddle or (owned[0] if len(owned) == 1 else None) or read_threading(plan().warp.heddle)
    return found.in_shafts if project.loom.kind == "shaft" else found


def _shafts(project: Project, part: ThreadingPart, sleyed: Threading, ends: int) -> tuple[Woven, InPlaces]:
    """On a loom with shafts, sleyed in a reed."""
    woven = woven_on_shafts(structure(project.cloth.structure), part, ends)
    with told_at("sleying"):
        held = ends_in_places(stretches_of(part, sleyed), ends)
    return woven, placed(project, part, sleyed, held, "dent", lambda _: "dent", every=1)


def _rigid(project: Project, part: ThreadingPart, sleyed: Threading, ends: int) -> tuple[Woven, InPlaces]:
    """On one rigid heddle, or two one behind the other."""
    heddles, notes = sleyed.way.heddles, []
    if heddles > 2:
        raise ProblemsFound(Problem(("cloth", "heddle"), "three heddles are not threaded here; write one or two"))
    asked = structure(project.cloth.structure)
    rigid = rigid_threading_of(asked, heddles)
    if rigid is None and not part.lifting:
        notes.append(
            f"{asked.name} cannot be woven on {'one rigid heddle with sticks' if heddles == 1 else 'two heddles'} as it stands, so no "
            "sheds are told: write them, or use a loom with shafts."
        )
    rigid = as_typed(part, rigid or RigidThreading(heddles, (1, SLOT) if heddles == 1 else (1, SLOT, 2, SLOT), (), ()))
    with told_at("sleying"):
        held = ends_in_places(stretches_of(part, sleyed), ends)
    if heddles == 1:
        in_places = placed(project, part, sleyed, held, "place", lambda n: kind_of_place(rigid.cycle[n % 2]), every=2)
        places = rigid.places_of(held)
        return woven_on_rigid(rigid, places, slots_of(rigid, held), tuple(notes), project), in_places
    places = tuple(rigid.cycle[n % len(rigid.cycle)] for n in range(ends))
    slots = count()
    slot_of = [0 if place else next(slots) for place in places]
    return woven_on_rigid(rigid, places, slot_of, tuple(notes), project), placed_in_two(
        project, part, sleyed, rigid, places
    )


def _threads(woven: Woven, in_places: InPlaces, yarn_of: Sequence[str | None], floating: int) -> Iterator[EndThreaded]:
    if floating:
        yield EndThreaded(1, yarn_of[0], frozenset(), "floating selvedge", "floats", in_places.floating[0])
    for number, (end, short, place) in enumerate(
        zip(woven.draft.threading, woven.shorts, in_places.of_end, strict=True)
    ):
        at = number + floating // 2
        words = [woven.shaft_words[shaft - 1] for shaft in sorted(end)]
        on = numbered("shaft", end) if len(end) != 1 else words[0]
        yield EndThreaded(at + 1, yarn_of[at], end, on, short, place)
    if floating:
        last = len(woven.draft.threading) + 1
        yield EndThreaded(last + 1, yarn_of[last], frozenset(), "floating selvedge", "floats", in_places.floating[1])


def _checks(answer: ThreadingPlan, in_places: InPlaces) -> Iterator[CheckSum]:
    """Sums over the list of ends as it is told, each against a total that was not made from it."""
    where = "on" if answer.loom == "shaft" else "in"
    words = [f"{where} {word}" for word in answer.shaft_words]
    on_shafts = tuple(zip(words, answer.on_shaft(), strict=True))
    twice = sum(max(0, len(end.shafts) - 1) for end in answer.threads)
    bare = sum(not end.shafts for end in answer.threads) - answer.floating
    more = (("less those counted twice", -twice),) if twice else ()
    none = (("on no shaft", bare),) if bare else ()
    floats = (("floating", answer.floating),) if answer.floating else ()
    yield CheckSum(
        "by shaft" if answer.loom == "shaft" else "by hole and slot", (*on_shafts, *more, *none, *floats), answer.ends
    )
    by_yarn: dict[str, int] = {}
    for end in answer.threads:
        if end.yarn is not None:
            by_yarn[end.yarn] = by_yarn.get(end.yarn, 0) + 1
    if by_yarn:
        yield CheckSum("by yarn", tuple(by_yarn.items()), answer.ends)
    if all(end.place is not None for end in answer.threads):
        of_many: dict[int, int] = {}
        for ends in in_places.held:
            of_many[ends] = of_many.get(ends, 0) + 1
        word = answer.in_heddle.word
        parts = tuple(
            (f"in {places} {word}{'' if places == 1 else 's'} with {ends}", places * ends)
            for ends, places in sorted(of_many.items())
            if ends
        )
        yield CheckSum(f"by {word}", (*parts, *floats), answer.ends)
