"""The library of samples, and what a project's samples tell, through the pages."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from library.shelves.test_photos import picture
from web.test_pages import FRAGMENT, Typed

from clothwright.library import store
from clothwright.library.models import OnHand, Photo, Project
from clothwright.library.shelves import on_hand
from clothwright.library.shelves.on_hand import Kept, part_of
from clothwright.sheets.sampling.sample_card import about, picks, weights, words
from clothwright.web.forms.field import Field, Group, Part, Rows
from clothwright.web.forms.fields import SAMPLE_ALONE

pytestmark = pytest.mark.django_db

YARN: dict[str, Any] = {"name": "slate tide", "fibre": "wool", "wraps": "15/in", "grist": "310 m/100 g"}
SQUARE: dict[str, Any] = {
    "name": "tide square",
    "warp": "slate tide",
    "weft": "slate tide",
    "heddle": "30/10 cm",
    "width": {"in_heddle": "24 cm", "finished": "21.4 cm"},
    "length": {"on_loom": "30 cm", "finished": "27 cm"},
    "picks": {"count": 84, "over": "30 cm"},
    "hand": "drapes well, squeaky",
}
WANT = {"width": "44 cm", "length": "150 cm"}
DRAWING = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="40cm" height="60cm" viewBox="0 0 40 60">'
    b'<rect data-piece="before" x="1" y="1" width="24" height="30"/><rect data-piece="after" x="1" y="32" width="21" height="27"/></svg>'
)


@pytest.fixture
def sample() -> OnHand:
    return on_hand.add(Kept.SAMPLE, {"units": "metric", "yarn": [YARN, {}], "sample": [SQUARE]}, "typed in")


@pytest.fixture
def project() -> Project:
    tree = {
        "clothwright": 1, "name": "Saltmarsh trial", "yarn": [YARN | {"balls": [{"net": "400 g"}]}],
        "loom": {"heddles": ["30/10 cm", "40/10 cm"], "waste": "50 cm"}, "cloth": {"heddle": "30/10 cm"}, "want": WANT, "sample": [SQUARE],
    }  # fmt: skip
    return store.new_project(tree, "started")


def url(one: OnHand, name: str = "thing", **more: Any) -> str:
    return reverse(name, kwargs={"kind": Kept.SAMPLE, "key": one.pk, **more})


def part(one: OnHand) -> dict[str, Any]:
    return part_of(on_hand.head(on_hand.find(Kept.SAMPLE, one.pk)).tree, Kept.SAMPLE)


def get(client: Client, address: str) -> str:
    response = client.get(address)
    assert response.status_code == 200
    return response.content.decode()


def test_a_sample_is_typed_in_from_its_name_on_and_says_what_is_missing(client: Client) -> None:
    assert "No sample yet" in get(client, "/samples/")
    response = client.post("/samples/new/", {"name": "ebb square"}, follow=True)
    said = response.content.decode()
    assert "ebb square" in said
    assert "Still to be settled" in said


def test_what_is_typed_is_saved_as_typed_with_the_field_s_unit(client: Client, sample: OnHand) -> None:
    values = Typed(get(client, url(sample))).values | {
        "sample.0.width.off_loom": "9 in",
        "sample.0.length.off_loom": "28.5",
        "sample.0.hand": "stiff",
    }
    said = client.post(url(sample), values, **FRAGMENT).content.decode()
    assert part(sample)["width"]["off_loom"] == "9 in"
    assert part(sample)["length"]["off_loom"] == "28.5 cm"
    assert "in the hand: stiff" in said.lower()


def test_the_page_tells_sett_ratios_and_words_not_used(client: Client, sample: OnHand) -> None:
    said = get(client, url(sample))
    for words_ in ("The sett is right", "squeaky", "of the width in the heddle", "10.8", "commonly sold"):
        assert words_ in said.replace("\u00a0", " ")


def test_the_yarn_of_a_sample_needs_no_balls_and_a_second_is_the_weft(client: Client, sample: OnHand) -> None:
    values = Typed(get(client, url(sample))).values | {"yarn.1.name": "kelp", "yarn.1.fibre": "cotton"}
    client.post(url(sample), values, **FRAGMENT)
    tree = on_hand.head(on_hand.find(Kept.SAMPLE, sample.pk)).tree
    assert [one.get("name") for one in tree["yarn"]] == ["slate tide", "kelp"]
    assert '<option value="kelp"' in get(client, url(sample))


def test_corners_and_parts_are_rows_that_can_be_added(client: Client, sample: OnHand) -> None:
    values = Typed(get(client, url(sample))).values
    for row in ("sample.0.traced.finished", "sample.0.parts"):
        response = client.post(url(sample), values | {"do": f"add {row}"})
        assert response.status_code == 303
        values = Typed(get(client, url(sample))).values
    assert "sample.0.traced.finished.0.across" in values
    assert "sample.0.parts.0.before.width" in values


def test_a_drawing_of_its_outlines_becomes_corners_and_a_picture(client: Client, sample: OnHand) -> None:
    upload = SimpleUploadedFile("square.svg", DRAWING, "image/svg+xml")
    client.post(url(sample, "read_outline"), {"outline": upload})
    assert (
        part(sample)["traced"]["finished"][1] == {"across": "21.000 cm", "along": "0.000 cm"}
        or len(part(sample)["traced"]["finished"]) == 4
    )
    said = get(client, url(sample))
    assert "cw-outline-finished" in said
    assert "cw-outline-before" in said


def test_a_drawing_that_shows_no_sample_is_refused_beside_its_field(client: Client, sample: OnHand) -> None:
    upload = SimpleUploadedFile("odd.svg", DRAWING.replace(b"before", b"sleeve"), "image/svg+xml")
    response = client.post(url(sample, "read_outline"), {"outline": upload})
    assert response.status_code == 422
    assert "call the outlines" in response.content.decode()
    assert "traced" not in part(sample)


def test_a_photo_is_shown_from_here_as_a_plain_jpeg_and_named_in_the_sample(client: Client, sample: OnHand) -> None:
    response = client.post(
        url(sample, "add_photo"), {"photo": SimpleUploadedFile("tide.jpg", picture(), "image/jpeg")}, follow=True
    )
    assert response.status_code == 200
    kept = Photo.objects.get(of=sample)
    shown = client.get(url(sample, "thing_photo", number=kept.pk))
    assert shown["Content-Type"] == "image/jpeg"
    assert shown["X-Content-Type-Options"] == "nosniff"
    assert shown.content.startswith(b"\xff\xd8")
    assert b"Kelp Cameras" not in shown.content
    assert part(sample)["photos"] == ["tide.jpg"]
    assert url(sample, "thing_photo", number=kept.pk) in get(client, "/samples/")


@pytest.mark.parametrize("upload", [SimpleUploadedFile("a.jpg", b"nothing"), None])
def test_what_is_no_photo_is_told_and_loses_nothing(
    client: Client, sample: OnHand, upload: SimpleUploadedFile | None
) -> None:
    response = client.post(url(sample, "add_photo"), {"photo": upload} if upload else {})
    assert response.status_code == 422
    assert "photos are JPEG, PNG or WebP" in response.content.decode()
    assert part(sample) == SQUARE


def test_a_photo_of_another_sample_is_not_there(client: Client, sample: OnHand) -> None:
    other = on_hand.add(Kept.SAMPLE, {"sample": [{"name": "other"}]}, "typed in")
    kept = Photo.objects.create(of=other, name="x", sha256="1", content=b"x", width=1, height=1)
    assert client.get(url(sample, "thing_photo", number=kept.pk)).status_code == 404


def test_samples_are_searched_by_yarn_sett_and_structure(client: Client, sample: OnHand) -> None:
    for query, there in (
        ("yarn=slate", True),
        ("yarn=kelp", False),
        ("sett=3/cm", True),
        ("sett=40/10+cm", False),
        ("structure=twill+2/2", False),
    ):
        assert ("tide square" in get(client, f"/samples/?{query}")) is there
    odd = get(client, "/samples/?sett=close")
    assert "tide square" in odd
    assert "“close”" in odd


def test_a_sample_is_taken_into_a_project_with_its_yarn(client: Client, sample: OnHand) -> None:
    project = store.new_project({"name": "bare", "yarn": [{"name": "kelp", "balls": [{}]}], "sample": [{}]}, "started")
    here = reverse("project", args=[project.pk])
    values = Typed(get(client, here)).values | {"take_sample": str(sample.pk), "do": "take sample"}
    client.post(here, values)
    tree = store.head(store.project(project.pk)).tree
    assert tree["sample"] == [SQUARE]
    assert tree["yarn"][1] == YARN | {"use": "only sampled"}


def test_a_project_s_sample_is_kept_in_the_library_once(client: Client, project: Project) -> None:
    here = reverse("project", args=[project.pk])
    said = ""
    for _ in range(2):
        values = Typed(get(client, here)).values | {"keep_sample": "0", "do": "keep sample"}
        said = client.post(here, values).content.decode()
    assert "in the library already, word for word" in said
    (one,) = on_hand.listed(Kept.SAMPLE)
    assert part(one) == SQUARE
    assert on_hand.head(one).tree["yarn"] == [YARN]
    assert "there already, word for word" in get(client, here)


def test_a_sample_traced_by_a_drawing_is_kept_with_its_corners(client: Client, project: Project) -> None:
    tree = store.head(project).tree | {"sample": [SQUARE | {"traced": {"drawing": "square.svg"}}]}
    store.save_drawing(project, "square.svg", DRAWING, tree, "drawing")
    here = reverse("project", args=[project.pk])
    client.post(here, Typed(get(client, here)).values | {"keep_sample": "0", "do": "keep sample"})
    (one,) = on_hand.listed(Kept.SAMPLE)
    assert set(part(one)["traced"]) == {"off_loom", "finished"}
    now = store.head(store.project(project.pk)).tree["sample"][0]
    assert on_hand.same_samples(now, on_hand.every_sample()) == [one]


@pytest.mark.parametrize("number", ["7", "x", "-1"])
def test_a_sample_that_is_not_there_cannot_be_kept(client: Client, project: Project, number: str) -> None:
    here = reverse("project", args=[project.pk])
    values = Typed(get(client, here)).values | {"keep_sample": number, "do": "keep sample"}
    assert client.post(here, values).status_code == 400
    assert not on_hand.listed(Kept.SAMPLE)


def test_the_plan_shows_the_two_widths_beside_the_forecast(client: Client, project: Project) -> None:
    said = get(client, reverse("project", args=[project.pk])).replace("\u00a0", " ")
    for words_ in (
        "What your samples support",
        "At the same share",
        "At the same loss in cm",
        "As forecast",
        "Tide square supports",
    ):
        assert words_ in said


def test_what_the_samples_tell_has_a_page_with_conflicts_and_papers(client: Client, project: Project) -> None:
    other = SQUARE | {"name": "ebb square", "width": {"in_heddle": "24 cm", "finished": "18.4 cm"}}
    store.change(project, store.head(project).tree | {"sample": [SQUARE, other]}, "second")
    said = get(client, reverse("samples_told", args=[project.pk]))
    assert "tide square and ebb square are of the same yarn" in said
    for kind in ("sample-card", "sett-comparison"):
        response = client.get(reverse("sheet", args=[project.pk, kind]))
        assert response["Content-Type"] == "application/pdf"
        assert response.content.startswith(b"%PDF")


def test_a_project_that_is_not_settled_says_so_on_that_page(client: Client) -> None:
    project = store.new_project({"name": "bare", "sample": [{"name": "x", "width": {"finished": "wide"}}]}, "started")
    said = get(client, reverse("samples_told", args=[project.pk]))
    assert "Still to be settled" in said
    assert client.get(reverse("sheet", args=[project.pk, "sample-card"])).status_code == 302


def paths(parts: tuple[Part, ...]) -> list[str]:
    found: list[str] = []
    for one in parts:
        if isinstance(one, Field):
            found.append(one.path.removeprefix("sample.*."))
        elif isinstance(one, Group | Rows):
            found += paths(one.parts)
    return found


def test_the_card_asks_in_the_order_of_the_form() -> None:
    """Every box of the card that stands for a field comes in the form's order, and none of the form is left out but what is not woven."""
    form = [
        one for one in paths(SAMPLE_ALONE.parts) if one not in ("units", "traced.drawing", "parts.*.notes", "set_aside")
    ]
    boxes = [one.path for entries in (about(None), picks(None), weights(None), words(None)) for one in entries]
    in_tables = ("width.", "length.", "traced.", "parts.")
    assert [one for one in form if not one.startswith(in_tables)] == boxes
    kinds = list(dict.fromkeys(next((table for table in in_tables if one.startswith(table)), "") for one in form))
    assert kinds == ["", "width.", "length.", "traced.", "parts."]
