"""The sheet of warping: slot by slot to the peg, or by turns of a board or mill in chains, with tension, sums and cautions."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import Any, Final

from clothwright.measure import plainly
from clothwright.planning import ColourPlan
from clothwright.planning.colours.warping import Loop, chains, distance_for_cm, loops, on_winder, outer_end_cm
from clothwright.project import Project
from clothwright.project.domain import winders
from clothwright.sheets.colours.colour_sheets import tens
from clothwright.sheets.colours.colour_words import check_sum
from clothwright.sheets.page import sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.wording import LENGTH, YARN, Rounding, counted, literal, percent, shortened

_LONGEST_YARN: Final = 30
#: Outer ends longer than this share of the distance are felt as slack. Common practice, no source.
_FELT: Final = 0.005
_MOST_PEGS_TOLD: Final = 3

_AFTER: Final = {
    "go on": "go on with it, from another ball",
    "change, carry": "carry it along; go on with {}",
    "change, cut": "cut and tie it; go on with {}",
    "end": "the last: cut and tie",
}
_DIRECT: Final = [
    "Tie the first yarn to the back rod. Draw a loop through the slot and lay it over the peg: that is one pair of ends. "
    "Go round the rod to the next slot.",
    "At the peg both ends of a loop are one colour; at the rod two colours meet. Where the yarn changes, that is at the rod, after the "
    "slot the list names.",
    "Go over the rod for one loop and under it for the next, so that the pull on it is even and the loops stay in order.",
    "When all loops are in, take one end of every pair out of its slot and through the hole beside it.",
    "Cut and tie: to the rod. Carry along: past the slots between, since this yarn comes again within about 2.5 cm (1 in).",
]
_ODD: Final = [
    "A loop is two ends, so one end alone of a colour cannot be laid. Three ways: give that colour two; or cut the loop at the peg and tie "
    "the next colour on there, its knot in the waste; or lay the loop and take one of its ends out again.",
    "An odd number of ends in all: the last loop has one end too many. Cut it at the peg and take it out, or let it be: it makes the "
    "warp one end wider.",
]
_BOARD: Final = [
    "Measure a turn first: wind ten turns of a thread that does not stretch, take it off, lay it out straight, measure, and divide by ten. "
    "What it is called does not count.",
    "Lay out a thread that does not stretch, as long as the warp, to find the way round the pegs; then wind beside it, not on top.",
    "Keep the cross: every end over one of its pegs and under the other, and the other way on the way back.",
    "Lay a counting thread across after every ten ends, beside the cross.",
    "Colours change at either end peg: cut the yarn, tie the next one to it there. No knot lies in the warp itself.",
    "Tie the cross in four places, both ends, and tightly round all ends every metre (yard), before anything is taken off.",
    "Take it off from the end away from the cross, in a chain: hand through the loop, draw the warp through, and again; keep it taut.",
]
_TENSION: Final = [
    "One person winds: hands change how tight yarn lies. Stop at the end of a colour, not in the middle.",
    "The same pull all the time, only so much that the ends lie straight; a springy yarn pulled tight is too short afterwards.",
    "Beam under a steady pull, with firm paper or sticks between the turns, edges of the paper beyond the warp on both sides.",
    "An end that hangs slack is evened out at the front rod, never by pulling the others tighter.",
]
CAUTIONS: Final = {
    "direct": [
        "A long direct warp across a room is a trip line; mark it, and keep others and animals out.",
        "Fasten the peg and the loom so that neither can tip or slide under the pull of the whole warp.",
    ],
    "board": ["Tie the cross and the ends before lifting the warp off; a loose warp cannot be sorted again."],
    "always": [
        "Beaming: fingers off ratchets and pawls when tension is let go, and no levering a beam tighter than the loom is made for.",
        "Wind with even tension, not tight; count at half and at the end, twice.",
        "Stand or sit as suits you, change hands, rest every half hour or so, and stop if it hurts; where pain stays, see a professional.",
    ],
}


def warping_pdf(
    answer: ColourPlan, project: Project, *, imperial: bool = False, made_on: datetime.date, large_print: bool = False
) -> bytes:
    """How the warp is wound: slot by slot to the peg, or by turns of a board or mill, with its cautions."""
    page = sheet_page("Warping", "Sheet", made_on, imperial=imperial, large_print=large_print, of=project.name)
    return typeset("warping.typ", page | warping_data(answer, project, imperial=imperial), {}, made_on)


def warping_data(answer: ColourPlan, project: Project, *, imperial: bool = False) -> dict[str, Any]:
    """Every word and figure of the sheet of warping."""
    direct = loops(answer)
    way = "direct" if direct else "board"
    return {
        "intro": _set_up(answer, project, bool(direct), imperial),
        "steps": _DIRECT if direct else _BOARD,
        "odd": _ODD if direct else [],
        "tension": [*_TENSION, *(_pegs(answer, project, imperial) if direct else ())],
        "slots_head": ["Slots", "Yarn at the peg, both ends", "Loops", "So far", "At the rod, after the last of them"],
        "slots": _slots(direct),
        "board_head": ["Board or mill", "One turn", "Turns", "and"],
        "board": [] if direct else _boards(answer, project, imperial),
        "board_says": [] if direct else list(_unmeasured(project)),
        "chains_head": ["Chain", "Ends", "How many", "Counted"],
        "chains": [] if direct else _chains(answer),
        "order": [] if direct else [f"{ends}: {', '.join(said)}" for ends, said, _ in tens(_runs(answer))],
        "sums": list(_sums(answer, bool(direct), imperial)),
        "notes": list(answer.notes),
        "cautions": [*CAUTIONS[way], *CAUTIONS["always"]],
    }


def _set_up(answer: ColourPlan, project: Project, direct: bool, imperial: bool) -> list[str]:
    warp = answer.warp
    long = LENGTH.text(warp.warp_cm, imperial=imperial, rounding=Rounding.UP)
    if not direct:
        return [f"{counted(warp.ends, 'end')}, each {long} long.", check_sum(warp, imperial=imperial)]
    said = [
        f"{counted(warp.ends // 2, 'loop')}, {counted(warp.ends, 'end')}. From the back rod to the last peg: {long}."
    ]
    said.append(check_sum(warp, imperial=imperial))
    if width := warp.width_in_heddle_cm:
        pegs, distance = project.warping.pegs, _distance_cm(answer, project)
        more = outer_end_cm(distance, width, pegs) - distance
        half = LENGTH.text(width / 2, imperial=imperial)
        pegs_told = "one peg" if pegs == 1 else f"{pegs} pegs, each with its share of the slots in front of it,"
        said.append(
            f"Set the {'peg' if pegs == 1 else 'pegs'} opposite the middle: {half} of ends on either side. With {pegs_told} "
            f"{LENGTH.text(distance, imperial=imperial)} away the outer ends are {LENGTH.text(more, imperial=imperial)} longer "
            f"({percent(more / distance)} of that) than the middle ones."
        )
    return said


def _distance_cm(answer: ColourPlan, project: Project) -> float:
    """From the back rod to the first peg: as typed, else the whole warp."""
    typed = project.warping.peg_distance
    return min(typed.cm, answer.warp.warp_cm) if typed else answer.warp.warp_cm


def _pegs(answer: ColourPlan, project: Project, imperial: bool) -> Iterator[str]:
    """What more pegs, or a peg farther off, would make of the outer ends."""
    width = answer.warp.width_in_heddle_cm
    if not width:
        return
    distance = _distance_cm(answer, project)
    told = ", ".join(
        f"{counted(pegs, 'peg')} {LENGTH.text(outer_end_cm(distance, width, pegs) - distance, imperial=imperial)}"
        for pegs in range(1, _MOST_PEGS_TOLD + 1)
    )
    far = LENGTH.text(distance_for_cm(_FELT, width), imperial=imperial, rounding=Rounding.UP)
    yield f"Outer ends longer than the middle ones, by pegs side by side: {told}. With one peg it is below {percent(_FELT)} from {far} on."
    if distance < answer.warp.warp_cm:
        yield "Beyond the first peg all ends go the same way round, so that it is the way to the first that makes the outer ones longer."
    if answer.warp.ends_per_cm:
        yield "What the outer ends are longer gathers in front as the warp is beamed: comb it forward and tie it off there, and do not beam harder for it."


def _slots(direct: Iterable[Loop]) -> list[list[str]]:
    """The loops, those of one ball side by side in one row: the yarn of both ends at the peg, and the two that meet at the rod."""
    rows = [list(group) for _, group in groupby(direct, key=lambda loop: (loop.yarn, loop.ball))]
    after = [_name(row[0].yarn) for row in rows[1:]]
    return [_slot_row(row, after[number] if number < len(after) else "") for number, row in enumerate(rows)]


def _slot_row(same: list[Loop], then: str) -> list[str]:
    first, last = same[0].slot, same[-1].slot
    slots = str(first) if first == last else f"{first} to {last}"
    return [slots, _name(same[0].yarn), str(len(same)), f"{2 * last} ends", _AFTER[same[-1].after].format(then)]


def _boards(answer: ColourPlan, project: Project, imperial: bool) -> list[list[str]]:
    """The warp on each board or mill that is known, and a row to fill in."""
    found = []
    for winder in winders(project):
        one = on_winder(answer.warp.warp_cm, winder)
        turn, rest = (LENGTH.text(cm, imperial=imperial) for cm in (one.turn_cm, one.rest_cm))
        found.append([literal(one.name), turn, str(one.whole), f"{rest} more" if one.rest_cm >= 0.1 else "no more"])
    return [*found, ["", "", "", ""]]


def _unmeasured(project: Project) -> Iterator[str]:
    """The true turn of each board or mill against what it is called, or that nobody has measured it."""
    for winder in winders(project):
        more = "" if winder.measured else " That is what it is called: nobody has measured it yet."
        yield f"{literal(winder.told)}{more}"


def _chains(answer: ColourPlan) -> list[list[str]]:
    return [
        [str(number), f"{one.first} to {one.last}", counted(one.ends, "end"), ""]
        for number, one in enumerate(chains(answer.warp.ends), 1)
    ]


def _sums(answer: ColourPlan, direct: bool, imperial: bool) -> Iterator[str]:
    """Ends by yarn, width and yarn needed, each to be added up again."""
    by_yarn: dict[str, int] = {}
    for run in answer.order:
        by_yarn[run.yarn] = by_yarn.get(run.yarn, 0) + run.ends
    told = " + ".join(f"{ends} {literal(yarn)}" for yarn, ends in by_yarn.items())
    yield f"Ends by yarn: {told} = {sum(by_yarn.values())}."
    if direct:
        loops_told = " + ".join(f"{ends // 2} {literal(yarn)}" for yarn, ends in by_yarn.items())
        yield f"Loops by yarn: {loops_told} = {answer.warp.ends // 2}; twice that is {answer.warp.ends} ends."
    yield check_sum(answer.warp, imperial=imperial)
    metres = answer.warp.ends * answer.warp.warp_cm / 100
    long = plainly(answer.warp.warp_cm / 100, 4)
    yield f"Yarn: {answer.warp.ends} ends × {long} m = {YARN.text(metres, imperial=imperial, rounding=Rounding.UP)}, knots besides."
    yield "Count twice, at half and at the end: once by ticks, once at the loom, ten by ten."


def _runs(answer: ColourPlan) -> list[tuple[str, int]]:
    return [(run.yarn, run.ends) for run in answer.order]


def _name(yarn: str) -> str:
    return shortened(literal(yarn), _LONGEST_YARN)
