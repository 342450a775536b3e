"""The record of a project on a page of its own: stage by stage, the plan beside it, photos, later notes, number and label."""

from __future__ import annotations

import copy
import datetime
from collections.abc import Mapping
from functools import partial
from pathlib import PurePath
from typing import Any, Final
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clothwright.finishing import record_known
from clothwright.library import store
from clothwright.library.models import Project, ProjectPhoto
from clothwright.library.record import project_photos, record_notes, record_numbers
from clothwright.library.shelves.photos import LARGEST_PHOTO, written_anew
from clothwright.pattern.photographs.tracing import TracedBy
from clothwright.project import Problem, ProblemsFound
from clothwright.project.parts.record_parts import ABOUT, LIKED, LaterPart, RemnantPart, number_parts, number_words
from clothwright.sheets import record_words, remnant_outline_svg
from clothwright.sheets.wording import literal
from clothwright.weaving import filled_in
from clothwright.web import planned
from clothwright.web.answering import Shown, show
from clothwright.web.apart import read_apart
from clothwright.web.fetching import get_project
from clothwright.web.forms.form import FieldTable, Form, with_unit
from clothwright.web.forms.record_fields import STAGES
from clothwright.web.forms.typed import Tree, at, put, rows
from clothwright.web.forms.typed_page import PART, answered_as_typed, keep_typed, page_context
from clothwright.web.pattern.fit import pattern_key
from clothwright.web.record import record_told
from clothwright.web.record.came import finished_on

TABLE: Final = FieldTable(STAGES)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """The page; a post keeps what was typed, or does what a button says."""
    found = get_project(key)
    buttons = {verb: partial(_done, request, found, verb) for verb in _DOES}
    return answered_as_typed(request, found, TABLE, partial(shown, request, found), buttons)


def _done(request: HttpRequest, found: Project, verb: str, _name: str) -> HttpResponse:
    """Do what a button says, after keeping what was typed beside it."""
    keep_typed(request, found, ("save", ""), TABLE, lambda **_how: HttpResponse())
    try:
        _DOES[verb](store.project(found.pk))
    except ProblemsFound as wrong:
        said = " ".join(one.sentence for one in wrong.problems)
        return shown(request, store.project(found.pk), notice=said, whole=True)
    return shown(request, store.project(found.pk), whole=True)


def _finish(found: Project) -> None:
    """Finished today: the day, the state of the pattern, and the record's number."""
    revision = store.head(found)
    tree = copy.deepcopy(revision.tree)
    if not at(tree, ("record", "date")):
        put(tree, ("record", "date"), today().isoformat())
    put(tree, ("record", "pattern_state"), pattern_key(tree, store.drawings_of(revision)))
    record_numbers.with_number(found, tree, today())
    store.change(found, tree, "finished")


def _number(found: Project) -> None:
    record_numbers.give_number(found, today())


def _from_log(found: Project) -> None:
    """Fill what is blank of the record from the log, and from what was measured off the loom."""
    revision = store.head(found)
    _fill(found, record_known(planned.document(revision)), "from the log and the cloth")


def _as_planned(found: Project) -> None:
    """The warp was put on as planned, by the plan that was kept then: fill in what is blank of it."""
    revision = store.head(found)
    answer = planned.answer(revision)
    if answer.plan is None or answer.problems:
        raise ProblemsFound(*answer.problems)
    kept, warp = at(revision.tree, ("on_loom", "first_plan")), answer.plan.warp
    ends, wound = (at(kept, (name,)) for name in ("ends", "warp_length"))
    _fill(found, {("ends",): ends or warp.ends, ("warp_wound",): wound or f"{warp.length_cm:g} cm"}, "as planned")


def _fill(found: Project, values: Mapping[tuple[str, ...], Any], how: str) -> None:
    tree = store.head(found).tree
    before = tree.get("record")
    record, names = filled_in(before if isinstance(before, dict) else {}, values)
    if not names:
        raise ProblemsFound(Problem(("record",), f"Nothing was blank that is known {how}; what you wrote stands."))
    store.change(found, {**tree, "record": record}, f"filled in the record {how}: {', '.join(names)}")


