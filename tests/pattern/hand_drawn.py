"""A half back on the fold, drawn by hand, for the tests."""

from __future__ import annotations

from typing import Any

from clothwright.pattern import EdgeWords, HandPiece, Notch, Side

#: Centre neck, hem at the fold, hem at the side, underarm, shoulder, neck; cm across and down.
BACK = ((2.0, 6.0), (2.0, 46.0), (26.0, 46.0), (26.0, 26.0), (24.0, 8.0), (9.0, 4.0))

TABLE: dict[str, Any] = {
    "name": "back",
    "grain": "y",
    "line": "stitch",
    "corner": [
        {"across": "2 cm", "down": "6 cm", "side": "fold"},
        {"across": "20 mm", "down": "46 cm", "side": "hem 4 cm"},
        {"across": "26 cm", "down": "0.46 m", "side": "seam side", "notches": "10 cm a"},
        {"across": "26 cm", "down": "26 cm", "side": "seam armhole", "curve": ["22 cm", "22 cm", "22 cm", "14 cm"]},
        {"across": "24 cm", "down": "8 cm"},
        {"across": "9 cm", "down": "4 cm", "curve": ["9 cm", "6 cm", "5 cm", "6 cm"]},
    ],
}


def back(name: str = "back") -> HandPiece:
    sides = (
        Side(words=EdgeWords(fold=True)),
        Side(words=EdgeWords(hem_cm=4)),
        Side(words=EdgeWords(seam="side"), notches=(Notch(10, "a"),)),
        Side(((22, 22), (22, 14)), EdgeWords(seam="armhole")),
        Side(),
        Side(((9, 6), (5, 6))),
    )
    return HandPiece(name, BACK, sides, grain_deg=90.0, stitch=True)
