"""The whole answer off the loom: what was measured, the recipe, the cloth that there is with the pieces on it, the checks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any, Final, Protocol

from clothwright.evidence import NO_HISTORY, History
from clothwright.finishing.checks import Check, checks_of, grams_per_m2, unknown_checks
from clothwright.finishing.off_loom import FINISHED, OFF, RESTED, OffLoom, off_loom
from clothwright.finishing.real_cloth import RealCloth, real_cloth
from clothwright.finishing.recipe import Recipe, RecipeStep, recipe_of
from clothwright.finishing.recorded import Became, done_words, what_became
from clothwright.finishing.relaid import ClothAnswer, ClothWay
from clothwright.finishing.relaying import on_the_cloth
from clothwright.planning import LayoutSearch, Plan
from clothwright.planning.cautions import cautions_when
from clothwright.planning.job import Garment, garment_of
from clothwright.project import Problem, ProblemsFound, Project

#: Steps that are done once the cloth was measured in one of these states.
_MEASURES: Final = {"measure off": (OFF, RESTED), "measure finished": (FINISHED,)}
_NO_DRAWINGS: Final[Mapping[str, bytes]] = MappingProxyType({})


class Lay(Protocol):
    """Lays the pieces of a project on its finished cloth."""

    def __call__(
        self, project: Project, cloth: RealCloth, *, drawings: Mapping[str, bytes], layouts: LayoutSearch | None
    ) -> ClothAnswer:
        """The pieces on the cloth, and the ways where they do not all fit."""
        ...


@dataclass(frozen=True)
class Finish:
    """What is to be done off the loom, and how it stands.

    `cloth`: None while nothing tells its size; then `to_settle` says what is to be measured. `on_cloth`: None where nothing is cut
    from it. `asked`: what does not agree.
    """

    name: str
    measured: OffLoom
    recipe: Recipe
    became: Became
    checks: tuple[Check, ...]
    cautions: tuple[str, ...]
    asked: tuple[str, ...]
    cloth: RealCloth | None = None
    on_cloth: ClothAnswer | None = None
    to_settle: tuple[Problem, ...] = ()

    def is_done(self, step: RecipeStep) -> bool:
        """Whether a step was done: it is written down, or what it measures was measured."""
        measured = {key for key, states in _MEASURES.items() if any(state in self.measured.sizes for state in states)}
        return step.is_done or step.key in measured

    @property
    def grams_per_m2(self) -> float | None:
        """What a square metre of the finished cloth weighs."""
        return grams_per_m2(self.measured)

    def as_json(self) -> dict[str, Any]:
        """The answer as plain data: cm, g, °C, minutes."""
        measured = self.measured
        return {
            "name": self.name,
            "measured": [one.as_json() for one in measured.sizes.values()],
            "missed_a_mark": measured.missed.as_json() if measured.missed else None,
            "recipe": self._recipe_data(),
            "g_per_m2": self.grams_per_m2,
            "cloth": self.cloth.as_json() if self.cloth else None,
            "cut_from_it": self.on_cloth.as_json() if self.on_cloth else None,
            "to_settle": [{"field": one.where, "sentence": one.sentence} for one in self.to_settle],
            "checks": [one.as_json() for one in self.checks],
            "cautions": list(self.cautions),
            "asked": list(self.asked),
        }

    def _recipe_data(self) -> dict[str, Any]:
        recipe = self.recipe
        return {
            "name": recipe.name,
            "finish": recipe.finish or None,
            "because": recipe.because,
            "source": recipe.source,
            "steps": [_step_data(step) | {"done": self.is_done(step)} for step in recipe.steps],
            "done": list(done_words(recipe)),
        }


def _step_data(step: RecipeStep) -> dict[str, Any]:
    return {
        "step": step.key,
        "title": step.title,
        "do": step.do,
        "water_c": step.water_c,
        "minutes": step.minutes,
        "stop_and_look_after_min": list(step.looks),
        "stop": step.stop or None,
        "source": step.source,
    }


def finish(
    project: Project,
    *,
    drawings: Mapping[str, bytes] = _NO_DRAWINGS,
    history: History = NO_HISTORY,
    layouts: LayoutSearch | None = None,
    lay: Lay = on_the_cloth,
) -> Finish:
    """What is to be done off the loom of a project; ProblemsFound only where its pieces cannot be read.

    `lay`: lays the pieces on the cloth; whoever asks often remembers what it answered.
    """
    measured, recipe = off_loom(project, drawings=drawings, history=history), recipe_of(project)
    garment = _garment(project, drawings)
    asked = (*measured.asked, *recipe.asked, *_unknown(project))
    found = Finish(
        project.name,
        measured,
        recipe,
        what_became(project),
        checks_of(project, garment, recipe, measured, drawings=drawings),
        _cautions(project, recipe),
        asked,
    )
    try:
        cloth = real_cloth(project, measured)
    except ProblemsFound as wrong:
        return replace(found, to_settle=wrong.problems)
    if garment is None:
        return replace(found, cloth=cloth)
    return replace(found, cloth=cloth, on_cloth=lay(project, cloth, drawings=drawings, layouts=layouts))


def _garment(project: Project, drawings: Mapping[str, bytes]) -> Garment | None:
    """The pieces that are cut; None where the cloth is all that is wanted."""
    if project.pattern is None or not project.pattern.holds_pieces:
        return None
    return garment_of(project, drawings)[0]


def _unknown(project: Project) -> Iterator[str]:
    for name in unknown_checks(project):
        yield f"“{name}” is ticked, and is no check there is; it is kept"
    recipe = recipe_of(project)
    for one in recipe.other:
        yield f"“{one.step}” was done, and is no step of the recipe shown; it is kept and told"


def _cautions(project: Project, recipe: Recipe) -> tuple[str, ...]:
    """What the recipe calls for."""
    colours = {one.colour.casefold() for one in project.yarn if one.colour}
    holds = {
        "fulling": recipe.how == "fulled",
        "felting": recipe.fibre in ("wool", "unknown") and recipe.how != "fulled",
        "hot water": recipe.hot and recipe.how != "fulled",
        "machine wash": recipe.how == "machine",
        "dye run": len(colours) > 1,
        "allergy": True,
    }
    return cautions_when(*(when for when, is_so in holds.items() if is_so))


def plan_of_the_cloth(plan: Plan, found: Finish, way: ClothWay | None = None) -> Plan:
    """A plan with its layout and its cloth as they really are, for the cutting sheet; ProblemsFound where not all is cut from it."""
    relaid = way.relaid if way else found.on_cloth.relaid if found.on_cloth else None
    cloth = way.cloth if way else found.cloth
    if cloth is None or relaid is None or relaid.layout is None or not relaid.fits:
        raise ProblemsFound(*(found.to_settle or (_NOT_ALL,)))
    return replace(
        plan,
        layout=relaid.layout,
        outlines=relaid.outlines,
        cloth=replace(plan.cloth, asked_width_cm=relaid.width_cm, asked_length_cm=cloth.length_cm),
        squaring_cm=cloth.squaring_cm,
        selvedge_trim_cm=cloth.trim_cm,
        staircase=(),
        width_advice=None,
        least_length=None,
        notes=tuple(relaid.told),
    )


_NOT_ALL: Final = Problem(("pattern",), "not all pieces are cut from the finished cloth; take one of the ways first")
