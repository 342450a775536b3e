"""What is believed of the weft from here to the end: the evidence engine, with a beat that may change along the cloth.

The logarithm of the grams of a yarn that a cm woven at a place s takes is

    r(s) = r + d(s),    with a plan    r = q + u + ln(width in heddle ÷ 100) − g + b

q picks per cm on the loom, u weft yarn per pick over width in heddle, g metres per gram, b how the balls in the shuttle
differ from their lot: the unknowns of the plan, with all that was known of them before the first pick. Without a plan r is
two unknowns of wide spread, picks and the weight of a pick. Several wefts have each a share of the weaving besides.

A yarn that warp and weft share, and that nobody weighed before the first pick, has T grams less W metres of warp: what is left,
T − W exp(−g), hangs on the same g as what the weft takes. In a drawn cloth it is the metres of the balls less W, in grams, so
that before the first pick the answer is the plan's; in the row of its first stretch it is taken as linear in g,
ln(used ÷ length) = r + … − (w ÷ used)(g − ḡ), w grams of warp at the expected ḡ.

d is how the beat drifts from the first pick on: a walk drawn back to the hand's own beat over a length λ, and a trend,

    Cov[d(s), d(t)] = ½ τ² λ (exp(−|s − t| ÷ λ) − exp(−(s + t) ÷ λ)) + σ² s t,

held at the marks of the log and at the end. Between marks a and b, close together beside λ, it is a bridge: its mean over the stretch is
½(d(a) + d(b)) with variance τ²(b − a)/12. How far a hand wanders (τ) is not known, so some are tried, each weighed by how well it
explains the log, and the drawn cloths are shared out among them.

Each thing logged is a row. A stretch in which w grams were used between two weighings, whose errors e are unknowns of
their own because two stretches share each: ln(w ÷ length) = r + ½(d(a) + d(b)) + (e(a) − e(b)) ÷ w. Picks counted: q + d at
the middle of the count. Width at the fell: draw-in and edge, as of a sample. Warp left behind the heddle: take-up.

*Source*: Gaussian conditioning, Brownian bridge, and the walk drawn back (Uhlenbeck and Ornstein 1930), any text; the spreads are in `drift.toml`, common practice, fitted to nothing.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from clothwright.evidence import (
    EDGE,
    METER,
    Belief,
    Making,
    Measurement,
    Questioned,
    Step,
    between_balls,
    independent,
    joint,
    metres_of_balls,
    metres_weights,
    table,
)
from clothwright.measure import Draws, Rung
from clothwright.planning.forecast import WASTE, all_lots
from clothwright.project.domain import making
from clothwright.weaving.logged import THE_PLAN, Counted, Weighing, Width
from clothwright.weaving.standing import Standing, Warped
from clothwright.weaving.stretches import telling
from clothwright.yarn import Lot

PICKS_ALONE: Final = "picks"
_REST: Final = "drift of the rest"
#: The golden section, by whose multiples draws are shared out evenly.
_GOLDEN: Final = (math.sqrt(5) - 1) / 2


@cache
def drift_table() -> dict[str, Any]:
    """How the beat may change along a cloth, as data."""
    return tomllib.loads(resources.files(__package__).joinpath("drift.toml").read_text(encoding="utf-8"))


def drawn_back(metres: NDArray[np.float64]) -> NDArray[np.float64]:
    """Covariances of a walk from the first pick on, drawn back to where it began, at places in m; of unit spread at first."""
    back: float = drift_table()["wander"]["back_over_m"]
    apart, together = np.abs(np.subtract.outer(metres, metres)), np.add.outer(metres, metres)
    return np.asarray(back / 2 * (np.exp(-apart / back) - np.exp(-together / back)))


@dataclass(frozen=True)
class Beaten:
    """Drawn cloths after the log. `log_g_per_cm`: of each yarn over the rest; `left_g`: of each at its last weighing.

    `drawn`: every unknown of the plan; `questioned`: what of the log lay far from what was believed.
    """

    log_g_per_cm: Mapping[str, Draws]
    left_g: Mapping[str, Draws]
    drawn: Mapping[str, Draws]
    questioned: tuple[Questioned, ...]


def beaten(standing: Standing) -> Beaten:
    """The drawn cloths of what stands on the loom."""
    model = _Model.of(standing)
    wander = drift_table()["wander"]
    tried = [model.belief(spread) for spread in wander["per_root_metre"]]
    weights = _posterior(np.array([one.log_likelihood for one in tried]), np.array(wander["weight"]))
    names = model.asked_of()
    drawn = _shared_out([one.after.kept(names).draws() for one in tried], weights)
    best = tried[int(np.argmax(weights))].after
    rates = {yarn: _sum(model.rate_of_rest(yarn), drawn) + model.constant for yarn in standing.yarns}
    left = {yarn: _left(yarn, standing, drawn) for yarn in standing.yarns}
    known = best.questioned[model.questioned_before :]
    return Beaten(rates, left, drawn, known)


def _posterior(log_likelihood: NDArray[np.float64], weight: NDArray[np.float64]) -> NDArray[np.float64]:
    raised = weight * np.exp(log_likelihood - np.max(log_likelihood))
    return np.asarray(raised / np.sum(raised))


def _shared_out(drawn: Sequence[Mapping[str, Draws]], weights: NDArray[np.float64]) -> dict[str, Draws]:
    """Draws of one belief or another, each as often as its weight, evenly through the net."""
    names = drawn[0].keys()
    count = len(next(iter(drawn[0].values())))
    place = (np.arange(count) * _GOLDEN) % 1.0
    which = np.minimum(np.searchsorted(np.cumsum(weights), place, side="right"), len(weights) - 1)
    return {name: np.choose(which, [one[name] for one in drawn]) for name in names}


def _sum(weights: Mapping[str, float], drawn: Mapping[str, Draws]) -> Draws:
    return np.asarray(sum(weight * drawn[name] for name, weight in weights.items()))


def _left(yarn: str, standing: Standing, drawn: Mapping[str, Draws]) -> Draws:
    """Grams really left at the last weighing, or of a yarn not weighed yet: its balls' metres less the warp's, in grams."""
    last = standing.log.weighings[yarn][-1]
    lot = _lot(standing, yarn)
    if lot and not _weighed_yet(standing, yarn):
        metres = np.sum(metres_of_balls(lot, drawn), axis=0) - last.less_warp_m
        return np.asarray(np.clip(metres * np.exp(-_sum(metres_weights(lot), drawn)), 0.0, None))
    return np.clip(last.grams - drawn[_scale(yarn, last)], 0.0, None)


def _weighed_yet(standing: Standing, yarn: str) -> bool:
    """Whether the log has a weighing of a yarn, beside what the plan knew of it."""
    return standing.log.weighings[yarn][-1].key != THE_PLAN


def _lot(standing: Standing, yarn: str) -> Lot | None:
    """The lot of a yarn of the plan; None without a plan."""
    lots = all_lots(standing.warped.job) if standing.warped else ()
    return next((one for one in lots if one.name == yarn), None)


def _scale(yarn: str, one: Weighing) -> str:
    return f"scale: {yarn} at {one.woven_cm:g}"


def _drift(cm: float) -> str:
    return f"drift at {cm:g}"


@dataclass(frozen=True)
class _Told:
    """Belief after the log, and how likely the log was before it."""

    after: Belief
    log_likelihood: float


@dataclass(frozen=True)
class _Model:
    """The unknowns and rows of one log. `constant`: what is known of every rate; `knots` in cm along the cloth, above 0."""

    standing: Standing
    base: Belief
    knots: tuple[float, ...]
    constant: float

    @classmethod
    def of(cls, standing: Standing) -> _Model:
        """The model for what stands on the loom."""
        places = {cm for cm in (*standing.log.marks_cm, standing.to_weave_cm) if cm > 0}
        warped = standing.warped
        constant = math.log(warped.width_in_heddle_cm / 100) if warped else 0.0
        base = joint([_planned(warped), _own(standing)] if warped else [_unplanned(standing), _own(standing)])
        return cls(standing, base, tuple(sorted(places)), constant)

    @property
    def questioned_before(self) -> int:
        """How many measurements were questioned before the log came."""
        return len(self.base.questioned)

    def asked_of(self) -> tuple[str, ...]:
        """The unknowns that the answer asks of: those of the plan, and of the log those of the rest."""
        marks = {_scale(yarn, one) for yarn in self.standing.yarns for one in self.standing.log.weighings[yarn]}
        rest = [name for yarn in self.standing.yarns for name in self.rate_of_rest(yarn)]
        last = [_scale(yarn, self.standing.log.weighings[yarn][-1]) for yarn in self.standing.yarns]
        return tuple(dict.fromkeys([*(name for name in self.base.names if name not in marks), *rest, *last]))

    def belief(self, per_root_metre: float) -> _Told:
        """Belief after the log, for a hand that wanders so."""
        before = joint([self.base, self._drift_belief(per_root_metre)])
        rows = list(self._rows(per_root_metre))
        return _Told(before.conditioned(rows), _log_likelihood(before, rows))

    def _drift_belief(self, per_root_metre: float) -> Belief:
        metres = np.array(self.knots) / 100
        trend = drift_table()["trend"]["per_metre"]
        covariance = per_root_metre**2 * drawn_back(metres) + trend**2 * np.outer(metres, metres)
        names = tuple(_drift(cm) for cm in self.knots)
        walk = Belief(names, np.zeros(len(names)), covariance)
        rest = per_root_metre * math.sqrt(self.standing.still_to_weave_cm / 100 / 12)
        return joint([walk, independent({_REST: (0.0, max(rest, 1e-9))})])

    def drift_at(self, cm: float) -> dict[str, float]:
        """The drift at a place, between its neighbouring knots; none at the first pick."""
        if cm <= 0 or not self.knots:
            return {}
        after = next((knot for knot in self.knots if knot >= cm - 1e-6), self.knots[-1])
        before = max((knot for knot in self.knots if knot < after), default=0.0)
        share = min(1.0, (cm - before) / (after - before)) if after > before else 1.0
        found = {_drift(after): share}
        return found | ({_drift(before): 1 - share} if before > 0 and share < 1 else {})

    def mean_drift(self, from_cm: float, to_cm: float) -> dict[str, float]:
        """The mean drift over a stretch, from its ends."""
        total: dict[str, float] = {}
        for one in (self.drift_at(from_cm), self.drift_at(to_cm)):
            for name, weight in one.items():
                total[name] = total.get(name, 0.0) + weight / 2
        return total

    def rate(self, yarn: str) -> dict[str, float]:
        """The unknowns whose sum, with the constant, is the log of grams per cm of a yarn where the drift is none."""
        several = {_share(yarn): 1.0} if len(self.standing.yarns) > 1 else {}
        warped = self.standing.warped
        if warped is None:
            return {PICKS_ALONE: 1.0, _pick_weight(yarn): 1.0} | several
        made = _made(warped)
        lot = _lot(self.standing, yarn)
        grist = {name: -weight for name, weight in metres_weights(lot).items()} if lot else {}
        return {made.unknown(Step.PICKS): 1.0, made.unknown(Step.PICK_LENGTH): 1.0, _ball(yarn): 1.0} | grist | several

    def rate_of_rest(self, yarn: str) -> dict[str, float]:
        """The same over what is still to be woven."""
        last, rate = self.standing.log.weighings[yarn][-1].woven_cm, self.rate(yarn)
        if not _weighed_yet(self.standing, yarn):
            rate.pop(_ball(yarn), None)  # all of its balls are still to be woven, each with its own metres
        return {**rate, **self.mean_drift(last, self.standing.to_weave_cm), _REST: 1.0}

    def _rows(self, per_root_metre: float) -> Iterator[Measurement]:
        log = self.standing.log
        for yarn in self.standing.yarns:
            yield from self._weighed(yarn, log.weighings[yarn], per_root_metre)
        yield from map(self._counted, log.picks)
        if self.standing.warped is not None:
            yield from (self._width(one, self.standing.warped) for one in log.widths)
            yield from self._warp_left(self.standing.warped)

    def _weighed(self, yarn: str, weighings: Sequence[Weighing], per_root_metre: float) -> Iterator[Measurement]:
        mark = drift_table()["mark"]["cm"]
        for one in telling(weighings, self.standing.woven_with(yarn)):
            before, after, used = one.before, one.after, one.used_g
            weights = self.rate(yarn) | self.mean_drift(before.woven_cm, after.woven_cm)
            weights |= {_scale(yarn, before): 1 / used, _scale(yarn, after): -1 / used}
            bridge = per_root_metre * math.sqrt(one.length_cm / 100 / 12)
            spread = math.hypot(bridge, math.sqrt(2) * mark / one.length_cm)
            what = f"{yarn}: {used:.4g} g from {before.woven_cm:g} to {after.woven_cm:g} cm"
            value, hangs = math.log(one.g_per_cm) - self.constant, self._less_warp(yarn, before)
            for name, grams in hangs.items():
                weights[name] = weights.get(name, 0.0) - grams / used
                value -= grams / used * self.base.expected({name: 1.0})[0]
            yield Measurement(weights, value, spread, what, Rung.MEASURED_ON_LOOM)

    def _less_warp(self, yarn: str, start: Weighing) -> dict[str, float]:
        """By how many grams what was left rises with each logarithm that makes up the metres per gram: the warp's own."""
        lot = _lot(self.standing, yarn)
        if lot is None or not start.less_warp_m:
            return {}
        log_m_per_g, _ = self.base.expected(metres_weights(lot))
        warp_g = start.less_warp_m / math.exp(log_m_per_g)
        return {name: warp_g * weight for name, weight in metres_weights(lot).items()}

    def _counted(self, one: Counted) -> Measurement:
        picks = _made(self.standing.warped).unknown(Step.PICKS) if self.standing.warped else PICKS_ALONE
        error, uneven = table()["error"], drift_table()["uneven"]["over_ten_cm"]
        spread = math.hypot(
            error["picks_counted"] / one.count, error["picks_log"], uneven * math.sqrt(10 / one.over_cm)
        )
        weights = {picks: 1.0} | self.drift_at(max(0.0, one.woven_cm - one.over_cm / 2))
        what = f"{one.per_cm:.2f} picks per cm at {one.woven_cm:g} cm"
        return Measurement(weights, math.log(one.per_cm), spread, what, Rung.MEASURED_ON_LOOM)

    def _width(self, one: Width, warped: Warped) -> Measurement:
        width = warped.width_in_heddle_cm
        error = table()["error"]
        spread = math.hypot(error["ruler_cm"] / one.width_cm, error["tension_log"])
        weights = {_made(warped).unknown(Step.DRAW_IN): 1.0, EDGE: 1 / width}
        what = f"width at the fell {one.width_cm:g} cm at {one.woven_cm:g} cm"
        return Measurement(weights, math.log(one.width_cm / width), spread, what, Rung.MEASURED_ON_LOOM)

    def _warp_left(self, warped: Warped) -> Iterator[Measurement]:
        if self.standing.log.warp_left is None:
            return
        woven, left = self.standing.log.warp_left
        front, waste = drift_table()["waste_in_front"], math.exp(self.base.expected({WASTE: 1.0})[0])
        told = self.standing.project.on_loom
        sample = warped.job.on_warp_sample_cm if told is None or told.counted_from == "cloth" else 0.0
        used = warped.decision.warp_cm - left - front["share"] * waste
        if used > 0 and woven + sample > 0:
            spread = math.hypot(table()["error"]["tension_log"], front["sd"] * waste / used)
            what = f"{left:g} cm of warp left at {woven:g} cm"
            weights = {_made(warped).unknown(Step.TAKE_UP): 1.0}
            yield Measurement(weights, math.log((woven + sample) / used), spread, what, Rung.MEASURED_ON_LOOM)


