"""Commands about what came of it: records, one record beside its plan, using one again, how true forecasts were."""

from __future__ import annotations

from pathlib import Path

import click

from clothwright.cli.failing import asked
from clothwright.cli.group import commands
from clothwright.cli.options import AS_JSON, DEFAULT_SECONDS, PAST, PROJECT_FILE, SEED, answered_in_json, seconds_of


@commands.command("records")
@click.argument("files", metavar="[FILE...]", nargs=-1, type=click.Path(path_type=Path))
@click.option(
    "-o", "--out", type=click.Path(path_type=Path, dir_okay=False), help="The table to write; left out, shown."
)
@click.option("--samples", "with_samples", is_flag=True, help="Samples too, before the cloth they were for.")
@click.option("--find", "words", help="Find records by any words, instead of a table.")
@click.option("--yarn", help="Find by yarn.")
@click.option("--fibre", help="Find by fibre (fiber).")
@click.option("--sett", help="Find by sett, as 3/cm.")
@click.option("--structure", help="Find by structure.")
@click.option("--width", help='Find by finished width, as "40 to 44 cm".')
@click.option("--garment", help="Find by garment or piece.")
@click.option("--liked", help="Find by verdict: yes, partly or no.")
@click.option("--labels", type=click.Path(path_type=Path, dir_okay=False), help="Write labels of those found (PDF).")
@click.option("--copies", type=click.IntRange(1, 20), default=1, show_default=True, help="Labels of each.")
@click.option("--large-print", is_flag=True, help="Labels in large print.")
@AS_JSON
def records_command(
    files: tuple[Path, ...],
    out: Path | None,
    with_samples: bool,
    labels: Path | None,
    copies: int,
    large_print: bool,
    as_json: bool,
    **asked_for: str | None,
) -> None:
    """Find records in the library, or in FILEs; or write the finished cloths of FILEs as a table (CSV) that trueness replays."""
    typed = {name: text for name, text in asked_for.items() if text is not None}
    if files and not typed and labels is None:
        _records_table(files, out, with_samples=with_samples, as_json=as_json)
        return
    from clothwright.cli.record.record_found import found_records, print_labels, records_data, show_records

    if out is not None or with_samples:
        raise click.UsageError("-o and --samples go with the table of FILEs, not with finding records")
    with asked():
        found = found_records(files, typed)
        printed = print_labels(found, labels, copies=copies, large_print=large_print) if labels else 0
    written = {"labels": str(labels), "labelled": printed} if labels else {}
    if not answered_in_json({"records": records_data(found), **written}, as_json):
        show_records(found)
        if labels:
            click.echo(f"Written: {labels}, labels of {printed} of {len(found)}")


def _records_table(files: tuple[Path, ...], out: Path | None, *, with_samples: bool, as_json: bool) -> None:
    """The finished cloths of files as a table."""
    from clothwright.cli.past import records_answer, write_table

    with asked():
        table, rows = records_answer(files, with_samples=with_samples)
        if out is not None:
            write_table(out, table)
    if not answered_in_json({"records": rows, "written": str(out) if out else None}, as_json):
        click.echo(f"Written: {out}, {len(rows)} rows" if out else table.rstrip("\n"))


@commands.command("record")
@PROJECT_FILE
@PAST
@seconds_of(0.0)
@SEED
@AS_JSON
def record_command(file: Path, past: tuple[Path, ...], seconds: float, seed: int | None, as_json: bool) -> None:
    """Tell the record of FILE: the plan beside what came, what was forecast, what it taught, what is still to complete."""
    from clothwright.cli.record.recorded import record_told, show_record

    with asked(file):
        told = record_told(file, past=past, seconds=seconds, seed=seed)
    if not answered_in_json(told.as_json(), as_json):
        show_record(told)


@commands.command("again")
@PROJECT_FILE
@click.option("--name", default="", help="What the new project is called.")
@click.option("--width", default="", help="Finished width wanted now, as 44 cm; left out, as last time.")
@click.option("--length", default="", help="Finished length wanted now, as 340 cm; left out, as last time.")
@click.option("--size", default="", help="Another size of its pattern.")
@click.option("--version", "version_of", default="", help="Another version of its pattern.")
@click.option(
    "--yarn",
    "stock",
    type=click.Choice(("as last time", "what was left", "not yet")),
    default="as last time",
    show_default=True,
    help="The yarn there is for it.",
)
@click.option("-o", "--out", type=click.Path(path_type=Path, dir_okay=False), help="Write the new project to a file.")
@PAST
@seconds_of(DEFAULT_SECONDS)
@SEED
@AS_JSON
def again_command(
    file: Path,
    name: str,
    width: str,
    length: str,
    size: str,
    version_of: str,
    stock: str,
    out: Path | None,
    past: tuple[Path, ...],
    seconds: float,
    seed: int | None,
    as_json: bool,
) -> None:
    """Make the garment of FILE again: a new project planned from the ratios of its record, beside last time and proportion."""
    from clothwright.cli.record.again import made_again, show_again, write_project
    from clothwright.project.record.used_again import Again

    again = Again(name, width, length, size, version_of, stock)
    with asked(file):
        made = made_again(file, again, past=past, seconds=seconds, seed=seed)
    with asked(out):
        if out is not None:
            write_project(out, made)
    if not answered_in_json(made.as_json() | ({"written": str(out)} if out else {}), as_json):
        show_again(made)
        if out is not None:
            click.echo(f"Written: {out}")


@commands.command("trueness")
@click.argument("file", metavar="RECORDS.csv", type=click.Path(path_type=Path))
@click.option(
    "--picture", type=click.Path(path_type=Path, dir_okay=False), help="Draw how often forecasts held, as SVG."
)
@AS_JSON
def trueness_command(file: Path, picture: Path | None, as_json: bool) -> None:
    """Say how right forecasts would have been on the finished cloths of a table."""
    from clothwright.cli.record.true import draw_trueness, show_trueness, trueness_answer

    with asked(file):
        answer, told = trueness_answer(file)
    with asked(picture):
        if picture is not None:
            draw_trueness(picture, told)
    if not answered_in_json(answer, as_json):
        show_trueness(answer)
