"""What a phone is told: the order as it is now, the orders that entries speak of, and the entries it has not seen."""

from __future__ import annotations

import time
from collections.abc import Sequence
from typing import Any, Final

from clothwright.library import store
from clothwright.library.loom import entries
from clothwright.library.models import PhoneEntry, Project, Revision
from clothwright.planning import ColourPlan
from clothwright.sheets import colour_words
from clothwright.sheets.loom.refused_said import refused_said
from clothwright.sheets.translating import ENGLISH, Language, to_say
from clothwright.web.colours import colour_answers
from clothwright.web.colours.colour_rules import yarn_colours
from clothwright.web.loom.loom_state import loom_state
from clothwright.web.showing import is_imperial

_TEN: Final = 10
NOT_SETTLED: Final = to_say("The order of colours is not settled: the page Colours says what is missing.")
NOT_KEPT: Final = to_say("This order is not kept yet: it would change with the rules. Keep it first.")


def phone_state(
    project: Project, *, loom: bool, since: int = 0, phone: str = "", says: Language = ENGLISH
) -> dict[str, Any]:
    """All that a phone needs to go on alone; `since`: the newest entry it has, `phone`: its own key.

    `loom`: with how far the weaving is and its forecast, which take a plan to tell.
    """
    revision = store.head(project)
    last = entries.last_number(project)
    return {
        "form": 1,
        "told_at": _now_ms(),
        "project": {"key": str(project.pk), "name": project.name},
        "order": order_now(project, revision, says),
        "loom": loom_state(revision, says) | {"told_at": _now_ms(), "up_to": last} if loom else None,
        "orders": entries.orders(project),
        "entries": [_told(one, says) for one in entries.entries(project, since)],
        "last": last,
        "yours": entries.how_many(project, phone) if phone else 0,
    }


def _now_ms() -> int:
    return int(time.time() * 1000)


def _told(entry: PhoneEntry, says: Language) -> dict[str, Any]:
    return {**entry.content, "number": entry.number, "sentence": refused_said(entry.sentence, says)}


def order_now(project: Project, revision: Revision, says: Language = ENGLISH) -> dict[str, Any]:
    """The order to tick off, or in `why` what keeps it from being ticked off; an order told of is kept."""
    plan = colour_answers.answered(revision).plan
    if plan is None:
        return {"why": says(NOT_SETTLED), "can_keep": False}
    if not plan.stripes and (plan.drawn or plan.changes):
        return {"why": says(NOT_KEPT), "can_keep": True}
    kept = entries.keep_order(project, runs_of(plan, revision))
    return {
        "why": "",
        "digest": kept.digest,
        "runs": kept.runs,
        "turn_ends": plan.turn_ends,
        "half": half_of(plan.warp.ends),
        "check": colour_words.check_sum(plan.warp, imperial=is_imperial(revision), says=says),
    }


def runs_of(plan: ColourPlan, revision: Revision) -> Sequence[dict[str, Any]]:
    """The order run by run with each yarn's colour."""
    shown = yarn_colours(revision.tree)
    return [
        {"yarn": run["yarn"], "ends": run["ends"], "ball": run.get("ball", 0), "colour": shown.get(run["yarn"], "")}
        for run in plan.as_typed()
    ]


def half_of(ends: int) -> int:
    """The end of the group of ten nearest to half of the ends, where they are counted first."""
    return min(ends, max(_TEN, round(ends / 2 / _TEN) * _TEN))
