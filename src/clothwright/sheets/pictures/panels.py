"""A piece with its joins: the panels it is made from, drawn to one scale with the cloth beneath them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from shapely.geometry import Polygon

from clothwright.pattern import JoinedPiece, Panel, Point, Ring
from clothwright.sheets.pictures.drawing import (
    EDGE,
    FAINT,
    FOAM,
    INK,
    SAND,
    SIGNAL,
    SMALL,
    TIDE,
    Drawing,
    path_of,
    width_of,
)
from clothwright.sheets.wording import LENGTH

_MOST_HIGH: Final = 300.0
_ROOM: Final = 400.0 - 2 * EDGE


def joined_svg(joined: JoinedPiece, usable_cm: float, *, imperial: bool = False) -> str:
    """A piece with its joins where they are sewn, its panels named, and the width of the cloth as a bar, all to one scale."""
    whole = joined.whole
    scale = min(_ROOM / max(whole.width_cm, usable_cm), _MOST_HIGH / whole.length_cm)
    left = EDGE + (_ROOM - scale * whole.width_cm) / 2
    drawing = Drawing(f"{whole.name}, joined", _in_words(joined, imperial), "joined")
    drawing.height = EDGE + scale * whole.length_cm

    def placed(ring: Iterable[Point]) -> Ring:
        return tuple((left + scale * (whole.width_cm - y), EDGE + scale * (whole.length_cm - x)) for x, y in ring)

    for number, panel in enumerate(joined.panels):
        drawing.path("panel", path_of(placed(panel.part)), fill=(SAND, FOAM)[number % 2], stroke=INK, stroke_width=1.6)
        for edge in panel.piece.edges:
            if edge.hem:
                drawing.path(
                    "hem", path_of(placed(panel.on_the_whole(edge.line)), closed=False), stroke=TIDE, stroke_width=2
                )
    for seam in joined.seams:
        drawing.path(
            "join", path_of(placed(seam.line), closed=False), stroke=SIGNAL, stroke_width=2.4, stroke_dasharray="7 4"
        )
    for number, panel in enumerate(joined.panels, 1):
        x, y = placed([_middle(panel)])[0]
        drawing.text(x, y + 4, str(number), size=SMALL + 2, text_anchor="middle", font_weight="bold")
    _cloth_bar(drawing, usable_cm * scale, LENGTH.short(usable_cm, imperial=imperial))
    for number, panel in enumerate(joined.panels, 1):
        drawing.paragraph(f"{number}: {_panel_in_words(panel, imperial)}", size=SMALL)
    return drawing.svg()


def _middle(panel: Panel) -> Point:
    point = Polygon(panel.part).representative_point()
    return float(point.x), float(point.y)


def _cloth_bar(drawing: Drawing, long: float, words: str) -> None:
    """The usable width of the cloth at the scale of the piece."""
    drawing.height += 16
    start = EDGE + (_ROOM - long) / 2
    drawing.dimension("cloth", (start, drawing.height), (start + long, drawing.height), stroke_width=1.6)
    text = f"the cloth, {words} usable"
    x = min(max(EDGE + _ROOM / 2, width_of(text, SMALL) / 2), 400 - width_of(text, SMALL) / 2)
    drawing.height += 14
    drawing.text(x, drawing.height, text, size=SMALL, text_anchor="middle", fill=FAINT)
    drawing.height += 4


def _panel_in_words(panel: Panel, imperial: bool) -> str:
    piece = panel.piece
    across, along = (LENGTH.text(cm, imperial=imperial) for cm in (piece.width_cm, piece.length_cm))
    selvedge = ", joined edge on the selvedge" if any(edge.selvedge for edge in piece.edges) else ""
    return f"{piece.name}, cut {piece.cut}: {across} across, {along} along the grain{selvedge}"


def _in_words(joined: JoinedPiece, imperial: bool) -> str:
    panels = "; ".join(_panel_in_words(panel, imperial) for panel in joined.panels)
    return f"Joined from {len(joined.panels)} panels. {panels}"
