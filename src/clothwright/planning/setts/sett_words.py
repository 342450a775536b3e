"""What a sett leads to, said: the hand of the cloth, whether it fits, and the sums in their middle figures."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from clothwright.cloth import SettCandidate, Structure, WrapsTaken, firmness_band, sett_wanted
from clothwright.evidence import LENGTH_STEPS, Step
from clothwright.measure import CM_PER_INCH, Rung
from clothwright.planning.setts.woven_setts import PER_CM, SettQuestion, WovenSett
from clothwright.planning.working import WorkingLine

#: Floats this long catch on rings and buttons. Common practice, no source.
_LONG_FLOAT: Final = 4


def hand_of(candidate: SettCandidate, weave: Structure) -> str:
    """What the cloth is like in the hand, no more precisely than the band it falls in."""
    said = [firmness_band(candidate.share_of_closest).hand]
    if max(weave.longest_weft_float, weave.longest_warp_float) >= _LONG_FLOAT:
        said.append("its long floats catch")
    if len({section.firmness for section in candidate.sections}) > 1:
        said.append("in its sections " + ", ".join(f"{one.printed}: {one.firmness}" for one in candidate.sections))
    return "; ".join(said)


def says(woven: WovenSett) -> str:
    """Whether it fits, and what to do if it does not, in a sentence or two."""
    return " ".join(filter(None, (_pattern_sentence(woven), _fit_sentence(woven))))


def _pattern_sentence(woven: WovenSett) -> str:
    """What becomes of a pattern's ends in this heddle."""
    width, ends, loom = woven.pattern_width, woven.question.pattern_ends, woven.question.loom_cm
    if width is None:
        return ""
    sentence = f"{ends} ends would be {width:.1f} cm in this heddle"
    if loom is None:
        return f"{sentence}."
    return f"{sentence}, which {'fits' if width <= loom + 1e-9 else 'does not fit'} the {loom:g} cm the loom weaves."


def _fit_sentence(woven: WovenSett) -> str:
    asked = woven.question.finished_width_cm
    if asked is None:
        return ""
    middle = woven.width_in_heddle * woven.middle_ratio
    wide = f"{woven.width_in_heddle:.1f} cm in the heddle, about {_both(middle)} finished"
    if woven.candidate.sections:
        return f"All its sections: {woven.ends} ends, {wide}; {_both(asked)} {'fits' if woven.fits else 'does not fit'} in."
    if woven.fits:
        return f"{woven.ends} ends: {wide}."
    return (
        f"{_both(asked)} finished would take {woven.ends_needed} ends and does not fit; {woven.ends} ends do: {wide}, "
        f"{woven.narrower_by:.1f} cm narrow. Or another heddle, or panels."
    )


def _both(cm: float) -> str:
    return f"{cm:.1f} cm ({cm / CM_PER_INCH:.1f} in)"


def taken_line(taken: WrapsTaken, per_cm: float) -> WorkingLine:
    """How wraps were counted, how closely that tells them, and which way it leans."""
    either_way = taken.either_way(per_cm)
    near = f"to half a wrap, {per_cm - either_way:.2f} to {per_cm + either_way:.2f} per cm" if either_way else ""
    said, leans = "; ".join(filter(None, (taken.typed, near))), taken.leans or "how firmly was not said"
    return WorkingLine("How they were counted", said, round(per_cm, 2), "per cm", Rung.RULE_OF_THUMB, leans)


def sett_lines(question: SettQuestion) -> Iterator[WorkingLine]:
    """How the advised and the closest sett were reckoned."""
    of, thick = question.structure, question.thickness
    share = f"{of.name}: {of.ends:g} ends, {of.intersections:g} crossings"
    yield WorkingLine(
        "Sett by the wraps",
        _sett_sum(thick.warp_wraps, thick.weft_wraps, of),
        round(thick.advised(of), 2),
        "per cm",
        Rung.RULE_OF_THUMB,
        f"{share}; half the wraps for plain, common practice",
    )
    yield WorkingLine(
        "Closest sett",
        _sett_sum(thick.warp_touching, thick.weft_touching, of),
        round(thick.closest(of), 2),
        "per cm",
        Rung.CALCULATED,
        f"{share}; diameters that touch, Ashenhurst",
    )
    if question.wanted is not None:
        said = f"{question.wanted.middle_share:.2f} × {thick.closest(of):.2f}"
        value, source = round(sett_wanted(thick, of, question.wanted), 2), f"the middle of “{question.wanted.name}”"
        yield WorkingLine("Sett for the firmness", said, value, "per cm", Rung.RULE_OF_THUMB, source)


