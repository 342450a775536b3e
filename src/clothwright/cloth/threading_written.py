"""Threadings, lifts and tie-ups as a weaver writes them.

A threading is the shafts of one end after the other:

    1-2-3-4                    over and over, to the last end
    1-2-3-4 12 times; 4-3-2-1 12 times; 1
    straight on 4; point on 4  the names of two that are often used
    1-2+3-4                    the second end is on two shafts

Parts follow one another, `;` between them. A threading of one part without “times” goes on to the last end. Treadles
trodden, pick by pick, are written the same way. Shafts lifted for a pick, or tied to a treadle, are one row each:

    1+2, 2+3, 3+4, 1+4
    1+2, 2+3 12 times; 3+4
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, cycle, islice
from typing import Final

from clothwright.cloth.draft import MOST_SHAFTS, Shafts

LONGEST_TEXT: Final = 120_000
MOST_WRITTEN: Final = 20_000
#: The longest repeat that is looked for when a threading is written out.
_LONGEST_REPEAT: Final = 32
_TIMES: Final = re.compile(r"(.*?)(?:\s+|^)(?:(once)|(?:[x×]\s*)?(\d{1,5})\s*times|[x×]\s*(\d{1,5}))$", re.IGNORECASE)
_NAMED: Final = re.compile(r"(straight|point)(?:\s+on)?\s+(\d{1,3})(?:\s+shafts)?", re.IGNORECASE)
_SETS_FORM: Final = "write the shafts of each, as 1+2, 2+3, 3+4, 1+4"
_FORM: Final = "write it as 1-2-3-4, as 1-2-3-4 12 times; 4-3-2-1 12 times, or as straight on 4"


class WrittenError(ValueError):
    """A threading or a lift that cannot be read; the message says what came and what is accepted."""


@dataclass(frozen=True)
class PartWritten:
    """A stretch of a threading: rows of shafts and how often they come; None: over and over."""

    rows: tuple[Shafts, ...]
    times: int | None


@dataclass(frozen=True)
class Written:
    """A threading, or treadles trodden, as written: its parts in order."""

    typed: str
    parts: tuple[PartWritten, ...]

    @property
    def goes_on(self) -> bool:
        """Whether it goes on over and over, to the last end there is."""
        return len(self.parts) == 1 and self.parts[0].times is None

    @property
    def counted(self) -> int:
        """How many rows all parts have together, each part as often as it comes."""
        return sum(len(part.rows) * (part.times or 1) for part in self.parts)

    @property
    def highest(self) -> int:
        """The highest number named."""
        return max((shaft for part in self.parts for row in part.rows for shaft in row), default=0)

    def filled(self, count: int) -> tuple[Shafts, ...]:
        """The rows of so many ends or picks; WrittenError where the parts come to another number."""
        if self.goes_on:
            return tuple(islice(cycle(self.parts[0].rows), count))
        if self.counted != count:
            raise WrittenError(f"{self.counted} are written, and there are {count}; make them agree")
        return tuple(chain.from_iterable(part.rows * (part.times or 1) for part in self.parts))


def read_written(text: str) -> Written:
    """A threading, or treadles trodden, as typed; WrittenError with an accepted form."""
    _check_length(text)
    parts = [part.strip() for part in re.split(r"[;\n]", text) if part.strip()]
    if not parts:
        raise WrittenError(f"nothing came; {_FORM}")
    written = Written(" ".join(text.split()), tuple(map(_part, parts)))
    if written.counted > MOST_WRITTEN:
        raise WrittenError(f"{written.counted} are written, and {MOST_WRITTEN} are the most")
    return written


def read_sets(text: str) -> tuple[Shafts, ...]:
    """Shafts lifted pick after pick, or tied to treadle after treadle, as typed; WrittenError with an accepted form."""
    _check_length(text)
    found: list[Shafts] = []
    for part in (part.strip() for part in re.split(r"[;\n]", text)):
        times, body = _times(part)
        rows = [_row(row.strip(), row.strip(), _SETS_FORM) for row in body.split(",") if row.strip()]
        if len(found) + len(rows) * (times or 1) > MOST_WRITTEN:
            raise WrittenError(f"more than {MOST_WRITTEN} are written, and that is the most")
        found += rows * (times or 1)
    if not found:
        raise WrittenError(f"nothing came; {_SETS_FORM}")
    return tuple(found)


def written_out(rows: Sequence[Shafts], *, whole: bool = False) -> str:
    """Rows as they are written: over and over where they are, else what repeats once, with how often it comes.

    `whole`: how often is always said, so that the number of rows is told too.
    """
    words = [row_written(row) for row in rows]
    if not words:
        return ""
    period = _period(words)
    if 2 * period <= len(words) and not whole:
        return "-".join(words[:period])
    return "; ".join(f"{'-'.join(once)} {_how_often(times)}" for once, times in _parts_of(words))


def sets_out(rows: Sequence[Shafts]) -> str:
    """Lifts, or a tie-up, as they are written: what repeats once, with how often it comes."""
    parts = _parts_of([row_written(row) for row in rows])
    return "; ".join(", ".join(once) + (f" {_how_often(times)}" if times > 1 else "") for once, times in parts)


def _how_often(times: int) -> str:
    return "once" if times == 1 else f"{times} times"


def _period(words: Sequence[str]) -> int:
    """The least number of words after which they come again, to the end; in time of their number (Knuth, Morris, Pratt)."""
    border, borders = 0, [0]
    for word in words[1:]:
        while border and words[border] != word:
            border = borders[border - 1]
        border += words[border] == word
        borders.append(border)
    return len(words) - border


def _parts_of(words: Sequence[str]) -> Iterator[tuple[Sequence[str], int]]:
    """The rows in parts and how often each comes: of all that repeats from here the longest, else one row more that comes once."""
    place, alone = 0, 0
    while place < len(words):
        step, times = max(_repeats(words, place), key=lambda one: one[0] * one[1] if one[1] > 1 else 0)
        if times < 2:
            place, alone = place + 1, alone + 1
            continue
        if alone:
            yield words[place - alone : place], 1
        yield words[place : place + step], times
        place, alone = place + step * times, 0
    if alone:
        yield words[place - alone : place], 1


def _repeats(words: Sequence[str], place: int) -> Iterator[tuple[int, int]]:
    """How often rows of each length come one after the other from a place."""
    for step in range(1, _LONGEST_REPEAT + 1):
        once, times = words[place : place + step], 1
        while words[place + step * times : place + step * (times + 1)] == once:
            times += 1
        yield step, times if len(once) == step else 1


def row_written(row: Shafts) -> str:
    """The shafts of one end, or lifted for one pick: 1+3; 0 for none."""
    return "+".join(map(str, sorted(row))) or "0"


def _check_length(text: str) -> None:
    if len(text) > LONGEST_TEXT:
        raise WrittenError(
            f"{len(text)} letters came, and {LONGEST_TEXT} are the most; write what repeats once, with “times”"
        )


def _times(text: str) -> tuple[int | None, str]:
    """How often a part comes, where it says so, and the part without that."""
    found = _TIMES.fullmatch(text)
    times = None if found is None else 1 if found[2] else int(found[3] or found[4])
    if times == 0:
        raise WrittenError(f"“{text[:60]}”: 0 times; leave it out, or write how often")
    return times, (found[1] if found else text).strip().rstrip(",").strip("() ")


def _part(text: str) -> PartWritten:
    times, body = _times(text)
    named = _NAMED.fullmatch(body)
    return PartWritten(_named(named[1].lower(), int(named[2])) if named else _sequence(body, text), times)


def _named(name: str, shafts: int) -> tuple[Shafts, ...]:
    """Straight: each shaft after the next; point: there and back, the turning ends once. Common practice, no source."""
    if not 1 <= shafts <= MOST_SHAFTS:
        raise WrittenError(f"{name} on {shafts}: a loom has 1 to {MOST_SHAFTS} shafts")
    there = list(range(1, shafts + 1))
    order = there if name == "straight" else there + there[-2:0:-1]
    return tuple(frozenset({shaft}) for shaft in order)


def _sequence(body: str, whole: str) -> tuple[Shafts, ...]:
    rows = [row for row in re.split(r"\s*[-–,\s]\s*", re.sub(r"\s*\+\s*", "+", body)) if row]
    if not rows:
        raise WrittenError(f"“{whole[:60]}”: which shafts? {_FORM}")
    return tuple(_row(row, whole, _FORM) for row in rows)


def _row(text: str, whole: str, form: str) -> Shafts:
    if not re.fullmatch(r"\d{1,3}(\s*\+\s*\d{1,3})*", text):
        raise WrittenError(f"“{whole[:60]}”: shafts are numbers; {form}")
    return frozenset(int(shaft) for shaft in text.split("+") if int(shaft))
