"""The checks of cutting and sewing: which a garment asks for, and which of them are ticked, or put away with a reason."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any, Final

from clothwright.cloth import firmness_bands
from clothwright.evidence import fibre_group
from clothwright.finishing.off_loom import FINISHED, OffLoom
from clothwright.finishing.recipe import Recipe
from clothwright.planning.job import Garment, job_of, sett_candidates
from clothwright.project import ProblemsFound, Project

STAGES: Final = ("before cutting", "cutting", "sewing", "before wearing")
#: The first band of firmness that is called cloth to sew; what is opener frays as it is cut.
_SEWING_CLOTH: Final = "sewing cloth"
_LIGHT_G_PER_M2: Final = 88.0
_PLANT: Final = ("cotton", "linen")
_BRUSHED: Final = ("brush", "nap")


@dataclass(frozen=True)
class Check:
    """A check: when in the work it comes, what to see to, what to take care of; and how it stands.

    `day`: when it was ticked; empty where it was ticked without one. `not_needed`: why it is put away.
    """

    key: str
    stage: str
    do: str
    source: str
    caution: str = ""
    ticked: bool = False
    day: str = ""
    not_needed: str = ""
    note: str = ""

    @property
    def settled(self) -> bool:
        """Whether it is ticked, or put away with a reason."""
        return self.ticked or bool(self.not_needed)

    def as_json(self) -> dict[str, Any]:
        """The check as plain data."""
        return {
            "check": self.key,
            "stage": self.stage,
            "do": self.do,
            "caution": self.caution or None,
            "ticked": self.ticked,
            "day": self.day or None,
            "not_needed": self.not_needed or None,
            "note": self.note or None,
        }


def checks_of(
    project: Project, garment: Garment | None, recipe: Recipe, measured: OffLoom, *, drawings: Mapping[str, bytes]
) -> tuple[Check, ...]:
    """The checks that a project asks for, in the order of the work; those ticked are told even where nothing asks for them now."""
    holds = _facts(project, garment, recipe, measured, drawings)
    made = {one.check: one for one in project.checked}
    found = []
    for row in _table():
        said = made.get(row["key"])
        if said is None and row.get("when") is not None and row["when"] not in holds:
            continue
        found.append(
            Check(
                row["key"],
                row["stage"],
                row["do"],
                row["source"],
                row.get("caution", ""),
                ticked=said is not None and not said.not_needed,
                day=said.day if said else "",
                not_needed=said.not_needed if said else "",
                note=said.note if said else "",
            )
        )
    return tuple(found)


def unknown_checks(project: Project) -> tuple[str, ...]:
    """Checks that the project has ticked and the table does not know."""
    there = {row["key"] for row in _table()}
    return tuple(one.check for one in project.checked if one.check not in there)


def _facts(
    project: Project, garment: Garment | None, recipe: Recipe, measured: OffLoom, drawings: Mapping[str, bytes]
) -> frozenset[str]:
    """What the checks of the table may depend on."""
    pieces = garment.pieces if garment else ()
    found = {
        "pairs": any(piece.pair for piece in pieces),
        "stripes": bool(project.layout.stripes),
        "joins": any(piece.panel_of for piece in pieces),
        "open cloth": _is_open(project, drawings),
        "burns easily": _burns_easily(project, recipe, measured),
    }
    return frozenset(name for name, holds in found.items() if holds)


def _is_open(project: Project, drawings: Mapping[str, bytes]) -> bool:
    """Whether the sett is opener than cloth to be sewn; not told where the yarns do not say."""
    try:
        job = job_of(project, drawings)
    except ProblemsFound:
        return False
    share = next(
        (one.share_of_closest for heddle, one in sett_candidates(job.as_typed, job.yarns) if heddle == job.heddle), None
    )
    least = next(band.least_share for band in firmness_bands() if band.name == _SEWING_CLOTH)
    return share is not None and share < least


def grams_per_m2(measured: OffLoom) -> float | None:
    """What a square metre of the finished cloth weighs, by its measured weight and size."""
    sizes = measured.of(FINISHED)
    if not (sizes.weight_g and sizes.width_cm and sizes.length_cm):
        return None
    return sizes.weight_g / (sizes.width_cm * sizes.length_cm) * 10_000


def _burns_easily(project: Project, recipe: Recipe, measured: OffLoom) -> bool:
    """Light or brushed cloth of plant fibre; where its weight is not known, any that is brushed."""
    fibres = {fibre_group(one.fibre) for one in project.yarn if one.use != "only sampled"}
    if not fibres & set(_PLANT):
        return False
    weight = grams_per_m2(measured)
    return any(word in recipe.finish.casefold() for word in _BRUSHED) or (
        weight is not None and weight < _LIGHT_G_PER_M2
    )


@cache
def _table() -> tuple[dict[str, Any], ...]:
    text = resources.files(__package__).joinpath("checks.toml").read_text(encoding="utf-8")
    return tuple(tomllib.loads(text)["check"])


def check_keys() -> tuple[str, ...]:
    """Every check there is, in the order of the work."""
    return tuple(row["key"] for row in _table())
