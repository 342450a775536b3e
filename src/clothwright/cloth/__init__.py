"""Cloth: structures, sett, the geometry of crimp, mass."""

from clothwright.cloth.mass import grams_per_m2
from clothwright.cloth.peirce import WARP_SHARE_UNDER_TENSION, crimp, crimps
from clothwright.cloth.sett import (
    Firmness,
    SettCandidate,
    candidates,
    closest_sett,
    firmness,
    firmness_bands,
    sett_from_both_wraps,
    sett_from_wraps,
    usual_heddles,
)
from clothwright.cloth.structure import Structure, structure, structures

__all__ = [
    "WARP_SHARE_UNDER_TENSION",
    "Firmness",
    "SettCandidate",
    "Structure",
    "candidates",
    "closest_sett",
    "crimp",
    "crimps",
    "firmness",
    "firmness_bands",
    "grams_per_m2",
    "sett_from_both_wraps",
    "sett_from_wraps",
    "structure",
    "structures",
    "usual_heddles",
]
