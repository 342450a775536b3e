"""SVG's geometry: moving, scaling and turning; tracks, and curves made of short straight lines.

A shape becomes *tracks* (a start and steps, in the shape's own units); a track becomes points in centimetres once the
transform to the page is known, so that a curve is cut into as many chords as its real size needs. A chord is never
further than `CHORD_ERROR_CM` from its curve:

- Bézier of degree three, n equal steps of its parameter: error ≤ max|B''| / (8 n²), and max|B''| ≤ 6 max(|p0 − 2 p1 + p2|,
  |p1 − 2 p2 + p3|). A quadratic is written as the cubic that equals it.
- Arc: the image of a unit circle under a linear map that stretches by at most σ; the sagitta of a step of angle δ
  on the unit circle is 1 − cos(δ/2), so error ≤ σ (1 − cos(δ/2)).

*Source:* SVG 1.1 (W3C, 2011), section 7.6 (transforms); the bounds are calculus.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

CHORD_ERROR_CM = 0.02
CLOSES_WITHIN_CM = 0.02
LARGEST_NUMBER = 1e7
MAX_POINTS = 100_000

Point = tuple[float, float]


class NotUnderstood(ValueError):
    """A number, transform or path that does not follow SVG; the message says at what it stopped."""


class TooManyPoints(ValueError):
    """The drawing's curves need more points than is sensible for pattern pieces."""


# --- moving, scaling, turning -------------------------------------------------------------------------------------


class Affine(NamedTuple):
    """x' = a x + c y + e, y' = b x + d y + f, in the order of SVG's matrix(a b c d e f)."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def at(self, x: float, y: float) -> Point:
        """Where the point comes to lie."""
        return self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f

    def inside(self, outer: Affine) -> Affine:
        """This transform, then `outer`: what an element gets that stands inside another."""
        a, b = outer.a * self.a + outer.c * self.b, outer.b * self.a + outer.d * self.b
        c, d = outer.a * self.c + outer.c * self.d, outer.b * self.c + outer.d * self.d
        e, f = outer.at(self.e, self.f)
        return Affine(a, b, c, d, e, f)


def _rotation(angle: float, x: float = 0.0, y: float = 0.0) -> Affine:
    c, s = cos_sin(angle)
    return Affine(c, s, -s, c, x - c * x + s * y, y - s * x - c * y)


def cos_sin(degrees: float) -> Point:
    """Cosine and sine; quarter turns are exact."""
    exact = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}.get(degrees % 360)
    return exact or (math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))


def _scaling(x: float, y: float | None = None) -> Affine:
    return Affine(a=x, d=x if y is None else y)


_TRANSFORMS: dict[str, tuple[Callable[..., Affine], tuple[int, ...]]] = {
    "matrix": (Affine, (6,)),
    "translate": (lambda x, y=0.0: Affine(e=x, f=y), (1, 2)),
    "scale": (_scaling, (1, 2)),
    "rotate": (_rotation, (1, 3)),
    "skewX": (lambda angle: Affine(c=math.tan(math.radians(angle))), (1,)),
    "skewY": (lambda angle: Affine(b=math.tan(math.radians(angle))), (1,)),
}
_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")
_GAP = re.compile(r"[ \t\r\n\f]*,?[ \t\r\n\f]*")
_CALL = re.compile(r"[\s,]*([A-Za-z]+)\s*\(([^()]*)\)[\s,]*")


def read_transform(text: str) -> Affine:
    """The transform attribute's list as one transform; NotUnderstood if any of it is not SVG's."""
    whole, at, text = Affine(), 0, text.strip()
    while at < len(text):
        call = _CALL.match(text, at)
        if call is None or call[1] not in _TRANSFORMS:
            raise NotUnderstood(f"stopped at “{text[at : at + 20].strip()}”")
        make, counts = _TRANSFORMS[call[1]]
        numbers = read_numbers(call[2])
        if len(numbers) not in counts:
            raise NotUnderstood(f"{call[1]} with {len(numbers)} numbers")
        whole, at = make(*numbers).inside(whole), call.end()
    return whole


def read_numbers(text: str) -> list[float]:
    """Numbers with spaces or commas between them; NotUnderstood if there is anything else."""
    cursor = Cursor(text)
    numbers = []
    while not cursor.at_end():
        numbers.append(cursor.number())
    return numbers


def sensible(text: str) -> float:
    """The number, if it is finite and no larger than a drawing can need."""
    number = float(text)
    if not abs(number) <= LARGEST_NUMBER:
        raise NotUnderstood(f"the number “{text[:20]}” is too large")
    return number


class Cursor:
    """Reads numbers, flags and commands from a text, one after the other."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._at = 0
        self._skip()

    def _skip(self) -> None:
        gap = _GAP.match(self._text, self._at)
        self._at = gap.end() if gap else self._at

    def at_end(self) -> bool:
        """Whether everything has been read."""
        return self._at >= len(self._text)

    def at_number(self) -> bool:
        """Whether a number comes next."""
        return _NUMBER.match(self._text, self._at) is not None

    def number(self) -> float:
        """The next number; NotUnderstood if none comes."""
        match = _NUMBER.match(self._text, self._at)
        if match is None:
            raise self.stuck()
        self._at = match.end()
        self._skip()
        return sensible(match[0])

    def flag(self) -> float:
        """An arc's flag, which may stand without a space behind it."""
        letter = self.letter()
        if letter not in ("0", "1"):
            raise NotUnderstood(f"an arc's flag is “{letter}”, not 0 or 1")
        return float(letter)

    def letter(self) -> str:
        """The next letter, whatever it is."""
        if self.at_end():
            raise self.stuck()
        letter = self._text[self._at]
        self._at += 1
        self._skip()
        return letter

    def stuck(self) -> NotUnderstood:
        """The complaint that names what comes next."""
        rest = self._text[self._at : self._at + 20]
        return NotUnderstood(f"stopped at “{rest}”" if rest else "it ends too early")


