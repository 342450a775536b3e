"""What a sample says by itself: its ratios by step, its outlines, and two ways to carry its width to a wider cloth.

From a sample of width h in the heddle that finished at f, a cloth W wide in the heddle finishes at

    the same share:        W × f ÷ h
    the same loss in cm:   W − (h − f), more or less what edges may lose otherwise

Reports of handweavers go both ways: a narrow strip may lose a larger share than a wide cloth, or a smaller one. Neither is picked
in silence. Belief holds both in one row, log(f ÷ h) = a + c ÷ h, the share a and the centimetres at the edges c, and the
width it forecasts is shown beside the two.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from clothwright.evidence import SampleMeasured, sample_error, table
from clothwright.measure import Z90, Interval
from clothwright.project.document import SamplePart
from clothwright.project.sampling import outlines

#: A sample narrower than this, or than half the cloth, tells little about it. Common practice, no source.
NARROW_CM: Final = 15.0
SHORT_CM: Final = 25.0
_MISREAD_CM: Final = 0.2


def percent(share: float) -> str:
    """A share as a percentage to one decimal."""
    return f"{100 * share:.1f} %"


@dataclass(frozen=True)
class State:
    """A state of cloth: its name in the document and in words, and what a share of a size in it is called."""

    key: str
    words: str
    of: str


WIDTH_STATES: Final = (
    State("width_in_heddle", "in the heddle", "of the width in the heddle"),
    State("width_on_loom", "at the fell", "of the width at the fell"),
    State("width_off_loom", "off the loom", "of the width off the loom"),
    State("width_finished", "finished", ""),
)
LENGTH_STATES: Final = (
    State("warp_used", "warp used", "of the warp used"),
    State("length_on_loom", "on the loom", "of the woven length on the loom"),
    State("length_off_loom", "off the loom", "of the length off the loom"),
    State("length_finished", "finished", ""),
)
SIDES: Final = {"width": WIDTH_STATES, "length": LENGTH_STATES}


@dataclass(frozen=True)
class Size:
    """A size in one state, cm, and the spread of its logarithm from measuring."""

    state: State
    cm: float
    log_sd: float


@dataclass(frozen=True)
class StepRatio:
    """A later size over an earlier one. `lost_share` is of the earlier; `weave_share` is how much more to make for it."""

    side: str
    from_state: str
    to_state: str
    from_cm: float
    to_cm: float
    ratio: float
    lost_share: float
    lost_of: str
    weave_share: float
    error_share: float

    @property
    def told(self) -> str:
        """The ratio as a sentence, with the loss both ways."""
        change = "gains" if self.lost_share < 0 else "loses"
        return (
            f"{self.from_cm:.1f} cm {self.from_state} became {self.to_cm:.1f} cm {self.to_state}: ratio {self.ratio:.3f}, {change} "
            f"{percent(abs(self.lost_share))} {self.lost_of}; start with {percent(abs(self.weave_share))} "
            f"{'less' if self.weave_share < 0 else 'more'} than is wanted"
        )


@dataclass(frozen=True)
class TracedShape:
    """An outline drawn round the sample: mean and least sizes, cm, and how far the picks are skewed, degrees."""

    state: str
    mean_width_cm: float
    least_width_cm: float
    mean_length_cm: float
    least_length_cm: float
    skew_deg: float
    corners_cm: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class WidthForecast:
    """What a sample supports for the finished width of the planned cloth, cm: two ways, and what the model makes of all.

    `says` is the sentence; `supports_cm` runs from the least to the most of the three.
    """

    sample: str
    width_in_heddle_cm: float
    same_share_cm: Interval
    same_loss_cm: Interval
    fused_cm: Interval
    asked_width_cm: float
    supports_cm: tuple[float, float]
    says: str


def sizes(sample: SampleMeasured, side: str) -> tuple[Size, ...]:
    """The sizes known of a side, first state first; as measured, else as traced."""
    found = (_size(sample, state, side) for state in SIDES[side])
    return tuple(one for one in found if one is not None)


def _size(sample: SampleMeasured, state: State, side: str) -> Size | None:
    measured = getattr(sample, state.key)
    traced = getattr(sample, f"traced_{state.key}", None)
    cm = measured if measured is not None else traced
    if cm is None:
        return None
    error = table()["error"]
    by_hand = error["ruler_cm"] if measured is not None else sample_error("tracing", "cm")
    tension = error["tension_log"] if side == "length" else 0.0
    return Size(state, cm, sample.typed_log_sd.get(state.key) or math.hypot(by_hand / cm, tension))


def step_ratios(sample: SampleMeasured) -> tuple[StepRatio, ...]:
    """Every ratio between neighbouring states that were measured, and from the first to the last where there are more."""
    found: list[StepRatio] = []
    for side in SIDES:
        known = sizes(sample, side)
        found += [_ratio(side, one, other) for one, other in pairwise(known)]
        if len(known) > 2:
            found.append(_ratio(side, known[0], known[-1]))
    return tuple(found)


def _ratio(side: str, one: Size, other: Size) -> StepRatio:
    ratio = other.cm / one.cm
    return StepRatio(
        side=side,
        from_state=one.state.words,
        to_state=other.state.words,
        from_cm=one.cm,
        to_cm=other.cm,
        ratio=ratio,
        lost_share=1 - ratio,
        lost_of=one.state.of,
        weave_share=1 / ratio - 1,
        error_share=Z90 * math.hypot(one.log_sd, other.log_sd),
    )


def traced_shapes(part: SamplePart) -> tuple[TracedShape, ...]:
    """The outlines traced of a sample, before washing first."""
    words = {"off_loom": "off the loom", "finished": "finished"}
    return tuple(
        TracedShape(
            words[state],
            one.mean_width_cm,
            one.least_width_cm,
            one.mean_length_cm,
            one.least_length_cm,
            one.skew_deg,
            one.corners,
        )
        for state, one in outlines(part).items()
    )


def traced_sentences(name: str, shapes: tuple[TracedShape, ...]) -> Iterator[str]:
    """What an outline says that a tape does not: waves, and skew."""
    for one in shapes:
        waves = one.mean_width_cm - one.least_width_cm
        said = f"{name} {one.state}: {one.mean_width_cm:.1f} cm wide in the mean, {one.least_width_cm:.1f} cm at its narrowest"
        if waves > _MISREAD_CM:
            yield f"{said}; plan on the narrowest: trim {waves / 2:.1f} cm at each selvedge."
        if abs(one.skew_deg) >= 2:
            way = "right" if one.skew_deg > 0 else "left"
            yield f"{name} {one.state} is skewed by {abs(one.skew_deg):.0f}°: its {way} side runs ahead. Square it before measuring."


def smallness(sample: SampleMeasured, planned_width_cm: float | None) -> Iterator[str]:
    """Why the sample's size limits what it tells."""
    width, length = (next(iter(sizes(sample, side)), None) for side in ("width", "length"))
    if width and width.cm < NARROW_CM:
        yield f"{width.cm:.1f} cm wide: a strip under {NARROW_CM:g} cm tells little about a wide cloth"
    elif width and planned_width_cm and width.cm < planned_width_cm / 2:
        yield f"{width.cm:.1f} cm wide, less than half the {planned_width_cm:.1f} cm planned: what edges lose counts for more in it"
    if length and length.cm < SHORT_CM:
        yield f"{length.cm:.1f} cm long: 2 mm misread on it is {percent(_MISREAD_CM / length.cm)}"


