"""The waistcoat: the shaped body, open down the front, with facings and bound armholes.

The front's edge runs from the shoulder down the neck to the overlap beyond the middle, and straight to the hem. A facing is the
front itself as far as a given distance from that edge, and for the back as far from its neck; since both necks meet the shoulder
at a right angle, both facings are as wide there, and their shoulder seams are equal. Facings and bindings may come from another
cloth. Armhole bindings are strips on the bias as long as the armhole.

*Source:* see `bodice.py`; construction common practice, no source.
"""

from __future__ import annotations

from typing import Final

from shapely.geometry import LineString, Polygon

from clothwright.pattern.drafting.asking import DraftRefused, Figures
from clothwright.pattern.drafting.bodice import Bodice, bodice, neck_point, round_neck, v_neck
from clothwright.pattern.drafting.curves import joined, moved
from clothwright.pattern.drafting.drafted import Finished
from clothwright.pattern.drafting.sewn import BINDING_CM, BINDING_TURNED_CM, Garment
from clothwright.pattern.drafting.shaping import Part, join_line, ring_of, run, side, strip
from clothwright.pattern.piece import Edge, PieceMark, Point, Ring, line_length

#: The least of the front that hangs below where its neck ends, cm. Common practice, no source.
LEAST_BELOW_NECK_CM: Final = 4.0


def waistcoat(figures: Figures) -> Garment:
    """The parts of the waistcoat, its finished measures and notes."""
    options = figures.options
    at, drop, overlap = neck_point(figures, 0.0), options["neck_drop"], options["overlap"]
    v_shaped = options["neck"] == "v"
    neck = (
        v_neck(at, (-overlap, -drop)) if v_shaped else joined(((-overlap, -drop), (0.0, -drop)), round_neck(at, drop))
    )
    body = bodice(figures, at, without_first_repeat(neck), shaped=options["waist"] == "shaped")
    _reaches(figures, body, drop)
    front = _front(body, overlap, options["hem"])
    parts = (
        Part("back", back_sides(body, options["hem"]), fold=True, marks=(middle_join(body, body.neck_back[0]),)),
        Part("front", front, count=2, pair=True),
        _front_facing(body, front, overlap, options["facing"], options["facing_cloth"]),
        back_neck_facing(body, options["facing"], options["facing_cloth"]),
        armhole_binding(body, options["binding_cloth"]),
    )
    return Garment(parts, body_finished(figures, body), ())


def without_first_repeat(line: Ring) -> Ring:
    """The line without a first step of no length, as where fronts meet edge to edge."""
    return line[1:] if line[0] == line[1] else line


def _reaches(figures: Figures, body: Bodice, drop: float) -> None:
    most = -body.hem_v - LEAST_BELOW_NECK_CM
    if drop > most:
        raise DraftRefused.at(
            ("options", "neck_drop"),
            f"neck_drop: {drop:g} cm brings the neck to within {LEAST_BELOW_NECK_CM:g} cm of the hem, or below it; "
            f"at most {most:.1f} cm is accepted at this length",
        )
    if drop <= figures.body["neck-base girth"] / 12:
        raise DraftRefused.at(("options", "neck_drop"), f"neck_drop: {drop:g} cm is too little for a front neck")


def back_sides(body: Bodice, hem: float) -> tuple[Edge, ...]:
    """The sides of a back on its fold."""
    foot = body.side[-1]
    return (
        side(*body.neck_back, seam="neck back"),
        side(*body.shoulder, seam="shoulder"),
        side(*body.armhole_back, seam="armhole back"),
        side(*body.side, seam="side"),
        side(foot, (0.0, foot[1]), hem=hem),
    )


def middle_join(body: Bodice, start: Point) -> PieceMark:
    """The middle of a part on its fold, where it may be joined from two."""
    return join_line(start, (0.0, body.hem_v))


def _front(body: Bodice, overlap: float, hem: float) -> tuple[Edge, ...]:
    foot = body.side[-1]
    return (
        side(*body.neck_front, seam="neck front"),
        side(*body.shoulder, seam="shoulder"),
        side(*body.armhole_front, seam="armhole front"),
        side(*body.side, seam="side"),
        side(foot, (-overlap, foot[1]), hem=hem),
        side((-overlap, foot[1]), body.neck_front[0], seam="front edge"),
    )


