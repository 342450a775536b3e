"""The page “Threading”: kept as typed, told end by end, drafts read from files and written to them."""

from __future__ import annotations

import html
import tomllib
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from planning.cloth.test_threading_plan import BY_HAND
from sheets.printed import text_of
from web.colours.test_colours_page import as_posted

from clothwright.cloth import read_wif
from clothwright.library import store
from clothwright.library.models import Project
from clothwright.web.forms.form import for_the_page

pytestmark = pytest.mark.django_db
EXAMPLES = Path(__file__).parents[3] / "examples"


def kept(name: str = "saltmarsh-twill", **draft: Any) -> Project:
    tree = tomllib.loads((EXAMPLES / f"{name}.toml").read_text(encoding="utf-8"))
    tree["draft"] = tree.get("draft", {}) | draft
    return store.new_project(for_the_page(tree), "opened")


def url(project: Project, name: str = "threading") -> str:
    return reverse(name, args=[project.pk])


def sheet(project: Project) -> str:
    return reverse("sheet", args=[project.pk, "threading"])


def tree_of(project: Project) -> dict[str, Any]:
    return dict(store.head(store.project(project.pk)).tree)


def shown(client: Client, project: Project) -> str:
    return html.unescape(client.get(url(project)).content.decode()).replace("\u00a0", " ")


def do(client: Client, project: Project, what: str, **posted: Any) -> Any:
    head = store.head(store.project(project.pk))
    return client.post(url(project), {"rev": str(head.number), "do": what, **posted})


def test_the_page_tells_every_end_and_where_the_first_goes(client: Client) -> None:
    said = shown(client, kept())
    for words in (
        "133 ends in the 8/in reed, sleyed 1-2, and 2 ends floating beside them",
        "It has 188 dents",
        "cw-threading",
        "Pick 1: treadle 1: shafts 1 and 2 up",
        "33 on shaft 1 + 33 on shaft 2 + 34 on shaft 3 + 33 on shaft 4 + 2 floating = 135",
        "from 1 time of your own",
    ):
        assert words in said
    assert " style=" not in said


def test_saving_what_is_shown_changes_nothing(client: Client) -> None:
    project = kept(sheds="sinking", first_end="right", places=190, sticks="1 on, 1 off")
    before = tree_of(project)
    do(client, project, "save", **as_posted(client.get(url(project)).content.decode()))
    assert tree_of(project) == before


def test_what_is_typed_is_kept_and_told_and_undone(client: Client) -> None:
    project = kept()
    posted = as_posted(client.get(url(project)).content.decode())
    do(client, project, "save", **posted | {"draft.threading": "straight on 4", "draft.sleying": "2"})
    assert tree_of(project)["draft"]["threading"] == "straight on 4"
    assert "sleyed 2" in shown(client, project)
    do(client, project, "undo")
    assert "sleyed 1-2" in shown(client, project)


def test_what_makes_no_threading_is_kept_and_told_beside_its_field(client: Client) -> None:
    project = kept()
    posted = as_posted(client.get(url(project)).content.decode())
    do(client, project, "save", **posted | {"draft.threading": "1-2-<b>x", "draft.sleying": "two"})
    page = client.get(url(project)).content.decode()
    assert 'value="1-2-&lt;b&gt;x"' in page
    assert "<b>x" not in page
    assert "how many ends go into one place" in html.unescape(page)
    do(client, project, "save", **posted | {"draft.threading": "1-2-<b>x"})
    assert "shafts are numbers" in html.unescape(client.get(url(project)).content.decode())
    do(client, project, "save", **posted | {"draft.threading": "1-2-3-4 12 times"})
    assert "48 are written, and there are 133" in shown(client, project)


def test_a_time_of_her_own_is_added_and_counts_in_other_projects_on_such_a_loom(client: Client) -> None:
    project = kept("slate-tide-cloth")
    assert "common practice" in shown(client, project)
    rigid_times = kept("basket-of-balls")
    do(client, rigid_times, "add draft.timed")
    posted = as_posted(client.get(url(rigid_times)).content.decode())
    do(client, rigid_times, "save", **posted | {"draft.timed.0.ends": "120", "draft.timed.0.minutes": "30"})
    assert tree_of(rigid_times)["draft"]["timed"] == [{"ends": 120, "minutes": 30}]
    assert "from 1 time of your own" in shown(client, project)
    assert "from 1 time of your own" in shown(client, kept())


def test_a_file_is_read_into_the_draft_written_out_and_undone(client: Client) -> None:
    """A file by hand: its lines come back, and what was there before too."""
    project = kept("saltmarsh-twill", ends=135)
    before = tree_of(project)
    said = do(client, project, "read", draft=SimpleUploadedFile("tide.wif", BY_HAND)).content.decode()
    assert "Read from tide.wif: 16 ends on 4 shafts, 8 picks" in said
    assert "PRIVATE BY HAND TIDES" in said
    draft = tree_of(project)["draft"]
    assert draft["timed"] == before["draft"]["timed"]
    assert draft["ends"] == 16
    assert "the draft says 16 ends and the colours have 135" in shown(client, project)
    tree = tree_of(project)
    del tree["colours"]
    del tree["cloth"]["floating_selvedges"]
    store.change(project, tree, "no colours")
    got = client.get(url(project, "draft_file"))
    assert got["Content-Disposition"].endswith('saltmarsh-twill.wif"')
    assert read_wif(got.content).draft.threading == read_wif(BY_HAND).draft.threading
    assert b"high=noon" in got.content
    do(client, project, "undo")
    do(client, project, "undo")
    assert tree_of(project) == before


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        (b"<svg/>", "does not begin with a section [WIF]"),
        (b"[WIF]\n[WARP]\nThreads=many\n[THREADING]\n1=1", "a whole number up to 20000"),
        (b"[WIF]\n" + b"x=1\n" * 1_100_000, "larger than 4 MB"),
    ],
)
def test_a_file_that_is_no_draft_is_refused_and_changes_nothing(client: Client, sent: bytes, words: str) -> None:
    project = kept()
    before = tree_of(project)
    answer = do(client, project, "read", draft=SimpleUploadedFile("x.wif", sent))
    assert answer.status_code == 422
    assert words in html.unescape(answer.content.decode())
    assert tree_of(project) == before
    assert do(client, project, "read").status_code == 422


def test_the_sheet_is_printed_in_both_sizes_and_blank(client: Client) -> None:
    project = kept()
    for asked, words in (
        ("", "Count twice: 135 ends?"),
        ("?large=1", "Count twice: 135 ends?"),
        ("?blank=1", "191 to 200"),
    ):
        answer = client.get(sheet(project) + asked)
        assert answer["Content-Type"] == "application/pdf"
        assert words in text_of(answer.content)


def test_without_ends_or_a_plan_the_page_says_what_is_missing(client: Client) -> None:
    project = store.new_project({"name": "bare"}, "started")
    assert "Say how many ends there are" in shown(client, project)
    for address in (sheet(project), url(project, "draft_file")):
        assert client.get(address).status_code == 302
    assert client.get(sheet(project) + "?blank=1").status_code == 200


def test_a_project_that_is_not_there_is_told(client: Client) -> None:
    for name in ("threading", "draft_file"):
        assert client.get(reverse(name, args=[uuid4()])).status_code == 404


def test_a_row_that_is_not_there_is_refused(client: Client) -> None:
    assert do(client, kept(), "remove draft.timed.9").status_code == 400
