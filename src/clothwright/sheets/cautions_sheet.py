"""The sheet of cautions: where the work can hurt, step by step, gathered from the sheets that carry them and from a table."""

from __future__ import annotations

import datetime
import tomllib
from functools import cache
from importlib import resources
from typing import Any, Final

from clothwright.sheets.cloth import threading_sheet
from clothwright.sheets.colours import warping_sheet
from clothwright.sheets.page import sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.sampling import sample_card

TITLE: Final = "Cautions"
_INTRO: Final = [
    "Short, and where the work can hurt. Nothing here is legal or medical advice.",
    "Rules differ by country: before you sell, and for children’s clothes, ask the local authority or a professional. Pain that stays, and a cough that "
    "stays, are for a doctor.",
]


def cautions_pdf(*, imperial: bool = False, made_on: datetime.date, large_print: bool = False) -> bytes:
    """The sheet as PDF; it is the same for every project."""
    page = sheet_page(TITLE, "Sheet to hang up", made_on, imperial=imperial, large_print=large_print)
    data: dict[str, Any] = {
        "intro": _INTRO,
        "steps": [[step, list(lines)] for step, lines in by_step().items()],
    }
    return typeset("cautions.typ", page | data, {}, made_on)


def by_step() -> dict[str, tuple[str, ...]]:
    """The cautions of every step, in the order of the work."""
    table = _table()
    warping = warping_sheet.CAUTIONS
    shared = {
        "Sampling and fulling in hot water": tuple(sample_card.CAUTIONS),
        "Warping": (*warping["direct"], *warping["board"], *warping["always"]),
        "Threading": tuple(threading_sheet.CAUTIONS),
    }
    first = ("Yarn and fibre (fiber)", "Dyeing", "Sampling and fulling in hot water", "Winding", "Warping", "Threading")
    rest = (step for step in table if step not in first)
    return {step: shared[step] if step in shared else table[step] for step in (*first, *rest)}


@cache
def _table() -> dict[str, tuple[str, ...]]:
    text = resources.files(__package__).joinpath("cautions_by_step.toml").read_text(encoding="utf-8")
    found: dict[str, tuple[str, ...]] = {}
    for row in tomllib.loads(text)["caution"]:
        found[row["step"]] = (*found.get(row["step"], ()), row["text"])
    return found
