"""The page at the loom: entries in, corrected, taken back, kept twice where they clash; forecast, ways out, the plan kept."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from clothwright.library import store
from clothwright.library.loom.weaving_log import add_entry
from clothwright.library.models import Project
from clothwright.web.forms.form import for_the_page

pytestmark = pytest.mark.django_db
EXAMPLE = Path(__file__).parents[3] / "examples" / "eelgrass-tabard.toml"


def kept(entries: int = 5, **changes: Any) -> Project:
    tree = for_the_page(tomllib.loads(EXAMPLE.read_text(encoding="utf-8")))
    tree["log"] = tree["log"][:entries]
    if entries < 6:
        del tree["on_loom"]["to_weave"]
        del tree["pattern"]["piece"][-1]["material"]
    return store.new_project(tree | changes, "opened")


def address(project: Project) -> str:
    return reverse("at_loom", args=[project.pk])


def log_of(project: Project) -> list[dict[str, Any]]:
    log: list[dict[str, Any]] = store.head(store.project(project.pk)).tree.get("log", [])
    return log


def test_the_page_tells_the_forecast_draws_the_cloth_and_lists_the_log(client: Client) -> None:
    page = client.get(address(kept())).content.decode()
    for words in (
        "Too close to call",
        "grown heavier",
        "cw-loom-strip",
        "Ways out, surest first",
        "corrected by tue-1 right",
        "Take this way",
    ):
        assert words in page, words
    assert " style=" not in page
    by_hand = client.get(address(kept()), {"by_hand": "1"}).content.decode()
    assert "reckoned by hand" in by_hand


def test_an_entry_is_added_with_the_units_the_page_shows(client: Client) -> None:
    project = kept()
    posted = {
        "do": "add",
        "key": "k1",
        "entry.woven": "150",
        "entry.weft.0.left": "43",
        "entry.picks.count": "31",
        "entry.picks.over": "10",
    }
    answer = client.post(address(project), posted)
    assert answer.status_code == 303
    assert log_of(project)[-1] == {
        "key": "k1",
        "woven": "150 cm",
        "weft_left": {"eelgrass": "43 g"},
        "picks": {"count": 31, "over": "10 cm"},
    }
    assert client.post(address(project), posted).status_code == 303
    assert len(log_of(project)) == 6


def test_a_wrong_entry_is_told_beside_its_field_and_nothing_typed_is_lost(client: Client) -> None:
    project = kept()
    posted = {
        "do": "add",
        "key": "k1",
        "entry.woven": "150",
        "entry.weft.0.gross": "fifty",
        "entry.weft.0.core": "6",
        "entry.note": "<b>slack</b>",
    }
    answer = client.post(address(project), posted)
    page = answer.content.decode()
    assert answer.status_code == 200
    assert 'value="fifty"' in page
    assert "&lt;b&gt;slack" in page
    assert 'name="entry.weft.0.gross" value="fifty"' in page
    assert 'aria-invalid="true"' in page
    assert (
        answer["Cache-Control"] == "private, no-cache"
    )  # so that a browser goes back to it, and does not ask to send it again
    assert len(log_of(project)) == 5


def test_a_shuttle_weighed_with_its_core_and_a_knot_go_in(client: Client) -> None:
    project = kept()
    posted = {
        "do": "add", "key": "k1", "entry.woven": "130", "entry.weft.0.gross": "14", "entry.weft.0.core": "6", "entry.weft.0.beside": "44",
        "entry.happened.0.what": "knot", "entry.happened.0.at": "128", "entry.happened.0.end": "12", "entry.happened.0.mended": "yes",
        "entry.repeats": "36, 37", "entry.woven_back": "no",
    }  # fmt: skip
    assert client.post(address(project), posted).status_code == 303
    assert log_of(project)[-1] == {
        "key": "k1",
        "woven": "130 cm",
        "weighed": [{"yarn": "eelgrass", "gross": "14 g", "core": "6 g", "beside": "44 g"}],
        "happened": [{"what": "knot", "at": "128 cm", "end": 12, "mended": True}],
        "repeats": ["36", "37"],
    }


def test_an_entry_is_corrected_from_what_it_said_and_both_are_kept(client: Client) -> None:
    project = kept()
    form = client.get(address(project), {"correct": "tue-2"}).content.decode()
    assert 'name="corrects" value="tue-2"' in form
    assert 'value="58"' in form or 'value="58 g"' in form
    client.post(
        address(project),
        {"do": "add", "key": "k2", "corrects": "tue-2", "entry.woven": "120", "entry.weft.0.left": "61"},
    )
    assert len(log_of(project)) == 6
    page = client.get(address(project)).content.decode()
    assert "corrected by k2" in page
    client.post(address(project), {"do": "take-back k2"})
    assert "corrected by k2" not in client.get(address(project)).content.decode()


def test_clashing_entries_wait_until_one_is_said_to_be_right(client: Client) -> None:
    project = kept()
    add_entry(project, {"key": "p1", "woven": "150 cm", "weft_left": {"eelgrass": "43 g"}})
    add_entry(project, {"key": "p1", "woven": "150 cm", "weft_left": {"eelgrass": "34 g"}})
    page = client.get(address(project)).content.decode()
    assert "which is right?" in page
    assert "This one is right" in page
    client.post(address(project), {"do": "use p1 (2)"})
    after = client.get(address(project)).content.decode()
    assert "which is right?" not in after
    assert log_of(project)[-1]["weft_left"] == {"eelgrass": "34 g"}
    assert len(log_of(project)) == 8


def test_what_stands_on_the_loom_is_kept_and_undone(client: Client) -> None:
    project = kept()
    rev = store.head(project).number
    client.post(address(project), {"do": "stands", "rev": rev, "on_loom.to_weave": "210", "on_loom.marks_every": "25"})
    assert store.head(store.project(project.pk)).tree["on_loom"]["to_weave"] == "210 cm"
    client.post(address(project), {"do": "undo"})
    assert "to_weave" not in store.head(store.project(project.pk)).tree["on_loom"]


def test_what_was_changed_elsewhere_meanwhile_stays(client: Client) -> None:
    """The form was shown before a way out was taken; saving it afterwards keeps the band."""
    project = kept()
    rev = store.head(project).number
    page = client.get(address(project), {"by_hand": "1"}).content.decode()
    band = re.findall(r"Another yarn over the last.*?value=\"(way [0-9a-f]{16})\"", page, re.DOTALL)[0]
    client.post(address(project), {"do": band, "by_hand": "1"})
    client.post(address(project), {"do": "stands", "rev": rev, "on_loom.marks_every": "25"})
    stands = store.head(store.project(project.pk)).tree["on_loom"]
    assert stands["marks_every"] == "25 cm"
    assert len(stands["bands"]) == 1


def test_the_plan_is_kept_when_the_warp_goes_on(client: Client) -> None:
    project = kept(0, on_loom={})
    assert "The warp is on: keep this plan" in client.get(address(project)).content.decode()
    client.post(address(project), {"do": "keep-plan"})
    stands = store.head(store.project(project.pk)).tree["on_loom"]
    assert stands["first_plan"]["verdict"] in ("enough", "too close", "not enough")
    assert stands["to_weave"] == stands["first_plan"]["to_weave"]
    assert "The plan the warp was put on by" in client.get(address(project)).content.decode()


def test_a_way_out_sets_the_stop_and_the_log_says_so(client: Client) -> None:
    project = kept()
    page = client.get(address(project)).content.decode()
    (first, *_) = re.findall(r'value="(way [0-9a-f]{16})"', page)
    client.post(address(project), {"do": first})
    tree = store.head(store.project(project.pk)).tree
    assert tree["on_loom"]["to_weave"].endswith(" cm")
    assert tree["log"][-1]["changed_mind"].startswith("Cut what does not show")


def test_a_knot_is_marked_on_the_layout_once(client: Client) -> None:
    """Knot at 47 cm on the loom, 31st end of 138: about 42 cm along, and of 42 cm 9 from the left, 33 from the right."""
    project = kept()
    for _ in range(2):
        client.post(address(project), {"do": "flaws"})
    (flaw,) = store.head(store.project(project.pk)).tree["layout"]["flaw"]
    assert flaw["what"] == "knot"
    assert 38 < float(flaw["at"].split()[0]) < 44
    assert 30 < float(flaw["from_selvedge"].split()[0]) < 33


def test_a_mark_of_an_earlier_version_on_the_other_side_is_asked_about_and_turned_over_or_both_kept_clear(
    client: Client,
) -> None:
    """That version wrote 31 of 138 ends of about 42 cm as 8.4 cm from the near selvedge. Answered either way, nothing is asked again."""
    question = "Are these marks of the layout on the right side?"
    project = kept()
    client.post(address(project), {"do": "flaws"})
    tree = store.head(store.project(project.pk)).tree
    (right,) = tree["layout"]["flaw"]
    assert question not in client.get(address(project)).content.decode()
    wrong = right | {"from_selvedge": "8.4 cm"}
    for answer, kept_then in (("turn", [right]), ("flaws", [wrong, right])):
        before = store.head(store.project(project.pk)).tree
        store.change(store.project(project.pk), before | {"layout": {"flaw": [wrong]}}, "as it was marked before")
        page = client.get(address(project)).content.decode()
        assert question in page
        assert f"marked 8.4 cm from the near selvedge, by the log {right['from_selvedge']}" in page
        for name in ("lay_by_hand", "off_loom"):
            asked = client.get(reverse(name, args=[project.pk])).content.decode()
            assert question in asked, name
            assert f'href="{address(project)}#other-side"' in asked
        client.post(address(project), {"do": answer})
        assert store.head(store.project(project.pk)).tree["layout"]["flaw"] == kept_then
        for name in ("at_loom", "lay_by_hand", "off_loom"):
            assert question not in client.get(reverse(name, args=[project.pk])).content.decode()


def test_a_woven_cloth_shows_what_the_forecast_said_beside_what_came(client: Client) -> None:
    project = kept(8)
    assert "and what came" not in client.get(address(project)).content.decode()
    add_entry(project, {"key": "end", "woven": "208 cm", "weft_left": {"eelgrass": "14 g"}})
    page = client.get(address(project)).content.decode()
    assert "What the forecast said, and what came" in page
    assert ">held<" in page


def test_the_record_is_filled_from_the_log_and_what_was_written_stands(client: Client) -> None:
    project = kept(8, record={"ends": 140, "date": ""})
    client.post(address(project), {"do": "record"})
    record = store.head(store.project(project.pk)).tree["record"]
    assert record["ends"] == 140
    assert record["length"] == {"on_loom": "180 cm"}
    assert record["left"] == [{"yarn": "eelgrass", "weight": "28 g"}]
    client.post(address(project), {"do": "undo"})
    assert store.head(store.project(project.pk)).tree["record"] == {"ends": 140, "date": ""}


def test_a_log_that_cannot_be_told_yet_says_what_is_missing(client: Client) -> None:
    page = client.get(address(store.new_project({"name": "bare"}, "new"))).content.decode()
    assert "how much is to be woven in all" in page
    assert "Add an entry" in page


def test_nonsense_buttons_are_refused(client: Client) -> None:
    project = kept()
    for what in ("use nothing", "way 99", "way x", "dance"):
        assert client.post(address(project), {"do": what}).status_code == 409, what


def test_bands_have_rows_of_their_own_on_the_page(client: Client) -> None:
    project = kept()
    client.post(address(project), {"do": "add on_loom.bands"})
    page = client.get(address(project)).content.decode()
    assert "Take away band 1" in page
    rev = re.search(r'name="rev" value="(\d+)"', page)
    assert rev
    typed = {
        "do": "stands",
        "rev": rev[1],
        "on_loom.bands.0.begins": "200",
        "on_loom.bands.0.stops": "226",
        "on_loom.bands.0.yarn": "dulse",
    }
    client.post(address(project), typed)
    tree = store.head(store.project(project.pk)).tree
    assert tree["on_loom"]["bands"] == [{"begins": "200 cm", "stops": "226 cm", "yarn": "dulse"}]
    assert "in dulse" in client.get(address(project)).content.decode()
    rev = re.search(r'name="rev" value="(\d+)"', client.get(address(project)).content.decode())
    assert rev
    client.post(address(project), typed | {"rev": rev[1], "on_loom.bands.0.stops": "190"})
    page = client.get(address(project)).content.decode()
    assert "is no cloth" in page
    assert 'value="190 cm"' in page
    client.post(address(project), {"do": "remove on_loom.bands.0"})
    assert not store.head(store.project(project.pk)).tree["on_loom"].get("bands")
    assert client.post(address(project), {"do": "remove on_loom.bands.7"}).status_code == 409
    swapped = client.post(
        address(project), {"press": "add on_loom.bands"}, headers={"HX-Request": "true"}
    ).content.decode()
    assert "data-focus" in swapped


def test_a_way_that_cuts_from_another_cloth_or_in_another_size_changes_the_pattern_too(client: Client) -> None:
    project = kept()
    page = client.get(address(project)).content.decode()
    digest = re.search(r'value="way (\w+)"', page)
    assert digest
    assert "Cut what does not show" in page[: page.index("Take this way")]
    client.post(address(project), {"do": f"way {digest[1]}"})
    tree = store.head(store.project(project.pk)).tree
    assert tree["pattern"]["piece"][-1]["material"] == "other cloth"
    assert tree["on_loom"]["to_weave"] == "200 cm"
    store.undo(store.project(project.pk))
    assert "material" not in store.head(store.project(project.pk)).tree["pattern"]["piece"][-1]


def test_marks_along_the_cloth_come_as_a_sheet(client: Client) -> None:
    project = kept()
    for kind in ("loom-marks", "loom-log"):
        for large in ({}, {"large": "1"}):
            made = client.get(reverse("sheet", args=[project.pk, kind]), large)
            assert made.status_code == 200
            assert made["Content-Type"] == "application/pdf"
    assert "loom-marks" in client.get(reverse("phones", args=[project.pk])).content.decode()
