"""What a weaving log says stands on the loom: how much is woven, and every weighing, pick count and width with its place.

Entries count in the order in which they were made: by their `when` where they have one, else as they stand in the log; a
correction has the place of what it corrects. Where an entry has less woven than one before it, it is either late in
coming or cloth was taken out again. Which it is must be said (`woven_back`), or follow from both having a time; else the
most that was woven counts, and it is asked.
"""

from __future__ import annotations

import datetime
import itertools
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from clothwright.measure import Weight
from clothwright.project import Project
from clothwright.project.domain import DEFAULT_SCALE_STEP_G
from clothwright.project.fields import CoreName
from clothwright.project.loom.log_growing import Entry, entries
from clothwright.project.parts.log_parts import LogPart, WeighedPart

#: The key of a weighing that the log does not have and the plan tells.
THE_PLAN: Final = "the plan"
_EVEN: Final = math.sqrt(12)
#: Less than this is the same place: a tape read twice.
_SAME_PLACE_CM: Final = 0.05


@dataclass(frozen=True)
class Weighing:
    """All that was left of a yarn, net, at so much woven; `sd_g` of the scale.

    `less_warp_m`: the warp of the same yarn, where its weight was reckoned off and not weighed.
    """

    woven_cm: float
    grams: float
    sd_g: float
    key: str
    less_warp_m: float = 0.0


@dataclass(frozen=True)
class Counted:
    """Picks counted over the cm that end at so much woven."""

    woven_cm: float
    count: float
    over_cm: float
    key: str

    @property
    def per_cm(self) -> float:
        """Picks per cm on the loom."""
        return self.count / self.over_cm


@dataclass(frozen=True)
class Width:
    """The width at the fell at so much woven, cm."""

    woven_cm: float
    width_cm: float
    key: str


@dataclass(frozen=True)
class Logged:
    """What stands on the loom. `weighings` by yarn, each in the order of the cloth; `asked`: what is to be settled, in words."""

    woven_cm: float
    weighings: Mapping[str, tuple[Weighing, ...]]
    picks: tuple[Counted, ...]
    widths: tuple[Width, ...]
    entries: tuple[Entry, ...]
    asked: tuple[str, ...] = ()
    warp_left: tuple[float, float] | None = None

    @property
    def in_order(self) -> tuple[Entry, ...]:
        """The entries that count, in the order in which they were made."""
        return made_in_order(self.entries)

    @property
    def marks_cm(self) -> tuple[float, ...]:
        """Every place along the cloth at which something was measured, from its first pick."""
        weighed = [one.woven_cm for found in self.weighings.values() for one in found]
        seen = [*(one.woven_cm for one in self.picks), *(one.woven_cm for one in self.widths)]
        return tuple(sorted({round(cm, 3) for cm in (*weighed, *seen)}))


def made_in_order(found: Iterable[Entry]) -> tuple[Entry, ...]:
    """The entries that count, by when they were made; one without a time follows the one before it."""
    by_place = sorted((one for one in found if one.counts), key=lambda one: (one.in_place_of, one.number))
    ordered, last = [], ""
    for one in by_place:
        last = _moment(one.part) or last
        ordered.append((last, one))
    return tuple(one for _, one in sorted(ordered, key=lambda pair: pair[0]))


def _moment(part: LogPart) -> str:
    """When, so that text in order is time in order; a day alone begins it."""
    return datetime.datetime.fromisoformat(part.when).replace(tzinfo=None).isoformat() if part.when else ""


def logged(project: Project) -> Logged:
    """What the log of a project says stands on the loom."""
    found = entries(project.log)
    standing, asked = _standing(made_in_order(found))
    asked = (*_questions(found), *asked)
    weighed = _weighings(project, standing)
    return Logged(
        woven_cm=max((cm for _, cm in standing), default=0.0),
        weighings=weighed,
        picks=tuple(sorted(_counted(standing), key=lambda one: one.woven_cm)),
        widths=tuple(
            sorted(
                (Width(cm, one.part.width_at_fell.cm, one.key) for one, cm in standing if one.part.width_at_fell),
                key=lambda one: one.woven_cm,
            )
        ),
        entries=found,
        asked=(*asked, *_gained(weighed)),
        warp_left=next(((cm, one.part.warp_left.cm) for one, cm in reversed(standing) if one.part.warp_left), None),
    )


def _questions(found: Iterable[Entry]) -> Iterator[str]:
    for one in found:
        if one.part.other_of and one.set_aside.endswith("?"):
            yield f"{one.key} came with other content than {one.part.other_of}: which is right? The first counts until you say."


