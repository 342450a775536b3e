"""The judge: says what is wrong with a layout, in sentences, and knows nothing of how layouts are found.

It is slow and obvious on purpose. Every copy is drawn as a polygon in its place, and the polygons are
compared pair by pair. Scissors and chalk are not exact, so a hair over the selvedge (0.1 mm) and 0.03 cm²
of overlap in the whole layout are let pass; nothing else is.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from itertools import combinations

from shapely.geometry import Polygon

from clothwright.layout.arrangement import Copy, Layout, Placed, outline_in_place
from clothwright.layout.keeping import Lying, broken_rules
from clothwright.layout.rules import NO_RULES, Rules

EDGE_CM = 0.01
OVERLAP_CM2 = 0.03
GAP_CM = 0.02
SHARE = 0.0005

Name = tuple[str, int]
Pair = tuple[Name, Name]
Shapes = dict[Name, Polygon]


def faults(
    copies: tuple[Copy, ...], layout: Layout, *, gap_cm: float = 0.0, rules: Rules = NO_RULES
) -> tuple[str, ...]:
    """Everything wrong with `layout` as a layout of `copies`, a sentence each; empty when it can be cut.

    `gap_cm`: the least distance wanted between two copies, if the rules ask for less. `rules`: what else is asked.
    """
    unsound = (*_cloth(layout), *_counts(copies, layout))
    if unsound:
        return unsound
    lying = pairs_of(copies, layout)
    shapes = {name: Polygon(outline_in_place(copy, p)) for name, (copy, p) in lying.items()}
    wanted_gap_cm = max(gap_cm, rules.gap_cm)
    areas = {(a, b): shapes[a].intersection(shapes[b]).area for a, b in combinations(shapes, 2)}
    apart = {(a, b): shapes[a].distance(shapes[b]) for a, b in combinations(shapes, 2)} if wanted_gap_cm else {}
    return (*said_of_each(lying, shapes, layout, rules), *said_of_pairs(areas, apart, wanted_gap_cm))


def pairs_of(copies: tuple[Copy, ...], layout: Layout) -> Lying:
    """Each copy of the layout by name, with how it lies."""
    wanted = {(copy.piece, copy.number): copy for copy in copies}
    return {(p.piece, p.copy): (wanted[p.piece, p.copy], p) for p in layout.placed}


def said_of_pairs(areas: dict[Pair, float], apart: dict[Pair, float], gap_cm: float) -> tuple[str, ...]:
    """What is wrong between copies: `areas` that pairs share, cm², and how far they lie `apart`, cm."""
    return (*_overlaps(areas), *_crowded(apart, gap_cm))


def said_of_each(lying: Lying, shapes: Shapes, layout: Layout, rules: Rules) -> tuple[str, ...]:
    """What is wrong with each copy for itself, with the rules, and with the figures."""
    return (
        *(sentence for copy, p in lying.values() for sentence in _way_up(copy, p, rules)),
        *_outside(shapes, layout.width_cm),
        *broken_rules(lying, shapes, layout.width_cm, rules),
        *_figures(shapes, layout),
    )


def _cloth(layout: Layout) -> Iterator[str]:
    """Figures that are not numbers of centimetres at all."""
    if not (math.isfinite(layout.width_cm) and layout.width_cm > 0):
        yield f"the cloth is {layout.width_cm} cm wide, which is no width"
    for p in layout.placed:
        if not all(map(math.isfinite, (p.x_cm, p.y_cm, p.rotation_deg))):
            yield f"{p.piece} {p.copy} has no place on the cloth"


def _counts(copies: tuple[Copy, ...], layout: Layout) -> Iterator[str]:
    """Copies that are missing, there twice, or not asked for."""
    wanted = Counter((copy.piece, copy.number) for copy in copies)
    found = Counter((p.piece, p.copy) for p in layout.placed)
    yield from (f"{_say(name)} is asked for twice" for name, times in wanted.items() if times > 1)
    yield from (f"{_say(name)} is not placed" for name in wanted if name not in found)
    yield from (f"{_say(name)} is placed, but was not asked for" for name in found if name not in wanted)
    yield from (f"{_say(name)} is placed {n} times" for name, n in found.items() if n > 1)


def _way_up(copy: Copy, p: Placed, rules: Rules) -> Iterator[str]:
    """A copy turned as it may not be, or mirrored when it should not be, or not when it should."""
    turns = rules.turns_deg(copy)
    off_deg = [abs((p.rotation_deg - t + 180) % 360 - 180) for t in turns]
    if min(off_deg, default=math.inf) > rules.grain_tolerance_deg + 1e-9:
        allowed = " or ".join(f"{t:g}°" for t in turns) or "no turn"
        within = f", within {rules.grain_tolerance_deg:g}°," if rules.grain_tolerance_deg else ""
        yield f"{p.piece} {p.copy} is turned by {p.rotation_deg:g}°; it may lie at {allowed}{within} only"
    if p.mirrored and not copy.mirrored:
        yield f"{p.piece} {p.copy} is mirrored, and should not be"
    if copy.mirrored and not p.mirrored:
        yield f"{p.piece} {p.copy} is not mirrored, and should be"


def _outside(shapes: Shapes, width_cm: float) -> Iterator[str]:
    """Copies that stick out of the cloth."""
    for name, shape in shapes.items():
        left, low, _, high = shape.bounds
        if left < -EDGE_CM:
            yield f"{_say(name)} sticks out past the start of the cloth by {_cm(-left)}"
        if low < -EDGE_CM:
            yield f"{_say(name)} sticks out past the first selvedge by {_cm(-low)}"
        if high > width_cm + EDGE_CM:
            yield f"{_say(name)} sticks out past the far selvedge by {_cm(high - width_cm)}"


def _overlaps(areas: dict[Pair, float]) -> Iterator[str]:
    """Every pair that overlaps, once the overlaps add up to more than is let pass."""
    if sum(areas.values()) > OVERLAP_CM2:
        yield from (f"{_say(a)} and {_say(b)} overlap by {_cm(s)}²" for (a, b), s in areas.items() if s > 0)


def _crowded(apart: dict[Pair, float], gap_cm: float) -> Iterator[str]:
    """Pairs that lie closer together than asked."""
    for (a, b), distance in apart.items():
        if distance < gap_cm - GAP_CM:
            yield f"{_say(a)} and {_say(b)} lie {_cm(distance)} apart; {_cm(gap_cm)} is wanted"


def _figures(shapes: Shapes, layout: Layout) -> Iterator[str]:
    """A length or a used share that the copies in their places do not bear out."""
    length = max((shape.bounds[2] for shape in shapes.values()), default=0.0)
    if not abs(length - layout.length_cm) <= EDGE_CM:
        yield f"the layout says it is {_cm(layout.length_cm)} long, and is {_cm(length)}"
    area = sum(shape.area for shape in shapes.values())
    share = area / (layout.width_cm * length) if length > 0 else 0.0
    if not abs(share - layout.used_share) <= SHARE:
        yield f"the layout says it uses {layout.used_share:.1%} of the cloth, and uses {share:.1%}"


def _say(name: Name) -> str:
    return f"{name[0]} {name[1]}"


def _cm(value: float) -> str:
    """Centimetres as a person says them: one decimal, more only where one would show nothing."""
    return f"{value:.1f} cm" if value == 0 or abs(value) >= 0.05 else f"{value:.2g} cm"
