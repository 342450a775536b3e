"""Threading a rigid heddle: holes and slots, a second heddle, pick-up sticks, and the sheds they make.

An end in a hole goes up and down with its heddle; an end in a slot stays in the middle. So a heddle makes two sheds:

    up      the ends in holes lie over the weft
    down    the ends in slots lie over the weft

A pick-up stick, charged behind the heddle, holds some of the ends in slots; turned on edge it lifts them. `up and stick A`
lifts the holes and what the stick holds. A charging pattern counts slots, from the first one of the warp: `1 on, 1 off`.
Two heddles stand one behind the other: an end is in a hole of one of them and a slot of the other, or in slots of both, and

    both up, both down, heddle 1 up, heddle 2 up, heddle 1 down, heddle 2 down

make the sheds. As a draft, the holes of heddle 1 are shaft 1, those of heddle 2 are shaft 2; each kind of slot is a shaft
after them, by which sticks hold it.

*Source:* common practice, no source; which shed follows is from how the threads stand.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import cycle, groupby, islice, permutations
from math import lcm
from typing import Final

from clothwright.cloth.draft import Draft, Shafts
from clothwright.cloth.structure import Structure
from clothwright.cloth.threading_written import WrittenError

SLOT: Final = 0
STICKS: Final = "ABCDEFGH"
_MOST_SLOTS: Final = 2_000
_MOST_PICKS: Final = 2_000
_FORM: Final = "write up; down, or up; stick A; up; down"

#: A pattern of slots: which of them a stick holds, over and over.
Charged = tuple[bool, ...]


@dataclass(frozen=True)
class RigidThreading:
    """How a rigid heddle is threaded and woven.

    `cycle`: where one end after the other goes, over and over: the number of the heddle whose hole it is in, 0 for a slot.
    `charged`: for each stick which slots it holds. `lifting`: the sheds, pick after pick, in words.
    """

    heddles: int
    cycle: tuple[int, ...]
    charged: tuple[Charged, ...]
    lifting: tuple[str, ...]

    @property
    def kinds(self) -> tuple[frozenset[int], ...]:
        """The kinds of slot: which sticks hold them, by number; the unheld first."""
        held = {frozenset(self._held(slot)) for slot in range(self._slot_repeat)} or {frozenset()}
        return tuple(sorted(held, key=lambda sticks: (len(sticks), sorted(sticks))))

    @property
    def _slot_repeat(self) -> int:
        return _least_common([len(pattern) for pattern in self.charged])

    def _held(self, slot: int) -> Iterable[int]:
        return (number for number, pattern in enumerate(self.charged) if pattern[slot % len(pattern)])

    def shaft_words(self) -> tuple[str, ...]:
        """What each shaft of the draft is called on this loom."""
        holes = ("hole",) if self.heddles == 1 else tuple(f"hole of heddle {n}" for n in range(1, self.heddles + 1))
        return (*holes, *(self._slot_word(sticks) for sticks in self.kinds))

    def _slot_word(self, sticks: frozenset[int]) -> str:
        return "slot" if not sticks else f"slot, on {' and '.join(f'stick {STICKS[one]}' for one in sorted(sticks))}"

    def places_of(self, ends_in_place: Sequence[int]) -> tuple[int, ...]:
        """Where each end goes, of a warp with so many ends in one place after the other: a heddle's number, or 0 for a slot."""
        return tuple(place for place, ends in zip(cycle(self.cycle), ends_in_place, strict=False) for _ in range(ends))

    def draft(self, places: Sequence[int], slot_of: Sequence[int], picks: int) -> Draft:
        """The draft of ends in places; `slot_of` numbers the slot of each end from 0, whatever stands for ends in holes."""
        kinds = list(self.kinds)
        threading = tuple(
            frozenset({place or self.heddles + 1 + kinds.index(frozenset(self._held(slot)))})
            for place, slot in zip(places, slot_of, strict=True)
        )
        sheds = [self.shed(words) for words in self.lifting]
        lifts = tuple(islice(cycle(sheds), picks)) if sheds else ()
        return Draft(self.heddles + len(kinds), threading, lifts)

    def shed(self, words: str) -> Shafts:
        """The shafts that lie over the weft in a shed; WrittenError where it is none."""
        parts = [" ".join(part.split()) for part in re.split(r"\+|\band\b", words.lower())]
        turned = {part[-2:] for part in parts if part.endswith(("up", "wn"))}
        if len(turned) > 1:
            raise WrittenError(f"“{words}”: one heddle up and another down part the warp in three; {_FORM}")
        return frozenset().union(*(self._raised(part, words) for part in parts))

    def _raised(self, part: str, words: str) -> Shafts:
        slots = range(self.heddles + 1, self.heddles + 1 + len(self.kinds))
        if part in ("up", "both up"):
            return frozenset(range(1, self.heddles + 1))
        if part in ("down", "both down"):
            return frozenset(slots)
        if found := re.fullmatch(r"(?:heddle )?([12]) (up|down)", part):
            own = int(found[1])
            if own <= self.heddles:
                return (
                    frozenset({own}) if found[2] == "up" else frozenset({*range(1, self.heddles + 1), *slots} - {own})
                )
        if found := re.fullmatch(r"stick ([a-h])", part):
            number = STICKS.index(found[1].upper())
            if number >= len(self.charged):
                raise WrittenError(f"“{words}”: there is no stick {STICKS[number]}; say what it holds, as 1 on, 1 off")
            return frozenset(shaft for shaft, kind in zip(slots, self.kinds, strict=True) if number in kind)
        raise WrittenError(f"“{words[:60]}”: no shed of this loom; {_FORM}")


