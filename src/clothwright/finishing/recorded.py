"""What was measured and done off the loom, for the record: actual sizes and weight, the treatment the cloth really had.

The record of a garment reads `what_became`; the record part of a project, which is evidence for later plans, is filled by
`record_from_finishing`, only where it is blank.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from statistics import fmean
from typing import Any, Final

from clothwright.finishing.off_loom import FINISHED, OFF, RESTED, OffLoom, Sizes, sizes_off_loom
from clothwright.finishing.recipe import Recipe, RecipeStep, recipe_of, step_titles
from clothwright.project import Project
from clothwright.project.parts.finishing_parts import STATES_OFF, DonePart
from clothwright.weaving import record_from_log

Path = tuple[str, ...]
_PLACES: Final = ("start", "middle", "end")


@dataclass(frozen=True)
class Became:
    """The cloth as it became: its sizes by state, the treatment as planned and in words as it was done, the checks that were settled."""

    off_loom: Sizes
    rested: Sizes
    finished: Sizes
    finish: str
    done: tuple[str, ...]
    ticked: tuple[str, ...]
    put_away: tuple[tuple[str, str], ...]

    def as_json(self) -> dict[str, Any]:
        """All of it as plain data; cm and g."""
        return {
            "off_loom": self.off_loom.as_json(),
            "rested": self.rested.as_json(),
            "finished": self.finished.as_json(),
            "finish": self.finish,
            "done": list(self.done),
            "checks_ticked": list(self.ticked),
            "checks_not_needed": [{"check": check, "because": why} for check, why in self.put_away],
        }


def what_became(project: Project) -> Became:
    """What a project's cloth became off the loom, by what is typed of it; nothing is reckoned."""
    sizes, recipe = sizes_off_loom(project), recipe_of(project)
    return Became(
        sizes.get(OFF, Sizes(OFF)),
        sizes.get(RESTED, Sizes(RESTED)),
        sizes.get(FINISHED, Sizes(FINISHED)),
        recipe.finish,
        tuple(done_words(recipe)),
        tuple(one.check for one in project.checked if not one.not_needed),
        tuple((one.check, one.not_needed) for one in project.checked if one.not_needed),
    )


def done_words(recipe: Recipe) -> Iterator[str]:
    """Every step that was done, as it was done, in the order of the recipe."""
    for step in recipe.steps:
        yield from (in_words(step.title, one) for one in step.done)
    titles = step_titles()
    yield from (in_words(titles.get(one.step, one.step), one) for one in recipe.other)


def in_words(title: str, one: DonePart) -> str:
    """A step as it was done, after its title: minutes, water, method, what was seen, when."""
    told = (f"{one.minutes} min" if one.minutes else "", one.water, one.how, one.seen and f"seen: {one.seen}", one.when)
    said = ", ".join(filter(None, told))
    return f"{title}: {said}" if said else title


def untold(step: RecipeStep) -> tuple[str, ...]:
    """What is still to be written down of a step that was done: its minutes, its water."""
    if not step.done:
        return ()
    last = step.done[-1]
    asked = (("minutes", step.minutes, last.minutes), ("water", step.water_c, last.water))
    return tuple(name for name, planned, done in asked if planned and not done)


def record_from_finishing(project: Project) -> Mapping[Path, Any]:
    """Values of the record by their path below it, as text a file takes, each as it was measured."""
    return dict(_found(project))


def record_known(project: Project) -> Mapping[Path, Any]:
    """All that need not be typed again of the record: what the log knows, and over it what was measured of the cloth itself."""
    return {**record_from_log(project), **record_from_finishing(project)}


def _found(project: Project) -> Iterator[tuple[Path, Any]]:
    by_state = {state: [one for one in project.off_loom if one.state == state] for state in STATES_OFF}
    for one in by_state[FINISHED]:
        for place in _PLACES:
            if (width := getattr(one.width, place)) is not None:
                yield ("width", "finished", place), str(width)
        if one.length:
            yield ("length", "finished"), str(one.length)
    for one in (*by_state[OFF], *by_state[RESTED]):
        if one.width.lengths:
            widths = one.width.lengths
            mean = str(widths[0]) if len(widths) == 1 else f"{fmean(width.cm for width in widths):.1f} cm"
            yield ("width", "off_loom"), mean
        if one.length:
            yield ("length", "off_loom"), str(one.length)
    if project.finishing and project.finishing.finish:
        yield ("finish",), project.finishing.finish


def all_measured(measured: OffLoom) -> bool:
    """Whether the finished cloth was measured at three places, and along."""
    sizes = measured.of(FINISHED)
    return len(sizes.widths_cm) == len(_PLACES) and sizes.length_cm is not None