def _made(warped: Warped) -> Making:
    return making(warped.job.project, warped.job.yarns, warped.job.heddle.per_cm)


def _planned(warped: Warped) -> Belief:
    """What the plan believes of this cloth, its yarns and its waste, before the log."""
    key = _made(warped).key
    whole = warped.weighed.forecast.belief
    return whole.kept(
        [name for name in whole.names if name.startswith((f"{key}: ", "yarn ")) or name in (EDGE, WASTE, METER)]
    )


def _unplanned(standing: Standing) -> Belief:
    """As good as nothing is known of picks and of what a pick weighs; the log says."""
    wide = drift_table()["unknown_rate"]["sd"]
    return independent(
        {PICKS_ALONE: (math.log(4.0), wide)} | {_pick_weight(y): (math.log(0.2), wide) for y in standing.yarns}
    )


def _own(standing: Standing) -> Belief:
    """The unknowns of the log itself: the scale at each weighing, each yarn's share, the balls in the shuttle."""
    found = {
        _scale(yarn, one): (0.0, max(one.sd_g, 1e-6)) for yarn in standing.yarns for one in standing.log.weighings[yarn]
    }
    share = drift_table()["yarn_share"]["sd"]
    if len(standing.yarns) > 1:
        found |= {_share(yarn): (-math.log(len(standing.yarns)), share) for yarn in standing.yarns}
    if standing.warped is not None:
        lots = {lot.name: lot for lot in all_lots(standing.warped.job)}
        unlisted = drift_table()["unknown_rate"]["sd"]
        found |= {
            _ball(yarn): (0.0, between_balls(lots[yarn]) if yarn in lots else unlisted) for yarn in standing.yarns
        }
    return independent(found)


def _share(yarn: str) -> str:
    return f"share: {yarn}"


def _pick_weight(yarn: str) -> str:
    return f"weight of a pick: {yarn}"


def _ball(yarn: str) -> str:
    return f"in the shuttle: {yarn}"


def _log_likelihood(before: Belief, rows: Sequence[Measurement]) -> float:
    """How likely the rows are, as a log, none of them questioned."""
    if not rows:
        return 0.0
    weights = np.array([before.row(row.weights) for row in rows])
    off = np.array([row.value for row in rows]) - weights @ before.mean
    covariance = weights @ before.covariance @ weights.T + np.diag([row.sd**2 for row in rows])
    factor = np.linalg.cholesky(covariance)
    white = np.linalg.solve(factor, off)
    return float(-0.5 * white @ white - np.sum(np.log(np.diag(factor))))
