"""The colour orders in the words, tables and pictures of their pages."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any, Final

from clothwright import sheets
from clothwright.colours import HandRun
from clothwright.library.models import Revision
from clothwright.planning import ColourPlan, WeftAnswer
from clothwright.sheets import colour_words as words
from clothwright.sheets import weft_words
from clothwright.sheets.colours.colour_words import ToldRun
from clothwright.sheets.wording import LENGTH
from clothwright.web.colours.colour_answers import runs_now
from clothwright.web.colours.colour_rules import yarn_colours
from clothwright.web.colours.colour_sides import WARP, WEFT, Side
from clothwright.web.showing import is_imperial

_TEN: Final = 10
Table = tuple[str, list[str], list[list[str]]]


@dataclass(frozen=True)
class Fold:
    """Runs of an order folded together: those that begin within the same tens; `open` where one of them is looked at."""

    runs: tuple[ToldRun, ...]
    open: bool

    @property
    def first(self) -> int:
        """Its first thread."""
        return self.runs[0].first

    @property
    def last(self) -> int:
        """Its last thread, which is how many there are up to there."""
        return self.runs[-1].last


def shown(
    revision: Revision, plan: ColourPlan | None, side: Side, *, run: int | None, at: int | None
) -> dict[str, Any]:
    """One order and its balls in the words and units of the page; `run`: to be changed, `at`: the run last done to."""
    imperial, runs = is_imperial(revision), runs_now(revision, plan, side)
    told = words.told_runs(runs)
    here: dict[str, Any] = {
        "answer": plan,
        "runs": told,
        "folds": by_tens(told, {run, at}),
        "run": told[run] if run is not None and run < len(told) else None,
        "total": told[-1].last if told else 0,
        "picture": _picture(revision, runs, plan, side) if runs else "",
    }
    if plan is None:
        return here
    return here | (_of_warp(plan, imperial) if side is WARP else _of_weft(plan.weft, imperial))


def by_tens(told: Sequence[ToldRun], looked_at: Collection[int | None] = ()) -> list[Fold]:
    """The runs folded by the ten in which each begins; the first fold is open, and those with a run looked at."""
    groups = groupby(told, key=lambda one: (one.first - 1) // _fold(told))
    folds = [tuple(group) for _, group in groups]
    return [
        Fold(runs, number == 0 or any(one.number in looked_at for one in runs)) for number, runs in enumerate(folds)
    ]


def _fold(told: Sequence[ToldRun]) -> int:
    """Threads in a fold: ten, or as many tens as make at most twenty folds."""
    total = told[-1].last if told else 0
    return _TEN * max(1, -(-total // (20 * _TEN)))


def _of_warp(plan: ColourPlan, imperial: bool) -> dict[str, Any]:
    tables: list[Table] = [
        ("Warp lengths beside this one", words.LENGTHS_HEAD, words.length_rows(plan, imperial=imperial))
    ]
    if plan.parted:
        tables.append(("One warp, or more", words.WARPS_HEAD, words.warps_rows(plan, imperial=imperial)))
    return {
        "check": words.check_sum(plan.warp, imperial=imperial),
        "long": LENGTH.text(plan.warp.warp_cm, imperial=imperial),
        "changes": list(words.change_sentences(plan)),
        "tables": tables,
        "balls_head": words.BALLS_HEAD,
        "balls": words.ball_rows(plan, imperial=imperial),
        "balls_sum": words.balls_sum(plan, imperial=imperial),
        "stripes": [words.stripe_sentence(one, imperial=imperial) for one in plan.stripes],
    }


def _of_weft(weft: WeftAnswer | None, imperial: bool) -> dict[str, Any]:
    if weft is None:
        return {}
    keeping = weft.keeping
    tables: list[Table] = [
        ("Where each run begins", weft_words.RUNS_HEAD, weft_words.run_rows(weft, imperial=imperial)),
    ]
    if keeping:
        tables.append(
            ("Each ball, in warp or weft", weft_words.KEEPING_HEAD, weft_words.keeping_rows(keeping, imperial=imperial))
        )
    return {
        "weft": weft,
        "weft_sum": weft_words.weft_sum(weft, imperial=imperial),
        "joins": weft_words.join_sentences(weft, imperial=imperial),
        "stripes": list(weft_words.stripe_sentences(weft, imperial=imperial)),
        "balls_head": weft_words.BALLS_HEAD,
        "balls": weft_words.ball_rows(weft, imperial=imperial),
        "balls_sum": weft_words.lasts_sentence(weft),
        "keeping": weft_words.keeping_sentences(keeping, imperial=imperial) if keeping else [],
        "tables": tables,
    }


def _picture(revision: Revision, runs: Sequence[HandRun], plan: ColourPlan | None, side: Side) -> str:
    pairs, imperial = [(run.yarn, run.ends) for run in runs], is_imperial(revision)
    colours = yarn_colours(revision.tree)
    if side is WEFT:
        per_cm = plan.weft.wefted.picks_per_cm if plan and plan.weft else None
        return sheets.weft_order_svg(pairs, colours, picks_per_cm=per_cm, imperial=imperial)
    sett = plan.warp.ends_per_cm if plan else None
    return sheets.warp_order_svg(pairs, colours, ends_per_cm=sett, imperial=imperial)
