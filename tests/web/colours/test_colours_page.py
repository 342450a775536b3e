"""The page “Colours”: rules kept as typed, the order drawn, kept, held, changed by hand, told short, undone."""

from __future__ import annotations

import html
import re
import tomllib
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from pypdf import PdfReader

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.web.forms.form import for_the_page

pytestmark = pytest.mark.django_db
BASKET = Path(__file__).parents[3] / "examples" / "basket-of-balls.toml"
GARMENT = Path(__file__).parents[3] / "examples" / "rows-of-rectangles.toml"


def kept(file: Path = BASKET, **colours: Any) -> Project:
    tree = tomllib.loads(file.read_text(encoding="utf-8"))
    tree["colours"] = tree.get("colours", {}) | colours
    return store.new_project(for_the_page(tree), "opened")


def url(project: Project) -> str:
    return reverse("colours", args=[project.pk])


def tree_of(project: Project) -> dict[str, Any]:
    return dict(store.head(store.project(project.pk)).tree)


def shown(client: Client, project: Project) -> str:
    return html.unescape(client.get(url(project)).content.decode()).replace("\u00a0", " ")


def do(client: Client, project: Project, what: str, **posted: str) -> Any:
    head = store.head(store.project(project.pk))
    return client.post(url(project), {"rev": str(head.number), "do": what, **posted})


def as_posted(said: str) -> dict[str, str]:
    """What a browser would post of the form of rules."""
    form = re.search(r'<form id="typed".*?</form>', said, re.DOTALL)
    assert form
    found = dict(re.findall(r'<input type="(?:text|hidden)"[^>]* name="([^"]+)"[^>]* value="([^"]*)"', form[0]))
    found |= dict.fromkeys(re.findall(r'type="checkbox" name="([^"]+)" value="yes" checked', form[0]), "yes")
    for name, options in re.findall(r'<select[^>]* name="([^"]+)"[^>]*>(.*?)</select>', form[0], re.DOTALL):
        chosen = re.search(r"<option([^>]*) selected>([^<]*)", options)
        value = re.search(r'value="([^"]*)"', chosen[1]) if chosen else None
        found[name] = (value[1] if value else chosen[2]) if chosen else ""
    return found


def test_the_order_is_drawn_to_scale_and_told_in_words(client: Client) -> None:
    said = shown(client, kept())
    for words in ("120 ends at 3 per cm", "cw-warp-order", "From the first selvedge:", "Drawn by seed 1", "11 pairs"):
        assert words in said
    assert " style=" not in said


def test_every_total_on_the_page_is_the_sum_of_its_lines(client: Client) -> None:
    """A separate adder: ends run by run, and turns ball by ball, against the totals in words and at the foot."""
    said = shown(client, kept())
    runs = re.findall(r'<tr><td>(\d+)</td><th scope="row">([^<]+)</th><td>(\d+)</td>', said)
    count = 0
    for ends, _, up_to in runs:
        count += int(ends)
        assert int(up_to) == count
    assert count == 120
    assert "120 ends in all." in said
    folds = [
        (int(first), int(last)) for first, last in re.findall(r"<strong>(\d+) to (\d+)</strong> of 120 ends", said)
    ]
    assert [first for first, _ in folds] == [1, *(last + 1 for _, last in folds[:-1])]
    assert folds[-1][1] == 120
    assert len(folds) == 12
    balls = re.findall(
        r'<tr><th scope="row">([^<]+)</th><td[^>]*>1</td><td[^>]*>[^<]+</td><td[^>]*>(\d+) pairs</td><td[^>]*>\d+</td>'
        r"<td[^>]*>(\d+)</td>",
        said,
    )
    assert len(balls) == 8
    gives, used = (sum(int(row[place]) for row in balls) for place in (1, 2))
    assert (gives, used) == (91, 60)
    assert f"All balls give {gives} pairs; {used} are used" in said
    for yarn, _, turns in balls:
        assert 2 * int(turns) == sum(int(ends) for ends, name, _ in runs if name == yarn)


def test_saving_what_is_shown_changes_nothing(client: Client) -> None:
    project = kept(not_side_by_side=[["marram", "dulse"]], keep_for_weft={"shale": "40 %"}, seed=4)
    before = tree_of(project)
    do(client, project, "save", **as_posted(client.get(url(project)).content.decode()))
    assert tree_of(project) == before


