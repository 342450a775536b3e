"""Commands about a pattern: its pieces, drawn, made from measures, traced, joined, cut from cloth in hand."""

from __future__ import annotations

from pathlib import Path

import click

from clothwright.cli.failing import asked
from clothwright.cli.group import commands
from clothwright.cli.options import AS_JSON, PAST, PROJECT_FILE, answered_in_json

TRACED_BY = ("markers", "A4", "A3", "letter")


@commands.command("pieces")
@PROJECT_FILE
@click.option("--allowance", help="Seam allowance for a drawing by itself, as 15 mm.")
@click.option("--scale", help="What one unit of a drawing by itself is, where it does not say, as 1 mm.")
@click.option("--before", type=int, help="Show the pattern as it was before that change, counted from 1.")
@AS_JSON
def pieces_command(file: Path, allowance: str | None, scale: str | None, before: int | None, as_json: bool) -> None:
    """List the pieces of FILE (a project, or a drawing: SVG, DXF, PDF), its changes, and what looks wrong in them."""
    from clothwright.cli.pattern.pieces import pieces_told, show_pieces

    with asked(file):
        answer = pieces_told(file, allowance=allowance, scale=scale, before=before)
    if not answered_in_json(answer, as_json):
        show_pieces(answer, imperial=answer.get("units") == "imperial")


@commands.command("joins")
@PROJECT_FILE
@click.option("--width", help="The finished width of the cloth, as 44 cm; left out, the widest the loom finishes.")
@click.option("--other-width", help="The width of other cloth for facings and the like, as 112 cm; left out, 90 cm.")
@PAST
@AS_JSON
def joins_command(
    file: Path, width: str | None, other_width: str | None, past: tuple[Path, ...], as_json: bool
) -> None:
    """Propose how pieces of FILE wider than the cloth can be joined, and what may come from other cloth, with its yarn."""
    from clothwright.cli.pieces.joins import joins_answer, show_joins

    with asked(file):
        answer = joins_answer(file, width=width, other_width=other_width, past=past)
    if not answered_in_json(answer.as_json(), as_json):
        show_joins(answer)


@commands.command("cut-from")
@PROJECT_FILE
@click.option(
    "--cloth",
    "cloths",
    multiple=True,
    help='Finished cloth in hand, width x length, with its flaws: "48 cm x 200 cm; knot at 84 cm"; again for each. '
    "Left out: what the project keeps.",
)
@AS_JSON
def cut_from_command(file: Path, cloths: tuple[str, ...], as_json: bool) -> None:
    """Say what of FILE can be cut from finished cloth that is there, whole or in remnants, and the ways out."""
    from clothwright.cli.pieces.in_hand import cut_from_answer, show_cut_from

    with asked(file):
        answer, imperial = cut_from_answer(file, cloths)
    if not answered_in_json(answer.as_json(), as_json):
        show_cut_from(answer, imperial=imperial)


@commands.command("draw")
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path))
@click.option(
    "-o", "--out", type=click.Path(path_type=Path, dir_okay=False), help="What to write: .svg a drawing, .toml a table."
)
@click.option("--inches", is_flag=True, help="A table in inches.")
@AS_JSON
def draw_command(file: Path, out: Path | None, inches: bool, as_json: bool) -> None:
    """Draw the pieces of FILE, a table of corners and sides (TOML), or open a drawing (SVG) as such a table."""
    from clothwright.cli.pattern.drawing import drawn, drawn_answer, show_drawn, write_drawn

    with asked(file):
        pieces, left = drawn(file)
        if out is not None:
            write_drawn(pieces, out, inches=inches)
    answer = drawn_answer(pieces, left, out)
    if not answered_in_json(answer, as_json):
        show_drawn(answer)


@commands.command("measures")
@click.argument("what", metavar="[FILE|GARMENT]", required=False)
@click.option("--measure", multiple=True, help='A body measure, as "bust girth = 92 cm"; again for each.')
@click.option(
    "--ease", multiple=True, help='How much larger a girth is to be, as "bust girth = 10 cm"; again for each.'
)
@click.option("--option", multiple=True, help='A choice of the garment, as "neck = v"; again for each.')
@click.option("--table", help="A published table of sizes, by its name; measures it lacks are asked for.")
@click.option("--size", "sizes", multiple=True, help="A size of the table; again for each. Left out, all.")
@click.option("--allowance", help="Seam allowance, as 15 mm.")
@click.option("-o", "--out", type=click.Path(path_type=Path, dir_okay=False), help="Also write a drawing (SVG).")
@AS_JSON
def measures_command(
    what: str | None,
    table: str | None,
    sizes: tuple[str, ...],
    allowance: str | None,
    out: Path | None,
    as_json: bool,
    **said: tuple[str, ...],
) -> None:
    """Make a garment from body measures, of a project FILE or as typed; without either, list what can be made."""
    from clothwright.cli.pattern import drafting

    if what is None:
        answer = drafting.garments_answer()
        if not answered_in_json(answer, as_json):
            drafting.show_garments(answer)
        return
    file = Path(what) if what.endswith(".toml") else None
    with asked(file):
        if file is not None:
            pattern, imperial = drafting.pattern_of_file(file)
        else:
            pattern, imperial = (
                drafting.typed_pattern(what, table=table, sizes=sizes, allowance=allowance, said=said),
                False,
            )
        drafted, answer = drafting.drafted_answer(pattern)
        if out is not None:
            drafting.write_drawing(out, drafted)
    if not answered_in_json(answer | {"written": str(out) if out else None}, as_json):
        drafting.show_drafted(answer, imperial=imperial)


@commands.command("trace")
@click.argument("photo", metavar="PHOTO", type=click.Path(path_type=Path))
@click.option(
    "--sheet",
    type=click.Choice(TRACED_BY),
    default="markers",
    show_default=True,
    help="What lies beside the piece: printed marker strips, or a white sheet of that size.",
)
@click.option(
    "-o", "--out", type=click.Path(path_type=Path, dir_okay=False), default=Path("piece.svg"), show_default=True
)
@click.option("--name", default="piece", show_default=True, help="What the piece is called.")
@click.option(
    "--flat", type=click.Path(path_type=Path, dir_okay=False), help="Also write the corrected photograph (JPEG)."
)
@click.option(
    "--as-remnant", is_flag=True, help="Print it as lines for the record of a project file: a remnant left over."
)
@AS_JSON
def trace_command(
    photo: Path, sheet: str, out: Path, name: str, flat: Path | None, as_remnant: bool, as_json: bool
) -> None:
    """Trace the paper piece, or the remnant of cloth, in PHOTO (JPEG or PNG) into a drawing at true size."""
    from clothwright.cli.pattern.tracing import remnant_lines, show_traced, traced, traced_answer, write_traced

    with asked(photo):
        tracing = traced(photo, sheet=sheet)
    if as_remnant:
        click.echo(remnant_lines(tracing, name), nl=False)
        return
    answer = traced_answer(tracing, write_traced(tracing, out, name=name, flat=flat))
    if not answered_in_json(answer, as_json):
        show_traced(answer)
