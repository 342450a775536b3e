"""What one project measured sharpens the plans of the others, is shown behind every number, and can be set aside."""

from __future__ import annotations

import gc
import re
import weakref
from copy import deepcopy
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from web.measuring.test_sample_pages import DRAWING
from web.test_pages import CLOTH, FRAGMENT, Typed, change, head_tree, page

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.library.shelves import on_hand
from clothwright.web import evidence, planned

pytestmark = pytest.mark.django_db

RECORD: dict[str, Any] = {
    "date": "2026-03-14",
    "ends": 110,
    "warp_wound": "260 cm",
    "waste": "61 cm",
    "width": {"finished": {"start": "32.2 cm", "end": "31.8 cm"}},
    "length": {"on_loom": "195 cm", "finished": "170 cm"},
    "picks": {"count": 34, "over": "10 cm"},
}


@pytest.fixture
def scarf() -> Project:
    return store.new_project(CLOTH, "started")


def finished(name: str = "Limpet stole", day: str = "2026-03-14", **record: Any) -> Project:
    tree = deepcopy(CLOTH) | {"name": name, "record": RECORD | {"date": day} | record}
    return store.new_project(tree, "started")


def width_of(project: Project) -> tuple[float, float]:
    """Low and high of the planned finished width over the width in the heddle."""
    plan = planned.answer(store.head(store.project(project.pk))).plan
    assert plan is not None
    cloth, heddle = plan.cloth.finished_width_cm, plan.warp.width_in_heddle_cm
    return cloth.low / heddle, cloth.high / heddle


def spread(project: Project) -> float:
    low, high = width_of(project)
    return high - low


def test_a_project_finished_elsewhere_sharpens_the_plan_at_once(client: Client, scarf: Project) -> None:
    before = spread(scarf)
    finished()
    assert spread(scarf) < 0.75 * before
    assert "Limpet stole, finished 2026-03-14" in page(client, scarf)


def test_a_plan_is_kept_while_nothing_measured_changes(client: Client, scarf: Project) -> None:
    other = finished()
    first = planned.answer(store.head(scarf))
    change(client, other, want__width="33 cm")
    assert planned.answer(store.head(scarf)) is first
    change(client, other, record__width__finished__start="30 cm")
    assert planned.answer(store.head(scarf)) is not first


def test_a_past_project_put_away_still_counts(scarf: Project) -> None:
    other = finished()
    known = spread(scarf)
    store.put_away(other)
    assert spread(scarf) == known


def test_a_record_on_the_way_tells_nothing_until_it_has_a_day(client: Client, scarf: Project) -> None:
    before = spread(scarf)
    other = finished(day="")
    assert spread(scarf) == before
    whole = change(client, other, press="finish")
    assert head_tree(other)["record"]["date"]
    assert "Finished on" in whole
    assert spread(scarf) < before


def test_finishing_again_is_not_offered_and_the_list_says_when(client: Client) -> None:
    other = finished()
    assert "Finished today" not in page(client, other)
    planned.answer(store.head(other))
    assert "Finished 14 March 2026" in client.get("/").content.decode()


def test_the_plan_stands_beside_what_came(client: Client) -> None:
    html = page(client, finished()).replace("\u00a0", " ")
    for words in (
        "Plan beside what came",
        "Loom waste ↕",
        "61 cm (24 in)",
        "Least width, which can be used ↔",
        "31.8 cm",
    ):
        assert words in html
    fragment = change(client, finished("Kelp stole"), record__waste="80").replace("\u00a0", " ")
    assert 'id="came"' in fragment
    assert "80 cm" in fragment
    assert "more than forecast" in fragment


def test_a_record_typed_on_the_page_is_kept_in_its_units(client: Client, scarf: Project) -> None:
    change(client, scarf, record__warp_wound="2.6 m", record__waste="24 in", record__ends="110")
    change(client, scarf, press="add record.left")
    change(client, scarf, record__left__0__yarn="slate tide", record__left__0__weight="12")
    record = head_tree(scarf)["record"]
    assert (record["warp_wound"], record["waste"], record["ends"]) == ("2.6 m", "24 in", 110)
    assert record["left"] == [{"yarn": "slate tide", "weight": "12 g"}]
    renamed = change(client, scarf, yarn__0__name="slate tide, first shearing")
    assert head_tree(scarf)["record"]["left"][0]["yarn"] == "slate tide, first shearing"
    assert "no yarn has that name" not in renamed


def test_a_wrong_day_stands_beside_its_field(client: Client, scarf: Project) -> None:
    fragment = change(client, scarf, record__date="14.3.26")
    assert "write a day as year-month-day" in fragment
    assert head_tree(scarf)["record"]["date"] == "14.3.26"


def test_one_width_in_a_file_is_shown_in_its_box(client: Client) -> None:
    from clothwright.web.forms.form import for_the_page

    tree = for_the_page(deepcopy(CLOTH) | {"record": {"width": {"finished": "43 cm"}}})
    project = store.new_project(tree, "opened")
    assert Typed(page(client, project)).values["record.width.finished.middle"] == "43 cm"


