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
from clothwright.evidence.records import COLUMNS, BadRow, ClothRecord, read_records, written_records
from clothwright.evidence.stock import (
    METER,
    ball_unknown,
    between_balls,
    core_unknown,
    grist_unknown,
    metres_of_balls,
    metres_per_gram,
    reading_error,
    stock_belief,
)
from clothwright.evidence.together import Past, believed_before
from clothwright.evidence.trueness import SIZES_TOLD, Told, Trueness, measured_of, replay, replay_measured, trueness
from clothwright.evidence.waste import MEASURED_LOG_SD, WasteBelieved, known_as, latest_warps, waste_believed

__all__ = [
    "COLUMNS",
    "EDGE",
    "LENGTH_STEPS",
    "MEASURED_LOG_SD",
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
    "WasteBelieved",
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
    "known_as",
    "latest_warps",
    "measured_of",
    "measured_rows",
    "metres_of_balls",
    "metres_per_gram",
    "nearest",
    "picks_weights",
    "ratio_prior",
    "read_records",
    "reading_error",
    "replay",
    "replay_measured",
    "sample_unknowns",
    "stock_belief",
    "table",
    "trueness",
    "waste_believed",
    "written_records",
]
