"""The shaped body of a garment: half a back and half a front with neck, shoulder, armhole and side seam.

u runs from the middle outwards, v upwards from the neck's side, cm. The shoulder falls 20° from the neck's side, which lies
neck base / 6 + 0.5 cm from the middle; the nape lies 2 cm lower. Levels are measured down from the nape: armhole at scye depth
and what it is lowered by, waist at cervical to waist, hips below it.

Front and back are each a quarter of a girth wide on either side of the middle, so that 4 quarters are body and ease exactly. Their
side seams are one and the same curve, and so are their shoulders: what is sewn together is equal because it is the same line.
Cloth is shaped at the side seams only. There are no darts: a woven cloth that drapes gives, and over a full bust a mock-up
tells what it does not.

The armhole leaves the shoulder at a right angle, is upright where it passes half of back width (or front width) and an eighth of
the ease, and comes in level at the side seam; so it runs on without a corner across both seams. The neck meets the shoulder at a
right angle for the same reason. Wider necks move outwards along the shoulder.

*Source:* construction, slope of the shoulder, depth of the nape and the shares of the neck base: common practice, no source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from clothwright.pattern.drafting.asking import DraftRefused, Figures
from clothwright.pattern.drafting.curves import QUARTER, cubic, from_to, joined, level_at, moved
from clothwright.pattern.piece import Point, Ring, line_length

SLOPE: Final = math.radians(20.0)
NAPE_CM: Final = 2.0
#: The least of a shoulder that holds a garment up, cm. Common practice, no source.
LEAST_SHOULDER_CM: Final = 3.0
#: How far the armhole must run under the arm from where it is upright, cm. Common practice, no source.
LEAST_UNDERARM_CM: Final = 1.0
#: Where the armhole is upright, from its foot to the shoulder. Common practice, no source.
_UPRIGHT_AT: Final = 0.4
_EIGHTH: Final = 0.125
_ALONG: Final = (math.cos(SLOPE), -math.sin(SLOPE))
_OFF_SHOULDER: Final = (-math.sin(SLOPE), -math.cos(SLOPE))


@dataclass(frozen=True)
class Bodice:
    """Half a front and half a back.

    Lines run: necks from the middle to the shoulder, shoulder outwards, armholes downwards, side downwards.
    """

    neck_back: Ring
    neck_front: Ring
    shoulder: Ring
    armhole_back: Ring
    armhole_front: Ring
    side: Ring
    hem_v: float
    girths: tuple[tuple[str, float], ...]

    @property
    def armhole_cm(self) -> float:
        """All round an armhole."""
        return line_length(self.armhole_back) + line_length(self.armhole_front)


@dataclass(frozen=True)
class _Levels:
    scye: float
    waist: float
    hips: float
    hem: float


def neck_side(figures: Figures) -> float:
    """How far the neck's side lies from the middle, cm."""
    return figures.body["neck-base girth"] / 6 + 0.5


def neck_point(figures: Figures, wider_cm: float) -> Point:
    """Where the neck meets the shoulder, moved outwards along it."""
    return moved((neck_side(figures), 0.0), _ALONG, wider_cm)


def most_wider(figures: Figures) -> float:
    """How much wider a neck can be and leave a shoulder, cm."""
    return max(figures.body["shoulder length"] - LEAST_SHOULDER_CM, 0.0)


def back_neck(at: Point) -> Ring:
    """From the middle of the back to the shoulder."""
    return from_to((0.0, at[1] - NAPE_CM), (1.0, 0.0), at, (-_OFF_SHOULDER[0], -_OFF_SHOULDER[1]))


def round_neck(at: Point, drop_cm: float) -> Ring:
    """From the middle of the front, `drop_cm` below the neck's side, to the shoulder."""
    return from_to((0.0, -drop_cm), (1.0, 0.0), at, (-_OFF_SHOULDER[0], -_OFF_SHOULDER[1]))