def test_rules_are_kept_as_they_are_ticked_and_typed(client: Client) -> None:
    project = kept()
    posted = as_posted(client.get(url(project)).content.decode())
    posted |= {
        "colours.longest_run": "2",
        "edge.0": "yes",
        "keep.3": "60",
        "pair.0.0": "marram",
        "pair.0.1": "dulse",
    }
    del posted["use_up.6"]
    do(client, project, "save", **posted)
    colours = tree_of(project)["colours"]
    assert colours["longest_run"] == 2
    assert set(colours["not_at_edges"]) == {"marram", "shell", "shale"}
    assert "use_up" not in colours
    assert colours["keep_for_weft"] == {"shell": "60 %"}
    assert colours["not_side_by_side"] == [["marram", "dulse"]]
    said = shown(client, project)
    assert "60 % of shell is kept for the weft." in said
    assert "marram and dulse do not lie side by side." in said
    assert store.head(store.project(project.pk)).what.startswith("Most ends of one yarn together: 4 → 2")


def test_a_pair_with_one_name_and_a_number_that_is_none_are_kept_and_told(client: Client) -> None:
    project = kept()
    posted = as_posted(client.get(url(project)).content.decode())
    do(client, project, "save", **posted | {"pair.0.0": "marram", "colours.longest_run": "four", "keep.0": "<b>lots"})
    said = client.get(url(project)).content.decode()
    assert "name two yarns" in said
    assert 'value="four"' in said
    assert "&lt;b&gt;lots" in said
    assert "<b>lots" not in said
    assert tree_of(project)["colours"]["not_side_by_side"] == [["marram"]]


def test_drawing_anew_keeps_its_seed_in_the_project_and_is_undone(client: Client) -> None:
    project = kept()
    first = shown(client, project)
    do(client, project, "draw")
    seed = tree_of(project)["colours"]["seed"]
    assert f"Drawn by seed {seed}" in shown(client, project)
    assert tree_of(project).get("seed") is None
    do(client, project, "undo")
    assert re.findall(r"<desc>.*?</desc>", shown(client, project)) == re.findall(r"<desc>.*?</desc>", first)


def test_an_order_is_kept_and_held_runs_stay_when_it_is_drawn_anew(client: Client) -> None:
    project = kept()
    do(client, project, "keep")
    do(client, project, "hold 3")
    before = tree_of(project)["colours"]["order"]
    assert sum(run["ends"] for run in before) == 120
    assert [run.get("held", False) for run in before].index(True) == 3
    do(client, project, "draw")
    after = tree_of(project)["colours"]["order"]
    place = sum(run["ends"] for run in before[:3])
    yarns = [run["yarn"] for run in after for _ in range(run["ends"])]
    assert yarns[place : place + before[3]["ends"]] == [before[3]["yarn"]] * before[3]["ends"]
    assert [run["yarn"] for run in after] != [run["yarn"] for run in before]
    held = next(number for number, run in enumerate(after) if run.get("held"))
    do(client, project, f"release {held}")
    assert not any(run.get("held") for run in tree_of(project)["colours"]["order"])


def test_runs_are_moved_split_changed_and_taken_away(client: Client) -> None:
    project = kept()
    do(client, project, "keep")
    order = tree_of(project)["colours"]["order"]
    do(client, project, "later 0")
    moved = tree_of(project)["colours"]["order"]
    assert [one["yarn"] for one in moved[:2]] == [order[1]["yarn"], order[0]["yarn"]]
    do(client, project, "undo")
    four = next(number for number, run in enumerate(order) if run["ends"] == 4)
    assert do(client, project, f"split {four}", after="2").status_code == 303
    assert [run["ends"] for run in tree_of(project)["colours"]["order"][four : four + 2]] == [2, 2]
    do(client, project, "undo")
    do(client, project, "change 1", yarn=order[1]["yarn"], ends="8")
    said = shown(client, project)
    assert "the order has" in said
    assert "make them agree" in said
    assert "Run by run" in said
    do(client, project, "take 1")
    assert len(tree_of(project)["colours"]["order"]) == len(order) - 1


@pytest.mark.parametrize(
    ("what", "posted", "words"),
    [
        ("change 1", {"ends": "two"}, "Write a whole number"),
        ("change 1", {"ends": "0"}, "take the run away instead"),
        ("split 1", {"after": "99"}, "can be split after 1 to"),
        ("hold 999", {}, "There is no such run"),
        ("hold x", {}, "There is no such run"),
    ],
)
def test_what_cannot_be_done_is_one_sentence_and_changes_nothing(
    client: Client, what: str, posted: dict[str, str], words: str
) -> None:
    project = kept()
    do(client, project, "keep")
    before = store.head(store.project(project.pk)).number
    answer = do(client, project, what, **posted)
    assert answer.status_code == 422
    assert words in html.unescape(answer.content.decode())
    assert store.head(store.project(project.pk)).number == before


