"""The page “At the loom”: the forecast, what is woven, an entry to add, the log, and ways to finish well from here."""

from __future__ import annotations

import copy
import datetime
import hashlib
import uuid
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
from clothwright.library.models import Project, Revision
from clothwright.library.weaving_log import add_entry
from clothwright.project import ProblemsFound
from clothwright.project.log_growing import Entry, entries
from clothwright.sheets import at_loom as words
from clothwright.sheets.wording import literal
from clothwright.weaving import LoomForecast, WayThrough, filled_in, forecast, made_in_order, record_from_log
from clothwright.web import evidence, planned
from clothwright.web.evidence import Latest
from clothwright.web.fetching import get_project
from clothwright.web.form import Form, change_in_words, read_posted
from clothwright.web.log_fields import STANDS, entry_of, entry_table, form_tree, on_the_form, wefts
from clothwright.web.notebook import posted_base
from clothwright.web.showing import is_imperial
from clothwright.web.typed import Tree, at, put, rows

_answers: Final = Latest[LoomForecast](32)
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
    verb, _, name = request.POST.get("do", "add").partition(" ")
    if verb == "add":
        return _added(request, found)
    try:
        done = _VERBS[verb](request, found, name)
    except (KeyError, ValueError):
        gone = "That is no longer here as it was shown; look again."
        return _shown(request, found, _blank(found, ""), notice=gone, status=409)
    except ProblemsFound as wrong:
        return _shown(request, found, _blank(found, ""), notice=str(wrong), status=409)
    return _back(found, done)


def _back(found: Project, anchor: str) -> HttpResponse:
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
        add_entry(found, {"key": key or _new_key(), **({"corrects": corrects} if corrects else {}), **entry})
    except ProblemsFound as wrong:
        form = Form(bound, on_the_form(wrong.problems, entry, names), entry_table(names))
        return _shown(request, found, Typed(key or _new_key(), corrects, form))
    return _back(found, "log")


def _blank(found: Project, correct: str) -> Typed:
    """The form of a new entry, or of one that corrects: it then holds what was entered."""
    tree = store.head(found).tree
    names = wefts(tree)
    entry = _entry_called(tree, correct) if correct else None
    bound = form_tree(tree, names, entry)
    if entry is None:
        bound["entry"]["when"] = datetime.datetime.now(datetime.UTC).astimezone().strftime("%Y-%m-%d %H:%M")
    return Typed(_new_key(), correct if entry is not None else "", Form(bound, table=entry_table(names)))


def _new_key() -> str:
    return f"desk-{uuid.uuid4().hex[:10]}"


def _entry_called(tree: Tree, key: str) -> Tree | None:
    for number, one in enumerate(rows(tree, ("log",))):
        if isinstance(one, dict) and (one.get("key") or f"entry {number + 1}") == key:
            return one
    return None


def _take_back(_request: HttpRequest, found: Project, name: str) -> str:
    add_entry(found, {"key": _new_key(), "corrects": name})
    return "log"


def _use_other(_request: HttpRequest, found: Project, name: str) -> str:
    """The other content of a key is right: an entry with it stands in place of the first."""
    other = _entry_called(store.head(found).tree, name)
    if other is None or not other.get("other_of"):
        raise KeyError(name)
    content = {key: value for key, value in other.items() if key not in ("key", "other_of", "corrects")}
    add_entry(found, {**content, "key": _new_key(), "corrects": other["other_of"]})
    return "log"


# --- the warp, and ways out ---------------------------------------------------------------------------------------


def _stands(request: HttpRequest, found: Project, _name: str) -> str:
    base = posted_base(request, found)
    tree = read_posted(base.tree, request.POST, STANDS)
    head = copy.deepcopy(store.head(found).tree)
    put(head, ("on_loom",), at(tree, ("on_loom",)))
    store.change(found, head, change_in_words(base.tree, tree, STANDS))
    return "stands"


def _keep_plan(_request: HttpRequest, found: Project, _name: str) -> str:
    """The warp is on: keep the plan as it is, and what of it was put on."""
    revision = store.head(found)
    answer = planned.answer(revision)
    if answer.plan is None or answer.problems:
        raise ProblemsFound(*answer.problems)
    plan, tree = answer.plan, copy.deepcopy(revision.tree)
    stop = f"{plan.weft.weave_to_cm:g} cm"
    kept = {
        "to_weave": stop,
        "day": datetime.datetime.now(datetime.UTC).astimezone().date().isoformat(),
        "ends": plan.warp.ends,
        "warp_length": f"{plan.warp.length_cm:g} cm",
        "finished_width": f"{plan.cloth.finished_width_cm.expected:.1f} cm",
        "finished_length": f"{plan.cloth.finished_length_cm.expected:.0f} cm",
        "picks": f"{plan.weft.picks_per_cm_on_loom.expected:.2f}/cm",
        "verdict": str(plan.verdict),
    }
    for path, value in (("to_weave", stop), ("ends", plan.warp.ends), ("warp_wound", kept["warp_length"])):
        if not at(tree, ("on_loom", path)):
            put(tree, ("on_loom", path), value)
    put(tree, ("on_loom", "first_plan"), kept)
    store.change(found, tree, "the warp is on; kept the plan it was put on by")
    return "stands"


