"""Which pieces belong to a size and a version; a piece that names none belongs to all of them."""

from __future__ import annotations

from collections.abc import Iterable

from clothwright.pattern.piece import Piece, PieceError


def sizes(pieces: Iterable[Piece]) -> tuple[str, ...]:
    """The sizes that pieces name, in the order they come."""
    return tuple(dict.fromkeys(piece.size for piece in pieces if piece.size is not None))


def versions(pieces: Iterable[Piece]) -> tuple[str, ...]:
    """The versions that pieces name, in the order they come."""
    return tuple(dict.fromkeys(piece.version for piece in pieces if piece.version is not None))


def select(pieces: Iterable[Piece], *, size: str | None, version: str | None) -> tuple[Piece, ...]:
    """The pieces of one size and version; PieceError if the pieces have sizes or versions and none of them is asked."""
    pieces = tuple(pieces)
    _check("size", size, sizes(pieces))
    _check("version", version, versions(pieces))
    chosen = tuple(p for p in pieces if p.size in (None, size) and p.version in (None, version))
    if pieces and not chosen:
        raise PieceError(f"no piece belongs to size {size} and version {version} together")
    return chosen


def _check(what: str, asked: str | None, there: tuple[str, ...]) -> None:
    if there and asked not in there:
        came = f"{what} {asked} is not among them" if asked is not None else f"no {what} was asked for"
        raise PieceError(f"the pattern has the {what}s {', '.join(there)}; {came}: say which {what} to lay out")
