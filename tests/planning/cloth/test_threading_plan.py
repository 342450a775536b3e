"""The threading of a project: every end once, on its shaft or hole and in its place, and every sum added up again."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from clothwright.cloth import read_wif
from clothwright.planning import Plan
from clothwright.planning.cloth.threading_answer import ThreadingPlan
from clothwright.planning.cloth.threading_files import draft_from_file, draft_to_file
from clothwright.planning.cloth.threading_plan import plan_threading
from clothwright.planning.cloth.threading_time import time_needed
from clothwright.project import ProblemsFound, Project, read_project


def no_plan() -> Plan:
    raise AssertionError("everything is typed, and no plan is needed")


def rigid(draft: dict[str, Any] | None = None, **parts: Any) -> Project:
    """A rigid heddle of 30/10 on a loom of 60 cm, one yarn."""
    tree: dict[str, Any] = {
        "loom": {"kind": "rigid heddle", "weaving_width": "60 cm", "heddles": ["30/10 cm"]},
        "yarn": [{"name": "kelp", "use": "warp"}],
        "draft": {"ends": 148} | (draft or {}),
    }
    for name, part in parts.items():
        tree[name] = tree.get(name, {}) | part if isinstance(part, dict) else part
    return read_project(tree)


def shaft(draft: dict[str, Any] | None = None, **parts: Any) -> Project:
    """A loom with shafts, a reed of 12 to the inch."""
    parts["loom"] = {"kind": "shaft", "weaving_width": "60 cm", "heddles": ["12/in reed"]} | parts.get("loom", {})
    parts["cloth"] = {"structure": "twill 2/2"} | parts.get("cloth", {})
    return rigid(draft, **parts)


def threaded(project: Project) -> ThreadingPlan:
    return plan_threading(project, no_plan)


def on(answer: ThreadingPlan) -> list[list[int]]:
    return [sorted(end.shafts) for end in answer.threads]


def test_holes_and_slots_alternate_and_the_warp_stands_in_the_middle() -> None:
    """180 places in 60 cm, 148 filled: 16 are free on either side, by hand. Place 1 is a slot, so place 17 is one too."""
    answer = threaded(rigid({"threading": "slot-hole"}))
    assert [end.on for end in answer.threads[:4]] == ["slot", "hole", "slot", "hole"]
    where = answer.in_heddle.standing
    assert where is not None
    assert (where.first, where.last, answer.in_heddle.count) == (17, 164, 180)
    assert [end.place for end in answer.threads[:3]] == [17, 18, 19]
    assert (answer.in_heddle.to_left, answer.in_heddle.to_right, answer.in_heddle.middle) == (74, 74, (90, 91))
    assert answer.in_heddle.width_cm == pytest.approx(49.333, abs=1e-3)


def test_a_first_end_in_a_hole_is_in_a_place_that_is_a_hole() -> None:
    answer = threaded(rigid({"threading": "hole-slot"}))
    where = answer.in_heddle.standing
    assert where is not None
    assert where.first % 2 == 0
    assert abs(where.off_middle_cm) == pytest.approx(1 / 3)
    assert threaded(rigid({"threading": "hole-slot", "heddle_edge": "hole"})).in_heddle.standing == where.__class__(
        17, 164, pytest.approx(0), pytest.approx(148 / 3)
    )


def test_counted_from_the_right_the_same_places_are_filled() -> None:
    left, right = (threaded(rigid({"threading": "slot-hole", "first_end": side})) for side in ("left", "right"))
    assert [end.place for end in right.threads][:2] == [163, 162]
    assert {end.on for end in right.threads if (end.place or 0) % 2} == {"slot"}
    assert len({end.place for end in right.threads} & {end.place for end in left.threads}) >= 147


def test_plain_weave_on_shafts_is_straight_on_as_many_as_are_used() -> None:
    """On four shafts it lifts 1 and 3 against 2 and 4. Common practice, no source."""
    answer = threaded(shaft({"shafts": 4, "ends": 24}, cloth={"structure": "plain"}))
    assert on(answer)[:5] == [[1], [2], [3], [4], [1]]
    assert [shed.words for shed in answer.sheds] == ["shafts 1 and 3 up", "shafts 2 and 4 up"]
    assert answer.draft.up.astype(int).tolist() == [[1, 0] * 12, [0, 1] * 12]


def test_a_2_2_twill_is_straight_and_its_drawdown_is_the_textbooks() -> None:
    """Common practice, no source."""
    answer = threaded(shaft({"ends": 8}))
    assert answer.written == "1-2-3-4"
    assert answer.draft.up.astype(int).tolist() == [
        [1, 1, 0, 0] * 2,
        [0, 1, 1, 0] * 2,
        [0, 0, 1, 1] * 2,
        [1, 0, 0, 1] * 2,
    ]


def test_a_point_threading_typed_takes_the_lifts_of_the_twill_and_turns() -> None:
    answer = threaded(shaft({"ends": 7, "threading": "point on 4"}))
    up = answer.draft.up
    assert (up == up[:, ::-1]).all()
    assert answer.on_shaft() == (2, 2, 2, 1)


def test_treadles_lift_what_is_tied_to_them_and_a_sinking_shed_the_others() -> None:
    typed = {"ends": 8, "tie_up": "1+2, 2+3, 3+4, 1+4", "treadling": "1-2-3-4-3-2"}
    answer = threaded(shaft(typed))
    assert [shed.words for shed in answer.sheds][:2] == ["treadle 1: shafts 1 and 2 up", "treadle 2: shafts 2 and 3 up"]
    assert len(answer.sheds) == 6
    sinking = threaded(shaft(typed | {"sheds": "sinking"}))
    assert sinking.sheds[0].raised == frozenset({3, 4})


def test_one_and_two_in_a_dent_fill_two_thirds_of_the_dents() -> None:
    """135 ends, 1-2: 45 times three ends in two dents, 90 dents of 12 to the inch, 7.5 in. By hand."""
    answer = threaded(shaft({"ends": 135, "sleying": "1-2"}))
    assert answer.in_heddle.used == 90
    assert answer.in_heddle.width_cm == pytest.approx(90 / 12 * 2.54)
    places = Counter(end.place for end in answer.threads)
    assert Counter(places.values()) == {1: 45, 2: 45}


def test_floating_selvedges_are_in_no_heddle_and_beside_the_warp() -> None:
    """In a slot of a rigid heddle: where the warp begins in a slot, the next slot is two places on."""
    answer = threaded(rigid({"ends": 150, "threading": "slot-hole"}, cloth={"floating_selvedges": True}))
    first, last = answer.threads[0], answer.threads[-1]
    assert (first.on, first.place, last.place) == ("floating selvedge", 15, 165)
    assert answer.counted == 148
    assert first.shafts == last.shafts == frozenset()


def test_floating_selvedges_that_find_no_place_are_told_and_numbers_begin_at_one() -> None:
    """All 180 places are filled; and where nobody says how many there are, the floating end is in the first."""
    full = threaded(rigid({"ends": 182, "threading": "slot-hole"}, cloth={"floating_selvedges": True}))
    assert any("no free slot beside the warp" in note for note in full.notes)
    unknown = rigid({"ends": 22, "threading": "slot-hole"}, cloth={"floating_selvedges": True})
    unknown = unknown.model_copy(update={"loom": unknown.loom.model_copy(update={"weaving_width": None})})
    assert [end.place for end in threaded(unknown).threads][:3] == [1, 3, 4]


def test_a_pick_up_structure_charges_every_other_slot() -> None:
    """Hole, slot on the stick, hole, slot; up, stick alone, up, down: as the table of structures says. Common practice, no source."""
    answer = threaded(rigid({"ends": 12}, cloth={"structure": "weft floats"}))
    assert [end.on for end in answer.threads[:4]] == ["hole", "slot, on stick A", "hole", "slot"]
    assert [shed.words for shed in answer.sheds] == ["up", "stick A", "up", "down"]
    assert answer.sticks == (("A", "1 on, 1 off"),)


def test_two_heddles_weave_a_twill_of_three() -> None:
    answer = threaded(rigid({"ends": 12}, cloth={"structure": "twill 2/1", "heddle": "30/10 cm, 1 in 2 heddles"}))
    assert {end.on for end in answer.threads} == {"hole of heddle 1", "hole of heddle 2", "slot"}
    assert answer.draft.up[0].astype(int).tolist() == [1, 1, 0] * 4
    assert any("4.50 ends in a centimetre" in note for note in answer.notes)


def test_plain_weave_in_two_heddles_stands_twice_as_close() -> None:
    answer = threaded(rigid({"ends": 120}, cloth={"heddle": "30/10 cm, 1 in 2 heddles"}))
    assert answer.ends_per_cm == pytest.approx(6)
    assert answer.draft.up[0].astype(int).tolist() == [1, 0] * 60


def test_sections_of_different_setts_are_filled_one_after_the_other() -> None:
    """20 cm at 3 and 10 cm at 4 per cm: 100 places, all filled; the sum of the widths is 30 cm."""
    heddle = "30/10 cm for 20 cm + 40/10 cm for 10 cm"
    answer = threaded(rigid({"ends": 100, "threading": "slot-hole"}, loom={"heddles": [heddle]}))
    assert answer.in_heddle.width_cm == pytest.approx(30, abs=0.1)
    assert [answer.threads[0].place, answer.threads[-1].place] == [1, 100]


@settings(max_examples=40, deadline=None)
@given(
    st.integers(4, 300),
    st.sampled_from(["plain", "twill 2/2", "point twill", "twill 2/1"]),
    st.sampled_from(["1", "1-2", "2", "0-1-1", "2-2-3"]),
    st.sampled_from(["left", "right"]),
    st.booleans(),
)
def test_every_sum_of_any_threading_agrees(ends: int, weave: str, sleying: str, side: str, floating: bool) -> None:
    """Re-added from the list of ends itself."""
    answer = threaded(
        shaft(
            {"ends": ends, "sleying": sleying, "first_end": side},
            cloth={"structure": weave, "floating_selvedges": floating},
            loom={"weaving_width": "200 cm"},
        )
    )
    assert [end.number for end in answer.threads] == list(range(1, ends + 1))
    assert all(check.agrees for check in answer.checks)
    assert len(answer.checks) == 3
    sett = answer.in_heddle.sett_per_cm
    assert sett is not None
    assert abs(answer.counted / sett - answer.in_heddle.used / answer.in_heddle.places_cm) < 3 * 2.54 / 12
    order = [end.place for end in answer.threads]
    assert order == sorted(order, reverse=side == "right")
    where = answer.in_heddle.standing
    assert where is not None
    assert abs(where.off_middle_cm) <= 0.5 / 12 * 2.54 + 1e-9


@pytest.mark.parametrize(
    ("make", "path", "words"),
    [
        (
            lambda: shaft({"ends": 50, "threading": "1-2-3-4 12 times"}),
            ("draft", "threading"),
            "48 are written, and there are 50",
        ),
        (lambda: shaft({"threading": "hole-slot"}), ("draft", "threading"), "shafts are numbers"),
        (lambda: rigid({"threading": "1-2-3-4"}), ("draft", "threading"), "write hole-slot or slot-hole"),
        (lambda: rigid({"lifting": "up; stick A"}), ("draft", "lifting"), "there is no stick A"),
        (lambda: shaft({"treadling": "1-2"}), ("draft", "tie_up"), "nothing is tied"),
        (lambda: shaft({"tie_up": "1+2, 3+4", "treadling": "1-3"}), ("draft", "treadling"), "treadle 3"),
        (lambda: shaft({"shafts": 2}), ("draft", "threading"), "asks for 4 shafts"),
        (lambda: shaft({"shafts": 6}), ("draft", "threading"), "do not divide evenly"),
        (lambda: shaft({"shafts": 4, "lifting": "1+5"}), ("draft", "shafts"), "shaft 5 is named"),
        (lambda: shaft({"sleying": "2 for 20 ends; 1 for 20 ends"}), ("draft", "sleying"), "of 40 ends"),
        (lambda: rigid({"ends": 30000}), ("draft", "ends"), "1 to 20000"),
    ],
)
def test_what_does_not_agree_is_one_sentence_at_its_field(make: Any, path: tuple[str, ...], words: str) -> None:
    with pytest.raises(ProblemsFound) as caught:
        threaded(make())
    assert caught.value.problems[0].path == path
    assert words in caught.value.problems[0].sentence


def test_a_warp_wider_than_its_heddle_is_told_and_still_listed() -> None:
    answer = threaded(rigid({"ends": 200}))
    assert answer.in_heddle.standing is None
    assert any("fills 200 places, and the heddle has 180" in note for note in answer.notes)


def test_time_is_a_band_and_her_own_times_move_it() -> None:
    """With no time of her own the band is the table's; ten times at 0.5 minutes an end bring it there, by the normal model."""
    usual = time_needed(100, "shaft", ())
    assert (usual.minutes.low, usual.minutes.high) == (pytest.approx(20), pytest.approx(80))
    own = time_needed(100, "shaft", [(60, 30.0)] * 10)
    assert own.minutes.expected == pytest.approx(50, rel=0.02)
    assert own.minutes.high / own.minutes.low < usual.minutes.high / usual.minutes.low
    assert own.own_times == 10


