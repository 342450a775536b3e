"""How often forecasts held: the share each interval claimed, against the share that held, with the band that luck explains.

A dot on the slanting line is a claim that was just true; above it the forecasts were more careful than they said, below it
bolder. A bar is as far as luck alone reaches with so few forecasts; a dot beyond its bar becomes a cross.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from clothwright.evidence import Calibrated
from clothwright.sheets.pictures.drawing import (
    DEFAULT_ACROSS,
    EDGE,
    FAINT,
    FOAM,
    INK,
    SIGNAL,
    SMALL,
    TIDE,
    Drawing,
    path_of,
)
from clothwright.sheets.wording import percent

_LEFT: Final = 44.0
_TALL: Final = 210.0
_BAR: Final = 16.0
_DOT: Final = 4.5
_KEY: Final = (
    "Across: what was claimed. Up: what held. Dot on the slanting line: just as claimed; above: more held than claimed. "
    "Bar: as far as luck reaches. Cross: more than luck."
)


def calibration_svg(told: Mapping[str, tuple[int, Sequence[Calibrated]]], *, across: float = DEFAULT_ACROSS) -> str:
    """A plot for each named size, with its number of forecasts and its claims from least to most."""
    desc = " ".join(_in_words(name, count, claims) for name, (count, claims) in told.items())
    drawing = Drawing("How often the forecasts held", desc, "calibration", across)
    for name, (count, claims) in told.items():
        drawing.paragraph(f"{name}: {count} forecasts", bold=True)
        _plot(drawing, claims)
    drawing.paragraph(_KEY, size=SMALL)
    return drawing.svg()


def _in_words(name: str, count: int, claims: Sequence[Calibrated]) -> str:
    said = ", ".join(
        f"{percent(one.held)} of {percent(one.share)}{'' if one.by_luck else ' (more than luck)'}" for one in claims
    )
    return f"{name}, {count} forecasts; held of claimed: {said}."


def _plot(drawing: Drawing, claims: Sequence[Calibrated]) -> None:
    top, bottom = drawing.height + 12, drawing.height + 12 + _TALL
    left, right = EDGE + _LEFT, drawing.across - EDGE

    def at(claimed: float, held: float) -> tuple[float, float]:
        return left + claimed * (right - left), bottom - held * (bottom - top)

    _axes(drawing, left, right, top, bottom)
    drawing.line("true", at(0, 0), at(1, 1), stroke=FAINT, stroke_dasharray="5 4")
    for one in claims:
        x, low = at(one.share, one.low)
        high = at(one.share, one.high)[1]
        drawing.rect("band", x - _BAR / 2, high, _BAR, max(low - high, 1.0), fill=FOAM, stroke=TIDE, stroke_width=0.8)
        _mark(drawing, *at(one.share, one.held), by_luck=one.by_luck)
    drawing.height = bottom + 30


def _axes(drawing: Drawing, left: float, right: float, top: float, bottom: float) -> None:
    drawing.path("axes", path_of([(left, top), (left, bottom), (right, bottom)], closed=False), stroke=INK)
    for tenth in (1, 3, 5, 7, 9):
        x, y = left + tenth / 10 * (right - left), bottom - tenth / 10 * (bottom - top)
        drawing.line("tick", (x, bottom), (x, bottom + 4))
        drawing.text(x, bottom + 16, f"{tenth}0 %", size=SMALL, text_anchor="middle")
        drawing.line("tick", (left - 4, y), (left, y))
        drawing.text(left - 7, y + 4, f"{tenth}0 %", size=SMALL, text_anchor="end")


def _mark(drawing: Drawing, x: float, y: float, *, by_luck: bool) -> None:
    if by_luck:
        drawing.add("circle", "held", {"cx": x, "cy": y, "r": _DOT, "fill": INK})
        return
    for side in (-1, 1):
        drawing.line(
            "beyond", (x - _DOT, y - side * _DOT), (x + _DOT, y + side * _DOT), stroke=SIGNAL, stroke_width=2.2
        )
