"""The page that draws by hand, without its script: every step by posts, kept as typed, saved as the project's drawing."""

from __future__ import annotations

import re
import time
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from pattern.drawn import page
from pattern.hand_drawn import TABLE

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.pattern import read_drawing
from clothwright.web.forms.form import starting_tree
from clothwright.web.pattern import sketch as sketching

pytestmark = pytest.mark.django_db

FRONT = '<g data-piece="front" data-grain="y"><path d="M 5 5 H 25 C 25 20 20 30 25 45 H 5 Z"/></g>'


def started(drawings: dict[str, bytes] | None = None, units: str = "metric") -> Project:
    tree = starting_tree("Kelp smock", units)
    if drawings:
        tree |= {"pattern": {"file": next(iter(drawings))}}
    return store.new_project(tree, "started", drawings)


def url(project: Project) -> str:
    return reverse("draw", args=[project.pk])


def fields(table: dict[str, Any]) -> dict[str, str]:
    """A table as the form posts it."""
    posted = {key: str(value) for key, value in table.items() if key != "corner"}
    posted["corners"] = str(len(table["corner"]))
    for number, row in enumerate(table["corner"]):
        for key in ("across", "down", "length", "side", "notches"):
            posted[f"corner.{number}.{key}"] = row.get(key, "")
        posted[f"corner.{number}.bend"] = "curved" if row.get("curve") else "straight"
        posted |= {f"corner.{number}.curve.{place}": text for place, text in enumerate(row.get("curve", []))}
    return posted


def now(project: Project) -> dict[str, Any]:
    """The piece on the board as it is kept."""
    return sketching.table_now(sketching.read_sketch(store.sketch(project)))


def post(client: Client, project: Project, do: str, table: dict[str, Any] | None = None, **more: str) -> Any:
    return client.post(url(project), {**fields(table or now(project)), **more, "do": do})


def test_a_back_is_typed_shown_and_saved_as_the_projects_drawing(client: Client) -> None:
    project = started()
    assert post(client, project, "save", TABLE).status_code == 302
    html = client.get(url(project)).content.decode()
    assert re.search(r"Side to corner 4: <strong[^>]*>20\xa0cm", html)
    assert "cw-mirrored" in html
    assert "0.46 m" in html
    saved = post(client, project, "use", None, file="Smock pieces")
    assert saved["Location"] == reverse("pieces", args=[project.pk])
    head = store.head(store.project(project.pk))
    assert head.tree["pattern"]["file"] == "smock-pieces.svg"
    (piece,) = read_drawing(store.drawings_of(head)["smock-pieces.svg"]).pieces
    assert piece.name == "back"
    assert "Seam side" in client.get(reverse("pieces", args=[project.pk])).content.decode()
    store.undo(project)
    assert "file" not in store.head(project).tree["pattern"]


def test_corners_are_added_between_taken_away_and_put_in_another_order(client: Client) -> None:
    project = started()
    for across, down in (("5", "5"), ("5 cm", "45"), ("10 in", "45"), ("25.4", "5")):
        post(client, project, "corner", None, **{"at.across": across, "at.down": down})
    assert [row["across"] for row in now(project)["corner"]] == ["5", "5 cm", "10 in", "25.4"]
    post(client, project, "split 0")
    assert now(project)["corner"][1] == {"across": "5 cm", "down": "25 cm"}
    post(client, project, "corner", None, **{"at.across": "15", "at.down": "45.2 cm"})
    assert now(project)["corner"][3]["across"] == "15"  # on the side it lies on
    post(client, project, "later 3")
    post(client, project, "earlier 4")
    post(client, project, "remove 3")
    assert len(now(project)["corner"]) == 5
    for _ in range(40):
        post(client, project, "undo")
    assert now(project)["corner"] == []
    post(client, project, "redo")
    assert now(project)["corner"] == [{"across": "5", "down": "5"}]


