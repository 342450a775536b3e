"""The layout alone: for the width of cloth wanted, or the usable width of least yarn."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from clothwright.layout import Copy, Layout
from clothwright.planning.answer import PlacedOutline, WidthStep, layout_data
from clothwright.planning.fitting import LayoutSearch, fit
from clothwright.planning.job import garment_of, job_of
from clothwright.planning.weighing_up import weigh_up
from clothwright.project import Project


@dataclass(frozen=True)
class Laid:
    """A layout, where each piece is cut, every width tried, and notes on the drawing."""

    layout: Layout
    outlines: tuple[PlacedOutline, ...]
    staircase: tuple[WidthStep, ...]
    notes: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """The layout as plain data, by the keys of the contract."""
        return {"layout": layout_data(self.layout, self.outlines), "notes": list(self.notes)}


def copies_to_cut(project: Project, drawings: Mapping[str, bytes]) -> tuple[Copy, ...]:
    """Every copy of every piece of a project; ProblemsFound when there are none."""
    return garment_of(project, drawings)[0].copies


def lay(project: Project, *, drawings: Mapping[str, bytes], layouts: LayoutSearch | None = None) -> Laid:
    """The layout for a project's pieces; ProblemsFound when there are none, or one is too wide."""
    garment, notes = garment_of(project, drawings)
    if project.want is not None:
        fitted = fit(garment, project.want.width.cm, lambda _width, length: length, layouts, only_widest=True)
    else:
        weighed = weigh_up(job_of(project, drawings), layouts)
        assert weighed.fitted is not None  # a project with pieces is fitted
        fitted = weighed.fitted
    return Laid(fitted.layout, fitted.outlines, fitted.staircase, (*fitted.told, *notes))
