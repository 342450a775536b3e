"""What a page of a PDF draws: its content read step by step, into lines in cm and text where it stands.

Only what shows is kept: paths that are stroked or filled, in the order they are painted. Paths that only clip, pictures and
shadings are not lines. Clipping itself is not applied.

*Source:* ISO 32000-1:2008, 8.3 (coordinates), 8.4 (graphics state), 8.5 (paths), 8.10 (form XObjects), 8.11 (optional content).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any, Final

from pypdf import PageObject
from pypdf.errors import PyPdfError
from pypdf.generic import ContentStream

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
    sensible,
)
from clothwright.pattern.reading.findings import DrawingRefused, Findings, quoted

MAX_CONTENT_BYTES: Final = 5_000_000
MAX_STEPS: Final = 400_000
MAX_DEPTH: Final = 20
TOO_MANY: Final = f"The PDF's lines need more than {MAX_POINTS} points; save only the pattern pieces."


@dataclass
class Budget:
    """How much of all pages together may still be read."""

    steps: int = MAX_STEPS
    points: int = MAX_POINTS
    content_bytes: int = MAX_CONTENT_BYTES

    def spend(self, *, steps: int = 0, points: int = 0, content_bytes: int = 0) -> None:
        """Take from what is left; DrawingRefused when it does not suffice."""
        self.steps -= steps
        self.points -= points
        self.content_bytes -= content_bytes
        if self.points < 0:
            raise DrawingRefused([TOO_MANY])
        if self.steps < 0 or self.content_bytes < 0:
            raise DrawingRefused(
                [
                    f"The PDF draws more than {MAX_CONTENT_BYTES / 1e6:g} MB or {MAX_STEPS} steps of content; "
                    "save only the pattern pieces."
                ]
            )


@dataclass(frozen=True)
class _State:
    """The part of the graphics state that matters: where the user's space lies, in cm."""

    to_cm: Affine


@dataclass
class PageDrawn:
    """What one page draws: lines by the layer they stand in ("" outside any)."""

    lines: list[tuple[str, Flat]] = field(default_factory=list)


