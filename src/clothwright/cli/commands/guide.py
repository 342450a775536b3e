"""Commands that look something up: the guide chapter by chapter, and whatever holds some words."""

from __future__ import annotations

from pathlib import Path

import click

from clothwright.cli.failing import asked
from clothwright.cli.group import commands
from clothwright.cli.options import AS_JSON, answered_in_json


@commands.command("find")
@click.argument("words", nargs=-1, required=True)
@click.option("--member", metavar="EMAIL", default="", help="In a shared studio: the member who looks.")
@AS_JSON
def find_command(words: tuple[str, ...], member: str, as_json: bool) -> None:
    """Find whatever holds all WORDS: projects, records, what is on hand, the guide, words of the trade."""
    from clothwright.cli.found import found_by, show_found

    with asked():
        answer = found_by(words, member)
    if not answered_in_json(answer, as_json):
        show_found(answer)


@commands.command("guide")
@click.argument("chapter", required=False)
@click.option(
    "-o", "--out", type=click.Path(path_type=Path, file_okay=False), help="Write it as a site of plain files here."
)
def guide_command(chapter: str | None, out: Path | None) -> None:
    """List the chapters of the guide, show one, or write all of them as a site."""
    from clothwright.cli.found import chapter_text, show_chapter, show_contents, write_guide

    with asked(out):
        written = write_guide(out) if out else 0
        text = chapter_text(chapter) if chapter else ""
    if text:
        show_chapter(text)
    elif not written:
        show_contents()
    if written:
        click.echo(f"Written: {out}, {written} files; begin with {(out or Path()) / 'index.html'}")
