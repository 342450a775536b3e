"""The guide inside the program: its table of contents, its chapters, its pictures."""

from __future__ import annotations

import mimetypes
from typing import Any, Final

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from clothwright.guide import FOR_WORKERS, Addresses, Chapter, by_slug, chapters, headings_of, html_of, parts
from clothwright.guide.rendering import PICTURES
from clothwright.guide.texts import given_along, root_of_texts

_HERE: Final = Addresses(
    chapter=lambda slug: reverse("chapter", args=[slug]), picture=lambda name: reverse("guide_picture", args=[name])
)


@require_safe
def contents(request: HttpRequest) -> HttpResponse:
    """Every chapter in the order of the work."""
    return render(request, "clothwright/guide.html", contents_shown(_HERE))


@require_safe
def chapter(request: HttpRequest, chapter: str) -> HttpResponse:
    """A chapter, with the way to its sections and to the others."""
    if (found := by_slug().get(chapter)) is None:
        raise Http404
    return render(request, "clothwright/guide_chapter.html", chapter_shown(found, _HERE))


@require_safe
def picture(_request: HttpRequest, picture: str) -> HttpResponse:
    """A picture of the guide."""
    root = root_of_texts()
    if PICTURES + picture not in given_along(root):
        raise Http404
    kind = mimetypes.guess_type(picture)[0] or "application/octet-stream"
    answer = HttpResponse((root / PICTURES / picture).read_bytes(), content_type=kind)
    answer["Cache-Control"] = "max-age=3600"
    return answer


def contents_shown(to: Addresses) -> dict[str, Any]:
    """The table of contents, its addresses as given."""
    shown = [{"name": name, "chapters": [_entry(one, to) for one in rows]} for name, rows in parts()]
    return {"parts": shown, "for_workers": FOR_WORKERS}


def chapter_shown(one: Chapter, to: Addresses) -> dict[str, Any]:
    """A chapter with its headings and its neighbours, its addresses as given."""
    every = chapters()
    place = every.index(one)
    return contents_shown(to) | {
        "chapter": one,
        "html": html_of(one, to),
        "headings": headings_of(one),
        "before": _entry(every[place - 1], to) if place else None,
        "after": _entry(every[place + 1], to) if place + 1 < len(every) else None,
    }


def _entry(one: Chapter, to: Addresses) -> dict[str, Any]:
    return {"chapter": one, "url": to.chapter(one.slug)}
