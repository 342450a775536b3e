"""The colours of a warp on paper: the order to tick off, what each ball gives, and how the warp is wound."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from itertools import groupby
from typing import Any, Final

from clothwright.colours import HandRun
from clothwright.planning import ColourPlan
from clothwright.project import Project
from clothwright.sheets.colours.colour_words import BALLS_HEAD, ball_rows, balls_sum, check_sum, in_words, turn_word
from clothwright.sheets.page import pictures_across, sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.pictures.warp_order import warp_order_svg
from clothwright.sheets.wording import LENGTH, Rounding, literal, shortened

_LONGEST_YARN: Final = 30
_TEN: Final = 10


def colour_order_pdf(
    answer: ColourPlan, project: Project, *, imperial: bool = False, made_on: datetime.date, large_print: bool = False
) -> bytes:
    """The order in groups of ten ends to tick off, in words, with counts at half and at the end."""
    wide = pictures_across(imperial=imperial, large_print=large_print)
    runs = [(run.yarn, run.ends) for run in answer.order]
    picture = warp_order_svg(
        runs,
        answer.colours,
        ends_per_cm=answer.warp.ends_per_cm,
        imperial=imperial,
        across=wide.units,
    )
    data = (
        order_data(answer, imperial=imperial)
        | wide.data
        | {
            "alts": {"warp": f"The warp from selvedge to selvedge: {in_words(_hand_runs(answer))}"},
        }
    )
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


def _pairs(answer: ColourPlan) -> list[tuple[str, int]]:
    return [(run.yarn, run.ends) for run in answer.order]


def _hand_runs(answer: ColourPlan) -> list[HandRun]:
    return [HandRun(run.yarn, run.ends) for run in answer.order]


def _name(yarn: str) -> str:
    return shortened(literal(yarn), _LONGEST_YARN)


def _page(title: str, project: Project, made_on: datetime.date, *, imperial: bool, large_print: bool) -> dict[str, Any]:
    return sheet_page(title, "Sheet", made_on, imperial=imperial, large_print=large_print, of=project.name)
