"""Quantities as typed, in mixed units, and estimates with their spread and provenance."""

from clothwright.measure.cells import as_text_cell, of_text_cell
from clothwright.measure.estimate import Draws, Estimate, Interval, Rung
from clothwright.measure.numbers import plainly
from clothwright.measure.quantity import (
    CM_PER_INCH,
    CM_PER_YARD,
    GRAINS_PER_POUND,
    GRAMS_PER_OUNCE,
    GRAMS_PER_POUND,
    Z90,
    Grist,
    Length,
    Quantity,
    QuantityError,
    Ratio,
    Share,
    ThreadsPerLength,
    Weight,
    length_and_weight,
)

__all__ = [
    "CM_PER_INCH",
    "CM_PER_YARD",
    "GRAINS_PER_POUND",
    "GRAMS_PER_OUNCE",
    "GRAMS_PER_POUND",
    "Z90",
    "Draws",
    "Estimate",
    "Grist",
    "Interval",
    "Length",
    "Quantity",
    "QuantityError",
    "Ratio",
    "Rung",
    "Share",
    "ThreadsPerLength",
    "Weight",
    "as_text_cell",
    "length_and_weight",
    "of_text_cell",
    "plainly",
]
