"""The page “Off the loom”: what is typed is kept, steps and checks are ticked, ways are taken, all of it undone."""

from __future__ import annotations

import copy
import html
import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from finishing.cloths import TREE

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.web.forms.form import for_the_page
from clothwright.web.loom import off_loom

pytestmark = pytest.mark.django_db


def kept(change: Any = lambda tree: tree) -> Project:
    tree = copy.deepcopy(TREE)
    change(tree)
    for part in tree.get("checked", []):
        part.update({key: str(value) for key, value in part.items()})
    return store.new_project(for_the_page(tree), "opened")


def url(project: Project) -> str:
    return reverse("off_loom", args=[project.pk])


def tree_of(project: Project) -> dict[str, Any]:
    found: dict[str, Any] = store.head(store.project(project.pk)).tree
    return found


def shown(client: Client, project: Project) -> str:
    return html.unescape(client.get(url(project)).content.decode()).replace("\u00a0", " ")


def post(client: Client, project: Project, do: str = "save", **posted: str) -> Any:
    head = store.head(store.project(project.pk))
    return client.post(url(project), {"rev": str(head.number), "do": do, **posted})


def ways(said: str) -> dict[str, str]:
    """The buttons of the ways shown, by the beginning of what each does."""
    found = re.findall(r'value="way (\w+)">Take this way<span class="unseen">: ([^<:]+)', said)
    return {what: digest for digest, what in found}


def test_the_page_tells_what_stands_where(client: Client) -> None:
    said = shown(client, kept())
    for one in (
        "The pattern needs 44 cm",
        "Narrower side allowances: 2 mm less at each side of back",
        "Stop and look after 1, 2, 3 and 4 min",
        "not needed: for a grown-up",
        "Finishing sheet (PDF)",
        "Knot at 51 cm",
    ):
        assert one in said, one
    assert "Still to be settled" not in said


def test_what_is_typed_is_kept_with_its_unit_and_the_cloth_is_laid_anew(client: Client) -> None:
    project = kept()
    assert post(client, project, **{"real_cloth.sides_less": "2"}).status_code == 303
    assert tree_of(project)["real_cloth"]["sides_less"] == "2 mm"
    said = shown(client, project)
    assert "All pieces are cut from it" in said
    assert "Cutting sheet for this cloth" in said


def test_a_temperature_takes_the_degree_of_the_project(client: Client) -> None:
    project = kept(lambda tree: tree.update(units="imperial"))
    post(client, project, **{"finishing.done.1.water": "100"})
    assert tree_of(project)["finishing"]["done"][1]["water"] == "100 °F"


def test_what_cannot_be_is_told_beside_its_field_and_stays(client: Client) -> None:
    project = kept()
    post(client, project, **{"finishing.done.1.water": "hot", "off_loom.2.length": "two ells"})
    said = shown(client, project)
    assert "Still to be settled" in said
    assert "“hot” is no temperature; write 38 °C or 100 °F" in said
    assert tree_of(project)["off_loom"][2]["length"] == "two ells"
    assert 'value="two ells"' in said


def test_a_step_that_is_done_is_written_down_and_can_be_undone(client: Client) -> None:
    project = kept(lambda tree: tree["finishing"].pop("done"))
    response = post(client, project, "did soak")
    assert (response.status_code, response["Location"].rpartition("#")[2]) == (303, "step-soak")
    (done,) = tree_of(project)["finishing"]["done"]
    assert done["step"] == "soak"
    assert "write down its minutes and water" in shown(client, project)
    post(client, project, "undo")
    assert "done" not in tree_of(project).get("finishing", {})


def test_a_check_is_ticked_taken_back_and_put_away_with_a_reason(client: Client) -> None:
    project = kept()
    post(client, project, "tick grain")
    assert [one["check"] for one in tree_of(project)["checked"]].count("grain") == 1
    post(client, project, "untick grain")
    assert "grain" not in [one["check"] for one in tree_of(project)["checked"]]
    post(client, project, "put-away grain", because=" cut on the bias ")
    assert tree_of(project)["checked"][-1] == {"check": "grain", "not_needed": "cut on the bias"}
    assert "not needed: cut on the bias" in shown(client, project)


