"""What of a garment can be cut from finished cloth that is there, as text."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from clothwright.cli.planned import project_in
from clothwright.planning import InHandAnswer, cut_from, remnants_of
from clothwright.project.parts.remnants import read_cloth
from clothwright.sheets import in_hand as words


def cut_from_answer(file: Path, cloths: Sequence[str]) -> tuple[InHandAnswer, bool]:
    """The answer for a project file, and whether it is told in inches first; ProblemsFound or QuantityError for wrong input."""
    project, drawings = project_in(file)
    typed = [read_cloth(text, number) for number, text in enumerate(cloths, 1)]
    return cut_from(project, typed or remnants_of(project), drawings=drawings), project.units == "imperial"


def show_cut_from(answer: InHandAnswer, *, imperial: bool) -> None:
    """Print what fits where, what does not, and the ways out, best first."""
    click.echo("\n".join(words.opening(answer.cutting)))
    for cut in answer.cutting.cuts:
        click.echo(f"- {words.cut_sentence(cut, imperial=imperial)}")
        for line in words.places(cut, imperial=imperial):
            click.echo(f"    {line}")
    if answer.ways:
        click.echo("\nWays out, best first")
        for number, way in enumerate(answer.ways, 1):
            click.echo(f"{number}. {words.way_sentence(way)}")
    if note := words.tried_sentence(answer):
        click.echo(f"\n{note}")
