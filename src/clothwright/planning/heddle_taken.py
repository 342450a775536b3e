"""A heddle taken where none is owned yet: of those commonly sold, the one nearest to what the yarn asks for."""

from __future__ import annotations

from clothwright.cloth import read_threadings, usual_heddles
from clothwright.planning.job import sett_candidates
from clothwright.project import ProblemsFound, Project
from clothwright.project.domain import yarns


def heddle_taken(project: Project) -> str | None:
    """What is printed on it; None where the project's yarns are not settled yet.

    A wish for inches takes one printed per inch, and one for centimetres one printed per 10 cm.
    """
    inches = project.units == "imperial"
    sold = [one for one in usual_heddles() if one.endswith("/in") == inches]
    loom = project.loom.model_copy(update={"heddles": list(read_threadings(sold))})
    try:
        found = sett_candidates(project.model_copy(update={"loom": loom}), yarns(project))
    except ProblemsFound:
        return None
    return found[0][0].name
