"""The command that prints sheets."""

from __future__ import annotations

from pathlib import Path

import click

from clothwright.cli.failing import asked
from clothwright.cli.group import commands
from clothwright.cli.options import AS_JSON, DEFAULT_SECONDS, PAST, SEED, answered_in_json, seconds_of
from clothwright.sheets.registry import BY_KIND

PAPERS = ("A4", "A3", "letter")


@commands.command("sheets")
@click.argument("file", type=click.Path(path_type=Path), required=False)
@click.option("--only", multiple=True, type=click.Choice(list(BY_KIND)), help="Only these sheets.")
@click.option("--blank", is_flag=True, help="The sheets to fill in by hand; FILE can be left out.")
@click.option("-o", "--out", type=click.Path(path_type=Path, file_okay=False), default=Path("out"), show_default=True)
@click.option("--large-print", is_flag=True, help="Larger type.")
@PAST
@click.option(
    "--paper",
    type=click.Choice(PAPERS),
    help="For the pieces at true size; left out, A4, or letter in an imperial project.",
)
@click.option("--show-before", is_flag=True, help="On the pieces, dotted, how they lay before the changes.")
@seconds_of(DEFAULT_SECONDS)
@SEED
@AS_JSON
def sheets_command(
    file: Path | None,
    only: tuple[str, ...],
    blank: bool,
    out: Path,
    large_print: bool,
    past: tuple[Path, ...],
    paper: str | None,
    show_before: bool,
    seconds: float,
    seed: int | None,
    as_json: bool,
) -> None:
    """Print the sheets of the project in FILE as PDF, or with --blank the sheets to fill in by hand."""
    from clothwright.cli.papers import Asked, print_blank_sheets, print_sheets_of

    with asked(file):
        if blank:
            written = print_blank_sheets(out, only=only, large_print=large_print)
        else:
            how = Asked(seconds, seed, past, paper, show_before)
            written = print_sheets_of(file, out, only=only, large_print=large_print, asked=how)
    if not answered_in_json({"sheets": [str(path) for path in written]}, as_json):
        click.echo("\n".join(map(str, written)))
