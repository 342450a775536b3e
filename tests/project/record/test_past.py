"""A finished project is evidence for the next: its record, its samples, what its loom wasted."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest
from project.reading_for_tests import problems

from clothwright.evidence import History, Step, metres_per_gram
from clothwright.project import Project, read_project
from clothwright.project.domain import yarns
from clothwright.project.record.past import (
    history_of,
    in_use,
    record_cloth,
    record_gaps,
    seen_of,
    set_aside_notes,
    sorted_out,
    table_rows,
)

SHAWL: dict[str, Any] = {
    "name": "Limpet shawl",
    "yarn": [
        {
            "name": "grey fell",
            "fibre": "wool",
            "grist": [{"length": "10 m", "weight": "3.1 g"}, {"length": "10 m", "weight": "3.3 g"}],
            "balls": ["200 g", "112 g"],
        }
    ],
    "loom": {"name": "window loom", "heddles": ["30/10 cm"], "waste": "55 cm"},
    "cloth": {"finish": "hand wash", "on_warp_sample": "20 cm"},
    "sample": [
        {
            "name": "square",
            "width": {"in_heddle": "24 cm", "finished": "21.6 cm"},
            "length": {"on_loom": "24 cm", "finished": "21 cm"},
            "weft_used": {"weight": "5.2 g"},
            "picks": {"count": 77, "over": "24 cm"},
        }
    ],
    "record": {
        "date": "2026-03-14",
        "ends": 148,
        "warp_wound": "346 cm",
        "waste": "52 cm",
        "width": {"finished": {"start": "44.2 cm", "middle": "43.6 cm", "end": "44.5 cm"}},
        "length": {"on_loom": "262 cm", "off_loom": "250 cm", "finished": "231 cm"},
        "picks": {"count": 33, "over": "10 cm"},
        "left": [{"yarn": "grey fell", "weight": "26 g"}],
    },
}


def shawl(**record: Any) -> Project:
    """The shawl, with some of its record changed; None takes a field out."""
    tree = deepcopy(SHAWL)
    tree["record"] = {name: value for name, value in (tree["record"] | record).items() if value is not None}
    return read_project(tree)


def cloth_of(project: Project) -> Any:
    assert project.record
    return record_cloth(project, project.record, yarns(project), "past record", "shawl")


def test_a_record_becomes_a_cloth_in_its_states() -> None:
    """148 ends at 3 per cm are 49.33 cm; the mean of the three widths; wound less waste, the sample's share taken off."""
    cloth = cloth_of(shawl())
    assert cloth.width_in_heddle == pytest.approx(148 / 3, abs=0.005)
    assert cloth.width_finished == pytest.approx((44.2 + 43.6 + 44.5) / 3, abs=0.005)
    assert cloth.warp_used == pytest.approx((346 - 52) * 262 / 282, abs=0.005)
    assert (cloth.length_on_loom, cloth.length_off_loom, cloth.length_finished) == (262, 250, 231)
    assert (cloth.picks_count, cloth.picks_over, cloth.picks_where) == (33, 10, "on loom")
    assert cloth.making.loom == "window loom"


def test_floating_selvedges_stand_outside_the_heddle() -> None:
    tree = deepcopy(SHAWL)
    tree["cloth"]["floating_selvedges"] = True
    assert cloth_of(read_project(tree)).width_in_heddle == pytest.approx(146 / 3, abs=0.005)


def test_the_least_width_is_the_usable_one_and_all_may_be_given_as_one() -> None:
    record = shawl(width={"finished": "44 cm"}).record
    assert record
    assert [one.cm for one in record.width.finished.lengths] == [44]
    assert cloth_of(shawl(width={"finished": "44 cm"})).width_finished == 44