# --- tracks: a start and the steps from it -----------------------------------------------------------------------


@dataclass(frozen=True)
class Straight:
    """A straight step to `end`."""

    end: Point

    def points(self, _start: Point, to_cm: Affine) -> Iterator[tuple[Point, bool]]:
        """The step's points after its start, in cm; and whether a straight line leads to each."""
        yield to_cm.at(*self.end), True


@dataclass(frozen=True)
class Cubic:
    """A Bézier curve of degree three to `end`."""

    first: Point
    second: Point
    end: Point

    def points(self, start: Point, to_cm: Affine) -> Iterator[tuple[Point, bool]]:
        """The curve's points after its start, in cm; a curve that is straight all along counts as straight."""
        p = [to_cm.at(*point) for point in (start, self.first, self.second, self.end)]
        if _is_straight(p):
            yield p[3], True
            return
        bend = max(math.hypot(*_second_difference(p[0:3])), math.hypot(*_second_difference(p[1:4])))
        steps = _whole(math.sqrt(6 * bend / (8 * CHORD_ERROR_CM)))
        for step in range(1, steps):
            yield _on_cubic(p, step / steps), False
        yield p[3], False


@dataclass(frozen=True)
class Arc:
    """Part of an ellipse: centre + u cos t + v sin t, from t = `begin`, over `sweep` (radians), to `end`."""

    centre: Point
    u: Point
    v: Point
    begin: float
    sweep: float
    end: Point

    def points(self, _start: Point, to_cm: Affine) -> Iterator[tuple[Point, bool]]:
        """The arc's points after its start, in cm."""
        stretch = _largest_stretch(_turned(self.u, to_cm), _turned(self.v, to_cm))
        widest = 2 * math.acos(max(1 - CHORD_ERROR_CM / stretch, 0.0)) if stretch > 0 else math.pi
        steps = _whole(abs(self.sweep) / min(widest, math.pi / 4))
        for step in range(1, steps):
            yield to_cm.at(*self._at(self.begin + self.sweep * step / steps)), False
        yield to_cm.at(*self.end), False

    def _at(self, t: float) -> Point:
        c, s = math.cos(t), math.sin(t)
        return (
            self.centre[0] + self.u[0] * c + self.v[0] * s,
            self.centre[1] + self.u[1] * c + self.v[1] * s,
        )


