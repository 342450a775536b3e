"""The record on its page: stages kept as typed, the plan beside them, photos, remnants, later notes, a number."""

from __future__ import annotations

import io
import re
from copy import deepcopy
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from PIL import Image
from web.measuring.test_evidence_pages import RECORD, finished
from web.test_pages import CLOTH, FRAGMENT, Typed, head_tree, url

from clothwright.library import store
from clothwright.library.models import Project, ProjectPhoto

pytestmark = pytest.mark.django_db


@pytest.fixture
def stole() -> Project:
    return finished()


def page(client: Client, project: Project) -> str:
    response = client.get(url(project, "record"))
    assert response.status_code == 200
    return response.content.decode().replace("\u00a0", " ")


def typed(client: Client, project: Project, press: str = "", **changes: str) -> str:
    """Post the page's form as its script does, with some fields changed, or with a button pressed."""
    values = Typed(client.get(url(project, "record")).content.decode()).values
    changed = {name.replace("__", "."): value for name, value in changes.items()}
    sent = values | changed | ({"press": press} if press else {})
    return client.post(url(project, "record"), sent, **FRAGMENT).content.decode().replace("\u00a0", " ")


def photo(size: tuple[int, int] = (900, 600), name: str = "front.jpg", colour: str = "teal") -> SimpleUploadedFile:
    file = io.BytesIO()
    exif = Image.Exif()
    exif.get_ifd(0x8825)[1] = "N"
    exif[0x010F] = "Kelp Cameras"
    Image.new("RGB", size, colour).save(file, "JPEG", exif=exif)
    return SimpleUploadedFile(name, file.getvalue(), "image/jpeg")


def test_every_stage_is_on_the_page_with_the_plan_beside_it(client: Client, stole: Project) -> None:
    html = page(client, stole)
    for words in (
        "On the loom",
        "Off the loom",
        "Plan beside what came",
        "Loom waste ↕",
        "61 cm (24 in)",
        "forecasts at nine in ten",
        "What it taught",
        "narrower",
        "Still to complete: what is left of slate tide",
    ):
        assert words in html, words
    ids = Typed(html).ids
    assert sorted(ids) == sorted(set(ids))
    for described in re.findall(r'aria-describedby="([^"]+)"', html):
        assert {one for one in described.split() if not one.endswith("-help")} <= set(ids), described


def test_what_is_typed_is_kept_with_its_unit_and_the_page_answers_with_the_difference(
    client: Client, stole: Project
) -> None:
    fragment = typed(client, stole, record__waste="80", record__garment__weight="310")
    record = head_tree(stole)["record"]
    assert (record["waste"], record["garment"]) == ("80 cm", {"weight": "310 g"})
    assert "80 cm" in fragment
    assert "more than forecast" in fragment
    assert record["length"] == RECORD["length"]


def test_a_wrong_value_stays_with_its_sentence_and_nothing_else_is_lost(client: Client, stole: Project) -> None:
    fragment = typed(client, stole, record__warp_wound="a lot")
    assert "a lot" in fragment
    assert "Still to be settled" in fragment
    assert head_tree(stole)["record"]["warp_wound"] == "a lot"
    assert head_tree(stole)["record"]["ends"] == 110


def test_finishing_gives_a_day_and_a_number_once(client: Client) -> None:
    project = finished(day="")
    html = typed(client, project, press="finish")
    record = head_tree(project)["record"]
    assert re.fullmatch(r"\d{4}-001", record["number"])
    assert record["date"].startswith(record["number"][:4])
    assert f"<strong>{record['number']}</strong>" in html
    typed(client, project, press="number")
    assert head_tree(project)["record"]["number"] == record["number"]
    assert "Finished today" not in page(client, project)


def test_a_warp_put_on_as_planned_fills_blanks_only(client: Client) -> None:
    project = store.new_project(deepcopy(CLOTH) | {"record": {"ends": 99}}, "started")
    typed(client, project, press="planned")
    record = head_tree(project)["record"]
    assert record["ends"] == 99
    assert record["warp_wound"].endswith(" cm")
    assert "what you wrote stands" in typed(client, project, press="planned")


