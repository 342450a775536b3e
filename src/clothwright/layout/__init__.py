"""Pieces on narrow cloth: what a layout is, a judge of layouts, and a search for short ones."""

from clothwright.layout.arrangement import Copy, Layout, Placed, copies, mirror, outline_in_place, turn
from clothwright.layout.judge import faults

__all__ = ["Copy", "Layout", "Placed", "copies", "faults", "mirror", "outline_in_place", "turn"]
