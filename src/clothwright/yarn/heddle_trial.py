"""Will it go through? A yarn tried in a heddle, and what that says: warp, size it first, or weft only.

The worst finding decides. A yarn that was rubbed few times, or not tried in hole and slot and by rubbing, has passed so
far and no further, and is told so. Common practice, no source; the findings stand in heddle_trial.toml.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib import resources
from typing import Any, Final

#: Strokes of a rub that tell something. Common practice, no source.
ENOUGH_STROKES: Final = 50
#: What must have been tried before a yarn is called fit for a warp.
_NEEDED: Final = ("hole", "slot", "rub")


class Fitness(StrEnum):
    """What a yarn is fit for, best first."""

    WARP = "warp"
    SIZE_FIRST = "size it first"
    WEFT_ONLY = "weft only"


_ORDER: Final = tuple(Fitness)


@dataclass(frozen=True)
class HeddleTrial:
    """Things tried and what was seen of each, as the table names them; `heddle` as typed; `rub_strokes` how often."""

    findings: tuple[tuple[str, str], ...]
    heddle: str = ""
    rub_strokes: int | None = None

    @property
    def seen(self) -> dict[str, str]:
        """What was seen, by what was tried."""
        return dict(self.findings)


@dataclass(frozen=True)
class Verdict:
    """What the yarn is fit for, None while nothing was tried; the reasons for it, and what is still to be tried."""

    fitness: Fitness | None
    reasons: tuple[str, ...]
    still_to_try: tuple[str, ...] = ()

    @property
    def told(self) -> str:
        """The verdict in words."""
        if self.fitness is None:
            return f"Not tried yet: {', '.join(self.still_to_try)}."
        still = f" Still to try: {', '.join(self.still_to_try)}." if self.still_to_try else ""
        so_far = " so far" if self.still_to_try and self.fitness == Fitness.WARP else ""
        return f"{self.fitness.capitalize()}{so_far}: {'; '.join(self.reasons)}.{still}"


@cache
def _findings() -> dict[tuple[str, str], dict[str, Any]]:
    table = tomllib.loads(resources.files(__package__).joinpath("heddle_trial.toml").read_text(encoding="utf-8"))
    return {(row["tried"], row["seen"]): row for row in table["finding"]}


def can_be_seen(tried: str) -> tuple[str, ...]:
    """What can be seen of a thing tried, best first."""
    return tuple(seen for what, seen in _findings() if what == tried)


def verdict(trial: HeddleTrial) -> Verdict:
    """What the yarn is fit for, by the worst that was seen of it."""
    rows = [_findings()[tried, seen] for tried, seen in trial.findings]
    still = _still_to_try(trial)
    if not rows:
        return Verdict(None, (), still)
    worst = max((Fitness(row["leads_to"]) for row in rows), key=_ORDER.index)
    reasons = tuple(row["reason"] for row in rows if row["leads_to"] == worst)
    caught = _findings()["knot", "catches"]
    if trial.seen.get("knot") == "catches" and worst != Fitness.WARP:
        reasons += (caught["reason"],)
    return Verdict(worst, reasons, still if worst != Fitness.WEFT_ONLY else ())


def _still_to_try(trial: HeddleTrial) -> tuple[str, ...]:
    still = [
        f"the {tried}" if tried != "rub" else f"{ENOUGH_STROKES} strokes of rubbing"
        for tried in _NEEDED
        if tried not in trial.seen
    ]
    if trial.seen.get("rub") == "unchanged" and (trial.rub_strokes or ENOUGH_STROKES) < ENOUGH_STROKES:
        still.append(f"more rubbing: {trial.rub_strokes} strokes say little, {ENOUGH_STROKES} say more")
    return tuple(still)