def read_charged(text: str) -> Charged:
    """Which slots a stick holds, as `1 on, 1 off`; WrittenError with an accepted form."""
    form = "write what is picked up and what is not, as 1 on, 1 off"
    parts = [part.strip().lower() for part in text.split(",") if part.strip()]
    held: list[bool] = []
    for part in parts:
        found = re.fullmatch(r"(\d{1,4})\s*(on|off)", part)
        if not found or not int(found[1]) or len(held) + int(found[1]) > _MOST_SLOTS:
            raise WrittenError(f"“{text[:60]}”: {form}")
        held += [found[2] == "on"] * int(found[1])
    if not any(held) or all(held):
        raise WrittenError(f"“{text[:60]}”: a stick holds some of the slots and not all; {form}")
    return tuple(held)


def charged_words(pattern: Charged) -> str:
    """A charging pattern as it is written: 1 on, 1 off."""
    return ", ".join(f"{len(list(same))} {'on' if held else 'off'}" for held, same in groupby(pattern))


def read_sheds(text: str) -> tuple[str, ...]:
    """The sheds of one pick after the other, as typed; WrittenError where there are none or too many."""
    found = tuple(" ".join(one.split()) for one in re.split(r"[;,\n]", text) if one.strip())
    if not 1 <= len(found) <= _MOST_PICKS:
        raise WrittenError(f"{len(found)} picks came; {_FORM}")
    return found


def read_cycle(text: str, heddles: int) -> tuple[int, ...]:
    """Where one end after the other goes, as `hole-slot` or `hole 1-slot-hole 2-slot`; WrittenError with an accepted form."""
    form = "write hole-slot or slot-hole" if heddles == 1 else "write it as hole 1-slot-hole 2-slot"
    words = [" ".join(word.split()) for word in re.split(r"[-–,;]", text.lower()) if word.strip()]
    found = []
    for word in words:
        hole = re.fullmatch(r"hole(?: ([12]))?", word)
        if word == "slot":
            found.append(SLOT)
        elif hole and (int(hole[1] or 1) <= heddles) and (heddles == 1 or hole[1]):
            found.append(int(hole[1] or 1))
        else:
            raise WrittenError(f"“{text[:60]}”: {form}")
    one_heddle_alternates = heddles > 1 or tuple(found) in ((1, SLOT), (SLOT, 1))
    if not one_heddle_alternates or set(found) != set(range(heddles + 1)):
        raise WrittenError(f"“{text[:60]}”: {form}")
    return tuple(found)


