"""The layout alone: for the width of cloth wanted, or the usable width of least yarn."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np

from clothwright.evidence import EDGE
from clothwright.layout import Copy, Layout, candidate_widths, narrowest_cm
from clothwright.planning.answer import LeastLength, PlacedOutline, WidthAdvice, WidthStep, layout_data, plain_data
from clothwright.planning.forecast import Forecast
from clothwright.planning.job import Garment, Job, garment_of, job_of
from clothwright.planning.pieces.fitting import Fitted, LayoutSearch, fit, keep_rules, quick_layouts
from clothwright.planning.pieces.width_steps import Aimed, WidthsTold, tell_widths
from clothwright.planning.weighing_up import weigh_up
from clothwright.project import ProblemsFound, Project

#: How far beyond the width wanted the staircase looks, cm, and how many widths it tries.
_BEYOND_CM: Final = 12.0
_WIDTHS: Final = 16


@dataclass(frozen=True)
class Laid:
    """A layout, where each piece is cut, every width tried with what follows from them, and notes on the drawing.

    `yarn_known`: whether the steps say what they take in yarn; for a width wanted by itself they do not.
    """

    layout: Layout
    outlines: tuple[PlacedOutline, ...]
    staircase: tuple[WidthStep, ...]
    notes: tuple[str, ...]
    width_advice: WidthAdvice
    least_length: LeastLength
    yarn_known: bool

    def as_json(self) -> dict[str, Any]:
        """The layout as plain data, by the keys of the contract."""
        return {
            "layout": layout_data(self.layout, self.outlines, self.least_length),
            "staircase": [self._step(step) for step in self.staircase],
            "width_advice": plain_data(self.width_advice),
            "notes": list(self.notes),
        }

    def _step(self, step: WidthStep) -> dict[str, Any]:
        data: dict[str, Any] = plain_data(step)
        return data if self.yarn_known else data | {"yarn_m": None}


def copies_to_cut(project: Project, drawings: Mapping[str, bytes]) -> tuple[Copy, ...]:
    """Every copy of every piece of a project; ProblemsFound when there are none."""
    return garment_of(project, drawings)[0].copies


def lay(
    project: Project,
    *,
    drawings: Mapping[str, bytes],
    layouts: LayoutSearch | None = None,
    other_widths: LayoutSearch | None = None,
) -> Laid:
    """The layout for a project's pieces; ProblemsFound when there are none, or one is too wide.

    For a width wanted, `layouts` searches at that width and `other_widths` at those about it.
    """
    garment, notes = garment_of(project, drawings)
    if project.want is not None:
        return _on_width_wanted(project, drawings, garment, notes, layouts, other_widths)
    weighed = weigh_up(job_of(project, drawings), layouts)
    assert weighed.fitted is not None  # a project with pieces is fitted
    width = weighed.outcome.finished_width
    aimed = Aimed(float(np.median(width)), width, float(np.median(weighed.metres_per_finished_cm)))
    return _laid(weighed.fitted, tell_widths(garment, weighed.fitted, aimed), notes, yarn_known=True)


def _on_width_wanted(
    project: Project,
    drawings: Mapping[str, bytes],
    garment: Garment,
    notes: tuple[str, ...],
    layouts: LayoutSearch | None,
    other_widths: LayoutSearch | None,
) -> Laid:
    assert project.want is not None  # asked only where it is
    wanted = project.want.width.cm
    fitted = fit(garment, wanted, _length, layouts, only_widest=True)
    told = tell_widths(garment, _with_steps_about(garment, fitted, other_widths), _aimed_at(project, drawings, wanted))
    return _laid(fitted, told, notes, yarn_known=False)


def _length(_width_cm: float, length_cm: float) -> float:
    return length_cm


def _laid(fitted: Fitted, told: WidthsTold, notes: tuple[str, ...], *, yarn_known: bool) -> Laid:
    return Laid(
        fitted.layout, fitted.outlines, told.staircase, (*fitted.told, *notes), told.advice, told.least, yarn_known
    )


def _with_steps_about(garment: Garment, fitted: Fitted, layouts: LayoutSearch | None) -> Fitted:
    """The layout at one width with those at widths about it; no wider one longer than what is known."""
    here = fitted.layout.width_cm
    copies = garment.copies
    widths = candidate_widths(copies, least_cm=0.0, most_cm=max(here, narrowest_cm(copies)) + _BEYOND_CM, most=_WIDTHS)
    found = (layouts or quick_layouts)(
        copies, tuple(width for width in widths if width != here), _length, garment.asked.rules
    )
    (taken,) = fitted.steps
    shorter = [one for one in found if one.width_cm <= here or one.layout.length_cm <= taken.layout.length_cm]
    return replace(fitted, steps=(*keep_rules(garment, tuple(shorter), _length).steps, taken))


def _aimed_at(project: Project, drawings: Mapping[str, bytes], width_cm: float) -> Aimed:
    """Cloth aimed at a finished width, with what may come of it where yarn and loom are told."""
    try:
        job = job_of(project, drawings)
    except ProblemsFound:
        return Aimed(width_cm)
    return Aimed(width_cm, width_cm * _about_the_middle(job, width_cm))


def _about_the_middle(job: Job, width_cm: float) -> Any:
    """Finished width over the one aimed for, in every drawn cloth."""
    forecast = Forecast(job)
    ratio = np.exp(forecast.width_log + forecast.drawn[EDGE] / width_cm)
    return ratio / np.median(ratio)
