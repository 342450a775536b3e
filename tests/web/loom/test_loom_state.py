"""What a phone is told of the weaving, and how its entries come into the log of the project."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest

from clothwright.library import store
from clothwright.library.loom.entries import entries
from clothwright.library.models import Project
from clothwright.web.forms.form import for_the_page
from clothwright.web.loom.loom_state import loom_state
from clothwright.web.loom.loom_told import forecast_of_revision
from clothwright.web.phone.phone_entries import Batch, take_in
from clothwright.web.phone.phone_log import row_key
from clothwright.web.phone.phones import told_entry

pytestmark = pytest.mark.django_db
TABARD = Path(__file__).parents[3] / "examples" / "eelgrass-tabard.toml"


def opened(file: Path = TABARD, **changed: Any) -> Project:
    tree = tomllib.loads(file.read_text(encoding="utf-8"))
    return store.new_project(for_the_page({**tree, **changed}), "opened")


def fresh(project: Project) -> Project:
    return store.project(project.pk)


def told(project: Project) -> dict[str, Any]:
    return loom_state(store.head(fresh(project)))


def entry(row: dict[str, Any], minute: int = 0, **changed: Any) -> dict[str, Any]:
    made_at = f"2031-03-14T09:{minute:02d}:00Z"
    common = {"kind": "log", "key": str(uuid4()), "phone": "phone-1", "seq": minute + 1, "seen": 0, "made_at": made_at}
    return common | {"row": row} | changed


def take(project: Project, *these: dict[str, Any]) -> list[tuple[str, str]]:
    return [(one.outcome, one.sentence) for one in take_in(fresh(project), Batch(these)).outcomes]


def log_of(project: Project) -> list[dict[str, Any]]:
    return [row for row in store.head(fresh(project)).tree.get("log", []) if row.get("key")]


def story_six() -> Project:
    """The weaving of three quarters through: 263 cm to weave, one weft of 212 g at the start."""
    tree = {
        "clothwright": 1,
        "name": "Three quarters through",
        "yarn": [{"name": "wrack", "use": "weft"}],
        "on_loom": {"to_weave": "263 cm"},
    }
    return store.new_project(for_the_page(tree), "started")


def test_weighings_from_a_phone_warn_at_the_mark() -> None:
    """212 g at the start, 165 g at 60 cm, 85 g at 150 cm of 263 cm: by hand 0.78 then 0.89 g/cm, so that 100 g are needed
    for 113 cm and about 15 g are missing. *Source:* own arithmetic (47 ÷ 60, 80 ÷ 90, 80 ÷ 90 × 113 = 100.4)."""
    project = story_six()
    rows = [
        {"woven": f"{cm} cm", "weighed": [{"yarn": "wrack", "gross": f"{g} g", "core": "0 g"}]}
        for cm, g in ((0, 212), (60, 165), (150, 85))
    ]
    assert take(project, *(entry(row, minute) for minute, row in enumerate(rows))) == [("kept", "")] * 3
    state = told(project)
    assert (state["woven_cm"], state["woven"], state["to_weave_cm"]) == (150, "150 cm", 263)
    assert state["forecast"][0].startswith("Not enough")
    assert any("85\xa0g" in line and "short by" in line for line in state["forecast"])
    assert state["why"] == ""


def test_marks_to_come_lie_at_her_own_step_or_at_a_usual_one() -> None:
    assert told(story_six())["marks_cm"] == [25.0 * number for number in range(1, 11)]
    project = story_six()
    tree = dict(store.head(project).tree)
    store.change(project, {**tree, "on_loom": {"to_weave": "263 cm", "marks_every": "50 cm"}}, "marks")
    assert told(project)["marks_cm"] == [50, 100, 150, 200, 250]
    store.change(project, {**tree, "units": "imperial"}, "inches")
    state = told(project)
    assert state["units"] == {"length": "in", "weight": "oz"}
    assert state["marks_cm"][:2] == [25.4, 50.8]


def test_a_phone_is_told_the_log_as_it_stands_with_what_does_not_count() -> None:
    state = told(opened())
    assert state["woven_cm"] == 180
    assert state["yarns"][0] == "eelgrass"
    aside = [one for one in state["log"] if not one["counts"]]
    assert [one["why"] for one in aside] == ["corrected by tue-1 right"]
    assert len(state["log"]) == len(log_of(opened()))


def test_a_project_that_is_not_settled_still_takes_entries_and_says_what_is_missing() -> None:
    project = store.new_project(for_the_page({"name": "Bare", "want": {"width": "wide"}}), "started")
    state = told(project)
    assert state["why"].startswith("No forecast yet")
    assert state["forecast"] is None
    assert take(project, entry({"woven": "12 cm"})) == [("kept", "")]
    assert [row["woven"] for row in log_of(project)] == ["12 cm"]


def test_an_entry_sent_twice_stands_once_in_the_log() -> None:
    project, one = story_six(), entry({"woven": "60 cm", "minutes": 40})
    assert take(project, one, one) == [("kept", ""), ("already", "")]
    assert take(project, one) == [("already", "")]
    (row,) = log_of(project)
    assert (row["key"], row["woven"], row["minutes"]) == (row_key(one["key"]), "60 cm", 40)


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ({"woven": "60 parsecs"}, "60 parsecs"),
        (
            {"woven": "60 cm", "weighed": [{"yarn": "wrak", "gross": "85 g", "core": "0 g"}]},
            "“wrak”: no yarn has that name; there are wrack",
        ),
        ({"woven": "60 cm", "weighed": [{"yarn": "wrack", "gross": "8 g", "core": "10 g"}]}, "weighs more than"),
        ({}, "this entry tells nothing"),
        ({"woven": "60 cm", "sett": "3/cm"}, "sett"),
        ({"corrects": "mon-1"}, "no entry before this one has that key"),
    ],
)
def test_what_the_log_refuses_is_kept_and_says_why(row: dict[str, Any], said: str) -> None:
    project, one = story_six(), entry(row)
    ((outcome, sentence),) = take(project, one)
    assert outcome == "kept"
    assert said in sentence
    assert sentence.endswith("it is kept as it came, and is not in the log")
    assert entries(project)[0].content == one
    assert log_of(project) == []


def test_a_correction_of_what_was_refused_stands_by_itself() -> None:
    project, bad = story_six(), entry({"woven": "60 parsecs"})
    take(project, bad)
    assert take(project, entry({"woven": "60 cm", "corrects": row_key(bad["key"])}, 1)) == [("kept", "")]
    assert [(row["woven"], "corrects" in row) for row in log_of(project)] == [("60 cm", False)]
    assert take(project, entry({"corrects": row_key(bad["key"])}, 2)) == [("kept", "")]
    assert len(log_of(project)) == 1


def test_a_correction_from_a_phone_stands_in_the_place_of_what_it_corrects() -> None:
    project, one = story_six(), entry({"woven": "60 cm"})
    assert take(project, one, entry({"woven": "66 cm", "corrects": row_key(one["key"])}, 1)) == [("kept", "")] * 2
    state = told(project)
    assert state["woven_cm"] == 66
    assert [one["counts"] for one in state["log"]] == [False, True]


def test_the_time_is_that_of_this_machines_clock() -> None:
    project = story_six()
    take(project, entry({"woven": "60 cm"}, made_at="2031-03-14T09:30:00+00:00"))
    (row,) = log_of(project)
    assert row["when"].startswith("2031-03-1")
    assert len(row["when"]) == len("2031-03-14 09:30:00")


def test_entries_from_a_phone_can_be_undone_and_are_kept_all_the_same() -> None:
    project, one = story_six(), entry({"woven": "60 cm"})
    take(project, one)
    store.undo(fresh(project))
    assert log_of(project) == []
    assert [kept.content for kept in entries(project)] == [one]


# --- ways out ------------------------------------------------------------------------------------------------------


def warned_tabard() -> Project:
    """The example as it stood when the weft was too close: nothing taken yet."""
    tree = tomllib.loads(TABARD.read_text(encoding="utf-8"))
    tree["log"] = tree["log"][:5]
    del tree["on_loom"]["to_weave"]
    del tree["pattern"]["piece"][-1]["material"]
    return store.new_project(for_the_page(tree), "opened")


def taken(way: dict[str, Any], minute: int = 0) -> dict[str, Any]:
    made = entry({}, minute) | {"kind": "way", "way": way}
    del made["row"]
    return made


def test_a_phone_is_told_the_ways_out_that_the_page_shows_each_drawn() -> None:
    project = warned_tabard()
    ways = told(project)["ways"]
    on_page = forecast_of_revision(store.head(project), by_hand=False).ways_out
    assert [one["way"]["what"] for one in ways] == [one.what for one in on_page]
    assert all(one["drawn"].startswith("<svg") and " style=" not in one["drawn"] for one in ways)
    assert told(opened())["ways"] == []


def test_a_way_taken_on_a_phone_is_in_the_log_and_one_undo_takes_all_of_it_back() -> None:
    project = warned_tabard()
    way = next(one["way"] for one in told(project)["ways"] if one["way"]["other_cloth"])
    once = taken(way)
    assert take(project, once, once) == [("kept", ""), ("already", "")]
    tree = store.head(fresh(project)).tree
    assert tree["on_loom"]["to_weave"] == f"{way['stop_at_cm']:g} cm"
    assert tree["pattern"]["piece"][-1]["material"] == "other cloth"
    assert log_of(project)[-1]["changed_mind"].startswith(way["what"])
    assert told(project)["forecast"][0].startswith("Enough")
    assert told_entry(entries(fresh(project))[-1]).what == f"took a way out: {way['what']}"
    store.undo(fresh(project))
    after = store.head(fresh(project)).tree
    assert "to_weave" not in after["on_loom"]
    assert "material" not in after["pattern"]["piece"][-1]
    assert len(log_of(project)) == 5


def test_a_way_that_weaving_or_another_phone_has_passed_is_kept_and_not_taken() -> None:
    project = warned_tabard()
    first, second, *_ = (one["way"] for one in told(project)["ways"])
    assert take(project, taken(first)) == [("kept", "")]
    [(outcome, sentence)] = take(project, taken(second, 1))
    assert outcome == "kept"
    assert "changed meanwhile" in sentence
    assert store.head(fresh(project)).tree["on_loom"]["to_weave"] == f"{first['stop_at_cm']:g} cm"
    late = warned_tabard()
    assert take(late, entry({"woven": "210 cm"})) == [("kept", "")]
    [(_, sentence)] = take(late, taken(first, 1))
    assert "210 cm are woven by now" in sentence


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"stop_at_cm": "soon"}, "stop_at_cm"),
        ({"of_pattern": {"name": "mine"}}, "of_pattern"),
        ({"bands_cm": [[200, 190]]}, "no cloth"),
        ({"bands_cm": [[200]]}, "bands_cm"),
        ({"what": ""}, "what"),
    ],
)
def test_a_way_that_is_none_is_kept_with_what_is_wrong(wrong: dict[str, Any], said: str) -> None:
    project = warned_tabard()
    way = told(project)["ways"][0]["way"] | wrong
    [(outcome, sentence)] = take(project, taken(way))
    assert outcome == "kept"
    assert said in sentence
    assert len(log_of(project)) == 5
