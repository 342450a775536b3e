"""Ways out taken together, where none that keeps to this yarn reaches by itself.

The beat is made lighter, by the least that serves and no more than the cloth bears, and the garment is laid anew, or another
yarn is woven over less of the cloth; or two things are changed about the garment, with a lighter beat where that is too little.
Each is reckoned as one way alone is.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from clothwright.weaving.answer import WayThrough
from clothwright.weaving.borders import borders
from clothwright.weaving.cut_anew import garment_on, two_changes
from clothwright.weaving.rest import MOST_LIGHTER, Rest
from clothwright.weaving.standing import Standing

#: More than so many pairs are no help to choose among.
_MOST: Final = 3


def two_at_once(stands: Standing, rest: Rest, alone: Sequence[WayThrough]) -> list[WayThrough]:
    """Ways that reach together, those that keep to this yarn and cost least cloth first; none where one such way reaches alone."""
    if any(_reaches(rest, one) for one in alone if not one.another_yarn):
        return []
    sooner = [one for one in alone if not one.another_yarn and one.stop_at_cm < rest.end_cm]
    changed = [one for one in two_changes(stands, rest) if all(one.stop_at_cm < way.stop_at_cm for way in sooner)]
    found = [*filter(None, (_with_lighter_beat(rest, one) for one in sooner)), *_reaching(rest, changed)]
    found += list(_lighter_with_bands(stands, rest))
    return sorted(found, key=lambda one: (one.another_yarn, -one.stop_at_cm))[:_MOST]


def _reaches(rest: Rest, one: WayThrough) -> bool:
    return rest.is_enough(one.chance_enough, one.spare_g)


def _reaching(rest: Rest, ways: Sequence[WayThrough]) -> Iterator[WayThrough]:
    """The ways that reach, else with a lighter beat."""
    for one in ways:
        both = one if _reaches(rest, one) else _with_lighter_beat(rest, one)
        yield from [both] if both else []


def _with_lighter_beat(rest: Rest, way: WayThrough) -> WayThrough | None:
    """A way with the rest beaten lighter by the least that serves; None where a tenth does not."""
    share = rest.least_lighter(way.stop_at_cm)
    if share is None:
        return None
    chance, spare = rest.fares(way.stop_at_cm, takes=1 - share)
    return _lighter(replace(way, chance_enough=chance, spare_g=spare), share)


def _lighter_with_bands(stands: Standing, rest: Rest) -> Iterator[WayThrough]:
    """Bands at an end of a piece that reach with a lighter beat and do not by themselves."""
    fitted = stands.warped.weighed.fitted if stands.warped else None
    if fitted is None or garment_on(stands, rest) is None or any(borders(stands, rest, fitted)):
        return
    for one in borders(stands, rest.beaten_lighter(MOST_LIGHTER), fitted):
        yield _lighter(one, MOST_LIGHTER)


def _lighter(way: WayThrough, share: float) -> WayThrough:
    return replace(
        way,
        what=f"Beat lighter, and {way.what[0].lower()}{way.what[1:]}",
        change=f"{share:.0%} fewer picks from here on; {way.change}",
        costs=f"a more open rest; {way.costs}" if way.costs != "nothing" else "a more open rest",
    )
