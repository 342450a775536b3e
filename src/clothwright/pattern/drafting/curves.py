"""Curves of a garment: cubic curves as short straight steps, and the search for the one of a wanted length.

A curve is drawn with enough steps that its corners cannot be seen (`STEPS` to each cubic; on an armhole of 25 cm the steps leave
the true curve by less than 0.2 mm). Lengths are those of the steps, which is what is cut and sewn, so two edges measured
the same way are equal when they are said to be.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise
from typing import Final

from clothwright.pattern.piece import Point, Ring

STEPS: Final = 24
#: How much of the way to the other end a handle of a quarter round reaches: 4/3 (√2 − 1). Source: exact.
QUARTER: Final = 4 / 3 * (math.sqrt(2) - 1)
_HALVINGS: Final = 60


def cubic(start: Point, first: Point, second: Point, end: Point) -> Ring:
    """The cubic from start to end with two handles, as `STEPS` straight steps."""
    return tuple(_on_cubic(start, first, second, end, step / STEPS) for step in range(STEPS + 1))


def _on_cubic(a: Point, b: Point, c: Point, d: Point, t: float) -> Point:
    s = 1 - t
    weights = (s**3, 3 * s * s * t, 3 * s * t * t, t**3)
    return (
        sum(w * p[0] for w, p in zip(weights, (a, b, c, d), strict=True)),
        sum(w * p[1] for w, p in zip(weights, (a, b, c, d), strict=True)),
    )


def moved(point: Point, direction: Point, cm: float) -> Point:
    """The point moved along a direction of length one."""
    return point[0] + direction[0] * cm, point[1] + direction[1] * cm


def from_to(start: Point, leaving: Point, end: Point, arriving: Point, reach: float = QUARTER) -> Ring:
    """The curve that leaves `start` one way and arrives at `end` another.

    Directions have length one; handles are `reach` of the distance between the ends, less the part sideways to them.
    """
    apart = (end[0] - start[0], end[1] - start[1])
    one = abs(apart[0] * leaving[0] + apart[1] * leaving[1]) * reach
    other = abs(apart[0] * arriving[0] + apart[1] * arriving[1]) * reach
    return cubic(start, moved(start, leaving, one), moved(end, arriving, -other), end)


def joined(*lines: Ring) -> Ring:
    """Lines that meet end to end, as one."""
    points = list(lines[0])
    for line in lines[1:]:
        points += line[1:]
    return tuple(points)


def reversed_line(line: Ring) -> Ring:
    """The line run the other way."""
    return line[::-1]


def level_at(line: Ring, v: float) -> Point:
    """Where a line that falls steadily passes a height; its end where it does not reach it."""
    for (u0, v0), (u1, v1) in pairwise(line):
        if v0 >= v >= v1 and v0 > v1:
            return u0 + (u1 - u0) * (v0 - v) / (v0 - v1), v
    return line[-1]


def solved(measure: Callable[[float], float], wanted: float, low: float, high: float) -> float | None:
    """Where a rising measure takes the wanted value, by halving; None where it does not between low and high."""
    if not measure(low) <= wanted <= measure(high):
        return None
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if measure(middle) < wanted:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def point_at(line: Ring, cm: float) -> tuple[Point, Point]:
    """The place a length along a line, and the direction (of length one) to its left there."""
    left = cm
    for start, end in pairwise(line):
        step = math.dist(start, end)
        if left <= step and step > 0:
            share = left / step
            direction = ((end[0] - start[0]) / step, (end[1] - start[1]) / step)
            place = (start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share)
            return place, (-direction[1], direction[0])
        left -= step
    return line[-1], (0.0, 0.0)