def _take_way(_request: HttpRequest, found: Project, name: str) -> str:
    """Take a way out: the stop and the bands it has, and in the log that it was taken. KeyError where there is none like the one shown."""
    told = _forecast(store.head(found), by_hand=False)
    way = {_digest(one): one for one in told.ways_out}[name]
    add_entry(found, {"key": _new_key(), "changed_mind": f"{way.what}: {way.change}"})
    tree = copy.deepcopy(store.head(found).tree)
    put(tree, ("on_loom", "to_weave"), f"{way.stop_at_cm:g} cm")
    if way.bands:
        new = [{"begins": f"{start:.0f} cm", "stops": f"{end:.0f} cm"} for start, end in way.bands]
        put(tree, ("on_loom", "bands"), [*rows(tree, ("on_loom", "bands")), *new])
    store.change(found, tree, f"took a way out: {way.what}")
    return "forecast"


def _digest(way: WayThrough) -> str:
    """What a way out says, so that the one taken is the one that was shown."""
    return hashlib.sha256(f"{way.what}\n{way.change}".encode()).hexdigest()[:16]


def _record(_request: HttpRequest, found: Project, _name: str) -> str:
    """Fill what is blank of the record from the log."""
    revision = store.head(found)
    known = record_from_log(planned.document(revision))
    before = revision.tree.get("record")
    record, names = filled_in(before if isinstance(before, dict) else {}, known)
    if names:
        store.change(
            found, {**revision.tree, "record": record}, f"filled in the record from the log: {', '.join(names)}"
        )
    return "record"


def _undo(_request: HttpRequest, found: Project, _name: str) -> str:
    store.undo(found)
    return "log"


def _redo(_request: HttpRequest, found: Project, _name: str) -> str:
    store.redo(found)
    return "log"


_VERBS: Final = {
    "take-back": _take_back,
    "use": _use_other,
    "stands": _stands,
    "keep-plan": _keep_plan,
    "way": _take_way,
    "record": _record,
    "undo": _undo,
    "redo": _redo,
}


# --- showing ------------------------------------------------------------------------------------------------------


def _shown(request: HttpRequest, found: Project, typed: Typed, *, notice: str = "", status: int = 200) -> HttpResponse:
    revision, by_hand = store.head(found), request.GET.get("by_hand") == "1"
    context: dict[str, Any] = {
        "project": found,
        "here": reverse("at_loom", args=[found.pk]),
        "revision": revision,
        "typed": typed,
        "notice": notice,
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
        return {"problems": Form(revision.tree, planned.problems_of(revision, wrong)).told}
    shown = {"entries": [_shown_entry(one) for one in log]}
    try:
        told = _forecast(revision, by_hand=by_hand)
    except ProblemsFound as wrong:
        return {**shown, "not_yet": [one.sentence for one in wrong.problems]}
    weighed = [one.part.woven.cm for one in made_in_order(log) if one.part.woven and _weighs(one)]
    return {
        **shown,
        "told": told,
        "sections": [
            (title, lines) for title, lines in words.sections(told, imperial=imperial) if lines and title != "Ways out"
        ],
        "picture": sheets.loom_strip_svg(told, weighed_cm=weighed, imperial=imperial),
        "ways": [
            (
                _digest(one),
                words.way_sentence(one, imperial=imperial),
                sheets.loom_strip_svg(told, way=one, imperial=imperial),
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


def _forecast(revision: Revision, *, by_hand: bool) -> LoomForecast:
    """The forecast of a revision, kept by all that it depends on; ProblemsFound where there is none."""
    key = (revision.pk, by_hand, evidence.beside(revision.project).key, planned.times_forgotten())
    if (known := _answers.get(key)) is not None:
        return known
    project = planned.document(revision)
    told = forecast(
        project,
        drawings=store.drawings_of(revision),
        history=planned.history(revision),
        layouts=planned.layouts(revision),
        by_hand=by_hand,
    )
    return _answers.put(key, told)
