"""The layouts of a leaflet: for each garment and width the one known, or found now, each kept as soon as it is there.

A layout for one width serves every wider one, and one from elsewhere is judged before it is used.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from itertools import groupby
from math import ceil
from typing import Final

from clothwright.layout import NO_EFFORT, Effort, Layout, Placed, faults
from clothwright.layout.on_executor import asked_of
from clothwright.layout.searchers import Asked
from clothwright.planning.job import Garment
from clothwright.planning.pieces.fitting import LayoutSearch
from clothwright.planning.pieces.selvedges import off_selvedge, selvedge_edges
from clothwright.planning.teaching.leaflet_searching import lay, length_alone
from clothwright.planning.teaching.leaflet_working import (
    NOT_YET,
    PATIENT_S,
    Answer,
    Working,
    answers_of,
    counter,
    digest,
)

#: Raised when a layout, or a figure, would come out otherwise than before for the same question.
LAID_VERSION: Final = 1


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


def laid_out(asked: Sequence[ToLay], working: Working) -> list[Laid]:
    """A layout for each, in their order: known before, or found now; each one that is alike is laid once."""
    places = _keys_of_layouts(asked, working)
    every = dict(zip(places, asked, strict=True))
    each = _each(working, len(every))
    known = {key: laid for key, one in every.items() if (laid := _known(one, key, each, working)) is not None}
    done = counter(working, len(every), len(known))
    missing = {key: one for key, one in every.items() if key not in known}
    if working.at_most is not None and len(missing) > working.at_most:
        known |= dict.fromkeys(missing, Laid(None, refused=NOT_YET))
        missing = {}
    for key, laid in _laid_now(missing, each, working):
        known[key] = laid
        done(1)
    found = [_with_also(one, known[key], working.also) for key, one in zip(places, asked, strict=True)]
    return _narrower_serves(asked, found)


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
    late = PATIENT_S + 10 * seconds
    work = [Asked(lay, (one.garment, one.width_cm, each, working.seed), seconds=late) for one in asked.values()]
    for number, answer in answers_of(work, working):
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


def _with_also(one: ToLay, laid: Laid, also: LayoutSearch | None) -> Laid:
    """The layout, or one known from elsewhere that is shorter."""
    if also is None or laid.layout is None:
        return laid
    steps = also(one.garment.copies, (one.usable_cm,), length_alone, one.garment.asked.rules)
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
