"""The kept words on paper, British and American, or with those of another language first."""

from __future__ import annotations

import datetime

from clothwright import __version__
from clothwright.sheets.glossary import glossary
from clothwright.sheets.page import LARGE, sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.teaching.class_sheet import ORDINARY_PT, date_in, foot_in
from clothwright.sheets.translating import ENGLISH, Language


def words_sheet_pdf(
    language: Language = ENGLISH, *, imperial: bool = False, made_on: datetime.date, large_print: bool = False
) -> bytes:
    """Every word with its line as PDF; in another language it says that no weaver of that language has read it."""
    says = language
    title, date = says("Words of the trade"), date_in(language, made_on)
    page = sheet_page(title, "", made_on, imperial=imperial, large_print=large_print)
    data = {
        "language": language.code,
        "region": language.region,
        "size_pt": LARGE.size_pt if large_print else ORDINARY_PT,
        "subtitle": f"{date}, Clothwright {__version__}",
        "foot": f"{title} · {date} · Clothwright {__version__}",
        **foot_in(says),
        "intro": [
            says("British words first, the American beside them."),
            *([] if language == ENGLISH else [says("No native weaver has read these words yet.")]),
        ],
        "also": says("also"),
        "two": says("Two meanings."),
        "words": [
            {"said": one.said(language), "also": list(one.also), "meaning": one.explained(language), "trap": one.trap}
            for one in sorted(glossary(), key=lambda one: one.said(language).casefold())
        ],
    }
    return typeset("words.typ", page | data, {}, made_on)
