"""Pieces drawn by hand as a table of corners and sides: from the table to a drawing, and from a drawing back to a table."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

import click

from clothwright.library.files import LARGEST_DRAWING
from clothwright.measure import CM_PER_INCH
from clothwright.pattern import (
    MOST_HAND_PIECES,
    DrawingRefused,
    HandPiece,
    HandRefused,
    hand_svg,
    hand_table,
    look_at_drawing,
    open_drawing,
    read_hand_piece,
)
from clothwright.project import Problem, ProblemsFound, read_toml

LARGEST_TABLE: Final = 2_000_000


def drawn(file: Path) -> tuple[tuple[HandPiece, ...], tuple[str, ...]]:
    """The pieces of a table (TOML) or of a drawing (SVG), and what of a drawing is not brought along; ProblemsFound."""
    content = _content(file)
    if file.suffix.lower() != ".svg":
        return pieces_of_table(_table(content)), ()
    try:
        opened = open_drawing(content, name=file.stem)
    except DrawingRefused as refusal:
        raise ProblemsFound(*(Problem((), sentence) for sentence in refusal.problems)) from None
    return opened.pieces, opened.left


def _content(file: Path) -> bytes:
    try:
        with file.open("rb") as opened:
            return opened.read(LARGEST_DRAWING + 1)
    except OSError as error:
        raise ProblemsFound(Problem((), f"the file cannot be read: {error.strerror}")) from None


def _table(content: bytes) -> dict[str, Any]:
    if len(content) > LARGEST_TABLE:
        raise ProblemsFound(
            Problem((), f"the table is larger than {LARGEST_TABLE // 1_000_000} MB, the most that is read")
        )
    try:
        return read_toml(content.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise ProblemsFound(Problem((), "the table is not text in UTF-8; save it as plain text")) from None


def pieces_of_table(tree: Mapping[str, Any]) -> tuple[HandPiece, ...]:
    """The pieces of a table: `[[piece]]`, each with its corners; ProblemsFound with every problem."""
    rows = tree.get("piece")
    if not isinstance(rows, list) or not rows or not all(isinstance(row, dict) for row in rows) or len(tree) > 1:
        raise ProblemsFound(Problem((), "a table of pieces is needed, each headed [[piece]], and nothing else"))
    if len(rows) > MOST_HAND_PIECES:
        raise ProblemsFound(
            Problem(("piece",), f"{len(rows)} pieces came; at most {MOST_HAND_PIECES} are drawn together")
        )
    pieces: list[HandPiece] = []
    wrong: list[Problem] = []
    for number, row in enumerate(rows):
        try:
            pieces.append(read_hand_piece(row))
        except HandRefused as refusal:
            wrong += [Problem(("piece", number, *path), sentence) for path, sentence in refusal.problems]
    if wrong:
        raise ProblemsFound(*wrong[:50])
    return tuple(pieces)


def write_drawn(pieces: tuple[HandPiece, ...], out: Path, *, inches: bool) -> None:
    """Write the pieces: as a table where the name ends in .toml, else as a drawing that has been read back."""
    out.parent.mkdir(parents=True, exist_ok=True)
    if out.suffix.lower() == ".toml":
        out.write_text(as_table(pieces, inches=inches), encoding="utf-8")
        return
    content = hand_svg(pieces)
    try:
        look_at_drawing(content)
    except DrawingRefused as refusal:
        raise ProblemsFound(*(Problem((), sentence) for sentence in refusal.problems)) from None
    out.write_bytes(content)


def as_table(pieces: tuple[HandPiece, ...], *, inches: bool) -> str:
    """The pieces as TOML, a corner a line."""
    import tomlkit

    tables = tomlkit.aot()
    for piece in pieces:
        given = hand_table(piece, unit="in" if inches else "cm")
        table = tomlkit.table()
        for key in (key for key in given if key != "corner"):
            table[key] = _value(key, given[key])
        corners = tomlkit.array().multiline(True)
        for row in given["corner"]:
            one = tomlkit.inline_table()
            one.update(row)
            corners.append(one)
        table["corner"] = corners
        tables.append(table)
    document = tomlkit.document()
    document["piece"] = tables
    return tomlkit.dumps(document)


def _value(key: str, text: str) -> str | int | bool:
    return int(text) if key == "cut" else True if key in ("pair", "one_way") else text


def drawn_answer(pieces: tuple[HandPiece, ...], left: tuple[str, ...], out: Path | None) -> dict[str, Any]:
    """The pieces with the length of each side, as JSON has them."""
    return {
        "pieces": [_piece(piece) for piece in pieces],
        "left": list(left),
        "written": str(out) if out else None,
    }


def _piece(piece: HandPiece) -> dict[str, Any]:
    sides = [
        {"corner": number + 1, "length_cm": cm, "curved": side.handles is not None, "is": str(side.words)}
        for number, (side, cm) in enumerate(zip(piece.sides, piece.lengths_cm, strict=True))
    ]
    return {
        "name": piece.name,
        "around_cm": sum(piece.lengths_cm),
        "sides": sides,
        "crosses_itself_at_cm": piece.crosses_at,
    }


def show_drawn(answer: dict[str, Any]) -> None:
    """Each piece with its sides, and what was written."""
    for piece in answer["pieces"]:
        click.echo(f"{piece['name']}: {_cm(piece['around_cm'])} once round the line as drawn")
        for side in piece["sides"]:
            shape, said = ("curved" if side["curved"] else "straight"), f"; {side['is']}" if side["is"] else ""
            click.echo(f"  from corner {side['corner']}: {_cm(side['length_cm'])}, {shape}{said}")
        if piece["crosses_itself_at_cm"]:
            x, y = piece["crosses_itself_at_cm"]
            click.echo(f"  The line crosses itself near {x:.1f} cm across, {y:.1f} cm down; move a corner.")
    click.echo("\n".join([*answer["left"], *([f"Written: {answer['written']}"] if answer["written"] else [])]))


def _cm(cm: float) -> str:
    return f"{cm:.1f} cm ({cm / CM_PER_INCH:.1f} in)"
