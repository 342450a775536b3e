"""Belief about yarn in hand: how many metres the weighed grams hold.

Unknowns of a lot, as logarithms: `grist` of the lot, how each ball differs from it, what washing does to metres wound
under tension, what folding took up of a count that leaves it out, the weight of a core nobody weighed; and the error of the scale over all its balls, in grams. A reading of
a few metres tells of its own ball, as well as a few metres can; through the lot it tells a little of the others.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, Final

import numpy as np

from clothwright.evidence.belief import Belief, Measurement, independent
from clothwright.evidence.priors import table
from clothwright.measure import Z90, Draws, Rung
from clothwright.yarn import METERED_LENGTH_LOG_SD, UNKNOWN_CORE_GRAMS, USUAL_FOLDING_TAKE_UP, Ball, GristReading, Lot

METER: Final = "meter"
_UNREAD: Final = 0.7


def grist_unknown(lot: Lot) -> str:
    """Name of the lot's log metres per gram, in the state it was measured."""
    return f"yarn {lot.name}: grist"


def ball_unknown(lot: Lot, number: int) -> str:
    """Name of the log by which a ball's metres per gram differ from the lot's."""
    return f"yarn {lot.name}: ball {number} against the lot"


def metres_per_gram(lot: Lot) -> tuple[float, float]:
    """Log washed metres per gram of a lot, and its spread."""
    return stock_belief((lot,)).expected(metres_weights(lot))


def metres_weights(lot: Lot) -> dict[str, float]:
    """The unknowns whose sum is the log of washed metres per gram of a lot."""
    washing = {} if lot.washed else {_wash_unknown(lot): 1.0}
    return {grist_unknown(lot): 1.0} | washing


def _wash_unknown(lot: Lot) -> str:
    return f"yarn {lot.name}: washing"


def folding_unknown(lot: Lot) -> str:
    """Name of the log of measured over counted metres per gram, where a count leaves out what folding took up."""
    return f"yarn {lot.name}: folding"


def core_unknown(lot: Lot) -> str:
    """Name of the log grams of a core nobody weighed."""
    return f"yarn {lot.name}: core"


def _meter_unknown(ball: Ball) -> str:
    """Name of the log error of a metered length; balls wound on one tool share its turn's."""
    return f"yarn wound on {ball.wound_on}" if ball.wound_on else METER


def _scale_unknown(lot: Lot) -> str:
    return f"yarn {lot.name}: scale"


def stock_belief(lots: tuple[Lot, ...]) -> Belief:
    """Belief about every lot's unknowns, after its own readings."""
    unknowns: dict[str, tuple[float, float]] = {METER: (0.0, METERED_LENGTH_LOG_SD)}
    for ball in (ball for lot in lots for ball in lot.balls if ball.metres is not None):
        known = unknowns.get(_meter_unknown(ball), (0.0, 0.0))[1]
        unknowns[_meter_unknown(ball)] = (0.0, max(known, ball.metres_log_sd))
    for lot in lots:
        unknowns |= _unknowns(lot)
    belief = independent(unknowns)
    return belief.conditioned([row for lot in lots for row in _reading_rows(lot)])


def _unknowns(lot: Lot) -> dict[str, tuple[float, float]]:
    spread = _spreads(lot)
    found = {grist_unknown(lot): (math.log(lot.m_per_g) if lot.has_grist else 0.0, _UNREAD)}
    for number, _ in enumerate(lot.balls):
        found[ball_unknown(lot, number)] = (0.0, spread["between_balls"])
    if not lot.washed:
        found[_wash_unknown(lot)] = _washing(lot)
    if any(one and one.leaves_out_folding for one in (*lot.grist, *(ball.grist for ball in lot.balls))):
        found[folding_unknown(lot)] = _folding()
    if any(ball.core_unknown for ball in lot.balls):
        core = UNKNOWN_CORE_GRAMS
        found[core_unknown(lot)] = (math.log(core.expected), math.log(core.high / core.low) / (2 * Z90))
    found[_scale_unknown(lot)] = (0.0, math.hypot(0.01, *(ball.weight_sd_g for ball in lot.balls)))
    return found