def test_a_check_that_is_ticked_lays_nothing_anew_and_another_width_does(
    client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    project, laid = kept(), []
    shown(client, project)
    lay = off_loom.on_the_cloth

    def counting(*args: Any, **how: Any) -> Any:
        laid.append(1)
        return lay(*args, **how)

    monkeypatch.setattr(off_loom, "on_the_cloth", counting)
    post(client, project, "tick grain")
    assert "Narrower side allowances" in shown(client, project)
    assert laid == []
    post(client, project, **{"off_loom.2.width.start": "44.0 cm"})
    shown(client, project)
    assert laid == [1]


def test_a_check_is_not_put_away_without_a_reason(client: Client) -> None:
    project = kept()
    before = tree_of(project)
    post(client, project, "put-away grain", because="   ")
    assert tree_of(project) == before


@pytest.mark.parametrize("do", ["tick starch", "did starch", "let-be hole at 3 cm", "way 0123456789abcdef"])
def test_what_no_page_of_ours_posts_changes_nothing(client: Client, do: str) -> None:
    project = kept()
    before = tree_of(project)
    assert post(client, project, do).status_code == 409
    assert tree_of(project) == before


def test_a_way_that_is_taken_is_kept_and_undone(client: Client) -> None:
    project = kept()
    buttons = ways(shown(client, project))
    post(client, project, f"way {buttons['Lay wide pieces where the cloth is wide']}")
    assert tree_of(project)["real_cloth"]["lay_by"] == "the width along it"
    assert "All pieces are cut from it" in shown(client, project)
    post(client, project, "undo")
    assert "lay_by" not in tree_of(project)["real_cloth"]


def test_pieces_from_other_cloth_are_written_in_the_pattern(client: Client) -> None:
    project = kept()
    post(client, project, f"way {ways(shown(client, project))['Cut what is left over from other cloth']}")
    assert tree_of(project)["pattern"]["piece"][0]["material"] == "other cloth"


def test_a_flaw_of_the_log_may_be_let_be(client: Client) -> None:
    project = kept()
    post(client, project, "let-be knot at 58 cm")
    assert tree_of(project)["real_cloth"]["let_be"] == ["knot at 58 cm"]
    assert "Knot at 51 cm" not in shown(client, project)


def test_the_record_is_filled_from_what_was_measured_where_it_is_blank(client: Client) -> None:
    project = kept(lambda tree: tree.update(record={"length": {"finished": "187 cm"}}))
    post(client, project, "record")
    record = tree_of(project)["record"]
    assert record["width"]["finished"] == {"start": "43.6 cm", "middle": "44.4 cm", "end": "44.2 cm"}
    assert (record["length"]["finished"], record["length"]["off_loom"], record["ends"]) == ("187 cm", "203 cm", 146)


def test_rows_are_added_and_taken_away(client: Client) -> None:
    project = kept()
    post(client, project, "add real_cloth.flaw")
    assert len(tree_of(project)["real_cloth"]["flaw"]) == 2
    post(client, project, "remove off_loom.0")
    assert [one["state"] for one in tree_of(project)["off_loom"]] == ["rested", "finished"]


def test_both_sheets_come_as_pdf_and_the_cutting_sheet_only_where_all_is_cut(client: Client) -> None:
    project = kept()
    sheet, cutting = (reverse("sheet", args=[project.pk, kind]) for kind in ("finishing", "cutting-real"))
    assert client.get(sheet).content.startswith(b"%PDF")
    assert client.get(cutting).status_code == 302
    post(client, project, **{"real_cloth.sides_less": "2"})
    assert client.get(f"{cutting}?large=1").content.startswith(b"%PDF")


def test_a_new_project_says_what_to_do_first(client: Client) -> None:
    project = store.new_project({"clothwright": 1, "name": "bare"}, "new")
    said = shown(client, project)
    assert "Off the loom: let it rest, and measure it." in said
    assert "how large is the cloth?" in said.lower()


def test_a_fault_of_these_parts_is_linked_from_the_page_of_the_project(client: Client) -> None:
    project = kept(lambda tree: tree["off_loom"][2].update(length="two ells"))
    said = html.unescape(client.get(reverse("project", args=[project.pk])).content.decode())
    assert url(project) in said
    assert "two ells" in said