def test_what_is_left_over_tells_the_weft() -> None:
    """286 g gone, less 148 ends of 3.46 m, is what the picks took; of it the cloth's share, not the sample's.

    *Source*: metres = grams × metres per gram, both weighings pooled as length over weight, 20 m in 6.4 g.
    """
    project = shawl()
    (lot,) = yarns(project).warp
    cloth = cloth_of(project)
    gone = 286 * 20 / 6.4
    assert cloth.weft_used_m == pytest.approx((gone - 148 * 3.46) * 262 / 282, rel=0.02)
    _, spread = metres_per_gram(lot)
    assert cloth.weft_error_log > spread * gone / (gone - 148 * 3.46) * 0.99


def test_weft_is_not_told_where_a_yarn_left_over_was_not_weighed() -> None:
    assert cloth_of(shawl(left=None)).weft_used_m is None
    assert cloth_of(shawl(warp_wound=None, waste=None)).weft_used_m is None


def test_weft_of_a_yarn_of_its_own_is_what_is_gone_of_it() -> None:
    tree = deepcopy(SHAWL)
    tree["yarn"][0]["use"] = "warp"
    tree["yarn"].append({"name": "kelp", "grist": "3 m/g", "balls": ["150 g"], "use": "weft"})
    tree["record"]["left"] = [{"yarn": "kelp", "weight": "30 g"}, {"yarn": "kelp", "weight": "20 g"}]
    tree["record"]["on_warp_sample"] = "0 cm"
    assert cloth_of(read_project(tree)).weft_used_m == pytest.approx(100 * 3, rel=0.001)


def test_what_really_happened_stands_in_place_of_the_plan() -> None:
    cloth = cloth_of(shawl(heddle="40/10 cm", finish="machine wash, tumbled"))
    assert cloth.making.ends_per_cm == 4
    assert cloth.making.finish == "machine wash, tumbled"
    assert cloth.width_in_heddle == pytest.approx(37)


def test_a_project_counts_once_it_is_finished() -> None:
    finished, not_yet = seen_of(shawl(), "a"), seen_of(shawl(date=None), "a")
    assert [one.tells for one in finished.pieces] == [True, True]
    assert [one.tells for one in not_yet.pieces] == [True, False]
    assert "it counts when the project is finished" in not_yet.pieces[1].idle


def test_history_holds_each_cloth_once_by_a_key_of_its_own_and_the_wastes() -> None:
    history = history_of([shawl(), shawl(date="2026-05-01", waste="58 cm")])
    assert [one.name for one in history.cloths] == [
        "square of Limpet shawl",
        "Limpet shawl, finished 2026-03-14",
        "Limpet shawl, finished 2026-05-01",
    ]
    assert len({one.making.key for one in history.cloths}) == 3
    assert [(one.loom, one.waste_cm) for one in history.wastes] == [("window loom", 52.0), ("window loom", 58.0)]


def test_a_past_is_measured_by_itself_so_that_it_can_be_conditioned_on() -> None:
    """Weft weighed in a sample becomes metres; belief about a next cloth can be taken from it."""
    history = history_of([shawl()])
    square = history.cloths[0]
    assert square.weft_used_g is None
    assert square.weft_used_m == pytest.approx(5.2 * 20 / 6.4, rel=0.02)
    made = square.making
    before, after = History().past(made).belief([made]), history.past(made).belief([made])
    width = {made.unknown(Step.DRAW_IN): 1.0, made.unknown(Step.WIDTH_FINISHING): 1.0}
    assert after.expected(width)[1] < before.expected(width)[1]


def test_the_same_measurements_in_two_places_count_once() -> None:
    library = {key: SHAWL[key] for key in ("yarn", "cloth")} | {"name": "library", "loom": {"heddles": ["30/10 cm"]}}
    library["sample"] = deepcopy(SHAWL["sample"])
    assert len(history_of([shawl(), read_project(library)]).cloths) == 2
    planned = read_project({**SHAWL, "record": None, "name": "Next shawl"})
    assert [one.name for one in history_of([shawl(), read_project(library)], planned).cloths] == [
        "Limpet shawl, finished 2026-03-14"
    ]
    library["sample"][0]["width"]["finished"] = "21.5 cm"
    assert len(history_of([shawl(), read_project(library)]).cloths) == 3