def _front_facing(body: Bodice, front: tuple[Edge, ...], overlap: float, wide: float, cloth: str) -> Part:
    """As far into the front as the facing is wide, from its neck and its edge."""
    foot = (-overlap, body.hem_v)
    edge = (foot, body.neck_front[0])
    around = LineString([foot, *body.neck_front]).buffer(wide, quad_segs=16)
    faced = Polygon(ring_of(front, closed=True)).intersection(around)
    inner = (moved(body.shoulder[0], _direction(body.shoulder), wide), (foot[0] + wide, foot[1]))
    sides = (
        side(*body.neck_front, seam="neck front"),
        side(body.shoulder[0], inner[0], seam="facing shoulder"),
        side(*_between(faced, *inner, away_from=edge[0]), allowance=0.0),
        side(inner[1], foot),
        side(*edge, seam="front edge"),
    )
    return Part("front facing", sides, count=2, pair=True, material=cloth)


def back_neck_facing(body: Bodice, wide: float, cloth: str) -> Part:
    """As far into the back as the facing is wide, from its neck."""
    neck = (*_mirror(body.neck_back)[::-1], *body.neck_back[1:])
    back = Polygon([*body.neck_back, *body.shoulder[1:], *body.armhole_back[1:], (0.0, body.armhole_back[-1][1])])
    half = back.intersection(LineString(neck).buffer(wide, quad_segs=16))
    shoulder, middle = moved(body.shoulder[0], _direction(body.shoulder), wide), (0.0, body.neck_back[0][1] - wide)
    sides = (
        side(*body.neck_back, seam="neck back"),
        side(body.shoulder[0], shoulder, seam="facing shoulder"),
        side(*_between(half, shoulder, middle, away_from=body.neck_back[0]), allowance=0.0),
    )
    return Part("back neck facing", sides, fold=True, material=cloth)


def _mirror(line: Ring) -> Ring:
    return tuple((-u, v) for u, v in line)


def _direction(line: Ring) -> Point:
    (u0, v0), (u1, v1) = line[0], line[-1]
    long = line_length((line[0], line[-1]))
    return (u1 - u0) / long, (v1 - v0) / long


def _between(area: Polygon, start: Point, end: Point, *, away_from: Point) -> Ring:
    """The stretch of an area's outline from near one point to near another, on the side that passes not by a third."""
    ring = [(float(u), float(v)) for u, v in area.exterior.coords[:-1]]
    first, last, third = (_nearest(ring, point) for point in (start, end, away_from))
    forwards = [ring[(first + i) % len(ring)] for i in range((last - first) % len(ring) + 1)]
    passes = (third - first) % len(ring) <= (last - first) % len(ring)
    backwards = [ring[(first - i) % len(ring)] for i in range((first - last) % len(ring) + 1)]
    chosen = backwards if passes and third not in (first, last) else forwards
    return (start, *chosen[1:-1], end)


def _nearest(ring: list[Point], point: Point) -> int:
    return min(range(len(ring)), key=lambda i: line_length((ring[i], point)))


def armhole_binding(body: Bodice, cloth: str) -> Part:
    """A strip on the bias as long as the armhole."""
    turned = BINDING_TURNED_CM
    lengths = (
        run(line_length(body.armhole_back), "armhole back", allowance=turned),
        run(line_length(body.armhole_front), "armhole front", allowance=turned),
    )
    return strip(
        "armhole binding",
        lengths,
        BINDING_CM,
        ends=("armhole binding ends",) * 2,
        inner=Edge((), allowance_cm=turned),
        count=2,
        pair=True,
        bias=True,
        material=cloth,
    )


def body_finished(figures: Figures, body: Bodice) -> tuple[Finished, ...]:
    """Girths, armhole and length of the shaped body beside the person's."""
    level = {"bust girth": body.armhole_back[-1][1], "waist girth": _level(figures, 0), "hip girth": _level(figures, 1)}
    girths = tuple(
        Finished(name, cm, figures.body[name], figures.ease[name])
        for name, cm in body.girths
        if level[name] >= body.hem_v - 1e-6
    )
    hem = Finished("hem, all round", 4 * body.side[-1][0])
    return (
        *girths,
        hem,
        Finished("armhole, all round", body.armhole_cm),
        Finished("length from the nape", -body.hem_v - 2.0),
    )


def _level(figures: Figures, hips: int) -> float:
    return -2.0 - figures.body["cervical to waist"] - hips * figures.body["waist to hips"]
