"""Everything a weaver can choose, each choice planned, as text."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from clothwright.cli.past import history_from
from clothwright.cli.planned import project_in
from clothwright.planning import Choices, choose
from clothwright.sheets import choosing as words


def choices_answer(file: Path, past: Sequence[Path] = ()) -> tuple[Choices, bool]:
    """The choices for a project file, and whether they are told in inches first; ProblemsFound with every problem."""
    project, drawings = project_in(file)
    history = history_from(past, file, project)
    return choose(project, drawings=drawings, history=history), project.units == "imperial"


def show_choices(answer: Choices, *, imperial: bool) -> None:
    """Print the front, then every choice by what is given up, then how many plans were made."""
    click.echo("Yarn against what is given up")
    for one in answer.front:
        click.echo(f"- {words.given_up(one)}: {words.takes(one, imperial=imperial)}")
    for title, choices in words.by_kind(answer):
        click.echo(f"\n{title}")
        for one in choices:
            click.echo(f"- {words.how(one)}. {words.takes(one, imperial=imperial)}")
            for line in words.warps(one, imperial=imperial):
                click.echo(f"    {line}")
    click.echo("\n" + "\n".join(words.notes(answer)))
