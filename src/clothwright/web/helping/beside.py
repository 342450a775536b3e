"""What stands folded beside a field that is hard to fill in: how to get the figure, a drawing, and where the guide says more. The one table."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Final

from clothwright.sheets.pictures.helping import HELP_PICTURES
from clothwright.web.helping.about import address_parts


@dataclass(frozen=True)
class Beside:
    """Help to fill in a field: what it is called, how it is done, the drawing of it, and the place in the guide."""

    title: str
    says: str
    picture: str
    where: str

    @property
    def picture_file(self) -> str:
        """The file of its drawing."""
        return f"{self.picture}.svg"

    @property
    def shows(self) -> str:
        """What its drawing shows, in words."""
        return _shown(self.picture)[0]

    @property
    def high(self) -> int:
        """How high its drawing is when it is 400 wide."""
        return _shown(self.picture)[1]

    @property
    def chapter(self) -> str:
        """The chapter of the guide."""
        return str(address_parts(self.where)["chapter"])

    @property
    def anchor(self) -> str:
        """The heading of that chapter."""
        return str(address_parts(self.where)["anchor"])


_WRAPS: Final = Beside(
    "How to count wraps",
    "Wraps per centimetre or inch say how thick a yarn lies. Wind it round a ruler without pulling, each turn just touching the last, "
    "over 5 cm (2 in), and count the turns. Do it at three places of the ball and take the middle.",
    "wraps",
    "sett#two-scales-that-must-not-be-mixed",
)
_TARE: Final = Beside(
    "How to weigh a core",
    "What the scale shows of a cone or a wound ball is yarn and core (the tare) together. Weigh an empty core of the same kind and write it here. "
    "Left out, the yarn is known only as a band.",
    "tare",
    "yarn#cores-and-winders",
)
_DENT: Final = Beside(
    "What a heddle or reed is called by",
    "By the ends it spaces: 30/10 cm is thirty in ten centimetres, 7.5/in seven and a half in an inch. In a reed the room between two wires is a "
    "dent; sleyed with two ends in each, it sets twice as close as it is marked.",
    "heddle",
    "sett#heddles-and-how-to-sley-them",
)
_WASTE: Final = Beside(
    "How to measure loom waste",
    "After a cloth is off, measure the warp that was cut off in front and behind, together. It is the same for a short warp and a long one, "
    "so it is added once and never by a percentage.",
    "warp",
    "evidence#loom-waste",
)
_DRAW_IN: Final = Beside(
    "Where to measure each width",
    "In the heddle: from the first end to the last. At the fell: where the last pick lies, under tension; the difference is the draw-in. "
    "Off the loom: rested overnight, flat. Finished: washed, dry and pressed.",
    "warp",
    "samples#what-can-be-measured",
)
_SAMPLE: Final = Beside(
    "How to measure before and after washing",
    "Flat on a table and not pulled; the width at three places, the length at two, before washing and after. Wash it as the cloth will be washed: "
    "you can full more, never less.",
    "sample",
    "samples#what-can-be-measured",
)
_PICKS: Final = Beside(
    "How to count picks",
    "Put a pin beside a pick, another 5 or 10 cm (2 or 4 in) on, and count the picks between. Under tension on the loom they lie farther apart than in the finished cloth: "
    "say where you counted.",
    "picks",
    "samples#what-can-be-measured",
)
_TAKE_UP: Final = Beside(
    "What take-up is",
    "An end bends over and under the picks, so the cloth is shorter than its warp; the weft, likewise, is longer than the cloth is wide. "
    "Draw one thread out, lay it straight, and compare. A share is of the straight warp here, or of the width in the heddle for the weft.",
    "take-up",
    "samples#ratios-and-what-a-percentage-is-of",
)
_GRAIN: Final = Beside(
    "What the grain is",
    "The way the warp runs, along the selvedge (American: selvage). A piece cut off the grain hangs askew, so none is turned off it unless you say that it may be.",
    "grain",
    "layout#the-rules",
)
#: Paths of fields as the tables of fields write them, a `*` for the number of a row.
_FIELDS: Final[tuple[tuple[str, Beside], ...]] = (
    ("yarn.*.wraps", _WRAPS),
    ("wraps", _WRAPS),
    ("yarn.*.balls.*.core", _TARE),
    ("core.*.weight", _TARE),
    ("loom.heddles", _DENT),
    ("other_loom.*.heddles", _DENT),
    ("cloth.heddle", _DENT),
    ("loom.waste", _WASTE),
    ("other_loom.*.waste", _WASTE),
    ("sample.*.width.in_heddle", _DRAW_IN),
    ("sample.*.length.finished", _SAMPLE),
    ("sample.*.picks.count", _PICKS),
    ("cloth.picks", _PICKS),
    ("entry.picks.count", _PICKS),
    ("cloth.warp_take_up", _TAKE_UP),
    ("cloth.weft_take_up", _TAKE_UP),
    ("pattern.piece.*.length", _GRAIN),
    ("pattern.mark.*.grain", _GRAIN),
)

_BY_PATH: Final = dict(_FIELDS)


@cache
def help_beside(path: tuple[str | int, ...]) -> Beside | None:
    """The help for a field at one place of a tree: in the first row of a list, and not again in those below it."""
    if any(isinstance(one, int) and one for one in path):
        return None
    known = ".".join("*" if isinstance(one, int) else one for one in path)
    return _BY_PATH.get(known)


def every_help() -> tuple[tuple[str, Beside], ...]:
    """Every field that has help, with it."""
    return _FIELDS


@cache
def _shown(picture: str) -> tuple[str, int]:
    drawing = HELP_PICTURES[picture]()
    return drawing.desc, round(drawing.svg_height)
