"""The page “Colours of the weft”: its rules, the order drawn, kept and changed, its joins, and where mends are found."""

from __future__ import annotations

import html
import re
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from web.colours.test_colours_page import as_posted, kept, tree_of

from clothwright.library import store
from clothwright.library.models import Project

pytestmark = pytest.mark.django_db
STRANDLINE = Path(__file__).parents[3] / "examples" / "strandline-wrap.toml"


def url(project: Project) -> str:
    return reverse("weft_colours", args=[project.pk])


def shown(client: Client, project: Project) -> str:
    return html.unescape(client.get(url(project)).content.decode()).replace("\u00a0", " ")


def do(client: Client, project: Project, what: str, **posted: str) -> Any:
    head = store.head(store.project(project.pk))
    return client.post(url(project), {"rev": str(head.number), "do": what, **posted})


def weft_of(project: Project) -> dict[str, Any]:
    return dict(tree_of(project)["colours"]["weft"])


def test_the_order_is_drawn_told_and_joined_in_words(client: Client) -> None:
    said = shown(client, kept(STRANDLINE))
    for words in (
        "drawn at random under the rules",
        "cw-weft-order",
        "From the first pick:",
        "has run out; join ball 2 of",
    ):
        assert words in said
    for words in ("Best kept for it:", "At most 48 picks of a yarn come together.", "Weft order on paper"):
        assert words in said
    assert " style=" not in said


def test_every_pick_listed_adds_up_to_the_total(client: Client) -> None:
    """A separate adder over the folds of the list."""
    said = shown(client, kept(STRANDLINE))
    count = 0
    for picks, up_to in re.findall(r'<tr><td>(\d+)</td><th scope="row">[^<]+</th><td>(\d+)</td>', said):
        count += int(picks)
        assert int(up_to) == count
    assert f"{count} picks in all." in said
    assert f"{count} picks at" in said


def test_saving_what_is_shown_changes_nothing(client: Client) -> None:
    project = kept(STRANDLINE)
    before = tree_of(project)
    do(client, project, "save", **as_posted(client.get(url(project)).content.decode()))
    assert tree_of(project) == before


def test_rules_of_the_weft_are_kept_as_ticked_and_typed(client: Client) -> None:
    project = kept(STRANDLINE)
    posted = as_posted(client.get(url(project)).content.decode())
    posted |= {"edge.1": "yes", "colours.weft.longest_run": "32", "colours.weft.lies": "at random"}
    do(client, project, "save", **posted)
    weft = weft_of(project)
    assert (weft["longest_run"], weft["lies"]) == (32, "at random")
    assert set(weft["not_at_ends"]) == {"sea pink", "oyster"}
    assert "At most 32 picks" in shown(client, project)


def test_an_order_is_kept_held_changed_drawn_anew_and_let_go(client: Client) -> None:
    project = kept(STRANDLINE)
    do(client, project, "keep")
    first = weft_of(project)["order"]
    assert sum(run["picks"] for run in first) > 500
    do(client, project, "hold 0")
    assert weft_of(project)["order"][0]["held"] is True
    do(client, project, "change 1", yarn="oyster", ends="24")
    assert weft_of(project)["order"][1] == {"yarn": "oyster", "picks": 24}
    assert do(client, project, "change 1", yarn="oyster", ends="many").status_code == 422
    do(client, project, "draw")
    drawn = weft_of(project)
    assert drawn["order"][0] == first[0] | {"held": True}
    assert drawn["order"] != first
    assert isinstance(drawn["seed"], int)
    do(client, project, "loosen")
    assert "order" not in weft_of(project)
    do(client, project, "undo")
    assert weft_of(project) == drawn


def test_a_kept_order_that_breaks_a_rule_is_told_and_left(client: Client) -> None:
    order = [{"yarn": "sea pink", "picks": 60}, {"yarn": "kelp fell", "picks": 540}]
    project = kept(STRANDLINE, weft={"longest_run": 48, "not_at_ends": ["sea pink"], "order": order})
    said = shown(client, project)
    assert "does not keep the rules" in said
    assert "Sea pink stands at an edge." in said
    assert weft_of(project)["order"] == order


def test_the_sheet_of_the_weft_is_a_pdf_and_leads_back_where_there_is_none(client: Client) -> None:
    project = kept(STRANDLINE)
    there = client.get(reverse("sheet", args=[project.pk, "weft-order"]))
    assert there.content.startswith(b"%PDF")
    assert client.get(reverse("sheet", args=[project.pk, "weft-order"]) + "?large=1").content.startswith(b"%PDF")
    unplanned = kept(STRANDLINE, weft={"longest_run": "lots"})
    away = client.get(reverse("sheet", args=[unplanned.pk, "weft-order"]))
    assert away.status_code == 302
    assert away["Location"] == url(unplanned)


@pytest.mark.parametrize(
    ("colours", "page", "words"),
    [
        ({"longest_run": "lots"}, "colours", "Colours of the warp"),
        ({"weft": {"longest_run": "lots"}}, "weft_colours", "Colours of the weft"),
    ],
)
def test_a_rule_that_cannot_be_read_is_linked_from_the_plan_to_where_it_is_mended(
    client: Client, colours: dict[str, Any], page: str, words: str
) -> None:
    """The plan stops, and says on which page the rule stands; there the field says what is wrong."""
    project = kept(STRANDLINE, **colours)
    plan = html.unescape(client.get(reverse("project", args=[project.pk])).content.decode())
    there = reverse(page, args=[project.pk])
    assert f'<a href="{there}#plan">{words}</a>' in plan
    mended = html.unescape(client.get(there).content.decode())
    assert "lots" in mended
    assert re.search(r'<p class="sentence" id="f-colours(-weft)?-longest_run-problem">[^<]+</p>', mended)


def test_rules_of_the_weft_that_clash_leave_the_warp_its_order(client: Client) -> None:
    """The warp's page shows its order and links to the weft's; the weft's says what clashes."""
    project = kept(STRANDLINE, weft={"longest_run": 2, "least_together": 8})
    warp = html.unescape(client.get(reverse("colours", args=[project.pk])).content.decode())
    assert "cw-warp-order" in warp
    assert f'<a href="{url(project)}#plan">Colours of the weft</a>' in warp
    assert "8 picks of a yarn come together at least" in shown(client, project)


def test_the_rules_follow_a_yarn_that_is_given_another_name(client: Client) -> None:
    project = kept(STRANDLINE)
    head = store.head(store.project(project.pk))
    client.post(reverse("project", args=[project.pk]), {"rev": str(head.number), "do": "save", "yarn.3.name": "thrift"})
    assert weft_of(project)["not_at_ends"] == ["thrift"]
    assert weft_of(project)["not_side_by_side"] == [["thrift", "oyster"]]


def test_stripes_that_break_a_rule_are_told_as_breaking_it(client: Client) -> None:
    """Eight centimetres of one yarn are more than eight ends together."""
    stripes = [{"yarn": "kelp fell", "width": "8 cm"}, {"yarn": "oyster", "width": "2 cm"}]
    project = kept(STRANDLINE, stripes=stripes)
    said = html.unescape(client.get(reverse("colours", args=[project.pk])).content.decode())
    assert "Rules that the order does not keep" in said
    assert "pairs of kelp fell lie together" in said
    assert "Rules kept" not in said
