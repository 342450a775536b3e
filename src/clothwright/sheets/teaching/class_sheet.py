"""The class on paper: a sheet for each student in her units, language and size of print, and the teacher's summary."""

from __future__ import annotations

import datetime
from typing import Any, Final

from clothwright import __version__
from clothwright.planning.teaching.class_needs import ClassNeeds, StudentNeeds
from clothwright.sheets.page import LARGE, sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.teaching import class_summary as summary
from clothwright.sheets.teaching.class_words import student_told
from clothwright.sheets.translating import Language, to_say
from clothwright.sheets.wording import literal, shortened

#: Letters of a student's sheet in ordinary print, points: one page holds it all.
ORDINARY_PT: Final = 9.2
HEADS: Final = {
    "worth_knowing": to_say("Worth knowing"),
    "working": to_say("How the figures come about"),
    "checks": to_say("Check yourself"),
    "to_fill": to_say("What came out"),
    "own": to_say("Your own yarn"),
    "cautions": to_say("Take care"),
    "words": to_say("Words"),
}
_MONTHS: Final = (
    to_say("January"), to_say("February"), to_say("March"), to_say("April"), to_say("May"), to_say("June"),
    to_say("July"), to_say("August"), to_say("September"), to_say("October"), to_say("November"), to_say("December"),
)  # fmt: skip


def class_sheet_pdf(
    needs: ClassNeeds, student: StudentNeeds, *, made_on: datetime.date, language: Language | None = None
) -> bytes:
    """One student's sheet as PDF, in her language unless another is asked for; her print is ordinary or large as she said."""
    spoken = language or Language(student.language)
    page = sheet_page(needs.piece, "", made_on, imperial=student.imperial, large_print=student.large_print)
    return typeset("class.typ", page | class_sheet_data(needs, student, spoken, made_on), {}, made_on)


def class_sheet_data(
    needs: ClassNeeds, student: StudentNeeds, says: Language, made_on: datetime.date
) -> dict[str, Any]:
    """Every word of a student's sheet, as the template places them."""
    told, name = student_told(student, says), shortened(literal(student.name), 60)
    piece = shortened(literal(needs.piece), 36)
    return {
        "language": says.code,
        "region": says.region,
        "size_pt": LARGE.size_pt if student.large_print else ORDINARY_PT,
        "subtitle": says(
            "Class sheet for {name}, {date}, Clothwright {version}",
            name=name,
            date=date_in(says, made_on),
            version=__version__,
        ),
        "foot": f"{piece}, {shortened(name, 30)} · {date_in(says, made_on)} · Clothwright {__version__}",
        **foot_in(says),
        "heads": {key: says(head) for key, head in HEADS.items()},
        "headline": list(told.headline),
        "worth_knowing": list(told.worth_knowing),
        "working": list(told.working),
        "checks": list(told.checks),
        "fill_head": [says("Measure"), says("Reckoned"), says("Yours")],
        "to_fill": [list(row) for row in told.to_fill],
        "own_head": [says("Measure"), says("Yours")],
        "own_yarn": [list(row) for row in told.own_yarn],
        "own_sum": list(told.own_yarn_sum),
        "cautions": list(told.cautions),
        "words": [list(row) for row in told.words],
    }


def foot_in(says: Language) -> dict[str, str]:
    """The words of the foot of a page: page n of m."""
    return {"page": says.of("foot of a page", "page"), "of_pages": says.of("foot of a page", "of")}


def date_in(says: Language, date: datetime.date) -> str:
    """A date as a sheet writes it: 25 November 2026, or 25. November 2026."""
    return says("{day} {month} {year}", day=date.day, month=says(_MONTHS[date.month - 1]), year=date.year)


def class_summary_pdf(needs: ClassNeeds, *, made_on: datetime.date, large_print: bool = False) -> bytes:
    """The teacher's summary as PDF: every student's figures, what to settle with whom, and the yarn to buy in all."""
    page = sheet_page(
        needs.name or needs.piece, "Teacher's summary", made_on, imperial=needs.imperial, large_print=large_print
    )
    data = {
        "heads": summary.HEADS,
        "intro": list(summary.intro(needs)),
        "head": list(summary.HEAD),
        "rows": [list(row) for row in summary.rows(needs)],
        "left_out": list(summary.left_out(needs)),
        "settle": [list(row) for row in summary.to_settle(needs)],
        "settle_head": ["Student", "What to settle"],
        "buy": list(summary.to_buy(needs)),
        "assumed": summary.assumed(needs),
        "private": summary.PRIVATE,
    }
    return typeset("class-summary.typ", page | data, {}, made_on)
