"""The judge of rules: says in sentences which rules a layout breaks. Slow and obvious, as the judge of overlaps is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations

from shapely.geometry import Polygon, box

from clothwright.layout.arrangement import Copy, Placed, points_in_place
from clothwright.layout.rules import Flaw, Rules, Stripes

EDGE_CM = 0.01

Name = tuple[str, int]
Shapes = Mapping[Name, Polygon]
Lying = Mapping[Name, tuple[Copy, Placed]]


def broken_rules(lying: Lying, shapes: Shapes, width_cm: float, rules: Rules) -> Iterator[str]:
    """Every rule that copies lying so on cloth of `width_cm` break, a sentence each."""
    yield from _covering(shapes, width_cm, rules)
    yield from _moved(lying, rules)
    yield from _off_selvedge(lying, shapes, width_cm, rules)
    yield from _unmatched(lying, rules)
    yield from _beside_whole_width(shapes, rules)
    yield from _out_of_order(shapes, rules)


def flaw_box(flaw: Flaw, width_cm: float) -> Polygon:
    """Where on the cloth a flaw is."""
    low, high = (0.0, width_cm) if flaw.width_cm is None else (flaw.y_cm, flaw.y_cm + flaw.width_cm)
    return box(flaw.x_cm, low, flaw.x_cm + flaw.length_cm, high)


def _covering(shapes: Shapes, width_cm: float, rules: Rules) -> Iterator[str]:
    """Copies that lie on a flaw by more than a hair."""
    for flaw in rules.flaws:
        place = flaw_box(flaw, width_cm)
        for name, shape in shapes.items():
            if shape.buffer(-EDGE_CM).intersects(place):
                yield f"{_say(name)} covers the {flaw.what} at {_cm(flaw.x_cm)}"


def _moved(lying: Lying, rules: Rules) -> Iterator[str]:
    """Locked copies that do not lie where they were put."""
    for locked in rules.locked:
        if (name := (locked.piece, locked.copy)) in lying:
            found = lying[name][1]
            aside = max(abs(found.x_cm - locked.x_cm), abs(found.y_cm - locked.y_cm))
            if aside > EDGE_CM:
                yield f"{_say(name)} is locked, and lies {_cm(aside)} from its place"
            if abs((found.rotation_deg - locked.rotation_deg + 180) % 360 - 180) > 1e-9:
                yield f"{_say(name)} is locked at {locked.rotation_deg:g}°, and is turned by {found.rotation_deg:g}°"


def _off_selvedge(lying: Lying, shapes: Shapes, width_cm: float, rules: Rules) -> Iterator[str]:
    """Edges that must lie on a selvedge and do not, and copies too near one with no edge that may lie there."""
    if not (rules.selvedges or rules.selvedge_cm):
        return
    for name, (copy, placed) in lying.items():
        edges = [edge for edge in rules.selvedges if edge.piece == copy.piece]
        on = [edge for edge in edges if _on_selvedge(points_in_place(copy, placed, edge.line), width_cm)]
        if any(edge.must and edge not in on for edge in edges):
            yield f"{_say(name)} has an edge that must lie on a selvedge, and does not"
        near = min(shapes[name].bounds[1], width_cm - shapes[name].bounds[3])
        if rules.selvedge_cm and not on and near < rules.selvedge_cm - EDGE_CM:
            yield f"{_say(name)} lies {_cm(max(0.0, near))} from a selvedge; {_cm(rules.selvedge_cm)} is wanted"


def _on_selvedge(line: tuple[tuple[float, float], ...], width_cm: float) -> bool:
    return any(all(abs(y - at) <= EDGE_CM for _, y in line) for at in (0.0, width_cm))


def _unmatched(lying: Lying, rules: Rules) -> Iterator[str]:
    """Match points of one name at which the stripes do not meet."""
    for stripes in rules.stripes:
        for name in dict.fromkeys(point.name for point in rules.matches):
            phases = list(_phases(lying, rules, stripes, name))
            for (one, phase), (other, there) in combinations(phases, 2):
                if (out := stripes.out_cm(phase, there)) > stripes.hair_cm:
                    yield f"stripes at {name} are {_cm(out)} out between {_say(one)} and {_say(other)}"
        if stripes.across and not stripes.even:
            yield from (
                f"{_say(name)} is mirrored, which stripes with an uneven repeat across the cloth do not bear"
                for name, (copy, _) in lying.items()
                if copy.mirrored
            )


def _phases(lying: Lying, rules: Rules, stripes: Stripes, name: str) -> Iterator[tuple[Name, float]]:
    """Where in the repeat each copy has its points of this name."""
    for key, (copy, placed) in lying.items():
        for point in rules.matches:
            if point.name == name and point.piece == copy.piece:
                yield key, stripes.phase_cm(points_in_place(copy, placed, (point.at,))[0], placed)


def _beside_whole_width(shapes: Shapes, rules: Rules) -> Iterator[str]:
    """Copies that lie beside one that takes the whole width."""
    if not rules.whole_width:
        return
    for one, other in combinations(shapes, 2):
        for panel, beside in ((one, other), (other, one)):
            left, _, right, _ = shapes[panel].bounds
            begins, _, ends, _ = shapes[beside].bounds
            if panel[0] in rules.whole_width and min(right, ends) - max(left, begins) > EDGE_CM:
                yield f"{_say(panel)} takes the whole width of the cloth, and {_say(beside)} lies beside it"


def _out_of_order(shapes: Shapes, rules: Rules) -> Iterator[str]:
    """Copies of an earlier lot that reach past the beginning of a later one."""
    for number, lot in enumerate(rules.lots):
        later = {piece for names in rules.lots[number + 1 :] for piece in names}
        for name, shape in shapes.items():
            for other, following in shapes.items():
                past = shape.bounds[2] - following.bounds[0]
                if name[0] in lot and other[0] in later and past > EDGE_CM:
                    yield f"{_say(name)} reaches {_cm(past)} past the start of {_say(other)}, which is of a later lot"


def _say(name: Name) -> str:
    return f"{name[0]} {name[1]}"


def _cm(value: float) -> str:
    return f"{value:.1f} cm" if value == 0 or abs(value) >= 0.05 else f"{value:.2g} cm"
