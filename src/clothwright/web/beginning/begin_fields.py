"""The few fields asked for on the page to begin on: the same fields as elsewhere, at the same places of the project."""

from __future__ import annotations

from typing import Final

from clothwright.pattern.drafting import Asks, garments, measures
from clothwright.project.beginning.few_answers import CLOTH, DRAWING
from clothwright.web.forms.draft_fields import measure_field, option_field
from clothwright.web.forms.field import CM, HEDDLE, Field, Kind, Section
from clothwright.web.forms.form import FieldTable

_LOOM: Final = Section(
    "loom",
    "Your loom",
    "",
    (
        Field("loom.weaving_width", "How wide it weaves ↔", unit=CM, help="left out: wide enough"),
        Field(
            "loom.heddles",
            "Your heddles",
            Kind.SEVERAL,
            american="or reeds",
            unit=HEDDLE,
            help="as printed on them, with a semicolon between: 30/10 cm; 7.5/in. Left out: one that suits the yarn is taken",
        ),
    ),
    holds=("loom",),
)
_CLOTH: Final = Section(
    "size",
    "The finished cloth",
    "",
    (
        Field("want.width", "Width ↔ from selvedge to selvedge", unit=CM, american="selvage"),
        Field("want.length", "Length ↕ along the warp", unit=CM),
    ),
    holds=("want",),
)


def making_choices() -> tuple[tuple[str, str], ...]:
    """What can be made, as it is kept and as it is shown."""
    made = ((name, asks.title) for name, asks in garments().items())
    return (
        ("", "choose one"),
        (CLOTH, "A cloth of a size: wrap, stole, blanket, towel"),
        *made,
        (DRAWING, "A garment from a pattern file"),
    )


def begin_table(asks: Asks | None) -> FieldTable:
    """The fields: of the loom, of the cloth, and the measures that a garment needs."""
    return FieldTable((_LOOM, *((_measures(asks),) if asks else ()), _CLOTH))


def _measures(asks: Asks) -> Section:
    """The measures that are always or mostly needed, and the choices without which it cannot be drafted."""
    body = tuple(measure_field(one) for one in measures().values() if one.name in asks.ever_needed)
    needed = tuple(option_field(one) for one in asks.options if one.needed)
    intro = "Over light clothing, the tape level and not pulled tight." if body else ""
    return Section("measures", asks.title, intro, (*body, *needed), holds=("pattern",))
