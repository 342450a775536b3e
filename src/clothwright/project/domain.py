"""From the typed document to the values the core works on: lots, heddles, what was measured of samples."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from clothwright.cloth import sett_from_wraps, structure
from clothwright.evidence import Making, SampleMeasured, between_balls, grist_unknown, known_as
from clothwright.measure import CM_PER_INCH, Length, Weight
from clothwright.project.document import (
    BallPart,
    HeddleTrialPart,
    Project,
    SamplePart,
    WashTestPart,
    WeftUsedPart,
    Weighing,
    YarnPart,
)
from clothwright.project.fields import CoreName
from clothwright.project.problem import Problem, ProblemsFound
from clothwright.project.sampling import cut_parts, traced_sizes
from clothwright.yarn import (
    METERED_LENGTH_LOG_SD,
    RULER_WRAPS_PER_DIAMETER,
    Ball,
    DiameterRule,
    GristReading,
    HeddleTrial,
    Lot,
    Turns,
    Use,
    WashTest,
    Winder,
    diameter_rule,
    leaves_out_folding,
    ruler_wraps_per_cm,
    true_winder,
    washed_length,
    washed_weight,
    weighed,
    wound,
)

#: Scale step where none is given. Common practice, no source: kitchen scales show whole grams.
DEFAULT_SCALE_STEP_G: Final = 1.0
_EVEN: Final = 12**0.5
#: A yarn nobody measured, for what its thickness decides: ruler wraps per cm. Common practice, no source.
_MIDDLING_WRAPS_PER_CM: Final = 12 / CM_PER_INCH


def lots(project: Project) -> tuple[Lot, ...]:
    """Every yarn as a lot; ProblemsFound where nothing says how much there is of one that is not only sampled."""
    tools = _tools(project)
    problems = [
        problem for number, part in enumerate(project.yarn) for problem in _yarn_problems(part, tools, ("yarn", number))
    ]
    if problems:
        raise ProblemsFound(*problems)
    return tuple(_lot(part, tools) for part in project.yarn)


@dataclass(frozen=True)
class _Tools:
    """The weaver's own cores and winders, by name."""

    cores: Mapping[str, Weight]
    winders: Mapping[str, Winder]


def _tools(project: Project) -> _Tools:
    return _Tools({part.name: part.weight for part in project.core}, {one.name: one for one in winders(project)})


def winders(project: Project) -> tuple[Winder, ...]:
    """Every winder with its true turn."""
    return tuple(
        true_winder(
            part.name,
            nominal_m=part.nominal.cm / 100 if part.nominal else None,
            turns=part.turns,
            measured_m=part.measured.cm / 100 if part.measured else None,
        )
        for part in project.winder
    )


def _yarn_problems(part: YarnPart, tools: _Tools, path: tuple[str | int, ...]) -> list[Problem]:
    if not part.balls and Use(part.use) is Use.SAMPLED:
        return []
    if not part.balls:
        return [Problem((*path, "balls"), f"{part.name}: how much of it is there? Weigh or meter at least one ball")]
    needs = [number for number, ball in enumerate(part.balls) if ball.grist is None]
    if needs and part.grist is None and not any(ball.grist for ball in part.balls):
        why = f"{part.name}: how many metres has a gram? Give a label, a count, or weigh 10 m of it"
        return [Problem((*path, "grist"), why)]
    return [
        problem
        for number, ball in enumerate(part.balls)
        for problem in _core_problems(ball, tools, (*path, "balls", number))
    ]


def _core_problems(part: BallPart, tools: _Tools, path: tuple[str | int, ...]) -> Iterator[Problem]:
    """A core of the list that leaves no yarn; the document has looked at those weighed with the ball."""
    core = _core(part, tools)
    if core and part.gross and core.grams >= part.gross.grams:
        yield Problem((*path, "core"), f"“{part.core}”: a core of {core} leaves no yarn of {part.gross}")


def _core(part: BallPart, tools: _Tools) -> Weight | None:
    """What the core of a ball weighs, by its own weighing or by the weaver's list."""
    return tools.cores[part.core.name] if isinstance(part.core, CoreName) else part.core


