"""Pieces on narrow cloth: what a layout is, a judge of layouts, and a search for short ones."""

from clothwright.layout.area import TooWide, area_cm2, least_length_cm, measured, narrowest_cm
from clothwright.layout.arrangement import HALF_TURN, Copy, Layout, Placed, copies, mirror, outline_in_place, turn
from clothwright.layout.bound import Bound, lower_bound
from clothwright.layout.finding import Found, find
from clothwright.layout.first_guess import first_guess
from clothwright.layout.judge import faults
from clothwright.layout.keeping_most import Kept, with_rules
from clothwright.layout.narrowed import narrowed
from clothwright.layout.on_executor import By, ClusterUnreached, OnExecutor, searching_by
from clothwright.layout.review import Review, review
from clothwright.layout.ruled import ruled_guess
from clothwright.layout.rules import (
    NO_RULES,
    Flaw,
    MatchPoint,
    Rules,
    SelvedgeEdge,
    Stripes,
    match_points,
    selvedge_edges,
)
from clothwright.layout.search import NO_EFFORT, Effort, solve
from clothwright.layout.searchers import Searchers
from clothwright.layout.settling import settled
from clothwright.layout.staircase import Step, best, staircase
from clothwright.layout.tightening import tightened
from clothwright.layout.widths import candidate_widths

__all__ = [
    "HALF_TURN",
    "NO_EFFORT",
    "NO_RULES",
    "Bound",
    "By",
    "ClusterUnreached",
    "Copy",
    "Effort",
    "Flaw",
    "Found",
    "Kept",
    "Layout",
    "MatchPoint",
    "OnExecutor",
    "Placed",
    "Review",
    "Rules",
    "Searchers",
    "SelvedgeEdge",
    "Step",
    "Stripes",
    "TooWide",
    "area_cm2",
    "best",
    "candidate_widths",
    "copies",
    "faults",
    "find",
    "first_guess",
    "least_length_cm",
    "lower_bound",
    "match_points",
    "measured",
    "mirror",
    "narrowed",
    "narrowest_cm",
    "outline_in_place",
    "review",
    "ruled_guess",
    "searching_by",
    "selvedge_edges",
    "settled",
    "solve",
    "staircase",
    "tightened",
    "turn",
    "with_rules",
]
