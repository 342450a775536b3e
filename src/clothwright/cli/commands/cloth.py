"""Commands about how the cloth is coloured, threaded and how it will look."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from clothwright.cli.failing import asked
from clothwright.cli.group import commands
from clothwright.cli.options import AS_JSON, DEFAULT_SECONDS, PAST, PROJECT_FILE, answered_in_json, seconds_of

SIGHTS = ("all cones", "protan", "deutan", "tritan")
CLOTH_STATES = ("finished", "on the loom")


@commands.command("colours")
@PROJECT_FILE
@click.option("--redraw", is_flag=True, help="Draw the order anew, all but its held ends.")
@click.option("--as-toml", is_flag=True, help="Print the order as lines to keep in the project file.")
@seconds_of(0.0)
@click.option("--seed", type=click.IntRange(min=0), default=None, help="Seed of the order; left out, the project's.")
@AS_JSON
def colours_command(file: Path, redraw: bool, as_toml: bool, seconds: float, seed: int | None, as_json: bool) -> None:
    """Order the colours of FILE's warp: what each ball gives, an order under the rules, and what is left."""
    from clothwright.cli.colours.coloured import coloured, order_lines, show_colours

    with asked(file):
        project, answer = coloured(file, seed=seed, redraw=redraw, seconds=seconds)
    if as_toml:
        click.echo(order_lines(answer))
    elif not answered_in_json(answer.as_json(), as_json):
        show_colours(answer, imperial=project.units == "imperial")


@commands.command("picture")
@PROJECT_FILE
@click.option(
    "-o",
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    default=Path("cloth.png"),
    show_default=True,
    help="What to write, a PNG.",
)
@click.option("--dots-per-cm", type=click.FloatRange(min=0.1, max=1000), help="Scale; left out, to suit what is drawn.")
@click.option(
    "--seen-by",
    type=click.Choice(SIGHTS),
    default=SIGHTS[0],
    show_default=True,
    help="In whose eyes: without red (protan), green (deutan) or blue cones (tritan).",
)
@click.option(
    "--state",
    type=click.Choice(CLOTH_STATES),
    default=CLOTH_STATES[0],
    show_default=True,
    help="Finished, or as it stands on the loom.",
)
@click.option("--part", default="", help="A part from the first selvedge and pick on, as 10 cm x 8 cm, at true size.")
@click.option(
    "--begins", default="", help="Where the part begins, from the first selvedge and the first pick: 12 cm x 0 cm."
)
@click.option("--piece", default="", help="One piece of the layout, cut from the cloth, as front or front 2.")
@click.option("--structure", help="Another structure, tried.")
@click.option("--ends", help="Another sett, tried, as 4/cm.")
@click.option("--picks", help="Another beat, tried, as 4/cm.")
@click.option("--thickness", help="Yarn so wide beside how it wraps, tried, as 120 %.")
@click.option("--colour", "colours", multiple=True, help='Another colour of a yarn, tried: "marram = #7f8f4e".')
@PAST
@seconds_of(0.0)
@AS_JSON
def picture_command(file: Path, out: Path, past: tuple[Path, ...], seconds: float, as_json: bool, **how: Any) -> None:
    """Draw the cloth of FILE as it will look: threads over and under, true colours and size, whole or cut into pieces."""
    from clothwright.cli.cloth.pictured import PictureAsked, pictured, show_picture, write_picture

    with asked(file):
        drawn = pictured(file, PictureAsked(**how), seconds=seconds, past=past)
    with asked(out):
        write_picture(drawn, out)
    if not answered_in_json(drawn.as_json(out), as_json):
        show_picture(drawn, out)


@commands.command("threading")
@PROJECT_FILE
@click.option(
    "--to-file", type=click.Path(path_type=Path, dir_okay=False), help="Write it as an interchange file (WIF)."
)
@PAST
@seconds_of(DEFAULT_SECONDS)
@AS_JSON
def threading_command(file: Path, to_file: Path | None, past: tuple[Path, ...], seconds: float, as_json: bool) -> None:
    """Say how FILE is threaded and sleyed: every end, its shaft or hole, its dent, and where the warp stands."""
    from clothwright.cli.cloth.threaded import show_threading, threaded, write_draft

    with asked(file):
        project, answer = threaded(file, seconds=seconds, past=past)
    with asked(to_file):
        not_carried = write_draft(answer, project, to_file) if to_file else ()
    if not answered_in_json(answer.as_json() | ({"not_carried": list(not_carried)} if to_file else {}), as_json):
        show_threading(answer, imperial=project.units == "imperial")
        click.echo("".join(f"\n{one}" for one in ((f"Written: {to_file}", *not_carried) if to_file else ())))


@commands.command("draft")
@click.argument("file", metavar="DRAFT.wif", type=click.Path(path_type=Path))
@click.option("--as-toml", is_flag=True, help="Print the draft as lines for a project file.")
@AS_JSON
def draft_command(file: Path, as_toml: bool, as_json: bool) -> None:
    """Read a draft from an interchange file (WIF), and say what of it a project cannot use."""
    from clothwright.cli.cloth.threaded import draft_in, draft_lines, show_draft

    with asked(file):
        read = draft_in(file)
    if as_toml:
        click.echo(draft_lines(read), nl=False)
        for sentence in read.told:
            click.echo(sentence, err=True)
        return
    told = {"ends": read.ends, "picks": read.picks, "shafts": read.shafts, "title": read.title, "told": list(read.told)}
    if not answered_in_json(told | {"draft": dict(read.fields)}, as_json):
        show_draft(read)
