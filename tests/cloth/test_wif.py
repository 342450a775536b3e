"""Drafts in the open interchange format are read, written, and lose nothing on the way.

The files here are written by hand from the specification of version 1.1 (from memory).
"""

from __future__ import annotations

import re
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
    """The lines of every section, without remarks and blank lines."""
    found: dict[str, set[str]] = {}
    section = ""
    for line in data.decode().splitlines():
        if heading := re.fullmatch(r"\[(.*)\]", line.strip()):
            section = heading[1]
            found[section] = set()
        elif line.strip() and not line.startswith(";"):
            found[section].add(line.strip())
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
