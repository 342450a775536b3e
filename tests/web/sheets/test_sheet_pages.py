"""Every sheet is printed from one page by its first page, and comes back by the code on it in the order in which it is printed."""

from __future__ import annotations

import io
import re
from html.parser import HTMLParser
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from PIL import Image
from pypdf import PdfReader

from clothwright.cli.planned import demo_file
from clothwright.library import store
from clothwright.library.files import read_project_file
from clothwright.library.models import Project
from clothwright.sheets import ASKED, BY_KIND, SHEETS
from clothwright.sheets.asked import paths
from clothwright.sheets.sampling.sample_card import about, picks, weights, words
from clothwright.web.forms.form import Form
from clothwright.web.sheets.sheet_pages import code_of
from clothwright.web.sheets.sheet_typing import table

pytestmark = pytest.mark.django_db
#: A test weaver's sheet is never blank, and is typed in a project of hers; the log and the threading have pages of their own.
TYPED_HERE = [
    sheet.kind for sheet in SHEETS if sheet.typed and sheet.kind not in ("loom-log", "threading", "test-weaver")
]


@pytest.fixture
def project() -> Project:
    tree, drawings = read_project_file(demo_file())
    return store.new_project(tree, "started", drawings=drawings)


def now(project: Project) -> dict[str, Any]:
    """What a project says now."""
    return store.head(store.project(project.pk)).tree


def text_of(content: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages).split())


