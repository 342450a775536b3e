"""Commands for others: a leaflet, a class, the words of the trade."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from clothwright.cli.failing import asked
from clothwright.cli.group import commands
from clothwright.cli.options import AS_JSON, DEFAULT_SECONDS, PROJECT_FILE, ROUNDS, SEED, answered_in_json, seconds_of


@commands.command("leaflet")
@PROJECT_FILE
@seconds_of(DEFAULT_SECONDS)
@ROUNDS
@SEED
@click.option(
    "--workers", type=click.IntRange(1, 64), default=2, show_default=True, help="Processes that work at once."
)
@click.option(
    "--publish", metavar="VERSION", help="Give it out as a version: its figures are frozen in a file beside FILE."
)
@click.option(
    "--buyers-page",
    metavar="PAGE.html",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write one page that works offline, where buyers type their own sample and see their own needs.",
)
@click.option("--changes", "only_changes", is_flag=True, help="Only say what changed since the last version given out.")
@AS_JSON
def leaflet_command(
    file: Path, publish: str | None, buyers_page: Path | None, only_changes: bool, as_json: bool, **how: Any
) -> None:
    """Say what the leaflet of FILE asks for: cloth, warp, weft and balls for every size, version, heddle and width."""
    from clothwright.cli.teaching import leaflet_versions
    from clothwright.cli.teaching.leaflets import LeafletEffort, leaflet_in, show_leaflet

    with asked(file):
        project, answer = leaflet_in(file, LeafletEffort(**how | {"rounds": how["rounds"] or 0}))
        if buyers_page:
            leaflet_versions.write_buyers_page(file, answer, buyers_page, imperial=project.units == "imperial")
        if publish or only_changes:
            _show_versions(file, answer, publish, project.units == "imperial", as_json)
            return
    if not answered_in_json(answer.as_json(), as_json):
        show_leaflet(answer, imperial=project.units == "imperial")


@commands.command("class")
@click.argument("file", metavar="CLASS.toml", type=click.Path(path_type=Path))
@click.option(
    "--piece", type=click.Path(path_type=Path), help="The project file everybody weaves, where CLASS.toml names none."
)
@click.option(
    "-o",
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    help="Write a sheet for each student and a summary here.",
)
@click.option(
    "--large-print", is_flag=True, help="The summary in larger type; each student's print stands in the file."
)
@AS_JSON
def class_command(file: Path, piece: Path | None, out: Path | None, large_print: bool, as_json: bool) -> None:
    """Say what each student of a class needs for one piece on her own loom, what to settle with whom, and the yarn to buy."""
    from clothwright.cli.teaching.classes import class_in, show_class, write_class

    _, answer = class_in(file, piece)
    written = write_class(answer, out, file.stem, large_print=large_print) if out else []
    if not answered_in_json(answer.as_json() | {"written": list(map(str, written))}, as_json):
        show_class(answer)
        click.echo("".join(f"\nWritten: {path}" for path in written))


@commands.command("words")
@click.argument("word", nargs=-1)
@click.option("--language", type=click.Choice(("en", "de")), default="en", show_default=True)
@click.option("-o", "--out", type=click.Path(path_type=Path, dir_okay=False), help="Print all words on paper (PDF).")
@click.option("--large-print", is_flag=True, help="Larger type on paper.")
@AS_JSON
def words_command(word: tuple[str, ...], language: str, out: Path | None, large_print: bool, as_json: bool) -> None:
    """Explain a WORD of the trade, British and American, or list all that are kept."""
    from clothwright.cli.words import show_words, words_answer, write_words

    with asked(out):
        answer = words_answer(" ".join(word), language)
        if out is not None:
            write_words(out, language, large_print=large_print)
    if not answered_in_json(answer | {"written": str(out) if out else None}, as_json):
        show_words(answer)
        click.echo(f"Written: {out}" if out else "", nl=out is not None)


def _show_versions(file: Path, answer: Any, publish: str | None, imperial: bool, as_json: bool) -> None:
    """Give out a version where one is named, and say what changed since the one before it."""
    from clothwright.cli.teaching import leaflet_versions

    before = (leaflet_versions.published_beside(file) or (None,))[-1]
    written = leaflet_versions.publish_beside(file, answer, publish)[0] if publish else None
    found = leaflet_versions.changes_since(before, answer, imperial=imperial)
    data = leaflet_versions.as_data(before, found) | {"file": str(written) if written else None}
    if not answered_in_json(data, as_json):
        if written:
            click.echo(f"Given out as version {publish}: {written}")
        leaflet_versions.show_changes(before, found)
