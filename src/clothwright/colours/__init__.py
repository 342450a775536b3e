"""Colours of the warp: balls to whole ends, and orders of them under rules."""

from clothwright.colours.capacity import LengthTried, WarpBall, chance_all_last, lengths_tried, whole_turns
from clothwright.colours.order import Clash, Order, draw, mended
from clothwright.colours.rules import Rules, Taken, broken

__all__ = [
    "Clash",
    "LengthTried",
    "Order",
    "Rules",
    "Taken",
    "WarpBall",
    "broken",
    "chance_all_last",
    "draw",
    "lengths_tried",
    "mended",
    "whole_turns",
]
