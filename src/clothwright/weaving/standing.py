"""What stands on the loom, with the plan it was put on by where there is one.

A log is enough for a forecast: what is to be woven, and what was weighed. With a plan behind it the forecast has all that
was known before the first pick as well. Where something keeps the project from being planned and the log is enough, the
forecast is made of the log and says what kept it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Final

import numpy as np

from clothwright.evidence import NO_HISTORY, History, between_balls, metres_weights
from clothwright.measure import Z90
from clothwright.planning.forecast import Decision
from clothwright.planning.job import Heddle, Job, job_of, sleyed_heddle
from clothwright.planning.pieces.fitting import LayoutSearch
from clothwright.planning.weighing_up import WeighedUp, weigh_up
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.domain import every_lot
from clothwright.project.parts.log_parts import OnLoomPart
from clothwright.weaving.answer import WOVEN_WITHIN_CM
from clothwright.weaving.logged import THE_PLAN, Logged, Weighing, logged, with_start
from clothwright.weaving.stretches import LengthOf, Rates, rates
from clothwright.yarn import UNKNOWN_CORE_GRAMS, Lot, Use

NO_DRAWINGS: Final[Mapping[str, bytes]] = MappingProxyType({})
#: Spread of a core nobody weighed, g.
_CORE_SD_G: Final = (UNKNOWN_CORE_GRAMS.high - UNKNOWN_CORE_GRAMS.low) / (2 * Z90)
#: How well two ways to say how much is to be woven agree, before it is asked. Common practice, no source.
_AGREE_CM: Final = 2.0


@dataclass(frozen=True)
class Warped:
    """The plan a warp was put on by, with the ends and the warp that were really put on."""

    weighed: WeighedUp
    decision: Decision

    @property
    def job(self) -> Job:
        """The question the plan answers."""
        return self.weighed.job

    @property
    def width_in_heddle_cm(self) -> float:
        """Width in the heddle, cm."""
        return self.job.width_in_heddle(self.decision.ends)


@dataclass(frozen=True)
class Standing:
    """What stands on the loom: the log, how much is to be woven in all, and the plan; `notes` say what was taken for granted."""

    project: Project
    log: Logged
    to_weave_cm: float
    warped: Warped | None
    notes: tuple[str, ...] = ()
    drawings: Mapping[str, bytes] = field(default_factory=dict)

    def rest_cm(self, yarn: str, from_cm: float, to_cm: float | None = None) -> float:
        """How much of the cloth from a place to the end, or to another place, is still to be woven with a yarn.

        A yarn that bands are of weaves only those; every other weaves all but them.
        """
        end = self.to_weave_cm if to_cm is None else to_cm
        bands = self.project.on_loom.bands if self.project.on_loom else []
        own = [one for one in bands if one.yarn == yarn]
        within = _covered((max(from_cm, one.begins.cm), min(end, one.stops.cm)) for one in own or bands)
        return within if own else max(0.0, end - from_cm - within)

    def woven_with(self, yarn: str) -> LengthOf:
        """How many cm between two places are woven with a yarn."""
        return lambda from_cm, to_cm: self.rest_cm(yarn, from_cm, to_cm)

    def rates(self, yarn: str) -> Rates | None:
        """Grams of a yarn over every cm woven with it; None before the scale can tell."""
        return rates(self.log.weighings[yarn], self.woven_with(yarn))

    @property
    def still_to_weave_cm(self) -> float:
        """What is not woven yet, never below nothing."""
        return max(0.0, self.to_weave_cm - self.log.woven_cm)

    @property
    def is_woven(self) -> bool:
        """Whether the cloth is woven, or nearly."""
        return self.still_to_weave_cm <= WOVEN_WITHIN_CM

    @property
    def yarns(self) -> tuple[str, ...]:
        """The yarns that were weighed, as the log first names them; before any was, those of the plan.

        One that only a band is of counts once it has been woven with, so that the scale can tell how fast it goes.
        """
        bands = self.project.on_loom.bands if self.project.on_loom else []
        of_bands = {one.yarn for one in bands}
        return tuple(name for name in self.log.weighings if name not in of_bands or self.rates(name))


def _covered(stretches: Iterable[tuple[float, float]]) -> float:
    """How many cm stretches cover, those under several counted once."""
    covered, reached = 0.0, -math.inf
    for start, end in sorted(stretches):
        covered += max(0.0, end - max(start, reached))
        reached = max(reached, end)
    return covered


def standing(
    project: Project,
    *,
    drawings: Mapping[str, bytes] = NO_DRAWINGS,
    history: History = NO_HISTORY,
    layouts: LayoutSearch | None = None,
) -> Standing:
    """What stands on the loom of a project; ProblemsFound where neither plan nor log says how much is to be woven."""
    told = project.on_loom or OnLoomPart()
    warped, why_not = _warped(project, told, drawings, history, layouts)
    panel = _panel_on_loom(project, told)
    if warped is None and told.to_weave is None and panel is None:
        missing = Problem(
            ("on_loom", "to_weave"), 'how much is to be woven in all? Give to_weave = "263 cm", or a plan'
        )
        raise ProblemsFound(missing, *why_not)
    sample = warped.job.on_warp_sample_cm if warped else 0.0
    counted = sample if told.counted_from == "sample" else 0.0
    planned = counted + warped.decision.weave_to_cm if warped else panel or 0.0
    to_weave = told.to_weave.cm if told.to_weave else planned
    first_pick = 0.0 if told.counted_from == "sample" else 0.0 - sample
    log, notes = _with_starts(project, logged(project), warped, first_pick)
    if log.woven_cm > to_weave + _AGREE_CM:
        over = f"{log.woven_cm:g} cm are woven of the {to_weave:g} cm to be woven; has what is to be woven changed?"
        log = replace(log, asked=(*log.asked, over))
    kept_from = [f"Reckoned from the log alone, without a plan: {one}" for one in why_not[:1]]
    return Standing(project, log, to_weave, warped, (*kept_from, *notes), drawings)


def _panel_on_loom(project: Project, told: OnLoomPart) -> float | None:
    """What a panel takes on the loom, where its finished length and the length ratio are said."""
    ratio = project.cloth.length_ratio
    return told.panel.cm / ratio.expected if told.panel and ratio else None


def with_log(stands: Standing, project: Project) -> Standing:
    """The same warp with the log of a project that differs by its log alone."""
    told = project.on_loom or OnLoomPart()
    sample = stands.warped.job.on_warp_sample_cm if stands.warped else 0.0
    first_pick = 0.0 if told.counted_from == "sample" else 0.0 - sample
    log, _ = _with_starts(project, logged(project), stands.warped, first_pick)
    return replace(stands, project=project, log=log)


def _warped(
    project: Project,
    told: OnLoomPart,
    drawings: Mapping[str, bytes],
    history: History,
    layouts: LayoutSearch | None,
) -> tuple[Warped | None, tuple[Problem, ...]]:
    """The plan with what was really put on, or what keeps the project from having one."""
    try:
        job = job_of(project, drawings, history)
        if (heddle := _heddle(project, told)) is not None:
            job = job.at(heddle)
        weighed = weigh_up(job, layouts)
    except ProblemsFound as found:
        return None, found.problems
    wound, ends = told.warp_wound, told.ends
    decision = replace(
        weighed.decision,
        ends=ends - job.extra_ends if ends and ends > job.extra_ends else weighed.decision.ends,
        warp_cm=wound.cm if wound else weighed.decision.warp_cm,
    )
    return Warped(weighed, decision), ()


def _heddle(project: Project, told: OnLoomPart) -> Heddle | None:
    if told.heddle is None:
        return None
    try:
        return sleyed_heddle(project, told.heddle)
    except ValueError as error:
        raise ProblemsFound(Problem(("on_loom", "heddle"), f"“{told.heddle}”: {error}")) from None


def _with_starts(
    project: Project, log: Logged, warped: Warped | None, first_pick_cm: float
) -> tuple[Logged, tuple[str, ...]]:
    """The log with what there was of each yarn before the first pick, where the project says and the log does not."""
    notes: list[str] = []
    weighed = set(log.weighings) or {lot.name for lot in (warped.job.yarns.weft if warped else ())}
    for lot in every_lot(project):
        if lot.name not in weighed or not lot.balls or not _weighs(lot):
            continue
        for start, note in _start(project, lot, warped):
            before = log
            log = with_start(log, lot.name, replace(start, woven_cm=first_pick_cm))
            if log is not before and note:
                notes.append(note)
    return log, tuple(notes)


def _weighs(lot: Lot) -> bool:
    """Whether the grams of a lot are known: none of it is only metered, unless its metres per gram are."""
    return lot.has_grist or all(ball.net_g is not None for ball in lot.balls)


def _start(project: Project, lot: Lot, warped: Warped | None) -> Iterator[tuple[Weighing, str]]:
    """What there was of a lot before the first pick, and what to say of it."""
    cores = [_CORE_SD_G for ball in lot.balls if ball.core_unknown]
    scale = math.hypot(0.01, *(ball.weight_sd_g for ball in lot.balls), *cores)
    if lot.use == Use.WEFT or (lot.use == Use.BOTH and len(project.yarn) > 1 and warped is None):
        yield Weighing(0.0, lot.grams, scale, THE_PLAN), ""
    elif warped is None:
        yield (
            Weighing(0.0, lot.grams, scale, THE_PLAN),
            f"{lot.name}: all {lot.grams:g} g are taken as weft, since no warp is planned. If the warp was wound from it, log "
            "what was left of it at 0 cm.",
        )
    elif [one.name for one in warped.job.yarns.warp] == [lot.name]:
        log_m_per_g, _ = warped.weighed.forecast.belief.expected(metres_weights(lot))
        warp_m = (warped.decision.ends + warped.job.extra_ends) * warped.decision.warp_cm / 100
        warp_g = warp_m / math.exp(log_m_per_g)
        left = lot.grams - warp_g
        if left > 0:
            doubt = math.hypot(scale, warp_g * between_balls(lot))
            said = (
                f"{lot.name}: {left:.0f} g are taken to have been left for the weft, {lot.grams:.0f} g less the warp's."
            )
            yield Weighing(0.0, left, doubt, THE_PLAN, warp_m), f"{said} A weighing at 0 cm would be surer."


def warp_could_weave(standing_: Standing, take_up: np.ndarray, waste: np.ndarray) -> np.ndarray:
    """How much the warp on the loom can weave in all, counted as the log counts, in every drawn cloth."""
    assert standing_.warped is not None  # asked only where there is a plan
    told = standing_.project.on_loom or OnLoomPart()
    sample = standing_.warped.job.on_warp_sample_cm if told.counted_from == "cloth" else 0.0
    return np.asarray(np.clip((standing_.warped.decision.warp_cm - waste) * take_up - sample, 0.0, None))
