"""What a leaflet says beside its table: which yarns do as well, the garment's measures, its pieces, how it is made and kept.

Yarns that do as well are bands about the yarn reckoned with. With G its metres in a gram and W its wraps, a band of s times G has
metres in 100 g of 100·s·G, tex of 1000 ÷ (s·G), and wraps of W·√s, since wraps go as one over the diameter and that as one over
the root of the metres in a gram. The sett stays, so metres stay as they are in the table; grams are metres ÷ metres in a gram.
It stops being true where fibre or spinning is another: hence the sample.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Any, Final

from clothwright.pattern import MAIN_CLOTH, Piece
from clothwright.planning.job import Job
from clothwright.project import Project
from clothwright.project.domain import wraps_per_cm
from clothwright.project.parts.leaflet_parts import LeafletPart
from clothwright.project.pattern.drafting import drafted_sizes
from clothwright.yarn import Lot

#: Pieces by size and version.
BySize = Mapping[tuple[str, str], Sequence[Piece]]


@dataclass(frozen=True)
class Band:
    """Yarns of a band of grist that do as well: metres in 100 g, tex and wraps per cm, low and high, and what comes of it."""

    name: str
    least: float
    most: float
    m_per_100g: tuple[float, float]
    tex: tuple[float, float]
    wraps_per_cm: tuple[float, float]
    says: str


@dataclass(frozen=True)
class YarnWanted:
    """A yarn of the cloth: what it is for, what it is, and the bands about it."""

    use: str
    fibre: str
    m_per_100g: float
    wraps_per_cm: float
    wraps_counted: bool
    bands: tuple[Band, ...]


@dataclass(frozen=True)
class SizedPiece:
    """A piece of a size and version: how often it is cut, half of them mirrored or not, from what, width and length, cm."""

    size: str
    version: str
    piece: str
    cut: int
    mirrored: int
    main_cloth: bool
    material: str
    width_cm: float
    length_cm: float


@dataclass(frozen=True)
class SizedMeasure:
    """A measure of the finished garment in a size and version, cm; the body it is for where it is drafted from one."""

    name: str
    size: str
    version: str
    garment_cm: float
    body_cm: float | None


@dataclass(frozen=True)
class Contents:
    """All that a leaflet says beside its table."""

    yarns: tuple[YarnWanted, ...] = ()
    measures: tuple[SizedMeasure, ...] = ()
    pieces: tuple[SizedPiece, ...] = ()
    making: tuple[str, ...] = ()
    care: tuple[str, ...] = ()


NOTHING_TOLD: Final = Contents()


@lru_cache(maxsize=1)
def _table() -> dict[str, Any]:
    text = resources.files(__package__).joinpath("leaflet_contents.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def contents(project: Project, part: LeafletPart, base: Job, pieces: BySize) -> Contents:
    """What is told beside the table of a leaflet; `pieces` of every size and version that is tabulated."""
    return Contents(
        yarns=tuple(_yarns(base)),
        measures=tuple(_measures(project, part, pieces)),
        pieces=tuple(_sized(pieces)),
        making=tuple(part.making)
        or tuple(one["says"] for one in _table()["making"] if pieces or not one.get("pieces")),
        care=tuple(part.care) or (_care(project.cloth.finish),),
    )


def _care(finish: str | None) -> str:
    return f"Wash it as the sample was washed: {finish}." if finish else "Wash it as your sample was washed."


def _yarns(base: Job) -> Iterator[YarnWanted]:
    warp, weft = base.yarns.warp[0], base.yarns.weft[0]
    if warp.name == weft.name:
        yield _yarn("warp and weft", warp)
    else:
        yield from (_yarn(use, lot) for use, lot in (("warp", warp), ("weft", weft)))


def _yarn(use: str, lot: Lot) -> YarnWanted:
    grist, wraps = round(lot.m_per_g * 100, 2), round(wraps_per_cm(lot), 3)
    bands = tuple(_band(one, grist, wraps) for one in _table()["yarn_band"])
    return YarnWanted(use, lot.fibre or "", grist, wraps, bool(lot.wraps_per_cm), bands)


def _band(row: Mapping[str, Any], m_per_100g: float, wraps: float) -> Band:
    shares = row["least"], row["most"]
    low, high = (round(share * m_per_100g, 2) for share in shares)
    few, many = (round(wraps * math.sqrt(share), 3) for share in shares)
    return Band(
        row["name"], *shares, (low, high), (round(1e5 / high, 2), round(1e5 / low, 2)), (few, many), row["says"]
    )


def _sized(pieces: BySize) -> Iterator[SizedPiece]:
    for (size, version), found in pieces.items():
        for piece in found:
            yield SizedPiece(
                size,
                version,
                piece.name,
                piece.cut,
                piece.mirrored_count,
                piece.material == MAIN_CLOTH,
                piece.material,
                round(piece.width_cm, 2),
                round(piece.length_cm, 2),
            )


def _measures(project: Project, part: LeafletPart, pieces: BySize) -> Iterator[SizedMeasure]:
    """What the designer typed, and what the draft of a garment made from measures comes to."""
    for name, by_size in part.measures.items():
        yield from (SizedMeasure(name, size, "", round(long.cm, 2), None) for size, long in by_size.items())
    if project.pattern is None or project.pattern.from_measures is None:
        return
    for drafted in drafted_sizes(project.pattern):
        if (drafted.size or "", drafted.version or "") not in pieces:
            continue
        for one in drafted.finished:
            body = None if one.body_cm is None else round(one.body_cm, 2)
            yield SizedMeasure(one.name, drafted.size or "", drafted.version or "", round(one.garment_cm, 2), body)
