"""The requirement table of a leaflet on the command line."""

from __future__ import annotations

from pathlib import Path

from rich.console import Console

from clothwright.cli.planned import project_in
from clothwright.cli.searching import searches
from clothwright.layout import Effort
from clothwright.planning import Leaflet, disagreements, leaflet
from clothwright.project import Project
from clothwright.sheets import leaflet_words as words

_console = Console(highlight=False, soft_wrap=True, markup=False)


def leaflet_in(file: Path, *, seconds: float, seed: int | None) -> tuple[Project, Leaflet]:
    """The project in a file and the table of its leaflet, re-added before it is given out."""
    project, drawings = project_in(file)
    with searches(project, Effort(seconds), seed) as search:
        found = leaflet(project, drawings=drawings, layouts=search)
    if wrong := disagreements(found):
        raise RuntimeError("; ".join(wrong))
    return project, found


def show_leaflet(answer: Leaflet, *, imperial: bool) -> None:
    """Print the table, what has no row, the advice and what is assumed."""
    _console.print(f"{answer.name}: what a reader needs" + (", as sums by hand" if answer.by_hand else ""))
    for why in words.not_to_be_given_out(answer):
        _console.print(f"A proof, not to be given out: {why}")
    for name, rows in words.groups(answer, imperial=imperial):
        _console.print(f"\n{name}")
        for row in rows:
            _console.print("\n".join(_row(row)))
    if said := words.balls_in_words(answer):
        _console.print(f"\n{said}")
    told = (*words.missing(answer), *words.low_and_high(answer, imperial=imperial))
    for title, lines in (("", told), ("Advice", answer.advice), ("Assumed", answer.assumed), ("Notes", answer.notes)):
        if lines:
            _console.print(f"\n{title}".rstrip())
            _console.print("\n".join(f"  {line}" for line in lines))


def _row(cells: list[str]) -> tuple[str, str, str]:
    """One row of the table as three lines: what cloth, what warp, what yarn."""
    cloth, ends, heddle, long, warp, weft, both, bought = cells
    return (
        f"  {cloth}",
        f"    {ends} ends, {heddle} in the heddle, a warp of {long}",
        f"    {warp} of warp + {weft} of weft = {both}; with the margin {bought}",
    )
