"""The page “Narrow cloth”: ways to join, taken by a button and undone; pieces moved to other cloth."""

from __future__ import annotations

import html
import json
import re
import tomllib
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from pattern.drawn import page

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.web.forms.form import for_the_page

pytestmark = pytest.mark.django_db
SMOCK = Path(__file__).parents[3] / "examples" / "wrack-smock.toml"


def kept(drawings: dict[str, bytes] | None = None, **pattern: Any) -> Project:
    tree = tomllib.loads(SMOCK.read_text(encoding="utf-8"))
    tree["pattern"] |= pattern
    return store.new_project(for_the_page(tree), "opened", drawings)


def url(project: Project) -> str:
    return reverse("narrow", args=[project.pk])


def hidden(said: str, name: str) -> list[str]:
    return [html.unescape(text) for text in re.findall(rf'name="{name}" value="([^"]*)"', said)]


def take(client: Client, project: Project, **posted: str) -> Any:
    return client.post(url(project), {"rev": str(store.head(project).number), **posted})


def test_each_way_is_drawn_with_what_it_takes_and_a_button(client: Client) -> None:
    said = client.get(url(kept())).content.decode()
    for words in (
        "back is 56",
        "too wide",
        "cw-joined",
        "1. Back joined",
        "Join it so",
        "more ways",
        "set aside: tried",
    ):
        assert words in said
    assert " style=" not in said
    assert "<script>" not in said


def test_a_way_that_is_taken_is_written_in_the_project_and_undone_by_its_history(client: Client) -> None:
    project = kept()
    first = hidden(client.get(url(project)).content.decode(), "joins")[0]
    answer = take(client, project, joins=first, width="", other="")
    assert (answer.status_code, answer["Location"]) == (303, url(project))
    project = store.project(project.pk)
    written = store.head(project).tree["pattern"]["join"]
    assert written[1:] == json.loads(first)
    assert store.head(project).what == "joined back, front"
    said = client.get(url(project)).content.decode()
    assert "Every piece fits on it" in said
    plan = client.get(reverse("project", args=[project.pk])).content.decode()
    assert "too wide" not in plan
    assert "back, left panel" in plan
    assert client.post(url(project), {"do": "undo"}).status_code == 303
    assert len(store.head(store.project(project.pk)).tree["pattern"]["join"]) == 1


def test_the_width_asked_for_is_kept_while_a_way_is_taken(client: Client) -> None:
    project = kept()
    said = client.get(url(project), {"width": "12 in"}).content.decode()
    assert "sleeve is 34" in said
    answer = take(client, project, joins=hidden(said, "joins")[0], width="12 in")
    assert answer["Location"].endswith("?width=12+in")


def test_a_piece_given_as_numbers_is_moved_by_its_own_material(client: Client) -> None:
    project = kept()
    moves = hidden(client.get(url(project)).content.decode(), "move")
    pocket = next(one for one in moves if json.loads(one)["pieces"] == ["pocket"])
    take(client, project, move=pocket, material="sail cloth")
    tree = store.head(store.project(project.pk)).tree
    assert tree["pattern"]["piece"][4]["material"] == "sail cloth"
    assert "From sail cloth already: pocket" in client.get(url(project)).content.decode()


def test_a_drawn_piece_and_a_hem_are_moved_by_what_is_said_beside_the_drawing(client: Client) -> None:
    drawing = page(
        '<g><title>front facing: cut 1, grain y</title><path d="M50,5 H58 V65 H50 Z"/></g>'
        '<g><title>skirt: cut 2, grain y, stitch</title><path d="M5,5 H35 V65 H5 Z"/>'
        '<polyline points="5,65 35,65"><title>hem 8 cm</title></polyline></g>'
    )
    project = kept({"smock.svg": drawing}, file="smock.svg", piece=[], join=[])
    said = client.get(url(project)).content.decode()
    assert "hem of skirt" in said
    for move in hidden(said, "move")[:2]:
        take(client, store.project(project.pk), move=move, material="linen")
    pattern = store.head(store.project(project.pk)).tree["pattern"]
    assert pattern["mark"] == [{"piece": "front facing", "material": "linen"}]
    assert pattern["join"] == [{"piece": "skirt", "at": "hem", "material": "linen"}]
    said = client.get(url(project)).content.decode()
    assert "From linen already" in said


def test_a_page_that_is_out_of_date_takes_nothing_and_says_so(client: Client) -> None:
    project = kept()
    answer = client.post(url(project), {"rev": "0", "joins": json.dumps([{"piece": "back", "at": "centre"}])})
    assert answer.status_code == 409
    assert "changed meanwhile, so nothing was taken" in answer.content.decode()
    assert store.head(store.project(project.pk)).number == 1


@pytest.mark.parametrize(
    "posted",
    [
        {"joins": "[]x"},
        {"joins": '[{"piece": "back", "at": "anywhere"}]'},
        {"joins": '{"piece": 3}'},
        {"move": '{"pieces": 4}'},
        {"move": "null"},
        {},
    ],
)
def test_what_no_page_posts_is_refused(client: Client, posted: dict[str, str]) -> None:
    project = kept()
    assert take(client, project, **posted).status_code == 400
    assert store.head(store.project(project.pk)).number == 1


@pytest.mark.parametrize("width", ["wide", "0", "4 oz", "<b>9</b>"])
def test_a_width_that_is_none_stays_typed_with_its_sentence(client: Client, width: str) -> None:
    answer = client.get(url(kept()), {"width": width})
    said = answer.content.decode()
    assert answer.status_code == 200
    assert f'value="{html.escape(width)}"' in said
    assert 'role="alert"' in said
    assert "<b>9</b>" not in said


def test_a_project_that_cannot_be_planned_says_what_is_to_be_settled(client: Client) -> None:
    project = kept(join=[{"piece": "backe", "at": "centre"}])
    said = client.get(url(project)).content.decode()
    assert "there is no piece “backe” to join" in said
    assert 'href="/project/' in said


def test_the_plan_and_the_pieces_lead_to_the_page(client: Client) -> None:
    project = kept()
    for name in ("project", "pieces"):
        assert url(project) in client.get(reverse(name, args=[project.pk])).content.decode()
    assert "Narrow cloth: how it could be joined" in client.get(reverse("project", args=[project.pk])).content.decode()


def test_there_is_no_page_for_a_project_that_is_not_there(client: Client) -> None:
    assert client.get(f"/project/{uuid4()}/narrow-cloth/").status_code == 404
