"""The class sheet to fill in by hand: the same sums with room for a student's own numbers, those of the piece filled in where known."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from typing import Any, Final

from clothwright import __version__
from clothwright.planning import PieceFigures, piece_figures
from clothwright.project import Project
from clothwright.sheets.glossary import named_words
from clothwright.sheets.page import LARGE, sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.teaching.class_sheet import HEADS, ORDINARY_PT, date_in
from clothwright.sheets.teaching.class_words import CLASS_WORDS, OWN_YARN, OWN_YARN_SUM
from clothwright.sheets.translating import ENGLISH, Language, to_say
from clothwright.sheets.wording import LENGTH, THREADS, plain_number

_ROOM: Final = "………"
_CAUTIONS: Final = (
    "Weave and wash a sample with your own yarn before the real warp; the figures say what they assume.",
    "A long direct warp across a room is a trip line; mark it, and keep others out.",
)
_TO_FILL: Final = (
    to_say("Ends"),
    to_say("Width in the heddle"),
    to_say("Warp length"),
    to_say("Picks on the loom"),
    to_say("Woven, under tension"),
    to_say("Loom waste"),
    to_say("Finished width"),
    to_say("Finished length"),
)


def blank_class_sheet_pdf(
    project: Project | None, *, imperial: bool = False, made_on: datetime.date, large_print: bool = False
) -> bytes:
    """The sheet as PDF: of a project with the numbers of its piece, or for None with room for these as well."""
    piece = piece_figures(project) if project else None
    title = project.name if project else ENGLISH("Class sheet")
    page = sheet_page(title, "", made_on, imperial=imperial, large_print=large_print)
    data = _data(piece, ENGLISH, imperial) | {"size_pt": LARGE.size_pt if large_print else ORDINARY_PT}
    name = ENGLISH(
        "Class sheet for {name}, {date}, Clothwright {version}",
        name=_ROOM * 3,
        date=date_in(ENGLISH, made_on),
        version=__version__,
    )
    return typeset("class.typ", page | data | {"subtitle": name}, {}, made_on)


def _data(piece: PieceFigures | None, says: Language, imperial: bool) -> dict[str, Any]:
    words = named_words(CLASS_WORDS)
    return {
        "language": says.code,
        "region": says.region,
        "heads": {key: says(head) for key, head in HEADS.items()},
        "headline": list(_headline(says)),
        "worth_knowing": [],
        "working": list(_working(_Numbers(piece, imperial), says)),
        "checks": list(_checks(says)),
        "fill_head": [says("Measure"), says("Reckoned"), says("Yours")],
        "to_fill": [[says(one), ""] for one in _TO_FILL],
        "own_head": [says("Measure"), says("Yours")],
        "own_yarn": [[says(one), ""] for one in OWN_YARN],
        "own_sum": [says(OWN_YARN_SUM)],
        "cautions": list(map(says, _CAUTIONS)),
        "words": [[one.said(says), one.explained(says)] for one in words],
    }


class _Numbers:
    """The numbers of a piece as the sums write them, or room to write."""

    def __init__(self, piece: PieceFigures | None, imperial: bool) -> None:
        self.piece, self.imperial = piece, imperial
        self.unit, self.per = LENGTH.unit(imperial), THREADS.unit(imperial)
        self.yarn, self.in_yarn = ("yd", 36) if imperial else ("m", 100)

    def length(self, cm: float | None) -> str:
        return f"{_ROOM} {self.unit}" if cm is None else LENGTH.short(cm, imperial=self.imperial)

    def ratio(self, value: float | None) -> str:
        return _ROOM if value is None else plain_number(round(value, 3))

    def picks(self) -> str:
        per_cm = self.piece.picks_per_cm if self.piece else None
        return (
            f"{_ROOM} {self.per}" if per_cm is None else f"{THREADS.number(per_cm, imperial=self.imperial)} {self.per}"
        )


def _headline(says: Language) -> Iterator[str]:
    yield says("{ends} ends, heddle (reed): {heddle}", ends=_ROOM, heddle=_ROOM)
    for what in (to_say("Warp length"), to_say("Warp yarn"), to_say("Weft yarn")):
        yield says("{what}: {value}", what=says(what), value=_ROOM)


def _working(numbers: _Numbers, says: Language) -> Iterator[str]:
    piece, unit, room = numbers.piece, numbers.unit, f"{_ROOM} {numbers.unit}"
    sett, yarn = f"{_ROOM} {numbers.per}", f"{_ROOM} {numbers.yarn}"
    yield says(
        "Ends: {width} finished ÷ {ratio} × {sett} = {ends}, {up_to}",
        width=numbers.length(piece.width_cm if piece else None),
        ratio=numbers.ratio(piece.width_ratio if piece else None),
        sett=sett,
        ends=_ROOM,
        up_to=says("up to a whole pair"),
    )
    yield says("Width in the heddle: {ends} ends ÷ {sett} = {width}", ends=_ROOM, sett=sett, width=room)
    yield says(
        "Weave, under tension: {length} finished ÷ {ratio} = {woven}",
        length=numbers.length(piece.length_cm if piece else None),
        ratio=numbers.ratio(piece.length_ratio if piece else None),
        woven=room,
    )
    if piece is None or piece.woven_of_warp != 1:
        of_warp = numbers.ratio(piece.woven_of_warp if piece else None)
        yield says("Warp the weaving takes: {weave} ÷ {ratio} = {used}", weave=room, ratio=of_warp, used=room)
    yield says(
        "Warp length: {used} + {waste} loom waste, rounded up = {warp}", used=room, waste=f"{_ROOM} {unit}", warp=room
    )
    per = numbers.in_yarn
    yield says(
        "Warp yarn: {ends} ends × {warp} ÷ {per}, rounded up = {yarn}", ends=_ROOM, warp=room, per=per, yarn=yarn
    )
    pick_length = numbers.ratio(piece.pick_length if piece else None)
    yield says("One pick: {width} × {ratio} = {pick}", width=room, ratio=pick_length, pick=room)
    yield says(
        "Weft yarn: {picks} × {pick} × {weave} ÷ {per}, rounded up = {yarn}",
        picks=numbers.picks(),
        pick=room,
        weave=room,
        per=per,
        yarn=yarn,
    )


def _checks(says: Language) -> Iterator[str]:
    yield says("Before you wind, measure from the peg to the back rod: it should be {warp}.", warp=_ROOM)
    yield says(
        "Count your ends. Your ends ÷ your sett should be your width in the heddle: {ends} ÷ {sett} = {width}, on a ruler "
        "{ruler}.",
        ends=_ROOM,
        sett=_ROOM,
        width=_ROOM,
        ruler=_ROOM,
    )
    yield says("Weave to {weave} from the first pick, under tension, measured at the fell.", weave=_ROOM)
