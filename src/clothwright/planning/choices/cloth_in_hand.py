"""Finished cloth that is there already, whole or in remnants: what of a garment can be cut from it, and the ways out.

The theory. Copies are given to the remnants one after the other, each to the first in whose layout it still finds room; the
layout is made anew, by the first guess that keeps clear of the flaws, for each copy that asks. That is tried in several orders
of the copies (largest, longest, widest first) and of the remnants (shortest and longest first); the trial that leaves least
area uncut counts. It is a search, not a proof: what is told to fit does fit, and is shown; what is told not to fit was not
made to. A piece wider or longer than every remnant, or more area than there is, is told as such: that much is certain.

Ways out are the same question with something changed, and each is cut anew: what does not show from other cloth, no
one-way, narrower allowances, a join in what did not fit, another size or version; then pairs of those that by themselves do
not do. The ones that need least given up come first. At most `MOST_TRIED` are cut, and how many is told.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, islice, product
from types import MappingProxyType
from typing import Any, Final

from shapely.geometry import Polygon

from clothwright.layout import Copy, Flaw, Layout, Rules, TooWide, faults, first_guess, outline_in_place, ruled_guess
from clothwright.pattern import sizes, versions
from clothwright.planning.answer import PlacedOutline, layout_data
from clothwright.planning.job import Garment, garment_of
from clothwright.planning.pieces.join_options import options_for
from clothwright.planning.ways_out import garment_changes
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.parts.remnants import ACCEPTED, ClothInHand
from clothwright.project.pattern.garment import changed_pattern

MOST_TRIED: Final = 12
_MANY_TRIES, _FEW_TRIES = 16, 4
_HAIR_CM: Final = 0.005
_MOST_CLOTHS: Final = 12
_NO_DRAWINGS: Final[Mapping[str, bytes]] = MappingProxyType({})


@dataclass(frozen=True)
class CutFrom:
    """What is cut from one cloth: its layout and outlines, none where nothing is."""

    cloth: ClothInHand
    layout: Layout | None
    outlines: tuple[PlacedOutline, ...]

    @property
    def left_cm(self) -> float:
        """The length left at its end, cm."""
        return self.cloth.length_cm - (self.layout.length_cm if self.layout else 0.0)


@dataclass(frozen=True)
class Cutting:
    """What was cut, and what was left over of the garment: names with how many; `because`: what can be said for certain."""

    cuts: tuple[CutFrom, ...]
    uncut: tuple[tuple[str, int], ...]
    uncut_cm2: float
    because: tuple[str, ...] = ()

    @property
    def all_fits(self) -> bool:
        """Whether every piece was cut."""
        return not self.uncut


@dataclass(frozen=True)
class OtherCutting:
    """A way out, cut anew: what is changed, how, and how many changes that is."""

    what: str
    change: str
    changes: int
    cutting: Cutting


@dataclass(frozen=True)
class InHandAnswer:
    """The garment as it is, and the ways out, best first; `tried`: how many were cut, `left_out`: how many were not, for time."""

    cutting: Cutting
    ways: tuple[OtherCutting, ...]
    tried: int
    left_out: int

    def as_json(self) -> dict[str, Any]:
        """The answer as plain data, cm."""
        return {
            **_cutting_data(self.cutting),
            "ways_out": [{"what": way.what, "change": way.change, **_cutting_data(way.cutting)} for way in self.ways],
            "ways_tried": self.tried,
            "ways_left_out": self.left_out,
        }


def _cutting_data(cutting: Cutting) -> dict[str, Any]:
    return {
        "all_fits": cutting.all_fits,
        "uncut": [{"piece": name, "copies": count} for name, count in cutting.uncut],
        "because": list(cutting.because),
        "cloths": [
            {
                "name": cut.cloth.name,
                "width_cm": cut.cloth.width_cm,
                "length_cm": cut.cloth.length_cm,
                "left_cm": round(cut.left_cm, 6),
                "layout": layout_data(cut.layout, cut.outlines) if cut.layout else None,
            }
            for cut in cutting.cuts
        ],
    }


def remnants_of(project: Project) -> tuple[ClothInHand, ...]:
    """The finished cloth that a project keeps."""
    return tuple(part.cloth for part in project.cloth_in_hand)


def cut_from(
    project: Project, cloths: Sequence[ClothInHand], *, drawings: Mapping[str, bytes] = _NO_DRAWINGS
) -> InHandAnswer:
    """What of a project's garment can be cut from cloth in hand, and the ways out where not all can."""
    if not cloths:
        sentence = f"no cloth came, and the project keeps none ([[cloth_in_hand]]); {ACCEPTED}"
        raise ProblemsFound(Problem((), sentence))
    if len(cloths) > _MOST_CLOTHS:
        raise ProblemsFound(Problem((), f"{len(cloths)} cloths came; at most {_MOST_CLOTHS} are looked at together"))
    garment, _ = garment_of(project, drawings)
    cutting = cut(garment, cloths)
    if cutting.all_fits:
        return InHandAnswer(cutting, (), 0, 0)
    return _ways_out(project, drawings, garment, cloths, cutting)