Step = Straight | Cubic | Arc


def _whole(steps: float) -> int:
    """At least one step, and no more than a whole drawing may have."""
    if not steps <= MAX_POINTS:
        raise TooManyPoints
    return max(1, math.ceil(steps))


def _second_difference(p: list[Point]) -> Point:
    return p[0][0] - 2 * p[1][0] + p[2][0], p[0][1] - 2 * p[1][1] + p[2][1]


def _is_straight(p: list[Point]) -> bool:
    """Whether the handles lie on the chord, between its ends: how drawing programs write a straight side."""
    (x0, y0), (x3, y3) = p[0], p[3]
    length = math.hypot(x3 - x0, y3 - y0)
    if length == 0:
        return False
    along = [((x - x0) * (x3 - x0) + (y - y0) * (y3 - y0)) / length for x, y in p[1:3]]
    aside = [abs((x - x0) * (y3 - y0) - (y - y0) * (x3 - x0)) / length for x, y in p[1:3]]
    return max(aside) < CHORD_ERROR_CM / 20 and min(along) > -1e-9 and max(along) < length + 1e-9


def _on_cubic(p: list[Point], t: float) -> Point:
    s = 1 - t
    weights = (s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t)
    x = sum(w * point[0] for w, point in zip(weights, p, strict=True))
    y = sum(w * point[1] for w, point in zip(weights, p, strict=True))
    return x, y


def _turned(vector: Point, to_cm: Affine) -> Point:
    """The vector transformed: without the shift."""
    return to_cm.a * vector[0] + to_cm.c * vector[1], to_cm.b * vector[0] + to_cm.d * vector[1]


def _largest_stretch(u: Point, v: Point) -> float:
    """The larger singular value of the map that takes the unit circle to u cos t + v sin t."""
    total = u[0] ** 2 + u[1] ** 2 + v[0] ** 2 + v[1] ** 2
    area = abs(u[0] * v[1] - u[1] * v[0])
    return math.sqrt((total + math.sqrt(max(total * total - 4 * area * area, 0.0))) / 2)


@dataclass
class Track:
    """One line of a shape, open or closed, in the shape's own units."""

    start: Point
    steps: list[Step] = field(default_factory=list)
    closed: bool = False


@dataclass(frozen=True)
class Flat:
    """A track in centimetres: `straight[i]` says whether the edge after point i is straight in the drawing."""

    points: tuple[Point, ...]
    straight: tuple[bool, ...]
    closed: bool


def flatten(track: Track, to_cm: Affine) -> Flat:
    """The track as points in cm, no chord further than `CHORD_ERROR_CM` from its curve."""
    points, straight = [to_cm.at(*track.start)], []
    begin = track.start
    for step in track.steps:
        for point, is_straight in step.points(begin, to_cm):
            points.append(point)
            straight.append(is_straight)
        begin = step.end
    if not all(abs(x) <= LARGEST_NUMBER and abs(y) <= LARGEST_NUMBER for x, y in points):
        raise NotUnderstood("its numbers are too large")
    return _joined_up(points, straight, track.closed)


def _joined_up(points: list[Point], straight: list[bool], closed: bool) -> Flat:
    """Closed if the drawing says so, or if the ends lie together; then the start is not repeated at the end."""
    together = len(points) > 3 and math.dist(points[0], points[-1]) <= CLOSES_WITHIN_CM
    if together:
        points = points[:-1]
    elif closed:
        straight = [*straight, True]
    return Flat(tuple(points), tuple(straight), closed or together)
