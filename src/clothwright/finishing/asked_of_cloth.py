"""One question: a project as it would be cut from one finished cloth, taken at one width, and how it then lies."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from clothwright.finishing.narrowed import all_narrowed, is_over, sides_narrowed
from clothwright.finishing.real_cloth import RealCloth
from clothwright.finishing.relaid import Relaid
from clothwright.layout import Flaw, TooWide
from clothwright.measure import Length
from clothwright.planning import LayoutSearch
from clothwright.planning.job import Garment, garment_of
from clothwright.planning.pieces.fitting import fit
from clothwright.project import ProblemsFound, Project
from clothwright.project.parts.finishing_parts import RealClothPart
from clothwright.project.parts.layout_parts import FlawPart


@dataclass(frozen=True)
class AskedOfCloth:
    """A project and the cloth it is to be cut from."""

    project: Project
    cloth: RealCloth
    drawings: Mapping[str, bytes]
    layouts: LayoutSearch | None
    #: Places no piece may cover beside the flaws, where the cloth is taken by its real width along it.
    places: tuple[Flaw, ...] = ()

    @property
    def width_cm(self) -> float:
        """How wide the cloth is taken."""
        return max(self.cloth.widths_cm) if self.places else self.cloth.least_width_cm

    def as_it_came(self) -> Project:
        """The project with the cloth's own trims, squared ends and flaws."""
        assert self.project.pattern is not None  # asked only of a garment
        seen = (*(one.flaw for one in self.cloth.flaws), *self.places)
        layout = self.project.layout.model_copy(update={"flaw": [_as_part(one) for one in seen]})
        pattern = self.project.pattern.model_copy(
            update={"selvedge_trim": _length(self.cloth.trim_cm), "squaring": _length(self.cloth.squaring_cm)}
        )
        return self.project.model_copy(update={"layout": layout, "pattern": pattern})

    def garment(self) -> Garment:
        """The pieces as they are cut from this cloth, and what is asked of their layout."""
        if self.project.pattern is None:
            return garment_of(self.project, self.drawings)[0]
        found, part = garment_of(self.as_it_came(), self.drawings)[0], self.project.real_cloth or RealClothPart()
        pieces = found.pieces
        if part.allowances_less:
            pieces = all_narrowed(pieces, part.allowances_less.cm)
        if part.sides_less:
            usable = self.width_cm - 2 * found.trim_cm
            pieces = tuple(sides_narrowed(one, part.sides_less.cm) if is_over(one, usable) else one for one in pieces)
        return replace(found, pieces=pieces)

    def relaid(self, garment: Garment) -> Relaid:
        """A garment laid on this cloth."""
        try:
            fitted = fit(garment, self.width_cm, _by_length, self.layouts, only_widest=True)
        except (ProblemsFound, TooWide) as refused:
            return Relaid(None, (), None, self.cloth.length_cm, self.width_cm, str(refused), places=self.places)
        needs = fitted.layout.length_cm + 2 * garment.squaring_cm
        has, told = self.cloth.length_cm, fitted.told
        return Relaid(fitted.layout, fitted.outlines, needs, has, self.width_cm, told=told, places=self.places)


def _by_length(_width_cm: float, length_cm: float) -> float:
    return length_cm


def _length(cm: float) -> Length:
    return Length.read(f"{cm:.4f} cm")


def _as_part(flaw: Flaw) -> FlawPart:
    across = {} if flaw.width_cm is None else {"from_selvedge": _length(flaw.y_cm), "width": _length(flaw.width_cm)}
    return FlawPart(at=_length(flaw.x_cm), length=_length(flaw.length_cm), what=flaw.what, **across)