def width_forecast(
    sample: SampleMeasured, width_in_heddle_cm: float, fused: Interval, asked_width_cm: float
) -> WidthForecast | None:
    """The finished width two ways and fused; None where the sample has no width both in the heddle and finished."""
    known = {size.state.key: size for size in sizes(sample, "width")}
    heddle, finished = known.get("width_in_heddle"), known.get("width_finished")
    if heddle is None or finished is None:
        return None
    share = _same_share(width_in_heddle_cm, heddle, finished)
    loss = _same_loss(width_in_heddle_cm, heddle, finished)
    low = min(share.expected, loss.expected, fused.low)
    high = max(share.expected, loss.expected, fused.high)
    return WidthForecast(
        sample=sample.name,
        width_in_heddle_cm=width_in_heddle_cm,
        same_share_cm=share,
        same_loss_cm=loss,
        fused_cm=fused,
        asked_width_cm=asked_width_cm,
        supports_cm=(low, high),
        says=f"{sample.name} supports {low:.1f} to {high:.1f} cm finished; {asked_width_cm:.1f} cm is asked",
    )


def _same_share(width_cm: float, heddle: Size, finished: Size) -> Interval:
    middle = width_cm * finished.cm / heddle.cm
    either_way = math.exp(Z90 * math.hypot(heddle.log_sd, finished.log_sd))
    return Interval(middle / either_way, middle, middle * either_way)


def _same_loss(width_cm: float, heddle: Size, finished: Size) -> Interval:
    """The same centimetres lost; they are known to the ruler, and to what edges may lose otherwise."""
    middle = width_cm - (heddle.cm - finished.cm)
    either_way = Z90 * math.hypot(heddle.log_sd * heddle.cm, finished.log_sd * finished.cm, table()["edge"]["sd"])
    return Interval(middle - either_way, middle, middle + either_way)
