"""Yarn in hand: lots and their balls, as weighed and measured.

A ball is weighed with or without its core, or metered. Metres are grams times metres per gram, and both are known
only so well: a scale to its step, a ruler to 2 mm and some stretch, ten metres of handspun to how uneven it is, a core
nobody weighed to a band. This module says what was measured and how well; belief about it is the evidence room's.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from clothwright.measure import GRAMS_PER_OUNCE, Interval
from clothwright.yarn.construction import USUAL_FOLDING_TAKE_UP
from clothwright.yarn.heddle_trial import HeddleTrial
from clothwright.yarn.weighing import GristReading, Pool, WashTest

#: A core nobody has weighed: 12 g (card, the lightest weighed) to 2 oz (the most a teacher allows). Common practice.
UNKNOWN_CORE_GRAMS: Final = Interval(12.0, math.sqrt(12.0 * 2 * GRAMS_PER_OUNCE), 2 * GRAMS_PER_OUNCE)
METERED_LENGTH_LOG_SD: Final = 0.02


class Use(StrEnum):
    """What a lot may be used for."""

    WARP = "warp"
    WEFT = "weft"
    BOTH = "warp and weft"
    #: Known by samples of it, and not in hand.
    SAMPLED = "only sampled"


@dataclass(frozen=True)
class Ball:
    """One ball, skein or cone. Either `net_g` (after the core) or `metres` by meter is known.

    `weight_sd_g`: error of the net weight from the scale; `core_unknown`: the weight still holds a core nobody weighed.
    `metres_log_sd`: error of the metres; `wound_on`: the winder they were counted on, whose error its balls share.
    """

    net_g: float | None = None
    weight_sd_g: float = 0.0
    core_unknown: bool = False
    metres: float | None = None
    grist: GristReading | None = None
    metres_log_sd: float = METERED_LENGTH_LOG_SD
    wound_on: str = ""


@dataclass(frozen=True)
class Lot:
    """A yarn in hand. `grist`: readings that hold for the whole lot; a ball may have its own."""

    name: str
    balls: tuple[Ball, ...]
    grist: tuple[GristReading, ...] = ()
    use: Use = Use.BOTH
    fibre: str = ""
    made: str = "handspun"
    plies: int | None = None
    washed: bool = True
    replaceable: bool = True
    colour: str = ""
    wraps_per_cm: float | None = None
    wash_test: WashTest | None = None
    heddle_trial: HeddleTrial | None = None

    @property
    def grams(self) -> float:
        """Weighed grams, unknown cores taken at their expected weight; a metered ball by its grist."""
        return sum(self.ball_grams(ball) for ball in self.balls)

    def ball_grams(self, ball: Ball) -> float:
        """Grams of yarn on one ball."""
        if ball.net_g is not None:
            return self.net_g(ball, UNKNOWN_CORE_GRAMS.expected)
        return (ball.metres or 0.0) / self.ball_m_per_g(ball)

    def ball_m_per_g(self, ball: Ball) -> float:
        """Metres per gram by hand: the ball's own reading, else the lot's."""
        return ball.grist.m_per_g if ball.grist else self.m_per_g

    @property
    def m_per_g(self) -> float:
        """Metres per gram by hand: the readings of the lot pooled as length over weight, else the mean of its balls'."""
        readings = self.grist or tuple(ball.grist for ball in self.balls if ball.grist)
        if not readings:
            raise ValueError(f"{self.name}: nothing says how many metres a gram holds")
        return Pool(readings).m_per_g

    @property
    def expected_m_per_g(self) -> float:
        """The same, with what folding usually takes up off a count that leaves it out."""
        left_out = USUAL_FOLDING_TAKE_UP.expected if self.folding_left_out else 0.0
        return self.m_per_g / (1 + left_out)

    @property
    def folding_left_out(self) -> tuple[str, ...]:
        """The counts, as typed, that the metres rest on and that leave out what folding took up."""
        weighed_apart = self.balls and all(ball.grist or ball.metres for ball in self.balls)
        rests_on = (*(() if weighed_apart else self.grist), *(ball.grist for ball in self.balls))
        return tuple(dict.fromkeys(one.typed for one in rests_on if one and one.leaves_out_folding))

    @property
    def has_grist(self) -> bool:
        """Whether anything says how many metres a gram holds."""
        return bool(self.grist) or any(ball.grist for ball in self.balls)

    def net_g(self, ball: Ball, core_g: float) -> float:
        """Grams of a weighed ball, if its core, where nobody weighed it, weighs so much."""
        return (ball.net_g or 0.0) - (core_g if ball.core_unknown else 0.0)

    def metres_by_hand(self) -> Interval:
        """Metres as a calculator gives them, metres per gram to four places, a folded count as it stands.

        Low is with the heaviest unknown core, and with the most that folding usually takes up where a count leaves it out.
        """
        cores = UNKNOWN_CORE_GRAMS.high, UNKNOWN_CORE_GRAMS.expected, UNKNOWN_CORE_GRAMS.low
        shares = USUAL_FOLDING_TAKE_UP.high, 0.0, 0.0
        return Interval(*(self._metres(core, share) for core, share in zip(cores, shares, strict=True)))

    def _metres(self, core_g: float, folding: float) -> float:
        return sum(self._ball_metres(ball, core_g, folding) for ball in self.balls) * self.kept_by_hand

    @property
    def kept_by_hand(self) -> float:
        """What washing leaves of the metres, by the weaver's own test to three places; 1 where nobody tried."""
        return 1.0 if self.washed or self.wash_test is None else round(self.wash_test.ratio, 3)

    def _ball_metres(self, ball: Ball, core_g: float, folding: float) -> float:
        if ball.metres is not None:
            return ball.metres
        counted = any(one.leaves_out_folding for one in ((ball.grist,) if ball.grist else self.grist))
        taken_up = folding if counted else 0.0
        return round(self.net_g(ball, core_g), 2) * round(self.ball_m_per_g(ball), 4) / (1 + taken_up)
