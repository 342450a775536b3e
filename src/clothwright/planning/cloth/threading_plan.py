"""The threading of a project: every end with its yarn, its shaft or hole, and its place in the heddle.

Ends, heddle and colours come from where they are settled: typed with the draft, the colours or the cloth, else the plan. The
threading is the one written, else the one the structure asks for: straight through its kinds of end, or hole and slot by
turns. The first end is at the left edge, as the weaver sits, unless the draft says the right.

A lifting that is left out is the structure's: shaft 1 does what its first kind of end does, and so on; on more shafts the
kinds come again, so that plain weave straight on four shafts lifts 1 and 3 against 2 and 4.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from itertools import count
from typing import Final

from clothwright.cloth import (
    MOST_SHAFTS,
    SLOT,
    STICKS,
    Draft,
    DraftError,
    Places,
    RigidThreading,
    Shafts,
    SleyedStretch,
    Standing,
    Structure,
    Threading,
    WrittenError,
    charged_words,
    draft_of,
    ends_in_places,
    in_the_middle,
    lifts_of,
    places_in,
    read_cycle,
    read_sets,
    read_sheds,
    read_sleying,
    read_threading,
    read_written,
    rigid_threading_of,
    structure,
    written_out,
)
from clothwright.planning.answer import Plan
from clothwright.planning.cloth.threading_answer import CheckSum, EndThreaded, InHeddle, ShedWoven, ThreadingPlan
from clothwright.planning.cloth.threading_time import time_needed
from clothwright.planning.colours.colour_plan import plan_colours, planned_warp, wanted_warp
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.document import YarnPart
from clothwright.project.threading_parts import ThreadingPart, sticks_in

_MOST_ENDS: Final = 20_000
#: Kinds of end times kinds of lift that are looked at for ends that never weave in.
_MOST_CROSSINGS: Final = 1_000_000

#: Ends and minutes of times of the weaver's own.
Timed = tuple[int, float]


def plan_threading(project: Project, plan: Callable[[], Plan], *, timed: Sequence[Timed] = ()) -> ThreadingPlan:
    """The threading of a project; `plan` is asked only for what is not typed. ProblemsFound where something does not agree.

    `timed`: ends and minutes of other projects, on the same kind of loom.
    """
    part = project.draft or ThreadingPart()
    ends, yarn_of, notes = _ends_and_yarns(project, part, plan)
    floating = _floating(project)
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


# --- what is settled elsewhere -----------------------------------------------------------------------------------


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


@contextmanager
def _told_at(field: str) -> Iterator[None]:
    """Turn what cannot be read or woven into a problem of a field of the draft."""
    try:
        yield
    except (WrittenError, DraftError) as error:
        raise ProblemsFound(Problem(("draft", field), str(error))) from None


# --- the weave ---------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Woven:
    """The ends in the heddle as a draft, what its shafts are called, and the sheds. `shorts`: words for one end in a row of many."""

    draft: Draft
    written: str
    shaft_words: tuple[str, ...]
    shorts: tuple[str, ...]
    sticks: tuple[tuple[str, str], ...]
    sheds: tuple[ShedWoven, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class _InPlaces:
    """The place of every end in the heddle, from the left edge or from the first; of a floating selvedge on either side."""

    told: InHeddle
    of_end: tuple[int | None, ...]
    floating: tuple[int | None, int | None]
    held: tuple[int, ...]
    notes: tuple[str, ...]


def _shafts(project: Project, part: ThreadingPart, sleyed: Threading, ends: int) -> tuple[_Woven, _InPlaces]:
    """On a loom with shafts, sleyed in a reed."""
    woven = _on_shafts(structure(project.cloth.structure), part, ends)
    with _told_at("sleying"):
        held = ends_in_places(_stretches(part, sleyed), ends)
    return woven, _placed(project, part, sleyed, held, "dent", lambda _: "dent", every=1)


def _on_shafts(asked: Structure, part: ThreadingPart, ends: int) -> _Woven:
    own = draft_of(asked, ends=ends, picks=asked.picks)
    with _told_at("threading"):
        threading = read_written(part.threading).filled(ends) if part.threading else _straight(own, part, ends)
    highest = max((shaft for end in threading for shaft in end), default=1)
    tie_up, treadling, typed = _typed_lifts(part)
    named = [shaft for rows in (tie_up, typed or ()) for row in rows for shaft in row]
    shafts = max([highest, part.shafts or 0, *named])
    if shafts > MOST_SHAFTS:
        raise ProblemsFound(Problem(("draft", "threading"), f"{shafts} shafts: a loom has 1 to {MOST_SHAFTS}"))
    if part.shafts and shafts > part.shafts:
        sentence = f"shaft {shafts} is named, and there are {part.shafts}; say how many the loom has"
        raise ProblemsFound(Problem(("draft", "shafts"), sentence))
    with _told_at("treadling" if part.treadling else "tie_up"):
        trodden = lifts_of(tie_up, treadling, shafts, rising=part.sheds == "rising") if tie_up else None
    lifts = typed or trodden or tuple(_as_kinds(row, own.shafts, shafts) for row in own.lifts)
    draft = Draft(shafts, threading, lifts, tie_up, treadling, part.sheds == "rising")
    words = tuple(_lift_words(draft, number) for number in range(len(lifts)))
    return _Woven(
        draft=draft,
        written=written_out(threading),
        shaft_words=tuple(f"shaft {number}" for number in range(1, shafts + 1)),
        shorts=tuple("+".join(map(str, sorted(end))) or "none" for end in threading),
        sticks=(),
        sheds=tuple(ShedWoven(*one) for one in zip(words, lifts, strict=True)),
        notes=tuple(_shaft_notes(draft, part)),
    )


def _straight(own: Draft, part: ThreadingPart, ends: int) -> tuple[Shafts, ...]:
    """The structure's own threading; straight on more shafts where the loom is to use a multiple of its kinds."""
    kinds = [next(iter(end)) for end in own.threading]
    straight = kinds == [n % own.shafts + 1 for n in range(ends)]
    if not part.shafts or part.shafts == own.shafts or not straight:
        return own.threading
    if part.shafts < own.shafts:
        raise WrittenError(f"the structure asks for {own.shafts} shafts, and the draft says {part.shafts}")
    if part.shafts % own.shafts:
        raise WrittenError(
            f"the structure lifts its ends in {own.shafts} ways, which {part.shafts} shafts do not divide evenly"
        )
    return read_written(f"straight on {part.shafts}").filled(ends)


