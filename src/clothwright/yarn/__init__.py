"""Yarn: numbering, folding, thickness, and lots in hand."""

from clothwright.yarn.construction import (
    Construction,
    Folded,
    Single,
    Twist,
    YarnNumber,
    folded,
    missing_strand,
    side_by_side,
    singles,
    take_up_on_tex,
    with_take_up,
)
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
from clothwright.yarn.notation import fold_to_single, read_grist, read_yarn, single_to_fold
from clothwright.yarn.numbering import System, in_every_system, system_named, systems

__all__ = [
    "METERED_LENGTH_LOG_SD",
    "RULER_WRAPS_PER_DIAMETER",
    "UNKNOWN_CORE_GRAMS",
    "Ball",
    "Construction",
    "DiameterRule",
    "Folded",
    "GristReading",
    "Lot",
    "Single",
    "System",
    "Twist",
    "Use",
    "YarnNumber",
    "diameter_rule",
    "diameter_rules",
    "fold_to_single",
    "folded",
    "in_every_system",
    "missing_strand",
    "read_grist",
    "read_yarn",
    "ruler_wraps_per_cm",
    "side_by_side",
    "single_to_fold",
    "singles",
    "system_named",
    "systems",
    "take_up_on_tex",
    "weighed",
    "with_take_up",
]
