"""The pieces of a project, or of a drawing, with what looks wrong in them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from clothwright.library.files import LARGEST_DRAWING, read_project_file
from clothwright.measure import CM_PER_INCH, Length
from clothwright.pattern import (
    Check,
    Drawing,
    DrawingRefused,
    DrawingScale,
    Fault,
    Piece,
    check_every_size,
    look_at_drawing,
)
from clothwright.project import Problem, ProblemsFound, read_project
from clothwright.project.garment import every_piece, faults

DRAWINGS = (".svg", ".dxf", ".pdf")


def pieces_of(file: Path, *, allowance: str | None, scale: str | None) -> Drawing:
    """The pieces of a project file, or of a drawing by itself, notes, and faults; ProblemsFound with every problem.

    `allowance` and `scale` are for a drawing by itself: a project file has its own.
    """
    if file.suffix.lower() not in DRAWINGS:
        if allowance or scale:
            raise ProblemsFound(
                Problem((), "--allowance and --scale go with a drawing; a project file says them itself")
            )
        tree, drawings = read_project_file(file)
        project = read_project(tree)
        return Drawing(*every_piece(project, drawings, looking=True), faults(project, drawings))
    try:
        with file.open("rb") as opened:
            data = opened.read(LARGEST_DRAWING + 1)
        return look_at_drawing(
            data,
            seam_allowance_cm=Length.read(allowance).cm if allowance else 0.0,
            scale=DrawingScale(Length.read(scale).cm) if scale else None,
            name=file.stem,
        )
    except OSError as error:
        raise ProblemsFound(Problem((), f"the drawing cannot be read: {error.strerror}")) from None
    except DrawingRefused as refusal:
        raise ProblemsFound(*(Problem((), sentence) for sentence in refusal.problems)) from None


def pieces_answer(found: Drawing) -> dict[str, Any]:
    """Pieces, checks for each size and version, and notes, as JSON has them; a check that keeps all from being laid out says so."""
    checks = [_check(fault.check) | {"refuses": True} | _mends(fault) for fault in found.faults]
    return {
        "pieces": [_piece(piece) for piece in found.pieces],
        "checks": [*checks, *(_check(check) | {"refuses": False} for check in check_every_size(found.pieces))],
        "notes": list(found.notes),
    }


def _check(check: Check) -> dict[str, Any]:
    return {"kind": str(check.kind), "pieces": list(check.pieces), "says": check.sentence, "mend": check.mend}


def _mends(fault: Fault) -> dict[str, Any]:
    """What to write in the project file, where there is one certain mend."""
    if fault.scale_cm is not None:
        return {"write": f'[pattern] scale = "{fault.scale_cm * 10:.6g} mm"'}
    return {"write": f'[[pattern.mark]] piece = "{fault.piece}", close = true'} if fault.may_close else {}


def _piece(piece: Piece) -> dict[str, Any]:
    return {
        "name": piece.name,
        "size": piece.size,
        "version": piece.version,
        "length_cm": piece.length_cm,
        "width_cm": piece.width_cm,
        "area_cm2": piece.area_cm2,
        "around_cm": piece.around_cm,
        "cut": piece.cut,
        "pair": piece.pair,
        "one_way": piece.one_way,
        "on_fold": piece.fold is not None,
        "grain_stated": piece.grain_stated,
        "material": piece.material,
        "drawn_by": "stitching line" if piece.stitching is not None and piece.allowance_cm else "cut line",
        "allowance_cm": piece.allowance_cm,
        "edges": [
            {
                "seam": edge.seam,
                "length_cm": edge.length_cm,
                "ease_cm": edge.ease_cm,
                "allowance_cm": edge.allowance_cm,
                "hem": edge.hem,
                "selvedge": edge.selvedge,
            }
            for edge in piece.edges
        ],
        "marks": [{"kind": str(mark.kind), "name": mark.name} for mark in piece.marks],
    }


def show_pieces(answer: dict[str, Any]) -> None:
    """Pieces as a table, what looks wrong with how to mend it, and notes."""
    from rich.console import Console
    from rich.table import Table

    table = Table(box=None, pad_edge=False)
    for head in ("piece", "size", "along the grain", "across", "cut", "from"):
        table.add_column(head, no_wrap=head != "piece")
    for one in answer["pieces"]:
        belongs = ", ".join(filter(None, (one["size"], one["version"]))) or "all"
        cut = f"{one['cut']}{', pair' if one['pair'] else ''}{', one way' if one['one_way'] else ''}"
        table.add_row(one["name"], belongs, _length(one["length_cm"]), _length(one["width_cm"]), cut, one["material"])
    Console(highlight=False, markup=False).print(table)
    for check in answer["checks"]:
        click.echo(f"\n{check['kind']}: {check['says']}\n  {check['mend']}")
        if check["refuses"]:
            click.echo("  Until it is mended nothing can be laid out.")
        if "write" in check:
            click.echo(f"  In the project file: {check['write']}")
    if not answer["checks"]:
        click.echo("\nNothing looks wrong.")
    if answer["notes"]:
        click.echo("\n" + "\n".join(answer["notes"]))


def _length(cm: float) -> str:
    return f"{cm:.1f} cm ({cm / CM_PER_INCH:.1f} in)"
