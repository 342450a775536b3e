"""The recipe to finish a cloth by: its steps, when to stop and look, and what each was in the end.

What decides. The plan's ratios hold for the treatment that the sample had, so the cloth is finished as the sample was: same water, same
time, same drying. Where no sample was washed, the finish that is planned decides, and where nothing is said the gentle one: more
can be done later, and never less. Warp and weft of several fibres are treated as fibres together. A fibre and finish the
table does not have take the row of the same finish for fibres together, then the gentle one.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any, Final

from clothwright.evidence import POOLED, fibre_group, finish_group
from clothwright.project import Project
from clothwright.project.parts.finishing_parts import DonePart

GENTLE: Final = "gentle"
_BRUSHED: Final = ("brush", "nap")
#: What only sampled yarns are used for.
_NOT_IN_THE_CLOTH: Final = "only sampled"


@dataclass(frozen=True)
class RecipeStep:
    """One step: its key, what to do, minutes, water in °C, minutes between looks, when it is enough; and how it was done."""

    key: str
    title: str
    do: str
    source: str
    minutes: int | None = None
    water_c: float | None = None
    look: int | None = None
    stop: str = ""
    done: tuple[DonePart, ...] = ()

    @property
    def looks(self) -> tuple[int, ...]:
        """The minutes after which to stop and look; none where it need not be watched."""
        if not self.look or not self.minutes:
            return ()
        return tuple(range(self.look, self.minutes + 1, self.look))

    @property
    def is_done(self) -> bool:
        """Whether it was done, once or more."""
        return bool(self.done)


@dataclass(frozen=True)
class Recipe:
    """The steps in their order, and why these.

    `finish`: the treatment in the weaver's own words, empty where none is said. `because`: where that comes from. `asked`: what does
    not agree, as questions. `other`: steps that were done and are not of this recipe.
    """

    name: str
    finish: str
    because: str
    steps: tuple[RecipeStep, ...]
    source: str
    how: str
    fibre: str
    asked: tuple[str, ...] = ()
    other: tuple[DonePart, ...] = ()

    @property
    def hot(self) -> bool:
        """Whether water of any step can scald: from about 43 °C on it is too hot to keep hands in."""
        return any((step.water_c or 0) > _SCALDS_C for step in self.steps)


#: Water warmer than hands bear for long. Common practice, no source; bath water is kept below it for the same reason.
_SCALDS_C: Final = 43.0


def recipe_of(project: Project) -> Recipe:
    """The recipe for a project's cloth, with what was done already."""
    finish, because, asked = _treatment(project)
    fibre, how = _fibre(project), finish_group(finish)
    row = _row(fibre, how)
    done = project.finishing.done if project.finishing else []
    facts = _facts(project, finish)
    steps = tuple(_step(one, done) for one in _rows_of_steps(row) if one.get("when", "") in ("", *facts))
    keys = {step.key for step in steps}
    other = tuple(one for one in done if one.step not in keys)
    return Recipe(
        row["name"], finish, because, steps, row["source"], how, fibre, (*asked, *_not_in_table(row, fibre, how)), other
    )


def _treatment(project: Project) -> tuple[str, str, tuple[str, ...]]:
    """The finish in words, where it comes from, and questions where what is said does not agree."""
    said = project.finishing.finish if project.finishing else ""
    sampled = {one.finish: one.name for one in project.sample if one.finish and _washed(one) and not one.set_aside}
    planned = project.cloth.finish
    if said:
        return said, "as you decided for this cloth", tuple(_unlike(said, sampled))
    if planned:
        agreeing = next((name for finish, name in sampled.items() if _same(finish, planned)), None)
        because = f"as planned, and as {agreeing} was treated" if agreeing else "as planned"
        return planned, because, tuple(_unlike(planned, sampled))
    if len({finish.casefold() for finish in sampled}) > 1:
        told = "; ".join(f"{name}: {finish}" for finish, name in sampled.items())
        ask = f"the samples were finished unlike each other ({told}): which treatment is this cloth to have? The first is shown."
        return next(iter(sampled)), f"as {next(iter(sampled.values()))} was treated", (ask,)
    if sampled:
        return next(iter(sampled)), f"as {next(iter(sampled.values()))} was treated", ()
    ask = "no sample says how it was washed, and no finish is planned: the gentle way is shown, since more can be done later"
    return "", "nothing is said", (ask,)


def _washed(sample: Any) -> bool:
    return bool(sample.width.finished or sample.length.finished or sample.traced.finished)


def _same(one: str, other: str) -> bool:
    return one.strip().casefold() == other.strip().casefold()


def _unlike(finish: str, sampled: dict[str, str]) -> Iterator[str]:
    """Samples that had another treatment than the cloth is to have."""
    if sampled and not any(_same(finish, one) for one in sampled):
        told = "; ".join(f"{name}: {one}" for one, name in sampled.items())
        yield f"the cloth is to be finished “{finish}”, and no sample was ({told}): its sizes may come out otherwise than forecast"


def _fibre(project: Project) -> str:
    """The fibre group of the cloth's yarns together: of one where they agree, else of fibres together."""
    groups = {fibre_group(one.fibre) for one in project.yarn if one.use != _NOT_IN_THE_CLOTH}
    return groups.pop() if len(groups) == 1 else POOLED


def _row(fibre: str, how: str) -> dict[str, Any]:
    rows = {(one["fibre"], one["finish"]): one for one in _table()["recipe"]}
    wanted = ((fibre, how), (fibre, GENTLE), (POOLED, GENTLE))
    return next(rows[key] for key in wanted if key in rows)


def _not_in_table(row: dict[str, Any], fibre: str, how: str) -> Iterator[str]:
    if row["finish"] != how:
        words = "these fibres together" if fibre == POOLED else fibre
        yield f"there is no recipe for {words}, {how}; the gentle one is shown: treat the cloth as the sample was treated"


def _facts(project: Project, finish: str) -> frozenset[str]:
    """What the table's steps may depend on."""
    colours = {one.colour.casefold() for one in project.yarn if one.colour and one.use != _NOT_IN_THE_CLOTH}
    words = finish.casefold()
    found = {
        "several colours": len(colours) > 1,
        "brushed": any(word in words for word in _BRUSHED),
    }
    return frozenset(name for name, holds in found.items() if holds)


def _rows_of_steps(row: dict[str, Any]) -> list[dict[str, Any]]:
    always = _table()["always"]
    return [*always["before"], *row["step"], *always["after"]]


def _step(row: dict[str, Any], done: list[DonePart]) -> RecipeStep:
    return RecipeStep(
        **{key: value for key, value in row.items() if key != "when"},
        done=tuple(one for one in done if one.step == row["key"]),
    )


def step_titles() -> dict[str, str]:
    """Every step that any recipe has, by its key, in the order of the table."""
    table = _table()
    rows = [
        *table["always"]["before"],
        *(step for one in table["recipe"] for step in one["step"]),
        *table["always"]["after"],
    ]
    return {one["key"]: one["title"] for one in rows}


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads(resources.files(__package__).joinpath("recipes.toml").read_text(encoding="utf-8"))
