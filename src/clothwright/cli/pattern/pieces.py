"""The pieces of a project, or of a drawing, with what looks wrong in them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
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
    Step,
    check_every_size,
    look_at_drawing,
)
from clothwright.project import Problem, ProblemsFound, Project, read_project
from clothwright.project.parts.pattern_parts import ChangePart
from clothwright.project.pattern.changing import change_in_words, day_in_words, provisional_because
from clothwright.project.pattern.garment import changed_pattern, faults
from clothwright.project.pattern.joined import with_joins
from clothwright.project.pattern.pattern_state import pattern_state

DRAWINGS = (".svg", ".dxf", ".pdf")


def pieces_told(file: Path, *, allowance: str | None, scale: str | None, before: int | None) -> dict[str, Any]:
    """The pieces of a project file, or of a drawing by itself, checks, changes and notes; ProblemsFound with every problem.

    `allowance` and `scale` are for a drawing by itself: a project file has its own. `before`: the pattern as it was before
    that change, counted from 1.
    """
    if file.suffix.lower() in DRAWINGS and before is None:
        return pieces_answer(_drawn(file, allowance=allowance, scale=scale))
    if file.suffix.lower() in DRAWINGS:
        raise ProblemsFound(Problem((), "--before goes with a project file; a drawing by itself has no changes"))
    if allowance or scale:
        raise ProblemsFound(Problem((), "--allowance and --scale go with a drawing; a project file says them itself"))
    tree, drawings = read_project_file(file)
    project = read_project(tree)
    found = changed_pattern(project, drawings, before=before, looking=True)
    if found.problems:
        raise ProblemsFound(*found.problems)
    joined, more = with_joins(project, found.pieces)
    looked_at = Drawing(joined, (*found.notes, *more), faults(project, drawings))
    return {"units": project.units} | pieces_answer(looked_at) | _of_fit(project, drawings, found.steps, before)


def _of_fit(
    project: Project, drawings: Mapping[str, bytes], steps: tuple[Step, ...], before: int | None
) -> dict[str, Any]:
    """The mock-up, the state of the pattern, and every change with what it did."""
    assert project.pattern is not None  # the pieces came from it
    state, why = pattern_state(project, drawings), provisional_because(project)
    return {
        "provisional": bool(why),
        "provisional_because": why,
        "pattern_state": asdict(state) if state else None,
        "before_change": before,
        "changes": [
            _change(number, part, step, shown=before is None or number < before)
            for number, (part, step) in enumerate(zip(project.pattern.change, steps, strict=True), 1)
        ],
    }


def _change(number: int, part: ChangePart, step: Step, *, shown: bool) -> dict[str, Any]:
    return {
        "number": number,
        "says": change_in_words(part),
        "date": part.date,
        "why": part.why,
        "set_aside": part.set_aside,
        "made": step.made,
        "shown": shown,
        "pieces": list(step.changed),
        "seams": [asdict(one) for one in step.walked],
        "asks": [_check(check) for check in step.asks],
        "settled": [_check(check) for check in step.settled],
        "notes": list(step.notes),
    }


def _drawn(file: Path, *, allowance: str | None, scale: str | None) -> Drawing:
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


def show_pieces(answer: dict[str, Any], *, imperial: bool = False) -> None:
    """Pieces as a table, what looks wrong with how to mend it, and notes."""
    from rich.console import Console
    from rich.table import Table

    table = Table(box=None, pad_edge=False)
    for head in ("piece", "size", "along the grain", "across", "cut", "from"):
        table.add_column(head, overflow="fold", min_width=6)
    for one in answer["pieces"]:
        belongs = ", ".join(filter(None, (one["size"], one["version"]))) or "all"
        cut = f"{one['cut']}{', pair' if one['pair'] else ''}{', one way' if one['one_way'] else ''}"
        along, across = (length_told(one[key], imperial=imperial) for key in ("length_cm", "width_cm"))
        table.add_row(one["name"], belongs, along, across, cut, one["material"])
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
    if answer.get("pattern_state"):
        _show_fit(answer, imperial=imperial)


def _show_fit(answer: dict[str, Any], *, imperial: bool) -> None:
    """The mock-up, the state, and the changes with the seams they changed."""
    click.echo(
        "\n" + "\n".join(filter(None, (f"State {answer['pattern_state']['key']}.", answer["provisional_because"])))
    )
    if answer["before_change"] is not None:
        click.echo(f"Shown as it was before change {answer['before_change']}.")
    for one in answer["changes"]:
        day = f", {day_in_words(one['date'])}" if one["date"] else ""
        why = f" ({one['why']})" if one["why"] else ""
        click.echo(f"\nChange {one['number']}{day}: {one['says']}{why}")
        if one["set_aside"]:
            click.echo(f"  Set aside: {one['set_aside']}")
        elif not one["shown"]:
            click.echo("  Not made yet in what is shown.")
        for seam in one["seams"]:
            belongs = ", ".join(filter(None, (seam["size"], seam["version"])))
            where = f"{seam['piece']} ({belongs})" if belongs else seam["piece"]
            before, after = (length_told(seam[key], imperial=imperial) for key in ("before_cm", "after_cm"))
            click.echo(f"  {seam['seam']} on {where}: {before} → {after}")
        for said in (*one["notes"], *(f"{check['says']} {check['mend']}" for check in one["asks"])):
            click.echo(f"  {said}")
        for check in one["settled"]:
            click.echo(f"  Settled: {check['says']}")


def length_told(cm: float, *, imperial: bool) -> str:
    """A length in the unit the person chose, the other beside it."""
    metric, inches = f"{cm:.1f} cm", f"{cm / CM_PER_INCH:.1f} in"
    return f"{inches} ({metric})" if imperial else f"{metric} ({inches})"
