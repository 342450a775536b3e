"""Commands that keep and carry: copies of the library, archives, the schema of the project file."""

from __future__ import annotations

import json
from pathlib import Path

import click

from clothwright.cli.failing import asked
from clothwright.cli.group import commands
from clothwright.cli.options import AS_JSON, answered_in_json


@commands.command("schema")
def schema_command() -> None:
    """Print the JSON Schema of the project file."""
    from clothwright.project import Project

    click.echo(json.dumps(Project.model_json_schema(), indent=2, ensure_ascii=False))


@commands.command("backup")
@click.option(
    "-o", "--out", type=click.Path(path_type=Path), help="A new file, or a folder; left out, kept by the library."
)
@AS_JSON
def backup_command(out: Path | None, as_json: bool) -> None:
    """Copy everything kept into one dated file, also while the pages are used."""
    from clothwright.cli.keeping import backed_up

    with asked():
        answer = backed_up(out)
    if not answered_in_json(answer, as_json):
        click.echo(f"Copied to {answer['file']}")


@commands.command("restore")
@click.argument("file", type=click.Path(path_type=Path))
@AS_JSON
def restore_command(file: Path, as_json: bool) -> None:
    """Put the copy in FILE back in place of what is kept now, which is copied first."""
    from clothwright.cli.keeping import restored

    with asked(file):
        answer = restored(file)
    if not answered_in_json(answer, as_json):
        kept = f"; what was kept before is in {answer['before']}" if answer["before"] else ""
        click.echo(f"Put back from {answer['file']}{kept}")


@commands.command("export")
@click.option(
    "-o", "--out", type=click.Path(path_type=Path, dir_okay=False), help="A new file; left out, named by the day."
)
@click.option("--sheets", is_flag=True, help="With every project's usual sheets as PDF, as far as it is settled.")
@AS_JSON
def export_command(out: Path | None, sheets: bool, as_json: bool) -> None:
    """Write everything kept into one open archive (zip): projects, history, yarn, looms, samples, drawings, photos."""
    from clothwright.cli.keeping import exported_to

    with asked():
        answer = exported_to(out, with_sheets=sheets)
    if not answered_in_json(answer, as_json):
        click.echo(f"Written: {answer['file']}")


@commands.command("import")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--member", metavar="EMAIL", default="", help="In a shared studio: the member whose it becomes.")
@AS_JSON
def import_command(file: Path, member: str, as_json: bool) -> None:
    """Bring in FILE (an archive, a bundle, or a project file): it adds, and takes the place of nothing."""
    from clothwright.cli.keeping import brought_in

    with asked(file):
        answer = brought_in(file, member)
    if not answered_in_json(answer, as_json):
        for name in answer["added"]:
            click.echo(f"Brought in: {name}")
        for name in answer["here_already"]:
            click.echo(f"Here already: {name}")
