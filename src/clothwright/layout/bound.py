"""How short a layout can never be: a length proved from the pieces, told beside every layout that is found.

The theory. Look at one line across the cloth. The pieces it crosses take up a share of the width each: its chord through
the piece, over the width of the cloth. These shares add up to no more than 1. A function f from shares to shares is
*dual feasible* if it keeps that promise: whenever shares add up to no more than 1, so do their f. Then, added up along
the cloth,

    length  >=  sum over the pieces of the integral of f(chord / width) along the piece.

With f the identity this is area over width. Others say more. The step that gives 1 above a half counts the pieces of
which no two lie side by side; the families `U`, `u` and `phi` below hold their own where two, three or more just do not
fit. Every one gives a true bound, so the greatest counts. All three never fall as the share grows, so a chord may be
rounded down: it is taken in slices of the piece, each at its narrower end, and the bound stays true.

A gap g between copies is as much as cloth and every chord wider by g. A copy that may be turned counts with the turn
that says least. Pieces of colour lots lie one lot behind the other, so the bounds of the lots add up; a piece over the
whole width adds its length; a flawed band across the cloth is jumped over by whatever must go on behind it.

The judge lets hairs pass, so the cloth is reckoned as much wider as it lets copies stick out and lie over each other.

*Source*: the families are those of Fekete and Schepers, "New classes of fast lower bounds for bin packing problems",
Mathematical Programming 91 (2001), from memory; tests try the promise of each on random shares.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from clothwright.layout.area import area_cm2, refuse_too_wide
from clothwright.layout.arrangement import Copy, turn
from clothwright.layout.contact import Floats
from clothwright.layout.judge import EDGE_CM, GAP_CM, OVERLAP_CM2
from clothwright.layout.rules import NO_RULES, Rules
from clothwright.pattern import Ring

DualFeasible = Callable[[Floats], Floats]

SLICES = 8
MOST_STEPS = 24
WHOLE = 1e-9
HAIR_CM = 2 * EDGE_CM + 0.02


@dataclass(frozen=True)
class Bound:
    """No layout is shorter than `length_cm`; `because` says in words what forbids it."""

    length_cm: float
    because: str


def lower_bound(copies: tuple[Copy, ...], width_cm: float, rules: Rules = NO_RULES) -> Bound:
    """The greatest length proved for these copies on cloth of `width_cm`; `TooWide` if one does not fit.

    It holds for every layout the judge passes, but for a thousandth of a centimetre or so that its hairs may save.
    """
    refuse_too_wide(copies, width_cm)
    if not copies:
        return Bound(0.0, "there is nothing to cut")
    found = [_one_stretch(copies, width_cm, rules), *_in_lots(copies, width_cm, rules), *_locked(copies, rules)]
    greatest = max(found, key=lambda bound: bound.length_cm)
    return _over_flaws(greatest, rules)


def _one_stretch(copies: tuple[Copy, ...], width_cm: float, rules: Rules) -> Bound:
    """The bound of copies in no order: those over the whole width, and behind them the rest side by side."""
    alone = [copy for copy in copies if copy.piece in rules.whole_width]
    beside = tuple(copy for copy in copies if copy.piece not in rules.whole_width)
    length = sum(_shortest_cm(copy, rules) - EDGE_CM for copy in alone)
    rest = _side_by_side(beside, width_cm, rules) if beside else Bound(0.0, "")
    if alone and beside:
        return Bound(length + rest.length_cm, f"{len(alone)} over the whole width, and {rest.because}")
    return rest if beside else Bound(length, "every piece takes the whole width")


def _side_by_side(copies: tuple[Copy, ...], width_cm: float, rules: Rules) -> Bound:
    """The greatest of the simple bounds and those by chords."""
    by_area = Bound((area_cm2(copies) - OVERLAP_CM2) / (width_cm + HAIR_CM), "the area of the pieces, over the width")
    longest = max(copies, key=lambda copy: _shortest_cm(copy, rules))
    by_length = Bound(_shortest_cm(longest, rules) - EDGE_CM, f"{longest.piece} is as long")
    tolerant = rules.grain_tolerance_deg > 0
    return max(by_area, by_length, *([] if tolerant else [_by_chords(copies, width_cm, rules)]), key=_length)


def _length(bound: Bound) -> float:
    return bound.length_cm


def _shortest_cm(copy: Copy, rules: Rules) -> float:
    """How short a copy is along the cloth in the turn that suits best; a tolerance counts for its whole reach."""
    turns = rules.turns_deg(copy) or copy.turns_deg
    length = min(max(x for x, _ in turn(copy.outline, degrees)) for degrees in turns)
    slack = np.radians(rules.grain_tolerance_deg) * max(max(x, y) for x, y in copy.outline) * 2
    return float(max(0.0, length - slack))


def _by_chords(copies: tuple[Copy, ...], width_cm: float, rules: Rules) -> Bound:
    """The greatest bound by a dual feasible function of the chords."""
    gap = max(0.0, rules.gap_cm - GAP_CM)
    wide = width_cm + HAIR_CM + gap
    ways = [[_shares(ring, wide, gap) for ring in _rings(copy, rules)] for copy in copies]
    shares = np.concatenate([way[0] for copy in ways for way in copy])
    found = (
        Bound(sum(min(float(f(share) @ long) for share, long in copy) for copy in ways), because)
        for f, because in _functions(shares)
    )
    return max(found, key=_length)


def _rings(copy: Copy, rules: Rules) -> list[Ring]:
    """The outline in its turns, those that give the same chords once."""
    turns = {degrees % 180: degrees for degrees in rules.turns_deg(copy) or copy.turns_deg}
    return [turn(copy.outline, degrees) for degrees in turns.values()]


def _shares(ring: Ring, wide_cm: float, gap_cm: float) -> tuple[Floats, Floats]:
    """Shares of the width that slices of an outline take at their narrower end, and how long each slice is."""
    xs = np.unique([x for x, _ in ring])
    cuts = np.unique(np.concatenate([np.linspace(a, b, SLICES + 1) for a, b in pairwise(xs)]))
    left, right = cuts[:-1], cuts[1:]
    narrower = np.minimum(_chords(ring, left, right, left), _chords(ring, left, right, right))
    return np.maximum(0.0, narrower + gap_cm) / wide_cm, right - left


def _chords(ring: Ring, left: Floats, right: Floats, at: Floats) -> Floats:
    """The length of cloth that lines at `at` cross inside the outline, told by the edges of the slice beside."""
    here = np.asarray(ring)
    there = np.roll(here, -1, axis=0)
    rise = there[:, 0] - here[:, 0]
    upright = np.abs(rise) < WHOLE
    slope = np.divide(there[:, 1] - here[:, 1], rise, out=np.zeros(len(here)), where=~upright)
    middle = (left + right) / 2
    low, high = np.minimum(here[:, 0], there[:, 0]), np.maximum(here[:, 0], there[:, 0])
    crossing = (low < middle[:, None]) & (middle[:, None] < high) & ~upright
    y = here[:, 1] + slope * (at[:, None] - here[:, 0])
    chords: Floats = np.abs((np.where(crossing, y, 0.0) * np.sign(rise)).sum(axis=1))
    return chords


def _functions(shares: Floats) -> Iterable[tuple[DualFeasible, str]]:
    """Dual feasible functions that may say something of these shares, with their reasons in words."""
    yield (lambda x: x), "the area of the pieces, over the width"
    for count in range(1, 9):
        yield _rounded(count), _side_by_side_words(count + 1)
    for step in _steps(shares):
        yield _without_narrow(step), "what is too wide to lie beside what is wide"
        yield _by_count(step), _side_by_side_words(int(1 / step) + 1)


def _side_by_side_words(count: int) -> str:
    return "of the widest pieces no two fit side by side" if count == 2 else f"no {count} such pieces fit side by side"


def _steps(shares: Floats) -> Sequence[float]:
    """Shares at which the functions change: those the pieces have most of, and what they leave of the width."""
    within = shares[(shares > 0.02) & (shares < 1)]
    often, counts = np.unique(np.round(within, 9), return_counts=True)
    chosen = often[np.argsort(-counts, kind="stable")][:MOST_STEPS]
    spread = np.quantile(often, np.linspace(0, 1, MOST_STEPS)) if len(often) else often
    steps = np.concatenate([chosen, spread])
    steps = np.concatenate([steps, 1 - steps + WHOLE])
    return [float(step) for step in np.unique(steps) if 0.02 < step <= 0.5]


def _rounded(count: int) -> DualFeasible:
    """`u`: shares rounded down to so-many-and-oneths, over so many; what is whole stays as it is."""

    def f(x: Floats) -> Floats:
        parts = (count + 1) * x
        whole = np.abs(parts - np.round(parts)) < WHOLE
        return np.where(whole, x, np.floor(parts) / count)

    return f


def _without_narrow(least: float) -> DualFeasible:
    """`U`: shares above 1 - `least` count whole, those below `least` not at all."""

    def f(x: Floats) -> Floats:
        return np.where(x > 1 - least, 1.0, np.where(x < least, 0.0, x))

    return f


def _by_count(least: float) -> DualFeasible:
    """`phi`: how many of `least` a share leaves room for, or holds, over how many the whole holds; `least` up to 1/2."""
    most = np.floor(1 / least)

    def f(x: Floats) -> Floats:
        above = 1 - np.floor((1 - x) / least + WHOLE) / most
        below = np.floor(x / least) / most
        counted: Floats = np.where(x > 0.5, above, np.where(x < 0.5, below, np.minimum(0.5, below)))
        return counted

    return f


def _in_lots(copies: tuple[Copy, ...], width_cm: float, rules: Rules) -> list[Bound]:
    """Lots one behind the other: their bounds added up."""
    lots = [tuple(copy for copy in copies if copy.piece in lot) for lot in rules.lots]
    bounds = [_one_stretch(lot, width_cm, rules) for lot in lots if lot]
    reach = sum(bound.length_cm for bound in bounds) - EDGE_CM * max(0, len(bounds) - 1)
    return [Bound(reach, "the lots lie one behind the other")] if len(bounds) > 1 else []


def _locked(copies: tuple[Copy, ...], rules: Rules) -> list[Bound]:
    """Where the furthest locked copy ends."""
    outlines = {(copy.piece, copy.number): copy.outline for copy in copies}
    kept = [p for p in rules.locked if (p.piece, p.copy) in outlines]
    ends = [p.x_cm + max(x for x, _ in turn(outlines[p.piece, p.copy], p.rotation_deg)) - EDGE_CM for p in kept]
    return [Bound(max(ends), "a copy is locked so far along")] if ends else []


def _over_flaws(bound: Bound, rules: Rules) -> Bound:
    """The bound, longer by every band across the cloth that it must go on behind."""
    for flaw in sorted(rules.flaws, key=lambda flaw: flaw.x_cm):
        if flaw.width_cm is None and bound.length_cm > flaw.x_cm + 2 * EDGE_CM:
            over = max(0.0, flaw.length_cm - 2 * EDGE_CM)
            bound = Bound(bound.length_cm + over, f"{bound.because}, and a {flaw.what} between")
    return bound