def test_what_was_measured_off_the_loom_fills_blanks_only(client: Client) -> None:
    measured = [
        {"state": "off the loom", "width": "34 cm", "length": "188 cm"},
        {"state": "finished", "width": {"start": "32.0 cm", "end": "31.4 cm"}, "length": "171 cm"},
    ]
    tree = deepcopy(CLOTH) | {"off_loom": measured, "record": {"length": {"finished": "170 cm"}}}
    project = store.new_project(tree, "started")
    typed(client, project, press="log")
    record = head_tree(project)["record"]
    assert record["width"] == {"off_loom": "34 cm", "finished": {"start": "32.0 cm", "end": "31.4 cm"}}
    assert record["length"] == {"off_loom": "188 cm", "finished": "170 cm"}


def test_what_is_typed_beside_a_button_is_kept_when_it_is_pressed(client: Client) -> None:
    project = finished(day="")
    typed(client, project, press="finish", record__waste="58 cm")
    assert head_tree(project)["record"]["waste"] == "58 cm"


# --- photos --------------------------------------------------------------------------------------------------------


def sent(client: Client, project: Project, upload: Any = None, **more: str) -> Any:
    data = {**more, **({"photo": upload} if upload else {})}
    return client.post(url(project, "add_record_photo"), data)


def test_a_photo_is_shown_small_with_its_words_and_without_its_place(client: Client, stole: Project) -> None:
    assert sent(client, stole, photo(), of="garment", shows="the stole & its fringe").status_code == 302
    html = page(client, stole)
    found = re.search(r'<img src="([^"]+)" alt="the stole &amp; its fringe"', html)
    assert found
    small = client.get(found[1])
    large = client.get(found[1].split("?")[0])
    assert Image.open(io.BytesIO(small.content)).size == (320, 213)
    assert Image.open(io.BytesIO(large.content)).size == (900, 600)
    for one in (small, large):
        assert one["Content-Type"] == "image/jpeg"
        assert b"Kelp Cameras" not in one.content
        assert not Image.open(io.BytesIO(one.content)).getexif()


def test_a_photo_of_the_weaving_stands_in_the_log_and_takes_the_page_s_unit(client: Client, stole: Project) -> None:
    sent(client, stole, photo(name="fell.jpg"), of="weaving", woven="120", shows="the fell")
    (entry,) = head_tree(stole)["log"]
    assert (entry["photo"], entry["woven"]) == ("fell.jpg", "120 cm")
    assert "The weaving, 120 cm woven: the fell" in page(client, stole)


@pytest.mark.parametrize(
    ("upload", "more", "words"),
    [
        (None, {"of": "garment"}, "no photo came"),
        (SimpleUploadedFile("a.jpg", b"GIF89a"), {"of": "garment"}, "is no picture that can be read"),
        (photo(), {"of": "weaving", "woven": "a bit"}, "a bit"),
    ],
)
def test_what_cannot_be_kept_is_said_and_what_was_typed_stays(
    client: Client, stole: Project, upload: Any, more: dict[str, str], words: str
) -> None:
    before = head_tree(stole)
    response = sent(client, stole, upload, shows="my words", **more)
    html = response.content.decode()
    assert response.status_code == 422
    assert words in html
    assert 'value="my words"' in html
    assert head_tree(stole) == before
    assert not ProjectPhoto.objects.exists()


def test_words_are_said_anew_and_a_photo_taken_out_leaves_its_neighbour(client: Client, stole: Project) -> None:
    for name, colour in (("a.jpg", "teal"), ("b.jpg", "navy")):
        sent(client, stole, photo(name=name, colour=colour), of="garment")
    assert "no words yet" in page(client, stole)
    address = reverse("photo_words", args=[stole.pk, 1])
    client.post(address, {"file": "b.jpg", "do": "say", "shows": "the back"})
    assert head_tree(stole)["record"]["photo"][1] == {"file": "b.jpg", "shows": "the back"}
    assert client.post(address, {"file": "a.jpg", "do": "take out"}).status_code == 404
    client.post(reverse("photo_words", args=[stole.pk, 0]), {"file": "a.jpg", "do": "take out"})
    assert [one["file"] for one in head_tree(stole)["record"]["photo"]] == ["b.jpg"]