def test_each_line_of_the_working_shows_what_it_rests_on_in_one_tap(client: Client, scarf: Project) -> None:
    finished()
    html = page(client, scarf)
    address = reverse("behind", args=[scarf.pk])
    assert f'hx-get="{address}?of=width"' in html
    fragment = client.get(f"{address}?of=width", **FRAGMENT).content.decode()
    assert fragment.index("rule of thumb") < fragment.index("Limpet stole, finished 2026-03-14")
    assert "finished width 32 cm" in fragment
    assert client.get(f"{address}?of=width").status_code == 302


def said(listed: str, name: str) -> str:
    """What the form of a piece posts to say which it means."""
    form = re.search(rf'{re.escape(name)}</a>.*?name="said" value="([0-9a-f]+)"', listed, re.S)
    assert form is not None
    return form[1]


def test_evidence_is_set_aside_with_a_reason_and_taken_up_again(client: Client, scarf: Project) -> None:
    before, other = spread(scarf), finished()
    known = spread(scarf)
    listed = client.get(reverse("evidence", args=[scarf.pk])).content.decode()
    assert "Limpet stole, finished 2026-03-14" in listed
    where = {"kind": "project", "owner": str(other.pk), "said": said(listed, "Limpet stole, finished 2026-03-14")}
    marked = reverse("mark_evidence", args=[scarf.pk])
    refused = client.post(marked, where | {"reason": " "})
    assert refused.status_code == 422
    assert "Say why it is set aside" in refused.content.decode()
    aside = client.post(marked, where | {"reason": "the selvedge was caught"}, follow=True).content.decode()
    assert "Set aside: the selvedge was caught" in aside
    assert spread(scarf) == pytest.approx(before)
    assert "is set aside and not used: the selvedge was caught." in page(client, scarf)
    assert store.history(other)[0].what == "set the record aside: the selvedge was caught"
    assert client.post(marked, where | {"reason": "twice"}).status_code == 409
    client.post(marked, where | {"do": "take up", "said": said(aside, "Limpet stole, finished 2026-03-14")})
    assert "set_aside" not in head_tree(other)["record"]
    assert spread(scarf) == pytest.approx(known)


def test_a_sample_of_the_project_itself_can_be_set_aside(client: Client) -> None:
    sample = {"name": "square", "width": {"in_heddle": "24 cm", "finished": "20 cm"}}
    project = store.new_project(deepcopy(CLOTH) | {"sample": [{}, sample]}, "started")
    known = width_of(project)
    listed = client.get(reverse("evidence", args=[project.pk])).content.decode()
    where = {
        "kind": "project",
        "owner": str(project.pk),
        "said": said(listed, f"square of {project.name}"),
        "reason": "felted by mistake",
    }
    client.post(reverse("mark_evidence", args=[project.pk]), where)
    assert head_tree(project)["sample"][1]["set_aside"] == "felted by mistake"
    assert width_of(project) != known
    assert Typed(page(client, project)).values["sample.1.set_aside"] == "felted by mistake"


def test_evidence_that_moved_in_another_tab_is_still_the_one_meant_and_its_neighbour_never_is(client: Client) -> None:
    """A row taken out above it changes its place; a row taken out itself is refused in a sentence."""
    first, second = (
        {"name": name, "width": {"in_heddle": "24 cm", "finished": cm}}
        for name, cm in (("ebb", "20 cm"), ("flood", "21 cm"))
    )
    project = store.new_project(deepcopy(CLOTH) | {"sample": [first, second]}, "started")
    listed = client.get(reverse("evidence", args=[project.pk])).content.decode()
    marked, owner = reverse("mark_evidence", args=[project.pk]), {"kind": "project", "owner": str(project.pk)}
    store.change(project, head_tree(project) | {"sample": [second]}, "took a sample out")
    gone = client.post(marked, owner | {"said": said(listed, f"ebb of {project.name}"), "reason": "felted"})
    assert gone.status_code == 409
    assert "changed since this page was shown" in gone.content.decode()
    assert head_tree(project)["sample"] == [second]
    client.post(marked, owner | {"said": said(listed, f"flood of {project.name}"), "reason": "felted"})
    assert head_tree(project)["sample"][0]["set_aside"] == "felted"


def test_a_sample_and_the_parts_cut_from_it_are_one_piece_to_set_aside(client: Client) -> None:
    parts = [
        {"name": name, "finish": name, "after": {"width": cm}}
        for name, cm in (("soaked", "22 cm"), ("fulled", "19 cm"))
    ]
    sample = {
        "name": "square",
        "width": {"in_heddle": "24 cm", "off_loom": "23 cm", "finished": "21.5 cm"},
        "parts": parts,
    }
    project = store.new_project(deepcopy(CLOTH) | {"sample": [sample]}, "started")
    html = client.get(reverse("evidence", args=[project.pk])).content.decode()
    assert html.count('class="mark-evidence"') == 1
    assert f"And with it square, soaked of {project.name}; square, fulled of {project.name}." in html


