"""The yarn of every thread of a cloth: what a picture of it is drawn from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class ColoursOfCloth:
    """The yarn of each end and of each pick, and what colour those yarns are.

    `warp`: the name of each end's yarn, from the first selvedge to the other. `weft`: of each pick's, from the first woven
    on. `hex_of`: the colour of each yarn that says one, as #rrggbb; a yarn that says none is not in it.
    """

    warp: tuple[str, ...]
    weft: tuple[str, ...]
    hex_of: Mapping[str, str] = field(default_factory=dict)

    @property
    def yarns(self) -> tuple[str, ...]:
        """Every yarn in the cloth, once, the warp's first."""
        return tuple(dict.fromkeys((*self.warp, *self.weft)))

    def colours(self, names: Iterable[str], *, unsaid: str) -> tuple[str, ...]:
        """The colour of each of some threads, `unsaid` where its yarn says none."""
        return tuple(self.hex_of.get(name, unsaid) for name in names)


def threads(runs: Iterable[tuple[str, int]]) -> tuple[str, ...]:
    """Thread by thread what is told run by run, as yarn and number."""
    return tuple(yarn for yarn, number in runs for _ in range(number))
