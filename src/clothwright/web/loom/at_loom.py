"""The page “At the loom”: the forecast, what is woven, an entry to add, the log, and ways to finish well from here."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from clothwright import sheets
from clothwright.library import store
from clothwright.library.loom.weaving_log import add_entry
from clothwright.library.models import Project, Revision
from clothwright.project import ProblemsFound
from clothwright.project.loom.log_growing import Entry, entries
from clothwright.sheets import at_loom as words
from clothwright.sheets.wording import literal
from clothwright.weaving import (
    happened,
    made_in_order,
)
from clothwright.web import planned
from clothwright.web.answering import fragment_asked
from clothwright.web.fetching import get_project
from clothwright.web.forms.form import Form, read_posted
from clothwright.web.forms.typed import at
from clothwright.web.loom.log_fields import STANDS, entry_of, entry_table, form_tree, on_the_form, wefts
from clothwright.web.loom.loom_done import VERBS, entry_called, from_other_side, new_key
from clothwright.web.loom.loom_told import digest_of, forecast_of_revision, looked_back_rows
from clothwright.web.showing import is_imperial

_LONGEST_KEY: Final = 64


@dataclass(frozen=True)
class ShownEntry:
    """An entry as the page shows it; `waits`: it came with other content under a key, and which is right is asked."""

    key: str
    when: str
    woven: str
    tells: str
    state: str
    counts: bool
    waits: bool
    other_of: str


@dataclass(frozen=True)
class Typed:
    """The form of an entry as it stands: its key, what it corrects, the tree it is bound to, and what is wrong in it."""

    key: str
    corrects: str
    form: Form


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """The page; a post adds an entry, corrects one, says what stands on the loom, or takes a way out."""
    found = get_project(key)
    if request.method == "POST":
        return _posted(request, found)
    return _shown(request, found, _blank(found, request.GET.get("correct", "")))


def _posted(request: HttpRequest, found: Project) -> HttpResponse:
    verb, _, name = request.POST.get("press" if fragment_asked(request) else "do", "add").partition(" ")
    if verb == "add" and not name:
        return _added(request, found)
    try:
        done = VERBS[verb](request, found, name)
    except (KeyError, ValueError):
        gone = "That is no longer here as it was shown; look again."
        return _shown(request, found, _blank(found, ""), notice=gone, status=409)
    except ProblemsFound as wrong:
        return _shown(request, found, _blank(found, ""), notice=str(wrong), status=409)
    if fragment_asked(request):
        return _shown(request, found, _blank(found, ""), focus=done)
    return _back_to(found, done)


def _back_to(found: Project, anchor: str) -> HttpResponse:
    response = redirect("at_loom", key=found.pk)
    response["Location"] += f"#{anchor}"
    response.status_code = 303
    return response


# --- entries ------------------------------------------------------------------------------------------------------


def _added(request: HttpRequest, found: Project) -> HttpResponse:
    """Add the entry that was typed; where it cannot be read the page says why, and what was typed stays."""
    tree = store.head(found).tree
    names = wefts(tree)
    bound = read_posted(form_tree(tree, names), request.POST, entry_table(names))
    key, corrects = (request.POST.get(field, "").strip()[:_LONGEST_KEY] for field in ("key", "corrects"))
    entry = entry_of(bound, names)
    try:
        add_entry(found, {"key": key or new_key(), **({"corrects": corrects} if corrects else {}), **entry})
    except ProblemsFound as wrong:
        form = Form(bound, on_the_form(wrong.problems, entry, names), entry_table(names))
        return _shown(request, found, Typed(key or new_key(), corrects, form))
    return _back_to(found, "log")


def _blank(found: Project, correct: str) -> Typed:
    """The form of a new entry, or of one that corrects: it then holds what was entered."""
    tree = store.head(found).tree
    names = wefts(tree)
    entry = entry_called(tree, correct) if correct else None
    bound = form_tree(tree, names, entry)
    if entry is None:
        bound["entry"]["when"] = datetime.datetime.now(datetime.UTC).astimezone().strftime("%Y-%m-%d %H:%M")
    return Typed(new_key(), correct if entry is not None else "", Form(bound, table=entry_table(names)))


# --- showing ------------------------------------------------------------------------------------------------------


def _shown(
    request: HttpRequest, found: Project, typed: Typed, *, notice: str = "", status: int = 200, focus: str = ""
) -> HttpResponse:
    revision, by_hand = store.head(found), request.GET.get("by_hand") == "1"
    context: dict[str, Any] = {
        "project": found,
        "here": reverse("at_loom", args=[found.pk]),
        "revision": revision,
        "typed": typed,
        "notice": notice,
        "focus": focus,
        "by_hand": by_hand,
        "stands": Form(revision.tree, table=STANDS),
        "warp_is_on": bool(at(revision.tree, ("on_loom", "first_plan"))),
        "can_undo": store.can_undo(found),
        "can_redo": store.can_redo(found),
    }
    context |= _told(revision, by_hand)
    return render(request, "clothwright/at_loom.html", context, status=status)


def _told(revision: Revision, by_hand: bool) -> dict[str, Any]:
    """The log and its forecast in words and pictures, or why there is none."""
    imperial = is_imperial(revision)
    try:
        log = entries(planned.document(revision).log)
    except ProblemsFound as wrong:
        found = planned.problems_of(revision, wrong)
        return {"problems": Form(revision.tree, found).told, "stands": Form(revision.tree, found, STANDS)}
    shown = {"entries": [_shown_entry(one) for one in log]}
    try:
        told = forecast_of_revision(revision, by_hand=by_hand)
    except ProblemsFound as wrong:
        return {**shown, "not_yet": [one.sentence for one in wrong.problems]}
    flaws = [one for one in happened(made_in_order(log)) if one.is_flaw]
    weighed = [one.part.woven.cm for one in made_in_order(log) if one.part.woven and _weighs(one)]
    return {
        **shown,
        "told": told,
        "looked_back": looked_back_rows(revision) if told.is_woven else [],
        "looked_back_head": words.LOOKED_BACK_HEAD,
        "flawed": bool(flaws),
        "from_other_side": from_other_side(revision) if flaws else (),
        "sections": [
            (title, lines) for title, lines in words.sections(told, imperial=imperial) if lines and title != "Ways out"
        ],
        "picture": sheets.loom_strip_svg(told, weighed_cm=weighed, flaws=flaws, imperial=imperial),
        "ways": [
            (
                digest_of(one),
                words.way_sentence(one, imperial=imperial),
                sheets.loom_strip_svg(told, way=one, flaws=flaws, imperial=imperial),
                sheets.loom_garment_svg(told, one),
            )
            for one in told.ways_out
        ],
    }


def _weighs(one: Entry) -> bool:
    return bool(one.part.weft_left or one.part.weighed)


def _shown_entry(one: Entry) -> ShownEntry:
    part = one.part
    return ShownEntry(
        key=one.key,
        when=part.when.replace("T", " "),
        woven=str(part.woven or ""),
        tells=words.entry_words(one),
        state=literal(_state(one)),
        counts=one.counts and bool(part.told),
        waits=one.set_aside.endswith("?"),
        other_of=part.other_of,
    )


def _state(one: Entry) -> str:
    if one.set_aside:
        return one.set_aside
    return f"corrects {one.part.corrects}" if one.part.corrects else ""