def v_neck(at: Point, foot: Point) -> Ring:
    """From the foot of a V straight up, and round to a right angle at the shoulder."""
    long = math.dist(at, foot)
    straight = (foot[0] + (at[0] - foot[0]) * 0.6, foot[1] + (at[1] - foot[1]) * 0.6)
    return cubic(foot, straight, moved(at, _OFF_SHOULDER, 0.2 * long), at)


def bodice(figures: Figures, at: Point, neck_front: Ring, *, shaped: bool) -> Bodice:
    """The body for a neck that meets the shoulder at a point; DraftRefused if the measures do not go together."""
    levels = _levels(figures)
    shoulder_end = moved((neck_side(figures), 0.0), _ALONG, figures.body["shoulder length"])
    quarters = _quarters(figures, shaped)
    ease = figures.ease["bust girth"] * _EIGHTH
    under = (quarters[0], levels.scye)
    back = _armhole(shoulder_end, figures.body["back width"] / 2 + ease, under, "back width")
    front = _armhole(shoulder_end, figures.body["front width"] / 2 + ease, under, "front width")
    girths = tuple(zip(("bust girth", "waist girth", "hip girth"), (4 * q for q in quarters), strict=True))
    return Bodice(
        back_neck(at),
        neck_front,
        (at, shoulder_end),
        back,
        front,
        _side(under, quarters, levels),
        levels.hem,
        girths,
    )


def _levels(figures: Figures) -> _Levels:
    body, options = figures.body, figures.options
    scye = -NAPE_CM - body["scye depth"] - options["scye_lower"]
    waist = -NAPE_CM - body["cervical to waist"]
    if scye - waist < 2:
        raise DraftRefused.at(
            ("body", "cervical_to_waist"),
            f"cervical to waist is {body['cervical to waist']:.1f} cm and the armhole reaches {-scye - NAPE_CM:.1f} cm down from the "
            "nape; the waist must lie 2 cm or more below the armhole: measure both again, or lower the armhole less",
        )
    return _Levels(scye, waist, waist - body["waist to hips"], waist - options["below_waist"])


def _quarters(figures: Figures, shaped: bool) -> tuple[float, float, float]:
    """A quarter of bust, waist and hips as sewn; straight sides are as wide as the bust, or wider where the body is."""
    bust, waist, hip = (figures.with_ease(girth) / 4 for girth in ("bust girth", "waist girth", "hip girth"))
    return (bust, waist, hip) if shaped else (bust, max(bust, waist), max(bust, waist, hip))


def _armhole(shoulder_end: Point, across: float, under: Point, measure: str) -> Ring:
    """From the shoulder down to the side seam."""
    if under[0] - across < LEAST_UNDERARM_CM:
        raise DraftRefused.at(
            ("body", measure.replace(" ", "_")),
            f"half of the {measure} and its ease is {across:.1f} cm, and a quarter of the bust and its ease {under[0]:.1f} cm: no room is "
            f"left for the arm; {LEAST_UNDERARM_CM:g} cm or more is needed: measure both again, or give more ease at the bust",
        )
    if shoulder_end[1] - under[1] < 8:
        raise DraftRefused.at(
            ("body", "scye_depth"),
            f"the armhole would be {max(shoulder_end[1] - under[1], 0):.1f} cm deep below the shoulder's point; 8 cm or more is needed: "
            "measure the scye depth again, or lower the armhole",
        )
    upright = (across, under[1] + (shoulder_end[1] - under[1]) * _UPRIGHT_AT)
    upper = from_to(shoulder_end, _OFF_SHOULDER, upright, (0.0, -1.0))
    return joined(upper, from_to(upright, (0.0, -1.0), under, (1.0, 0.0), QUARTER))


def _side(under: Point, quarters: tuple[float, float, float], levels: _Levels) -> Ring:
    """From the armhole down to the hem, upright at waist and hips."""
    down = (0.0, -1.0)
    waist, hips = (quarters[1], levels.waist), (quarters[2], levels.hips)
    whole = joined(
        from_to(under, down, waist, down), from_to(waist, down, hips, down), (hips, (hips[0], levels.hips - 200))
    )
    kept = tuple(point for point in whole if point[1] > levels.hem + 1e-6)
    return (*kept, level_at(whole, levels.hem))
