"""Pieces on narrow cloth: what a layout is, a judge of layouts, and a search for short ones."""

from clothwright.layout.area import TooWide, area_cm2, least_length_cm, narrowest_cm
from clothwright.layout.arrangement import HALF_TURN, Copy, Layout, Placed, copies, mirror, outline_in_place, turn
from clothwright.layout.first_guess import first_guess
from clothwright.layout.judge import faults
from clothwright.layout.search import search, solve
from clothwright.layout.settling import settled
from clothwright.layout.staircase import Step, best, staircase
from clothwright.layout.widths import candidate_widths

__all__ = [
    "HALF_TURN",
    "Copy",
    "Layout",
    "Placed",
    "Step",
    "TooWide",
    "area_cm2",
    "best",
    "candidate_widths",
    "copies",
    "faults",
    "first_guess",
    "least_length_cm",
    "mirror",
    "narrowest_cm",
    "outline_in_place",
    "search",
    "settled",
    "solve",
    "staircase",
    "turn",
]
