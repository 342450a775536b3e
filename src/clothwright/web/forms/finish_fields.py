"""The fields of the page off the loom: what was measured, how the cloth was finished, the cloth to cut, the checks made."""

from __future__ import annotations

from typing import Final

from clothwright.finishing import check_keys, step_titles
from clothwright.project.parts.finishing_parts import STATES_OFF
from clothwright.web.forms.field import CM, GRAMS, MM, Field, Group, Kind, Rows, Section, Unit, same_words

DEGREES: Final = Unit("°C", "°F")
_WHEN: Final = "as 2026-03-14 16:30; may be left out"

_MEASURED: Final = Section(
    "measured",
    "Measured off the loom",
    "Flat and slack, the width at three places. As often as you like: at once, rested, and finished.",
    (
        Rows(
            "off_loom",
            "measuring",
            "Measure the cloth",
            (
                Field("off_loom.*.state", "It is", Kind.CHOICE, choices=same_words(*STATES_OFF)),
                Field("off_loom.*.width.start", "Width at the start ↔", unit=CM),
                Field("off_loom.*.width.middle", "in the middle ↔", unit=CM),
                Field("off_loom.*.width.end", "at the end ↔", unit=CM),
                Field("off_loom.*.length", "Length ↕", unit=CM),
                Field("off_loom.*.weight", "Weight", unit=GRAMS),
                Field("off_loom.*.rested", "Rested how long before"),
                Field("off_loom.*.when", "When", help=_WHEN),
                Field("off_loom.*.note", "Note", wide=True),
            ),
            again="Measure it again",
        ),
    ),
    holds=("off_loom",),
)

_FINISHING: Final = Section(
    "finishing",
    "How it was finished",
    "The recipe beside this goes by your sample. Write down what was really done.",
    (
        Field("finishing.finish", "Finished as", help="left empty, as planned", wide=True),
        Rows(
            "finishing.done",
            "step done",
            "Write down a step",
            (
                Field("finishing.done.*.step", "Step", Kind.CHOICE, choices=tuple(step_titles().items())),
                Field("finishing.done.*.minutes", "Minutes", Kind.COUNT),
                Field("finishing.done.*.water", "Water", unit=DEGREES),
                Field("finishing.done.*.how", "How, by what"),
                Field("finishing.done.*.seen", "Seen when stopped", wide=True),
                Field("finishing.done.*.when", "When", help=_WHEN),
            ),
            again="Write down another step",
        ),
    ),
    holds=("finishing",),
)

_CLOTH: Final = Section(
    "real-cloth",
    "The cloth to cut",
    "Flaws as found on the finished cloth, right side up, its first end to your left; across from the selvedge nearest you.",
    (
        Rows(
            "real_cloth.flaw",
            "flaw",
            "Mark a flaw",
            (
                Field("real_cloth.flaw.*.what", "What"),
                Field("real_cloth.flaw.*.at", "Begins, from the first end ↕", unit=CM),
                Field("real_cloth.flaw.*.length", "Length ↕", unit=CM),
                Field("real_cloth.flaw.*.from_selvedge", "From the near selvedge ↔", american="selvage", unit=CM),
                Field("real_cloth.flaw.*.width", "Width ↔", unit=CM, help="both left out: all across"),
            ),
            again="Mark another flaw",
        ),
        Group(
            "How it is cut",
            (
                Field("real_cloth.selvedge_trim", "Trimmed at each selvedge ↔", american="selvage", unit=CM),
                Field("real_cloth.squaring", "Lost at each end ↕", unit=CM, help="left empty, as planned"),
                Field(
                    "real_cloth.lay_by",
                    "Laid by",
                    Kind.CHOICE,
                    choices=same_words("the least width", "the width along it"),
                ),
                Field("real_cloth.sides_less", "Wide pieces narrower, each side ↔", unit=MM),
                Field("real_cloth.allowances_less", "All allowances narrower", unit=MM),
                Field("real_cloth.let_be", "Flaws of the log let be", Kind.SEVERAL, only_where_given=True, wide=True),
            ),
            folded=True,
        ),
    ),
    holds=("real_cloth", "pattern", "layout"),
)

_CHECKED: Final = Section(
    "checked",
    "Checks made",
    "Ticked beside this; here with their day and what is to be remembered of them.",
    (
        Rows(
            "checked",
            "check",
            "Write down a check",
            (
                Field("checked.*.check", "Check", Kind.CHOICE, choices=same_words(*check_keys())),
                Field("checked.*.day", "On", help="as 2026-03-14"),
                Field("checked.*.not_needed", "Not needed because", wide=True),
                Field("checked.*.note", "Note", wide=True),
            ),
            again="Write down another check",
        ),
    ),
    holds=("checked",),
)

FINISH: Final = (_MEASURED, _FINISHING, _CLOTH, _CHECKED)
