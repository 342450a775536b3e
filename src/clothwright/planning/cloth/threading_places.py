"""The place of every end in the heddle: the dents, holes and slots it fills, in the middle of what there is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from clothwright.cloth import (
    Places,
    RigidThreading,
    SleyedStretch,
    Standing,
    Threading,
    in_the_middle,
    places_in,
    read_sleying,
)
from clothwright.planning.cloth.threading_answer import InHeddle
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.parts.threading_parts import ThreadingPart


@dataclass(frozen=True)
class InPlaces:
    """The place of every end in the heddle, from the left edge or from the first; of a floating selvedge on either side."""

    told: InHeddle
    of_end: tuple[int | None, ...]
    floating: tuple[int | None, int | None]
    held: tuple[int, ...]
    notes: tuple[str, ...]


def stretches_of(part: ThreadingPart, sleyed: Threading) -> tuple[SleyedStretch, ...]:
    """How the heddle is filled from edge to edge: as the draft says, else one way all across."""
    return read_sleying(part.sleying) if part.sleying else (SleyedStretch(sleyed.way.order),)


def placed(
    project: Project,
    part: ThreadingPart,
    sleyed: Threading,
    held: tuple[int, ...],
    word: str,
    kind: Callable[[int], str],
    *,
    every: int,
) -> InPlaces:
    """Ends in one place after the other, the whole in the middle of the heddle; `kind` names the place of a number from 0."""
    used, from_left = len(held), part.first_end == "left"
    places, notes = _places(project, part, sleyed)
    among = _among(part, kind(0), used, from_left) if every == 2 else 0
    standing = in_the_middle(places, used, every=every, among=among) if places else None
    notes += _too_wide(places, standing, used, word)
    told = _told(sleyed, part, word, places, standing, used, sum(held), kind(0))
    if sleyed.heddle.of == "numbered":
        return InPlaces(told, (None,) * sum(held), (None, None), held, tuple(notes))
    outward = [2 if every == 2 and kind(edge) == "slot" else 1 for edge in (0, used - 1)]
    leftmost = standing.first if standing else 1 + (outward[0 if from_left else 1] if floating_in(project) else 0)
    number = [leftmost + place if from_left else leftmost + used - 1 - place for place in range(used)]
    step = 1 if from_left else -1
    beside = (number[0] - step * outward[0], number[-1] + step * outward[1])
    if floating_in(project) and places and not all(1 <= one <= places.count for one in beside):
        notes.append(
            f"There is no free {'slot' if every == 2 else word} beside the warp for a floating selvedge (selvage)."
        )
    of_end = tuple(number[place] for place, ends in enumerate(held) for _ in range(ends))
    return InPlaces(told, of_end, beside, held, tuple(notes))


def floating_in(project: Project) -> int:
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
        f"{one.short} for {one.ends} ends" if one.ends else one.short for one in stretches_of(part, sleyed)
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
        sett_per_cm=_sett(sleyed, stretches_of(part, sleyed)),
    )


def _sett(sleyed: Threading, stretches: tuple[SleyedStretch, ...]) -> float | None:
    """Ends per cm of a heddle of one sett, filled one way all across."""
    if len(stretches) > 1 or len(sleyed.heddle.sections) > 1:
        return None
    order = stretches[0].order
    return sleyed.heddle.per_cm * sum(order) / len(order)


def placed_in_two(
    project: Project, part: ThreadingPart, sleyed: Threading, rigid: RigidThreading, ends: Sequence[int]
) -> InPlaces:
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
    found = placed(
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
