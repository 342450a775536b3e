"""The cutting sheet: what to check before the first cut, the layout at scale, and every piece in the order it is cut."""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any, Final

from clothwright.layout import Flaw
from clothwright.measure import Interval
from clothwright.planning import Cut, Plan, cutting_order
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.sheets.page import (
    LARGE,
    LONGEST_NAME,
    LONGEST_TITLE,
    ORDINARY,
    pictures_across,
    sheet_page,
)
from clothwright.sheets.paper import typeset
from clothwright.sheets.plan_sheet import cautions, layout_lines, scaled_layout
from clothwright.sheets.wording import LENGTH, counted, literal, shortened

TITLE: Final = "Cutting sheet"
_HEADS: Final = {
    "before": "Before the first cut",
    "layout": "The layout",
    "order": "In this order, from the first end",
    "cautions": "Take care",
}
#: Common practice, no source.
_BEFORE: Final = (
    "Wash, dry and press the cloth first, as the sample was; square its first end along a pick.",
    "One layer, the right side of the cloth facing you, as every picture here shows it: cut wrong side up, a left is a right. Mark a place before you move the cloth: the whole layout first, then the count.",
    "Grain: every piece lies along the warp. Measure from the grain line of each to one selvedge, at both its ends.",
)


def cutting_sheet_pdf(
    plan: Plan, project: Project, *, imperial: bool = False, made_on: datetime.date, large_print: bool = False
) -> bytes:
    """The sheet as PDF; ProblemsFound where the plan has no pieces to cut."""
    return cutting_sheet_with(plan, project, imperial=imperial, made_on=made_on, large_print=large_print)


def cutting_sheet_with(
    plan: Plan,
    project: Project,
    *,
    imperial: bool,
    made_on: datetime.date,
    large_print: bool,
    flaws: Sequence[Flaw] = (),
    told: Sequence[str] = (),
) -> bytes:
    """The same with the `flaws` of the whole cloth crossed, and what is `told` said first."""
    if plan.layout is None:
        raise ProblemsFound(
            Problem(("pattern",), "there is nothing to cut: give a pattern with pieces for a cutting sheet")
        )
    size = LARGE if large_print else ORDINARY
    wide = pictures_across(imperial=imperial, large_print=large_print)
    scale, layout = scaled_layout(_numbered(plan), size, imperial=imperial, across=wide.units, flaws=flaws)
    page = sheet_page(TITLE, "Cutting sheet", made_on, imperial=imperial, large_print=large_print, of=plan.name)
    data = page | wide.data | cutting_data(plan, project, scale, imperial=imperial, told=told)
    return typeset("cutting.typ", data, {"layout": layout}, made_on)


def _numbered(plan: Plan) -> Plan:
    """The plan with its pieces in the order of cutting, so that the picture counts them as the list does."""
    place = {(one.piece, one.copy): one.number for one in cutting_order(plan)}
    return replace(plan, outlines=tuple(sorted(plan.outlines, key=lambda one: place[one.piece, one.copy])))


def cutting_data(
    plan: Plan, project: Project, scale: int, *, imperial: bool = False, told: Sequence[str] = ()
) -> dict[str, Any]:
    """Every word of the sheet, as the template places them."""
    order = cutting_order(plan)
    return {
        "heads": _HEADS,
        "size": f"{counted(len(order), 'piece')} to cut from {_size(plan, imperial)}.",
        "before": [*told, *_BEFORE, *_left_or_right(order, project), *_stitching(project), *_not_so(plan)],
        "count_head": ["Piece", "Cut in all", "As drawn", "Mirror image", "Counted"],
        "count": _count(order, _left_is(project)),
        "layout_says": layout_lines(plan, scale, imperial),
        "alts": {"layout": f"The layout of {shortened(literal(plan.name), LONGEST_TITLE)}, to scale"},
        "order_head": [
            "Piece",
            "Along, from the first end",
            "Across, from the first selvedge (selvage)",
            "Note",
            "Cut",
        ],
        "order": [_row(one, order, _left_is(project), imperial) for one in order],
        "cautions": cautions(plan),
    }


def _size(plan: Plan, imperial: bool) -> str:
    length, width = (
        LENGTH.text(cm, imperial=imperial) for cm in (plan.cloth.asked_length_cm, plan.cloth.asked_width_cm)
    )
    return f"{length} of finished cloth, {width} wide"


def _stitching(project: Project) -> Iterator[str]:
    """Stitching before cutting. Common practice for handwoven cloth, no source."""
    gap = project.layout.gap
    where = f"in the {gap} left between pieces, beside each line" if gap and gap.cm > 0 else "just inside each line"
    yield f"Stitch before you cut: handwoven cloth frays at once. Two rows round every piece, {where}; cut outside them."


def _not_so(plan: Plan) -> Iterator[str]:
    """What was asked of the layout and is not so."""
    yield from (note for note in plan.notes if note.startswith(("Not kept in the layout", "The kept layout")))


def _left_is(project: Project) -> str | None:
    """Which of a pair is the left one as worn: "as drawn", "mirror image", or not said."""
    return project.pattern.left_is if project.pattern else None


def _left_or_right(order: tuple[Cut, ...], project: Project) -> Iterator[str]:
    """The question which of a pair is left, where pairs are cut and it is not said."""
    pairs = ", ".join(sorted({literal(one.piece) for one in order if one.mirrored}))
    if pairs and _left_is(project) is None:
        yield (
            f"Left or right? Whether {shortened(pairs, 2 * LONGEST_NAME)} as drawn is the left or the right one is not said. Say so with "
            "the garment (left_is), or look at the drawing and chalk L or R on each piece before it is cut."
        )


def _side(mirrored: bool, left_is: str | None) -> str:
    """Left or right as worn, of one of a pair; empty where it is not said."""
    if left_is is None:
        return ""
    return "left" if mirrored == (left_is == "mirror image") else "right"


def _count(order: tuple[Cut, ...], left_is: str | None) -> list[list[str]]:
    total = Counter(one.piece for one in order)
    mirrored = Counter(one.piece for one in order if one.mirrored)
    return [
        [
            shortened(literal(name), LONGEST_NAME),
            str(total[name]),
            _so_many(total[name] - mirrored[name], _side(False, left_is) if mirrored[name] else ""),
            _so_many(mirrored[name], _side(True, left_is) if mirrored[name] else ""),
            "□",
        ]
        for name in sorted(total)
    ]


def _so_many(count: int, side: str) -> str:
    return f"{count} {side}" if side else str(count)


def _row(one: Cut, order: tuple[Cut, ...], left_is: str | None, imperial: bool) -> list[str]:
    copies = sum(each.piece == one.piece for each in order)
    paired = any(each.mirrored for each in order if each.piece == one.piece)
    name = shortened(literal(one.piece), LONGEST_NAME)
    along, across = (
        LENGTH.range(Interval(low, (low + high) / 2, high), imperial=imperial)
        for low, high in (one.along_cm, one.across_cm)
    )
    return [
        f"{one.number}. {name}{f' {one.copy}' if copies > 1 else ''}",
        along,
        across,
        "; ".join(_notes(one, _side(one.mirrored, left_is) if paired else "", imperial)),
        "□",
    ]


def _notes(one: Cut, side: str, imperial: bool) -> Iterator[str]:
    if side:
        yield side
    if one.straight_across_cm is not None:
        yield f"first cut straight across at {LENGTH.text(one.straight_across_cm, imperial=imperial)}"
    if one.mirrored:
        yield "mirror image"
    if one.turned:
        yield "end for end"