def _typed_lifts(part: ThreadingPart) -> tuple[tuple[Shafts, ...], tuple[Shafts, ...], tuple[Shafts, ...] | None]:
    """Tie-up, treadles trodden pick by pick, and lifts, as far as they are typed."""
    tie_up = read_sets(part.tie_up) if part.tie_up else ()
    if part.treadling and not tie_up:
        raise ProblemsFound(
            Problem(("draft", "tie_up"), "treadles are trodden, and nothing is tied to them; write the tie-up")
        )
    with _told_at("treadling"):
        written = (
            read_written(part.treadling or "-".join(str(n) for n in range(1, len(tie_up) + 1))) if tie_up else None
        )
        treadling = written.filled(written.counted) if written else ()
    with _told_at("lifting"):
        typed = read_sets(part.lifting) if part.lifting else None
    return tie_up, treadling, typed


def _as_kinds(row: Shafts, kinds: int, shafts: int) -> Shafts:
    """A lift of the structure's kinds of end, on shafts that do what the kinds do over and over."""
    return frozenset(shaft for shaft in range(1, shafts + 1) if (shaft - 1) % kinds + 1 in row)


def _lift_words(draft: Draft, pick: int) -> str:
    raised = _numbered("shaft", draft.lifts[pick]) + " up" if draft.lifts[pick] else "no shaft up"
    if not draft.treadling:
        return raised
    return f"{_numbered('treadle', draft.treadling[pick])}: {raised}"


def _numbered(word: str, numbers: frozenset[int]) -> str:
    """A word with its numbers: shaft 1, shafts 1 and 3."""
    told = [str(number) for number in sorted(numbers)]
    return (
        f"{word}{'s' if len(told) > 1 else ''} {' and '.join(filter(None, (', '.join(told[:-1]), told[-1])))}"
        if told
        else f"no {word}"
    )