def test_only_evidence_can_be_set_aside(client: Client, scarf: Project) -> None:
    marked, where = reverse("mark_evidence", args=[scarf.pk]), {"owner": str(scarf.pk), "reason": "x"}
    assert client.post(marked, where | {"kind": "project", "said": "record.date"}).status_code == 409
    assert client.post(marked, where | {"kind": "sample", "said": ""}).status_code == 400
    assert client.post(marked, where | {"kind": "project", "owner": "nobody"}).status_code == 400
    assert head_tree(scarf) == CLOTH


def test_outlines_in_a_drawing_tell_of_every_other_project(client: Client, scarf: Project) -> None:
    before = spread(scarf)
    sample = {"name": "traced square", "traced": {"drawing": "square.svg"}}
    store.new_project(deepcopy(CLOTH) | {"name": "Traced", "sample": [sample]}, "opened", {"square.svg": DRAWING})
    assert spread(scarf) < before
    listed = client.get(reverse("evidence", args=[scarf.pk])).content.decode()
    assert "traced square of Traced" in listed


def test_a_sample_taken_from_the_library_counts_once_whatever_the_project_around_it_says(scarf: Project) -> None:
    yarn, sample = CLOTH["yarn"][0], {"name": "tide square", "width": {"in_heddle": "24 cm", "finished": "20 cm"}}
    kept = on_hand.add(on_hand.Kept.SAMPLE, {"units": "metric", "yarn": [yarn], "sample": [sample]}, "typed in")
    tree = on_hand.into_project(deepcopy(CLOTH), kept) | {
        "name": "Copy",
        "cloth": {"finish": "fulled", "structure": "2/2 twill"},
    }
    store.new_project(tree, "started")
    used, _ = evidence.beside(scarf).sorted_out()
    assert [one.seen.name.split(" of ")[0] for one in used] == ["tide square"]


def test_a_project_that_cannot_be_read_is_told_and_takes_no_plan_with_it(client: Client, scarf: Project) -> None:
    finished(waste="a hand's breadth")
    assert planned.answer(store.head(scarf)).plan is not None
    listed = client.get(reverse("evidence", args=[scarf.pk])).content.decode()
    assert "cannot be read just now: record, waste" in listed


def test_the_evidence_page_says_so_where_nothing_was_measured(client: Client, scarf: Project) -> None:
    assert "Nothing measured yet" in client.get(reverse("evidence", args=[scarf.pk])).content.decode()


def test_how_true_the_forecasts_were_is_told_for_her_own_projects(client: Client) -> None:
    empty = client.get(reverse("true")).content.decode()
    assert "No project is finished yet" in empty
    projects = [finished(f"Stole {n}", f"2026-0{n}-02") for n in (1, 2, 3)]
    strange = finished("Dune runner", "2026-05-02", width={"finished": {"middle": "24 cm"}})
    html = client.get(reverse("true")).content.decode()
    assert "Of 8 forecasts, 7 held." in html
    assert "✗ did not hold" in html
    assert "cw-calibration" in html
    assert html.index("Dune runner") < html.index("Stole 1")
    beside = client.get(reverse("came", args=[strange.pk]), **FRAGMENT).content.decode()
    assert "less than forecast" in beside
    assert client.get(reverse("came", args=[projects[0].pk])).url.endswith("#record")


def test_a_finished_project_is_planned_from_what_was_known_before_its_day(client: Client) -> None:
    first = finished("Stole 1", "2026-01-02")
    before = width_of(first)
    finished("Stole 2", "2026-02-02")
    assert width_of(first) == before


def test_evidence_read_once_is_not_read_again(scarf: Project, django_assert_num_queries: Any) -> None:
    """Two questions, for what counts now of projects and of samples, whatever has been measured."""
    for number in (1, 2, 3):
        finished(f"Stole {number}")
    evidence.everything()
    with django_assert_num_queries(2):
        assert evidence.beside(scarf).key


def test_what_a_project_told_before_it_was_changed_is_let_go(scarf: Project) -> None:
    stole = finished()
    before = weakref.ref(evidence.beside(scarf).told[0])
    assert before() is not None
    store.change(stole, head_tree(stole) | {"name": "Limpet shawl"}, "named anew")
    assert evidence.beside(scarf).told[0].owner.name == "Limpet shawl"
    gc.collect()
    assert before() is None


def test_a_change_made_elsewhere_while_evidence_is_read_takes_none_away(
    scarf: Project, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What one page knows already of a project stays known to it while another page reads the project's later state."""
    stole = finished()
    evidence.beside(scarf)
    finished("Whelk wrap")
    traced = evidence._traced

    def meanwhile(revision: Any) -> dict[str, bytes]:
        monkeypatch.setattr(evidence, "_traced", traced)
        store.change(store.project(stole.pk), head_tree(stole) | {"name": "Limpet shawl"}, "named anew")
        evidence.everything()
        return traced(revision)

    monkeypatch.setattr(evidence, "_traced", meanwhile)
    assert [bool(one.digest) for one in evidence.beside(scarf).told] == [True, True]