def _sett_sum(warp: float, weft: float, of: Structure) -> str:
    if math.isclose(warp, weft):
        return f"{warp:.2f} × {of.ends:g} ÷ ({of.ends:g} + {of.intersections:g})"
    return f"1 ÷ (1 ÷ {warp:.2f} + {of.crossing_share:.2f} ÷ {weft:.2f})"


def cloth_lines(woven: WovenSett) -> Iterator[WorkingLine]:
    """The sums of one candidate, in its middle figures."""
    question, per_cm = woven.question, woven.candidate.ends_per_cm
    asked = question.finished_width_cm or PER_CM
    rung = Rung.SAMPLED if question.known or question.width_ratio else Rung.RULE_OF_THUMB
    whence = "samples" if question.known else "as typed" if question.width_ratio else "usual for the fibre and finish"
    middle = woven.middle_ratio

    def line(step: str, said: str, value: float, unit: str, source: str = "the lines above") -> WorkingLine:
        return WorkingLine(step, said, round(value, 2), unit, rung, source)

    said = f"{asked:g} cm ÷ {middle:.3f}"
    yield line("Width in heddle needed", said, woven.needed_in_heddle, "cm", f"finished ÷ heddle width, {whence}")
    in_steps = f", up to whole {woven.end_step}s" if woven.end_step > 1 else ", rounded up"
    said = f"{woven.needed_in_heddle:.2f} cm × {per_cm:.3f} per cm in {woven.candidate.heddle}{in_steps}"
    yield line("Ends", said, woven.ends_needed, "ends")
    if woven.ends != woven.ends_needed:
        limit = min(width for width in (question.loom_cm, woven.candidate.width_cm) if width is not None)
        yield line("Ends that go in", f"{limit:g} cm × {per_cm:.3f} per cm", woven.ends, "ends")
    yield line("Width in heddle", f"{woven.ends} ends ÷ {per_cm:.3f} per cm", woven.width_in_heddle, "cm")
    said = f"{woven.width_in_heddle:.2f} cm × {middle:.3f}"
    yield line("Finished width", said, woven.width_in_heddle * middle, "cm")
    yield from _yarn_lines(woven)


def _yarn_lines(woven: WovenSett) -> Iterator[WorkingLine]:
    """Warp, weft and mass of one candidate as sums of its middle figures."""
    prior, rule = "the belief for this fibre, finish and sett", Rung.RULE_OF_THUMB
    take_up, length = round(woven.middle(Step.TAKE_UP), 3), round(woven.middle(*LENGTH_STEPS), 3)
    picks, pick = round(woven.middle(Step.PICKS), 2), round(woven.middle(Step.PICK_LENGTH), 3)
    width, question = round(woven.width_in_heddle, 2), woven.question
    warp, weft = round(woven.ends / (take_up * length), 1), round(picks * width * pick / length, 1)
    said = f"{woven.ends} ends ÷ ({take_up:.3f} woven of warp × {length:.3f} finished of woven)"
    yield WorkingLine("Warp per metre of cloth", said, warp, "m", rule, prior)
    said = f"{picks:.2f} picks per cm × {width:.2f} cm × {pick:.3f} ÷ {length:.3f}"
    yield WorkingLine("Weft per metre of cloth", said, weft, "m", rule, prior)
    if question.warp_tex is not None and question.weft_tex is not None:
        finished = round(woven.width_in_heddle * woven.middle_ratio, 2)
        mass = (warp * question.warp_tex + weft * question.weft_tex) / 10 / finished
        said = f"({warp:.1f} m × {question.warp_tex:.1f} + {weft:.1f} m × {question.weft_tex:.1f} tex) ÷ 10 ÷ {finished:.2f} cm"
        yield WorkingLine("Mass of the cloth", said, round(mass), "g/m²", rule, prior)
