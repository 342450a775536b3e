"""The fields of the page of a class: what holds for all, and a row for each student."""

from __future__ import annotations

from typing import Final

from clothwright.sheets.translating import languages
from clothwright.web.forms.field import CM, GRAMS, GRIST, HEDDLE, PERCENT, Field, Group, Kind, Rows, Section, same_words

_LANGUAGES: Final = tuple((one.code, one.name) for one in languages())
_OWN_YARN: Final = Group(
    "Yarn of her own",
    (
        Field("student.*.yarn.name", "Name of it"),
        Field("student.*.yarn.use", "For", Kind.CHOICE, choices=same_words("warp and weft", "warp", "weft")),
        Field("student.*.yarn.grist", "Length per weight", unit=GRIST),
        Field("student.*.yarn.have", "How much there is", help="220 g, or 640 m"),
    ),
    help="left empty, she weaves with the class yarn; her sheet has a box to fill in",
    folded=True,
)
_STUDENT: Final = Rows(
    "student",
    "student",
    "Add a student",
    (
        Field("student.*.name", "Name", longest=100),
        Field(
            "student.*.units",
            "Her sheet in",
            Kind.CHOICE,
            choices=(("", "the project’s units"), ("metric", "cm and m"), ("imperial", "inches and yards")),
        ),
        Field(
            "student.*.print",
            "Print",
            Kind.CHOICE,
            choices=(("ordinary", "ordinary"), ("large", "large")),
        ),
        Field("student.*.language", "Language", Kind.CHOICE, choices=(("", "the class’s"), *_LANGUAGES)),
        Field("student.*.loom.kind", "Loom", Kind.CHOICE, choices=same_words("rigid heddle", "shaft")),
        Field("student.*.loom.weaving_width", "Weaving width ↔", unit=CM),
        Field("student.*.loom.heddles", "Heddles (reeds)", Kind.SEVERAL, unit=HEDDLE, help="30; 40"),
        Field("student.*.loom.waste", "Loom waste ↕", unit=CM, help="left empty, as usual for such a loom"),
        Field(
            "student.*.loom.warping",
            "Warping",
            Kind.CHOICE,
            choices=(("direct", "direct, peg to rod"), ("indirect", "on a board or mill (reel)")),
        ),
        _OWN_YARN,
    ),
)
CLASS: Final = (
    Section(
        "class",
        "The class",
        "Everybody weaves the piece of this project, each on her own loom.",
        (
            Field("name", "What it is called", wide=True),
            Field("day", "Day", help="as 2026-05-16"),
            Field("language", "Sheets in", Kind.CHOICE, choices=_LANGUAGES),
            Field("margin", "Margin on what is bought", unit=PERCENT, help="left empty, 10 %"),
            Field("ball", "A ball weighs", unit=GRAMS),
        ),
        holds=("clothwright_class", "project"),
    ),
    Section(
        "students",
        "Students",
        "Names and looms stay on this machine (in a studio, on its server, shown to you alone): no file, bundle or "
        "archive of the project carries them, unless you write "
        "the class to a file yourself.",
        (_STUDENT,),
        holds=("student",),
    ),
)
