"""From pieces to the cloth to weave: which usable width lets the pieces lie at the least yarn.

Yarn, not length, decides: a wider cloth takes more ends, a narrower one more length, and each step of the staircase
(width, shortest layout) has its own need. A layout search is passed in; what comes back is judged before it is used.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Final, Protocol

from clothwright.layout import (
    NO_RULES,
    By,
    Copy,
    Effort,
    Layout,
    Rules,
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
    with_rules,
)
from clothwright.planning.answer import PlacedOutline, WidthStep
from clothwright.planning.job import Garment, Wanted
from clothwright.planning.pieces.joining_words import how_it_could_be_joined
from clothwright.planning.pieces.selvedges import (
    keeps_selvedges,
    off_selvedge,
    refuse_trimmed_selvedges,
    selvedge_widths,
)
from clothwright.project import Problem, ProblemsFound

#: Metres of yarn for a usable finished width and a layout length, cm.
YarnFor = Callable[[float, float], float]
Progress = Callable[[float, Step], None]


class LayoutSearch(Protocol):
    """The best layouts found for copies at each of some usable widths; those told of rules may keep them."""

    def __call__(
        self, copies: tuple[Copy, ...], widths_cm: tuple[float, ...], yarn_for: YarnFor, rules: Rules = NO_RULES
    ) -> tuple[Step, ...]:
        """The steps, narrowest first."""
        ...


_QUICK_WIDTHS: Final = 12
_ROUGH_TRIES: Final = 4
_SEARCHED_WIDTHS: Final = 24
#: Widths are spread up to a whole number of the first, and the widest is one of the second, so that a new sample does
#: not move every width a little and the guesses already made still serve.
_GRID_CM: Final = 4.0
_WIDEST_STEP_CM: Final = 0.5
#: A kept layout may be this much wider than the cloth: a hair of the arithmetic of its width.
_WITHIN_CM: Final = 0.01


@dataclass(frozen=True)
class Fitted:
    """The cloth to weave for a garment, the layout on it, and every width tried, with the layout found there."""

    wanted: Wanted
    layout: Layout
    outlines: tuple[PlacedOutline, ...]
    staircase: tuple[WidthStep, ...]
    #: What was asked of the layout and is not so, in words.
    told: tuple[str, ...] = ()
    steps: tuple[Step, ...] = ()


def quick_layouts(
    copies: tuple[Copy, ...], widths_cm: tuple[float, ...], yarn_for: YarnFor, rules: Rules = NO_RULES
) -> tuple[Step, ...]:
    """First guesses only: the same each time, in a fraction of a second."""
    return staircase(copies, widths_cm, yarn_m=yarn_for, rules=rules)


def rough_layouts(
    copies: tuple[Copy, ...],
    widths_cm: tuple[float, ...],
    yarn_for: YarnFor,
    rules: Rules = NO_RULES,  # noqa: ARG001 - guesses at what-ifs know of none
) -> tuple[Step, ...]:
    """The hastiest guesses, for what-ifs beside a layout that is known."""
    guesses = (first_guess(copies, width, tries=_ROUGH_TRIES) for width in widths_cm)
    return tuple(Step(one.width_cm, one, yarn_for(one.width_cm, one.length_cm)) for one in guesses)


def searched_layouts(*, effort: Effort, seed: int, by: By, progress: Progress | None = None) -> LayoutSearch:
    """A search of so many seconds, or rounds, by processes of the caller's."""

    def search(
        copies: tuple[Copy, ...], widths_cm: tuple[float, ...], yarn_for: YarnFor, rules: Rules = NO_RULES
    ) -> tuple[Step, ...]:
        return staircase(
            copies, widths_cm, effort=effort, seed=seed, by=by, yarn_m=yarn_for, progress=progress, rules=rules
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
    told = garment.asked.told
    if (kept := garment.asked.kept) is not None:
        if not (wrong := _why_not_kept(garment, kept, most_width_cm - 2 * garment.trim_cm)):
            step = Step(kept.width_cm, kept, yarn_for(kept.width_cm, kept.length_cm))
            return _fitted(garment, step, (step,), told)
        told = (*told, f"The kept layout is no longer used: {wrong}.")
    try:
        widths = (usable,) if only_widest else _widths(garment, usable, layouts, known)
        search = layouts or (quick_layouts if known is None else rough_layouts)
        steps = search(_turned_as_ruled(garment), widths, yarn_for, garment.asked.rules)
    except TooWide as refusal:
        raise ProblemsFound(Problem(("pattern",), how_it_could_be_joined(refusal, garment))) from None
    steps = keeps_selvedges(garment, (*steps, *_still_good(garment, known, usable, yarn_for)))
    ruled = keep_rules(garment, steps, yarn_for)
    found, valid = _best_that_is_valid(garment, ruled)
    return _fitted(garment, found, valid, (*told, *ruled.told))


def _best_that_is_valid(garment: Garment, ruled: _Ruled) -> tuple[Step, tuple[Step, ...]]:
    """The least yarn among the steps that the judge finds no fault with, and the steps without those it did."""
    steps, wrong = ruled.steps, ""
    while steps:
        found = best(steps)
        faulty = faults(garment.copies, found.layout, rules=ruled.kept)
        if not faulty:
            return found, steps
        wrong = "; ".join(faulty)
        steps = tuple(step for step in steps if step is not found)
    raise RuntimeError(f"no layout found is valid: {wrong}")


def _turned_as_ruled(garment: Garment) -> tuple[Copy, ...]:
    """The copies with the turns that the rules leave them, so that a search does not turn what may not be."""
    rules = garment.asked.rules
    return tuple(replace(copy, turns_deg=rules.turns_deg(copy)) for copy in garment.copies)


def _why_not_kept(garment: Garment, kept: Layout, usable_cm: float) -> str:
    """What is wrong with the layout kept in the project, in words; nothing where it can be used."""
    if kept.width_cm > usable_cm + _WITHIN_CM:
        return (
            f"it is for cloth {kept.width_cm:.1f} cm wide between the trims, and the loom finishes {usable_cm:.1f} cm"
        )
    wrong = faults(garment.copies, kept, rules=garment.asked.rules)
    return "; ".join(wrong or (f"{name} lies off its selvedge" for name in off_selvedge(garment, kept)))


@dataclass(frozen=True)
class _Ruled:
    """Steps that keep the same rules, those rules, and in words what of the rules asked is not kept."""

    steps: tuple[Step, ...]
    kept: Rules
    told: tuple[str, ...]


def keep_rules(garment: Garment, steps: tuple[Step, ...], yarn_for: YarnFor) -> _Ruled:
    """The steps laid again so that they keep the garment's rules; where not all can be kept, those that keep most."""
    rules = garment.asked.rules
    if rules == NO_RULES or not steps:
        return _Ruled(steps, rules, ())
    kept = [with_rules(garment.copies, step.layout, rules) for step in steps]
    fewest = min(kept, key=lambda one: len(one.unkept))
    same = [one.layout for one in kept if one.kept == fewest.kept]
    ruled = tuple(Step(one.width_cm, one, yarn_for(one.width_cm, one.length_cm)) for one in same)
    return _Ruled(ruled, fewest.kept, tuple(f"Not kept in the layout: {words}." for words in fewest.unkept))


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


def _fitted(garment: Garment, found: Step, steps: tuple[Step, ...], told: tuple[str, ...]) -> Fitted:
    layout = found.layout
    wanted = Wanted(layout.width_cm + 2 * garment.trim_cm, layout.length_cm + 2 * garment.squaring_cm)
    by_key = {(copy.piece, copy.number): copy for copy in garment.copies}
    outlines = tuple(
        PlacedOutline(one.piece, one.copy, one.mirrored, outline_in_place(by_key[one.piece, one.copy], one))
        for one in layout.placed
    )
    stairs = tuple(WidthStep(step.width_cm, step.layout.length_cm, step.yarn_m) for step in steps)
    return Fitted(wanted, layout, outlines, stairs, told, steps)