def test_a_typed_length_moves_the_next_corner_and_every_other_text_stays(client: Client) -> None:
    project = started()
    table = {**TABLE, "corner": [{**row} for row in TABLE["corner"]]}
    table["corner"][2]["length"] = "10 in"
    post(client, project, "save", table)
    rows = now(project)["corner"]
    assert rows[3]["down"] == "20.6 cm"
    assert [row["down"] for row in rows[:3]] == ["6 cm", "46 cm", "0.46 m"]
    assert "length" not in rows[2]


def test_a_straight_side_is_made_a_curve_and_straight_again(client: Client) -> None:
    project = started()
    post(client, project, "save", TABLE)
    bent = {**fields(now(project)), "corner.4.bend": "curved", "do": "save"}
    client.post(url(project), bent)
    assert len(now(project)["corner"][4]["curve"]) == 4
    client.post(url(project), {**fields(now(project)), "corner.4.bend": "straight", "do": "save"})
    assert "curve" not in now(project)["corner"][4]


def test_several_pieces_stand_in_one_drawing_and_two_of_a_name_are_asked_about(client: Client) -> None:
    project = started()
    post(client, project, "save", TABLE)
    post(client, project, "another 0")
    second = post(client, project, "use", {**TABLE, "name": "back"})
    assert second.status_code == 422
    assert "Two pieces are called back" in second.content.decode()
    post(client, project, "use", {**TABLE, "name": "front"})
    head = store.head(store.project(project.pk))
    assert [one.name for one in read_drawing(store.drawings_of(head)["back.svg"]).pieces] == ["back", "front"]
    post(client, project, "drop 1")
    post(client, project, "choose 0")
    assert now(project)["name"] == "back"


def test_a_drawing_of_the_project_is_opened_and_what_stays_behind_is_said(client: Client) -> None:
    inner = FRONT.replace("</g>", '<circle cx="15" cy="20" r="2"/></g>')
    project = started({"old.svg": page(inner)})
    html = post(client, project, "open", None, which="old.svg").content.decode()
    assert "a dart" in html
    assert "saved as old by hand.svg" in html
    assert [row["across"] for row in now(project)["corner"]] == ["5 cm", "25 cm", "25 cm", "5 cm"]
    assert now(project)["corner"][1]["curve"] == ["25 cm", "20 cm", "20 cm", "30 cm"]
    assert "nothing that can be drawn on" in post(client, project, "open", None, which="gone.svg").content.decode()


def test_a_line_that_crosses_itself_is_told_saved_shown_and_not_laid_out(client: Client) -> None:
    project = started()
    places = (("1", "1"), ("21", "31"), ("21", "1"), ("1", "31"))
    table = {"name": "bow", "corner": [{"across": x, "down": y} for x, y in places]}
    post(client, project, "save", table)
    assert "crosses itself near 11" in client.get(url(project)).content.decode()
    post(client, project, "use")
    html = client.get(reverse("pieces", args=[project.pk])).content.decode()
    assert "Outline crosses itself." in html
    assert "nothing can be laid out" in html
    assert client.get(reverse("sheet", args=[project.pk, "pieces"])).status_code == 302
    assert "draw it as one simple closed line" in client.get(reverse("project", args=[project.pk])).content.decode()


HOSTILE = [
    ({"corner.0.across": "9" * 5000}, "letters"),
    ({"corner.0.across": "1e999 cm"}, "1e999"),
    ({"corner.0.across": "nan"}, "nan"),
    ({"corner.0.down": "-inf cm"}, "inf"),
    ({"corner.0.side": "<script>alert(1)</script>"}, "is not understood"),
    ({"name": "<script>alert(1)</script>"}, "&lt;script&gt;"),
    ({"name": "\0\u202e tide"}, "accepted is a name"),
    ({"cut": "-3"}, "a whole number"),
    ({"corner.0.length": "0 cm"}, "longer than nothing"),
    ({"corner.0.notches": ";".join(["9" * 99] * 90)}, "letters"),
]