# --- files -------------------------------------------------------------------------------------------------------

BY_HAND = b"""[WIF]
Version=1.1
Date=April 20, 1997
Source Program=by hand

[CONTENTS]
WEAVING=true
WARP=true
WEFT=true
THREADING=true
TIEUP=true
TREADLING=true
COLOR PALETTE=true
COLOR TABLE=true
WARP SPACING=true

[WEAVING]
Shafts=4
Treadles=4
Rising Shed=true

[WARP]
Threads=16
Color=1

[WEFT]
Threads=8

[COLOR PALETTE]
Entries=2
Form=RGB
Range=0,255

[COLOR TABLE]
1=250,250,240
2=40,60,90

[WARP SPACING]
16=0.2

[THREADING]
1=1
2=2
3=3
4=4
5=1
6=2
7=3
8=4
9=3
10=2
11=1
12=4
13=3
14=2
15=1
16=4

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
5=1
6=2
7=3
8=4

[PRIVATE BY HAND TIDES]
high=noon
"""


def with_draft(fields: Any, **parts: Any) -> Project:
    return shaft(dict(fields), yarn=[], **parts)


def test_a_file_by_hand_becomes_the_draft_and_is_written_out_with_nothing_lost() -> None:
    """A file written by hand from the specification, from memory: every line comes back, and the draft is the same."""
    read = draft_from_file(BY_HAND)
    assert read.fields["tie_up"] == "1+2, 2+3, 3+4, 1+4"
    assert read.fields["treadling"] == "1-2-3-4 2 times"
    assert (read.ends, read.picks, read.shafts) == (16, 8, 4)
    project = with_draft(read.fields)
    out = draft_to_file(threaded(project), project, program_version="0")
    assert read_wif(out.data).draft.threading == read_wif(BY_HAND).draft.threading
    assert read_wif(out.data).draft.up.tolist() == read_wif(BY_HAND).draft.up.tolist()
    ours = {"Source Program=by hand"}
    assert set(BY_HAND.decode().splitlines()) - set(out.data.decode().splitlines()) == ours
    assert out.data.decode().index("[TIEUP]") < out.data.decode().index("[PRIVATE BY HAND TIDES]")
    assert read_wif(out.data).warp.colours == read_wif(BY_HAND).warp.colours


