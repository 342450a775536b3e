"""The bag: one length of cloth that goes down, under and up again.

A bag w wide, h high and d deep is a length of 2 h + d, w wide; with a depth, two strips d wide and h high close its sides,
each sewn down front, along the bottom and up the back. A flat bag is sewn to itself. Handles are straps sewn double. A lining is the
same again without the hem.

*Source:* construction common practice, no source.
"""

from __future__ import annotations

from typing import Any

from clothwright.pattern.drafting.asking import Figures
from clothwright.pattern.drafting.drafted import Finished
from clothwright.pattern.drafting.sewn import Garment
from clothwright.pattern.drafting.shaping import Part, join_line, side
from clothwright.pattern.piece import MAIN_CLOTH


def bag(figures: Figures) -> Garment:
    """The parts of the bag and its finished measures."""
    options = figures.options
    parts = [_body("body", options, MAIN_CLOTH, options["hem"])]
    if options["depth"] > 0:
        parts.append(_side_strip("side strip", options, MAIN_CLOTH, options["hem"]))
    parts.append(_handle(options))
    if options["lining_cloth"] != "none":
        parts += _lining(options)
    return Garment(tuple(parts), _finished(options))


def _body(name: str, options: Any, cloth: str, hem: float, seams: str = "") -> Part:
    w, h, d = options["width"], options["height"], options["depth"]
    across = [side((w, h + d / 2), (w, d / 2), seam=f"{seams}side")]
    across += [side((w, d / 2), (w, -d / 2), seam=f"{seams}bottom")] if d else []
    across += [side((w, -d / 2), (w, -h - d / 2), seam=f"{seams}side")]
    right = tuple(across)
    left = tuple(side(*((0.0, v) for _, v in edge.line[::-1]), seam=edge.seam) for edge in reversed(right))
    top = h + d / 2
    sides = (side((0, top), (w, top), hem=hem), *right, side((w, -top), (0, -top), hem=hem), *left)
    return Part(name, sides, material=cloth, marks=(join_line((0, 0), (w, 0)),))


def _side_strip(name: str, options: Any, cloth: str, hem: float, seams: str = "") -> Part:
    h, d = options["height"], options["depth"]
    sides = (
        side((0, h), (d, h), hem=hem),
        side((d, h), (d, 0), seam=f"{seams}side"),
        side((d, 0), (0, 0), seam=f"{seams}bottom"),
        side((0, 0), (0, h), seam=f"{seams}side"),
    )
    return Part(name, sides, count=2, material=cloth)


def _handle(options: Any) -> Part:
    wide, long = 2 * options["handle_width"], options["handle_length"]
    sides = (
        side((0, long), (wide, long)),
        side((wide, long), (wide, 0), seam="handle"),
        side((wide, 0), (0, 0)),
        side((0, 0), (0, long), seam="handle"),
    )
    return Part("handle", sides, count=2, material=options["handle_cloth"])


def _lining(options: Any) -> list[Part]:
    cloth = options["lining_cloth"]
    parts = [_body("lining", options, cloth, 0.0, "lining ")]
    if options["depth"] > 0:
        parts.append(_side_strip("lining side strip", options, cloth, 0.0, "lining "))
    return parts


def _finished(options: Any) -> tuple[Finished, ...]:
    across = 2 * (options["width"] + options["depth"])
    return (
        Finished("width", options["width"]),
        Finished("height", options["height"]),
        Finished("depth", options["depth"]),
        Finished("opening, all round", across),
        Finished("handle", options["handle_length"]),
    )
