"""Evidence: what is believed of a cloth and a yarn, and what each measurement does to it."""

from clothwright.evidence.belief import Belief, Measurement, Questioned, independent, joint
from clothwright.evidence.cloths import (
    EDGE,
    Making,
    SampleMeasured,
    measured_rows,
    picks_weights,
    sample_unknowns,
)
from clothwright.evidence.conditioning import NotACovariance
from clothwright.evidence.history import MOST_PAST, NO_HISTORY, History, WasteSeen
from clothwright.evidence.likeness import nearest
from clothwright.evidence.priors import (
    LENGTH_STEPS,
    POOLED,
    STEPS,
    WIDTH_STEPS,
    Step,
    fibre_group,
    finish_group,
    ratio_prior,
    table,
)
from clothwright.evidence.records import BadRow, ClothRecord, read_records
from clothwright.evidence.stock import (
    METER,
    ball_unknown,
    between_balls,
    core_unknown,
    folding_unknown,
    grist_unknown,
    metres_of_balls,
    reading_error,
    stock_belief,
)
from clothwright.evidence.together import Past, believed_before
from clothwright.evidence.trueness import SIZES_TOLD, Told, Trueness, replay, trueness

__all__ = [
    "EDGE",
    "LENGTH_STEPS",
    "METER",
    "MOST_PAST",
    "NO_HISTORY",
    "POOLED",
    "SIZES_TOLD",
    "STEPS",
    "WIDTH_STEPS",
    "BadRow",
    "Belief",
    "ClothRecord",
    "History",
    "Making",
    "Measurement",
    "NotACovariance",
    "Past",
    "Questioned",
    "SampleMeasured",
    "Step",
    "Told",
    "Trueness",
    "WasteSeen",
    "ball_unknown",
    "believed_before",
    "between_balls",
    "core_unknown",
    "fibre_group",
    "finish_group",
    "folding_unknown",
    "grist_unknown",
    "independent",
    "joint",
    "measured_rows",
    "metres_of_balls",
    "nearest",
    "picks_weights",
    "ratio_prior",
    "read_records",
    "reading_error",
    "replay",
    "sample_unknowns",
    "stock_belief",
    "table",
    "trueness",
]
