"""The work of a leaflet in pure tasks: a layout for each garment and width, the figures of each cloth at each heddle.

A task is a plain call that can be pickled: processes of this machine, any `concurrent.futures` executor or a cluster may do it,
and nothing but its answer comes back, as plain data. An answer is kept by a digest of everything it depends on and of the
version of the way it is reckoned, so it is never wrong, only unknown: whatever was done before a stop, a crash or a
change elsewhere in the project is not done again, and versions or leaflets that share pieces share their layouts.

A layout that was searched for by the clock is taken for any search no longer than that; one found by rounds, for the same rounds and
seed only. What comes from elsewhere is judged before it is used. A layout for one width serves every wider one.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final, Protocol

from clothwright.layout import NO_EFFORT, By, Effort
from clothwright.layout.on_executor import asked_of
from clothwright.layout.searchers import Asked
from clothwright.planning.pieces.fitting import LayoutSearch

#: Work is given up as lost only after so long: on a busy machine a second of it takes many.
PATIENT_S: Final = 60.0
#: Why a cell has no row while its layout is still to be made.
NOT_YET: Final = "not laid out yet"
Answer = dict[str, Any]


class KeptAnswers(Protocol):
    """Where answers are kept by their key; what cannot be read there is unknown."""

    def get(self, key: str) -> Answer | None:
        """The answer kept under a key."""
        ...

    def put(self, key: str, answer: Answer) -> None:
        """Keep an answer, whole or not at all."""
        ...


class Forgetful:
    """Keeps nothing."""

    def get(self, _key: str) -> Answer | None:
        """Nothing."""
        return None

    def put(self, _key: str, _answer: Answer) -> None:
        """Nothing is done."""


KEEPS_NOTHING: Final = Forgetful()


@dataclass(frozen=True)
class Done:
    """How far the work is: so many of all tasks, and how many of them had been done before."""

    layouts: int
    layouts_in_all: int
    layouts_before: int
    figures: int = 0
    figures_in_all: int = 0
    figures_before: int = 0

    @property
    def share(self) -> float:
        """Share of the layouts that are there, which take the time."""
        return self.layouts / self.layouts_in_all if self.layouts_in_all else 1.0


def _say_nothing(_done: Done) -> None:
    """Nobody asks how far it is."""


@dataclass(frozen=True)
class Working:
    """How a leaflet is worked out: who does it (nobody: here), how long all layouts are searched for, where answers are kept.

    `also` are layouts known from elsewhere, taken where they are shorter. What `tell` raises ends the work. `at_most`: where more
    layouts than that are missing none is made, and their cells say so.
    """

    by: By | None = None
    effort: Effort = NO_EFFORT
    seed: int = 1
    kept: KeptAnswers = KEEPS_NOTHING
    tell: Callable[[Done], None] = _say_nothing
    also: LayoutSearch | None = None
    at_most: int | None = None


HERE: Final = Working()


def digest(*of: Any) -> str:
    """The same for the same content, and for no other."""
    return hashlib.sha256(json.dumps(of, sort_keys=True, default=str).encode()).hexdigest()


def answers_of(work: Sequence[Asked], working: Working) -> Iterator[tuple[int, Any]]:
    """What comes of each piece of work as it ends, by its number."""
    if working.by is None:
        yield from ((number, one.do(*one.with_)) for number, one in enumerate(work))
        return
    answered: set[int] = set()
    for told in asked_of(working.by).told(work):
        if told.found is not None and told.number not in answered:
            answered.add(told.number)
            yield told.number, told.found
    lost = (number for number in range(len(work)) if number not in answered)
    yield from ((number, work[number].do(*work[number].with_)) for number in lost)


def counter(working: Working, in_all: int, before: int, *, figures: bool = False) -> Callable[[int], None]:
    """Tells how far it is, at the start and with each answer."""
    count = before

    def more(by: int) -> None:
        nonlocal count
        count += by
        done = Done(1, 1, 1, count, in_all, before) if figures else Done(count, in_all, before)
        working.tell(done)

    more(0)
    return more
