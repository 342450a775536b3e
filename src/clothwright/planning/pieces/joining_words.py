"""What is said where a piece is wider than the cloth: how it could be joined, and where that is told with its cost."""

from __future__ import annotations

from typing import Final

from clothwright.layout import TooWide
from clothwright.planning.job import Garment
from clothwright.planning.pieces.join_options import JoinOption, options_for

#: Where proposals are told with what they cost.
WHERE_TOLD: Final = "the command joins and the page Narrow cloth tell what each takes"


def says_how_to_join(sentence: str) -> bool:
    """Whether a refusal says how a piece could be joined, so that the place that tells the cost can be named beside it."""
    return WHERE_TOLD in sentence


def how_it_could_be_joined(refusal: TooWide, garment: Garment) -> str:
    """The refusal, and how each piece that is too wide could be joined."""
    pieces = {piece.name: piece for piece in garment.pieces}
    ways: dict[str, list[str]] = {}
    for name, _ in refusal.pieces:
        found = _options(options_for(pieces[name], refusal.cloth_cm, trimmed=garment.trim_cm > 0))
        ways.setdefault(found, []).append(name)
    said = "; ".join(f"{' and '.join(names)} could be joined {way}" for way, names in ways.items() if way)
    return f"{refusal}. {said[:1].upper()}{said[1:]}: {WHERE_TOLD}" if said else str(refusal)


def _options(options: tuple[JoinOption, ...]) -> str:
    ways = list(dict.fromkeys(option.kind for option in options))
    return " or ".join((", ".join(ways[:-1]), ways[-1])) if len(ways) > 1 else "".join(ways)
