"""Finding samples in the library by yarn, sett and structure, whatever was typed of them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Final

from clothwright.cloth import structure
from clothwright.library.shelves.on_hand import Kept, Tree, part_of
from clothwright.measure import QuantityError, ThreadsPerLength

#: Setts within this factor are the same sett: 7.5/in and 30/10 cm are.
_SAME_SETT: Final = 1.03


@dataclass(frozen=True)
class Search:
    """What is looked for; an empty text looks for anything. `ends_per_cm` is the sett typed, where it can be read."""

    yarn: str = ""
    sett: str = ""
    structure: str = ""
    ends_per_cm: float | None = None
    problem: str = ""

    @property
    def asked(self) -> bool:
        """Whether anything is looked for."""
        return bool(self.yarn or self.sett or self.structure)


def read_search(yarn: str = "", sett: str = "", weave: str = "") -> Search:
    """What was typed, with a sentence where the sett cannot be read."""
    if not sett:
        return Search(yarn, sett, weave)
    try:
        return Search(yarn, sett, weave, ends_per_cm=ThreadsPerLength.read(sett).per_cm)
    except QuantityError as error:
        return Search(yarn, sett, weave, problem=str(error))


def found(tree: Tree, search: Search) -> bool:
    """Whether a sample of the library is one looked for."""
    sample = part_of(tree, Kept.SAMPLE)
    return (
        _has_words(tree, search.yarn.lower().split())
        and (search.ends_per_cm is None or _same_sett(sample.get("heddle"), search.ends_per_cm))
        and (not search.structure or _structure(sample.get("structure")) == search.structure)
    )


def _has_words(tree: Tree, words: list[str]) -> bool:
    """Whether every word stands in what is said of its yarns."""
    yarns = tree.get("yarn")
    said: list[Any] = (
        [one.get(key) for one in yarns if isinstance(one, dict) for key in ("name", "fibre")]
        if isinstance(yarns, list)
        else []
    )
    text = " ".join(str(one).lower() for one in said if one)
    return all(word in text for word in words)


def _same_sett(heddle: object, ends_per_cm: float) -> bool:
    try:
        typed = ThreadsPerLength.read(str(heddle or "")).per_cm
    except QuantityError:
        return False
    return abs(math.log(typed / ends_per_cm)) <= math.log(_SAME_SETT)


def _structure(typed: object) -> str:
    """The structure a text names; plain where none was said."""
    try:
        return structure(str(typed or "plain")).name
    except KeyError:
        return str(typed)