def _shaft_notes(draft: Draft, part: ThreadingPart) -> Iterator[str]:
    bare = [number for number in range(1, draft.shafts + 1) if not any(number in end for end in draft.threading)]
    if bare:
        yield f"No end is on {_numbered('shaft', frozenset(bare))}."
    if part.lifting and part.tie_up:
        yield "A lifting and a tie-up are both written; the lifting is taken."
    stays = _never_woven(draft)
    if stays and len(draft.lifts) > 1:
        yield f"{len(stays)} ends never weave in, the first of them end {stays[0]}: they stay up or down with every pick."
    if part.sticks:
        yield "Pick-up sticks are for a rigid heddle; those written are kept and not used."


def _never_woven(draft: Draft) -> list[int]:
    """Ends that stay up, or down, with every pick, counted from 1; none told where there are too many kinds to look at."""
    ends, lifts = set(draft.threading), set(draft.lifts)
    if len(ends) * len(lifts) > _MOST_CROSSINGS:
        return []
    still = {end for end in ends if len({bool(end & lift) for lift in lifts}) < 2}
    return [number for number, end in enumerate(draft.threading, 1) if end in still]


def _rigid(project: Project, part: ThreadingPart, sleyed: Threading, ends: int) -> tuple[_Woven, _InPlaces]:
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
    rigid = _as_typed(part, rigid or RigidThreading(heddles, (1, SLOT) if heddles == 1 else (1, SLOT, 2, SLOT), (), ()))
    with _told_at("sleying"):
        held = ends_in_places(_stretches(part, sleyed), ends)
    if heddles == 1:
        in_places = _placed(project, part, sleyed, held, "place", lambda n: _kind(rigid.cycle[n % 2]), every=2)
        places = rigid.places_of(held)
        return _on_rigid(rigid, places, _slots_of(rigid, held), tuple(notes), project), in_places
    places = tuple(rigid.cycle[n % len(rigid.cycle)] for n in range(ends))
    slots = count()
    slot_of = [0 if place else next(slots) for place in places]
    return _on_rigid(rigid, places, slot_of, tuple(notes), project), _in_two(project, part, sleyed, rigid, places)


def _as_typed(part: ThreadingPart, rigid: RigidThreading) -> RigidThreading:
    """The threading with what the draft says instead."""
    with _told_at("threading"):
        rigid = replace(rigid, cycle=read_cycle(part.threading, rigid.heddles)) if part.threading else rigid
    if part.sticks:
        rigid = replace(rigid, charged=sticks_in(part.sticks))
    with _told_at("lifting"):
        rigid = replace(rigid, lifting=read_sheds(part.lifting)) if part.lifting else rigid
        for words in rigid.lifting:
            rigid.shed(words)
    return rigid


def _pairs(rigid: RigidThreading, project: Project, places: Sequence[int]) -> str:
    """Of a warp wound direct, where the second end of each pair goes; empty where it is not in pairs of slot and hole."""
    direct = project.loom.warping == "direct" and rigid.heddles == 1 and not project.cloth.floating_selvedges
    if not direct or list(places) != [rigid.cycle[n % 2] for n in range(len(places))]:
        return ""
    first_left = project.draft is None or project.draft.first_end == "left"
    side = "left" if (rigid.cycle[0] != SLOT) == first_left else "right"
    return f"Wound direct, two ends hang in each slot: one of them goes into the hole to its {side}."


def _on_rigid(
    rigid: RigidThreading, places: Sequence[int], slot_of: Sequence[int], notes: tuple[str, ...], project: Project
) -> _Woven:
    part = project.draft or ThreadingPart()
    if part.tie_up or part.treadling:
        notes = (
            *notes,
            "A tie-up and treadles are for a loom with shafts; what is written of them is kept and not used.",
        )
    draft = rigid.draft(places, slot_of, len(rigid.lifting))
    words = rigid.shaft_words()
    if pairs := _pairs(rigid, project, places):
        notes = (*notes, pairs)
    return _Woven(
        draft=draft,
        written="-".join(
            _kind(place) if rigid.heddles == 1 else f"hole {place}" if place else "slot" for place in rigid.cycle
        ),
        shaft_words=words,
        shorts=tuple(_short(words[next(iter(end)) - 1]) for end in draft.threading),
        sticks=tuple((STICKS[n], charged_words(pattern)) for n, pattern in enumerate(rigid.charged)),
        sheds=tuple(ShedWoven(shed, rigid.shed(shed)) for shed in rigid.lifting),
        notes=notes,
    )


