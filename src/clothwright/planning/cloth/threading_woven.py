"""The ends in the heddle as a draft, with what its shafts are called and the sheds: what a loom of either kind gives."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from clothwright.cloth import Draft, DraftError, WrittenError
from clothwright.planning.cloth.threading_answer import ShedWoven
from clothwright.project import Problem, ProblemsFound


@contextmanager
def told_at(field: str) -> Iterator[None]:
    """Turn what cannot be read or woven into a problem of a field of the draft."""
    try:
        yield
    except (WrittenError, DraftError) as error:
        raise ProblemsFound(Problem(("draft", field), str(error))) from None


@dataclass(frozen=True)
class Woven:
    """The ends in the heddle as a draft, what its shafts are called, and the sheds. `shorts`: words for one end in a row of many."""

    draft: Draft
    written: str
    shaft_words: tuple[str, ...]
    shorts: tuple[str, ...]
    sticks: tuple[tuple[str, str], ...]
    sheds: tuple[ShedWoven, ...]
    notes: tuple[str, ...] = ()


def numbered(word: str, numbers: frozenset[int]) -> str:
    """A word with its numbers: shaft 1, shafts 1 and 3."""
    told = [str(number) for number in sorted(numbers)]
    return (
        f"{word}{'s' if len(told) > 1 else ''} {' and '.join(filter(None, (', '.join(told[:-1]), told[-1])))}"
        if told
        else f"no {word}"
    )
