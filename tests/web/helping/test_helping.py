"""Help on the pages: every page leads to its chapter, help stands beside the fields that are hard, the guide is a site by itself."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from commands import typed
from django.test import Client
from django.urls import reverse
from web.every_route import Shore, routes
from web.test_every_route import Inline

from clothwright.guide import Addresses, by_slug, chapters, html_of
from clothwright.guide.texts import root_of_texts
from clothwright.sheets.pictures.helping import HELP_PICTURES
from clothwright.web.forms.fields import SECTIONS
from clothwright.web.helping.about import WITHOUT, address_parts, chapter_about, every_chapter_named
from clothwright.web.helping.beside import every_help, help_beside
from clothwright.web.loom.log_fields import entry_table
from clothwright.web.reckoning.setts import field_table

pytestmark = pytest.mark.django_db


def place_exists(where: str) -> bool:
    parts = address_parts(where)
    if parts["chapter"] not in by_slug():
        return False
    here = Addresses(chapter=lambda slug: slug, picture=lambda name: name)
    html = html_of(by_slug()[parts["chapter"]], here)
    return not parts["anchor"] or f'id="{parts["anchor"][1:]}"' in html


def test_every_place_that_pages_and_fields_lead_to_is_in_the_guide() -> None:
    lost = [where for where in every_chapter_named() if not place_exists(where)]
    lost += [help.where for _, help in every_help() if not place_exists(help.where)]
    assert not lost


class _Match:
    """An address as it was understood."""

    def __init__(self, name: str, kind: str = "") -> None:
        self.url_name, self.kwargs = name, {"kind": kind} if kind else {}


def test_every_address_has_its_chapter_or_is_no_page_of_the_notebook() -> None:
    """Files are given as they are, and lead nowhere."""
    files = {name for name, _ in routes() if name in _FILES}
    for name, asked in routes():
        kinds = ("yarn", "loom", "sample") if "kind" in asked else ("",)
        found = [chapter_about(_Match(name, kind)) for kind in kinds]  # type: ignore[arg-type]
        assert all(found) or name in WITHOUT | files, f"say in web/helping/about.py which chapter is about “{name}”"


_FILES = frozenset(
    [
        "everything",
        "everything_mine",
        "copy_file",
        "export_yarn",
        "example_yarn",
        "thing_photo",
        "blank_sheet",
        "blank_preview",
        "sheet",
        "sheet_preview",
        "typed_photo",
        "cloth_image",
        "published_leaflet",
        "published_buyers_file",
        "buyers_file",
        "open_buyers_file",
        "class_file",
        "class_summary",
        "class_sheets",
        "class_sheet",
        "draft_file",
        "phone_worker",
        "phone_certificate",
        "phone_state",
        "phone_entries",
        "project_photo",
    ]
)


def test_every_page_leads_to_its_chapter_and_to_the_field_that_finds(client: Client) -> None:
    """Walked with a small library; a redirect or a file shows no page."""
    walked = 0
    for visit in Shore.made().visits:
        if "GET" not in visit.takes or visit.name in WITHOUT:
            continue
        answer = client.get(visit.path)
        if answer.status_code != 200 or not answer.headers["Content-Type"].startswith("text/html"):
            continue
        page = answer.content.decode()
        if "<!doctype html>" not in page:
            continue
        leads = re.search(r'class="about" href="/guide/([a-z-]+)/', page)
        assert leads, visit.path
        assert leads[1] in by_slug(), visit.path
        assert f'action="{reverse("find")}"' in page, visit.path
        walked += 1
    assert walked > 30


def paths(parts: Any) -> set[str]:
    found: set[str] = set()
    for part in parts:
        found |= {part.path} if hasattr(part, "label") else paths(part.parts)
    return found


def test_help_stands_beside_fields_that_there_are_and_in_the_first_row_alone() -> None:
    there = paths((*SECTIONS, *entry_table(["kelp"]).sections, *field_table((), ()).sections))
    assert {path for path, _ in every_help()} <= there
    assert help_beside(("yarn", 0, "wraps")) is help_beside(("yarn", 0, "wraps"))
    assert help_beside(("yarn", 1, "wraps")) is None
    assert help_beside(("yarn", 0, "name")) is None


def test_help_is_shown_with_its_drawing_and_its_words(client: Client) -> None:
    page = client.get(reverse("project", args=[Shore.made().project.pk])).content.decode()
    assert "How to count wraps" in page
    assert f'src="{reverse("guide_picture", args=["wraps.svg"])}" alt="Yarn wound round a ruler' in page
    assert f"{reverse('chapter', args=['sett'])}#two-scales-that-must-not-be-mixed" in page


def test_the_drawings_in_the_documents_are_those_that_the_code_draws() -> None:
    """`python tools/make_pictures.py` makes them anew."""
    for name, draw in HELP_PICTURES.items():
        kept = (root_of_texts() / f"docs/pictures/{name}.svg").read_text(encoding="utf-8")
        assert kept == draw().svg() + "\n", name


def test_pictures_and_chapters_that_are_not_there_are_no_pages(client: Client) -> None:
    for path in (
        "/guide/pictures/../house.md",
        "/guide/pictures/x.svg",
        "/guide/nowhere/",
        "/guide/pictures/..%2Fhouse.md",
    ):
        assert client.get(path).status_code == 404


def test_the_guide_is_a_site_whose_links_hold_and_which_asks_for_nothing_else(tmp_path: Path) -> None:
    """Every link and picture of every file is a file beside it, or leads elsewhere by https when it is pressed."""
    said = typed("guide", "-o", tmp_path / "site")
    assert said.returncode == 0, said.stderr
    site = tmp_path / "site"
    assert len(list(site.glob("*.html"))) == len(chapters()) + 1
    for page in site.glob("*.html"):
        html = page.read_text(encoding="utf-8")
        assert "default-src 'none'" in html
        assert not Inline(html).found, page.name
        for kind, link in re.findall(r'(href|src)="([^"]*)"', html):
            file, _, anchor = link.partition("#")
            if kind == "href" and link.startswith(("https://", "mailto:")):
                continue
            to = site / file if file else page
            assert to.is_file(), f"{page.name}: {link}"
            assert not anchor or f'id="{anchor}"' in to.read_text(encoding="utf-8"), f"{page.name}: {link}"
    assert "url(" not in (site / "notebook.css").read_text(encoding="utf-8")


def test_the_command_lists_and_shows_chapters() -> None:
    assert "first-cloth" in typed("guide").stdout
    assert typed("guide", "samples").stdout.startswith("# Samples\n")
    refused = typed("guide", "nowhere")
    assert refused.returncode == 2
    assert "there is no chapter “nowhere”" in refused.stderr
