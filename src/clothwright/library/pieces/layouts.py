"""Layouts that a long search has found, kept for every later plan of the same pieces.

What lies where depends on the copies to cut (outlines, mirrored, turns allowed), on the rules asked and on the width of
cloth, and on nothing else; so layouts are kept by a hash of copies and rules, one for each width searched. Where rules are
asked, what is known without them serves at the widths where nothing that keeps them is.
"""

from __future__ import annotations

import hashlib
import itertools
import json
from collections.abc import Callable, Iterable, Iterator
from dataclasses import asdict, replace
from typing import Any

from django.db import transaction
from django.utils import timezone

from clothwright.layout import NO_RULES, Copy, Layout, Placed, Rules, Step, faults
from clothwright.library.models import KnownLayout
from clothwright.planning import LayoutSearch, quick_layouts

YarnFor = Callable[[float, float], float]


def layout_key(copies: tuple[Copy, ...], rules: Rules = NO_RULES) -> str:
    """The same for the same copies and rules, whatever project they are in."""
    asked = [] if rules == NO_RULES else [asdict(rules)]
    text = json.dumps([asdict(one) for one in copies] + asked, sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()


def keep_layouts(copies: tuple[Copy, ...], found: Iterable[Layout], rules: Rules = NO_RULES) -> None:
    """Keep the shortest layout known for each width; with rules, of those that have no fault under them."""
    keeping = [one for one in found if rules == NO_RULES or not faults(copies, one, rules=rules)]
    key = layout_key(copies, rules)
    KnownLayout.objects.get_or_create(key=key, defaults={"layouts": []})
    with transaction.atomic():
        # Two searches of the same pieces may end at once: each keeps what the other found.
        known = KnownLayout.objects.select_for_update().get(key=key)
        best = _shortest(itertools.chain(map(_layout, known.layouts), keeping))
        known.layouts, known.found_at = [asdict(best[width]) for width in sorted(best)], timezone.now()
        known.save(update_fields=["layouts", "found_at"])


def _shortest(found: Iterable[Layout]) -> dict[float, Layout]:
    """The shortest of each width; of two as long the first."""
    best: dict[float, Layout] = {}
    for layout in found:
        known = best.get(layout.width_cm)
        if known is None or layout.length_cm < known.length_cm:
            best[layout.width_cm] = layout
    return best


def layouts_known(copies: tuple[Copy, ...], rules: Rules = NO_RULES) -> tuple[Layout, ...]:
    """Every layout kept for these copies under these rules."""
    stored = KnownLayout.objects.filter(key=layout_key(copies, rules)).first()
    return tuple(_layout(one) for one in stored.layouts) if stored else ()


def _layout(stored: dict[str, Any]) -> Layout:
    placed = tuple(Placed(**one) for one in stored["placed"])
    return Layout(**{**stored, "placed": placed})


def with_known(quick: LayoutSearch = quick_layouts) -> LayoutSearch:
    """A layout search that takes what is known, and first guesses at the widths that were never searched."""

    def search(
        copies: tuple[Copy, ...], widths_cm: tuple[float, ...], yarn_for: YarnFor, rules: Rules = NO_RULES
    ) -> tuple[Step, ...]:
        widest = max(widths_cm)
        ruled = {one.width_cm: one for one in _known(copies, rules, widest)} if rules != NO_RULES else {}
        known = [one for one in _known(copies, NO_RULES, widest) if one.width_cm not in ruled]
        steps = [Step(one.width_cm, one, yarn_for(one.width_cm, one.length_cm)) for one in (*known, *ruled.values())]
        if unknown := tuple(sorted({*widths_cm} - {step.width_cm for step in steps})):
            steps += quick(copies, unknown, yarn_for, rules)
        in_order = sorted(steps, key=lambda step: step.width_cm)
        return tuple(step if step.width_cm in ruled else _shorter(step, known, yarn_for) for step in in_order)

    return search


def _known(copies: tuple[Copy, ...], rules: Rules, widest_cm: float) -> Iterator[Layout]:
    return (one for one in layouts_known(copies, rules) if one.width_cm <= widest_cm)


def _shorter(step: Step, known: list[Layout], yarn_for: YarnFor) -> Step:
    """The step, or the shortest known layout that fits on its width where that is shorter."""
    fitting = [one for one in known if one.width_cm <= step.width_cm]
    shortest = min(fitting, key=lambda one: one.length_cm, default=step.layout)
    if shortest.length_cm >= step.layout.length_cm:
        return step
    share = shortest.used_share * shortest.width_cm / step.width_cm
    layout = replace(shortest, width_cm=step.width_cm, used_share=share)
    return Step(step.width_cm, layout, yarn_for(step.width_cm, layout.length_cm))
