"""What drafting gives: pieces, and the finished garment beside the body."""

from __future__ import annotations

from dataclasses import dataclass

from clothwright.pattern.piece import Piece


@dataclass(frozen=True)
class Finished:
    """A measure of the finished garment, cm, beside the body's; `body_cm` is None where no body is measured there.

    `asked_cm`: the ease asked for, where one was; a garment of whole widths may come out with more.
    """

    name: str
    garment_cm: float
    body_cm: float | None = None
    asked_cm: float | None = None

    @property
    def ease_cm(self) -> float | None:
        """How much larger than the body the garment is, cm."""
        return None if self.body_cm is None else self.garment_cm - self.body_cm


@dataclass(frozen=True)
class Drafted:
    """A garment drafted from measures: its pieces, its finished measures and what there is to know of it.

    `taken`: what was not said and was taken from the tables. `size` and `version` are None where there is one only.
    """

    pieces: tuple[Piece, ...]
    finished: tuple[Finished, ...]
    notes: tuple[str, ...] = ()
    taken: tuple[str, ...] = ()
    size: str | None = None
    version: str | None = None