def _short(words: str) -> str:
    return words.replace("hole of heddle ", "hole ").replace(", on stick ", " ").replace(" and stick ", "")


def _kind(place: int) -> str:
    return "hole" if place else "slot"


def _slots_of(rigid: RigidThreading, held: Sequence[int]) -> list[int]:
    """The number of the filled slot of each end, from 0; ends in holes have that of the slot before them."""
    found, slot = [], -1
    for place, ends in enumerate(held):
        if ends and rigid.cycle[place % 2] == SLOT:
            slot += 1
        found += [max(slot, 0)] * ends
    return found


# --- the places --------------------------------------------------------------------------------------------------


def _stretches(part: ThreadingPart, sleyed: Threading) -> tuple[SleyedStretch, ...]:
    return read_sleying(part.sleying) if part.sleying else (SleyedStretch(sleyed.way.order),)


def _placed(
    project: Project,
    part: ThreadingPart,
    sleyed: Threading,
    held: tuple[int, ...],
    word: str,
    kind: Callable[[int], str],
    *,
    every: int,
) -> _InPlaces:
    """Ends in one place after the other, the whole in the middle of the heddle; `kind` names the place of a number from 0."""
    used, from_left = len(held), part.first_end == "left"
    places, notes = _places(project, part, sleyed)
    among = _among(part, kind(0), used, from_left) if every == 2 else 0
    standing = in_the_middle(places, used, every=every, among=among) if places else None
    notes += _too_wide(places, standing, used, word)
    told = _told(sleyed, part, word, places, standing, used, sum(held), kind(0))
    if sleyed.heddle.of == "numbered":
        return _InPlaces(told, (None,) * sum(held), (None, None), held, tuple(notes))
    outward = [2 if every == 2 and kind(edge) == "slot" else 1 for edge in (0, used - 1)]
    leftmost = standing.first if standing else 1 + (outward[0 if from_left else 1] if _floating(project) else 0)
    number = [leftmost + place if from_left else leftmost + used - 1 - place for place in range(used)]
    step = 1 if from_left else -1
    beside = (number[0] - step * outward[0], number[-1] + step * outward[1])
    if _floating(project) and places and not all(1 <= one <= places.count for one in beside):
        notes.append(
            f"There is no free {'slot' if every == 2 else word} beside the warp for a floating selvedge (selvage)."
        )
    of_end = tuple(number[place] for place, ends in enumerate(held) for _ in range(ends))
    return _InPlaces(told, of_end, beside, held, tuple(notes))


def _floating(project: Project) -> int:
    """Ends in no heddle: one at either edge, or none."""
    return 2 if project.cloth.floating_selvedges else 0


def _among(part: ThreadingPart, first_kind: str, used: int, from_left: bool) -> int:
    """Which places of two, counted from 0 at the left edge, the leftmost filled one may be."""
    own = 0 if first_kind == part.heddle_edge else 1
    return own if from_left else (own - (used - 1)) % 2


def _places(project: Project, part: ThreadingPart, sleyed: Threading) -> tuple[Places | None, list[str]]:
    wide = project.loom.weaving_width
    found = places_in(sleyed.heddle, wide.cm if wide else None, part.places)
    if sleyed.heddle.of == "numbered":
        return None, [
            "The number of this reed says how it is filled, so no dents are told; write its dents, as 12/in reed."
        ]
    if found is None:
        return None, ["Say how wide the loom weaves, or how many places the heddle has, and the first of them is told."]
    counted = sleyed.heddle.width_cm is None and part.places is None
    asked = [
        "The places of the heddle are reckoned from the weaving width: count them once, and write how many there are."
    ]
    return found, asked if counted else []


def _too_wide(places: Places | None, standing: Standing | None, used: int, word: str) -> list[str]:
    if places is None or standing is not None:
        return []
    return [f"The warp fills {used} {word}s, and the heddle has {places.count}: it does not fit."]


