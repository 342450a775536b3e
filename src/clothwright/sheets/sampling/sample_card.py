"""The sample card: everything the form asks of a sample, on paper, in the form's order; blank, or one filled for each sample.

What is filled in is what was typed, with its own unit. Entries carry the path of their field in the document, so that a test
can hold the order of the card to that of the form.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Any, Final

from clothwright.planning.samples.sample_ratios import traced_shapes
from clothwright.project import Project
from clothwright.project.document import CutPart, SamplePart
from clothwright.sheets.both_units import typed_in_both
from clothwright.sheets.code import Opens, code_data
from clothwright.sheets.page import LONGEST_NAME, page_of
from clothwright.sheets.paper import typeset
from clothwright.sheets.pictures.outline import outlines_svg
from clothwright.sheets.wording import literal, shortened

TITLE: Final = "Sample card"
_BLANK_PARTS: Final = 3
_BLANK_CORNERS: Final = 4

_HEADS: Final = {
    "sizes": "Sizes: across ↔ and along ↕, in all four states",
    "picks": "Picks and weft",
    "outline": "Drawn round on paper, before and after washing",
    "parts": "Cut in parts, finished differently",
    "words": "In your own words",
    "keep": "To keep with it",
    "cautions": "Take care",
}
_INTRO: Final = [
    "One card for one sample. Write each figure with its unit; leave out what you did not measure.",
    "Finished is washed, dry and pressed, and as the garment cloth will be washed.",
]
_SIZES_SAYS: Final = "In the heddle (reed): ends ÷ ends per cm. At the fell and on the loom: under tension. Off the loom: rested an hour, unwashed."
_OUTLINE_SAYS: Final = (
    "Lay the sample with its warp up the paper and draw round it. Wash it, and draw round it again. Measure each corner from one corner of the "
    "paper: across, then along."
)
_PICK_SAYS: Final = "Draw one pick out, lay it straight without stretching, and measure it: its length ÷ width in the heddle is the weft’s true allowance."
PROMPTS: Final = [
    "Snip of warp and weft, taped here.",
    "A piece kept unwashed, and one of each finish.",
    "Photo: in shade or by an overcast window, no flash, beside a ruler and a white or grey card; right and wrong side; before and after washing.",
]
CAUTIONS: Final = [
    "Water hot enough to full can scald, and wet wool is heavy: gloves, the basin filled before the cloth goes in, children away.",
    "Stop and look often: fulling cannot be undone. Cut the sample in parts and finish them by degrees.",
    "Strong colours: wash a snip with white cloth first.",
]


@dataclass(frozen=True)
class Entry:
    """One box of the card: the path of its field within a sample, its label, and what was typed."""

    path: str
    label: str
    value: str


def sample_card_pdf(
    project: Project | None,
    *,
    imperial: bool = False,
    made_on: datetime.date,
    large_print: bool = False,
    opens: Opens | None = None,
) -> bytes:
    """The cards as PDF: one for each sample of a project; a blank one for None, or where the project has no sample yet."""
    kind = "Card" if project is None or project.sample else "Card to fill in"
    page = page_of(project, TITLE, kind, made_on, imperial=imperial, large_print=large_print)
    return typeset(
        "sample-card.typ", page | code_data(opens) | card_data(project), _pictures(project, imperial), made_on
    )


def _pictures(project: Project | None, imperial: bool) -> dict[str, str]:
    """The outlines of each sample that was traced."""
    every = enumerate(project.sample if project else ())
    drawn = {
        f"outlines{number}": outlines_svg(traced_shapes(one), imperial=imperial, name=one.name) for number, one in every
    }
    return {name: picture for name, picture in drawn.items() if picture}


def card_data(project: Project | None) -> dict[str, Any]:
    """Every word and figure of the cards, as the template places them."""
    samples: list[SamplePart | None] = list(project.sample) if project and project.sample else [None]
    return {
        "heads": _HEADS,
        "intro": _INTRO,
        "sizes_says": _SIZES_SAYS,
        "outline_says": _OUTLINE_SAYS,
        "pick_says": _PICK_SAYS,
        "sizes_head": ["Side", "in the heddle, or warp used", "at the fell, on the loom", "off the loom", "finished"],
        "corners_head": ["Corner", "before, across ↔", "along ↕", "after, across ↔", "along ↕"],
        "parts_head": ["Part", "How finished", "before ↔", "before ↕", "after ↔", "after ↕", "Its hand"],
        "prompts": PROMPTS,
        "cautions": CAUTIONS,
        "cards": [_card(one) | {"picture": f"outlines{number}"} for number, one in enumerate(samples)],
        "outline_alt": "The outlines before and after washing, on one another, to one scale; their sizes are in the table beside it.",
    }


def _card(part: SamplePart | None) -> dict[str, Any]:
    return {
        "name": shortened(literal(part.name), LONGEST_NAME) if part else "",
        "about": _boxes(about(part)),
        "sizes": sizes(part),
        "picks": _boxes(picks(part)),
        "weight": _boxes(weights(part)),
        "corners": _corners(part),
        "parts": _parts(part),
        "words": _boxes(words(part)),
    }


def _boxes(entries: list[Entry]) -> list[list[str]]:
    return [[one.label, one.value] for one in entries]


def about(part: SamplePart | None) -> list[Entry]:
    """What the sample is."""
    return [
        Entry("name", "Name", _said(part and part.name)),
        Entry("date", "Date", _said(part and part.date)),
        Entry("purpose", "What it is to show", _said(part and part.purpose)),
        Entry("warp", "Warp yarn", _said(part and part.warp)),
        Entry("weft", "Weft (filling) yarn", _said(part and part.weft)),
        Entry("heddle", "Heddle (reed), as printed", _said(part and part.heddle)),
        Entry("structure", "Structure", _said(part and part.structure)),
        Entry("finish", "Finish: water, soap, minutes, dry, press", _said(part and part.finish)),
        Entry("woven_on", "Woven on: loom, or card loom", _said(part and part.woven_on)),
        Entry("ends", "Ends", _said(part and part.ends)),
        Entry("beat", "Beat: light, medium, firm", _said(part and part.beat)),
    ]


def sizes(part: SamplePart | None) -> list[list[str]]:
    """Width, then length, in the four states."""
    width, length = (part.width, part.length) if part else (None, None)
    warp = length and (length.warp or (f"{length.wound} less {length.waste}" if length.wound else None))
    return [
        [
            "Width ↔",
            *(_said(width and getattr(width, state)) for state in ("in_heddle", "on_loom", "off_loom", "finished")),
        ],
        [
            "Length ↕",
            _said(warp),
            *(_said(length and getattr(length, state)) for state in ("on_loom", "off_loom", "finished")),
        ],
    ]


def picks(part: SamplePart | None) -> list[Entry]:
    """Picks, weft, and one pick."""
    counted, used, one = (part.picks, part.weft_used, part.one_pick) if part else (None, None, None)
    return [
        Entry("picks.count", "Picks counted", _said(counted and f"{counted.count:g}")),
        Entry("picks.over", "over", _said(counted and counted.over)),
        Entry("picks.where", "where: on loom, off loom, finished", _said(counted and counted.where)),
        Entry("weft_used.weight", "Weft used, weight", _said(used and used.weight)),
        Entry("weft_used.length", "or length", _said(used and used.length)),
        Entry("one_pick.straight", "One pick, laid straight", _said(one and one.straight)),
        Entry("one_pick.drawn_from", "drawn from cloth off loom, or finished", _said(one and one.drawn_from)),
    ]


def weights(part: SamplePart | None) -> list[Entry]:
    """What it weighs."""
    weight = part.weight if part else None
    return [
        Entry("weight.off_loom", "Weight, unwashed", _said(weight and weight.off_loom)),
        Entry("weight.finished", "Weight, finished", _said(weight and weight.finished)),
    ]


def words(part: SamplePart | None) -> list[Entry]:
    """Hand, drape, notes."""
    return [
        Entry("hand", "Hand (handle): stiff, firm, right, soft, limp, sleazy, slips …", _said(part and part.hand)),
        Entry("drape", "Drape", _said(part and part.drape)),
        Entry("notes", "Notes: what went wrong, what to try", _said(part and part.notes)),
        Entry("photos", "Photos", _said(part and "; ".join(part.photos))),
    ]


def _corners(part: SamplePart | None) -> list[list[str]]:
    before, after = (part.traced.off_loom, part.traced.finished) if part else ([], [])
    rows = []
    for number in range(max(_BLANK_CORNERS, len(before), len(after))):
        places = [
            (typed_in_both(one[number].across), typed_in_both(one[number].along)) if number < len(one) else ("", "")
            for one in (before, after)
        ]
        rows.append([str(number + 1), *places[0], *places[1]])
    return rows


def _parts(part: SamplePart | None) -> list[list[str]]:
    return [_part(one) for one in part.parts] if part and part.parts else [[""] * 7] * _BLANK_PARTS


def _part(one: CutPart) -> list[str]:
    lengths = (one.before.width, one.before.length, one.after.width, one.after.length)
    return [one.name, one.finish, *map(_said, lengths), one.hand]


def _said(value: object) -> str:
    return "" if value is None else typed_in_both(value)
