"""How the pieces of a project can be joined for narrow cloth, and what may come from other cloth."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click

from clothwright.cli.past import history_from
from clothwright.cli.planned import project_in
from clothwright.measure import Length
from clothwright.planning import JoinProposal, JoinsAnswer, Movable, OtherCloth, propose_joins, what_may_move, written
from clothwright.sheets import joining as words


@dataclass(frozen=True)
class Joins:
    """Both answers for a project file, and whether it is told in inches first."""

    joins: JoinsAnswer
    other: OtherCloth
    imperial: bool

    def as_json(self) -> dict[str, Any]:
        """Both as plain data."""
        return self.joins.as_json() | {"other_cloth": self.other.as_json()}


def joins_answer(file: Path, *, width: str | None, other_width: str | None, past: Sequence[Path] = ()) -> Joins:
    """What could be joined and moved in a project file; ProblemsFound with every problem."""
    cloth, other = (Length.read(text).cm if text else None for text in (width, other_width))
    project, drawings = project_in(file)
    history = history_from(past, file, project)
    found = propose_joins(project, drawings=drawings, cloth_width_cm=cloth, history=history)
    moved = what_may_move(project, drawings=drawings, joins=found, other_width_cm=other, history=history)
    return Joins(found, moved, project.units == "imperial")


def show_joins(answer: Joins) -> None:
    """Print what is too wide, each way with what it takes, and what may come from other cloth."""
    joins, imperial = answer.joins, answer.imperial
    click.echo("\n".join(words.opening(joins, imperial=imperial)))
    for number, one in enumerate(joins.proposals, 1):
        _show(f"{number}. {words.what(one)}", words.facts(one, imperial=imperial), one)
    if joins.savings:
        click.echo("\nJoins of pieces that fit, which save yarn")
        for one in joins.savings:
            _show(f"- {words.what(one)}", words.facts(one, imperial=imperial), one)
    for sentence in (*joins.cannot, *joins.questions):
        click.echo(f"\n{sentence}")
    if joins.not_laid:
        click.echo("\nWays that come to nothing on this cloth")
        for sentence in joins.not_laid:
            click.echo(f"- {sentence}.")
    _show_other(answer.other, imperial)
    click.echo("\n" + "\n".join(joins.notes))


def _show(head: str, facts: Sequence[tuple[str, str]], one: JoinProposal) -> None:
    click.echo(f"\n{head}")
    for name, much in facts:
        click.echo(f"   {name}: {much}")
    click.echo("   To take it, write in the project file:")
    for part in one.parts:
        said = ", ".join(f'{key} = "{value}"' for key, value in written(part).items())
        click.echo(f"     [[pattern.join]]  {said}")


def _show_other(other: OtherCloth, imperial: bool) -> None:
    click.echo("\nWhat may come from other cloth")
    for one in (*other.movable, *([other.together] if other.together else [])):
        click.echo(f"- {_moved(one, imperial)}")
    if not other.movable:
        click.echo("- nothing was found by its name or by a hem; write material on a piece to move it")
    for sentence in words.already(other, imperial=imperial):
        click.echo(f"- {sentence}")


def _moved(one: Movable, imperial: bool) -> str:
    return f"{one.name}: {words.saves(one, imperial=imperial)} {words.needs(one, imperial=imperial)} {words.why(one)}"
