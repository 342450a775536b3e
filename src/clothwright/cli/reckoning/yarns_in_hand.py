"""The yarns of a project file: what each holds, how it was weighed, what washing and the heddle did to it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from clothwright.library.files import read_project_file
from clothwright.measure import plainly
from clothwright.project import Problem, ProblemsFound, read_project
from clothwright.project.domain import lots, winders
from clothwright.yarn import Lot, Pool, WashTest, beyond_standards, damp_note, stretch_note, verdict


def in_hand(file: Path) -> dict[str, Any]:
    """Every yarn and winder of a project file; ProblemsFound with every problem."""
    tree, _ = read_project_file(file)
    project = read_project(tree)
    if not project.yarn:
        raise ProblemsFound(Problem(("yarn",), "the file holds no yarn"))
    return {
        "in_hand": [_lot(lot) for lot in lots(project)],
        "winders": [{"name": one.name, "turn_m": one.turn_m, "told": one.told} for one in winders(project)],
    }


def _lot(lot: Lot) -> dict[str, Any]:
    metres = lot.metres_by_hand()
    return {
        "name": lot.name,
        "grams": lot.grams if lot.has_grist else None,
        "metres": {"low": metres.low, "expected": metres.expected, "high": metres.high},
        "metres_per_kg": lot.m_per_g * 1000 if lot.has_grist else None,
        "weighings": _weighings(lot),
        "wash_test": _wash_test(lot.wash_test, used=not lot.washed) if lot.wash_test else None,
        "heddle_trial": _heddle_trial(lot),
        "notes": list(_notes(lot)),
    }


def _weighings(lot: Lot) -> dict[str, Any] | None:
    """The weighings of short lengths, of the lot and of its balls, pooled."""
    every = (*lot.grist, *(ball.grist for ball in lot.balls if ball.grist))
    readings = tuple(reading for reading in every if reading.of_metres is not None)
    if not readings:
        return None
    pool = Pool(readings)
    return {
        "count": len(readings),
        "metres_per_kg": pool.m_per_g * 1000,
        "spread_share": pool.spread,
        "told": pool.told,
    }


def _wash_test(test: WashTest, *, used: bool) -> dict[str, Any]:
    return {"kept": test.ratio, "used": used, "told": test.told}


def _heddle_trial(lot: Lot) -> dict[str, Any] | None:
    if lot.heddle_trial is None:
        return None
    found = verdict(lot.heddle_trial)
    return {
        "heddle": lot.heddle_trial.heddle or None,
        "verdict": found.fitness,
        "reasons": list(found.reasons),
        "still_to_try": list(found.still_to_try),
        "told": found.told,
    }


def _notes(lot: Lot) -> tuple[str, ...]:
    damp = damp_note(lot.fibre)
    coarse = beyond_standards(1000 / lot.m_per_g) if lot.has_grist else ()
    stretchy = (stretch_note(),) if lot.made == "handspun" and _weighings(lot) else ()
    return (*coarse, *stretchy, *((damp,) if damp else ()))


def show_in_hand(answer: dict[str, Any]) -> None:
    """Show each yarn in hand, and the winders."""
    from rich.console import Console

    console = Console(highlight=False, markup=False)
    for lot in answer["in_hand"]:
        console.print(f"\n{lot['name']}: {_metres(lot['metres'])}", style="bold")
        told = [lot[part]["told"] for part in ("weighings", "wash_test", "heddle_trial") if lot[part]]
        for line in (*told, *lot["notes"]):
            console.print(f"  {line}")
    for winder in answer["winders"]:
        console.print(f"\n{winder['told']}")


def _metres(metres: dict[str, float]) -> str:
    low, expected, high = (plainly(metres[end], 4) for end in ("low", "expected", "high"))
    return f"{expected} m" if low == high else f"{expected} m, {low} to {high}"
