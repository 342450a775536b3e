"""What a plan answers: the verdict, the numbers behind it, and the working, as frozen values.

`as_json` is the result that scripts read: cm, m, g, threads per cm, shares from 0 to 1, named in the keys.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

from clothwright.layout import Layout
from clothwright.measure import Draws, Interval
from clothwright.pattern import Ring
from clothwright.planning.samples.sample_ratios import WidthForecast
from clothwright.planning.working import WorkingLine
from clothwright.project.pattern.pattern_state import PatternState


class Verdict(StrEnum):
    """Whether the yarn lasts."""

    ENOUGH = "enough"
    TOO_CLOSE = "too close"
    NOT_ENOUGH = "not enough"


@dataclass(frozen=True)
class WarpPlan:
    """The warp to put on. `waste_cm` is what cannot be woven, `on_warp_sample_cm` is woven first and cut off."""

    heddle: str
    ends_per_cm: float
    ends: int
    width_in_heddle_cm: float
    length_cm: float
    yarn_m: Interval
    waste_cm: Interval
    on_warp_sample_cm: float


@dataclass(frozen=True)
class WeftPlan:
    """The weaving. `weave_to_cm` is where to stop, on the loom under tension, sample not counted."""

    picks_per_cm_on_loom: Interval
    woven_on_loom_cm: Interval
    yarn_m: Interval
    weave_to_cm: float


@dataclass(frozen=True)
class ClothPlan:
    """The finished cloth, and what was asked of it."""

    finished_width_cm: Interval
    finished_length_cm: Interval
    g_per_m2: Interval | None
    asked_width_cm: float
    asked_length_cm: float


@dataclass(frozen=True)
class YarnLine:
    """One yarn: what there is of it against what the plan takes."""

    name: str
    colour: str
    use: str
    have_g: float
    have_m: Interval
    need_m: Interval
    spare_m: Interval
    chance_enough: float


@dataclass(frozen=True)
class Margin:
    """What is left over when all is woven (below nothing: what is missing)."""

    m: Interval
    g: Interval
    finished_cm: Interval


@dataclass(frozen=True)
class Shortfall:
    """What is missing at the chance asked."""

    m: float
    g: float
    finished_cm: float


@dataclass(frozen=True)
class WayOut:
    """A changed plan, planned anew: what to do, what it changes, the chance then, and metres to spare then."""

    what: str
    change: str
    chance_enough: float
    spare_m: float


@dataclass(frozen=True)
class ToMeasure:
    """A measurement that could be made, what it would tell, what it costs, and why.

    `settles`: chance that the verdict is definite afterwards. `narrows_…`: share of the spread of what is left over, of
    finished width and of finished length that goes. `saves_m`: yarn that the surer plan takes less, on average, at the
    same trust in the size. `minutes` of work; `metres` and `grams` of yarn used up. `rank`: what it is ordered by,
    chance (or share of doubt) per hour, yarn counted as the time it takes to make or earn.
    """

    what: str
    settles: float
    costs: str
    why: str
    when: str
    minutes: float
    metres: float
    grams: float
    narrows_margin: float
    narrows_width: float
    narrows_length: float
    saves_m: float
    rank: float


@dataclass(frozen=True)
class Swing:
    """How far one unknown moves a figure.

    `spread`: from the low to the high end, nine times in ten, that comes with it and with what goes along with it;
    `if_known`: the whole spread that would be left if it were known exactly; `share` of the variance.
    """

    spread: float
    if_known: float
    share: float


@dataclass(frozen=True)
class Doubt:
    """What one unknown adds to the doubt in what is left over and in the finished size.

    `sets_aside_m`: yarn the plan takes more because of it, to be as sure of the size as is trusted.
    """

    what: str
    margin_m: Swing
    finished_width_cm: Swing
    finished_length_cm: Swing
    sets_aside_m: float


@dataclass(frozen=True)
class PlacedOutline:
    """A piece in its place on the finished cloth: x along the cloth, y from the selvedge, cm."""

    piece: str
    copy: int
    mirrored: bool
    outline: Ring


@dataclass(frozen=True)
class WidthStep:
    """One step of the staircase: a usable width, the length its best layout takes, and the yarn that costs.

    `needs_cm`: the usable width that layout really needs; `chance`: that the cloth as planned comes out so wide, None by hand.
    `falls_cm`: how much shorter than at the width before, where that is a step; else nothing.
    """

    width_cm: float
    length_cm: float
    yarn_m: float
    needs_cm: float | None = None
    chance: float | None = None
    falls_cm: float = 0.0


@dataclass(frozen=True)
class WidthAdvice:
    """How far the layout stands from the next bad step down, and what follows; widths are of finished cloth, cm.

    `needs_cm`: below it the pieces take `longer_cm` more than `length_cm` (None: they no longer fit, as far as was tried), and
    `more_m` of yarn. `chance_narrower`: that the cloth comes out narrower. `aim_cm`: the width to aim for. `certain`: proved, not
    only found. `wider_cm`: from there on the pieces take `shorter_by_cm` less.
    """

    needs_cm: float
    aim_cm: float
    length_cm: float
    chance_narrower: float | None = None
    longer_cm: float | None = None
    more_m: float | None = None
    certain: bool = False
    wider_cm: float | None = None
    shorter_by_cm: float | None = None


@dataclass(frozen=True)
class LeastLength:
    """No layout of these pieces on cloth so wide is shorter than `length_cm`; `because` says in words what forbids it."""

    length_cm: float
    because: str


@dataclass(frozen=True, eq=False)
class Drawn:
    """What the plan was reckoned from, in every drawn cloth: metres on each ball of each yarn (balls, draws), and the weft's.

    `weft_m` is the weft of the cloth, `sample_weft_m` that of the on-warp sample.
    """

    balls: Mapping[str, Draws]
    weft_m: Draws
    sample_weft_m: Draws


@dataclass(frozen=True)
class BallInPlan:
    """A ball under the colour orders: what it holds, what warp and weft take of it, what is over, and its own verdict."""

    yarn: str
    ball: int
    have_m: Interval
    warp_ends: int
    warp_m: float
    weft_picks: int
    weft_m: float
    left_m: float
    chance_lasts: float
    verdict: Verdict


@dataclass(frozen=True)
class BallsInPlan:
    """The verdict ball by ball: the least of them, the chance that every ball lasts, and each."""

    verdict: Verdict
    chance_all_last: float
    balls: tuple[BallInPlan, ...]


@dataclass(frozen=True)
class Plan:
    """The whole answer."""

    name: str
    by_hand: bool
    verdict: Verdict
    chance_enough: float | None
    chance_size: float | None
    trust_yarn: float
    trust_size: float
    warp: WarpPlan
    weft: WeftPlan
    cloth: ClothPlan
    yarns: tuple[YarnLine, ...]
    margin: Margin
    layout: Layout | None
    outlines: tuple[PlacedOutline, ...]
    staircase: tuple[WidthStep, ...]
    squaring_cm: float
    selvedge_trim_cm: float
    shortfall: Shortfall | None
    ways_out: tuple[WayOut, ...]
    measure_next: tuple[ToMeasure, ...]
    working: tuple[WorkingLine, ...]
    cautions: tuple[str, ...]
    notes: tuple[str, ...]
    #: What each sample supports for the finished width, two ways, beside the forecast that fuses all.
    width_forecasts: tuple[WidthForecast, ...] = ()
    doubt: tuple[Doubt, ...] = ()
    #: Why it is provisional, as a sentence that stands among the notes too; empty where it is not.
    provisional_because: str = ""
    #: The state of the pattern it was made from; None for a cloth wanted.
    pattern_state: PatternState | None = None
    #: How far the layout stands from the next bad step in width, and how short it could be at most; None without pieces.
    width_advice: WidthAdvice | None = None
    least_length: LeastLength | None = None
    #: Ball by ball, where the project has rules of colours; None where it has none, or they are not settled.
    by_ball: BallsInPlan | None = None
    #: The draws behind it, for what is reckoned on from it; None by hand.
    drawn: Drawn | None = field(default=None, compare=False, repr=False)

    @property
    def provisional(self) -> bool:
        """Whether the pattern has not been proved on a mock-up."""
        return bool(self.provisional_because)

    def as_json(self) -> dict[str, Any]:
        """The plan as plain data, by the keys of the contract."""
        return {
            "name": self.name,
            "by_hand": self.by_hand,
            "provisional": self.provisional,
            "pattern_state": _data(self.pattern_state),
            "verdict": str(self.verdict),
            "chance_enough": _data(self.chance_enough),
            "chance_size": _data(self.chance_size),
            "trust": {"size": self.trust_size, "yarn": self.trust_yarn},
            "warp": _data(self.warp),
            "weft": _data(self.weft),
            "cloth": _data(self.cloth),
            "yarns": _data(self.yarns),
            "by_ball": _data(self.by_ball),
            "margin": _data(self.margin),
            "layout": layout_data(self.layout, self.outlines, self.least_length) if self.layout else None,
            "staircase": _data(self.staircase),
            "width_advice": _data(self.width_advice),
            "shortfall": _data(self.shortfall),
            "ways_out": _data(self.ways_out),
            "measure_next": _data(self.measure_next),
            "width_forecasts": _data(self.width_forecasts),
            "doubt": _data(self.doubt),
            "working": [line.as_json() for line in self.working],
            "cautions": list(self.cautions),
            "notes": list(self.notes),
        }


def layout_data(
    layout: Layout, outlines: tuple[PlacedOutline, ...], least: LeastLength | None = None
) -> dict[str, Any]:
    """A layout as plain data, each placed piece with the outline it is cut by, cm."""
    placed = [
        _data(one) | {"outline_cm": _data(where.outline)} for one, where in zip(layout.placed, outlines, strict=True)
    ]
    return {
        "width_cm": _data(layout.width_cm),
        "length_cm": _data(layout.length_cm),
        "used_share": _data(layout.used_share),
        "bound_cm": _data(least.length_cm) if least else None,
        "bound_because": least.because if least else None,
        "placed": placed,
    }


def plain_data(value: Any) -> Any:
    """Frozen values as plain dictionaries and lists, numbers to six places."""
    return _data(value)


def _data(value: Any) -> Any:
    """Frozen values as plain dictionaries and lists."""
    if hasattr(value, "__dataclass_fields__"):
        return {name: _data(getattr(value, name)) for name in value.__dataclass_fields__}
    if isinstance(value, tuple | list):
        return [_data(one) for one in value]
    if isinstance(value, float):
        return round(value, 6)
    return str(value) if isinstance(value, StrEnum) else value
