"""Phones of a project: the pages they open, the page they take along, and the entries that came from them."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from clothwright.library.loom.entries import entries
from clothwright.library.models import PhoneEntry, Project
from clothwright.project import ProblemsFound
from clothwright.web.answering import download
from clothwright.web.fetching import get_project, slug
from clothwright.web.phone.phone_entries import ALREADY, KEPT, REFUSED, TakenIn, read_batch, take_in
from clothwright.web.phone.phone_files import saved_page, worker_script
from clothwright.web.phone.phone_words import asked_language

_LARGEST_FILE: Final = 5_000_000
_NEWEST: Final = 200
_DOING: Final = {"winding": "wound", "threading": "threaded"}


@dataclass(frozen=True)
class ToldEntry:
    """An entry as the page lists it."""

    made_at: str
    phone: str
    what: str
    sentence: str


@require_safe
@never_cache
def worker(_request: HttpRequest) -> HttpResponse:
    """The worker that keeps pages on a phone; it stands beside them, since it may speak for what is below it only."""
    return HttpResponse(worker_script(), content_type="text/javascript; charset=utf-8")


@require_safe
@never_cache
def saved(request: HttpRequest, key: UUID) -> HttpResponse:
    """The page to take along, as a file, in the language asked for."""
    found = get_project(key)
    return download(
        saved_page(found, asked_language(request)).encode(),
        "text/html; charset=utf-8",
        f"take-to-the-loom-{slug(found)}.html",
    )


@require_safe
@never_cache
def certificate(_request: HttpRequest) -> HttpResponse:
    """The root that a phone is told to trust; it holds nothing secret."""
    if settings.PHONES_SERVED is None:
        raise Http404
    from clothwright.web.phone.phone_keys import root_as_der

    answer = HttpResponse(root_as_der(settings.PHONES_SERVED.keys), content_type="application/x-x509-ca-cert")
    answer["Content-Disposition"] = 'attachment; filename="clothwright.crt"'
    return answer


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """The ways to a phone and the entries that came; a post brings entries in from a file or as text."""
    found = get_project(key)
    if request.method != "POST":
        return _page(request, found)
    upload, text = request.FILES.get("file"), request.POST.get("text", "")
    try:
        batch = read_batch(upload.read(_LARGEST_FILE + 1) if upload else text, found)
    except ProblemsFound as wrong:
        return _page(request, found, problem=wrong.problems[0].sentence, text=text, status=422)
    taken = take_in(found, batch)
    return _page(request, found, taken=taken, text=text if taken.count(REFUSED) else "")


def _page(
    request: HttpRequest,
    found: Project,
    *,
    taken: TakenIn | None = None,
    problem: str = "",
    text: str = "",
    status: int = 200,
) -> HttpResponse:
    every = entries(found)
    context: dict[str, Any] = {
        "project": found,
        "problem": problem,
        "text": text,
        "taken": taken and _taken_words(taken),
        "sentences": taken.sentences if taken else (),
        "told": [told_entry(one) for one in reversed(every[-_NEWEST:])],
        "more": max(0, len(every) - _NEWEST),
        "served": None if request.is_secure() else _served(found),
        "here": request.build_absolute_uri(request.path),
    }
    return render(request, "clothwright/phones.html", context, status=status)


def _served(found: Project) -> dict[str, str] | None:
    """Where phones are served, with the code that leads to this project's page; shown on this machine only."""
    served = settings.PHONES_SERVED
    if served is None:
        return None
    return {
        "address": served.address,
        "word": served.word,
        "fingerprint": served.keys.fingerprint,
        "code": served.code_svg(reverse("phones", args=[found.pk])),
    }


def _taken_words(taken: TakenIn) -> str:
    words = {KEPT: "new", ALREADY: "here already", REFUSED: "refused"}
    return ", ".join(f"{taken.count(outcome)} {word}" for outcome, word in words.items())


def told_entry(entry: PhoneEntry) -> ToldEntry:
    """An entry in words; what cannot be understood of it is left out, and its sentence says why."""
    said = entry.content
    what = _WORDS[entry.kind](said) if entry.kind in _WORDS and not entry.sentence else entry.kind or "an entry"
    return ToldEntry(_when(str(said.get("made_at", ""))), entry.phone[:4], what, entry.sentence)


def _when(text: str) -> str:
    try:
        here = datetime.datetime.fromisoformat(text).astimezone()
    except ValueError:
        return "?"
    return f"{here.day} {here:%B %Y, %H:%M}"


def _tick_words(said: dict[str, Any]) -> str:
    done = _DOING[said["task"]]
    return f"ends {said['first']} to {said['last']} {done if said['ticked'] else f'not {done}'}"


def _count_words(said: dict[str, Any]) -> str:
    one, two = said["counted"]
    return f"counted {one} and {two} ends, {said['ticked']} ticked"


def _log_words(said: dict[str, Any]) -> str:
    row = said["row"]
    told = ", ".join(f"{name.replace('_', ' ')} {_plain(value)}" for name, value in row.items() if name != "corrects")
    return f"log: {told or 'taken back'}" + (" (a correction)" if told and row.get("corrects") else "")


def _plain(value: Any) -> str:
    if isinstance(value, dict):
        return " ".join(_plain(one) for one in value.values())
    return "; ".join(map(_plain, value)) if isinstance(value, list) else str(value)


def _way_words(said: dict[str, Any]) -> str:
    return f"took a way out: {said['way']['what']}"


_WORDS: Final = {"tick": _tick_words, "count": _count_words, "log": _log_words, "way": _way_words}
