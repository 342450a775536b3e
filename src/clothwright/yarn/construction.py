"""How a yarn is made: singles, folded yarns of like or unlike strands, cabled yarns of folded ones, and their twist.

Strands twisted together weigh what all of them weigh, so their tex add, and metres per gram combine as
1/R = 1/A + 1/B + …. That sum is the *nominal* resultant. Twisting also takes up some length, so that the yarn as it
is measured is a little heavier: the *folding take-up*, here measured tex ÷ nominal tex − 1. It is never added unasked.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final, TypeAlias

from clothwright.measure import Interval, Share


@dataclass(frozen=True)
class Twist:
    """Twist: "S", "Z" or "" for none, and turns per metre where they are known.

    S and Z say how the yarn's turns lean when it is held upright: as the middle stroke of the letter (ISO 2).
    """

    direction: str
    per_metre: float | None = None


@dataclass(frozen=True)
class Single:
    """One strand; `count` in `system` is its number as typed, where it was typed as one."""

    m_per_g: float
    twist: Twist | None = None
    filaments: int | None = None
    typed: str = ""
    system: str = ""
    count: float | None = None


@dataclass(frozen=True)
class Folded:
    """Strands twisted together; of folded yarns, a cabled yarn.

    `counted_whole`: its number is of the folded yarn itself, as R and the counts of spun silk are, with all that folding
    took up.
    """

    parts: tuple[Construction, ...]
    twist: Twist | None = None
    counted_whole: bool = False

    @property
    def m_per_g(self) -> float:
        """Metres per gram, folding take-up not included."""
        return folded(*(part.m_per_g for part in self.parts))


Construction: TypeAlias = Single | Folded

#: What folding usually takes up, a share of the strands' tex; more for hard twist. From memory of the trade, no source.
USUAL_FOLDING_TAKE_UP: Final = Interval(0.02, 0.05, 0.08)
#: A strand no thicker than the whole but for rounding leaves nothing for another.
_ROUNDING: Final = 1e-12


@dataclass(frozen=True)
class YarnNumber:
    """A yarn's number as typed; `m_per_g` is of the finished yarn, `strands_m_per_g` of each strand folded into it.

    `take_up`: by how much of the strands' tex the finished yarn is heavier, as measured or stated; None if nobody said.
    """

    typed: str
    m_per_g: float
    strands_m_per_g: tuple[float, ...]
    system: str
    construction: Construction | None = None
    take_up: float | None = None
    #: Where the take-up is from: "measured", "stated", or "" if nobody said.
    take_up_from: str = ""

    @property
    def tex(self) -> float:
        """Grams per kilometre of the finished yarn."""
        return 1000 / self.m_per_g

    @property
    def nominal_m_per_g(self) -> float:
        """Metres per gram of the strands together, folding take-up not included."""
        return folded(*self.strands_m_per_g)

    @property
    def twist(self) -> Twist | None:
        """The last twist put in: a single's own, or the folding twist."""
        return self.construction.twist if self.construction else None

    @property
    def is_folded(self) -> bool:
        """Whether strands were twisted together."""
        return len(self.strands_m_per_g) > 1

    @property
    def leaves_out_folding(self) -> bool:
        """Whether the number is the strands' only, and what folding took up is still to be reckoned with."""
        whole = isinstance(self.construction, Folded) and self.construction.counted_whole
        return self.is_folded and self.take_up is None and not whole


def singles(made: Construction) -> tuple[Single, ...]:
    """Every single strand of a yarn, in order."""
    if isinstance(made, Single):
        return (made,)
    return tuple(strand for part in made.parts for strand in singles(part))


def folded(*strands_m_per_g: float) -> float:
    """Metres per gram of strands folded together, folding take-up not included: 1/R = 1/A + 1/B + …"""
    return 1 / sum(1 / strand for strand in strands_m_per_g)


def side_by_side(*strands_m_per_g: float) -> float:
    """Metres per gram of yarns used side by side, an equal length of each: as many times their resultant."""
    return len(strands_m_per_g) * folded(*strands_m_per_g)


def missing_strand(resultant_m_per_g: float, *known_m_per_g: float) -> float:
    """The strand that makes the resultant with those known: A = R·B/(B − R) for one. *Source*: W. Davis."""
    known = folded(*known_m_per_g)
    if known <= resultant_m_per_g * (1 + _ROUNDING):
        strands = "the known strand is" if len(known_m_per_g) == 1 else "the known strands are"
        raise ValueError(f"{strands} already as thick as the folded yarn")
    return resultant_m_per_g * known / (known - resultant_m_per_g)


def measured_at(yarn: YarnNumber, measured_m_per_g: float) -> YarnNumber:
    """The yarn at its measured resultant, its take-up from that and the nominal one."""
    take_up = yarn.nominal_m_per_g / measured_m_per_g - 1
    return replace(yarn, m_per_g=measured_m_per_g, take_up=take_up, take_up_from="measured")


def with_take_up(yarn: YarnNumber, share: Share) -> YarnNumber:
    """The yarn with the folding take-up a person states: "3 %" of the strands' tex, or "3 % of strands" of their length."""
    return _taken_up(yarn, take_up_on_tex(share))


def _taken_up(yarn: YarnNumber, take_up: float) -> YarnNumber:
    return replace(yarn, m_per_g=yarn.nominal_m_per_g / (1 + take_up), take_up=take_up, take_up_from="stated")


def take_up_on_tex(share: Share) -> float:
    """A stated take-up as a share of the strands' tex; strands of length 1 that become 1 − s weigh 1 ÷ (1 − s) a length."""
    if share.expected >= 1:
        raise ValueError(f"“{share}”: that takes up everything; write a share below 100 %")
    if share.of in (None, "tex"):
        return share.expected
    if share.of in ("strands", "strand", "strand length"):
        return share.expected / (1 - share.expected)
    raise ValueError(f"“{share}”: write 3 %, more tex than the strands have, or 3 % of strands, of their length")
