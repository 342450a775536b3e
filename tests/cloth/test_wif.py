"""Drafts in the open interchange format are read, written, and lose nothing on the way.

The files here are written by hand from the specification of version 1.1 (from memory).
"""

from __future__ import annotations

import re
import time
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.cloth import Draft, Thread, WifRefused, WovenDraft, lifts_of, read_wif, write_wif

TWILL = b"""[WIF]
Version=1.1
Date=April 20, 1997
Developers=somebody@example.org
Source Program=by hand
Source Version=1

[CONTENTS]
COLOR PALETTE=true
TEXT=yes
WEAVING=on
WARP=1
WEFT=true
TIEUP=true
THREADING=true
TREADLING=true
COLOR TABLE=true
WARP COLORS=true
WEFT SPACING=true

[COLOR PALETTE]
Entries=2
Form=RGB
Range=0,999

[COLOR TABLE]
1=999,999,999
2=0,500,999

[TEXT]
Title=Straight twill
Author=A weaver

; a remark
[WEAVING]
Shafts=4
Treadles=4
Rising Shed=yes

[WARP]
Threads=8
Color=1
Units=Decipoints
Spacing=212
Thickness=180
Spacing Zoom=7

[WEFT]
Threads=4
Color=2
Units=Inches
Spacing=0.1

[THREADING]
1=1
2=2
3=3
4=4
5=1
6=2
7=3
8=4

[TIEUP]
1=1,2
2=2,3
3=3,4
4=1,4

[TREADLING]
1=1
2=2
3=3
4=4

[WARP COLORS]
3=2

[WEFT SYMBOLS]
1=5

[PRIVATE BY HAND LOOM NOTES]
anything=goes; here
"""


def test_a_file_by_hand_becomes_its_draft() -> None:
    """A straight 2/2 twill on four shafts and four treadles, with its colours, sizes, title and what was not used."""
    woven = read_wif(TWILL)
    assert woven.draft.up[:, :4].astype(int).tolist() == [[1, 1, 0, 0], [0, 1, 1, 0], [0, 0, 1, 1], [1, 0, 0, 1]]
    assert woven.title == "Straight twill"
    assert woven.warp.colours == ("#ffffff", "#ffffff", "#0080ff", *("#ffffff",) * 5)
    assert woven.warp.spacing_cm == pytest.approx(212 / 720 * 2.54)
    assert woven.weft.spacing_cm == pytest.approx(0.254)
    told = " ".join(woven.notes_on)
    assert "[WEFT SPACING] is in the contents, and the file has no such section." in told
    assert "[WEFT SYMBOLS]" in told
    assert "[PRIVATE BY HAND LOOM NOTES]" in told


def lines_of(data: bytes) -> dict[str, set[str]]:
    """The lines of every section, remarks with them."""
    found: dict[str, set[str]] = {}
    section = ""
    for line in data.decode().splitlines():
        if heading := re.fullmatch(r"\[(.*)\]", line.strip()):
            section = heading[1]
            found[section] = set()
        elif line.strip():
            found.setdefault(section, set()).add(line.strip())
    return found


def test_read_and_written_again_every_line_is_still_there() -> None:
    """But for whose program wrote it, the contents, which name what is there, and words for yes."""
    before, after = lines_of(TWILL), lines_of(write_wif(read_wif(TWILL), program="Clothwright", program_version="0"))
    for name, lines in before.items():
        gone = lines - after[name]
        if name == "WIF":
            assert gone == {"Source Program=by hand", "Source Version=1"}
        elif name == "CONTENTS":
            assert {line.partition("=")[0] for line in after[name]} >= {"THREADING", "WEFT SYMBOLS", "TEXT"}
        else:
            assert gone <= {"Rising Shed=yes"}, name
    assert "3=2" in after["WARP COLORS"]


@st.composite
def drafts(draw: st.DrawFn) -> WovenDraft:
    """Any draft, with a tie-up or a lift plan, and colours for some of its threads."""
    shafts, ends, picks = draw(st.integers(1, 8)), draw(st.integers(1, 12)), draw(st.integers(1, 9))
    some = st.frozensets(st.integers(1, shafts), min_size=1, max_size=3)
    threading = tuple(draw(some) for _ in range(ends))
    colour = st.none() | st.sampled_from(["#000000", "#ffffff", "#8a8f96", "#0b5d7e"])
    warp = Thread(tuple(draw(colour) for _ in range(ends)), draw(st.none() | st.floats(0.05, 2)))
    weft = Thread(tuple(draw(colour) for _ in range(picks)))
    title = draw(st.text("abc de", max_size=8).map(str.strip))
    if draw(st.booleans()):
        tie_up = tuple(draw(st.lists(some, min_size=1, max_size=6)))
        treadling = tuple(
            draw(st.frozensets(st.integers(1, len(tie_up)), min_size=1, max_size=2)) for _ in range(picks)
        )
        rising = draw(st.booleans())
        lifts = lifts_of(tie_up, treadling, shafts, rising=rising)
        return WovenDraft(Draft(shafts, threading, lifts, tie_up, treadling, rising), warp, weft, title)
    return WovenDraft(Draft(shafts, threading, tuple(draw(some) for _ in range(picks))), warp, weft, title)