class Links(HTMLParser):
    """The links and pictures of a page."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.links: list[str] = []
        self.pictures: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        if tag == "a":
            self.links.append(found.get("href") or "")
        if tag == "img":
            self.pictures.append(found.get("src") or "")


def test_the_picker_leads_to_every_way_to_print_every_sheet_and_all_of_them_answer(
    client: Client, project: Project
) -> None:
    """Where something is not settled it leads to the page that settles it; nothing is missing or breaks."""
    page = Links(client.get(reverse("sheets", args=[project.pk])).content.decode())
    papers = [link for link in page.links if ".pdf" in link]
    assert {kind for kind in BY_KIND if any(f"/{kind}.pdf" in link for link in papers)} == set(BY_KIND)
    expected = sum((2 if one.large else 1) * (one.filled + one.blank) for one in SHEETS)
    assert len(papers) == expected
    for link in papers:
        answer = client.get(link)
        assert answer.status_code in (200, 302), link
        assert answer.status_code == 302 or answer.content.startswith(b"%PDF")


def test_every_sheet_has_a_small_picture_of_its_first_page(client: Client, project: Project) -> None:
    page = Links(client.get(reverse("sheets", args=[project.pk])).content.decode())
    shown = [one for one in page.pictures if "/sheets/" in one]
    assert len(shown) == len(SHEETS)
    for one in shown:
        answer = client.get(one)
        if answer["Content-Type"] == "image/svg+xml":
            assert b"Not settled yet" in answer.content
            continue
        width, high = Image.open(io.BytesIO(answer.content)).size
        assert 200 < width < 3000, one
        assert high > 200


def test_sheets_of_no_project_are_printed_to_fill_in(client: Client) -> None:
    page = Links(client.get(reverse("all_sheets")).content.decode())
    kinds = [sheet.kind for sheet in SHEETS if sheet.blank]
    assert [one for one in kinds if f"/sheets/{one}.pdf" not in page.links] == []
    for kind in kinds:
        assert client.get(reverse("blank_sheet", args=[kind]), {"inches": "1"}).content.startswith(b"%PDF")
        assert client.get(reverse("blank_preview", args=[kind]))["Content-Type"] == "image/png"
    assert client.get(reverse("blank_sheet", args=["cutting"])).status_code == 404
    assert client.get(reverse("blank_preview", args=["cutting"])).status_code == 404
    assert client.get(reverse("blank_sheet", args=["nothing"])).status_code == 404


@pytest.mark.parametrize("kind", TYPED_HERE)
def test_a_sheet_names_its_code_and_address_and_both_open_its_form(client: Client, project: Project, kind: str) -> None:
    said = text_of(client.get(reverse("sheet", args=[project.pk, kind]), {"blank": "1"}).content)
    form = reverse("type_sheet", args=[project.pk, kind])
    assert f"http://testserver{form}" in re.sub(
        r"(?<=\S) (?=\S)", "", said.replace("\u200b", "")
    ) or form in said.replace(" ", "")
    code = code_of(project, BY_KIND[kind])
    assert code in said
    opened = client.get(reverse("all_sheets"), {"code": f" {code.upper()} "})
    assert (opened.status_code, opened["Location"]) == (302, form)
    assert client.get(form).status_code == 200


def test_a_code_without_a_project_asks_which_and_a_wrong_one_says_what_a_code_is(
    client: Client, project: Project
) -> None:
    asked = client.get(reverse("all_sheets"), {"code": "equipment"})
    assert reverse("type_sheet", args=[project.pk, "equipment"]) in asked.content.decode()
    wrong = client.get(reverse("all_sheets"), {"code": "driftwood 12"})
    assert wrong.status_code == 404
    assert "six letters" in wrong.content.decode()


@pytest.mark.parametrize("kind", sorted(ASKED))
def test_the_fields_of_a_form_stand_in_the_order_in_which_the_sheet_is_printed(project: Project, kind: str) -> None:
    tree = store.head(project).tree | {"record": {"left": [{"yarn": "limpet", "weight": "3 g"}]}}
    tree["record"]["remnant"] = [{"name": "strip", "width": "10 cm", "length": "60 cm"}]
    tree |= {
        "off_loom": [{"state": "finished", "length": "2 m"}],
        "finishing": {"done": [{"step": "soak"}]},
        "checked": [{"check": "grain"}],
        "core": [{"name": "cone", "weight": "20 g"}],
        "winder": [{"name": "board"}],
        "other_loom": [{"name": "table loom"}],
    }
    tree["yarn"] = tree["yarn"][:1]
    asked = [re.sub(r"\.\d+(?=\.|$)", ".*", bound.name) for bound in Form(tree, table=table(kind)).fields()]
    here = [path for path in paths(ASKED[kind]) if path in asked]
    assert [path for path in asked if path != "units"] == here
    beyond = set(paths(ASKED[kind])) - set(here)
    assert beyond <= {"yarn.*.grist", "pattern.size", "pattern.version", "want.width", "want.length"}


def test_a_test_weavers_sheet_opens_in_a_project_of_hers_alone(client: Client, project: Project) -> None:
    """The project of the leaflet leads to where such a project is begun."""
    form = reverse("type_sheet", args=[project.pk, "test-weaver"])
    assert client.get(form)["Location"] == reverse("leaflet", args=[project.pk]) + "#tests"
    hers = store.new_project(
        {"clothwright": 1, "record": {"weaver": "Ulva", "test_of": "Tideline vest: size M"}}, "begun"
    )
    said = client.get(reverse("type_sheet", args=[hers.pk, "test-weaver"])).content.decode()
    assert 'name="record.warp_wound"' in said
    assert "Photograph of the filled sheet" in said


def test_the_form_of_a_sample_card_has_the_order_of_the_card(project: Project) -> None:
    every = [
        re.sub(r"^sample\.\d+\.", "", one.name)
        for one in Form(store.head(project).tree, table=table("sample-card")).fields()
    ]
    for part in (about, picks, weights, words):
        on_card = [entry.path for entry in part(None) if entry.path in every]
        assert [path for path in every if path in on_card] == on_card
        assert on_card


def test_what_is_typed_from_a_sheet_is_the_projects(client: Client, project: Project) -> None:
    here = reverse("type_sheet", args=[project.pk, "equipment"])
    client.post(here, {"rev": str(store.head(project).number), "loom.waste": "52", "loom.name": "the window loom"})
    loom = now(project)["loom"]
    assert (loom["waste"], loom["name"]) == ("52 cm", "the window loom")
    assert loom["heddles"] == ["30/10 cm", "40/10 cm", "7.5/in"]
    client.post(here, {"do": "add core"})
    assert len(now(project)["core"]) == 1
    client.post(here, {"do": "undo"})
    assert not now(project).get("core")


def test_a_wrong_figure_is_kept_and_told_beside_its_box(client: Client, project: Project) -> None:
    here = reverse("type_sheet", args=[project.pk, "equipment"])
    client.post(here, {"rev": str(store.head(project).number), "loom.waste": "half a day"})
    said = client.get(here).content.decode()
    assert "half a day" in said
    assert "Still to be settled" in said


def test_a_photograph_stands_beside_the_fields_until_it_is_put_away(client: Client, project: Project) -> None:
    here, seen = (reverse(name, args=[project.pk, "project"]) for name in ("type_sheet", "typed_photo"))
    assert client.get(seen).status_code == 404
    png = io.BytesIO()
    Image.new("RGB", (60, 80), "white").save(png, "PNG")
    png.seek(0)
    png.name = "sheet.png"
    said = client.post(here, {"do": "look", "photo": png}).content.decode()
    assert seen in said
    assert client.get(seen)["Content-Type"] == "image/jpeg"
    bad = io.BytesIO(b"no picture")
    bad.name = "sheet.png"
    refused = client.post(here, {"do": "look", "photo": bad})
    assert refused.status_code == 422
    assert "no picture that can be read" in refused.content.decode()
    assert client.post(here, {"do": "look"}).status_code == 422
    assert seen not in client.post(here, {"do": "away"}).content.decode()
    assert client.get(seen).status_code == 404


def test_what_is_not_there_is_told(client: Client, project: Project) -> None:
    for address in (
        reverse("sheets", args=[uuid4()]),
        reverse("sheet", args=[project.pk, "nothing"]),
        reverse("type_sheet", args=[project.pk, "cutting"]),
        reverse("type_sheet", args=[project.pk, "threading"]),
        reverse("sheet_preview", args=[project.pk, "nothing"]),
    ):
        assert client.get(address).status_code == 404
