"""Evidence: what is believed of a cloth and a yarn, and what each measurement does to it."""

from clothwright.evidence.belief import Belief, Measurement, Questioned, independent, joint
from clothwright.evidence.cloths import (
    EDGE,
    Making,
    SampleMeasured,
    believed_before,
    measured_rows,
    picks_weights,
    sample_unknowns,
)
from clothwright.evidence.history import NO_HISTORY, History, WasteSeen
from clothwright.evidence.priors import (
    LENGTH_STEPS,
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
    grist_unknown,
    metres_of_balls,
    reading_error,
    stock_belief,
)
from clothwright.evidence.trueness import SIZES_TOLD, Told, Trueness, replay, trueness

__all__ = [
    "EDGE",
    "LENGTH_STEPS",
    "METER",
    "NO_HISTORY",
    "SIZES_TOLD",
    "STEPS",
    "WIDTH_STEPS",
    "BadRow",
    "Belief",
    "ClothRecord",
    "History",
    "Making",
    "Measurement",
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
    "grist_unknown",
    "independent",
    "joint",
    "measured_rows",
    "metres_of_balls",
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
