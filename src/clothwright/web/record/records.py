"""All records: found by yarn, fibre, sett, structure, width, garment, verdict and words; opened by number; labels of those found."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, replace
from functools import partial
from typing import Any, Final
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from clothwright.cloth import structures
from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.library.record import project_photos, record_numbers
from clothwright.library.record.label_address import keep_typed_address, label_address, typed_address
from clothwright.project import ProblemsFound
from clothwright.project.parts.record_parts import LIKED
from clothwright.project.record.record_search import RecordAsked, RecordSaid, is_found, read_asked, said_of
from clothwright.sheets import label_of, labels_pdf, record_words
from clothwright.web import planned
from clothwright.web.answering import on_paper
from clothwright.web.latest import Latest
from clothwright.web.showing import is_imperial

ASKED: Final = ("words", "yarn", "fibre", "sett", "structure", "width", "garment", "liked")
_LONGEST: Final = 200
_MOST_COPIES: Final = 20
_said: Final = Latest[RecordSaid | None](4096)


@dataclass(frozen=True)
class Kept:
    """A record in the library: its project, its revision, and what it can be found by."""

    project: Project
    revision: Revision
    said: RecordSaid


def every_record() -> list[Kept]:
    """Every project that has a record, put away or not, with the number the library knows, the latest finished first."""
    numbers = record_numbers.every_number()
    found = []
    for project in Project.objects.select_related("head").exclude(head=None):
        revision = store.head(project)
        if not _has_record(revision.tree) or (said := _said_of(revision)) is None:
            continue
        number = numbers.get(project.pk)
        found.append(Kept(project, revision, replace(said, number=record_numbers.words(number) if number else "")))
    return sorted(found, key=lambda one: (not one.said.day, one.said.day, one.said.number), reverse=True)


def _has_record(tree: dict[str, Any]) -> bool:
    record = tree.get("record")
    return isinstance(record, dict) and any(record.values())


def _said_of(revision: Revision) -> RecordSaid | None:
    """What a revision's record can be found by, read once; by its name alone where it cannot be read as it stands."""
    return _said.made(revision.pk, partial(_read_of, revision))


def _read_of(revision: Revision) -> RecordSaid:
    try:
        return said_of(planned.document(revision))
    except ProblemsFound:
        name = store.shown_name(revision.tree)
        return RecordSaid("", name, "", (), (), "", None, None, None, "", "", "", name.casefold())


@require_safe
@never_cache
def page(request: HttpRequest) -> HttpResponse:
    """The records found by what is asked; all, where nothing is."""
    return _page(request)


def _page(request: HttpRequest, status: int = 200, **more: Any) -> HttpResponse:
    typed = _typed(request)
    asked, problems = _asked(typed)
    records = [one for one in every_record() if asked and is_found(one.said, asked)]
    context = {
        "typed": typed,
        "problems": problems,
        "asked": any(typed.values()),
        "records": [_shown(one) for one in records],
        "query": urlencode({name: text for name, text in typed.items() if text}),
        "numbered": sum(bool(one.said.number) for one in records),
        "structures": [one.name for one in structures()],
        "liked": [(one, record_words.LIKED_WORDS[one]) for one in LIKED],
        "address": label_address(),
        "typed_address": typed_address(),
        "address_changed": "was" in request.GET,
        "address_was": request.GET.get("was", "")[:_LONGEST],
        **more,
    }
    return render(request, "clothwright/records.html", context, status=status)


def _typed(request: HttpRequest) -> dict[str, str]:
    return {name: request.GET.get(name, "").replace("\0", "").strip()[:_LONGEST] for name in ASKED}


def _asked(typed: dict[str, str]) -> tuple[RecordAsked | None, dict[str, str]]:
    """What is looked for, or a sentence for each field that cannot be read."""
    try:
        return read_asked(typed), {}
    except ProblemsFound as wrong:
        return None, {str(one.path[0]): one.sentence for one in wrong.problems}


def _shown(one: Kept) -> dict[str, Any]:
    return {
        "project": one.project,
        "said": one.said,
        "lines": record_words.short_of(one.said, imperial=is_imperial(one.revision)),
        "day": record_words.in_words(one.said.day) if one.said.day else "",
        "photo": _first_photo(one),
    }


def _first_photo(one: Kept) -> dict[str, Any] | None:
    """The first photo of the garment that is here, with its words."""
    record = one.revision.tree.get("record")
    named = record.get("photo") if isinstance(record, dict) else None
    if not isinstance(named, list) or not named:
        return None
    kept = project_photos.photos_of(one.project)
    for photo in named:
        if isinstance(photo, dict) and photo.get("file") in kept:
            return {"kept": kept[photo["file"]], "shows": photo.get("shows") or one.said.name}
    return None


@require_safe
@never_cache
def by_number(request: HttpRequest, number: str) -> HttpResponse:
    """The record of a number, as its label's code asks; where another garment had it in another library too, both are offered."""
    try:
        found = record_numbers.of_number(number)
    except ValueError as wrong:
        return _nothing(request, str(wrong))
    if not found:
        return _nothing(request, f"no record here has the number {number}")
    if len(found) == 1:
        return redirect("record", key=found[0].project_id)
    offered = [(record_numbers.words(one), one.before, one.project) for one in found]
    return render(request, "clothwright/records_of_number.html", {"number": number, "offered": offered})


def _nothing(request: HttpRequest, why: str) -> HttpResponse:
    context = {"title": "There is no such record", "text": f"{why[0].upper()}{why[1:]}."}
    return render(request, "clothwright/message.html", context, status=404)


@require_safe
@never_cache
def labels(request: HttpRequest) -> HttpResponse:
    """Labels of the records found that have a number, on paper."""
    asked, _ = _asked(_typed(request))
    chosen = [one for one in every_record() if asked and one.said.number and is_found(one.said, asked)]
    imperial = any(is_imperial(one.revision) for one in chosen[:1])
    today = datetime.datetime.now().astimezone().date()
    try:
        made = [label_of(one.said, label_address(), imperial=is_imperial(one.revision)) for one in chosen]
        large = "large" in request.GET
        paper = labels_pdf(made, copies=_copies(request), imperial=imperial, made_on=today, large_print=large)
    except ProblemsFound as wrong:
        return _page(request, status=422, label_problem=" ".join(one.sentence for one in wrong.problems))
    return on_paper(paper, "labels")


def _copies(request: HttpRequest) -> int:
    text = request.GET.get("copies", "1")
    return max(1, min(_MOST_COPIES, int(text))) if text.isascii() and text.isdecimal() else 1


@require_POST
def address(request: HttpRequest) -> HttpResponse:
    """Keep the address that labels lead to."""
    typed, was = request.POST.get("address", ""), typed_address()
    try:
        keep_typed_address(typed)
    except ProblemsFound as wrong:
        return _page(request, status=422, address_problem=wrong.problems[0].sentence, typed_address=typed[:_LONGEST])
    return redirect(
        f"{reverse('records')}?{urlencode({'was': was})}#label-address" if was != typed_address() else "records"
    )