def test_a_copy_stays_the_same_sample_where_the_project_around_it_or_its_notes_differ() -> None:
    tree = deepcopy(SHAWL) | {
        "record": None,
        "name": "Copy",
        "cloth": {"finish": "fulled"},
        "loom": {"heddles": ["40/10 cm"]},
    }
    tree["sample"][0] |= {"notes": "softer than I thought", "hand": "limp", "photos": ["square.jpg"]}
    assert len(history_of([shawl(), read_project(tree)]).cloths) == 2
    tree["sample"][0]["heddle"] = "40/10 cm"
    assert len(history_of([shawl(), read_project(tree)]).cloths) == 3


def test_a_sample_stands_at_its_own_day_or_else_at_the_day_its_project_was_finished() -> None:
    tree = deepcopy(SHAWL)
    assert [one.day for one in seen_of(read_project(tree), "a").pieces] == ["2026-03-14", "2026-03-14"]
    tree["sample"][0]["date"] = "2025-11-02"
    assert [one.day for one in seen_of(read_project(tree), "a").pieces] == ["2025-11-02", "2026-03-14"]
    used, _ = sorted_out(
        [seen_of(read_project(tree), "a")], shawl(date="2026-01-01", ends=140).model_copy(update={"sample": []})
    )
    assert [one.day for one in used] == ["2025-11-02"]
    tree["sample"][0]["date"] = "last spring"
    assert "as 2026-03-14" in problems(tree)["sample 1, date"]


def test_a_traced_sample_and_the_parts_cut_from_it_tell_of_the_next() -> None:
    """A part begins with the latest size of the whole; one that was not measured again tells nothing and says so."""
    corners = [
        [("0 cm", "0 cm"), (w, "0 cm"), (w, h), ("0 cm", h)] for w, h in (("23 cm", "30 cm"), ("21 cm", "27 cm"))
    ]
    before, after = ([{"across": across, "along": along} for across, along in one] for one in corners)
    parts = [{"name": "fulled", "finish": "fulled", "after": {"width": "19 cm"}}, {"name": "lost"}]
    tree = {key: value for key, value in SHAWL.items() if key != "record"}
    tree["sample"] = [{"name": "square", "traced": {"off_loom": before, "finished": after}, "parts": parts}]
    whole, fulled, lost = seen_of(read_project(tree), "a").pieces
    assert whole.cloth
    assert whole.cloth.traced_width_finished == pytest.approx(21)
    assert fulled.cloth
    assert fulled.cloth.making.finish == "fulled"
    assert not lost.tells
    assert "too little was measured" in lost.idle
    assert len({one.same for one in (whole, fulled, lost)}) == 3


def test_evidence_set_aside_is_told_and_not_used_anywhere() -> None:
    tree = deepcopy(SHAWL)
    tree["sample"][0]["set_aside"] = "the selvedge was caught"
    aside = read_project(tree)
    history = history_of([aside, shawl(date=None)])
    assert [one.name for one in history.cloths] == ["Limpet shawl, finished 2026-03-14"]
    assert history.notes == ("square of Limpet shawl is set aside and not used: the selvedge was caught.",)
    assert in_use(aside).sample == []
    assert set_aside_notes(aside) == ("square is set aside and not used: the selvedge was caught.",)
    record = history_of([shawl(set_aside="another yarn after all")])
    assert [one.name for one in record.cloths] == ["square of Limpet shawl"]
    assert record.wastes == ()


def test_a_finished_project_is_planned_from_what_was_known_before_it() -> None:
    old, late = shawl(date="2026-01-02", ends=140), shawl(date="2026-06-01", ends=144)
    used, _ = sorted_out([seen_of(one, str(number)) for number, one in enumerate((late, old))], shawl())
    assert [one.name for one in used] == ["Limpet shawl, finished 2026-01-02"]


