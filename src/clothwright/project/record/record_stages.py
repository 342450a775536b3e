"""The stages of a record, and what of each only the weaver can say: a few actual figures a stage, the rest comes from plan and log."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from clothwright.project.document import Project, RecordPart

STAGES: Final = ("yarn", "warp", "loom", "off loom", "finished", "garment")


@dataclass(frozen=True)
class Wanting:
    """What a stage of a record still wants, by its path below the record and in words."""

    stage: str
    path: tuple[str, ...]
    what: str


def still_wanting(project: Project) -> tuple[Wanting, ...]:
    """What is still to be completed, in the order of the work."""
    record = project.record or RecordPart()
    return tuple(one for one, is_there in _asked(project, record) if not is_there)


def _asked(project: Project, record: RecordPart) -> list[tuple[Wanting, bool]]:
    width, length, made = record.width, record.length, record.garment
    left = {one.yarn for one in record.left}
    yarns = [one.name for one in project.yarn if one.use != "only sampled"]
    weights = [(Wanting("yarn", ("left",), f"what is left of {name}"), name in left) for name in yarns]
    return [
        *weights,
        (Wanting("warp", ("ends",), "the ends put on"), bool(record.ends)),
        (Wanting("warp", ("warp_wound",), "the warp wound"), bool(record.warp_wound)),
        (Wanting("warp", ("waste",), "the waste cut off"), bool(record.waste)),
        (Wanting("loom", ("length", "on_loom"), "the length woven, under tension"), bool(length.on_loom)),
        (Wanting("loom", ("width", "on_loom"), "the width at the fell"), bool(width.on_loom)),
        (Wanting("loom", ("picks",), "picks counted over a length"), bool(record.picks)),
        (Wanting("off loom", ("width", "off_loom"), "the width off the loom"), bool(width.off_loom)),
        (Wanting("off loom", ("length", "off_loom"), "the length off the loom"), bool(length.off_loom)),
        (
            Wanting("finished", ("width", "finished"), "the finished width at three places"),
            bool(width.finished.lengths),
        ),
        (Wanting("finished", ("length", "finished"), "the finished length"), bool(length.finished)),
        (Wanting("finished", ("date",), "the day it was finished"), bool(record.date)),
        (Wanting("garment", ("garment", "fit"), "how it fits"), bool(made.fit)),
        (Wanting("garment", ("garment", "weight"), "what it weighs"), bool(made.weight)),
        (Wanting("garment", ("later",), "whether it is liked"), any(one.liked for one in record.later)),
    ]
