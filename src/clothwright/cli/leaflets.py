"""The requirement table of a leaflet on the command line."""

from __future__ import annotations

import math
from pathlib import Path

from rich.console import Console

from clothwright.cli.planned import project_in
from clothwright.cli.searching import searches
from clothwright.measure import CM_PER_YARD
from clothwright.planning import Leaflet, LeafletRow, disagreements, leaflet
from clothwright.project import Project
from clothwright.sheets.wording import LENGTH, WEIGHT, YARN, Rounding

_console = Console(highlight=False, soft_wrap=True, markup=False)


def leaflet_in(file: Path, *, seconds: float, seed: int | None) -> tuple[Project, Leaflet]:
    """The project in a file and the table of its leaflet, re-added before it is given out."""
    project, drawings = project_in(file)
    with searches(project, seconds, seed) as search:
        found = leaflet(project, drawings=drawings, layouts=search)
    if wrong := disagreements(found):
        raise RuntimeError("; ".join(wrong))
    return project, found


def show_leaflet(answer: Leaflet, *, imperial: bool) -> None:
    """Print the table, what has no row, the advice and what is assumed."""
    _console.print(f"{answer.name}: what a reader needs" + (", as sums by hand" if answer.by_hand else ""))
    if answer.provisional_because:
        _console.print(answer.provisional_because)
    for row in answer.rows:
        _console.print("\n".join(_row(row, imperial)))
    for one in answer.left_out:
        name = ", ".join(filter(None, (one.size, one.version))) or "the pattern"
        _console.print(f"No row for {name} on cloth {one.cloth_width_cm:g} cm wide: {one.why}.")
    for title, lines in (("Advice", answer.advice), ("Assumed", answer.assumed), ("Notes", answer.notes)):
        if lines:
            _console.print(f"\n{title}")
            _console.print("\n".join(f"  {line}" for line in lines))


def _row(row: LeafletRow, imperial: bool) -> tuple[str, str, str]:
    """One row of the table as three lines: what cloth, what warp, what yarn."""
    named = ", ".join(filter(None, (row.size, row.version, f"{row.heddle} heddle")))
    width, long, heddle, warp = (
        LENGTH.text(cm, imperial=imperial, rounding=Rounding.UP)
        for cm in (row.cloth_width_cm, row.cloth_length_cm, row.width_in_heddle_cm, row.warp_length_cm)
    )
    return (
        f"{named}: cloth {width} wide and {long} long",
        f"  {row.ends} ends, {heddle} in the heddle, a warp of {warp}",
        f"  {_needs(row, imperial)}",
    )


def _needs(row: LeafletRow, imperial: bool) -> str:
    """Warp, weft and both in whole metres or yards, each rounded up before they are added, then weight and balls."""
    unit = CM_PER_YARD / 100 if imperial else 1.0
    warp, weft = (math.ceil(one.m / unit - 1e-9) * unit for one in (row.warp, row.weft))
    metres = [YARN.text(value, imperial=imperial) for value in (warp, weft, warp + weft)]
    weight = WEIGHT.text(row.grams, imperial=imperial, rounding=Rounding.UP)
    balls = "" if row.balls is None else f", {row.warp.balls} + {row.weft.balls} balls"
    return f"{metres[0]} of warp + {metres[1]} of weft = {metres[2]}; with the margin {weight}{balls}"