def _told(
    sleyed: Threading,
    part: ThreadingPart,
    word: str,
    places: Places | None,
    standing: Standing | None,
    used: int,
    ends: int,
    first_kind: str,
) -> InHeddle:
    sleying = "; ".join(
        f"{one.short} for {one.ends} ends" if one.ends else one.short for one in _stretches(part, sleyed)
    )
    numbered = sleyed.heddle.of == "numbered"
    width = standing.width_cm if standing else (ends if numbered else used) / sleyed.heddle.per_cm
    left, right = used // 2, used - used // 2
    middle: tuple[int, ...] = ()
    if places and standing:
        half = places.width_cm / 2
        nearest = min(abs(x - half) for x in places.middles_cm)
        middle = tuple(n for n, x in enumerate(places.middles_cm, 1) if abs(x - half) < nearest + 1e-6)
        filled = places.middles_cm[standing.first - 1 : standing.last]
        left, right = (sum(side * (x - half) > 1e-6 for x in filled) for side in (-1, 1))
    return InHeddle(
        heddle=sleyed.heddle.printed,
        sleying=sleying,
        word=word,
        places_cm=sleyed.heddle.per_cm,
        used=used,
        count=places.count if places else None,
        standing=standing,
        first_kind=first_kind,
        edge=part.heddle_edge if word == "place" else "",
        middle=middle,
        to_left=left,
        to_right=right,
        width_cm=width,
        sett_per_cm=_sett(sleyed, _stretches(part, sleyed)),
    )


def _sett(sleyed: Threading, stretches: tuple[SleyedStretch, ...]) -> float | None:
    """Ends per cm of a heddle of one sett, filled one way all across."""
    if len(stretches) > 1 or len(sleyed.heddle.sections) > 1:
        return None
    order = stretches[0].order
    return sleyed.heddle.per_cm * sum(order) / len(order)


def _in_two(
    project: Project, part: ThreadingPart, sleyed: Threading, rigid: RigidThreading, ends: Sequence[int]
) -> _InPlaces:
    """Two heddles: the places of the first of them, whose slots take all that is not in its holes."""
    if part.sleying or sleyed.way.order != (1,):
        raise ProblemsFound(
            Problem(("draft", "sleying"), "two heddles are filled by their threading; leave the sleying out")
        )
    own, hole = [], -1
    for place in ends:
        hole += place == 1
        own.append(2 * hole + (0 if place == 1 else 1))
    least = min(own)
    shifted = [place - least for place in own]
    used = shifted[-1] + 1
    held = tuple(shifted.count(place) for place in range(used))
    first = "hole" if ends[0] == 1 else "slot"
    single = replace(sleyed, way=replace(sleyed.way, heddles=1))
    found = _placed(
        project,
        part,
        single,
        held,
        "place",
        lambda n: first if n % 2 == 0 else "slot" if first == "hole" else "hole",
        every=2,
    )
    per_cm = single.heddle.per_cm * len(rigid.cycle) / (2 * rigid.cycle.count(1))
    notes = list(found.notes)
    if abs(per_cm / sleyed.per_cm - 1) > 0.02:
        notes.append(
            f"This threading puts {per_cm:.2f} ends in a centimetre, and the heddles are reckoned with {sleyed.per_cm:.2f}: "
            "the plan's width is for that."
        )
    notes.append("Places are those of heddle 1; heddle 2 stands half a step beside it.")
    return replace(found, told=replace(found.told, sleying=sleyed.way.short, sett_per_cm=per_cm), notes=tuple(notes))


# --- end by end --------------------------------------------------------------------------------------------------


def _threads(
    woven: _Woven, in_places: _InPlaces, yarn_of: Sequence[str | None], floating: int
) -> Iterator[EndThreaded]:
    if floating:
        yield EndThreaded(1, yarn_of[0], frozenset(), "floating selvedge", "floats", in_places.floating[0])
    for number, (end, short, place) in enumerate(
        zip(woven.draft.threading, woven.shorts, in_places.of_end, strict=True)
    ):
        at = number + floating // 2
        words = [woven.shaft_words[shaft - 1] for shaft in sorted(end)]
        on = _numbered("shaft", end) if len(end) != 1 else words[0]
        yield EndThreaded(at + 1, yarn_of[at], end, on, short, place)
    if floating:
        last = len(woven.draft.threading) + 1
        yield EndThreaded(last + 1, yarn_of[last], frozenset(), "floating selvedge", "floats", in_places.floating[1])


def _checks(answer: ThreadingPlan, in_places: _InPlaces) -> Iterator[CheckSum]:
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
