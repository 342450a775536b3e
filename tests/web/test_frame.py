"""The frame of every page leaves a page its own words: what it names for itself hides nothing that a view gives."""

from __future__ import annotations

import re
from pathlib import Path

import clothwright.web

PAGES = Path(clothwright.web.__file__).parent / "templates" / "clothwright"
#: Phones have a frame of their own.
OTHER_FRAME = ("phone_base.html",)


def named_by_frame() -> set[str]:
    """What the frame names before it shows the page."""
    frame = (PAGES / "base.html").read_text(encoding="utf-8").split("{% block main %}")[0]
    return set(re.findall(r"\bas (\w+) %}", frame))


def from_its_view(text: str) -> set[str]:
    """The words a template uses that it has not named itself: by `as`, by `=`, or as what the loop that it stands in is at."""
    named = {*re.findall(r"\bas (\w+) %}", text), *re.findall(r"\b(\w+)=", text)}
    used: set[str] = set()
    loops: list[set[str]] = []
    for tag in re.findall(r"{[{%](.*?)[%}]}", text):
        loop = re.match(r" for ([\w, ]+) in (.*)", tag)
        said = re.sub(r"\"[^\"]*\"|'[^']*'", "", loop[2] if loop else tag)
        used |= set(re.findall(r"(?<![\w.|])([a-z_]\w*)", said)) - named.union(*loops)
        if loop:
            loops.append({name.strip() for name in loop[1].split(",")})
        elif tag.strip() == "endfor":
            loops.pop()
    return used


def test_what_the_frame_names_is_no_word_of_a_page() -> None:
    """A tag's answer stands in the page's context: one called `about` once took the place of what a record may be about."""
    assert len(named_by_frame()) >= 5
    for file in sorted(PAGES.glob("*.html")):
        if file.name not in ("base.html", *OTHER_FRAME):
            assert not named_by_frame() & from_its_view(file.read_text(encoding="utf-8")), file.name
