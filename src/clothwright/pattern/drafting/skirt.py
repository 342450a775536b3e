"""The skirt: straight widths gathered into a waistband, or shaped panels.

Gathered: n widths, each W wide as sewn, are drawn together to the waistband, whose length is waist + ease; each takes a share of
band / n, and W − band / n is drawn in. W is fullness × band / n, or a whole width of cloth less its seams. All round, n W must
pass the hips with their ease.

Panelled: n panels, each (waist + ease) / n at the top and (hip + ease) / n at the hips, wider by the flare at the hem. The seam is as
long as the middle of the panel, so that the hem hangs level; all seams are one and the same curve.

A placket is left open in one seam, long enough that the waist opens to the hips: (hip + ease − band) / 2, and at least 15 cm.

*Source:* construction common practice, no source; figures in `garments.toml`.
"""

from __future__ import annotations

import math
from typing import Final

from clothwright.pattern.drafting.asking import DraftRefused, Figures
from clothwright.pattern.drafting.curves import cubic, joined, moved
from clothwright.pattern.drafting.drafted import Finished
from clothwright.pattern.drafting.sewn import Garment, allowed
from clothwright.pattern.drafting.shaping import Part, notch, run, side, strip
from clothwright.pattern.piece import Point, Ring, line_length

#: How far the waistband laps over itself to be fastened, cm. Common practice, no source.
LAP_CM: Final = 3.0
LEAST_PLACKET_CM: Final = 15.0


def skirt(figures: Figures) -> Garment:
    """The parts of the skirt, its finished measures and notes."""
    return _gathered(figures) if figures.options["style"] == "gathered" else _panelled(figures)


def _gathered(figures: Figures) -> Garment:
    options, allowance = figures.options, figures.allowance_cm
    band, hips, panels = figures.with_ease("waist girth"), figures.with_ease("hip girth"), options["panels"]
    cloth = options.get("cloth_width")
    width = options["fullness"] * band / panels if cloth is None else cloth - 2 * allowance
    least = max(hips, band) / panels
    where = ("options", "fullness" if cloth is None else "cloth_width")
    allowed(
        where,
        f"each of {panels} widths as sewn",
        width,
        least,
        "or it does not pass the hips; give more, or more panels",
    )
    selvedge = cloth is not None
    panel = Part(
        "panel",
        (
            side((0, 0), (width, 0), seam="waist", ease=width - band / panels),
            side((width, 0), (width, -options["length"]), seam="panels", selvedge=selvedge),
            side((width, -options["length"]), (0, -options["length"]), hem=options["hem"]),
            side((0, -options["length"]), (0, 0), seam="panels", selvedge=selvedge),
        ),
        count=panels,
    )
    notes = (f"The gathered edge is {panels * width / band:.2f} times as long as the waistband.", _placket(figures))
    return Garment((panel, _waistband(figures, 1)), _finished(figures, panels * width, panels * width), notes)


def _waistband(figures: Figures, to_a_panel: int) -> Part:
    """The band, with so many stretches to a panel as the panel has edges at the waist."""
    options = figures.options
    stretches = options["panels"] * to_a_panel
    share = figures.with_ease("waist girth") / stretches
    lengths = (*(run(share, "waist") for _ in range(stretches)), run(LAP_CM))
    return strip("waistband", lengths, 2 * options["waistband"], material=options["waistband_cloth"])


def _placket(figures: Figures) -> str:
    opens = (figures.with_ease("hip girth") - figures.with_ease("waist girth")) / 2
    return (
        f"Leave {max(opens, LEAST_PLACKET_CM):.0f} cm of one seam open below the waistband, so that it passes the hips."
    )


def _finished(figures: Figures, hips: float, hem: float) -> tuple[Finished, ...]:
    return (
        Finished(
            "waistband", figures.with_ease("waist girth"), figures.body["waist girth"], figures.ease["waist girth"]
        ),
        Finished("hip girth", hips, figures.body["hip girth"], figures.ease["hip girth"]),
        Finished("hem, all round", hem),
        Finished("length below the waistband", figures.options["length"]),
    )


def _panelled(figures: Figures) -> Garment:
    options, panels = figures.options, figures.options["panels"]
    down = figures.body["waist to hips"]
    allowed(("options", "length"), "length", options["length"], down + 5, "below the hips")
    waist, hips = (figures.with_ease(girth) / panels / 2 for girth in ("waist girth", "hip girth"))
    if hips < 1 or waist < 1:
        raise DraftRefused.at(("options", "panels"), f"panels: {panels} makes each narrower than 2 cm; take fewer")
    seam = _seam((waist, 0.0), (hips, -down), options["flare"] / 2, options["length"])
    foot = seam[-1]
    middle = (0.0, -options["length"])
    hem = cubic(middle, (foot[0] * 0.4, middle[1]), moved(foot, _square(seam), -0.3 * foot[0]), foot)
    panel = Part(
        "panel",
        (
            side((0.0, 0.0), (waist, 0.0), seam="waist"),
            side(*seam, seam="panels"),
            side(*hem[::-1], hem=options["hem"]),
        ),
        fold=True,
        count=panels,
        marks=(notch((hips, -down), (-1.0, 0.0), "hips"),),
    )
    finished = _finished(figures, 2 * panels * hips, 2 * panels * line_length(hem))
    return Garment((panel, _waistband(figures, 2)), finished, (_placket(figures),))


def _seam(waist: Point, hips: Point, flare: float, length: float) -> Ring:
    """From the waist over the hips to the hem, as long as the middle of the panel."""
    below = length + waist[1] - hips[1]
    long = math.hypot(flare, length + hips[1])
    flared = (flare / long, -(length + hips[1]) / long)
    first = math.dist(waist, hips)
    lean = ((hips[0] - waist[0]) / first, (hips[1] - waist[1]) / first)
    curve = cubic(waist, moved(waist, lean, first / 3), moved(hips, flared, -first / 3), hips)
    left = below + hips[1] - line_length(curve)
    return joined(curve, (hips, moved(hips, flared, left)))


def _square(seam: Ring) -> Point:
    """The direction outwards at a right angle to a seam's foot."""
    (u0, v0), (u1, v1) = seam[-2], seam[-1]
    long = math.dist(seam[-2], seam[-1])
    return -(v1 - v0) / long, (u1 - u0) / long
