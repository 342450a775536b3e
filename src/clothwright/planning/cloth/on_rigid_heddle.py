"""The threading on a rigid heddle, or on two one behind the other: holes and slots by turns, pick-up sticks, and its sheds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from clothwright.cloth import SLOT, STICKS, RigidThreading, charged_words, read_cycle, read_sheds
from clothwright.planning.cloth.threading_answer import ShedWoven
from clothwright.planning.cloth.threading_woven import Woven, told_at
from clothwright.project import Project
from clothwright.project.parts.threading_parts import ThreadingPart, sticks_in


def as_typed(part: ThreadingPart, rigid: RigidThreading) -> RigidThreading:
    """The threading with what the draft says instead."""
    with told_at("threading"):
        rigid = replace(rigid, cycle=read_cycle(part.threading, rigid.heddles)) if part.threading else rigid
    if part.sticks:
        rigid = replace(rigid, charged=sticks_in(part.sticks))
    with told_at("lifting"):
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


def woven_on_rigid(
    rigid: RigidThreading, places: Sequence[int], slot_of: Sequence[int], notes: tuple[str, ...], project: Project
) -> Woven:
    """The ends in their places, each on the shaft of all that move alike, with the sheds as they are picked up."""
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
    return Woven(
        draft=draft,
        written="-".join(
            kind_of_place(place) if rigid.heddles == 1 else f"hole {place}" if place else "slot"
            for place in rigid.cycle
        ),
        shaft_words=words,
        shorts=tuple(_short(words[next(iter(end)) - 1]) for end in draft.threading),
        sticks=tuple((STICKS[n], charged_words(pattern)) for n, pattern in enumerate(rigid.charged)),
        sheds=tuple(ShedWoven(shed, rigid.shed(shed)) for shed in rigid.lifting),
        notes=notes,
    )


def _short(words: str) -> str:
    return words.replace("hole of heddle ", "hole ").replace(", on stick ", " ").replace(" and stick ", "")


def kind_of_place(place: int) -> str:
    """What a place of the cycle is called: hole, or slot (0)."""
    return "hole" if place else "slot"


def slots_of(rigid: RigidThreading, held: Sequence[int]) -> list[int]:
    """The number of the filled slot of each end, from 0; ends in holes have that of the slot before them."""
    found, slot = [], -1
    for place, ends in enumerate(held):
        if ends and rigid.cycle[place % 2] == SLOT:
            slot += 1
        found += [max(slot, 0)] * ends
    return found
