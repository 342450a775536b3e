"""Garments drafted from body measures: what each asks, and one drafted from a project file or from what was typed."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

import click

from clothwright.cli.pattern.pieces import length_told, pieces_answer, show_pieces
from clothwright.library.files import read_project_file
from clothwright.pattern import Drawing, pieces_svg
from clothwright.pattern.drafting import (
    Asks,
    Drafted,
    Finished,
    garments,
    key_of,
    measures,
    pieces_of,
    proportions,
    size_tables,
)
from clothwright.project import Problem, ProblemsFound, read_project
from clothwright.project.parts.pattern_parts import PatternPart
from clothwright.project.pattern.drafting import drafted_sizes

#: Which of the command's words stands in which table of a project file.
_FIELDS = {"measure": "body", "ease": "ease", "option": "options"}


def garments_answer() -> dict[str, Any]:
    """Every garment with what it asks, every measure with how it is taken, every table of sizes, as JSON has them."""
    return {
        "garments": [_garment(asks) for asks in garments().values()],
        "measures": [
            {"name": one.name, "write": key_of(one.name), "means": one.means, "least_cm": one.least_cm}
            | {"most_cm": one.most_cm, "by_proportion": _rule(one.name), "source": one.source}
            for one in measures().values()
        ],
        "tables": [
            {
                "name": one.name,
                "title": one.title,
                "sizes": list(one.sizes),
                "gives": [name for name, _ in one.measures],
            }
            | {"source": one.source}
            for one in size_tables().values()
        ],
    }


def _rule(name: str) -> str | None:
    rule = proportions().get(name)
    return f"{rule.rule}; {rule.source}" if rule is not None else None


def _garment(asks: Asks) -> dict[str, Any]:
    return {
        "name": asks.name,
        "title": asks.title,
        "says": asks.says,
        "needs": list(asks.needs),
        "needs_when": [
            {"option": option, "among": list(among), "measures": list(names)}
            for option, among, names in asks.needs_when
        ],
        "ease": [{"girth": one.girth, "taken": one.default, "source": one.source} for one in asks.eases],
        "options": [
            {"name": one.name, "accepted": list(one.choices) or one.kind, "taken": one.default or None}
            | {"needed": one.needed, "says": one.says, "source": one.source}
            for one in asks.options
        ],
    }


def show_garments(answer: dict[str, Any]) -> None:
    """The garments, and how each measure is taken."""
    for one in answer["garments"]:
        needs = ", ".join(one["needs"]) or "no body measures"
        click.echo(f"{one['name']}: {one['says']}\n  Needs {needs}.")
        for more in one["needs_when"]:
            click.echo(f"  With {more['option']} {' or '.join(more['among'])} also {', '.join(more['measures'])}.")
        for option in one["options"]:
            accepted = option["accepted"] if isinstance(option["accepted"], str) else ", ".join(option["accepted"])
            taken = f", else {option['taken']}" if option["taken"] else ", needed" if option["needed"] else ""
            click.echo(f"    {option['name']} ({accepted}{taken}): {option['says']}")
        click.echo()
    click.echo("Measures, with the tape level and not pulled tight:")
    for one in answer["measures"]:
        click.echo(f"  {one['write']}: {one['means']}{' (or “by proportion”)' if one['by_proportion'] else ''}")
    click.echo("\nTables of sizes:")
    for one in answer["tables"]:
        click.echo(f"  {one['name']}: sizes {', '.join(one['sizes'])}; gives {', '.join(one['gives'])} only")


def typed_pattern(
    garment: str,
    *,
    table: str | None,
    sizes: Iterable[str],
    allowance: str | None,
    said: dict[str, tuple[str, ...]],
) -> PatternPart:
    """The pattern that the command's options say; ProblemsFound with what is wrong in them."""
    draft: dict[str, Any] = {"garment": garment}
    draft |= {"table": table} if table else {}
    draft |= {"sizes": list(sizes)} if sizes else {}
    draft |= {_FIELDS[word]: pairs(word, texts) for word, texts in said.items() if texts}
    pattern = {"from_measures": draft} | ({"seam_allowance": allowance} if allowance else {})
    found = read_project({"pattern": pattern}).pattern
    assert found is not None
    return found


