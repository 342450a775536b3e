"""What a buyer of a leaflet needs by her own sample: short sums over figures she measured, the leaflet's where she measured none.

The sums, with W and L the finished cloth, r and s its finished width ÷ width in heddle and finished ÷ woven length, u woven length ÷ warp
used, e ends and p picks in a cm, v yarn of a pick ÷ width in heddle, w loom waste, q cm woven first as a sample, t ends that belong together:

    ends = t·⌈W ÷ r · e ÷ t⌉        width in heddle = ends ÷ e        weave = L ÷ s
    warp length = ⌈(weave + q) ÷ u + w⌉ in the unit shown        warp = (ends + floating selvedges) · warp length
    weft = p · width in heddle · v · (weave + q)        weight = metres ÷ metres in a gram · (1 + margin)        balls = ⌈weight ÷ ball⌉

Metres, weights and balls are rounded up when they are shown, and warp and weft are added as shown. The very same sums, in this order and
so with the same rounding of the last binary place, stand in the script of the page that is kept as a file; a test runs both.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from clothwright.measure import CM_PER_INCH, CM_PER_YARD, GRAMS_PER_OUNCE, GRAMS_PER_POUND
from clothwright.measure.numbers import NUMBER, NumberError, read_number

_HAIR: Final = 1e-6


@dataclass(frozen=True)
class BuyersFigures:
    """The figures of the sums, in cm, m and g; `ball_g` is nothing where no ball is told."""

    width_ratio: float
    length_ratio: float
    woven_of_warp: float
    picks_per_cm: float
    pick_length: float
    ends_per_cm: float
    end_step: int
    extra_ends: int
    waste_cm: float
    sample_cm: float
    warp_m_per_g: float
    weft_m_per_g: float
    margin: float
    ball_g: float


@dataclass(frozen=True)
class BuyersNeeds:
    """What one cloth takes, in the units shown, rounded up as shown: cm, m and g, or inches, yards and ounces."""

    ends: int
    width_in_heddle: float
    weave: float
    warp_length: float
    warp: int
    weft: int
    both: int
    weight: float
    warp_balls: int
    weft_balls: int


@dataclass(frozen=True)
class AskedField:
    """A figure asked of a buyer: what it is called, its unit and what a number in it is multiplied by, metric and imperial.

    `least` and `most` are of the number as typed; `over`: it may not be as little as the least.
    """

    name: str
    label: str
    units: tuple[str, str]
    factors: tuple[float, float]
    least: float = 0.0
    most: float = 100000.0
    over: bool = True


_LENGTH: Final = (("cm", "in"), (1.0, CM_PER_INCH))
_THREADS: Final = (("in 10 cm", "in 1 in"), (0.1, 1 / CM_PER_INCH))
_GRIST: Final = (("m in 100 g", "yd in 1 lb"), (0.01, CM_PER_YARD / 100 / GRAMS_PER_POUND))
_PERCENT: Final = (("%", "%"), (0.01, 0.01))
#: Everything that is asked, in the order of the page.
FIELDS: Final = (
    AskedField("sample_heddle", "Sample: width in the heddle (reed)", *_LENGTH),
    AskedField("sample_width", "Sample: width finished", *_LENGTH),
    AskedField("sample_woven", "Sample: woven length on the loom", *_LENGTH),
    AskedField("sample_length", "Sample: length finished", *_LENGTH),
    AskedField("take_up", "Take-up, a share of the warp", *_PERCENT, most=60.0, over=False),
    AskedField("weft_take_up", "Weft take-up, a share of the width in the heddle", *_PERCENT, most=100.0, over=False),
    AskedField("ends", "Ends of your heddle (reed)", *_THREADS),
    AskedField("picks", "Picks, counted on the loom", *_THREADS),
    AskedField("waste", "Loom waste of a warp", *_LENGTH, over=False),
    AskedField("sample_first", "Woven first, as a sample", *_LENGTH, over=False),
    AskedField("warp_grist", "Your warp yarn", *_GRIST),
    AskedField("weft_grist", "Your weft yarn", *_GRIST),
    AskedField("ball", "A ball weighs", ("g", "oz"), (1.0, GRAMS_PER_OUNCE)),
    AskedField("margin", "Margin on weight and balls", *_PERCENT, most=200.0, over=False),
    AskedField("loom", "Your loom weaves, at most", *_LENGTH),
)
#: Two that make a ratio, the second over the first, and what is said of one alone and of a ratio that cannot be.
RATIOS: Final = (("sample_heddle", "sample_width"), ("sample_woven", "sample_length"))
LEAST_RATIO, MOST_RATIO = 0.2, 1.5
SENTENCES: Final = {
    "number": "this is not one number; write it as 24, 7.5, 7,5 or 7 1/2",
    "asks": "is the comma a decimal one? Write it with a point, or without the comma",
    "range": "that cannot be; see its unit",
    "alone": "give the other one of the two as well, or neither",
    "ratio": "the sample would have become {share} of what it was: are the two exchanged, or one in another unit?",
}
_ASKS: Final = re.compile(r"[1-9]\d{0,2},\d{3}")


@dataclass(frozen=True)
class BuyersReading:
    """What a buyer typed: the figures to go by, her loom in cm where she says it, and what is wrong, by field."""

    figures: BuyersFigures
    loom_cm: float | None
    problems: Mapping[str, str]


def read_buyer(typed: Mapping[str, str], usual: BuyersFigures, *, imperial: bool) -> BuyersReading:
    """The figures a buyer typed in place of the usual; what cannot be read stays as usual and is told."""
    problems: dict[str, str] = {}
    said = {one.name: _value(one, typed.get(one.name, ""), imperial, problems) for one in FIELDS}
    width, length = (_ratio(said, pair, problems) for pair in RATIOS)
    found = {
        "width_ratio": width,
        "length_ratio": length,
        "woven_of_warp": None if said["take_up"] is None else 1 - said["take_up"],
        "pick_length": None if said["weft_take_up"] is None else 1 + said["weft_take_up"],
        "ends_per_cm": said["ends"],
        "picks_per_cm": said["picks"],
        "waste_cm": said["waste"],
        "sample_cm": said["sample_first"],
        "warp_m_per_g": said["warp_grist"],
        "weft_m_per_g": said["weft_grist"],
        "ball_g": said["ball"],
        "margin": said["margin"],
    }
    known: dict[str, float] = {name: value for name, value in found.items() if value is not None}
    return BuyersReading(replace(usual, **known), said["loom"], problems)  # type: ignore[arg-type]


def _value(field: AskedField, text: str, imperial: bool, problems: dict[str, str]) -> float | None:
    """A field in cm, m/g, g or a share; None where it is empty or wrong."""
    text = text.strip()
    if not text:
        return None
    if _ASKS.fullmatch(text):
        problems[field.name] = SENTENCES["asks"]
        return None
    try:
        number = read_number(text) if re.fullmatch(NUMBER, text, re.ASCII) else math.nan
    except NumberError:
        number = math.nan
    if math.isnan(number):
        problems[field.name] = SENTENCES["number"]
    elif number > field.most or number < field.least or (field.over and number <= field.least):
        problems[field.name] = SENTENCES["range"]
    else:
        return number * field.factors[1 if imperial else 0]
    return None


def _ratio(said: Mapping[str, float | None], pair: tuple[str, str], problems: dict[str, str]) -> float | None:
    first, second = (said[name] for name in pair)
    if first is None or second is None:
        for name, other in (pair, pair[::-1]):
            if said[name] is not None and other not in problems:
                problems[other] = SENTENCES["alone"]
        return None
    ratio = second / first
    if not LEAST_RATIO <= ratio <= MOST_RATIO:
        problems[pair[1]] = SENTENCES["ratio"].replace("{share}", f"{math.floor(ratio * 100 + 0.5)} %")
        return None
    return ratio


def buyers_needs(figures: BuyersFigures, width_cm: float, length_cm: float, *, imperial: bool) -> BuyersNeeds:
    """What a finished cloth takes by those figures."""
    cm, m = (CM_PER_INCH, CM_PER_YARD / 100) if imperial else (1.0, 1.0)
    step = figures.end_step
    ends = step * max(1, _up(width_cm / figures.width_ratio * figures.ends_per_cm / step))
    width = ends / figures.ends_per_cm
    weave = length_cm / figures.length_ratio
    quarters = 4 if imperial else 1
    used = (weave + figures.sample_cm) / figures.woven_of_warp + figures.waste_cm
    warp_length = _up(used / cm * quarters) / quarters
    warp_m = (ends + figures.extra_ends) * warp_length * cm / 100
    weft_m = figures.picks_per_cm * width * figures.pick_length * (weave + figures.sample_cm) / 100
    warp, weft = _up(warp_m / m), _up(weft_m / m)
    warp_g, weft_g = (
        metres / m_per_g * (1 + figures.margin)
        for metres, m_per_g in ((warp_m, figures.warp_m_per_g), (weft_m, figures.weft_m_per_g))
    )
    tenths = 4 if imperial else 10
    return BuyersNeeds(
        ends=ends,
        width_in_heddle=_up(width / cm * tenths) / tenths,
        weave=_up(weave / cm * quarters) / quarters,
        warp_length=warp_length,
        warp=warp,
        weft=weft,
        both=warp + weft,
        weight=_up((warp_g + weft_g) / GRAMS_PER_OUNCE * 10) / 10 if imperial else float(_up(warp_g + weft_g)),
        warp_balls=_up(warp_g / figures.ball_g) if figures.ball_g > 0 else 0,
        weft_balls=_up(weft_g / figures.ball_g) if figures.ball_g > 0 else 0,
    )


def _up(value: float) -> int:
    """The next whole number, a hair of arithmetic forgiven."""
    return math.ceil(value - _HAIR)
