"""The pieces of a garment laid anew on the finished cloth that there is, and the ways where they do not all fit.

The theory. The project is asked again with the cloth as it came: its trims, its squared ends, and every flaw as a place that no piece may
cover. The same engine that plans lays the pieces at the width that there is, under every rule the project has (gap, stripes,
selvedge, lots), and its judge passes what is shown. A layout no longer than the cloth is cut from it; a longer one is told with
how much is missing.

Where it is too narrow or too short, each way is the same question with one thing changed, laid anew: less lost at selvedges or
ends; the pieces where the cloth is wide enough, since its least width need not hold all along it; allowances narrower by just
what is missing; pieces turned; pieces joined; a garment a little shorter; what does not show from other cloth; another size or
version. Where no single change does, two together. Every way says what it costs; those that give up least come first. Ways are laid by first
guesses: a way that is taken is then laid as the garment is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from clothwright.finishing.asked_of_cloth import AskedOfCloth
from clothwright.finishing.real_cloth import RealCloth, narrower_places
from clothwright.finishing.relaid import ClothAnswer, ClothWay, Relaid
from clothwright.finishing.ways_to_cut import LAST_RESORT, STEP_CM, WayToCut, ways_to_cut
from clothwright.planning import LayoutSearch
from clothwright.planning.choices.cloth_in_hand import Cutting, cut
from clothwright.planning.job import Garment
from clothwright.project import Project
from clothwright.project.parts.finishing_parts import RealClothPart

MOST_TRIED: Final = 14


def on_the_cloth(
    project: Project, cloth: RealCloth, *, drawings: Mapping[str, bytes], layouts: LayoutSearch | None = None
) -> ClothAnswer:
    """The pieces of a project on its finished cloth; ProblemsFound where there are no pieces."""
    along = (project.real_cloth or RealClothPart()).lay_by == "the width along it"
    asked = AskedOfCloth(project, cloth, drawings, layouts, narrower_places(cloth) if along else ())
    garment = asked.garment()
    relaid = asked.relaid(garment)
    widest = max(garment.pieces, key=lambda piece: piece.width_cm)
    if relaid.fits:
        return ClothAnswer(cloth, relaid, None, widest.width_cm, widest.name)
    partly = cut(garment, [cloth.in_hand])
    tried, left_out = _tried(replace(asked, layouts=None), garment, relaid, partly)
    ways = [way for way in tried if way.relaid.fits or _better(way.relaid, relaid)]
    ways.sort(key=lambda way: (not way.relaid.fits, way.gives_up, way.relaid.short_cm or 0.0))
    return ClothAnswer(cloth, relaid, partly, widest.width_cm, widest.name, tuple(ways), len(tried), left_out)


def _better(one: Relaid, than: Relaid) -> bool:
    """Whether a way that does not do by itself comes nearer."""
    if one.short_cm is None:
        return False
    return than.short_cm is None or one.short_cm < than.short_cm - STEP_CM


def _tried(asked: AskedOfCloth, garment: Garment, relaid: Relaid, partly: Cutting) -> tuple[list[ClothWay], int]:
    """Every way laid anew, and where none does by itself two together; and how many were not, for time."""
    single = sorted(ways_to_cut(asked, garment, relaid, partly), key=lambda way: way.gives_up)
    found = [(way, way.laid()) for way in single[:MOST_TRIED]]
    laid, left_out = [one for _, one in found], len(single) - len(found)
    if any(one.relaid.fits and one.gives_up < LAST_RESORT for one in laid):
        return laid, left_out
    both = list(_pairs([(way, one) for way, one in found if not one.relaid.fits]))
    laid += [way.laid() for way in both[:MOST_TRIED]]
    return laid, left_out + max(0, len(both) - MOST_TRIED)


def _pairs(singles: Sequence[tuple[WayToCut, ClothWay]]) -> Iterator[WayToCut]:
    """Two changes at once, least given up first: the second made to the garment as the first leaves it, each pair once."""
    found: dict[frozenset[str], WayToCut] = {}
    for first, laid in singles:
        for second in ways_to_cut(first.asked, first.garment, laid.relaid, None):
            pair = frozenset((f"{first.what}{first.names}", f"{second.what}{second.names}"))
            if second.what != first.what and pair not in found:
                found[pair] = _both(first, second)
    yield from sorted(found.values(), key=lambda way: way.gives_up)


def _both(first: WayToCut, second: WayToCut) -> WayToCut:
    """The second way, made to what the first leaves, with the first told and written too."""
    return replace(
        second,
        what=f"{first.what}; {second.what[:1].lower()}{second.what[1:]}",
        change=f"{first.change}; {second.change}",
        gives_up=first.gives_up + second.gives_up + 1,
        costs=first.costs.and_also(second.costs),
        written=first.written.and_also(second.written),
        names=(*first.names, *second.names),
    )
