"""What a DXF document draws: its entities, into the blocks it inserts, as points in cm."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any, Final

from clothwright.pattern.geometry import (
    MAX_POINTS,
    Affine,
    Cubic,
    Flat,
    NotUnderstood,
    Straight,
    TooManyPoints,
    Track,
    flatten,
)
from clothwright.pattern.reading.findings import DrawingRefused, Findings, quoted
from clothwright.pattern.reading.safety import MAX_DEPTH, MAX_ELEMENTS

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document
    from ezdxf.entities.dxfentity import DXFEntity
    from ezdxf.math import Matrix44

_SHAPES: Final = {"LINE", "ARC", "CIRCLE", "ELLIPSE", "LWPOLYLINE", "POLYLINE", "SPLINE"}
TOO_MANY: Final = f"The drawing has more than {MAX_POINTS} points; save only the pattern pieces."


class Walk:
    """Walks entities into blocks; counts what it meets, and stops where a little is made much of."""

    def __init__(self, document: Document, findings: Findings) -> None:
        self._document = document
        self._findings = findings
        self._visits = 0
        self._points = 0
        self.not_read: Counter[str] = Counter()

    def entities(
        self, entities: Iterable[DXFEntity], place: Matrix44 | None = None, depth: int = 0
    ) -> Iterator[tuple[DXFEntity, Matrix44 | None, tuple[str, ...]]]:
        """Every entity that is drawn, how it is placed, and the blocks it stands in."""
        for entity in entities:
            self._visits += 1
            if self._visits > MAX_ELEMENTS or depth > MAX_DEPTH:
                raise DrawingRefused(
                    [f"With its blocks, the drawing has more than {MAX_ELEMENTS} elements; save only the pieces."]
                )
            if self._hidden(entity):
                self._findings.leave_out("Left out, hidden in the drawing", f"layer {quoted(entity.dxf.layer)}")
            elif entity.dxftype() == "INSERT":
                yield from self._inserted(entity, place, depth)
            else:
                yield entity, place, ()

    def _inserted(
        self, insert: Any, place: Matrix44 | None, depth: int
    ) -> Iterator[tuple[DXFEntity, Matrix44 | None, tuple[str, ...]]]:
        block = insert.block()
        if block is None:
            self._findings.note(f"The block {quoted(insert.dxf.name)} is inserted, but not in the drawing.")
            return
        if insert.mcount > 1:
            self._findings.problem(
                f"The block {quoted(insert.dxf.name)} is inserted {insert.mcount} times as an array; insert it once."
            )
            return
        inner = insert.matrix44() if place is None else insert.matrix44() * place
        for entity, at, blocks in self.entities(block, inner, depth + 1):
            yield entity, at, (insert.dxf.name, *blocks)

    def _hidden(self, entity: DXFEntity) -> bool:
        if entity.dxf.get("invisible", 0) or entity.dxf.get("paperspace", 0):
            return True
        name = entity.dxf.get("layer", "0")
        layer = self._document.layers.get(name) if name in self._document.layers else None
        return layer is not None and (layer.is_off() or layer.is_frozen())

    def flats(self, entity: DXFEntity, place: Matrix44 | None, to_cm: Affine) -> list[Flat]:
        """The lines an entity draws, in cm; none, and told, if it is of a kind that is not read."""
        if entity.dxftype() == "POINT":
            return [Flat((to_cm.at(*_placed(entity.dxf.location, place)),), (), False)]
        if entity.dxftype() not in _SHAPES:
            self.not_read[entity.dxftype()] += 1
            return []
        try:
            flats = [flatten(track, to_cm) for track in _tracks(entity, place)]
        except TooManyPoints:
            raise DrawingRefused([TOO_MANY]) from None
        except (NotUnderstood, ArithmeticError, ValueError, TypeError, IndexError) as error:
            self._findings.problem(f"A {entity.dxftype()} on layer {quoted(entity.dxf.layer)} cannot be read: {error}.")
            return []
        self._points += sum(len(flat.points) for flat in flats)
        if self._points > MAX_POINTS:
            raise DrawingRefused([TOO_MANY])
        return flats

    def tell(self) -> None:
        """Say what was met and not read."""
        for kind, count in self.not_read.items():
            self._findings.leave_out("Not lines or text, so not read", f"{count} {kind}")


def words_of(entity: DXFEntity) -> str | None:
    """What a text says, on one line; None for what is no text."""
    if entity.dxftype() == "TEXT":
        return " ".join(str(entity.dxf.text).split())
    if entity.dxftype() == "MTEXT":
        return " ".join(entity.plain_text().split())  # type: ignore[attr-defined]
    return None


def where_of(entity: DXFEntity, place: Matrix44 | None, to_cm: Affine) -> tuple[float, float]:
    """Where a text begins on the page, cm."""
    return to_cm.at(*_placed(entity.dxf.insert, place))


def _placed(point: Any, place: Matrix44 | None) -> tuple[float, float]:
    at = place.transform(point) if place is not None else point
    return float(at.x), float(at.y)


def _tracks(entity: Any, place: Matrix44 | None) -> list[Track]:
    from ezdxf.path import Curve3To, Curve4To, make_path

    path = make_path(entity)
    if place is not None:
        path = path.transform(place)
    track = Track((path.start.x, path.start.y), closed=bool(path.is_closed))
    at = track.start
    for command in path.commands():
        end = (command.end.x, command.end.y)
        if isinstance(command, Curve4To):
            track.steps.append(Cubic(_xy(command.ctrl1), _xy(command.ctrl2), end))
        elif isinstance(command, Curve3To):
            track.steps.append(Cubic(_third(at, _xy(command.ctrl)), _third(end, _xy(command.ctrl)), end))
        else:
            track.steps.append(Straight(end))
        at = end
    return [track] if track.steps else []


def _xy(point: Any) -> tuple[float, float]:
    return point.x, point.y


def _third(end: tuple[float, float], control: tuple[float, float]) -> tuple[float, float]:
    """A handle of the cubic that equals a quadratic curve."""
    return (end[0] + 2 * control[0]) / 3, (end[1] + 2 * control[1]) / 3