@pytest.mark.parametrize(("typed", "why"), HOSTILE)
def test_whatever_is_typed_is_kept_and_answered_in_a_sentence(client: Client, typed: dict[str, str], why: str) -> None:
    project = started()
    start = time.process_time()
    client.post(url(project), {**fields(TABLE), **typed, "do": "save"})
    html = client.get(url(project)).content.decode()
    assert time.process_time() - start < 5
    assert why in html
    assert "<script>alert" not in html
    assert post(client, project, "use").status_code in (302, 422)


def test_a_million_fields_and_a_thousand_corners_are_refused_in_bounded_time(client: Client) -> None:
    project = started()
    start = time.process_time()
    many = {f"corner.{n}.across": "1" for n in range(20_000)}
    answer = client.post(url(project), many)
    assert answer.status_code == 400
    assert "too much came at once" in answer.content.decode()
    table = {"name": "saw", "corner": [{"across": str(n), "down": "1"} for n in range(1000)]}
    answer = post(client, project, "save", table)
    assert answer.status_code == 422
    assert "1000 corners came" in answer.content.decode()
    assert now(project)["corner"] == []
    assert time.process_time() - start < 15


@pytest.mark.parametrize(
    "do", ["split 9999", "remove 99", "later 7", "choose 4", "drop 88", "split x", "unknown", "", "open"]
)
def test_a_button_that_is_none_changes_nothing(client: Client, do: str) -> None:
    project = started()
    post(client, project, "save", TABLE)
    before = now(project)
    post(client, project, do)
    assert now(project) == before


def test_a_project_in_inches_is_drawn_on_a_grid_of_inches(client: Client) -> None:
    project = started(units="imperial")
    post(
        client,
        project,
        "save",
        {
            "name": "yoke",
            "corner": [{"across": x, "down": y} for x, y in (("1", "1"), ("9 1/2", "1"), ("9 1/2", "20 cm"))],
        },
    )
    html = client.get(url(project)).content.decode()
    assert "One square is 1 in" in html
    assert "8½\xa0in" in html


def test_the_scale_and_an_open_outline_are_mended_by_a_button(client: Client) -> None:
    content = (
        FRONT
        + '<rect x="40" y="40" width="9" height="9" data-test="10 cm"/><polyline data-piece="yoke" points="30,5 50,5 50,30"/>'
    )
    project = started({"old.svg": page(content)})
    where, mend = (reverse(name, args=[project.pk]) for name in ("pieces", "mend"))
    html = client.get(where).content.decode()
    assert "The test square of 10 cm measures 9.00 cm" in html
    client.post(mend, {"do": "scale"})
    assert store.head(store.project(project.pk)).tree["pattern"]["scale"] == "11.111111 mm"
    client.post(mend, {"do": "close yoke"})
    client.post(mend, {"do": "close the door"})
    html = client.get(where).content.decode()
    assert "Scale." not in html
    assert "Once round" in html.split("yoke", 1)[1]
    tree = store.head(store.project(project.pk)).tree
    assert tree["pattern"]["mark"] == [{"piece": "yoke", "close": True}]


def test_a_traced_point_is_added_and_taken_away_without_a_script(client: Client) -> None:
    project = started()
    kept = {"corners": "0, 0\n20, 0\n20, 30\n0, 30", "name": "yoke"}
    where = reverse("trace", args=[project.pk])

    def corners(**posted: str) -> list[str]:
        html = client.post(where, {**kept, **posted}).content.decode()
        return re.search(r"<textarea[^>]*>([^<]*)</textarea>", html)[1].split("\n")  # type: ignore[index]

    assert corners(do="add", **{"at.across": "21", "at.down": "15"})[2] == "21.00, 15.00"
    assert corners(do="add", point="1")[1] == "10.00, 0.00"
    assert len(corners(do="take", point="2")) == 3
    answer = client.post(where, {**kept, "do": "take", "point": "9"})
    assert "write a number from 1 to 4" in answer.content.decode()