def _lot(part: YarnPart, tools: _Tools) -> Lot:
    step = part.scale_step.grams if part.scale_step else DEFAULT_SCALE_STEP_G
    return Lot(
        name=part.name,
        balls=tuple(_ball(ball, step, tools) for ball in part.balls),
        grist=_readings(part.grist, tools),
        use=Use(part.use),
        fibre=part.fibre,
        made=part.made,
        plies=part.plies,
        washed=part.state == "washed",
        replaceable=part.replaceable,
        colour=part.colour,
        wraps_per_cm=part.wraps.per_cm if part.wraps else None,
        wash_test=_wash_test(part.wash_test) if part.wash_test else None,
        heddle_trial=_heddle_trial(part.heddle_trial) if part.heddle_trial else None,
    )


def _wash_test(part: WashTestPart) -> WashTest:
    typed = f"{part.before} became {part.after}"
    if isinstance(part.before, Weight) and isinstance(part.after, Weight):
        step = part.after.step or part.after.grams * 0.02
        said = f"{part.of} weighed {part.before}, washed {part.after}"
        return washed_weight(part.before.grams, part.after.grams, step_g=step, typed=said)
    assert isinstance(part.before, Length)
    assert isinstance(part.after, Length)
    return washed_length(part.before.cm / 100, part.after.cm / 100, typed=typed)


def _heddle_trial(part: HeddleTrialPart) -> HeddleTrial:
    tried = {
        "hole": part.hole,
        "slot": part.slot,
        "rub": part.rub,
        "tension overnight": part.tension_overnight,
        "knot": part.knot,
    }
    findings = tuple((what, seen) for what, seen in tried.items() if seen is not None)
    return HeddleTrial(findings, str(part.heddle or ""), part.rub_strokes)


def _ball(part: BallPart, step_g: float, tools: _Tools) -> Ball:
    grist = _reading(part.grist, tools) if part.grist is not None else None
    if isinstance(part.length, Turns):
        metres, spread = wound(part.length.turns, tools.winders[part.length.winder])
        return Ball(metres=metres, grist=grist, metres_log_sd=spread, wound_on=part.length.winder)
    if part.length is not None:
        spread = part.length.log_sd or METERED_LENGTH_LOG_SD
        return Ball(metres=part.length.cm / 100, grist=grist, metres_log_sd=spread)
    weight = part.gross or part.net
    assert weight is not None  # the document has checked it
    core = _core(part, tools)
    spread = max(_scale_sd(weight, step_g), _scale_sd(core, step_g) if core else 0.0)
    unknown = part.gross is not None and part.core is None
    return Ball(
        net_g=weight.grams - (core.grams if core else 0.0), weight_sd_g=spread, core_unknown=unknown, grist=grist
    )


def _scale_sd(weight: Weight, step_g: float) -> float:
    return weight.log_sd * weight.grams if weight.has_spread else step_g / _EVEN


def _readings(grist: object, tools: _Tools) -> tuple[GristReading, ...]:
    if grist is None:
        return ()
    every = grist if isinstance(grist, list) else [grist]
    return tuple(_reading(one, tools) for one in every)


def _reading(grist: object, tools: _Tools) -> GristReading:
    if isinstance(grist, Weighing):
        step = grist.weight.step or grist.weight.grams * 0.02
        typed = f"{grist.length} weigh {grist.weight}"
        if isinstance(grist.length, Turns):
            metres, spread = wound(grist.length.turns, tools.winders[grist.length.winder])
            by_ruler = weighed(metres, grist.weight.grams, step_g=step, typed=typed)
            return replace(by_ruler, log_sd=math.hypot(by_ruler.log_sd, spread))
        return weighed(grist.length.cm / 100, grist.weight.grams, step_g=step, typed=typed)
    typed = str(grist)
    return GristReading(grist.m_per_g, grist.log_sd, typed=typed, leaves_out_folding=leaves_out_folding(typed))  # type: ignore[attr-defined]


def rule_for(lot: Lot) -> DiameterRule:
    """The diameter rule for a lot's fibre and making."""
    return diameter_rule(lot.fibre, lot.made)


def wraps_per_cm(lot: Lot) -> float:
    """Ruler wraps per cm: counted, else reckoned from the grist."""
    if lot.wraps_per_cm:
        return lot.wraps_per_cm
    return ruler_wraps_per_cm(lot.m_per_g, rule_for(lot)) if lot.has_grist else _MIDDLING_WRAPS_PER_CM