def test_a_finished_project_says_that_later_evidence_is_not_used() -> None:
    (note,) = history_of([shawl(date="2026-06-01")], shawl()).notes
    assert "not used (2)" in note
    assert history_of([shawl(date="2025-06-01", ends=140)], shawl()).notes == ()


@pytest.mark.parametrize(
    ("record", "words"),
    [
        ({"ends": None}, "finished width tells nothing without the ends put on"),
        ({"length": {"finished": "231 cm"}, "waste": None}, "finished length tells nothing without the woven length"),
        ({"waste": None}, "the warp wound and the waste go together"),
        ({"left": [{"yarn": "grey fell", "weight": "400 g"}]}, "more is left than was there before"),
        ({"warp_wound": None, "waste": None}, "the ends put on and the warp wound are needed"),
    ],
)
def test_what_a_record_leaves_out_so_that_something_typed_tells_nothing_is_said(
    record: dict[str, Any], words: str
) -> None:
    assert any(words in gap or words in gap[0].lower() + gap[1:] for gap in record_gaps(shawl(**record)))
    assert record_gaps(shawl()) == ()


def test_a_yarn_whose_rest_was_not_weighed_is_asked_for_by_name() -> None:
    tree = deepcopy(SHAWL)
    tree["yarn"].append({"name": "kelp", "grist": "3 m/g", "balls": ["150 g"]})
    assert any("weigh what is left of kelp too" in gap for gap in record_gaps(read_project(tree)))


def test_cloths_stand_in_the_order_of_their_days() -> None:
    days = ["2026-06-01", "2025-12-24", "2026-01-02"]
    names = [one.name[-10:] for one in history_of([shawl(date=day) for day in days]).cloths]
    assert names[1:] == sorted(days)


def test_yarns_agree_whatever_their_capitals() -> None:
    planned = read_project({"yarn": [{"name": "Grey Fell"}]})
    assert {one.making.warp for one in history_of([shawl()], planned).cloths} == {"Grey Fell"}


def test_an_old_project_without_a_record_tells_what_its_samples_tell() -> None:
    tree = {key: value for key, value in SHAWL.items() if key != "record"}
    assert len(history_of([read_project(tree)]).cloths) == 1
    assert history_of([read_project({})]) == History()


def test_a_wrong_day_a_wrong_yarn_and_a_waste_that_leaves_no_warp_are_refused_in_a_sentence() -> None:
    tree = deepcopy(SHAWL)
    tree["record"] |= {"date": "14.3.26", "left": [{"yarn": "kelp", "weight": "3 g"}]}
    found = problems(tree)
    assert "as 2026-03-14" in found["record, date"]
    assert "no yarn has that name" in found["record, left 1, yarn"]
    assert "leaves no warp" in problems({"record": {"warp_wound": "50 cm", "waste": "55 cm"}})["record"]


def test_a_sample_in_another_weavers_project_is_of_her_hand_and_tells_nothing_of_ones_own_loom() -> None:
    """As her record does; a table that is given to others has neither her name nor that of her loom."""
    tree = deepcopy(SHAWL)
    tree["record"] |= {"weaver": "Ulva Strand"}
    tree["loom"]["name"] = "loom of Ulva Strand"
    tree["sample"][0]["length"] |= {"wound": "97 cm", "waste": "70 cm"}
    hers = read_project(tree)
    history = history_of([hers])
    assert [one.making.weaver for one in history.cloths] == ["Ulva Strand", "Ulva Strand"]
    assert history.wastes == ()
    rows = table_rows([hers, shawl()], with_samples=True)
    assert [(row["weaver"], row["loom"]) for row in rows][:2] == [("weaver 1", "loom of weaver 1")] * 2
    assert "Ulva" not in str(rows)
    assert rows[-1]["weaver"] == "own"
