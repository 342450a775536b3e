"""The finished cloth that there is, drawn to scale: as wide as it was measured, its flaws crossed, the pieces in place."""

from __future__ import annotations

from clothwright.finishing import ClothAnswer, ClothWay, RealCloth, Relaid
from clothwright.planning import CutFrom
from clothwright.project.parts.remnants import ClothInHand
from clothwright.sheets.pictures.drawing import DEFAULT_ACROSS
from clothwright.sheets.pictures.remnant import remnant_svg


def finished_cloth_svg(
    cloth: RealCloth, answer: ClothAnswer | None = None, *, imperial: bool = False, across: float = DEFAULT_ACROSS
) -> str:
    """The cloth with what is cut from it; without an answer the cloth alone."""
    if answer is None:
        return _drawn(cloth, CutFrom(cloth.in_hand, None, ()), None, imperial, across)
    if answer.relaid.fits or answer.partly is None:
        return _laid(cloth, answer.relaid, imperial, across)
    return _drawn(cloth, answer.partly.cuts[0], None, imperial, across)


def way_on_cloth_svg(way: ClothWay, *, imperial: bool = False, across: float = DEFAULT_ACROSS) -> str:
    """The cloth as a way has the pieces on it; nothing where not all of them fit."""
    return _laid(way.cloth, way.relaid, imperial, across) if way.relaid.fits else ""


def _laid(cloth: RealCloth, relaid: Relaid, imperial: bool, across: float) -> str:
    whole = ClothInHand(cloth.in_hand.name, relaid.width_cm, cloth.length_cm, cloth.in_hand.flaws)
    return _drawn(cloth, CutFrom(whole, relaid.layout, relaid.outlines), relaid, imperial, across)


def _drawn(cloth: RealCloth, cut: CutFrom, relaid: Relaid | None, imperial: bool, across: float) -> str:
    return remnant_svg(
        cut,
        trim_cm=cloth.trim_cm,
        squaring_cm=cloth.squaring_cm,
        imperial=imperial,
        across=across,
        beyond=relaid.places if relaid else (),
    )
