"""How thick the yarns of a cloth are, as told in one of four ways, on both scales, with the lines that say how.

Wraps counted on a ruler; warp and weft wrapped together; a pattern's sett, taken as what its yarn asked for; or the yarns'
numbers. Where wraps were counted, the calculated diameters are reckoned from them, so that one hand's wrapping decides both.
"""

from __future__ import annotations

import math

from clothwright.cloth import Structure, Thickness, Wraps, read_wraps_taken, sett_wrapped_together, structure
from clothwright.measure import Rung, ThreadsPerLength
from clothwright.planning.setts.sett_words import taken_line
from clothwright.planning.working import WorkingLine
from clothwright.yarn import (
    RULER_WRAPS_PER_DIAMETER,
    USUAL_FOLDING_TAKE_UP,
    DiameterRule,
    YarnNumber,
    ruler_wraps_per_cm,
)

ThicknessTold = tuple[Thickness, tuple[WorkingLine, ...]]


def by_wraps(
    warp: Wraps,
    weft: Wraps | None = None,
    *,
    taken: str | None = None,
    numbers: tuple[YarnNumber, YarnNumber] | None = None,
    rule: DiameterRule | None = None,
) -> ThicknessTold:
    """From wraps as counted; a weft of another number alone is as much finer or thicker as its diameter is."""
    weft_wraps = weft.per_cm if weft else warp.per_cm * _finer(numbers)
    lines = [_line("Wraps of the warp", warp.sum, warp.per_cm, "counted on a ruler")]
    if weft:
        lines.append(_line("Wraps of the weft", weft.sum, weft.per_cm, "counted on a ruler"))
    lines += _taken_lines(taken, warp.per_cm)
    lines.append(_touching_line(warp.per_cm))
    if numbers and rule:
        calculated = rule.diameters_per_cm(numbers[0].m_per_g)
        said = f"k {rule.k:g} by the yarn's number: another scale, shown to compare"
        lines.append(_line("Diameters calculated", said, calculated, rule.name))
    return thickness_of_wraps(warp.per_cm, weft_wraps), tuple(lines)


def _finer(numbers: tuple[YarnNumber, YarnNumber] | None) -> float:
    return math.sqrt(numbers[1].m_per_g / numbers[0].m_per_g) if numbers else 1.0


def thickness_of_wraps(warp: float, weft: float) -> Thickness:
    """Both scales from ruler wraps per cm of warp and weft."""
    return Thickness(warp, weft, warp / RULER_WRAPS_PER_DIAMETER, weft / RULER_WRAPS_PER_DIAMETER)


def by_wrapping_together(both: Wraps, warp: Wraps | None = None, *, taken: str | None = None) -> ThicknessTold:
    """From both yarns wrapped turn about, the warp's wraps counted: the weft's room is what the warp's own leaves.

    ValueError where the warp alone is said to wrap no closer than with the weft between.
    """
    alone = warp.per_cm if warp else 2 * both.per_cm
    sett = sett_wrapped_together(both.per_cm, structure("plain"), alone)
    how = "counted" if warp else "not counted: the two taken as alike"
    lines = [
        _line("Warp wraps with the weft between", both.sum, sett, "counted; it is the plain sett itself"),
        _line("Wraps of the warp alone", f"{alone:.2f} per cm", alone, how),
        *_taken_lines(taken, both.per_cm),
        _touching_line(alone),
    ]
    return thickness_of_wraps(alone, 1 / (1 / both.per_cm - 1 / alone)), tuple(lines)


def by_pattern(sett: ThreadsPerLength, weave: Structure) -> ThicknessTold:
    """From a pattern's sett, taken as what its yarn's wraps advise for the structure."""
    wraps = sett.per_cm / weave.wraps_share
    said = f"{sett} is {sett.per_cm:.2f} per cm; ÷ {weave.wraps_share:.2f}"
    line = _line("Wraps that a pattern's sett implies", said, wraps, "as the pattern says")
    return thickness_of_wraps(wraps, wraps), (line,)


def by_number(warp_yarn: YarnNumber, weft_yarn: YarnNumber, rule: DiameterRule) -> ThicknessTold:
    """From the yarns' numbers: diameters calculated, ruler wraps to be expected of them."""
    warp, weft = warp_yarn.m_per_g, weft_yarn.m_per_g
    touching = rule.diameters_per_cm(warp)
    said = f"k {rule.k:g} × √({warp * 1000:.0f} m/kg), in cm"
    expected = ruler_wraps_per_cm(warp, rule)
    said_wraps = f"{touching:.2f} × {RULER_WRAPS_PER_DIAMETER:g}; count them, a lofty yarn wraps far fewer"
    lines = (
        _line("Diameters calculated", said, touching, rule.name),
        _line("Ruler wraps to expect", said_wraps, expected, "a teacher's rule"),
    )
    return Thickness(expected, ruler_wraps_per_cm(weft, rule), touching, rule.diameters_per_cm(weft)), lines


def tex_with_folding(name: str, tex: float, leaves_out: bool) -> tuple[float, tuple[WorkingLine, ...]]:
    """Tex of a yarn for the mass of its cloth: of a bare folded count, with what folding usually takes up, and said so."""
    if not leaves_out:
        return tex, ()
    usual = USUAL_FOLDING_TAKE_UP
    said = (
        f"{tex:.1f} tex of the strands × {1 + usual.expected:g}; folding takes up {usual.low:.0%} to {usual.high:.0%}"
    )
    whence = "from memory of the trade; nobody measured it"
    found = round(tex * (1 + usual.expected), 1)
    return found, (WorkingLine(f"Tex of {name}, for the mass", said, found, "tex", Rung.RULE_OF_THUMB, whence),)


def _touching_line(wraps: float) -> WorkingLine:
    said = f"{wraps:.2f} ÷ {RULER_WRAPS_PER_DIAMETER:g}"
    return _line("Diameters reckoned from the wraps", said, wraps / RULER_WRAPS_PER_DIAMETER, "a teacher's rule")


def _taken_lines(taken: str | None, per_cm: float) -> list[WorkingLine]:
    """How the wraps were taken, where it was said."""
    return [taken_line(read_wraps_taken(taken), per_cm)] if taken else []


def _line(step: str, said: str, value: float, source: str) -> WorkingLine:
    return WorkingLine(step, said, round(value, 2), "per cm", Rung.RULE_OF_THUMB, source)
