"""Weighing yarn: short lengths, several of them, washing tests, damp, and how far each can be trusted.

A count from a short length is as good as its worst tool. With a scale of step δm and a ruler to δL,

    relative error = √((δm/m)² + (δL/L)²)

so ten metres of a 100 tex yarn, 1 g, on a scale of 0.1 g, are known to 10 %; a hundred metres to 1 %. How firmly the yarn is
held while it is measured counts as well: about 1 %, common practice, no source.

*Limit*: ISO 2060 and ASTM D1907 hold up to 2000 tex and for yarns that hardly stretch; many handspun woollens do stretch.
"""

from __future__ import annotations

import math
import re
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any, Final

from clothwright.measure import Length, QuantityError, Weight, plainly

#: Measuring a few metres of yarn by hand: relative error of the length, from tension. Common practice, no source.
HAND_MEASURED_LENGTH_LOG_SD: Final = 0.01
#: A ruler or tape is read to 2 mm. Common practice, no source.
RULER_M: Final = 0.002
_EVEN: Final = 12**0.5


@dataclass(frozen=True)
class GristReading:
    """One reading of metres per gram: `log_sd` of the reading, `of_metres` how much yarn was weighed (None: a label).

    `leaves_out_folding`: a count of folded strands that says nothing of what folding took up.
    """

    m_per_g: float
    log_sd: float
    of_metres: float | None = None
    typed: str = ""
    leaves_out_folding: bool = False


@dataclass(frozen=True)
class ShortLength:
    """A length of yarn weighed on a scale of some step, and what each tool leaves open, as shares."""

    length_m: float
    weight_g: float
    step_g: float
    typed: str = ""

    @property
    def m_per_g(self) -> float:
        """Metres per gram."""
        return self.length_m / self.weight_g

    @property
    def scale_share(self) -> float:
        """The scale's step as a share of the weight."""
        return self.step_g / self.weight_g

    @property
    def ruler_share(self) -> float:
        """Two millimetres as a share of the length."""
        return RULER_M / self.length_m

    @property
    def share(self) -> float:
        """What scale and ruler leave open together, √((δm/m)² + (δL/L)²)."""
        return math.hypot(self.scale_share, self.ruler_share)

    @property
    def reading(self) -> GristReading:
        """The reading as evidence: the scale is even within its step, and tension counts."""
        spread = math.hypot(self.scale_share / _EVEN, self.ruler_share, HAND_MEASURED_LENGTH_LOG_SD)
        return GristReading(self.m_per_g, spread, of_metres=self.length_m, typed=self.typed)

    @property
    def told(self) -> str:
        """What was weighed and how well, in words; where the scale is too coarse, what length would do."""
        sentence = (
            f"{plainly(self.length_m, 4)} m weigh {plainly(self.weight_g, 4)} g: {plainly(self.m_per_g, 4)} m/g, to "
            f"{_percent(self.share)}; the scale's step of {plainly(self.step_g, 3)} g is {_percent(self.scale_share)} of "
            f"the weight, 2 mm of ruler {_percent(self.ruler_share)} of the length."
        )
        if self.scale_share > _COARSE:
            needed = math.ceil(self.length_m * self.scale_share / _GOOD)
            sentence += f" Weigh {needed} m on this scale, or use a finer one, for {_percent(_GOOD)}."
        return sentence


#: Above this share the scale is said to be too coarse for the length; a longer one would bring it down to the other.
_COARSE: Final = 0.02
_GOOD: Final = 0.01


def weighed(length_m: float, weight_g: float, *, step_g: float, typed: str = "") -> GristReading:
    """A reading from a short length weighed; relative error √((δm/m)² + (δL/L)²), the scale even within its step."""
    return ShortLength(length_m, weight_g, step_g, typed).reading


def read_weighing(text: str, *, step_g: float | None = None) -> ShortLength:
    """A length and what it weighs, either first: "10 m = 3.1 g". The scale's step, unless given, is the last place typed."""
    typed = text.strip()
    parts = [part for part in re.split(r"\s*(?:=|/|:|,\s|\bweighs?\b)\s*", typed, maxsplit=1) if part]
    if len(parts) != 2:
        raise QuantityError(typed, "a length and what it weighs are needed", _WEIGHING)
    if re.search(r"[a-zA-Z]+", parts[0]) and _is_weight(parts[0]):
        parts.reverse()
    length, weight = Length.read(parts[0]), Weight.read(parts[1])
    if length.low <= 0 or weight.low <= 0:
        raise QuantityError(typed, "both must be more than nothing", _WEIGHING)
    step = step_g or weight.step or _UNREAD_STEP * weight.grams
    return ShortLength(length.cm / 100, weight.grams, step, typed)


_WEIGHING: Final = "10 m = 3.1 g"
#: Weights in fractions of an ounce do not show the scale's step: taken as this share. Common practice, no source.
_UNREAD_STEP: Final = 0.02


def _is_weight(text: str) -> bool:
    try:
        Weight.read(text)
    except QuantityError:
        return False
    return True