# --- one garment, some cloths -------------------------------------------------------------------------------------


def cut(garment: Garment, cloths: Sequence[ClothInHand], *, orders: int = 3) -> Cutting:
    """The trial that leaves least of a garment uncut, of up to three orders of its pieces and two of the cloths."""
    best: Cutting | None = None
    for pieces, order in product(islice(_orders(garment.copies), orders), _cloth_orders(cloths)):
        found = _trial(garment, pieces, [cloths[n] for n in order])
        if best is None or found.uncut_cm2 < best.uncut_cm2:
            best = found
        if best.all_fits:
            break
    assert best is not None  # there is at least one order
    told = {one.cloth.name: one for one in best.cuts}
    ordered = tuple(told[cloth.name] for cloth in cloths) if len(told) == len(cloths) else best.cuts
    return replace(best, cuts=ordered, because=tuple(_certain(garment, cloths)) if best.uncut else ())


def _orders(copies: tuple[Copy, ...]) -> Iterator[list[Copy]]:
    shapes = {(c.piece, c.number): Polygon(c.outline) for c in copies}
    for key in (_area, _along, _across):
        yield sorted(copies, key=lambda c: -key(shapes[c.piece, c.number]))


def _area(shape: Polygon) -> float:
    return float(shape.area)


def _along(shape: Polygon) -> float:
    return float(shape.bounds[2])


def _across(shape: Polygon) -> float:
    return float(shape.bounds[3])


def _cloth_orders(cloths: Sequence[ClothInHand]) -> list[tuple[int, ...]]:
    """The cloths by their area, smallest first and largest first, each order once."""
    order = sorted(range(len(cloths)), key=lambda n: cloths[n].width_cm * cloths[n].length_cm)
    return list(dict.fromkeys((tuple(order), tuple(reversed(order)))))


def _trial(garment: Garment, pieces: Sequence[Copy], cloths: Sequence[ClothInHand]) -> Cutting:
    given: list[list[Copy]] = [[] for _ in cloths]
    layouts: list[Layout | None] = [None] * len(cloths)
    left = list(pieces)
    for number, cloth in enumerate(cloths):
        whole = _laid((*given[number], *left), garment, cloth, _MANY_TRIES)
        if whole is not None:
            given[number], layouts[number], left = [*given[number], *left], whole, []
            break
        for copy in tuple(left):
            found = _laid((*given[number], copy), garment, cloth, _FEW_TRIES)
            if found is not None:
                given[number].append(copy)
                layouts[number] = found
                left.remove(copy)
    counts: dict[str, int] = {}
    for copy in left:
        counts[copy.piece] = counts.get(copy.piece, 0) + 1
    area = sum(Polygon(copy.outline).area for copy in left)
    cuts = tuple(_cut(*one) for one in zip(cloths, given, layouts, strict=True))
    return Cutting(cuts, tuple(counts.items()), area)


def _laid(copies: tuple[Copy, ...], garment: Garment, cloth: ClothInHand, tries: int) -> Layout | None:
    """The copies laid on one cloth, clear of its flaws; None where they do not fit it."""
    usable, room = cloth.width_cm - 2 * garment.trim_cm, cloth.length_cm - 2 * garment.squaring_cm
    if usable <= 0 or sum(Polygon(copy.outline).area for copy in copies) > usable * room:
        return None
    if any(max(x for x, _ in copy.outline) > room + _HAIR_CM for copy in copies):
        return None
    flaws = _within(garment, cloth)
    try:
        found = first_guess(copies, usable, tries=tries)
        if flaws and found.length_cm <= room + _HAIR_CM:
            found = ruled_guess(copies, usable, Rules(flaws=flaws), tries=min(tries, _FEW_TRIES)) or found
    except TooWide:
        return None
    kept = not faults(copies, found, rules=Rules(flaws=flaws))
    return found if found.length_cm <= room + _HAIR_CM and kept else None


def _within(garment: Garment, cloth: ClothInHand) -> tuple[Flaw, ...]:
    """The flaws where the usable cloth begins: within its trims and squared ends."""
    moved = []
    for flaw in cloth.flaws:
        start, end = flaw.x_cm - garment.squaring_cm, flaw.x_cm + flaw.length_cm - garment.squaring_cm
        if end > 0:
            y = max(0.0, flaw.y_cm - garment.trim_cm)
            moved.append(replace(flaw, x_cm=max(0.0, start), length_cm=end - max(0.0, start), y_cm=y))
    return tuple(moved)