def test_lines_of_ends_that_are_not_there_any_more_are_named() -> None:
    project = with_draft(dict(draft_from_file(BY_HAND).fields) | {"ends": 12, "threading": "straight on 4"})
    out = draft_to_file(threaded(project), project, program_version="0")
    assert any("[WARP SPACING]" in one for one in out.not_carried)
    assert b"16=0.2" not in out.data
    assert len(read_wif(out.data).draft.threading) == 12


def test_colours_of_the_project_are_written_for_every_end() -> None:
    project = shaft({"ends": 8}, yarn=[{"name": "kelp", "use": "warp", "colour": "#5b7083"}])
    out = draft_to_file(threaded(project), project, program_version="0")
    assert read_wif(out.data).warp.colours == ("#5b7083",) * 8
    assert read_wif(out.data).warp.spacing_cm == pytest.approx(2.54 / 12, rel=1e-4)


def test_a_rigid_heddle_is_written_as_shafts_and_its_words_as_notes() -> None:
    project = rigid({"ends": 12}, cloth={"structure": "weft floats"})
    out = draft_to_file(threaded(project), project, program_version="0")
    back = read_wif(out.data)
    assert back.draft.up.tolist() == threaded(project).draft.up.tolist()
    assert "stick A" in " ".join(back.notes)


