"""Jobs weighed up, for tests of what is to be known before it is measured."""

from __future__ import annotations

from typing import Any

from planning.asking import changed, tree

from clothwright.planning.job import Job, job_of
from clothwright.project import read_project

SLATE = tree("slate-tide-cloth")

#: The same cloth with nothing known of it but its yarn, on a loom wide enough to be unsure on.
UNSAMPLED = changed(
    SLATE,
    sample=[],
    cloth__picks=None,
    cloth__warp_take_up=None,
    cloth__weft_take_up=None,
    yarn__0__balls__0__net="170 g",
    loom__weaving_width="90 cm",
)
#: Two heddles owned and none stated; a warp from few ends per cm to many.
OPEN = changed(
    UNSAMPLED, cloth__heddle=None, loom__heddles=["30/10 cm", "40/10 cm", "60/10 cm"], yarn__0__wraps="15/in"
)


def job(given: dict[str, Any]) -> Job:
    """The job a tree asks for."""
    return job_of(read_project(given), {})
