"""The record of a project file told on the command line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click

from clothwright.cli.past import history_from
from clothwright.cli.planned import planned, project_in
from clothwright.planning.record.learnt import Lesson, lesson
from clothwright.planning.record.record_beside import Beside, beside
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.parts.record_parts import that_count
from clothwright.project.record.past import record_gaps
from clothwright.project.record.record_search import said_of
from clothwright.project.record.record_stages import Wanting, still_wanting
from clothwright.weaving import LookedBack, looked_back, standing


@dataclass(frozen=True)
class RecordTold:
    """A record told: the plan beside it, the forecasts of its log against what came, what it taught, what it still wants."""

    project: Project
    beside: tuple[Beside, ...]
    said: tuple[LookedBack, ...]
    lesson: Lesson
    wanting: tuple[Wanting, ...]
    gaps: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """All of it as plain data."""
        later = self.project.record.later if self.project.record else []
        return {
            **said_of(self.project).as_json(),
            "beside": [one.as_json() for one in self.beside],
            "forecasts": [
                {
                    "yarn": one.yarn,
                    "at_cm": one.at_cm,
                    "to_cm": one.to_cm,
                    "said_g": {"low": one.said_g.low, "expected": one.said_g.expected, "high": one.said_g.high},
                    "used_g": one.used_g,
                    "held": one.held,
                }
                for one in self.said
            ],
            "learnt": self.lesson.as_json(),
            "still_to_complete": [one.what for one in self.wanting],
            "gaps": list(self.gaps),
            "later": [
                {"number": number, "day": one.day, "about": one.about, "liked": one.liked, "says": one.says}
                for number, one in that_count(later)
            ],
        }


def record_told(file: Path, *, past: Sequence[Path], seconds: float, seed: int | None) -> RecordTold:
    """The record of the project in a file; ProblemsFound where it has none or cannot be planned."""
    project, drawings = project_in(file)
    if project.record is None:
        raise ProblemsFound(Problem(("record",), "this project has no record yet; add [record] with what was measured"))
    _, plan = planned(file, seconds=seconds, seed=seed, past=past)
    history = history_from(past, file, project, telling=False)
    said: tuple[LookedBack, ...] = ()
    if project.log:
        stands = standing(project, drawings=drawings, history=history)
        said = looked_back(stands) if stands.is_woven else ()
    taught = lesson(project, drawings=drawings, history=history)
    lines = beside(project, plan, drawings=drawings, history=history)
    return RecordTold(project, lines, said, taught, still_wanting(project), record_gaps(project))


def show_record(told: RecordTold) -> None:
    """The record in words."""
    from clothwright.sheets import at_loom, record_words

    imperial = told.project.units == "imperial"
    said = said_of(told.project)
    click.echo(f"{said.number or 'No number yet'}  {said.name}")
    for line in record_words.short_of(said, imperial=imperial):
        click.echo(f"    {line}")
    _table(
        "Plan beside what came",
        record_words.BESIDE_HEAD,
        [record_words.beside_row(one, imperial=imperial) for one in told.beside],
    )
    for sentence in (record_words.held_sentence(told.beside), record_words.first_plan_sentence(told.project)):
        if sentence:
            click.echo(sentence)
    _table(
        "What the forecast said at the loom",
        at_loom.LOOKED_BACK_HEAD,
        at_loom.looked_back_rows(told.said, imperial=imperial),
    )
    _table(
        "What it taught",
        record_words.LEARNT_HEAD,
        [record_words.learnt_row(one, imperial=imperial) for one in told.lesson.figures],
    )
    if told.lesson.idle:
        click.echo(f"It teaches nothing yet: {told.lesson.idle}.")
    lists = {
        "Yarn used and cloth left": [
            *record_words.used_lines(told.project, imperial=imperial),
            *record_words.remnant_lines(told.project, imperial=imperial),
        ],
        "Found out later": [
            f"{day}, {about}: {says}"
            for _, day, about, says, counts in record_words.later_lines(
                told.project.record.later if told.project.record else []
            )
            if counts
        ],
        "To mend": list(told.gaps),
    }
    for head, lines in lists.items():
        if lines:
            click.echo("\n".join((f"\n{head}", *(f"  {line}" for line in lines))))
    click.echo(f"\n{record_words.wanting_sentence(told.wanting) or 'Nothing is left to complete.'}")


def _table(head: str, columns: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Rows under their columns; nothing where there are none."""
    if not rows:
        return
    wide = [max(len(row[place]) for row in (columns, *rows)) for place in range(len(columns))]
    click.echo(f"\n{head}")
    for row in (columns, *rows):
        click.echo("  " + "  ".join(cell.ljust(width) for cell, width in zip(row, wide, strict=True)).rstrip())
