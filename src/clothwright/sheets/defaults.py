"""What a plan took because nobody said it: each field with what was taken, and why; never more than the plan itself went by."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from pydantic import BaseModel

from clothwright.evidence import POOLED, fibre_group
from clothwright.measure import Interval
from clothwright.planning import Plan
from clothwright.project import Project
from clothwright.project.beginning.few_answers import HEDDLES
from clothwright.sheets.wording import LENGTH, THREADS, percent


@dataclass(frozen=True)
class Default:
    """A field nobody filled in: its path in the project, what it is called, what was taken, and why that."""

    path: str
    what: str
    taken: str
    why: str


_USUAL: Final = "until a sample or a record of yours says more"


def defaults_taken(
    project: Project, plan: Plan, taken: Mapping[str, str], *, imperial: bool = False
) -> tuple[Default, ...]:
    """Every default of a plan; `taken`: fields that were filled in for her when she began, and with what."""
    every = (*_yarns(project, taken), *_loom(project, plan, taken, imperial), *_cloth(plan, imperial))
    units = (Default("units", "Units", "inches, yards, ounces", "as you typed"),) if "units" in taken else ()
    return (*(one for one in every if one.path in taken or not _said(project, one.path)), *units)


def _yarns(project: Project, taken: Mapping[str, str]) -> Iterator[Default]:
    several = len(project.yarn) > 1
    for place, yarn in enumerate(project.yarn):
        of = f" of {yarn.name}" if several else ""
        made = f"yarn.{place}.made"
        why = (
            "a count is a number that mills give"
            if made in taken
            else "which varies more than mill yarn, so the verdict is careful"
        )
        yield Default(made, f"Spinning{of}", yarn.made, why)
        if fibre_group(yarn.fibre) == POOLED:
            words = "not said" if not yarn.fibre else f"“{yarn.fibre}”, which no table has"
            yield Default(f"yarn.{place}.fibre", f"Fibre{of}", words, "so what is usual for all fibres together")
        yield Default(
            f"yarn.{place}.state",
            f"Measured{of}",
            "washed and slack",
            "unwashed, up to a fifth may vanish in the first wash",
        )
        if several:
            yield Default(f"yarn.{place}.use", f"Use{of}", yarn.use, "it may go either way")


def _loom(project: Project, plan: Plan, taken: Mapping[str, str], imperial: bool) -> Iterator[Default]:
    if HEDDLES in taken:
        nearest = "of those commonly sold, nearest to what the yarn asks for in this structure"
        yield Default(HEDDLES, "Heddle", plan.warp.heddle, nearest)
    yield Default("loom.weaving_width", "Width of the loom", "wide enough", "nobody said one")
    yield Default("loom.kind", "Loom", project.loom.kind, "the commonest narrow loom")
    yield Default(
        "loom.warping", "Warping", "direct: slot to peg, ends in pairs", "as rigid heddle looms are mostly warped"
    )
    waste = _range(plan.warp.waste_cm, imperial)
    yield Default("loom.waste", "Loom waste, once per warp", waste, f"what such looms leave, {_USUAL}")


def _cloth(plan: Plan, imperial: bool) -> Iterator[Default]:
    weft, cloth, warp = plan.weft, plan.cloth, plan.warp
    yield Default("cloth.structure", "Structure", "plain weave", "the simplest, and the most sewn")
    picks = THREADS.range(weft.picks_per_cm_on_loom, imperial=imperial)
    yield Default("cloth.picks", "Picks, on the loom", picks, f"what a balanced cloth takes, {_USUAL}")
    yield Default("cloth.finish", "Finish", "washed gently, by hand", "machines and fulling take more")
    width = cloth.finished_width_cm.expected / warp.width_in_heddle_cm
    yield Default("cloth.width_ratio", "Finished width", f"about {percent(width)} of the width in the heddle", _USUAL)
    length = cloth.finished_length_cm.expected / weft.woven_on_loom_cm.expected
    yield Default(
        "cloth.length_ratio", "Finished length", f"about {percent(length)} of what is woven, under tension", _USUAL
    )
    yield Default("cloth.on_warp_sample", "Sample on the same warp", "none", "one takes warp, and settles much")
    yield Default(
        "trust.size", "Chance that the cloth is large enough", percent(plan.trust_size), "surer takes more warp"
    )
    yield Default("trust.yarn", "Chance that the yarn lasts", percent(plan.trust_yarn), "surer asks for more left over")


def _range(length_cm: Interval, imperial: bool) -> str:
    return LENGTH.range(length_cm, imperial=imperial)


def _said(project: Project, path: str) -> bool:
    """Whether a field was filled in."""
    part: Any = project
    for step in path.split("."):
        if isinstance(part, list):
            part = part[int(step)]
        elif isinstance(part, BaseModel):
            if step not in part.model_fields_set or getattr(part, step) in ("", None, []):
                return False
            part = getattr(part, step)
    return True
