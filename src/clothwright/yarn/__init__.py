"""Yarn: numbering, folding, thickness, and lots in hand."""

from clothwright.yarn.diameter import (
    RULER_WRAPS_PER_DIAMETER,
    DiameterRule,
    diameter_rule,
    diameter_rules,
    ruler_wraps_per_cm,
)
from clothwright.yarn.lot import (
    METERED_LENGTH_LOG_SD,
    UNKNOWN_CORE_GRAMS,
    Ball,
    GristReading,
    Lot,
    Use,
    weighed,
)
from clothwright.yarn.numbering import (
    System,
    YarnNumber,
    folded,
    in_every_system,
    missing_strand,
    read_grist,
    read_yarn,
    systems,
)

__all__ = [
    "METERED_LENGTH_LOG_SD",
    "RULER_WRAPS_PER_DIAMETER",
    "UNKNOWN_CORE_GRAMS",
    "Ball",
    "DiameterRule",
    "GristReading",
    "Lot",
    "System",
    "Use",
    "YarnNumber",
    "diameter_rule",
    "diameter_rules",
    "folded",
    "in_every_system",
    "missing_strand",
    "read_grist",
    "read_yarn",
    "ruler_wraps_per_cm",
    "systems",
    "weighed",
]
