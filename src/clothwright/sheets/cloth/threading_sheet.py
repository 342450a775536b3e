"""The sheet of the threading: where the warp stands, every end ten by ten to tick off, sums, and the same in words; or a blank form.

Ordinary and large print; nothing on it needs the picture to be understood.
"""

from __future__ import annotations

import datetime
from typing import Any, Final

from clothwright.planning.cloth.threading_answer import ThreadingPlan
from clothwright.project import Project
from clothwright.sheets.cloth import threading_words as words
from clothwright.sheets.code import Opens, code_data
from clothwright.sheets.page import pictures_across, sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.pictures.threading import threading_svg
from clothwright.sheets.wording import counted

_BLANK_ENDS: Final = 200
CAUTIONS: Final = [
    "Sit so that your eyes and hands are level with the heddle, in good light; stop every half hour or so, move, and stop if it hurts. "
    "Where pain stays, see a professional.",
    "Fasten the warp before you let go of it; keep hooks and fingers clear of ratchets when you let tension go, and do not lever a beam.",
]
_HOW: Final = "Tick each ten when it is threaded and sleyed: the last tick says where you are after an interruption."
_TIME_HEAD: Final = ["Day", "Ends", "Minutes"]
_TO_WRITE: Final = [
    ["Project", ""],
    ["Heddle or reed, as printed on it", ""],
    ["How it is sleyed, ends in one dent after the other", ""],
    ["Ends in all; of them floating selvedges (selvages)", ""],
    ["Slots and holes, or dents, in the heddle, counted", ""],
    ["Filled: ends ÷ ends in a dent", ""],
    ["First: half of what is left over, plus one", ""],
    ["Threading, one repeat", ""],
    ["Tie-up, treadles or sheds", ""],
    ["Sticks: which slots are picked up", ""],
    ["Width: filled ÷ places per cm (in)", ""],
    ["Width measured in the heddle", ""],
]


def threading_pdf(
    answer: ThreadingPlan | None,
    project: Project | None,
    *,
    imperial: bool = False,
    made_on: datetime.date,
    large_print: bool = False,
    opens: Opens | None = None,
) -> bytes:
    """The threading ten ends by ten, drawn and in words; None: to fill in."""
    if answer is None or project is None:
        return _blank(imperial=imperial, made_on=made_on, large_print=large_print, opens=opens)
    wide = pictures_across(imperial=imperial, large_print=large_print)
    page = sheet_page("Threading", "Sheet", made_on, imperial=imperial, large_print=large_print, of=project.name)
    picture = {} if large_print else {"threading": threading_svg(answer, across=wide.units)}
    data = (
        threading_data(answer, imperial=imperial)
        | wide.data
        | {
            "alts": {"threading": f"The threading, end by end. {words.threading_sentence(answer)}"},
        }
    )
    return typeset("threading.typ", page | code_data(opens) | data, picture, made_on)


def threading_data(answer: ThreadingPlan, *, imperial: bool = False) -> dict[str, Any]:
    """Every word and figure of the sheet."""
    told = words.groups(answer)
    half = _half(answer.ends)
    return {
        "intro": [words.heddle_sentence(answer, imperial=imperial), words.threading_sentence(answer)],
        "stands": list(words.standing_sentences(answer, imperial=imperial)),
        "cautions": CAUTIONS,
        "to_write_head": [],
        "to_write": [],
        "sticks": words.stick_sentences(answer),
        "picks": words.shed_sentences(answer),
        "how": _HOW,
        "groups": [
            {
                "ends": group.ends,
                "on": group.on,
                "places": group.places,
                "yarns": ", ".join(group.yarns),
                "half": group.last == half,
            }
            for group in told
        ],
        "half_says": f"Count now, in heddle and reed: {half} ends?",
        "end_says": f"Count twice: {counted(answer.ends, 'end')}?",
        "sums": words.every_sum(answer, imperial=imperial),
        "notes": list(answer.notes),
        "words": words.in_words(answer),
        "time_head": _TIME_HEAD,
        "time_rows": [["", "", ""], ["", "", ""]],
        "time": words.time_sentence(answer),
    }


def _half(ends: int) -> int:
    """The end of the group of ten nearest to half of the ends."""
    return max(words.TEN, round(ends / 2 / words.TEN) * words.TEN)


def _blank(*, imperial: bool, made_on: datetime.date, large_print: bool, opens: Opens | None) -> bytes:
    """The sheet to fill in: what the threading goes by, and boxes for two hundred ends."""
    page = sheet_page("Threading", "Blank sheet", made_on, imperial=imperial, large_print=large_print)
    tens = range(1, _BLANK_ENDS + 1, words.TEN)
    data = {
        "intro": [
            "Ends, heddle and sleying first, then ten ends by ten.",
            "Write one repeat of the threading, and tick each ten.",
        ],
        "stands": [
            "The left edge and the middle are those you see as you sit at the loom. Mark the middle of the heddle."
        ],
        "cautions": CAUTIONS,
        "to_write_head": ["Say", "Write"],
        "to_write": _TO_WRITE,
        "sticks": [],
        "picks": [],
        "how": _HOW,
        "groups": [
            {"ends": f"{first} to {first + words.TEN - 1}", "on": "", "places": "", "yarns": "", "half": False}
            for first in tens
        ],
        "half_says": "",
        "end_says": "Count twice, and write how many:",
        "sums": [
            "Ends on each shaft, or in holes and slots, added up = all ends.",
            "Ends ÷ ends per cm (in) = the width in the heddle.",
        ],
        "notes": [],
        "words": "",
        "time_head": _TIME_HEAD,
        "time_rows": [["", "", ""], ["", "", ""]],
        "time": "",
    }
    return typeset("threading.typ", page | code_data(opens) | data, {}, made_on)
