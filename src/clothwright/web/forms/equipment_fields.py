"""The fields of a loom and its heddles, and of other looms."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from clothwright.web.forms.field import CM, HEDDLE, Field, Group, Kind, Rows, Section, same_words

ONE_LOOM: Final = (
    Field("loom.name", "Name of the loom"),
    Field("loom.kind", "Kind", Kind.CHOICE, choices=same_words("rigid heddle", "shaft")),
    Field("loom.weaving_width", "Weaving width ↔", unit=CM),
    Field(
        "loom.heddles",
        "Heddles owned",
        Kind.SEVERAL,
        american="or reeds",
        unit=HEDDLE,
        help="as printed on them, with a semicolon between: 30/10 cm; 7.5/in",
        wide=True,
    ),
    Field("loom.waste", "Loom waste ↕", unit=CM, help="the warp that can never be woven, once per warp"),
    Field(
        "loom.warping",
        "Warping",
        Kind.CHOICE,
        choices=(("direct", "direct: slot to peg, ends in pairs"), ("indirect", "indirect: board or mill (reel)")),
        wide=True,
    ),
)
_OTHER_LOOMS: Final = Group(
    "Other looms",
    (
        Rows(
            "other_loom",
            "other loom",
            "Add another loom",
            tuple(replace(one, path=one.path.replace("loom.", "other_loom.*.", 1)) for one in ONE_LOOM),
            again="Add another loom",
        ),
    ),
    help="What can be chosen then tells of the whole garment, or a warp of its own for some pieces, woven there at the same sett.",
    folded=True,
)
LOOM: Final = Section(
    "loom",
    "Loom and heddles",
    "What the cloth will be woven on.",
    (*ONE_LOOM, _OTHER_LOOMS),
    holds=("loom", "other_loom"),
)
