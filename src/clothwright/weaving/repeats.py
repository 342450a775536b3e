"""Repeats in whole picks, and how far the weaving runs ahead of them.

A finished repeat takes repeat ÷ length ratio × picks per cm on the loom, brought to the nearest even whole number of picks, and
finishes at what those picks then make. Panels that are to match are woven by counting: with every repeat the difference
between picks woven and picks settled on runs on, and the next repeat takes it back, a pick or two at a time.

*Source*: common practice of weavers of matched panels, who hold a repeat to a pick either way; no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from clothwright.project import Project
from clothwright.project.parts.log_parts import OnLoomPart
from clothwright.weaving.logged import Logged

#: How many picks a repeat may be made longer or shorter by before it shows. Common practice, no source.
MOST_EASED: Final = 2


@dataclass(frozen=True)
class RepeatPlan:
    """The picks of a repeat as reckoned and as settled on, what they finish at, and how many make a panel."""

    exact_picks: float | None
    picks: int
    finished_cm: float | None
    in_panel: int | None
    panel_cm: float | None


@dataclass(frozen=True)
class PanelCount:
    """The repeats of one panel so far: the picks of each, and how the difference ran after each."""

    panel: str
    picks: tuple[int, ...]
    running: tuple[int, ...]
    next_picks: int
    words: str


@dataclass(frozen=True)
class RepeatsTold:
    """The repeat planned, and every panel's count."""

    plan: RepeatPlan
    panels: tuple[PanelCount, ...]


def even_picks(exact: float) -> int:
    """The nearest even whole number of picks, at least two; of two as near, the lower."""
    half = exact / 2
    return 2 * max(1, int(half) + (1 if half - int(half) > 0.5 else 0))


def repeat_plan(told: OnLoomPart, picks_per_cm: float | None, length_ratio: float | None) -> RepeatPlan | None:
    """The repeat in picks, of what is known of the cloth: picks per cm on the loom, and finished over woven length."""
    known = picks_per_cm is not None and length_ratio is not None
    exact = told.repeat.cm / length_ratio * picks_per_cm if told.repeat and known else None  # type: ignore[operator]
    picks = told.repeat_picks or (even_picks(exact) if exact else None)
    if picks is None:
        return None
    finished = picks / picks_per_cm * length_ratio if known else None  # type: ignore[operator]
    number = round(told.panel.cm / finished) if told.panel and finished else None
    return RepeatPlan(exact, picks, finished, number, number * finished if number and finished else None)


def panel_count(panel: str, picks: Sequence[int], settled: int) -> PanelCount:
    """How a panel's repeats run against the picks settled on."""
    running, total = [], 0
    for one in picks:
        total += one - settled
        running.append(total)
    eased = max(-MOST_EASED, min(MOST_EASED, total))
    return PanelCount(panel, tuple(picks), tuple(running), settled - eased, _words(total, eased, settled))


def _words(total: int, eased: int, settled: int) -> str:
    if total == 0:
        return f"the repeats run even; make the next {settled} picks"
    rest = "" if eased == total else ", and the rest after"
    return f"you are {total:+d}".replace(
        "-", "−"
    ) + f"; make the next {-eased:+d}: {settled - eased} picks{rest}".replace("-", "−")


def repeats_told(
    project: Project, log: Logged, picks_per_cm: float | None, length_ratio: float | None
) -> RepeatsTold | None:
    """The repeat of a project and how each panel runs; None where no repeat is planned or counted."""
    told = project.on_loom or OnLoomPart()
    cloth = project.cloth
    typed = cloth.picks.per_cm if cloth.picks and cloth.picks_counted == "on loom" else None
    ratio = cloth.length_ratio.expected if cloth.length_ratio else length_ratio
    plan = repeat_plan(told, typed or picks_per_cm, ratio)
    if plan is None:
        return None
    by_panel: dict[str, list[int]] = {}
    for one in log.in_order:
        if one.part.repeats:
            by_panel.setdefault(one.part.panel or "", []).extend(one.part.repeats)
    return RepeatsTold(plan, tuple(panel_count(name, picks, plan.picks) for name, picks in by_panel.items()))