@given(drafts())
def test_what_is_written_is_read_back_as_it_was(woven: WovenDraft) -> None:
    """Threading, lifts, tie-up, treadling, colours, title; spacing to six figures."""
    back = read_wif(write_wif(woven, program="Clothwright", program_version="0"))
    assert back.draft == woven.draft
    assert (back.warp.colours, back.weft.colours, back.title) == (woven.warp.colours, woven.weft.colours, woven.title)
    assert back.warp.spacing_cm == (
        None if woven.warp.spacing_cm is None else pytest.approx(woven.warp.spacing_cm, rel=1e-5)
    )


def test_a_sinking_shed_raises_the_shafts_that_are_not_tied() -> None:
    """Treadle 1 sinks shafts 1 and 2: 3 and 4 rise."""
    woven = read_wif(TWILL.replace(b"Rising Shed=yes", b"Rising Shed=false"))
    assert woven.draft.lifts[0] == frozenset({3, 4})


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (b"[WIF]", b"[WUF]", "does not begin with a section [WIF]"),
        (b"Threads=8", b"Threads=99999999", "[WARP] Threads=99999999: a whole number up to 20000"),
        (b"2=2\n3=3\n4=4\n5=1", b"2=two\n3=3\n4=4\n5=1", "[THREADING] 2=two: numbers stand there"),
        (b"Threads=8", b"Threads=7", "[THREADING] 8: there are 7"),
        (b"4=1,4", b"4=1,400", "400 shafts"),
        (b"Range=0,999", b"Range=9,9", "[COLOR PALETTE] Range=9,9"),
        (b"Rising Shed=yes", b"Rising Shed=perhaps", "true or false stands there"),
        (b"[THREADING]", b"[THREAD]", "no [THREADING]"),
    ],
)
def test_a_line_that_cannot_be_read_is_named(old: bytes, new: bytes, words: str) -> None:
    """The section, what came, and what stands there."""
    with pytest.raises(WifRefused) as caught:
        read_wif(TWILL.replace(old, new, 1))
    assert any(words in sentence for sentence in caught.value.sentences)


@given(st.binary(max_size=300))
def test_any_bytes_are_a_draft_or_a_refusal(data: bytes) -> None:
    """Never another error."""
    for content in (data, b"[WIF]\n[WARP]\nThreads=3\n[THREADING]\n1=1\n" + data):
        with suppress(WifRefused):
            assert read_wif(content).draft.threading


def test_a_file_of_many_megabytes_is_refused_at_once() -> None:
    """5 MB of one letter."""
    with pytest.raises(WifRefused, match="larger than 4 MB"):
        read_wif(b"a" * 5_000_000)


def again(data: bytes) -> str:
    """A file read and written."""
    return write_wif(read_wif(data), program="Clothwright", program_version="0").decode()


def test_remarks_are_kept_where_they_stand_and_are_no_part_of_a_number() -> None:
    """Before the first section, within one that is ours, and behind a number."""
    file = b"; drawn at low water\n" + TWILL.replace(b"Threads=8", b"Threads=8 ; by the tide").replace(
        b"1=1\n2=2\n3=3\n4=4\n5=1", b"; from the right\n1=1\n2=2 ;two\n3=3\n4=4\n5=1"
    )
    said = again(file)
    assert said.startswith("; drawn at low water\n\n[WIF]\n")
    assert "; a remark\n" in said
    assert "[THREADING]\n; from the right\n1=1\n2=2\n" in said
    assert read_wif(file).draft == read_wif(TWILL).draft == read_wif(said.encode()).draft


def test_a_section_that_stands_twice_keeps_the_lines_of_both() -> None:
    said = again(TWILL + b"[PRIVATE BY HAND LOOM NOTES]\nmore=of it\n[THREADING]\n8=1\n")
    assert "anything=goes; here\nmore=of it\n" in said
    assert "8=1\n" in said
    assert "8 stands there twice" in " ".join(read_wif(TWILL + b"[THREADING]\n8=1\n").notes_on)