def _cut(cloth: ClothInHand, given: Sequence[Copy], layout: Layout | None) -> CutFrom:
    if layout is None:
        return CutFrom(cloth, None, ())
    by_key = {(copy.piece, copy.number): copy for copy in given}
    outlines = tuple(
        PlacedOutline(one.piece, one.copy, one.mirrored, outline_in_place(by_key[one.piece, one.copy], one))
        for one in layout.placed
    )
    return CutFrom(cloth, layout, outlines)


def _certain(garment: Garment, cloths: Sequence[ClothInHand]) -> Iterator[str]:
    """What no layout could change."""
    widest = max(cloth.width_cm for cloth in cloths) - 2 * garment.trim_cm
    longest = max(cloth.length_cm for cloth in cloths) - 2 * garment.squaring_cm
    for piece in garment.pieces:
        if piece.width_cm > widest + _HAIR_CM:
            yield f"{piece.name} is {piece.width_cm:.1f} cm wide; the widest cloth has {widest:.1f} cm"
        elif piece.length_cm > longest + _HAIR_CM:
            yield f"{piece.name} is {piece.length_cm:.1f} cm long; the longest cloth has {longest:.1f} cm"
    there = sum(cloth.width_cm * cloth.length_cm for cloth in cloths)
    needed = sum(Polygon(copy.outline).area for copy in garment.copies)
    if needed > there:
        yield f"the pieces are {needed / there - 1:.0%} larger than all the cloth together"


# --- the ways out -------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Change:
    what: str
    change: str
    garment: Garment


def _ways_out(
    project: Project,
    drawings: Mapping[str, bytes],
    garment: Garment,
    cloths: Sequence[ClothInHand],
    before: Cutting,
) -> InHandAnswer:
    single = [*_changes(garment, cloths, before), *_other_sizes(project, drawings)]
    tried = [(change, cut(change.garment, cloths, orders=1)) for change in single[:MOST_TRIED]]
    left_out = len(single) - len(tried)
    ways = [OtherCutting(one.what, one.change, 1, cutting) for one, cutting in tried]
    pairs = _pairs(garment, cloths, [(one, cutting) for one, cutting in tried if not cutting.all_fits])
    for number, pair in enumerate(pairs):
        if number + len(tried) >= MOST_TRIED:
            left_out += 1
            continue
        ways.append(OtherCutting(pair.what, pair.change, 2, cut(pair.garment, cloths, orders=1)))
    better = [way for way in ways if way.cutting.all_fits or way.cutting.uncut_cm2 < before.uncut_cm2 - 1]
    better.sort(key=lambda way: (not way.cutting.all_fits, way.changes, way.cutting.uncut_cm2))
    return InHandAnswer(before, tuple(better), len(ways), left_out)


def _changes(garment: Garment, cloths: Sequence[ClothInHand], before: Cutting) -> Iterator[_Change]:
    for what, change, other in garment_changes(garment):
        yield _Change(what, change, other)
    widest = max(cloth.width_cm for cloth in cloths) - 2 * garment.trim_cm
    for name in dict(before.uncut):
        piece = next(one for one in garment.pieces if one.name == name)
        for option in options_for(piece, widest)[:1] if piece.panel_of is None else ():
            pieces = tuple(p for one in garment.pieces for p in (option.joined.pieces if one is piece else (one,)))
            yield _Change(f"Join {piece.name}", option.what, replace(garment, pieces=pieces))
    if 0 < len(before.uncut) < len(garment.pieces):
        rest = tuple(one for one in garment.pieces if one.name not in dict(before.uncut))
        names = ", ".join(name for name, _ in before.uncut)
        yield _Change("Cut what is left over from other cloth", names, replace(garment, pieces=rest))


def _other_sizes(project: Project, drawings: Mapping[str, bytes]) -> Iterator[_Change]:
    """The other sizes and versions that the pattern has."""
    assert project.pattern is not None  # a project with a garment has one
    every = changed_pattern(project, drawings, every_size=True).every
    for field, what, names in (("size", "Another size", sizes(every)), ("version", "Another version", versions(every))):
        for name in names:
            if name == getattr(project.pattern, field):
                continue
            pattern = project.pattern.model_copy(update={field: name})
            try:
                garment, _ = garment_of(project.model_copy(update={"pattern": pattern}), drawings)
            except ProblemsFound:
                continue
            yield _Change(what, f"{field} {name}", garment)


def _pairs(
    garment: Garment, cloths: Sequence[ClothInHand], singles: Sequence[tuple[_Change, Cutting]]
) -> Iterator[_Change]:
    """Two changes at once: the second made to the garment as the first leaves it, and to what that leaves uncut."""
    done: set[frozenset[str]] = set()
    for (first, cutting), (other, _) in combinations(singles, 2):
        key = frozenset((first.what, other.what))
        if key in done or first.garment == garment:
            continue
        done.add(key)
        for second in _changes(first.garment, cloths, cutting):
            if second.what == other.what:
                yield _Change(
                    f"{first.what}; {second.what[0].lower()}{second.what[1:]}",
                    f"{first.change}; {second.change}",
                    second.garment,
                )