@dataclass(frozen=True)
class Pool:
    """Several readings of one yarn."""

    readings: tuple[GristReading, ...]

    @property
    def m_per_g(self) -> float:
        """Metres per gram of all together: length over weight; readings without a length count alike."""
        if any(reading.of_metres is None for reading in self.readings):
            return len(self.readings) / sum(1 / reading.m_per_g for reading in self.readings)
        metres = [reading.of_metres or 0.0 for reading in self.readings]
        grams = sum(length / reading.m_per_g for length, reading in zip(metres, self.readings, strict=True))
        return sum(metres) / grams

    @property
    def spread(self) -> float | None:
        """Standard deviation of one reading against the next, as a share; None of a single reading."""
        if len(self.readings) < 2:
            return None
        logs = [math.log(reading.m_per_g) for reading in self.readings]
        mean = sum(logs) / len(logs)
        return math.sqrt(sum((one - mean) ** 2 for one in logs) / (len(logs) - 1))

    @property
    def tools(self) -> float:
        """What scale, ruler and tension alone would spread, as a share."""
        return math.sqrt(sum(reading.log_sd**2 for reading in self.readings) / len(self.readings))

    @property
    def told(self) -> str:
        """The pooled figure and its spread, in words."""
        every = [reading.m_per_g for reading in self.readings]
        pooled = plainly(self.m_per_g, 4)
        if self.spread is None:
            return f"One weighing: {pooled} m/g; weigh two more places to see how even the yarn is."
        said = (
            f"{len(every)} weighings together: {pooled} m/g, from {plainly(min(every), 4)} to {plainly(max(every), 4)}. "
            f"They differ by {_percent(self.spread)}; scale, ruler and tension alone would make {_percent(self.tools)}. "
        )
        uneven = self.spread > 2 * self.tools
        verdict = "The yarn is uneven" if uneven else "No more than measuring explains"
        return (
            f"{said}{verdict}; the mean is known to {_percent(max(self.spread, self.tools) / math.sqrt(len(every)))}."
        )


def _percent(share: float) -> str:
    return f"{plainly(100 * share, 2)} %"


@dataclass(frozen=True)
class WashTest:
    """What washing did to a test skein: `ratio` is metres after over metres before; `log_sd` how well it is known."""

    ratio: float
    log_sd: float
    typed: str = ""

    @property
    def told(self) -> str:
        """The ratio in words."""
        change = abs(1 - self.ratio)
        what = "lost" if self.ratio < 1 else "gained"
        return f"{self.typed}: {_percent(change)} of its length {what}, so × {plainly(self.ratio, 3)}"


def washed_length(before_m: float, after_m: float, *, typed: str = "") -> WashTest:
    """The ratio from one skein measured before and after washing."""
    tape = math.hypot(RULER_M / before_m, RULER_M / after_m)
    return WashTest(after_m / before_m, math.hypot(tape, HAND_MEASURED_LENGTH_LOG_SD * math.sqrt(2)), typed)


def washed_weight(before_g: float, after_g: float, *, step_g: float, typed: str = "") -> WashTest:
    """The ratio from the same length weighed of unwashed and of washed yarn: shorter yarn weighs more a metre.

    *Limit*: what washes out of the yarn (oil, dirt) makes the loss look smaller than it is.
    """
    scale = math.hypot(step_g / before_g, step_g / after_g) / _EVEN
    return WashTest(before_g / after_g, math.hypot(scale, HAND_MEASURED_LENGTH_LOG_SD * math.sqrt(2)), typed)


@cache
def _table(name: str) -> dict[str, list[dict[str, Any]]]:
    return tomllib.loads(resources.files(__package__).joinpath(name).read_text(encoding="utf-8"))


def beyond_standards(tex: float) -> tuple[str, ...]:
    """What to know of a yarn coarser than the standards for weighing a skein were made for."""
    limits = [row for row in _table("standards.toml")["limit"] if tex > row["most_tex"]]
    if not limits:
        return ()
    names = " and ".join(row["name"] for row in limits)
    return (
        f"Coarser than {limits[0]['most_tex']:.0f} tex, beyond {names}: measure it by a method of your own, long lengths "
        "under a small steady pull, and say so beside the number.",
    )


def stretch_note() -> str:
    """Up to what stretch the standard ways hold; soft handspun often goes beyond."""
    said = "; ".join(
        f"{row['name']} up to {plainly(100 * row['stretch'], 2)} % when the pull rises from "
        f"{row['from_cn_per_tex']:g} to {row['to_cn_per_tex']:g} cN/tex"
        for row in _table("standards.toml")["limit"]
    )
    return (
        f"Weighing a measured length holds for yarns that hardly stretch ({said}). Stretchy handspun goes beyond that: "
        "measure it under one small pull, always the same, and note which."
    )


def regain(fibre: str) -> float | None:
    """Water by custom, as a share of the dry weight; None where the fibre is not in the table, or several are."""
    shares = {
        row["share"] for row in _table("regain.toml")["regain"] if any(word in fibre.lower() for word in row["words"])
    }
    return shares.pop() if len(shares) == 1 else None


def at_regain(weight_g: float, *, of: float, to: float) -> float:
    """What yarn weighed at one regain weighs at another: dry weight × (1 + regain). By arithmetic."""
    return weight_g * (1 + to) / (1 + of)


def damp_note(fibre: str) -> str | None:
    """A caution about weighing the fibre damp or very dry; None where its regain is not in the table."""
    share = regain(fibre)
    if share is None:
        return None
    drier = share * 2 / 3
    change = 1 - at_regain(1.0, of=share, to=drier)
    return (
        f"{fibre.strip().capitalize()} holds water: by custom {plainly(100 * share, 4)} % of its dry weight (from memory of trade "
        f"tables). In a dry room, at {plainly(100 * drier, 2)} %, it weighs {plainly(100 * change, 2)} % less, damp from the wash "
        "much more: let it hang a day in the room where it is weighed."
    )