_DOES: Final = {"finish": _finish, "number": _number, "log": _from_log, "planned": _as_planned}


def today() -> datetime.date:
    """The day by the clock of this machine."""
    return datetime.datetime.now().astimezone().date()


# --- showing -------------------------------------------------------------------------------------------------------


def shown(request: HttpRequest, found: Project, *, more: Tree | None = None, **how: Any) -> HttpResponse:
    """The page, or the part of it that a change of one field changes."""
    back = reverse("record", args=[found.pk])
    return show(request, Shown("record_page.html", PART, back, partial(_context, found, back, more or {})), **how)


def _context(found: Project, here: str, more: Tree) -> dict[str, Any]:
    revision = store.head(found)
    told = record_told.context(revision)
    form = Form(revision.tree, told["told"].problems, TABLE)
    number = record_numbers.number_of(found)
    return {
        **page_context(found, revision, form, here, "record_answer.html"),
        **told,
        "finished": finished_on(revision),
        "number": number and record_numbers.words(number),
        "number_before": number.before if number else "",
        "from_record": _from_record(revision.tree),
        "has_log": any(rows(revision.tree, (name,)) for name in ("log", "off_loom")),
        "photos": _photos(found, revision.tree),
        "later": _later(revision.tree),
        "about": ABOUT,
        "liked": [(one, record_words.LIKED_WORDS[one]) for one in LIKED],
        "today": today().isoformat(),
        "ways": list(TracedBy),
        "remnants": _remnants(revision.tree),
        **more,
    }


def _from_record(tree: Tree) -> str:
    """The number of the record a project was begun from; empty where it is none."""
    try:
        return number_words(*number_parts(str(tree.get("from_record") or "")))
    except ValueError:
        return ""


def _photos(found: Project, tree: Tree) -> list[dict[str, Any]]:
    """The photos named in the record, then those of the log, each with its words; one whose picture is not here says so."""
    kept = project_photos.photos_of(found)
    named = [
        {"file": one.get("file"), "shows": one.get("shows"), "row": number, "of": "the garment"}
        for number, one in enumerate(rows(tree, ("record", "photo")))
        if isinstance(one, dict)
    ]
    corrected = {one.get("corrects") for one in rows(tree, ("log",)) if isinstance(one, dict)}
    named += [
        {"file": one["photo"], "shows": one.get("photo_shows"), "row": None, "of": _of_entry(one)}
        for one in rows(tree, ("log",))
        if isinstance(one, dict)
        and isinstance(one.get("photo"), str)
        and one["photo"]
        and one.get("key") not in corrected
    ]
    return [
        {
            **one,
            "file": literal(str(one["file"] or "")),
            "shows": literal(str(one["shows"] or "")),
            "kept": kept.get(str(one["file"])),
        }
        for one in named
    ]


def _of_entry(entry: Tree) -> str:
    woven = f", {literal(str(entry['woven']))} woven" if entry.get("woven") else ""
    return f"the weaving{woven}"


def _later(tree: Tree) -> list[tuple[int, str, str, str, bool]]:
    """What was added later, as far as it can be read."""
    found = []
    for one in rows(tree, ("record", "later")):
        try:
            found.append(LaterPart.model_validate(one))
        except ValueError:
            return []
    return record_words.later_lines(found)


def _remnants(tree: Tree) -> list[str]:
    """The remnants that have an outline, drawn."""
    imperial, drawn = tree.get("units") == "imperial", []
    for one in rows(tree, ("record", "remnant")):
        try:
            part = RemnantPart.model_validate(one)
        except ValueError:
            continue
        if part.outline:
            drawn.append(remnant_outline_svg(part.name, part.corners, imperial=imperial))
    return drawn


