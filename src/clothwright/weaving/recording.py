"""What the log already knows of the record: the fields of what really happened that need not be typed again.

Only what is blank is filled: what the weaver wrote in her record stands. What the log cannot know (sizes after washing, the
waste cut off) is left to her.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from clothwright.project import Project
from clothwright.project.parts.log_parts import OnLoomPart
from clothwright.weaving.logged import Logged, logged

Path = tuple[str, ...]
#: A weighing made within so much of the last pick is what was left over. Common practice, no source.
_AT_THE_END_CM: Final = 2.0


def record_from_log(project: Project) -> dict[Path, Any]:
    """Values of the record by their path below it, as text a file takes, each as the log has it."""
    log = logged(project)
    return dict(_found(project, log))


def _found(project: Project, log: Logged) -> Iterator[tuple[Path, Any]]:
    told = project.on_loom or OnLoomPart()
    if told.ends:
        yield ("ends",), told.ends
    if told.warp_wound:
        yield ("warp_wound",), str(told.warp_wound)
    if log.woven_cm:
        yield ("length", "on_loom"), f"{log.woven_cm:g} cm"
    if log.widths:
        mean = sum(one.width_cm for one in log.widths) / len(log.widths)
        yield ("width", "on_loom"), f"{mean:.1f} cm"
    if log.picks:
        count, over = sum(one.count for one in log.picks), sum(one.over_cm for one in log.picks)
        yield ("picks",), {"count": count, "over": f"{over:g} cm"}
    for one in log.in_order:
        off = one.part.off_loom
        for side, length in (("length", off.length), ("width", off.width)) if off else ():
            if length is not None:
                yield (side, "off_loom"), str(length)
    left = [
        {"yarn": yarn, "weight": f"{found[-1].grams:g} g"}
        for yarn, found in log.weighings.items()
        if found[-1].woven_cm >= log.woven_cm - _AT_THE_END_CM and yarn in {part.name for part in project.yarn}
    ]
    if left:
        yield ("left",), left


def filled_in(record: Mapping[str, Any], found: Mapping[Path, Any]) -> tuple[dict[str, Any], tuple[str, ...]]:
    """A record as typed with what is blank filled from the log, and the names of the fields that were."""
    filled = {key: dict(value) if isinstance(value, Mapping) else value for key, value in record.items()}
    names = []
    for path, value in found.items():
        part: Any = filled
        for step in path[:-1]:
            part = part.setdefault(step, {}) if isinstance(part, dict) else None
        if isinstance(part, dict) and _blank(part.get(path[-1])):
            part[path[-1]] = value
            names.append(" ".join(path).replace("_", " "))
    return filled, tuple(names)


def _blank(value: object) -> bool:
    """Whether nothing was typed: no text, or tables with none in them."""
    if isinstance(value, Mapping):
        return all(map(_blank, value.values()))
    if isinstance(value, list):
        return all(map(_blank, value))
    return value is None or value == ""
