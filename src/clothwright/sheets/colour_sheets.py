"""The colours of a warp on paper: the order to tick off, what each ball gives, and how the warp is wound."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import Any, Final

from clothwright.colours import HandRun
from clothwright.planning import ColourPlan
from clothwright.planning.warping import Loop, loops, on_winder, outer_end_cm
from clothwright.project import Project
from clothwright.project.domain import winders
from clothwright.sheets.colour_words import BALLS_HEAD, ball_rows, balls_sum, check_sum, in_words, turn_word
from clothwright.sheets.page import A4, LARGE, ORDINARY, US_LETTER, sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.pictures.drawing import EDGE
from clothwright.sheets.pictures.warp_order import warp_order_svg
from clothwright.sheets.wording import LENGTH, Rounding, counted, literal, percent, shortened

_LONGEST_NAME: Final = 40
_LONGEST_YARN: Final = 30
_TEN: Final = 10
_AFTER: Final = {
    "go on": "go on with it",
    "change, carry": "change at the rod: carry it along",
    "change, cut": "change at the rod: cut and tie",
    "end": "the last: cut and tie",
}
_DIRECT: Final = [
    "Tie the first yarn to the back rod. Draw a loop through the slot and lay it over the peg: that is one pair of ends. "
    "Go round the rod to the next slot.",
    "When all loops are in, take one end of every pair out of its slot and through the hole beside it.",
    "Cut and tie: to the rod. Carry along: past the slots between, since this yarn comes again within about 2.5 cm (1 in).",
    "A loop is of one colour, so that every change falls at the rod, and none at the peg. A change at the peg would give a loop two "
    "colours: cut it there and tie the other on.",
]
_BOARD: Final = [
    "Lay out a thread that does not stretch, as long as the warp, to find the way round the pegs; then wind beside it.",
    "Keep the cross: every end over and under, turn about, and tie it in four places before anything is taken off.",
    "Colours change at either end peg: cut the yarn, tie the next one to it there.",
]
_CAUTIONS: Final = {
    "direct": [
        "A long direct warp across a room is a trip line; mark it, and keep others and animals out.",
        "Fasten the peg and the loom so that neither can tip or slide under the pull of the whole warp.",
    ],
    "board": ["Tie the cross and the ends before lifting the warp off; a loose warp cannot be sorted again."],
    "always": [
        "Wind with even tension, not tight; count at half and at the end, twice.",
        "Stand or sit as suits you, change hands, and stop if it hurts.",
    ],
}


def colour_order_pdf(
    answer: ColourPlan, project: Project, *, imperial: bool = False, made_on: datetime.date, large_print: bool = False
) -> bytes:
    """The order in groups of ten ends to tick off, in words, with counts at half and at the end."""
    across_mm = (US_LETTER if imperial else A4).across_mm
    unit_mm = (LARGE if large_print else ORDINARY).unit_mm
    runs = [(run.yarn, run.ends) for run in answer.order]
    picture = warp_order_svg(
        runs,
        answer.colours,
        ends_per_cm=answer.warp.ends_per_cm,
        imperial=imperial,
        across=across_mm / unit_mm + 2 * EDGE,
    )
    data = order_data(answer, imperial=imperial) | {
        "across_mm": across_mm + 2 * EDGE * unit_mm,
        "edge_mm": EDGE * unit_mm,
        "alts": {"warp": f"The warp from selvedge to selvedge: {in_words(_hand_runs(answer))}"},
    }
    page = _page("Colour order", project, made_on, imperial=imperial, large_print=large_print)
    return typeset("colour-order.typ", page | data, {"warp": picture}, made_on)


def order_data(answer: ColourPlan, *, imperial: bool = False) -> dict[str, Any]:
    """Every word and figure of the sheet of the order."""
    half = _half(answer)
    groups = tens([(run.yarn, run.ends) for run in answer.order])
    return {
        "intro": [
            check_sum(answer.warp, imperial=imperial),
            f"Each end is {LENGTH.text(answer.warp.warp_cm, imperial=imperial, rounding=Rounding.UP)} long. Tick each as it is "
            "wound: the last tick says where you are after an interruption.",
        ],
        "groups": [{"ends": ends, "runs": runs, "half": last == half} for ends, runs, last in groups],
        "half_says": f"Count now: {half} ends?",
        "end_says": f"Count twice: {answer.warp.ends} ends? {check_sum(answer.warp, imperial=imperial)}",
        "words": in_words(_hand_runs(answer)),
        "rules": list(answer.rules),
        "notes": list(answer.notes),
    }


def _half(answer: ColourPlan) -> int:
    """The end of the group of ten nearest to half of the ends."""
    return max(_TEN, round(answer.warp.ends / 2 / _TEN) * _TEN)


def tens(runs: Sequence[tuple[str, int]]) -> list[tuple[str, list[str], int]]:
    """The ends ten by ten: from and to, what is wound in words, and the last end. A run goes on over a ten as “more”."""
    found: list[tuple[str, list[str], int]] = []
    ends = [(number, yarn) for number, (yarn, many) in enumerate(runs) for _ in range(many)]
    for start in range(0, len(ends), _TEN):
        group = ends[start : start + _TEN]
        said = [
            f"{len(list(same))} {'more ' if start and number == ends[start - 1][0] else ''}{_name(yarn)}"
            for (number, yarn), same in groupby(group)
        ]
        found.append((f"{start + 1} to {start + len(group)}", said, start + len(group)))
    return found


def balls_pdf(
    answer: ColourPlan, project: Project, *, imperial: bool = False, made_on: datetime.date, large_print: bool = False
) -> bytes:
    """What each ball gives, what is used and left, and a box to weigh it after."""
    page = _page("Balls of the warp", project, made_on, imperial=imperial, large_print=large_print)
    unit = "oz" if imperial else "g"
    data = {
        "intro": [
            f"A ball gives whole {turn_word(answer)} only, without a knot, of a warp "
            f"{LENGTH.text(answer.warp.warp_cm, imperial=imperial)} long.",
            balls_sum(answer, imperial=imperial),
        ],
        "head": [*BALLS_HEAD[:-1], f"Weighed before, {unit}", f"after, {unit}"],
        "rows": [[*row[:-1], "", ""] for row in ball_rows(answer, imperial=imperial)],
        "notes": list(answer.notes),
    }
    return typeset("balls.typ", page | data, {}, made_on)


def warping_pdf(
    answer: ColourPlan, project: Project, *, imperial: bool = False, made_on: datetime.date, large_print: bool = False
) -> bytes:
    """How the warp is wound: slot by slot to the peg, or by turns of a board or mill, with its cautions."""
    page = _page("Warping", project, made_on, imperial=imperial, large_print=large_print)
    return typeset("warping.typ", page | warping_data(answer, project, imperial=imperial), {}, made_on)


def warping_data(answer: ColourPlan, project: Project, *, imperial: bool = False) -> dict[str, Any]:
    """Every word and figure of the sheet of warping."""
    direct = loops(answer)
    way = "direct" if direct else "board"
    return {
        "intro": _set_up(answer, bool(direct), imperial),
        "steps": _DIRECT if direct else _BOARD,
        "slots_head": ["Slots", "Yarn", "Loops", "So far", "At the rod, after the last of them"],
        "slots": _slots(direct),
        "board_head": ["Board or mill", "One turn", "Turns", "and"],
        "board": [] if direct else _boards(answer, project, imperial),
        "order": [] if direct else [f"{ends}: {', '.join(said)}" for ends, said, _ in tens(_pairs(answer))],
        "notes": list(answer.notes),
        "cautions": [*_CAUTIONS[way], *_CAUTIONS["always"]],
    }


def _set_up(answer: ColourPlan, direct: bool, imperial: bool) -> list[str]:
    warp = answer.warp
    long = LENGTH.text(warp.warp_cm, imperial=imperial, rounding=Rounding.UP)
    if not direct:
        return [f"{counted(warp.ends, 'end')}, each {long} long.", check_sum(warp, imperial=imperial)]
    said = [f"{counted(warp.ends // 2, 'loop')}, {counted(warp.ends, 'end')}. From the back rod to the peg: {long}."]
    said.append(check_sum(warp, imperial=imperial))
    if width := warp.width_in_heddle_cm:
        more = outer_end_cm(warp.warp_cm, width) - warp.warp_cm
        half = LENGTH.text(width / 2, imperial=imperial)
        said.append(
            f"Set the peg opposite the middle: {half} of ends on either side. With one peg the outer ends are "
            f"{LENGTH.text(more, imperial=imperial)} longer ({percent(more / warp.warp_cm)}) than the middle ones; "
            "more pegs side by side, or a peg farther off, make it less."
        )
    return said


def _slots(direct: Iterable[Loop]) -> list[list[str]]:
    """The loops, those of one ball side by side in one row."""
    found = []
    for (yarn, _ball), group in groupby(direct, key=lambda loop: (loop.yarn, loop.ball)):
        same = list(group)
        first, last = same[0].slot, same[-1].slot
        slots = str(first) if first == last else f"{first} to {last}"
        found.append([slots, _name(yarn), str(len(same)), f"{2 * last} ends", _AFTER[same[-1].after]])
    return found


def _boards(answer: ColourPlan, project: Project, imperial: bool) -> list[list[str]]:
    """The warp on each board or mill that is known, and a row to fill in."""
    found = []
    for winder in winders(project):
        one = on_winder(answer.warp.warp_cm, winder)
        turn, rest = (LENGTH.text(cm, imperial=imperial) for cm in (one.turn_cm, one.rest_cm))
        found.append([literal(one.name), turn, str(one.whole), f"{rest} more" if one.rest_cm >= 0.1 else "no more"])
    return [*found, ["", "", "", ""]]


def _pairs(answer: ColourPlan) -> list[tuple[str, int]]:
    return [(run.yarn, run.ends) for run in answer.order]


def _hand_runs(answer: ColourPlan) -> list[HandRun]:
    return [HandRun(run.yarn, run.ends) for run in answer.order]


def _name(yarn: str) -> str:
    return shortened(literal(yarn), _LONGEST_YARN)


def _page(title: str, project: Project, made_on: datetime.date, *, imperial: bool, large_print: bool) -> dict[str, Any]:
    more = f", for {shortened(literal(project.name), _LONGEST_NAME)}"
    return sheet_page(title, "Sheet", made_on, imperial=imperial, large_print=large_print, more=more)
