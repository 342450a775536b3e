"""Past projects of one weaver, for the tests of planning: the same yarn on the same loom, a little different each time."""

from __future__ import annotations

from typing import Any

from planning.asking import changed, tree

from clothwright.project import Project, read_project

SLATE = tree("slate-tide-cloth")
UNSAMPLED = changed(SLATE, sample=None, cloth__picks=None, cloth__warp_take_up=None, cloth__weft_take_up=None)


def past_tree(
    day: str, *, width: str = "43.4 cm", waste: str = "61 cm", name: str = "Slate tide stole"
) -> dict[str, Any]:
    """A finished project: 148 ends, 346 cm wound."""
    record = {
        "date": day,
        "ends": 148,
        "warp_wound": "346 cm",
        "waste": waste,
        "on_warp_sample": "0 cm",
        "width": {"finished": {"middle": width}},
        "length": {"on_loom": "279 cm", "finished": "244 cm"},
        "picks": {"count": 34, "over": "10 cm"},
        "weft_used": {"length": "480 m"},
    }
    return changed(UNSAMPLED, name=name, record=record)


def past(*days: str, **options: str) -> list[Project]:
    """Finished projects, one for each day."""
    return [read_project(past_tree(day, **options)) for day in days]
