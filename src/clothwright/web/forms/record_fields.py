"""The fields of the record's own page, stage by stage: those of the project's page, and what comes with the garment."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from clothwright.web.forms.field import CM, GRAMS, Field, Group, Kind, Part, Rows, Section
from clothwright.web.forms.fields import SECTIONS

_RECORD: Final = next(one for one in SECTIONS if one.key == "record")


def _asked() -> dict[str, Part]:
    """The fields and rows of the record on the project's page, by their paths."""
    parts: dict[str, Part] = {}
    waiting: list[Part] = list(_RECORD.parts)
    while waiting:
        one = waiting.pop()
        if isinstance(one, Group):
            waiting += one.parts
        else:
            parts[one.path] = one
    return parts


_ASKED: Final = _asked()


#: Labels that lose their group's title here.
_LABELS: Final = {
    "record.width.on_loom": "Width at the fell ↔",
    "record.width.in_heddle": "Width in the heddle ↔",
    "record.width.off_loom": "Width off the loom ↔",
    "record.width.finished.start": "Width at the start ↔",
    "record.width.finished.middle": "Width in the middle ↔",
    "record.width.finished.end": "Width at the end ↔",
    "record.length.on_loom": "Woven ↕",
    "record.length.off_loom": "Length off the loom ↕",
    "record.length.finished": "Finished length ↕",
}


def _same(*paths: str) -> tuple[Part, ...]:
    parts = (_ASKED[f"record.{path}"] for path in paths)
    return tuple(
        replace(one, label=_LABELS.get(one.path, one.label)) if isinstance(one, Field) else one for one in parts
    )


_REMNANTS: Final = Rows(
    "record.remnant",
    "remnant",
    "Write down a remnant",
    (
        Field("record.remnant.*.name", "Remnant", help="what you call it"),
        Field("record.remnant.*.width", "width ↔", unit=CM),
        Field("record.remnant.*.length", "length ↕", unit=CM),
        Field("record.remnant.*.weight", "weight", unit=GRAMS),
    ),
    small=True,
    again="Write down another",
    help="cloth that was left over; one that is no rectangle can be measured from a photo below",
)

STAGES: Final = (
    Section(
        "stage-yarn",
        "Yarn",
        "What is left, weighed without cores; used is what there was less that.",
        _same("left", "weft_used.weight", "weft_used.length"),
    ),
    Section(
        "stage-warp",
        "Warp",
        "What was really put on.",
        _same("ends", "warp_wound", "waste", "heddle", "on_warp_sample"),
    ),
    Section(
        "stage-loom",
        "On the loom",
        "Under tension, from the first pick of the cloth.",
        _same("length.on_loom", "width.on_loom", "width.in_heddle", "picks.count", "picks.over", "picks.where"),
    ),
    Section("stage-off-loom", "Off the loom", "Rested, not washed yet.", _same("width.off_loom", "length.off_loom")),
    Section(
        "stage-finished",
        "Finished",
        "Washed, dry and pressed; the width at up to three places, of which the least can be used.",
        _same(
            "width.finished.start", "width.finished.middle", "width.finished.end", "length.finished", "finish", "date"
        ),
    ),
    Section(
        "stage-garment",
        "Garment",
        "What came of it.",
        (
            Field("record.garment.fit", "How it fits", help="as meant; sleeves 2 cm short …", wide=True),
            Field("record.garment.weight", "Weight of the garment", unit=GRAMS),
            Field("record.garment.minutes", "Minutes of cutting and sewing", Kind.COUNT),
            _REMNANTS,
            *_same("notes", "pattern_state", "set_aside"),
        ),
        holds=("record",),
    ),
)
