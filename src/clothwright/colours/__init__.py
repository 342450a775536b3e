"""Colours of a cloth: balls to whole ends, and orders of warp and weft under rules."""

from clothwright.colours.by_hand import (
    HandRun,
    first_ends,
    run_changed,
    run_held,
    run_moved,
    run_split,
    run_taken_away,
)
from clothwright.colours.capacity import LengthTried, WarpBall, chance_all_last, lengths_tried, whole_turns
from clothwright.colours.of_cloth import ColoursOfCloth, threads
from clothwright.colours.order import Clash, Order, draw, mended
from clothwright.colours.rules import Rules, Taken, broken
from clothwright.colours.sight import ALIKE_BELOW, NEARLY_ALIKE_BELOW, Likeness, Sight, difference, likeness, seen_by
from clothwright.colours.stripes import Balance, Stripe, StripeThreads, across, in_threads, is_symmetric

__all__ = [
    "ALIKE_BELOW",
    "NEARLY_ALIKE_BELOW",
    "Balance",
    "Clash",
    "ColoursOfCloth",
    "HandRun",
    "LengthTried",
    "Likeness",
    "Order",
    "Rules",
    "Sight",
    "Stripe",
    "StripeThreads",
    "Taken",
    "WarpBall",
    "across",
    "broken",
    "chance_all_last",
    "difference",
    "draw",
    "first_ends",
    "in_threads",
    "is_symmetric",
    "lengths_tried",
    "likeness",
    "mended",
    "run_changed",
    "run_held",
    "run_moved",
    "run_split",
    "run_taken_away",
    "seen_by",
    "threads",
    "whole_turns",
]