def pairs(word: str, texts: tuple[str, ...]) -> dict[str, str]:
    """What was said as name = value, by its name; ProblemsFound with what was not said so."""
    found = {}
    for text in texts:
        name, equals, value = text.partition("=")
        if not (equals and name.strip() and value.strip()):
            raise ProblemsFound(
                Problem((), f'--{word} "{text}": write a name, = and what it is, as "bust girth = 92 cm"')
            )
        if name.strip() in found:
            raise ProblemsFound(Problem((), f"--{word}: {name.strip()} came twice; keep one"))
        found[name.strip()] = value.strip()
    return found


def pattern_of_file(file: Path) -> tuple[PatternPart, bool]:
    """The pattern of a project file that is made from measures, and whether it is in inches; ProblemsFound where it is not made so."""
    tree, _ = read_project_file(file)
    project = read_project(tree)
    pattern = project.pattern
    if pattern is None or pattern.from_measures is None:
        raise ProblemsFound(
            Problem(
                ("pattern", "from_measures"),
                "the project makes no garment from measures; write a [pattern.from_measures]",
            )
        )
    return pattern, project.units == "imperial"


def drafted_answer(pattern: PatternPart) -> tuple[tuple[Drafted, ...], dict[str, Any]]:
    """The garment in every size and version, and the answer as JSON has it."""
    drafted = drafted_sizes(pattern)
    notes = tuple(dict.fromkeys(note for one in drafted for note in one.notes))
    answer = pieces_answer(Drawing(pieces_of(drafted), notes))
    answer["finished"] = [
        {"size": one.size, "version": one.version, "measures": [_finished(row) for row in one.finished]}
        for one in drafted
    ]
    answer["taken"] = list(dict.fromkeys(taken for one in drafted for taken in one.taken))
    return drafted, answer


def _finished(row: Finished) -> dict[str, Any]:
    return {
        "name": row.name,
        "body_cm": row.body_cm,
        "ease_cm": row.ease_cm,
        "ease_asked_cm": row.asked_cm,
        "garment_cm": row.garment_cm,
    }


def write_drawing(out: Path, drafted: tuple[Drafted, ...]) -> None:
    """Write the pieces as a drawing; ProblemsFound where it cannot be written."""
    try:
        out.write_bytes(pieces_svg(pieces_of(drafted)))
    except OSError as error:
        raise ProblemsFound(Problem((), f"{out} cannot be written: {error.strerror}")) from None


def show_drafted(answer: dict[str, Any], *, imperial: bool = False) -> None:
    """Pieces and checks, then body, ease and garment for each size, then what was taken."""
    from rich.console import Console
    from rich.table import Table

    show_pieces({**answer, "notes": []}, imperial=imperial)
    for one in answer["finished"]:
        belongs = ", ".join(filter(None, (one["size"], one["version"])))
        click.echo(f"\nFinished{f', {belongs}' if belongs else ''}")
        table = Table(box=None, pad_edge=False)
        for head in ("measure", "body", "ease", "garment"):
            table.add_column(head, no_wrap=head != "measure")
        for row in one["measures"]:
            lengths = (row[key] for key in ("body_cm", "ease_cm", "garment_cm"))
            told = ("" if cm is None else length_told(cm, imperial=imperial) for cm in lengths)
            table.add_row(row["name"], *told)
        Console(highlight=False, markup=False).print(table)
    for note in answer["notes"]:
        click.echo(note)
    if answer["taken"]:
        click.echo("\nNot said, and so taken:\n  " + "\n  ".join(answer["taken"]))