def test_colours_told_in_another_form_come_back_as_they_were() -> None:
    """The table, its form, and the number of every thread."""
    symbolic = TWILL.replace(b"Form=RGB", b"Form=Symbolic").replace(b"1=999,999,999", b"1=shell")
    before, after = lines_of(symbolic), lines_of(again(symbolic).encode())
    for name in ("COLOR PALETTE", "COLOR TABLE", "WARP COLORS"):
        assert before[name] <= after[name]
    assert "Symbolic" in " ".join(read_wif(symbolic).notes_on)


def test_two_numbers_of_one_colour_and_a_number_that_is_not_in_the_table_stay() -> None:
    """Two yarns may look alike."""
    file = TWILL.replace(b"2=0,500,999", b"2=0,500,999\n5=0,500,999").replace(b"3=2\n", b"3=5\n4=7\n5=2\n")
    assert {"3=5", "4=7", "5=2"} <= lines_of(again(file).encode())["WARP COLORS"]
    assert "names colours that the colour table has not: 7" in " ".join(read_wif(file).notes_on)


def test_a_file_with_a_threading_alone_keeps_the_number_of_its_picks() -> None:
    bare = b"[WIF]\nVersion=1.1\n[WEAVING]\nShafts=2\n[WARP]\nThreads=2\n[WEFT]\nThreads=9\n[THREADING]\n1=1\n2=2\n"
    back = read_wif(again(bare).encode())
    assert len(back.draft.lifts) == 9
    assert "LIFTPLAN" not in again(bare)


def test_the_number_of_ends_left_out_is_counted_and_told() -> None:
    woven = read_wif(TWILL.replace(b"Threads=8\n", b""))
    assert len(woven.draft.threading) == 8
    assert "8 are numbered, and are taken" in " ".join(woven.notes_on)


def test_a_profile_is_refused_since_its_numbers_are_blocks() -> None:
    with pytest.raises(WifRefused, match="blocks"):
        read_wif(TWILL.replace(b"Shafts=4", b"Shafts=4\nProfile=true"))


def test_a_title_of_two_lines_cannot_become_a_section() -> None:
    """What is typed stays text."""
    side = Thread((None,))
    sly = WovenDraft(
        Draft(1, (frozenset({1}),), (frozenset({1}),)), side, side, "low\n[THREADING]\n1=9", ("one\n[WARP]\nThreads=5",)
    )
    back = read_wif(write_wif(sly, program="Clothwright", program_version="0\n[WEFT]"))
    assert back.draft == sly.draft
    assert back.title == "low [THREADING] 1=9"
    assert back.notes == ("one", "[WARP]", "Threads=5")


_HEAD = b"[WIF]\n[WEAVING]\nShafts=128\nTreadles=128\nRising Shed=false\n[WARP]\nThreads=1\n[WEFT]\nThreads=20000\n[THREADING]\n1=1\n"
_EVERY = b",".join(b"%d" % n for n in range(1, 129))


@pytest.mark.parametrize(
    "content",
    [
        _HEAD
        + b"[TIEUP]\n1="
        + b",".join(b"%d" % n for n in range(1, 99999))
        + b"\n[TREADLING]\n"
        + b"".join(b"%d=1\n" % n for n in range(1, 20001)),
        _HEAD
        + b"[TIEUP]\n"
        + b"".join(b"%d=%s\n" % (n, _EVERY) for n in range(1, 129))
        + b"[TREADLING]\n"
        + b"".join(b"%d=%s\n" % (n, _EVERY) for n in range(1, 7000)),
        _HEAD + b"a\n" * 1_900_000,
        _HEAD + b"[CONTENTS]\n" + b"".join(b"%d=1\n" % n for n in range(400_000)),
        _HEAD + b"".join(b"[%d]\n" % n for n in range(400_000)),
        _HEAD + b"[THREADING]\n1=" + b" " * 3_900_000 + b"x",
        b"[WIF]\n" + b"[" * 3_900_000,
        _HEAD + b"[A]\n" + b"b=1\n" * 140_000 + b"[A]\n" * 150_000,
    ],
    ids=[
        "wide tie-up",
        "every treadle",
        "wrong lines",
        "contents",
        "sections",
        "spaces",
        "brackets",
        "one section over and over",
    ],
)
def test_a_file_made_to_be_slow_is_read_or_refused_in_seconds(content: bytes) -> None:
    """Each of up to 4 MB, aimed at one part of the reading."""
    before = time.process_time()
    with suppress(WifRefused):
        read_wif(content)
    assert time.process_time() - before < 10
