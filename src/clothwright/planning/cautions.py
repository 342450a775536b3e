"""Which cautions a plan calls for: short, at the step, never blocking, never legal or medical advice."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources

from clothwright.cloth import burning_question
from clothwright.evidence import POOLED, fibre_group, finish_group
from clothwright.planning.job import Job


def cautions(job: Job, g_per_m2: float | None) -> tuple[str, ...]:
    """The cautions for a job, in the order of the table."""
    holds = {
        "always": True,
        "garment": job.garment is not None,
        "fulling": finish_group(job.project.cloth.finish) != "gentle"
        and fibre_group(job.yarns.fibre) in ("wool", POOLED),
        "direct warping": job.loom.warping == "direct",
        "light plant fibre": burning_question(job.yarns.fibre, job.project.cloth.finish, g_per_m2) is not None,
    }
    return cautions_when(*(when for when, is_so in holds.items() if is_so))


def cautions_when(*whens: str) -> tuple[str, ...]:
    """The cautions that any of these words or steps call for, in the order of the table."""
    return tuple(row["text"] for row in _table() if row["when"] in whens)


@cache
def _table() -> tuple[dict[str, str], ...]:
    text = resources.files(__package__).joinpath("cautions.toml").read_text(encoding="utf-8")
    return tuple(tomllib.loads(text)["caution"])
