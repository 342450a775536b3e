"""Weave structures as data: how many ends and intersections a repeat has, and what that asks of the sett."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources


@dataclass(frozen=True)
class Structure:
    """A structure; `wraps_share` is the share of ruler wraps taken as the sett of a middling cloth."""

    name: str
    words: tuple[str, ...]
    ends: int
    intersections: int
    wraps_share: float
    source: str

    @property
    def weave_factor(self) -> float:
        """E/(E + I): the share of touching diameters that are ends at the closest sett. *Source*: Ashenhurst."""
        return self.ends / (self.ends + self.intersections)

    @property
    def crossing_share(self) -> float:
        """Crossings of an end per pick, against plain weave's one."""
        return self.intersections / self.ends


@cache
def structures() -> tuple[Structure, ...]:
    """Every structure of the table."""
    table = tomllib.loads(resources.files(__package__).joinpath("structures.toml").read_text(encoding="utf-8"))
    return tuple(Structure(**(row | {"words": tuple(row["words"])})) for row in table["structure"])


def structure(name: str) -> Structure:
    """The structure of that name or word; KeyError with the names there are."""
    for one in structures():
        if name.strip().lower() in one.words:
            return one
    raise KeyError(f"{name}: known structures are {', '.join(one.name for one in structures())}")
