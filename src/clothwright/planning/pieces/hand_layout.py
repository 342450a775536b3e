"""A layout under a hand: copies put where a person says, judged at once, with the cloth and the yarn that takes.

Places are as in the project: from the first end and the first selvedge of the finished cloth.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from clothwright.layout import HALF_TURN, Copy, Layout, Placed, Review, measured, outline_in_place, review
from clothwright.pattern import Ring
from clothwright.planning.answer import Plan
from clothwright.planning.job import Garment
from clothwright.planning.pieces.selvedges import off_selvedge


@dataclass(frozen=True)
class HandPlace:
    """Where a copy lies, cm from the first end and the first selvedge, and whether it is locked there."""

    piece: str
    number: int
    along_cm: float
    across_cm: float
    turned: bool = False
    locked: bool = False


@dataclass(frozen=True)
class Bench:
    """The pieces of a garment on cloth of a usable width, ready to be laid by hand.

    `planned_cm`: the length of the plan's layout; `yarn_m_per_cm`: what a centimetre of finished cloth takes.
    """

    garment: Garment
    planned_cm: float
    yarn_m_per_cm: float
    seen: Review
    locked: frozenset[tuple[str, int]]

    @property
    def layout(self) -> Layout:
        """The layout as it lies."""
        return self.seen.layout

    @property
    def cloth_cm(self) -> tuple[float, float]:
        """Finished width and length of the cloth, trims and squaring with it."""
        layout, garment = self.layout, self.garment
        return layout.width_cm + 2 * garment.trim_cm, layout.length_cm + 2 * garment.squaring_cm

    @property
    def more_yarn_m(self) -> float:
        """Metres of yarn more than the plan's layout takes; less where below zero."""
        return (self.layout.length_cm - self.planned_cm) * self.yarn_m_per_cm

    @property
    def wrong(self) -> tuple[str, ...]:
        """Everything wrong with the layout, as the judge says it."""
        off = (f"{name} lies off its selvedge" for name in off_selvedge(self.garment, self.layout))
        return (*self.seen.faults, *off)

    @property
    def places(self) -> tuple[HandPlace, ...]:
        """Where every copy lies, in the order of the garment."""
        lying = {(one.piece, one.copy): one for one in self.layout.placed}
        return tuple(self._place(lying[copy.piece, copy.number]) for copy in self.garment.copies)

    def may_turn(self, piece: str) -> bool:
        """Whether copies of a piece may be turned end for end."""
        rules = self.garment.asked.rules
        return any(HALF_TURN in rules.turns_deg(copy) for copy in self.garment.copies if copy.piece == piece)

    def outlines(self) -> Iterator[tuple[Copy, Ring]]:
        """Every copy with its outline on the whole cloth, cm from the first end and selvedge."""
        lying = {(one.piece, one.copy): one for one in self.layout.placed}
        for copy in self.garment.copies:
            one = lying[copy.piece, copy.number]
            moved = replace(one, x_cm=one.x_cm + self.garment.squaring_cm, y_cm=one.y_cm + self.garment.trim_cm)
            yield copy, outline_in_place(copy, moved)

    def with_places(self, places: Iterable[HandPlace]) -> Bench:
        """The bench with copies put somewhere else; only those that moved are looked at again."""
        seen, locked = self.seen, set(self.locked)
        for place in places:
            locked = locked | {(place.piece, place.number)} if place.locked else locked - {(place.piece, place.number)}
            placed = self._placed(place)
            if placed not in seen.layout.placed:
                seen = seen.moved(placed)
        return replace(self, seen=seen, locked=frozenset(locked))

    def swapped(self, one: tuple[str, int], other: tuple[str, int]) -> Bench:
        """The bench with two copies at one another's corner."""
        places = {(place.piece, place.number): place for place in self.places}
        a, b = places[one], places[other]
        return self.with_places(
            (
                replace(a, along_cm=b.along_cm, across_cm=b.across_cm),
                replace(b, along_cm=a.along_cm, across_cm=a.across_cm),
            )
        )

    def _placed(self, place: HandPlace) -> Placed:
        copy = next(c for c in self.garment.copies if (c.piece, c.number) == (place.piece, place.number))
        x, y = place.along_cm - self.garment.squaring_cm, place.across_cm - self.garment.trim_cm
        turn = HALF_TURN if place.turned else 0.0
        return Placed(place.piece, place.number, x, y, turn, copy.mirrored)

    def _place(self, one: Placed) -> HandPlace:
        x, y = one.x_cm + self.garment.squaring_cm, one.y_cm + self.garment.trim_cm
        turned, locked = one.rotation_deg % 360 == HALF_TURN, (one.piece, one.copy) in self.locked
        return HandPlace(one.piece, one.copy, x, y, turned, locked)


def bench_of(garment: Garment, plan: Plan) -> Bench:
    """The layout of a plan, laid out for a hand; ValueError where the plan has none."""
    if plan.layout is None:
        raise ValueError("a plan without pieces has no layout")
    layout = measured(garment.copies, plan.layout.width_cm, plan.layout.placed)
    rules = garment.asked.rules
    seen = review(garment.copies, layout, replace(rules, locked=()))
    locked = frozenset((one.piece, one.copy) for one in rules.locked)
    return Bench(garment, layout.length_cm, _yarn_m_per_cm(plan), seen, locked)


def _yarn_m_per_cm(plan: Plan) -> float:
    """Weft and warp of the cloth, loom waste and on-warp sample left out, over its finished length."""
    warp = plan.warp
    woven_cm = warp.length_cm - warp.waste_cm.expected - warp.on_warp_sample_cm
    return (warp.ends * woven_cm / 100 + plan.weft.yarn_m.expected) / plan.cloth.asked_length_cm
