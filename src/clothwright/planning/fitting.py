"""From pieces to the cloth to weave: which usable width lets the pieces lie at the least yarn.

Yarn, not length, decides: a wider cloth takes more ends, a narrower one more length, and each step of the staircase
(width, shortest layout) has its own need. A layout search is passed in; what comes back is judged before it is used.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from concurrent.futures import Executor
from dataclasses import dataclass
from typing import Final

from clothwright.layout import (
    Copy,
    Layout,
    Step,
    TooWide,
    best,
    candidate_widths,
    faults,
    first_guess,
    narrowest_cm,
    outline_in_place,
    settled,
    staircase,
)
from clothwright.planning.answer import PlacedOutline, WidthStep
from clothwright.planning.job import Garment, Wanted
from clothwright.planning.joining_words import how_it_could_be_joined
from clothwright.planning.selvedges import keeps_selvedges, refuse_trimmed_selvedges, selvedge_widths
from clothwright.project import Problem, ProblemsFound

#: Metres of yarn for a usable finished width and a layout length, cm.
YarnFor = Callable[[float, float], float]
#: The best layouts found for copies at each of some usable widths.
LayoutSearch = Callable[[tuple[Copy, ...], tuple[float, ...], YarnFor], tuple[Step, ...]]
Progress = Callable[[float, Step], None]

_QUICK_WIDTHS: Final = 12
_ROUGH_TRIES: Final = 4
_SEARCHED_WIDTHS: Final = 24
#: Widths are spread up to a whole number of the first, and the widest is one of the second, so that a new sample does
#: not move every width a little and the guesses already made still serve.
_GRID_CM: Final = 4.0
_WIDEST_STEP_CM: Final = 0.5


@dataclass(frozen=True)
class Fitted:
    """The cloth to weave for a garment, the layout on it, and every width tried, with the layout found there."""

    wanted: Wanted
    layout: Layout
    outlines: tuple[PlacedOutline, ...]
    staircase: tuple[WidthStep, ...]
    steps: tuple[Step, ...] = ()


def quick_layouts(copies: tuple[Copy, ...], widths_cm: tuple[float, ...], yarn_for: YarnFor) -> tuple[Step, ...]:
    """First guesses only: the same each time, in a fraction of a second."""
    return staircase(copies, widths_cm, seconds=0.0, seed=1, executor=None, yarn_m=yarn_for, progress=None)


def rough_layouts(copies: tuple[Copy, ...], widths_cm: tuple[float, ...], yarn_for: YarnFor) -> tuple[Step, ...]:
    """The hastiest guesses, for what-ifs beside a layout that is known."""
    guesses = (first_guess(copies, width, tries=_ROUGH_TRIES) for width in widths_cm)
    return tuple(Step(one.width_cm, one, yarn_for(one.width_cm, one.length_cm)) for one in guesses)


def searched_layouts(
    *, seconds: float, seed: int, executor: Executor, progress: Progress | None = None
) -> LayoutSearch:
    """A search of so many seconds, carried by an executor of the caller's."""

    def search(copies: tuple[Copy, ...], widths_cm: tuple[float, ...], yarn_for: YarnFor) -> tuple[Step, ...]:
        return staircase(
            copies, widths_cm, seconds=seconds, seed=seed, executor=executor, yarn_m=yarn_for, progress=progress
        )

    return search


def fit(
    garment: Garment,
    most_width_cm: float,
    yarn_for: YarnFor,
    layouts: LayoutSearch | None,
    *,
    only_widest: bool = False,
    known: Layout | None = None,
) -> Fitted:
    """The usable width and layout of least yarn, up to the widest finished cloth; ProblemsFound if a piece is too wide.

    `known` is a layout of like pieces, taken where it holds for these and nothing found is better.
    """
    refuse_trimmed_selvedges(garment)
    usable = most_width_cm - 2 * garment.trim_cm
    rounded = math.floor(usable / _WIDEST_STEP_CM) * _WIDEST_STEP_CM
    if not only_widest and rounded >= narrowest_cm(garment.copies):
        usable = rounded
    try:
        widths = (usable,) if only_widest else _widths(garment, usable, layouts, known)
        search = layouts or (quick_layouts if known is None else rough_layouts)
        steps = search(garment.copies, widths, yarn_for)
    except TooWide as refusal:
        raise ProblemsFound(Problem(("pattern",), how_it_could_be_joined(refusal, garment))) from None
    steps = keeps_selvedges(garment, (*steps, *_still_good(garment, known, usable, yarn_for)))
    found = best(steps)
    wrong = faults(garment.copies, found.layout)
    if wrong:
        raise RuntimeError(f"the layout found is not valid: {'; '.join(wrong)}")
    return _fitted(garment, found, steps)


def _widths(
    garment: Garment, usable_cm: float, layouts: LayoutSearch | None, known: Layout | None
) -> tuple[float, ...]:
    """The usable widths to try: many for a search, fewer for guesses, the one known for what-ifs."""
    if layouts is None and known is not None and narrowest_cm(garment.copies) <= known.width_cm <= usable_cm:
        return (known.width_cm,)
    most = _SEARCHED_WIDTHS if layouts else _QUICK_WIDTHS
    round_cm = max(math.floor(usable_cm / _GRID_CM) * _GRID_CM, narrowest_cm(garment.copies))
    widest = min(round_cm, usable_cm)
    least = narrowest_cm(garment.copies)
    spanned = (width for width in selvedge_widths(garment) if least <= width <= widest)
    even = candidate_widths(garment.copies, least_cm=0.0, most_cm=widest, most=most - 1)
    return tuple(sorted({*even, *spanned, usable_cm}))


def _still_good(garment: Garment, known: Layout | None, usable_cm: float, yarn_for: YarnFor) -> Iterator[Step]:
    """The known layout with the copies that are still cut, slid together, if the judge finds no fault with it."""
    if known is None or known.width_cm > usable_cm:
        return
    layout = settled(garment.copies, known)
    if not faults(garment.copies, layout):
        yield Step(layout.width_cm, layout, yarn_for(layout.width_cm, layout.length_cm))


def _fitted(garment: Garment, found: Step, steps: tuple[Step, ...]) -> Fitted:
    layout = found.layout
    wanted = Wanted(layout.width_cm + 2 * garment.trim_cm, layout.length_cm + 2 * garment.squaring_cm)
    by_key = {(copy.piece, copy.number): copy for copy in garment.copies}
    outlines = tuple(
        PlacedOutline(one.piece, one.copy, one.mirrored, outline_in_place(by_key[one.piece, one.copy], one))
        for one in layout.placed
    )
    stairs = tuple(WidthStep(step.width_cm, step.layout.length_cm, step.yarn_m) for step in steps)
    return Fitted(wanted, layout, outlines, stairs, tuple(steps))