def rigid_threading_of(structure: Structure, heddles: int = 1) -> RigidThreading | None:
    """A structure on one rigid heddle with as many sticks as it needs, or on two heddles; None where it cannot be."""
    if heddles == 1:
        ways = (_on_one(structure, first_hole) for first_hole in (0, 1))
    else:
        ways = (_on_two(structure, order) for order in permutations((1, 2, SLOT)))
    return next((way for way in ways if way is not None), None)


def _on_one(structure: Structure, first_hole: int) -> RigidThreading | None:
    columns = list(zip(*structure.draft, strict=True))
    columns *= 2 if len(columns) % 2 else 1
    holes, slots = columns[first_hole::2], columns[1 - first_hole :: 2]
    if len(set(holes)) != 1:
        return None
    patterns: dict[Charged, str] = {}
    lifting = []
    for pick in range(structure.picks):
        up, held = holes[0][pick] == "1", tuple(slot[pick] == "1" for slot in slots)
        words = _shed_on_one(up, held, patterns)
        if words is None:
            return None
        lifting.append(words)
    cycle_of = (1, SLOT) if first_hole == 0 else (SLOT, 1)
    charged = tuple(_shortest(pattern) for pattern in patterns)
    return RigidThreading(1, cycle_of, charged, _shortest_words(lifting))


def _shed_on_one(up: bool, held: Charged, patterns: dict[Charged, str]) -> str | None:
    """A pick in words, with a stick added to `patterns` for slots that no stick holds yet; None where no shed opens."""
    if all(held) or not any(held):
        return None if up == all(held) else "up" if up else "down"
    if held not in patterns:
        if len(patterns) == len(STICKS):
            return None
        patterns[held] = STICKS[len(patterns)]
    return f"up and stick {patterns[held]}" if up else f"stick {patterns[held]}"


_SHEDS_OF_TWO: Final = {
    frozenset({1, 2}): "both up",
    frozenset({0}): "both down",
    frozenset({1}): "heddle 1 up",
    frozenset({2}): "heddle 2 up",
    frozenset({0, 2}): "heddle 1 down",
    frozenset({0, 1}): "heddle 2 down",
}


def _on_two(structure: Structure, order: Sequence[int]) -> RigidThreading | None:
    """Plain weave twice as close, or three kinds of end: `order` gives each kind its heddle, or 0 for the slots."""
    columns = list(zip(*structure.draft, strict=True))
    kinds = list(dict.fromkeys(columns))
    if len(kinds) == 2 and len(columns) == 2:
        return RigidThreading(2, (1, SLOT, 2, SLOT), (), ("both up", "both down"))
    if len(kinds) != 3:
        return None
    lifting = []
    for pick in range(structure.picks):
        words = _SHEDS_OF_TWO.get(frozenset(order[n] for n, kind in enumerate(kinds) if kind[pick] == "1"))
        if words is None:
            return None
        lifting.append(words)
    return RigidThreading(2, tuple(order[kinds.index(column)] for column in columns), (), _shortest_words(lifting))


def _shortest(pattern: Charged) -> Charged:
    count = len(pattern)
    return next(
        pattern[:step]
        for step in range(1, count + 1)
        if count % step == 0 and pattern[:step] * (count // step) == pattern
    )


def _shortest_words(words: Sequence[str]) -> tuple[str, ...]:
    count = len(words)
    found = tuple(words)
    return next(
        found[:step] for step in range(1, count + 1) if count % step == 0 and found[:step] * (count // step) == found
    )


def _least_common(numbers: Sequence[int]) -> int:
    return lcm(*numbers) if numbers else 1
