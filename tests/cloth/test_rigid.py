"""A rigid heddle's holes and slots, sticks and second heddle weave the structure they are said to weave."""

from __future__ import annotations

import pytest

from clothwright.cloth import (
    SLOT,
    RigidThreading,
    WrittenError,
    charged_words,
    read_charged,
    read_cycle,
    read_sheds,
    rigid_threading_of,
    structure,
    structures,
)


def woven(rigid: RigidThreading, ends: int, picks: int) -> list[str]:
    """The drawdown, worked out crossing by crossing from what the hands do: 1 where the end lies over the weft."""
    found = []
    for pick in range(picks):
        words = rigid.lifting[pick % len(rigid.lifting)]
        row, slot = "", 0
        for end in range(ends):
            place = rigid.cycle[end % len(rigid.cycle)]
            if place == SLOT:
                held = [
                    letter for letter, held in zip("ABCDEFGH", rigid.charged, strict=False) if held[slot % len(held)]
                ]
                slot += 1
                up = words in ("down", "both down") or any(f"stick {one}" in words for one in held)
                up = up or words in ("heddle 1 down", "heddle 2 down")
            else:
                up = words.startswith("up") or words in ("both up", f"heddle {place} up", f"heddle {3 - place} down")
            row += str(int(up))
        found.append(row)
    return found


ON_ONE = ["plain", "weft floats, pick-up", "warp floats, pick-up", "waffle-like, pick-up", "spot, pick-up"]


@pytest.mark.parametrize("name", ON_ONE)
def test_a_structure_of_one_heddle_is_woven_by_its_sheds(name: str) -> None:
    """What the hands do is worked out again, end by end; the structure's own draft, over and over, is the check."""
    one, rigid = structure(name), rigid_threading_of(structure(name))
    assert rigid is not None
    ends, picks = 4 * one.ends, 2 * one.picks
    assert woven(rigid, ends, picks) == [one.draft[pick % one.picks] * 4 for pick in range(picks)]
    slots = iter(range(ends))
    slot_of = [next(slots) if rigid.cycle[n % 2] == SLOT else 0 for n in range(ends)]
    up = rigid.draft(rigid.places_of([1] * ends), slot_of, picks).up
    assert ["".join(str(int(x)) for x in row) for row in up] == woven(rigid, ends, picks)


def test_weft_floats_are_up_stick_up_down_as_the_table_of_structures_says() -> None:
    """Picks: up, stick alone, up, down; the stick holds every other slot. Common practice, no source."""
    rigid = rigid_threading_of(structure("weft floats"))
    assert rigid is not None
    assert rigid.lifting == ("up", "stick A", "up", "down")
    assert [charged_words(one) for one in rigid.charged] == ["1 on, 1 off"]


@pytest.mark.parametrize("name", ["twill 2/1", "twill 1/2", "plain"])
def test_two_heddles_weave_three_kinds_of_end_and_plain_weave_twice_as_close(name: str) -> None:
    one, rigid = structure(name), rigid_threading_of(structure(name), 2)
    assert rigid is not None
    ends = 12
    assert woven(rigid, ends, one.picks) == [(pick * 12)[:ends] for pick in one.draft]


def test_a_structure_that_one_heddle_cannot_weave_is_none() -> None:
    """A 2/2 twill lifts its ends in four ways, and those in holes are not all alike."""
    assert rigid_threading_of(structure("twill 2/2")) is None
    assert rigid_threading_of(structure("satin 8"), 2) is None
    assert all(rigid_threading_of(one) is None for one in structures() if one.name.startswith("satin"))


def test_what_is_typed_is_read() -> None:
    assert read_cycle("slot-hole", 1) == (0, 1)
    assert read_cycle("hole 1 - slot - hole 2 - slot", 2) == (1, 0, 2, 0)
    assert read_charged("2 on, 1 off") == (True, True, False)
    assert read_sheds("up; stick A, up; down") == ("up", "stick A", "up", "down")


@pytest.mark.parametrize(
    ("read", "words"),
    [
        (lambda: read_cycle("hole-hole", 1), "write hole-slot or slot-hole"),
        (lambda: read_cycle("hole-slot", 2), "hole 1-slot-hole 2-slot"),
        (lambda: read_charged("3 on"), "some of the slots and not all"),
        (lambda: read_charged("one on"), "1 on, 1 off"),
        (lambda: RigidThreading(1, (1, 0), (), ("up",)).shed("stick A"), "there is no stick A"),
        (lambda: RigidThreading(1, (1, 0), (), ("up",)).shed("sideways"), "no shed of this loom"),
        (
            lambda: RigidThreading(2, (1, 0, 2, 0), (), ()).shed("heddle 1 up and heddle 2 down"),
            "part the warp in three",
        ),
    ],
)
def test_what_no_heddle_does_is_one_sentence(read: object, words: str) -> None:
    with pytest.raises(WrittenError, match=words):
        read()  # type: ignore[operator]
