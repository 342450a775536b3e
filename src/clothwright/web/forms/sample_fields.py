"""The fields of a sample: how it was woven, and what was measured of it in each state."""

from __future__ import annotations

from typing import Final

from clothwright.web.forms.field import CM, GRAMS, HEDDLE, METRES, Field, Group, Kind, Rows, Section, same_words


def _corners(path: str, when: str) -> Rows:
    """Corners of an outline drawn before or after washing, a row each."""
    places = (Field(f"{path}.*.across", "across ↔", unit=CM), Field(f"{path}.*.along", "along ↕", unit=CM))
    add, again = f"Add a corner {when}", f"Add the next corner {when}"
    return Rows(path, f"corner {when}", add, places, small=True, again=again)


SAMPLE: Final = Section(
    "samples",
    "Samples",
    "What you wove and washed to try it. Measure in as many states as you can; leave out what you did not measure.",
    (
        Rows(
            "sample",
            "sample",
            "Add a sample",
            (
                Field("sample.*.name", "Name"),
                Field("sample.*.date", "Date", help="as 2026-03-14; puts it in order among all that was measured"),
                Field("sample.*.purpose", "What it is to show"),
                Field("sample.*.warp", "Warp yarn", Kind.YARN),
                Field("sample.*.weft", "Weft yarn", Kind.YARN, american="filling"),
                Field("sample.*.heddle", "Heddle", unit=HEDDLE),
                Field("sample.*.structure", "Structure", Kind.CHOICE),
                Field("sample.*.finish", "Finish", help="how it was washed, dried, pressed", wide=True),
                Field("sample.*.woven_on", "Woven on", Kind.CHOICE, choices=same_words("loom", "card loom")),
                Field("sample.*.ends", "Ends", Kind.COUNT),
                Field(
                    "sample.*.beat",
                    "Beat",
                    Kind.CHOICE,
                    choices=(("", "not said"), *same_words("light", "medium", "firm")),
                ),
                Field("sample.*.set_aside", "Set aside because", only_where_given=True, wide=True),
                Group(
                    "Width ↔",
                    (
                        Field("sample.*.width.in_heddle", "in the heddle", unit=CM),
                        Field("sample.*.width.on_loom", "at the fell", unit=CM),
                        Field("sample.*.width.off_loom", "off the loom", unit=CM),
                        Field("sample.*.width.finished", "finished", unit=CM),
                    ),
                    help="in the heddle, at the fell where you weave, rested off the loom, and washed, dry and pressed",
                ),
                Group(
                    "Length ↕",
                    (
                        Field("sample.*.length.warp", "warp used", unit=CM),
                        Field("sample.*.length.wound", "warp wound", unit=CM, only_where_given=True),
                        Field("sample.*.length.waste", "of it wasted", unit=CM, only_where_given=True),
                        Field("sample.*.length.on_loom", "on the loom", unit=CM),
                        Field("sample.*.length.off_loom", "off the loom", unit=CM),
                        Field("sample.*.length.finished", "finished", unit=CM),
                    ),
                    help="warp used is what was wound less what was wasted; on the loom means under tension",
                ),
                Group(
                    "Picks and weft",
                    (
                        Field("sample.*.picks.count", "Picks counted", Kind.COUNT),
                        Field("sample.*.picks.over", "over", unit=CM),
                        Field(
                            "sample.*.picks.where",
                            "counted",
                            Kind.CHOICE,
                            choices=same_words("on loom", "off loom", "finished"),
                        ),
                        Field("sample.*.weft_used.weight", "Weft used", unit=GRAMS),
                        Field("sample.*.weft_used.length", "or weft used", unit=METRES),
                        Field("sample.*.one_pick.straight", "One pick laid straight", unit=CM),
                        Field(
                            "sample.*.one_pick.drawn_from",
                            "drawn from",
                            Kind.CHOICE,
                            choices=same_words("off loom", "finished"),
                        ),
                    ),
                    help="the weft by weight or length; or one pick drawn out, laid straight and measured",
                ),
                Group(
                    "Weight",
                    (
                        Field("sample.*.weight.off_loom", "Weight, unwashed", unit=GRAMS),
                        Field("sample.*.weight.finished", "Weight, finished", unit=GRAMS),
                    ),
                    folded=True,
                ),
                Group(
                    "Drawn round on paper",
                    (
                        _corners("sample.*.traced.off_loom", "before washing"),
                        _corners("sample.*.traced.finished", "after washing"),
                        Field("sample.*.traced.drawing", "Drawing of both outlines", only_where_given=True),
                    ),
                    help="with the warp up the paper: each corner in order, across and along from one corner of the paper",
                    folded=True,
                ),
                Group(
                    "Cut in parts, finished differently",
                    (
                        Rows(
                            "sample.*.parts",
                            "part",
                            "Add a part cut off",
                            (
                                Field("sample.*.parts.*.name", "Part"),
                                Field("sample.*.parts.*.finish", "How finished"),
                                Field("sample.*.parts.*.before.width", "before ↔", unit=CM),
                                Field("sample.*.parts.*.before.length", "before ↕", unit=CM),
                                Field("sample.*.parts.*.after.width", "after ↔", unit=CM),
                                Field("sample.*.parts.*.after.length", "after ↕", unit=CM),
                                Field("sample.*.parts.*.hand", "Its hand"),
                                Field("sample.*.parts.*.notes", "Notes on it", only_where_given=True),
                            ),
                            small=True,
                            help="A side that was not cut is the whole sample’s: leave its size before out.",
                        ),
                    ),
                    folded=True,
                ),
                Group(
                    "In your own words",
                    (
                        Field(
                            "sample.*.hand",
                            "Hand",
                            american="or handle",
                            help="stiff, boardy, firm, right, soft, limp, sleazy, slips …",
                            wide=True,
                        ),
                        Field("sample.*.drape", "Drape", wide=True),
                        Field("sample.*.notes", "Notes", wide=True),
                        Field("sample.*.photos", "Photos", Kind.SEVERAL, only_where_given=True, wide=True),
                    ),
                    folded=True,
                ),
            ),
        ),
    ),
)