def test_a_page_that_is_out_of_date_leaves_the_order_alone(client: Client) -> None:
    project = kept()
    answer = client.post(url(project), {"rev": "0", "do": "keep"})
    assert answer.status_code == 409
    assert "order" not in tree_of(project)["colours"]


def test_a_ball_that_is_short_says_which_ends_change_and_keeping_it_writes_them(client: Client) -> None:
    """Dulse weighs 5 g, not 9: 20.5 m ÷ 6.2 m are three pairs; the order is given, with five pairs of it."""
    project = kept(keep_for_weft={"shell": "60 %", "shale": "60 %"})
    do(client, project, "keep")
    tree = tree_of(project)
    used = sum(run["ends"] for run in tree["colours"]["order"] if run["yarn"] == "dulse")
    tree["yarn"][4]["balls"] = [{"net": "5 g", "grist": "4.1 m/g"}]
    store.change(store.project(project.pk), tree, "weighed dulse again")
    said = shown(client, project)
    assert used > 6
    assert re.search(rf"<strong>{(used - 6) // 2} changes? needed", said)
    assert len(re.findall(r"Ends \d+ to \d+: dulse becomes", said)) == (used - 6) // 2
    assert "which gives 3" in said
    do(client, project, "keep")
    order = tree_of(project)["colours"]["order"]
    assert sum(run["ends"] for run in order if run["yarn"] == "dulse") == 6
    assert "becomes" not in shown(client, project)


def test_rules_that_clash_are_told_in_their_place(client: Client) -> None:
    said = shown(
        client,
        kept(
            not_side_by_side=[
                ["lichen", name]
                for name in ("marram", "bladderwrack", "shallows", "shell", "dulse", "cuttle ink", "shale")
            ]
        ),
    )
    assert "no order keeps all these rules" in said
    assert re.search(r'id="f-rules-problem">[^<]*no order keeps', said)


def test_ends_and_length_come_from_the_plan_where_they_are_not_typed(client: Client) -> None:
    said = shown(client, kept(GARMENT))
    assert re.search(r"\d+ ends at 3 per cm", said)
    assert "Run by run" in said


def test_without_a_plan_the_ends_are_asked_for(client: Client) -> None:
    tree = tomllib.loads(BASKET.read_text(encoding="utf-8"))
    del tree["colours"]["ends"], tree["want"]
    said = shown(client, store.new_project(for_the_page(tree), "opened"))
    assert "Say how many ends" in said
    assert re.search(r'id="f-colours-ends-problem">Say how many', said)


def test_the_page_of_a_new_project_opens(client: Client) -> None:
    said = shown(client, store.new_project({"clothwright": 1, "name": "nothing yet"}, "started"))
    assert "Name the yarns first" in said


@pytest.mark.parametrize(
    "order",
    [[{"yarn": 3, "ends": 2}], [{"yarn": "shell", "ends": "many"}], [4], "shell", [{"yarn": "whelk", "ends": 2}]],
)
def test_an_order_that_cannot_be_read_is_told_and_not_lost(client: Client, order: object) -> None:
    project = kept(order=order)
    assert "Still to be settled" in shown(client, project)
    assert tree_of(project)["colours"]["order"] == order


def test_stripes_take_the_place_of_the_order(client: Client) -> None:
    stripes = [{"yarn": "saltmarsh grey", "width": "3 cm"}]
    tree = tomllib.loads(GARMENT.read_text(encoding="utf-8"))
    stripes[0]["yarn"] = tree["yarn"][0]["name"]
    said = shown(client, kept(GARMENT, stripes=stripes))
    assert "They lie in stripes" in said
    assert "drawn," in said
    assert "Hold" not in said


def test_the_sheets_are_printed_from_the_page(client: Client) -> None:
    import io

    project = kept()
    for kind, words in (("colour-order", "Ten ends by ten"), ("balls", "All balls give"), ("warping", "Slot by slot")):
        answer = client.get(reverse("sheet", args=[project.pk, kind]), {"large": "1"})
        assert answer["Content-Type"] == "application/pdf"
        text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages)
        assert words in " ".join(text.split())
    assert client.get(reverse("sheet", args=[project.pk, "nothing"])).status_code == 404


def test_the_project_leads_to_its_colours(client: Client) -> None:
    project = kept()
    assert url(project) in client.get(reverse("project", args=[project.pk])).content.decode()


def test_there_is_no_page_for_a_project_that_is_not_there(client: Client) -> None:
    assert client.get(f"/project/{uuid4()}/colours/").status_code == 404
