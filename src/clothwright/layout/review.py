"""The judge beside a hand that drags: what was found out of pairs is kept, and only the moved copy is looked at again.

It says the same sentences as `faults`, which stays the judge: tests hold every review against it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from shapely.geometry import Polygon

from clothwright.layout.area import area_cm2
from clothwright.layout.arrangement import Copy, Layout, Placed, outline_in_place
from clothwright.layout.judge import Name, Pair, Shapes, pairs_of, said_of_each, said_of_pairs
from clothwright.layout.keeping import Lying
from clothwright.layout.rules import NO_RULES, Rules


@dataclass(frozen=True)
class Review:
    """A layout with its faults, ready to be asked again with one copy moved.

    `cut_cm2`: the area of all copies. `areas` and `apart`: what each pair shares, cm², and how far it lies apart, cm; the second is empty with no gap asked.
    """

    copies: tuple[Copy, ...]
    layout: Layout
    rules: Rules
    cut_cm2: float
    lying: Lying
    shapes: Shapes
    areas: dict[Pair, float]
    apart: dict[Pair, float]

    @property
    def faults(self) -> tuple[str, ...]:
        """Everything wrong with the layout, as the judge says it."""
        alone = said_of_each(self.lying, self.shapes, self.layout, self.rules)
        return (*alone, *said_of_pairs(self.areas, self.apart, self.rules.gap_cm))

    def moved(self, placed: Placed) -> Review:
        """The review with one copy, already in the layout, put somewhere else; its length and share follow."""
        name = (placed.piece, placed.copy)
        copy, _ = self.lying[name]
        others = tuple(placed if (p.piece, p.copy) == name else p for p in self.layout.placed)
        shapes = {**self.shapes, name: Polygon(outline_in_place(copy, placed))}
        touched = [pair for pair in self.areas if name in pair]
        return replace(
            self,
            layout=_measured_again(self, shapes, others),
            lying={**self.lying, name: (copy, placed)},
            shapes=shapes,
            areas={**self.areas, **dict(_shared(shapes, touched))},
            apart={**self.apart, **dict(_apart(shapes, touched))} if self.rules.gap_cm else {},
        )


def review(copies: tuple[Copy, ...], layout: Layout, rules: Rules = NO_RULES) -> Review:
    """A review of a layout in which every copy asked for lies once; else ValueError, and `faults` says why."""
    lying = pairs_of(copies, layout) if _complete(copies, layout) else None
    if lying is None:
        raise ValueError("only a layout with every copy in it once can be reviewed while a copy is moved")
    shapes = {name: Polygon(outline_in_place(copy, p)) for name, (copy, p) in lying.items()}
    names = list(shapes)
    pairs = [(a, b) for number, a in enumerate(names) for b in names[number + 1 :]]
    apart = dict(_apart(shapes, pairs)) if rules.gap_cm else {}
    return Review(copies, layout, rules, area_cm2(copies), lying, shapes, dict(_shared(shapes, pairs)), apart)


def _measured_again(seen: Review, shapes: Shapes, placed: tuple[Placed, ...]) -> Layout:
    """The layout with its copies placed so, its far end and used share from the shapes."""
    length = max((shape.bounds[2] for shape in shapes.values()), default=0.0)
    width = seen.layout.width_cm
    return Layout(width, length, seen.cut_cm2 / (width * length) if length > 0 else 0.0, placed)


def _complete(copies: tuple[Copy, ...], layout: Layout) -> bool:
    wanted = sorted((copy.piece, copy.number) for copy in copies)
    return wanted == sorted((p.piece, p.copy) for p in layout.placed)


def _shared(shapes: Shapes, pairs: list[tuple[Name, Name]]) -> Iterator[tuple[Pair, float]]:
    """The area each pair shares, cm²; pairs whose boxes lie apart share none."""
    for a, b in pairs:
        beside = _boxes_apart(shapes[a].bounds, shapes[b].bounds)
        yield (a, b), 0.0 if beside else float(shapes[a].intersection(shapes[b]).area)


def _boxes_apart(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    return one[2] < other[0] or other[2] < one[0] or one[3] < other[1] or other[3] < one[1]


def _apart(shapes: Shapes, pairs: list[tuple[Name, Name]]) -> Iterator[tuple[Pair, float]]:
    """How far each pair lies apart, cm."""
    for a, b in pairs:
        yield (a, b), float(shapes[a].distance(shapes[b]))