def _standing(made: Sequence[Entry]) -> tuple[list[tuple[Entry, float]], tuple[str, ...]]:
    """The entries that tell of cloth that is still there, each with how much was woven, and what is asked about the rest."""
    standing: list[tuple[Entry, float]] = []
    asked = []
    for one in made:
        before = standing[-1][1] if standing else 0.0
        woven = one.part.woven.cm if one.part.woven else before
        most = max((cm for _, cm in standing), default=0.0)
        if woven < most - _SAME_PLACE_CM:
            later = next(entry for entry, cm in standing if cm == most)
            if one.part.woven_back or (one.part.when and later.part.when and one.part.when > later.part.when):
                standing = [(entry, cm) for entry, cm in standing if cm <= woven + _SAME_PLACE_CM]
                if not one.part.woven_back:
                    asked.append(
                        f"{one.key} has {woven:g} cm woven after {most:g} cm: taken as woven back. A slip of the tape?"
                    )
            else:
                asked.append(
                    f"{one.key} has {woven:g} cm woven and came after {most:g} cm: taken as late in coming. If cloth was "
                    "taken out, say woven back."
                )
        standing.append((one, woven))
    return sorted(standing, key=lambda pair: pair[1]), tuple(asked)


def _weighings(project: Project, standing: Sequence[tuple[Entry, float]]) -> dict[str, tuple[Weighing, ...]]:
    found: dict[str, dict[float, Weighing]] = {}
    for entry, woven in standing:
        for yarn, grams, spread in _weighed(project, entry.part):
            found.setdefault(yarn, {})[woven] = Weighing(woven, grams, spread, entry.key)
    return {yarn: tuple(by_place.values()) for yarn, by_place in found.items()}


def _weighed(project: Project, part: LogPart) -> Iterator[tuple[str, float, float]]:
    """Each yarn weighed in an entry: grams net in all, and the scale's error."""
    for yarn, left in part.weft_left.items():
        yield yarn.strip(), left.grams, _scale_sd(project, yarn, left)
    for yarn in dict.fromkeys(one.yarn for one in part.weighed):
        of_it = [one for one in part.weighed if one.yarn == yarn]
        spreads = [_scale_sd(project, yarn, weight) for one in of_it for weight in _on_the_scale(one)]
        yield yarn, sum(_net_g(project, one) for one in of_it), math.hypot(*spreads)


def _on_the_scale(one: WeighedPart) -> list[Weight]:
    return [one.gross, *([one.beside] if one.beside else [])]


def _net_g(project: Project, one: WeighedPart) -> float:
    core = one.core
    if isinstance(core, CoreName):
        core = next(part.weight for part in project.core if part.name == core.name)
    return one.gross.grams - (core.grams if core else 0.0) + (one.beside.grams if one.beside else 0.0)


def _scale_sd(project: Project, yarn: str, weight: Weight) -> float:
    """Error of a weight: as typed with it, else even within the step of the yarn's scale, or of what was typed."""
    if weight.has_spread:
        return weight.log_sd * weight.grams
    step = next((part.scale_step.grams for part in project.yarn if part.name == yarn and part.scale_step), None)
    return max(step or min(weight.step or DEFAULT_SCALE_STEP_G, DEFAULT_SCALE_STEP_G), 0.01) / _EVEN


def _counted(standing: Iterable[tuple[Entry, float]]) -> Iterator[Counted]:
    for one, woven in standing:
        picks = one.part.picks
        if picks is not None and picks.where == "on loom":
            yield Counted(woven, picks.count, picks.over.cm, one.key)


def _gained(weighings: Mapping[str, Sequence[Weighing]]) -> Iterator[str]:
    for yarn, found in weighings.items():
        for one, after in itertools.pairwise(found):
            if after.grams > one.grams:
                yield (
                    f"{yarn}: {one.grams:g} g at {one.woven_cm:g} cm, and {after.grams:g} g at {after.woven_cm:g} cm. "
                    "Was more of it found, or is one a slip of the scale? That stretch is not reckoned with."
                )


def with_start(found: Logged, yarn: str, start: Weighing) -> Logged:
    """The same with what there was of a yarn before the first pick, where the log does not say."""
    weighed = found.weighings.get(yarn, ())
    if weighed and weighed[0].woven_cm <= _SAME_PLACE_CM:
        return found
    return replace(found, weighings={**found.weighings, yarn: (start, *weighed)})
