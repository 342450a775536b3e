"""The cloth on paper: a patch at true size, the whole in proportion, the pieces cut from it, and what looks alike."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from typing import Any

from clothwright.planning import Plan
from clothwright.planning.cloth.cloth_on_pieces import CutPiece, meetings
from clothwright.planning.cloth.cloth_picture import ClothPicture
from clothwright.sheets.cloth import cloth_words as words
from clothwright.sheets.cloth.cloth_views import ON_PAPER, paper_address, patch_view, real_cloth, size_mm, usable
from clothwright.sheets.page import pictures_across, sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.pictures.lay import cloth_svg, layout_svg
from clothwright.sheets.pictures.patch import patch_svg
from clothwright.sheets.wording import LENGTH


def cloth_sheet_pdf(
    picture: ClothPicture,
    plan: Plan,
    pieces: Sequence[CutPiece] = (),
    *,
    imperial: bool = False,
    made_on: datetime.date,
    large_print: bool = False,
) -> bytes:
    """The sheet as PDF, dated `made_on`; `pieces` are the copies of the plan's layout in their places."""
    wide = pictures_across(imperial=imperial, large_print=large_print)
    page = sheet_page("The cloth", "Sheet", made_on, imperial=imperial, large_print=large_print, of=picture.name)
    said = words.alt(picture, imperial=imperial)
    view = patch_view(picture, ON_PAPER)
    address = paper_address(picture)
    cloth = real_cloth(picture, address)
    pictures = {
        "patch": patch_svg(address(view), size_mm(view), said),
        "whole": cloth_svg(picture.name, cloth, said, imperial=imperial, across=wide.units),
    }
    if plan.layout is not None:
        pictures["layout"] = layout_svg(plan, imperial=imperial, across=wide.units, real=usable(cloth, picture))
    data = (
        sheet_data(picture, pieces, imperial=imperial)
        | wide.data
        | {
            "patch": dict(zip(("width_mm", "height_mm"), size_mm(view), strict=True))
            | {"says": _patch_says(size_mm(view), picture)},
            "alts": dict.fromkeys(("patch", "whole"), said) | {"layout": f"The pieces in place on the cloth. {said}"},
        }
    )
    return typeset("cloth.typ", page | data, pictures, made_on)


def _patch_says(view_mm: tuple[float, float], picture: ClothPicture) -> str:
    wide, high = (f"{one:.1f}" for one in view_mm)
    inches = (LENGTH.short(one / 10, imperial=True) for one in view_mm)
    return f"{wide} mm wide and {high} mm high ({' by '.join(inches)}). {words.lies_as_woven(picture)}"


def sheet_data(picture: ClothPicture, pieces: Sequence[CutPiece], *, imperial: bool) -> dict[str, Any]:
    """Every word and figure of the sheet."""
    return {
        "intro": [words.summary(picture, imperial=imperial), words.THREADS_NOTE],
        "stripes": words.stripes_in_words(picture, imperial=imperial),
        "key_head": list(words.KEY_HEAD),
        "key": [list(row) for row in words.key_rows(picture)],
        "alike": words.contrast_sentences(picture.contrasts, picture.stand_ins)
        or ["No two yarns of known colour meet."],
        "sight_note": words.SIGHT_NOTE,
        "meetings": words.meeting_sentences(meetings(tuple(pieces), picture)),
        "lies": words.lies_on_the_table(picture),
        "notes": list(picture.notes),
    }