def _folding() -> tuple[float, float]:
    """Log of what folding leaves of the strands' metres per gram: the usual take-up as a 90 % interval."""
    least, most = math.log1p(USUAL_FOLDING_TAKE_UP.low), math.log1p(USUAL_FOLDING_TAKE_UP.high)
    return -(least + most) / 2, (most - least) / (2 * Z90)


def _washing(lot: Lot) -> tuple[float, float]:
    """Log of what washing leaves of the metres: by the weaver's own test skein, else by the table."""
    spread = _spreads(lot)
    if lot.wash_test is None:
        return spread["wash"]["mean"], spread["wash"]["sd"]
    return math.log(lot.wash_test.ratio), math.hypot(lot.wash_test.log_sd, spread["wash_between_skeins"])


def _spreads(lot: Lot) -> Mapping[str, Any]:
    yarns: Mapping[str, Mapping[str, Any]] = table()["yarn"]
    return yarns["mill" if lot.made == "mill" else "handspun"]


def between_balls(lot: Lot) -> float:
    """Log spread of metres per gram between balls of a lot made like this one."""
    return float(_spreads(lot)["between_balls"])


def _reading_rows(lot: Lot) -> list[Measurement]:
    rows = [_lot_row(lot, reading) for reading in lot.grist]
    for number, ball in enumerate(lot.balls):
        if ball.grist:
            weights = _of_reading(lot, ball.grist) | {ball_unknown(lot, number): 1.0}
            what = f"{lot.name}, ball {number + 1}: {ball.grist.typed}"
            rows.append(_row(weights, ball.grist, reading_error(lot, ball.grist), what))
    return rows


def _lot_row(lot: Lot, reading: GristReading) -> Measurement:
    """A reading for the lot: a label, or a few metres of some ball of it."""
    spread = reading_error(lot, reading)
    if reading.of_metres is not None:
        spread = math.hypot(spread, _spreads(lot)["between_balls"])
    return _row(_of_reading(lot, reading), reading, spread, f"{lot.name}: {reading.typed}")


def _of_reading(lot: Lot, reading: GristReading) -> dict[str, float]:
    """What a reading tells of: the yarn as it is, or of a bare count the yarn as it was before folding took up."""
    counted = {folding_unknown(lot): -1.0} if reading.leaves_out_folding else {}
    return {grist_unknown(lot): 1.0} | counted


def _row(weights: dict[str, float], reading: GristReading, spread: float, what: str) -> Measurement:
    return Measurement(weights, math.log(reading.m_per_g), spread, what, Rung.CALCULATED)


def reading_error(lot: Lot, reading: GristReading) -> float:
    """Log spread of a reading: the scale and ruler, and how uneven the yarn is over so few metres."""
    if reading.of_metres is None:
        return max(reading.log_sd, 0.0) or float(_spreads(lot)["label"])
    return math.hypot(reading.log_sd, _spreads(lot)["within_ten_metres"] * math.sqrt(10 / reading.of_metres))


def metres_of_balls(lot: Lot, draws: Mapping[str, Draws]) -> Draws:
    """Washed metres on each ball, (balls, draws): grams times metres per gram, never below nothing."""
    weighed = [number for number, ball in enumerate(lot.balls) if ball.net_g is not None] or [-1]
    rows = [_ball_metres(lot, number, len(weighed), draws) for number in range(len(lot.balls))]
    metres = np.clip(np.array(rows).reshape(len(lot.balls), -1), 0.0, None)
    return np.asarray(metres * np.exp(draws[_wash_unknown(lot)])) if not lot.washed else metres


def _ball_metres(lot: Lot, number: int, weighed: int, draws: Mapping[str, Draws]) -> Draws:
    ball = lot.balls[number]
    if ball.metres is not None:
        return np.asarray(ball.metres * np.exp(draws[_meter_unknown(ball)]))
    grams = (ball.net_g or 0.0) + draws[_scale_unknown(lot)] / weighed
    if ball.core_unknown:
        grams = grams - np.exp(draws[core_unknown(lot)])
    return np.asarray(grams * np.exp(draws[grist_unknown(lot)] + draws[ball_unknown(lot, number)]))