def test_floating_selvedges_come_back_as_such() -> None:
    project = shaft({"ends": 10}, cloth={"floating_selvedges": True})
    out = draft_to_file(threaded(project), project, program_version="0").data
    read = draft_from_file(out)
    assert read.floating
    assert read.fields["threading"] == "1-2-3-4"
    again = with_draft(read.fields, cloth={"floating_selvedges": True})
    assert read_wif(draft_to_file(threaded(again), again, program_version="0").data).draft == read_wif(out).draft


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.frozensets(st.integers(1, 8), min_size=1, max_size=2), min_size=2, max_size=40),
    st.lists(st.frozensets(st.integers(1, 8), min_size=1, max_size=4), min_size=1, max_size=12),
)
def test_a_draft_written_read_and_written_again_is_the_same(threading: list[Any], lifts: list[Any]) -> None:
    """Through the fields of a project and back, for any threading and lifts."""
    text = "-".join("+".join(map(str, sorted(end))) for end in threading) + " once"
    lifting = ", ".join("+".join(map(str, sorted(row))) for row in lifts)
    project = with_draft({"ends": len(threading), "threading": text, "lifting": lifting})
    out = draft_to_file(threaded(project), project, program_version="0").data
    again = with_draft(draft_from_file(out).fields)
    back = read_wif(draft_to_file(threaded(again), again, program_version="0").data)
    assert back.draft.threading == tuple(threading)
    assert back.draft.lifts == tuple(lifts)


def test_a_draft_that_repeats_nowhere_and_is_too_long_to_keep_is_refused() -> None:
    """Twenty thousand picks of twelve shafts each, no two after one another alike."""
    lifts = "".join(f"{n}={','.join(str((n * k) % 61 + 1) for k in range(1, 13))}\n" for n in range(1, 20_001))
    head = "[WIF]\n[WEAVING]\nShafts=64\n[WARP]\nThreads=2\n[WEFT]\nThreads=20000\n[THREADING]\n1=1\n2=2\n[LIFTPLAN]\n"
    with pytest.raises(ProblemsFound, match="and a project keeps 120000"):
        draft_from_file((head + lifts).encode())