def test_a_photo_of_another_project_is_not_to_be_had_here(client: Client, stole: Project) -> None:
    sent(client, stole, photo(), of="garment")
    sha256 = ProjectPhoto.objects.get().sha256
    other = finished("Kelp stole")
    assert client.get(reverse("project_photo", args=[other.pk, sha256])).status_code == 404


def test_a_photo_named_in_a_file_that_came_without_it_is_told(client: Client) -> None:
    project = finished(photo=[{"file": "front.jpg", "shows": "the front"}])
    assert "The picture “front.jpg” is not in this library" in page(client, project)


# --- later, remnants -----------------------------------------------------------------------------------------------


def note(client: Client, project: Project, **typed: str) -> Any:
    return client.post(url(project, "add_later"), {"day": "2026-05-01", "about": "wear", **typed})


def test_what_is_found_out_later_is_added_and_never_changed(client: Client, stole: Project) -> None:
    assert note(client, stole, says="pills <b>here</b>").status_code == 302
    note(client, stole, about="liked it", liked="yes", says="")
    note(client, stole, about="note", says="lint, no pills", corrects="1")
    html = page(client, stole)
    assert "<s>1 May 2026, wear: pills &lt;b&gt;here&lt;/b&gt;</s> (corrected later)" in html
    assert "1 May 2026, liked it" in html
    typed(client, stole, record__notes="another thing")
    assert [one.get("says", "") for one in head_tree(stole)["record"]["later"]] == [
        "pills <b>here</b>",
        "",
        "lint, no pills",
    ]


def test_a_note_that_cannot_be_read_is_said_and_stays_typed(client: Client, stole: Project) -> None:
    response = note(client, stole, day="in May", says="pills at the fold")
    html = response.content.decode()
    assert response.status_code == 422
    assert "write a day as year-month-day" in html
    assert "pills at the fold</textarea>" in html
    assert "later" not in head_tree(stole)["record"]


def test_a_remnant_is_measured_from_a_photograph(client: Client, stole: Project) -> None:
    """A triangle of 24 by 30 cm among marker strips: 360 cm², the largest rectangle half of it."""
    from pattern.photographed import BROWN, Shot, lay, lay_strip, photograph, table

    picture = table()
    lay(picture, [(36.0, 60.0), (60.0, 60.0), (36.0, 30.0)], BROWN)
    for strip, at in ((0, (22, 17)), (2, (34, 78))):
        lay_strip(picture, strip, at, 0)
    upload = SimpleUploadedFile("rest.jpg", photograph(picture, Shot(tilt_deg=20, noise=4)), "image/jpeg")
    sent = {"remnant": upload, "name": "end piece", "sheet": "markers"}
    assert client.post(url(stole, "measure_remnant"), sent).status_code == 302
    html = page(client, stole)
    area = float(re.search(r"end piece: (\d+) cm²", html)[1])  # type: ignore[index]
    assert area == pytest.approx(360, rel=0.02)
    assert "largest rectangle along the grain" in html


@pytest.mark.parametrize(
    ("content", "sheet"), [(b"", "markers"), (b"nothing of the kind", "markers"), (b"x", "a tablecloth")]
)
def test_a_photograph_that_measures_nothing_is_said(client: Client, stole: Project, content: bytes, sheet: str) -> None:
    upload = SimpleUploadedFile("rest.jpg", content, "image/jpeg")
    response = client.post(url(stole, "measure_remnant"), {"remnant": upload, "name": "end piece", "sheet": sheet})
    assert response.status_code == 422
    assert 'id="remnant-problem"' in response.content.decode()
    assert "remnant" not in head_tree(stole)["record"]


def test_without_a_plan_the_page_says_what_the_plan_waits_for(client: Client) -> None:
    tree = deepcopy(CLOTH) | {"record": RECORD}
    del tree["want"]
    html = page(client, store.new_project(tree, "started"))
    assert "There is no plan to stand beside it yet" in html
    assert "Nothing yet: the project cannot be planned as it stands" in html


def test_a_project_that_cannot_be_read_still_has_its_page(client: Client) -> None:
    project = finished(later="never", photo="front", remnant=[5], number="seven")
    html = page(client, project)
    assert "Still to be settled" in html
