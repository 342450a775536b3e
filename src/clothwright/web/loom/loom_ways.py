"""A way out that is taken, at the desk or on a phone: the log says so, and the project says what is woven and cut from here on."""

from __future__ import annotations

import copy
from typing import Annotated, Any, Final, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from clothwright.library.loom.weaving_log import add_entry
from clothwright.library.models import Project
from clothwright.pattern import OTHER_CLOTH
from clothwright.weaving import LoomForecast, WayThrough
from clothwright.web.forms.typed import Tree, at, put, rows
from clothwright.web.pieces.narrow import with_material

_LONGEST_CM: Final = 100_000.0
Cm = Annotated[float, Field(ge=0, le=_LONGEST_CM, allow_inf_nan=False)]
Words = Annotated[str, Field(min_length=1, max_length=1000)]
Names = Annotated[list[Annotated[str, Field(min_length=1, max_length=200)]], Field(max_length=200)]


class WayTaken(BaseModel):
    """What of a way out the project keeps: in words, where the weaving stops, bands, and what the pattern says then.

    `instead_of_cm` and `bands_before` tell of which plan it is a way out: where the weaving was to stop, and how many bands there were.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)

    what: Words
    change: Words
    stop_at_cm: Cm
    instead_of_cm: Cm
    bands_before: Annotated[int, Field(ge=0, le=1000)] = 0
    bands_cm: Annotated[list[Annotated[list[Cm], Field(min_length=2, max_length=2)]], Field(max_length=100)] = []
    other_cloth: Names = []
    of_pattern: dict[Literal["size", "version", "one_way"], Annotated[str, Field(max_length=200)]] = {}

    @model_validator(mode="after")
    def _bands_are_cloth(self) -> WayTaken:
        if any(end <= start for start, end in self.bands_cm):
            raise ValueError("a band that stops before it begins is no cloth")
        return self


def way_taken(way: WayThrough, told: LoomForecast) -> WayTaken:
    """What the project would keep of a way out of a forecast."""
    return WayTaken(
        instead_of_cm=told.to_weave_cm,
        bands_before=len(told.bands),
        what=way.what,
        change=way.change,
        stop_at_cm=way.stop_at_cm,
        bands_cm=[list(band) for band in way.bands],
        other_cloth=list(way.other_cloth),
        of_pattern=dict(way.of_pattern),
    )


def overtaken(way: WayTaken, told: LoomForecast) -> str:
    """Why a way that was chosen on a phone some time ago can no longer be taken, in one sentence; nothing where it can."""
    if (told.to_weave_cm, len(told.bands)) != (way.instead_of_cm, way.bands_before):
        return "what is to be woven was changed meanwhile, so look again at the ways out"
    first = min([way.stop_at_cm, *(begins for begins, _ in way.bands_cm)])
    if first < told.woven_cm:
        return f"it begins at {first:g} cm, and {told.woven_cm:g} cm are woven by now"
    return ""


def take_way(project: Project, way: WayTaken, key: str, when: str = "") -> None:
    """Write in the log that a way was taken, and keep in the project what it changes, in one step that one undo takes back."""
    entry = {"key": key, "changed_mind": f"{way.what}: {way.change}"} | ({"when": when} if when else {})
    add_entry(project, entry, also=lambda tree: _changed(tree, way), what=f"took a way out: {way.what}")


def _changed(tree: Tree, way: WayTaken) -> Tree:
    changed = copy.deepcopy(tree)
    put(changed, ("on_loom", "to_weave"), f"{way.stop_at_cm:g} cm")
    new = [{"begins": f"{start:.0f} cm", "stops": f"{end:.0f} cm"} for start, end in way.bands_cm]
    if new:
        put(changed, ("on_loom", "bands"), [*rows(changed, ("on_loom", "bands")), *new])
    for name in way.other_cloth:
        changed = with_material(changed, name, OTHER_CLOTH)
    for field, value in way.of_pattern.items():
        if at(changed, ("pattern", field)) != value:
            put(changed, ("pattern", field), _as_kept(field, value))
    return changed


def _as_kept(field: str, value: str) -> Any:
    return value == "yes" if field == "one_way" else value
