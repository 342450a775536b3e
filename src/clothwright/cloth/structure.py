"""Weave structures as drafts: what is counted from them, and what that asks of the sett.

A draft is a repeat of picks, each a row of ends, 1 where the end lies over the weft. Along a pick the weft passes between
the faces I times in E ends, and takes the room of a thread each time; so the ends that fit are E/(E + I) of the threads
that would touch side by side. Along an end the same count gives the room of the picks and the waviness of the warp.
"""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache, cached_property
from importlib import resources
from itertools import groupby
from math import lcm
from typing import Any


@dataclass(frozen=True)
class Structure:
    """A structure: its draft, what it is called, and in words what it asks of the sett."""

    name: str
    words: tuple[str, ...]
    draft: tuple[str, ...]
    asks: str
    source: str

    @property
    def ends(self) -> int:
        """Ends in the repeat."""
        return len(self.draft[0])

    @property
    def picks(self) -> int:
        """Picks in the repeat."""
        return len(self.draft)

    @cached_property
    def intersections(self) -> float:
        """Times the weft passes between the faces in a repeat of ends, a mean over the picks."""
        return sum(map(_changes, self.draft)) / self.picks

    @cached_property
    def warp_intersections(self) -> float:
        """Times an end passes between the faces in a repeat of picks, a mean over the ends."""
        return sum(map(_changes, self._ends_as_rows)) / self.ends

    @property
    def weave_factor(self) -> float:
        """E/(E + I): the share of touching diameters that are ends at the closest sett. *Source*: Ashenhurst."""
        return self.ends / (self.ends + self.intersections)

    @property
    def wraps_share(self) -> float:
        """Share of ruler wraps taken as the sett of a middling cloth: half for plain, two thirds for twill.

        *Source*: those two are common practice, no source; E/(E + I) gives them, and the other structures with them.
        """
        return self.weave_factor

    @property
    def crossing_share(self) -> float:
        """Crossings of the weft per end, against plain weave's one: its take-up against plain."""
        return self.intersections / self.ends

    @property
    def warp_crossing_share(self) -> float:
        """Crossings of an end per pick, against plain weave's one: its take-up against plain."""
        return self.warp_intersections / self.picks

    @property
    def average_float(self) -> float:
        """Ends a stretch of weft passes over or under, on average."""
        return self.ends / self.intersections

    @cached_property
    def longest_weft_float(self) -> int:
        """Ends under the longest float of weft, on either face."""
        return max(map(_longest, self.draft))

    @cached_property
    def longest_warp_float(self) -> int:
        """Picks under the longest float of warp, on either face."""
        return max(map(_longest, self._ends_as_rows))

    @cached_property
    def warp_share_of_face(self) -> float:
        """Share of the face that is warp: half when both sides are alike."""
        return sum(pick.count("1") for pick in self.draft) / (self.ends * self.picks)

    @property
    def _ends_as_rows(self) -> tuple[str, ...]:
        return tuple(map("".join, zip(*self.draft, strict=True)))

    def with_ends_as_one(self, order: Sequence[int]) -> Structure:
        """The structure when ends in one slot or hole weave as one: `order` says how many stand in place after place."""
        places = lcm(self.ends, len(order))
        times = [order[place % len(order)] for place in range(places)]
        draft = tuple(
            "".join(end * many for end, many in zip(pick * (places // self.ends), times, strict=True))
            for pick in self.draft
        )
        known = next((one for one in structures() if one.draft == draft), None)
        return known or replace(self, name=f"{self.name}, {'-'.join(map(str, order))} ends as one", draft=draft)

    def with_ends_in_pairs(self) -> Structure:
        """The structure when every end is two side by side, as with two in each slot and each hole."""
        return self.with_ends_as_one((2,))


def _changes(row: str) -> int:
    """Changes of face along a repeat and round to its start."""
    return sum(one != next_one for one, next_one in zip(row, row[1:] + row[0], strict=True))


def _longest(row: str) -> int:
    """The longest run of one face along repeat after repeat; the whole repeat where it never changes."""
    return min(len(row), max(len(list(run)) for _, run in groupby(row + row)))


@cache
def _table() -> dict[str, list[dict[str, Any]]]:
    return tomllib.loads(resources.files(__package__).joinpath("structures.toml").read_text(encoding="utf-8"))


@cache
def structures() -> tuple[Structure, ...]:
    """Every structure of the table."""
    rows = _table()["structure"]
    return tuple(Structure(**(row | {"words": tuple(row["words"]), "draft": tuple(row["draft"])})) for row in rows)


def structure(name: str) -> Structure:
    """The structure of that name or word; KeyError with the question to answer, or the names there are."""
    asked = name.strip().lower()
    for one in structures():
        if asked in one.words:
            return one
    for row in _table()["question"]:
        if asked in row["words"]:
            raise KeyError(f"{name}: {row['ask']}")
    raise KeyError(f"{name}: known structures are {'; '.join(one.name for one in structures())}")