def touching_per_cm(lot: Lot) -> float:
    """Threads that touch, per cm: from ruler wraps where they were counted, else calculated from the grist."""
    if lot.wraps_per_cm:
        return lot.wraps_per_cm / RULER_WRAPS_PER_DIAMETER
    return rule_for(lot).diameters_per_cm(lot.m_per_g) if lot.has_grist else _MIDDLING_WRAPS_PER_CM


def diameter_mm(lot: Lot) -> float:
    """Diameter under the pressure of weaving, calculated from the grist where it is known."""
    if lot.has_grist:
        return rule_for(lot).diameter_mm(lot.m_per_g)
    return 10 / touching_per_cm(lot)


@dataclass(frozen=True)
class Yarns:
    """Which lots go into the warp and which into the weft; the first of each stands for the cloth's yarn."""

    warp: tuple[Lot, ...]
    weft: tuple[Lot, ...]

    @property
    def fibre(self) -> str:
        """All fibres of the cloth, in words."""
        return ", ".join(dict.fromkeys(lot.fibre for lot in (*self.warp, *self.weft) if lot.fibre))


def yarns(project: Project) -> Yarns:
    """The lots by use; ProblemsFound when nothing may go into the warp or the weft."""
    if not project.yarn:
        raise ProblemsFound(
            Problem(("yarn",), "no yarn is given yet; tell of at least one, and weigh or meter its balls")
        )
    every = lots(project)
    warp = tuple(lot for lot in every if lot.use in (Use.WARP, Use.BOTH))
    weft = tuple(lot for lot in every if lot.use in (Use.WEFT, Use.BOTH))
    missing = [side for side, found in (("warp", warp), ("weft", weft)) if not found]
    if missing:
        sentences = (f'no yarn may be used as {side}; give one use = "{side}" or "warp and weft"' for side in missing)
        raise ProblemsFound(*(Problem(("yarn",), sentence) for sentence in sentences))
    return Yarns(warp, weft)


def every_lot(project: Project) -> tuple[Lot, ...]:
    """Every yarn as a lot, whether or not anything says how much of it there is."""
    tools = _tools(project)
    return tuple(_lot(part, tools) for part in project.yarn)


def yarns_sampled(project: Project) -> Yarns:
    """The lots by use, in hand or not: enough to tell what samples of them were."""
    every = every_lot(project)
    if not every:
        raise ProblemsFound(Problem(("yarn",), "no yarn is given yet; name at least the yarn of the sample"))
    warp = tuple(lot for lot in every if lot.use in (Use.WARP, Use.BOTH))
    weft = tuple(lot for lot in every if lot.use in (Use.WEFT, Use.BOTH))
    return Yarns(warp or every[:1], weft or every[:1])


def advised_sett(project: Project, warp: Lot) -> float:
    """Ends per cm that the warp's wraps suggest for the structure."""
    return sett_from_wraps(wraps_per_cm(warp), structure(project.cloth.structure))


def making(project: Project, cloth_yarns: Yarns, ends_per_cm: float, *, key: str = "this cloth") -> Making:
    """What the planned cloth is made of, at a sett."""
    warp, weft = cloth_yarns.warp[0], cloth_yarns.weft[0]
    made = _making(key, warp, weft, project.cloth.structure, project.cloth.finish, ends_per_cm, cloth_yarns.fibre)
    return replace(made, loom=loom_known_as(project))


def loom_known_as(project: Project) -> str:
    """What the project's loom is known by among all her looms."""
    return known_as(project.loom.name, project.loom.kind)


def _making(key: str, warp: Lot, weft: Lot, weave: str, finish: str, ends_per_cm: float, fibre: str) -> Making:
    return Making(
        key=key,
        warp=warp.name,
        weft=weft.name,
        fibre=fibre,
        finish=finish,
        structure=weave,
        ends_per_cm=ends_per_cm,
        advised_ends_per_cm=sett_from_wraps(wraps_per_cm(warp), structure(weave)),
        warp_mm=diameter_mm(warp),
        weft_mm=diameter_mm(weft),
    )


