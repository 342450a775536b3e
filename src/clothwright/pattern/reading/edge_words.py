"""What is said of one edge, in the words of a drawing's label: “seam side, ease 1 cm”, “hem 4 cm, selvedge”, “fold”.

The same words serve a side drawn by hand and a side of a piece given as numbers, so that there is one way to say it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from clothwright.pattern.reading.findings import quoted
from clothwright.pattern.reading.marks import read_mark, word_mark

_MARKS: Final = ("seam", "ease", "hem", "allowance", "selvedge")
ACCEPTED: Final = (
    "accepted are “seam side”, “ease 1 cm”, “hem 4 cm”, “allowance 2 cm”, “selvedge” and “fold”, with commas between"
)
LONGEST: Final = 300


@dataclass(frozen=True)
class EdgeWords:
    """What is said of an edge: seam's name, ease, hem and allowance in cm; `fold`: it lies on the fold."""

    seam: str | None = None
    ease_cm: float | None = None
    hem_cm: float | None = None
    allowance_cm: float | None = None
    selvedge: bool = False
    fold: bool = False

    @property
    def said(self) -> bool:
        """Whether anything is said that is written along the edge itself."""
        return self != EdgeWords(fold=self.fold)

    @property
    def turned_cm(self) -> float | None:
        """The cloth beyond the stitching line: the hem's, or the allowance of its own."""
        return self.allowance_cm if self.hem_cm is None else self.hem_cm

    def __str__(self) -> str:
        lengths = (("ease", self.ease_cm), ("hem", self.hem_cm), ("allowance", self.allowance_cm))
        words = [f"seam {self.seam}"] if self.seam else []
        words += [f"{word} {cm:g} cm" for word, cm in lengths if cm is not None]
        return ", ".join([*words, *["selvedge"] * self.selvedge, *["fold"] * self.fold])


NOTHING_SAID: Final = EdgeWords()


def read_edge_words(text: str) -> EdgeWords:
    """What a text says of an edge; ValueError with what is accepted."""
    if len(text) > LONGEST:
        raise ValueError(f"{len(text)} letters came; at most {LONGEST} are read")
    found: dict[str, object] = {}
    for part in filter(None, (part.strip() for part in text.replace(";", ",").split(","))):
        mark, value = ("fold", True) if part.lower() in ("fold", "on fold", "on the fold") else _read(part)
        if mark in found:
            raise ValueError(f"{quoted(text)} says {mark} twice; say it once")
        found[mark] = value
    words = EdgeWords(**{_FIELDS.get(mark, mark): value for mark, value in found.items()})  # type: ignore[arg-type]
    if words.fold and words.said:
        raise ValueError("a side on the fold is not sewn; say “fold” alone")
    if words.hem_cm is not None and words.allowance_cm is not None:
        raise ValueError("a hem and an allowance are both cloth beyond the stitching line; keep one")
    return words


_FIELDS: Final = {"ease": "ease_cm", "hem": "hem_cm", "allowance": "allowance_cm"}


def _read(part: str) -> tuple[str, object]:
    said = word_mark(part)
    if said is None or said[0] not in _MARKS:
        raise ValueError(f"{quoted(part)} is not understood; {ACCEPTED}")
    return said[0], read_mark(*said)
