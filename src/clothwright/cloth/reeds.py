"""Old ways of numbering reeds and setts, so that a figure in an old book can be used."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources

from clothwright.measure import CM_PER_INCH


@dataclass(frozen=True)
class ReedSystem:
    """A way of numbering: `unit_threads` ends (or dents) in `over_in` inches for each of the number."""

    name: str
    words: tuple[str, ...]
    counts: str
    unit_threads: int
    over_in: float
    dents: bool
    usual_ends_per_dent: int
    source: str

    def ends_per_cm(self, number: float, ends_per_dent: int | None = None) -> float:
        """Ends per cm of a number; `ends_per_dent` where the number counts dents, else it is left alone."""
        in_each = (ends_per_dent or self.usual_ends_per_dent) if self.dents else 1
        return number * self.unit_threads * in_each / self.over_in / CM_PER_INCH


@cache
def reed_systems() -> tuple[ReedSystem, ...]:
    """Every system of the table."""
    table = tomllib.loads(resources.files(__package__).joinpath("reeds.toml").read_text(encoding="utf-8"))
    return tuple(ReedSystem(**(row | {"words": tuple(row["words"])})) for row in table["system"])


def reed_system(name: str) -> ReedSystem:
    """The system of that name; KeyError with the names there are."""
    asked = name.strip().lower()
    for one in reed_systems():
        if asked in one.words:
            return one
    raise KeyError(f"{name}: known ways of numbering reeds are {', '.join(one.name for one in reed_systems())}")