def samples(project: Project, cloth_yarns: Yarns, ends_per_cm: float) -> tuple[SampleMeasured, ...]:
    """What was measured of each sample and of the parts cut from it; what a sample does not say is the planned cloth's."""
    tools = _tools(project)
    every = {lot.name: lot for lot in (*cloth_yarns.warp, *cloth_yarns.weft)}
    every = {part.name: _lot(part, tools) for part in project.yarn if Use(part.use) is Use.SAMPLED} | every
    found: list[SampleMeasured] = []
    for number, part in enumerate(project.sample, 1):
        whole = _sample(project, part, number, every, cloth_yarns, ends_per_cm)
        found += [whole, *cut_parts(part, whole)]
    return tuple(found)


def _sample(
    project: Project, part: SamplePart, number: int, every: Mapping[str, Lot], planned: Yarns, ends_per_cm: float
) -> SampleMeasured:
    warp, weft = every[part.warp] if part.warp else planned.warp[0], every[part.weft] if part.weft else planned.weft[0]
    fibre = Yarns((warp,), (weft,)).fibre
    sett = part.heddle.per_cm if part.heddle else ends_per_cm
    weave, finish = (
        part.structure or project.cloth.structure,
        part.finish if part.finish is not None else project.cloth.finish,
    )
    made = replace(_making(f"sample {number}", warp, weft, weave, finish, sett, fibre), loom=loom_known_as(project))
    used = part.weft_used
    lengths = _lengths(part)
    sizes: dict[str, Any] = {name: _cm(length) for name, length in lengths.items()} | traced_sizes(part)
    sizes |= _weft_used(used, weft)
    return SampleMeasured(
        making=made,
        name=part.name,
        warp_used=part.length.warp_used_cm,
        picks_count=part.picks.count if part.picks else None,
        picks_where=part.picks.where if part.picks else "on loom",
        weft_error_log=_weft_error(used, weft),
        typed_log_sd=_typed_spreads(part, lengths),
        pick_drawn_from=part.one_pick.drawn_from if part.one_pick else "off loom",
        on_card=part.woven_on == "card loom",
        **sizes,
    )


def _lengths(part: SamplePart) -> dict[str, Length | None]:
    """The lengths of a sample by the names evidence gives them."""
    return {
        "width_in_heddle": part.width.in_heddle,
        "width_on_loom": part.width.on_loom,
        "width_off_loom": part.width.off_loom,
        "width_finished": part.width.finished,
        "length_on_loom": part.length.on_loom,
        "length_off_loom": part.length.off_loom,
        "length_finished": part.length.finished,
        "picks_over": part.picks.over if part.picks else None,
        "pick_straight": part.one_pick.straight if part.one_pick else None,
    }


def _typed_spreads(part: SamplePart, lengths: Mapping[str, Length | None]) -> dict[str, float]:
    """Log spreads that were typed with a sample's lengths."""
    typed = {**lengths, "warp_used": part.length.warp}
    return {name: length.log_sd for name, length in typed.items() if length is not None and length.has_spread}


def _cm(length: Length | None) -> float | None:
    return length.cm if length is not None else None


def _weft_used(used: WeftUsedPart | None, weft: Lot) -> dict[str, Any]:
    """Weft as measured; what was weighed of a yarn that is not in hand is told in metres, since nothing else asks its grist."""
    if used is None:
        return {}
    metres, grams = used.length.cm / 100 if used.length else None, used.weight.grams if used.weight else None
    if grams is not None and weft.use == Use.SAMPLED:
        metres = grams * weft.m_per_g if weft.has_grist and metres is None else metres
        return {"weft_used_m": metres}
    known = grist_unknown(weft) if weft.has_grist else None
    return {"weft_used_m": metres, "weft_used_g": grams, "weft_grist_unknown": known}


def _weft_error(used: WeftUsedPart | None, weft: Lot) -> float:
    """Log spread of the weft used: the meter's, or the scale's and how far the ball woven may differ from its lot."""
    if used is None or used.weight is None:
        return (used.length.log_sd if used and used.length else 0.0) or METERED_LENGTH_LOG_SD
    weighed_sd = used.weight.log_sd or max(0.005, (used.weight.step or 0.1) / _EVEN / used.weight.grams)
    return math.hypot(weighed_sd, between_balls(weft) if len(weft.balls) > 1 or weft.use == Use.SAMPLED else 0.0)
