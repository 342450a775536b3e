"""A project of its own for a test weaver's cloth: what the leaflet asked of her, and an empty record for what came of it.

With a day it is evidence as every finished project is, by another weaver: her hand and her loom are hers, so it tells of yarn, fibre and
finish, and nothing of the designer's draw-in or of what her loom wastes.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

#: What a test weaver's cloth has of the project that the leaflet is of.
_OF_YARN = ("name", "fibre", "made", "plies", "use", "wraps", "grist", "state", "colour")
_OF_CLOTH = ("structure", "finish", "repeat_ends", "floating_selvedges")


@dataclass(frozen=True)
class Tried:
    """The cloth of a leaflet that a test weaver weaves, cm, and who weaves it."""

    weaver: str
    leaflet: str
    size: str
    version: str
    heddle: str
    cloth_width_cm: float
    cloth_length_cm: float

    @property
    def what(self) -> str:
        """Which leaflet and cloth, in words."""
        which = ", ".join(filter(None, (self.size and f"size {self.size}", self.version, f"{self.heddle} heddle")))
        return f"{self.leaflet}: {which}, cloth {self.cloth_width_cm:g} × {self.cloth_length_cm:g} cm"


def project_of_test(designers: dict[str, Any], tried: Tried) -> dict[str, Any]:
    """The tree of the test weaver's project, from the designer's tree as typed; nothing in it is the designer's measurement."""
    yarns = designers.get("yarn")
    loom = designers.get("loom") if isinstance(designers.get("loom"), dict) else {}
    cloth = designers.get("cloth") if isinstance(designers.get("cloth"), dict) else {}
    return {
        "clothwright": 1,
        "name": f"{tried.leaflet}, woven by {tried.weaver}",
        "units": designers.get("units", "metric"),
        "yarn": [_part(one, _OF_YARN) for one in yarns if isinstance(one, dict)] if isinstance(yarns, list) else [],
        "loom": _part(loom or {}, ("kind", "warping")) | {"name": f"loom of {tried.weaver}", "heddles": [tried.heddle]},
        "cloth": _part(cloth or {}, _OF_CLOTH) | {"heddle": tried.heddle},
        "want": {"width": f"{tried.cloth_width_cm:g} cm", "length": f"{tried.cloth_length_cm:g} cm"},
        "record": {"weaver": tried.weaver, "test_of": tried.what},
    }


def _part(of: dict[str, Any], names: tuple[str, ...]) -> dict[str, Any]:
    return {name: of[name] for name in names if name in of}
