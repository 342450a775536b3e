"""The guide as a site of plain files: every chapter a page, nothing asked from elsewhere, nothing that runs."""

from __future__ import annotations

import shutil
from importlib import resources
from pathlib import Path
from typing import Final

from django.template.loader import render_to_string

from clothwright import __version__
from clothwright.guide import Addresses, chapters
from clothwright.guide.rendering import PICTURES
from clothwright.guide.texts import given_along, root_of_texts
from clothwright.web.helping.pages import chapter_shown, contents_shown

_BESIDE: Final = Addresses(chapter=lambda slug: f"{slug}.html", picture=lambda name: f"pictures/{name}")
_STATIC: Final = ("notebook.css", "mark.svg")


def write_site(folder: Path) -> list[Path]:
    """Write the site into a folder and say which files it is; OSError where that cannot be done."""
    (folder / "pictures").mkdir(parents=True, exist_ok=True)
    pages = {"index.html": contents_shown(_BESIDE)} | {
        f"{one.slug}.html": chapter_shown(one, _BESIDE) for one in chapters()
    }
    for name, shown in pages.items():
        html = render_to_string("clothwright/guide_site.html", shown | {"version": __version__})
        (folder / name).write_text(html, encoding="utf-8")
    return [folder / name for name in pages] + _copied(folder)


def _copied(folder: Path) -> list[Path]:
    """The style, the mark and the pictures."""
    root, static = root_of_texts(), resources.files("clothwright.web") / "static/clothwright"
    for name in _STATIC:
        (folder / name).write_bytes((static / name).read_bytes())
    pictures = [name for name in given_along(root) if name.startswith(PICTURES)]
    for name in pictures:
        shutil.copyfile(root / name, folder / name.removeprefix("docs/"))
    return [folder / name for name in (*_STATIC, *(name.removeprefix("docs/") for name in pictures))]