# --- later ---------------------------------------------------------------------------------------------------------


@require_POST
def add_later(request: HttpRequest, key: UUID) -> HttpResponse:
    """Add what was found out later; what cannot be read is said, and what was typed stays."""
    found = get_project(key)
    typed = {
        name: request.POST.get(name, "").replace("\0", "").strip()
        for name in ("day", "about", "liked", "says", "corrects")
    }
    if typed["about"] != "liked it":
        typed["liked"] = ""
    entry: Tree = {name: value[:2000] for name, value in typed.items() if value}
    try:
        record_notes.add_later(found, entry)
    except ProblemsFound as wrong:
        more = {"typed_later": typed, "later_problem": " ".join(one.sentence for one in wrong.problems)}
        return render(
            request,
            "clothwright/record_page.html",
            _context(found, reverse("record", args=[found.pk]), more),
            status=422,
        )
    return redirect(f"{reverse('record', args=[found.pk])}#later")


# --- photos --------------------------------------------------------------------------------------------------------


@require_POST
def add_photo(request: HttpRequest, key: UUID) -> HttpResponse:
    """Keep a photo of the garment, or of the weaving with an entry of the log; or say why not."""
    found, upload = get_project(key), request.FILES.get("photo")
    name = PurePath(upload.name or "").name if upload else ""
    content = upload.read(LARGEST_PHOTO + 1) if upload else b""
    shows, woven = (request.POST.get(field, "") for field in ("shows", "woven"))
    of_weaving, read = request.POST.get("of") == "weaving", partial(read_apart, written_anew)
    try:
        if of_weaving:
            project_photos.add_to_log(found, content, name, shows, _with_unit(woven, store.head(found).tree), read=read)
        else:
            project_photos.add_to_record(found, content, name, shows, read=read)
    except ProblemsFound as wrong:
        more = {
            "photo_problem": " ".join(one.sentence for one in wrong.problems),
            "typed_shows": shows,
            "typed_woven": woven,
            "of_weaving": of_weaving,
        }
        return render(
            request,
            "clothwright/record_page.html",
            _context(found, reverse("record", args=[found.pk]), more),
            status=422,
        )
    return redirect(f"{reverse('record', args=[found.pk])}#photos")


def _with_unit(text: str, tree: Tree) -> str:
    return with_unit(text.strip(), "in" if tree.get("units") == "imperial" else "cm") if text.strip() else ""


@require_POST
def photo_words(request: HttpRequest, key: UUID, row: int) -> HttpResponse:
    """Say anew what a photo of the garment shows, or take it out of the record; its bytes stay for the history."""
    found = get_project(key)
    tree = copy.deepcopy(store.head(found).tree)
    photos = rows(tree, ("record", "photo"))
    if row >= len(photos) or not isinstance(photos[row], dict) or photos[row].get("file") != request.POST.get("file"):
        raise Http404
    if request.POST.get("do") == "take out":
        put(tree, ("record", "photo"), photos[:row] + photos[row + 1 :] or None)
        store.change(found, tree, f"photo {photos[row].get('file')} taken out of the record")
    else:
        put(
            tree,
            ("record", "photo", row, "shows"),
            " ".join(request.POST.get("shows", "").replace("\0", "").split())[:300],
        )
        store.change(found, tree, f"photo {photos[row].get('file')}: what it shows")
    return redirect(f"{reverse('record', args=[found.pk])}#photos")


@require_safe
def photo(request: HttpRequest, key: UUID, sha256: str) -> HttpResponse:
    """A photo of a project, or with `?small` its small picture."""
    try:
        kept = project_photos.photo(get_project(key), sha256)
    except ProjectPhoto.DoesNotExist:
        raise Http404 from None
    headers = {"Cache-Control": "private, max-age=31536000, immutable", "Content-Disposition": "inline"}
    content = kept.small if "small" in request.GET else kept.content
    return HttpResponse(bytes(content), content_type="image/jpeg", headers=headers)
