"""Writes pieces as a drawing (SVG) at true size, in the form that `read_drawing` reads back to the same pieces.

A piece whose cut line is its line of sewing with the allowances of its edges is drawn by its line of sewing; any other by its cut
line, with the line of sewing inside. Pieces stand with the grain up the page, side by side in rows, opened out at their folds.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from typing import Final
from xml.sax.saxutils import escape, quoteattr

from shapely.geometry import Polygon

from clothwright.pattern.outline import add_allowances
from clothwright.pattern.piece import MAIN_CLOTH, Edge, MarkKind, Piece, PieceMark, Point, Ring

_PAGE_CM: Final = 200.0
_GAP_CM: Final = 3.0
#: Cut lines that differ by less of their area are the same line.
_SAME: Final = 1e-6
_LINES: Final = {MarkKind.NOTCH: "notch", MarkKind.JOIN: "join", MarkKind.INSIDE: "inside"}

_OnPage = Callable[[Iterable[Point]], Ring]


def pieces_svg(pieces: Iterable[Piece]) -> bytes:
    """A drawing of the pieces, cm on the page as cm of cloth."""
    placed = list(_placed(tuple(pieces)))
    width = max((left + piece.width_cm for piece, left, _ in placed), default=0.0) + _GAP_CM
    height = max((top + piece.length_cm for piece, _, top in placed), default=0.0) + _GAP_CM
    wide, high = math.ceil(width), math.ceil(height)
    groups = "\n".join(_group(*one) for one in placed)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}cm" height="{high}cm" viewBox="0 0 {wide} {high}">\n'
        f"{groups}\n</svg>\n"
    ).encode()


def _placed(pieces: tuple[Piece, ...]) -> Iterator[tuple[Piece, float, float]]:
    """Each piece with the left and the top of its place on the page."""
    left = top = _GAP_CM
    low = top
    for piece in pieces:
        if left > _GAP_CM and left + piece.width_cm > _PAGE_CM:
            left, top = _GAP_CM, low
        yield piece, left, top
        left += piece.width_cm + _GAP_CM
        low = max(low, top + piece.length_cm + _GAP_CM)


def _group(piece: Piece, left: float, top: float) -> str:
    def on_page(line: Iterable[Point]) -> Ring:
        return tuple((left + piece.width_cm - y, top + piece.length_cm - x) for x, y in line)

    lines = [_outline(piece, on_page), _grain(piece, on_page)]
    lines += [_edge(edge, on_page(edge.line)) for edge in piece.edges if _says(edge)]
    lines += [_mark(mark, on_page(mark.points)) for mark in piece.marks]
    lines.append(_words(piece, on_page([piece.roomiest])[0]))
    return f"<g{_attributes(_of_piece(piece))}>\n" + "\n".join(lines) + "\n</g>"


def _outline(piece: Piece, on_page: _OnPage) -> str:
    if piece.stitching is None:
        return _path(on_page(piece.outline), {})
    if _grows_from_sewing(piece):
        return _path(on_page(piece.stitching), {"line": "stitch", "allowance": _cm(piece.allowance_cm)})
    return _path(on_page(piece.outline), {}) + "\n" + _path(on_page(piece.stitching), {"line": "stitch"}, dashed=True)


def _grows_from_sewing(piece: Piece) -> bool:
    """Whether the cut line is the line of sewing with the allowances of its edges."""
    if piece.stitching is None:
        return False
    own = [(edge.line, edge.allowance_cm) for edge in piece.edges if edge.allowance_cm is not None]
    grown = Polygon(add_allowances(piece.stitching, piece.allowance_cm, own)[0])
    return bool(grown.symmetric_difference(piece.polygon).area <= _SAME * piece.area_cm2)


def _grain(piece: Piece, on_page: _OnPage) -> str:
    x, y = piece.roomiest
    half = min(5.0, piece.length_cm / 6)
    return _line(on_page([(x - half, y), (x + half, y)]), {"line": "grain"})


def _says(edge: Edge) -> bool:
    return edge.seam is not None or edge.allowance_cm is not None or edge.selvedge or edge.ease_cm != 0


def _edge(edge: Edge, line: Ring) -> str:
    said = {"line": "edge", "seam": edge.seam}
    said["ease"] = _cm(edge.ease_cm) if edge.ease_cm else None
    if edge.allowance_cm is not None:
        said["hem" if edge.hem else "allowance"] = _cm(edge.allowance_cm)
    said["selvedge"] = "true" if edge.selvedge else None
    return _line(line, said, stroke="#a33")


def _mark(mark: PieceMark, line: Ring) -> str:
    said = {"line": _LINES[mark.kind], "match": mark.name}
    points = line if len(line) > 1 else (line[0], (line[0][0] + 0.1, line[0][1]))
    return _path(points, said) if mark.closed else _line(points, said)


def _of_piece(piece: Piece) -> dict[str, str | None]:
    return {
        "piece": piece.name,
        "cut": str(piece.cut),
        "pair": "true" if piece.pair else None,
        "one-way": "true" if piece.one_way else None,
        "material": None if piece.material == MAIN_CLOTH else piece.material,
        "size": piece.size,
        "version": piece.version,
    }


def _words(piece: Piece, at: Point) -> str:
    """What the piece is, to be read by people; it says what the marks of its group say."""
    said = [f"cut {piece.cut}", *(["pair"] if piece.pair else [])]
    said += [f"{word} {value}" for word, value in (("size", piece.size), ("version", piece.version)) if value]
    text = escape(f"{piece.name}: {', '.join(said)}")
    return f'<text x="{at[0]:.2f}" y="{at[1]:.2f}" font-size="1.2" text-anchor="middle">{text}</text>'


def _path(line: Ring, said: dict[str, str | None], *, dashed: bool = False) -> str:
    points = " L".join(f"{x:.4f} {y:.4f}" for x, y in line)
    dashes = ' stroke-dasharray="0.6 0.3"' if dashed else ""
    return f'<path d="M{points} Z" fill="none" stroke="#000" stroke-width="0.1"{dashes}{_attributes(said)}/>'


def _line(line: Ring, said: dict[str, str | None], stroke: str = "#000") -> str:
    points = " ".join(f"{x:.4f},{y:.4f}" for x, y in line)
    return f'<polyline points="{points}" fill="none" stroke="{stroke}" stroke-width="0.1"{_attributes(said)}/>'


def _attributes(said: dict[str, str | None]) -> str:
    return "".join(f" data-{name}={quoteattr(value)}" for name, value in said.items() if value is not None)


def _cm(cm: float) -> str:
    return f"{cm:.4f}".rstrip("0").rstrip(".") + " cm"
