"""A text of the guide as HTML and as plain sections.

Headings get the anchors that links within `docs/` already use: small letters, words joined by hyphens. Links from text to text become
addresses given by the caller; a link to a file that is no chapter becomes the name of the file, since it does not lead anywhere from here.
HTML written into a text is shown, never let through. Tables and code can be scrolled by keyboard where they are wider than the page.
"""

from __future__ import annotations

import posixpath
import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import Final

from markdown_it import MarkdownIt
from markdown_it.common.utils import escapeHtml
from markdown_it.token import Token

from clothwright.guide.chapters import FOR_WORKERS, Chapter, chapters
from clothwright.guide.texts import text_of

PICTURES: Final = "docs/pictures/"


@dataclass(frozen=True)
class Addresses:
    """How a chapter and a picture are reached: in the program, or beside a page of the built site."""

    chapter: Callable[[str], str]
    picture: Callable[[str], str]


@dataclass(frozen=True)
class Section:
    """A heading of a chapter with the plain words below it; the chapter's own heading has no anchor."""

    anchor: str
    title: str
    text: str


@dataclass(frozen=True)
class Heading:
    """A second-rank heading of a chapter, for its own table of contents."""

    anchor: str
    title: str


@cache
def html_of(chapter: Chapter, to: Addresses) -> str:
    """A chapter as HTML, its own heading first; what is for who works on the program last, folded."""
    mine, others = _told_apart(_read(text_of(chapter.text)), chapter)
    html, folded = (_rendered(_reached(tokens, chapter, to)) for tokens in (mine, others))
    if not folded:
        return html
    return f'{html}<details class="for-workers"><summary>{FOR_WORKERS}</summary>\n{folded}</details>\n'


def _rendered(tokens: Iterable[Token]) -> str:
    return str(_markdown().renderer.render(list(tokens), _markdown().options, {}))


@cache
def headings_of(chapter: Chapter) -> tuple[Heading, ...]:
    """Its second-rank headings, without those for who works on the program."""
    tokens, _ = _told_apart(_read(text_of(chapter.text)), chapter)
    return tuple(
        Heading(str(one.attrs["id"]), _plain(tokens[place + 1]))
        for place, one in enumerate(tokens)
        if one.type == "heading_open" and one.tag == "h2"
    )


def _told_apart(tokens: list[Token], chapter: Chapter) -> tuple[list[Token], list[Token]]:
    """The tokens of the sections for weavers, and those for who works on the program."""
    mine: list[Token] = []
    others: list[Token] = []
    now = mine
    for place, token in enumerate(tokens):
        if token.type == "heading_open" and token.tag == "h2":
            now = others if _plain(tokens[place + 1]) in chapter.for_workers else mine
        now.append(token)
    return mine, others


@cache
def sections_of(chapter: Chapter) -> tuple[Section, ...]:
    """A chapter's sections as plain text, in order; commands with them, examples of files and answers without."""
    found: list[tuple[str, str, list[str]]] = []
    opened = ""
    for token in _read(text_of(chapter.text)):
        if token.type == "heading_open":
            opened = "" if token.tag == "h1" else str(token.attrs["id"])
            found.append((opened, "", []))
        elif token.type == "inline" and found and not found[-1][1]:
            found[-1] = (found[-1][0], _plain(token), [])
        elif found and (token.type in ("inline", "code_block") or (token.type == "fence" and not token.info)):
            found[-1][2].append(_plain(token))
    return tuple(Section(anchor, title, " ".join(" ".join(texts).split())) for anchor, title, texts in found)


@cache
def _markdown() -> MarkdownIt:
    """The reader: CommonMark and tables, no HTML."""
    return MarkdownIt("commonmark", {"html": False}).enable("table")


def _read(text: str) -> list[Token]:
    """The tokens of a text, each heading with its anchor."""
    tokens = _markdown().parse(text)
    taken: dict[str, int] = {}
    for place, token in enumerate(tokens):
        if token.type == "heading_open":
            token.attrSet("id", _anchor(_plain(tokens[place + 1]), taken))
    return tokens


def _anchor(title: str, taken: dict[str, int]) -> str:
    """Small letters, hyphens for blanks, nothing else; a second one of a name is numbered."""
    plain = re.sub(r"[^\w\- ]", "", title.lower()).replace(" ", "-")
    taken[plain] = taken.get(plain, -1) + 1
    return f"{plain}-{taken[plain]}" if taken[plain] else plain


def _plain(token: Token) -> str:
    """The words of a token without their marks."""
    if token.children is None:
        return token.content
    return "".join(" " if one.type.endswith("break") else one.content for one in token.children)


def _reached(tokens: list[Token], chapter: Chapter, to: Addresses) -> Iterator[Token]:
    """The tokens with links and pictures that lead somewhere from where they are shown, and what is wide to be scrolled."""
    called: Counter[str] = Counter()
    for place, token in enumerate(tokens):
        if token.type in ("fence", "code_block"):
            yield _html(f'<pre tabindex="0"><code>{escapeHtml(token.content)}</code></pre>\n')
            continue
        if token.children:
            token.children = list(_links(token.children, chapter, to))
        if str(token.attrs.pop("style", "")).endswith("right"):
            token.attrSet("class", "figure")
        if token.type == "table_open":
            called[head := _headed(tokens, place)] += 1
            name = escapeHtml(head if called[head] == 1 else f"{head}, {called[head]}")
            yield _html(f'<div class="scroll" tabindex="0" role="region" aria-label="{name}">\n')
        yield token
        if token.type == "table_close":
            yield _html("</div>\n")


def _headed(tokens: list[Token], place: int) -> str:
    """What a table is called to who cannot see it: its first heading that says something."""
    heads = (_plain(one).strip() for one in tokens[place:] if one.type == "inline")
    return f"Table: {next(filter(None, heads), 'rows')}"


def _html(content: str) -> Token:
    return Token("html_block", "", 0, content=content)


def _links(tokens: Iterable[Token], chapter: Chapter, to: Addresses) -> Iterator[Token]:
    dropped = False
    for token in tokens:
        if token.type == "link_close" and dropped:
            dropped = False
            continue
        if token.type == "image":
            token.attrSet("src", to.picture(_target(str(token.attrs["src"]), chapter).removeprefix(PICTURES)))
            token.attrSet("loading", "lazy")
        if token.type == "link_open":
            address = _address(str(token.attrs["href"]), chapter, to)
            if address is None:
                dropped = True
                continue
            token.attrSet("href", address)
        yield token


def _address(href: str, chapter: Chapter, to: Addresses) -> str | None:
    """Where a link leads from here; None where it leads to a file that is no chapter."""
    if href.startswith(("https://", "http://", "mailto:", "#")):
        return href
    target, _, anchor = _target(href, chapter).partition("#")
    found = next((one for one in chapters() if one.text == target), None)
    return None if found is None else to.chapter(found.slug) + (f"#{anchor}" if anchor else "")


def _target(href: str, chapter: Chapter) -> str:
    """A link as a name from the root of the source."""
    return posixpath.normpath(posixpath.join(posixpath.dirname(chapter.text), href))
