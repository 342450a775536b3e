"""The texts of `docs/` as a guide: each has its place, every link in it leads somewhere, nothing written in it runs."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import markdown_it
import pytest

from clothwright.guide import Addresses, Chapter, by_slug, chapters, headings_of, html_of, parts, rendering, sections_of
from clothwright.guide.texts import given_along, root_of_texts

HERE = Addresses(chapter=lambda slug: f"/guide/{slug}/", picture=lambda name: f"/pictures/{name}")


class Page(HTMLParser):
    """The ids, links, pictures and regions of a page."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.links: list[str] = []
        self.pictures: list[dict[str, str]] = []
        self.tags: set[str] = set()
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self.tags.add(tag)
        self.ids += [given["id"]] if "id" in given else []
        self.links += [given["href"]] if "href" in given else []
        self.pictures += [given] if tag == "img" else []


@pytest.fixture(scope="module")
def pages() -> dict[str, Page]:
    return {one.slug: Page(html_of(one, HERE)) for one in chapters()}


def test_every_text_has_its_place_and_no_two_have_one() -> None:
    texts = [one.text for one in chapters()]
    assert sorted(texts) == sorted(set(texts))
    assert {name for name in given_along(root_of_texts()) if name.endswith(".md")} == set(texts)
    assert len(by_slug()) == len(texts)
    assert sum(len(rows) for _, rows in parts()) == len(texts)


def test_the_contents_stand_in_the_order_of_the_work() -> None:
    order = [one.slug for one in chapters()]
    work = "first-cloth yarn sett samples drawings layout forecast colours threading weaving finishing record sheets leaflet classes studio keeping"
    places = [order.index(slug) for slug in work.split()]
    assert places == sorted(places)


def test_every_link_holds_and_none_is_lost(pages: dict[str, Page]) -> None:
    """To the chapter and to its heading; elsewhere only by https."""
    followed = 0
    for slug, page in pages.items():
        for link in page.links:
            if link.startswith(("https://", "mailto:")):
                continue
            address, _, anchor = link.partition("#")
            found = re.fullmatch(r"/guide/([a-z-]+)/", address) if address else None
            assert found or not address, f"{slug}: {link}"
            to = pages[found[1]] if found else page
            assert not anchor or anchor in to.ids, f"{slug}: {link}"
            followed += 1
    assert followed > 60


def test_every_picture_is_there_and_says_what_it_shows(pages: dict[str, Page]) -> None:
    shown = [(slug, one) for slug, page in pages.items() for one in page.pictures]
    assert len(shown) >= 6
    for slug, one in shown:
        assert f"docs/{one['src'][1:]}" in given_along(root_of_texts()), slug
        assert len(one["alt"]) > 20, slug


def test_ids_are_told_apart_and_nothing_written_runs(pages: dict[str, Page]) -> None:
    for slug, page in pages.items():
        assert len(page.ids) == len(set(page.ids)), slug
        assert not page.tags & {"script", "style", "iframe", "svg", "form"}, slug
    assert "<script" not in rendering._rendered(rendering._read("# A\n\n<script>x()</script>\n\n[x](javascript:x)"))


def test_what_is_for_workers_stands_folded_at_the_end() -> None:
    """Every heading named in the table is in its text, and none of them is among the headings for weavers."""
    mixed = [one for one in chapters() if one.for_workers]
    assert len(mixed) >= 3
    for one in mixed:
        titles = {section.title for section in sections_of(one)}
        assert set(one.for_workers) <= titles, one.slug
        assert not {heading.title for heading in headings_of(one)} & set(one.for_workers)
        html = html_of(one, HERE)
        folded = html.index('<details class="for-workers">')
        assert all(html.index(f">{title}</h2>") > folded for title in one.for_workers)


def test_the_words_are_those_a_plain_reader_of_markdown_gives() -> None:
    """*Source*: markdown-it-py's own HTML, tags taken away, beside the sections that are searched (examples of files left out)."""
    one = Chapter("docs/samples.md", "", "")
    plain = markdown_it.MarkdownIt("commonmark").enable("table").render((root_of_texts() / one.text).read_text("utf-8"))
    words = re.sub(r"<[^>]+>", " ", plain).replace("&amp;", "&").replace("&quot;", '"').split()
    said = " ".join(f"{section.title} {section.text}" for section in sections_of(one)).split()
    assert len(said) > 300
    assert "".join(said) == "".join(words)
