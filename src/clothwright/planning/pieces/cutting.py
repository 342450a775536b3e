"""In which order pieces are cut from one end of the cloth, so that nothing is cut through.

Outlines never overlap, so whoever cuts the piece that begins nearest the first end finds before it only pieces cut already
and waste: the scissors come in from the end and go round it. Where no piece reaches across, the cloth can be cut straight
from selvedge to selvedge first, and what lies before the cut is easier to handle.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from clothwright.planning.answer import PlacedOutline, Plan

#: Nearer than this, two ends along the cloth are one cut.
_ONE_CUT_CM: Final = 0.05


@dataclass(frozen=True)
class Cut:
    """One piece to cut, as the order goes; places in cm from the first end and the first selvedge of the cloth.

    `straight_across_cm`: where the cloth is cut from selvedge to selvedge before this piece; `turned`: end for end.
    """

    number: int
    piece: str
    copy: int
    mirrored: bool
    turned: bool
    along_cm: tuple[float, float]
    across_cm: tuple[float, float]
    straight_across_cm: float | None


def cutting_order(plan: Plan) -> tuple[Cut, ...]:
    """Every copy of a plan's layout in the order it is cut; none without a layout."""
    if plan.layout is None:
        return ()
    turned = {(one.piece, one.copy): bool(one.rotation_deg % 360) for one in plan.layout.placed}
    in_order = sorted(plan.outlines, key=lambda one: (_span(one, 0), _span(one, 1)))
    first, selvedge = plan.squaring_cm, plan.selvedge_trim_cm
    return tuple(
        Cut(
            number,
            one.piece,
            one.copy,
            one.mirrored,
            turned[one.piece, one.copy],
            _moved(_span(one, 0), first),
            _moved(_span(one, 1), selvedge),
            straight + first if straight is not None else None,
        )
        for number, (one, straight) in enumerate(_with_straight_cuts(in_order), 1)
    )


def _with_straight_cuts(in_order: list[PlacedOutline]) -> Iterator[tuple[PlacedOutline, float | None]]:
    """Each piece, with the straight cut behind its block where it is the first of one, and more lies behind that."""
    last = max((_span(one, 0)[1] for one in in_order), default=0.0)
    begun = 0.0
    for number, one in enumerate(in_order):
        start = _span(one, 0)[0]
        if number and start < begun - _ONE_CUT_CM:
            yield one, None
            continue
        begun = _end_of_block(in_order[number:])
        yield one, begun if begun < last - _ONE_CUT_CM else None


def _end_of_block(in_order: list[PlacedOutline]) -> float:
    """Where the first place behind these pieces is that none of them reaches across."""
    end = _span(in_order[0], 0)[1]
    for one in in_order[1:]:
        start, far = _span(one, 0)
        if start >= end - _ONE_CUT_CM:
            return end
        end = max(end, far)
    return end


def _span(one: PlacedOutline, axis: int) -> tuple[float, float]:
    values = [point[axis] for point in one.outline]
    return min(values), max(values)


def _moved(span: tuple[float, float], by: float) -> tuple[float, float]:
    return span[0] + by, span[1] + by