class PageReader:
    """Reads one page's content; `drawn` holds what was found."""

    def __init__(self, page: PageObject, to_cm: Affine, hidden: set[str], findings: Findings, budget: Budget) -> None:
        self.drawn = PageDrawn()
        self._page = page
        self._hidden = hidden
        self._findings = findings
        self._budget = budget
        self._state = _State(to_cm)
        self._stack: list[_State] = []
        self._layers: list[str] = []
        self._tracks: list[Track] = []
        self._resources: Any = page.get("/Resources") or {}

    def read(self) -> PageDrawn:
        """Everything the page draws."""
        contents = self._page.get_contents()
        if contents is not None:
            self._run(contents, depth=0)
        return self.drawn

    def _run(self, contents: ContentStream, depth: int) -> None:
        self._budget.spend(content_bytes=len(contents.get_data()))
        for operands, operator in contents.operations:
            self._budget.spend(steps=1)
            name = operator.decode("latin-1")
            if name == "Do":
                self._draw(operands, depth)
            elif name in _OPERATORS:
                self._step(_OPERATORS[name], operands, name)

    def _step(self, act: Callable[[PageReader, list[Any]], None], operands: list[Any], name: str) -> None:
        try:
            act(self, operands)
        except DrawingRefused:
            raise
        except (NotUnderstood, ValueError, TypeError, IndexError, ArithmeticError):
            self._findings.leave_out("Steps of the PDF that cannot be read", quoted(name))

    # --- what the operators do ---------------------------------------------------------------------------------

    def save(self, _operands: list[Any]) -> None:
        """`q`."""
        if len(self._stack) < MAX_STEPS // 1000:
            self._stack.append(self._state)

    def restore(self, _operands: list[Any]) -> None:
        """`Q`."""
        if self._stack:
            self._state = self._stack.pop()

    def concatenate(self, operands: list[Any]) -> None:
        """`cm`."""
        matrix = Affine(*_numbers(operands, 6))
        self._state = replace(self._state, to_cm=matrix.inside(self._state.to_cm))

    def move(self, operands: list[Any]) -> None:
        """`m`."""
        x, y = _numbers(operands, 2)
        self._tracks.append(Track((x, y)))

    def line(self, operands: list[Any]) -> None:
        """`l`."""
        x, y = _numbers(operands, 2)
        self._track().steps.append(Straight((x, y)))

    def curve(self, operands: list[Any]) -> None:
        """`c`."""
        a, b, c, d, x, y = _numbers(operands, 6)
        self._track().steps.append(Cubic((a, b), (c, d), (x, y)))

    def curve_from_here(self, operands: list[Any]) -> None:
        """`v`: the first handle is the point reached."""
        c, d, x, y = _numbers(operands, 4)
        self._track().steps.append(Cubic(self._at(), (c, d), (x, y)))

    def curve_to_end(self, operands: list[Any]) -> None:
        """`y`: the second handle is the end."""
        a, b, x, y = _numbers(operands, 4)
        self._track().steps.append(Cubic((a, b), (x, y), (x, y)))

    def close(self, _operands: list[Any]) -> None:
        """`h`."""
        if self._tracks:
            self._tracks[-1].closed = True

    def rectangle(self, operands: list[Any]) -> None:
        """`re`."""
        x, y, width, height = _numbers(operands, 4)
        corners = ((x + width, y), (x + width, y + height), (x, y + height))
        self._tracks.append(Track((x, y), [Straight(corner) for corner in corners], closed=True))

    def paint(self, _operands: list[Any]) -> None:
        """`S`, `f` and their kin: the path shows."""
        tracks, self._tracks = self._tracks, []
        if any(layer in self._hidden for layer in self._layers):
            self._findings.leave_out("Left out, hidden in the drawing", f"layer {quoted(self._layers[-1])}")
            return
        for track in tracks:
            if track.steps:
                self._keep(track)

    def close_and_paint(self, operands: list[Any]) -> None:
        """`s`, `b`, `b*`."""
        self.close(operands)
        self.paint(operands)

    def end(self, _operands: list[Any]) -> None:
        """`n`: the path does not show."""
        self._tracks = []

    def begin_layer(self, operands: list[Any]) -> None:
        """`BDC`, `BMC`: a layer, if it is optional content."""
        self._layers.append(self._layer_name(operands))

    def end_layer(self, _operands: list[Any]) -> None:
        """`EMC`."""
        if self._layers:
            self._layers.pop()

    # --- their helpers -----------------------------------------------------------------------------------------

    def _track(self) -> Track:
        if not self._tracks:
            raise NotUnderstood("a line without a start")
        track = self._tracks[-1]
        if track.closed:
            self._tracks.append(Track(track.start))
        return self._tracks[-1]

    def _at(self) -> tuple[float, float]:
        track = self._track()
        return track.steps[-1].end if track.steps else track.start

    def _keep(self, track: Track) -> None:
        try:
            flat = flatten(track, self._state.to_cm)
        except TooManyPoints:
            raise DrawingRefused([TOO_MANY]) from None
        self._budget.spend(points=len(flat.points))
        self.drawn.lines.append((next((name for name in reversed(self._layers) if name), ""), flat))

    def _layer_name(self, operands: list[Any]) -> str:
        if len(operands) < 2 or operands[0] != "/OC":
            return ""
        group = _get(_get(self._resources, "/Properties"), operands[1])
        return str(_get(group, "/Name") or "")

    def _draw(self, operands: list[Any], depth: int) -> None:
        """`Do`: a form is drawn in its place; a picture is none of our business."""
        form = _get(_get(self._resources, "/XObject"), operands[0] if operands else "")
        if form is None or _get(form, "/Subtype") != "/Form":
            self._findings.leave_out("Not lines or text, so not read", "a picture")
            return
        if depth >= MAX_DEPTH:
            raise DrawingRefused([f"Forms lie inside each other more than {MAX_DEPTH} deep in the PDF; print it anew."])
        kept, resources = (self._state, list(self._layers)), self._resources
        matrix = _get(form, "/Matrix")
        if matrix is not None:
            self._step(PageReader.concatenate, list(matrix), "Matrix")
        if _get(form, "/OC") is not None:
            self._layers.append(str(_get(_get(form, "/OC"), "/Name") or ""))
        self._resources = _get(form, "/Resources") or resources
        self._run(ContentStream(form, self._page.pdf), depth + 1)
        (self._state, self._layers), self._resources = kept, resources


_OPERATORS: Final[dict[str, Callable[[PageReader, list[Any]], None]]] = {
    "q": PageReader.save,
    "Q": PageReader.restore,
    "cm": PageReader.concatenate,
    "m": PageReader.move,
    "l": PageReader.line,
    "c": PageReader.curve,
    "v": PageReader.curve_from_here,
    "y": PageReader.curve_to_end,
    "h": PageReader.close,
    "re": PageReader.rectangle,
    **dict.fromkeys(("S", "f", "F", "f*", "B", "B*"), PageReader.paint),
    **dict.fromkeys(("s", "b", "b*"), PageReader.close_and_paint),
    "n": PageReader.end,
    **dict.fromkeys(("BDC", "BMC"), PageReader.begin_layer),
    "EMC": PageReader.end_layer,
}


def _numbers(operands: list[Any], count: int) -> list[float]:
    if len(operands) != count:
        raise NotUnderstood(f"{len(operands)} numbers, not {count}")
    return [sensible(str(float(operand))) for operand in operands]


def _get(holder: Any, key: Any) -> Any:
    """A dictionary's value, or None where there is no dictionary or no such key."""
    try:
        value = holder.get_object()[key] if holder is not None else None
    except (KeyError, TypeError, AttributeError, PyPdfError):
        return None
    return value.get_object() if value is not None and hasattr(value, "get_object") else value
