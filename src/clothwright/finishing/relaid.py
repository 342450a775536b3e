"""A garment laid on the finished cloth that there is, and a way to cut it after all: what each says, costs and writes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from clothwright.finishing.real_cloth import RealCloth
from clothwright.layout import Flaw, Layout
from clothwright.planning import PlacedOutline
from clothwright.planning.answer import layout_data
from clothwright.planning.choices.cloth_in_hand import Cutting

HAIR_CM: Final = 0.005


@dataclass(frozen=True)
class Relaid:
    """A garment on the cloth: its layout where one was found, how long a cloth that takes with its squared ends, cm.

    `why_not`: why there is none. `told`: rules of the project that are not kept on it. `width_cm`: how wide the cloth is taken;
    `places`: where it is narrower than that.
    """

    layout: Layout | None
    outlines: tuple[PlacedOutline, ...]
    needs_cm: float | None
    has_cm: float
    width_cm: float
    why_not: str = ""
    told: tuple[str, ...] = ()
    places: tuple[Flaw, ...] = ()

    @property
    def fits(self) -> bool:
        """Whether every piece is cut from the cloth."""
        return self.needs_cm is not None and self.needs_cm <= self.has_cm + HAIR_CM

    @property
    def short_cm(self) -> float | None:
        """The length missing; None where no layout was found."""
        return None if self.needs_cm is None else max(0.0, self.needs_cm - self.has_cm)

    @property
    def left_cm(self) -> float:
        """The length left at its end; 0 where it does not fit."""
        return max(0.0, self.has_cm - self.needs_cm) if self.needs_cm is not None else 0.0

    def as_json(self) -> dict[str, Any]:
        """The layout as plain data, cm."""
        return {
            "fits": self.fits,
            "needs_cm": self.needs_cm,
            "has_cm": self.has_cm,
            "short_cm": self.short_cm,
            "left_cm": self.left_cm if self.fits else None,
            "why_not": self.why_not or None,
            "not_kept": list(self.told),
            "layout": layout_data(self.layout, self.outlines) if self.layout else None,
        }


@dataclass(frozen=True)
class Written:
    """What taking a way writes in the project: values by their paths, rows added to lists, pieces cut from other cloth."""

    values: Mapping[tuple[str, ...], Any] = field(default_factory=dict)
    added: tuple[tuple[tuple[str, ...], Mapping[str, Any]], ...] = ()
    from_other_cloth: tuple[str, ...] = ()

    @property
    def any(self) -> bool:
        """Whether there is anything to write."""
        return bool(self.values or self.added or self.from_other_cloth)

    def and_also(self, other: Written) -> Written:
        """Both."""
        return Written(
            {**self.values, **other.values},
            (*self.added, *other.added),
            (*self.from_other_cloth, *other.from_other_cloth),
        )


@dataclass(frozen=True)
class Costs:
    """What a way gives up: seams more to sew, allowance less on a side, garment shorter, cm; other cloth, cm²; in words what else."""

    seams_cm: float = 0.0
    allowance_less_cm: float = 0.0
    allowance_left_cm: float | None = None
    shorter_cm: float = 0.0
    other_cloth_cm2: float = 0.0
    words: tuple[str, ...] = ()

    def and_also(self, other: Costs) -> Costs:
        """Both."""
        left = [one for one in (self.allowance_left_cm, other.allowance_left_cm) if one is not None]
        return Costs(
            self.seams_cm + other.seams_cm,
            self.allowance_less_cm + other.allowance_less_cm,
            min(left, default=None),
            self.shorter_cm + other.shorter_cm,
            self.other_cloth_cm2 + other.other_cloth_cm2,
            (*self.words, *other.words),
        )

    def as_json(self) -> dict[str, Any]:
        """The costs as plain data."""
        return {
            "seams_cm": self.seams_cm,
            "allowance_less_cm": self.allowance_less_cm,
            "allowance_left_cm": self.allowance_left_cm,
            "shorter_cm": self.shorter_cm,
            "other_cloth_cm2": self.other_cloth_cm2,
            "also": list(self.words),
        }


@dataclass(frozen=True)
class ClothWay:
    """A way to cut the garment from the cloth after all: what is done, to what, what it costs, and how it then lies.

    `gives_up`: how much is given up, least first. `written`: what taking it writes in the project, where that can be written.
    """

    what: str
    change: str
    gives_up: int
    costs: Costs
    relaid: Relaid
    written: Written
    cloth: RealCloth
    names: tuple[str, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """The way as plain data."""
        return {
            "what": self.what,
            "change": self.change,
            "costs": self.costs.as_json(),
            "can_be_taken": self.written.any,
            **self.relaid.as_json(),
        }


@dataclass(frozen=True)
class ClothAnswer:
    """The garment on the cloth as it came, what of it is cut where not all fits, and the ways, least given up first.

    `widest_cm`: the widest piece, which the usable width has to hold. `tried`, `left_out`: ways laid anew, and not, for time.
    """

    cloth: RealCloth
    relaid: Relaid
    partly: Cutting | None
    widest_cm: float
    widest: str
    ways: tuple[ClothWay, ...] = ()
    tried: int = 0
    left_out: int = 0

    def as_json(self) -> dict[str, Any]:
        """The answer as plain data."""
        return {
            **self.relaid.as_json(),
            "widest_piece": {"name": self.widest, "width_cm": self.widest_cm},
            "uncut": [{"piece": name, "copies": count} for name, count in self.partly.uncut] if self.partly else [],
            "ways": [way.as_json() for way in self.ways],
            "ways_tried": self.tried,
            "ways_left_out": self.left_out,
        }
