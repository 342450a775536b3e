"""Samples to tell of, for the tests of this room."""

from __future__ import annotations

from typing import Any

from clothwright.planning import SamplesTold, tell_samples
from clothwright.project import read_project

YARN = {"name": "eelgrass", "fibre": "wool", "wraps": "15/in", "grist": "310 m/100 g", "balls": ["400 g"]}
#: A sample that did what wool set as its yarn asks usually does.
USUAL: dict[str, Any] = {
    "name": "tide square",
    "heddle": "30/10 cm",
    "width": {"in_heddle": "24.0 cm", "finished": "21.0 cm"},
    "length": {"on_loom": "30.0 cm", "finished": "26.9 cm"},
    "picks": {"count": 81, "over": "30 cm", "where": "on loom"},
    "finish": "hand wash",
}


def tree(*samples: dict[str, Any], **more: Any) -> dict[str, Any]:
    """A project of these samples, with three heddles, and a cloth wanted of 44 × 200 cm."""
    whole = {
        "yarn": [YARN],
        "loom": {"heddles": ["20/10 cm", "30/10 cm", "40/10 cm"], "waste": "50 cm"},
        "cloth": {"heddle": "30/10 cm", "finish": "hand wash"},
        "want": {"width": "44 cm", "length": "200 cm"},
        "sample": [*samples],
    }
    return {key: value for key, value in (whole | more).items() if value is not None}


def told(*samples: dict[str, Any], **more: Any) -> SamplesTold:
    """What these samples tell."""
    return tell_samples(read_project(tree(*samples, **more)))
