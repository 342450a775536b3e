"""What the buttons of the page at the loom do; each gives the place of the page to go to."""

from __future__ import annotations

import copy
import datetime
import uuid
from collections.abc import Callable
from typing import Any, Final

from django.http import HttpRequest

from clothwright.finishing import record_known
from clothwright.library import store
from clothwright.library.loom.weaving_log import add_entry
from clothwright.library.models import Project, Revision
from clothwright.project import Problem, ProblemsFound
from clothwright.weaving import (
    AsFinished,
    LoomForecast,
    counted_from_the_other_side,
    filled_in,
    flaws_from_log,
    is_marked,
    logged,
)
from clothwright.web import planned
from clothwright.web.answering import posted_base
from clothwright.web.forms.form import Form, change_in_words, read_posted
from clothwright.web.forms.row_buttons import ROW_VERBS, row_pressed
from clothwright.web.forms.typed import Tree, at, put, reachable, rows
from clothwright.web.loom.log_fields import STANDS
from clothwright.web.loom.loom_told import digest_of, forecast_of_revision
from clothwright.web.loom.loom_ways import take_way, way_taken

#: What a button does; gives the place of the page to go to.
Does = Callable[[HttpRequest, Project, str], str]


def new_key() -> str:
    """A key for an entry made at this desk."""
    return f"desk-{uuid.uuid4().hex[:10]}"


def entry_called(tree: Tree, key: str) -> Tree | None:
    """The entry of a key, as typed; None where there is none."""
    for number, one in enumerate(rows(tree, ("log",))):
        if isinstance(one, dict) and (one.get("key") or f"entry {number + 1}") == key:
            return one
    return None


def _take_back(_request: HttpRequest, found: Project, name: str) -> str:
    add_entry(found, {"key": new_key(), "corrects": name})
    return "log"


def _use_other(_request: HttpRequest, found: Project, name: str) -> str:
    """The other content of a key is right: an entry with it stands in place of the first."""
    other = entry_called(store.head(found).tree, name)
    if other is None or not other.get("other_of"):
        raise KeyError(name)
    content = {key: value for key, value in other.items() if key not in ("key", "other_of", "corrects")}
    add_entry(found, {**content, "key": new_key(), "corrects": other["other_of"]})
    return "log"


# --- the warp, and ways out ---------------------------------------------------------------------------------------


def _stands(request: HttpRequest, found: Project, _name: str) -> str:
    """Keep what was typed of what stands on the loom; what was changed elsewhere meanwhile stays."""
    tree, what = _typed(request, found)
    store.change(found, tree, what)
    return "stands"


def _typed(request: HttpRequest, found: Project) -> tuple[Tree, str]:
    """The project with the fields that were changed on the page, and that in words."""
    base = posted_base(request, found)
    tree = read_posted(base.tree, request.POST, STANDS)
    head = copy.deepcopy(store.head(found).tree)
    for field in Form(base.tree, table=STANDS).fields():
        if (typed := at(tree, field.path)) != at(base.tree, field.path) and reachable(head, field.path):
            put(head, field.path, typed)
    return head, change_in_words(base.tree, tree, STANDS)


def _row(verb: str) -> Does:
    """A band is added, or taken away."""

    def done(request: HttpRequest, found: Project, name: str) -> str:
        typed, _what = _typed(request, found)
        tree, what, focus = row_pressed(typed, verb, name)
        store.change(found, tree, what)
        return focus or "stands"

    return done


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


def _take_way(request: HttpRequest, found: Project, name: str) -> str:
    """Take a way out. KeyError where there is none like the one shown."""
    told = forecast_of_revision(store.head(found), by_hand=request.POST.get("by_hand") == "1")
    way = {digest_of(one): one for one in told.ways_out}[name]
    take_way(found, way_taken(way, told), new_key())
    return "forecast"


def flaws_of_log(revision: Revision, told: LoomForecast) -> tuple[list[Tree], float]:
    """The flaws of the log as rows of a layout, and the width of the finished cloth, cm.

    ProblemsFound where nobody can say yet where they lie on the finished cloth.
    """
    log = logged(planned.document(revision))
    if told.so_far is None or not log.woven_cm or told.ends is None:
        raise ProblemsFound(
            Problem((), "where they lie on the finished cloth is told by the plan, and there is none yet")
        )
    fell = log.widths[-1].width_cm if log.widths else None
    ratio, width = told.so_far.length_cm.expected / log.woven_cm, told.so_far.width_cm.expected
    return flaws_from_log(log.in_order, AsFinished(ratio, width, fell, told.ends)), width


def from_other_side(revision: Revision) -> list[str]:
    """Flaws of the layout that seem to be counted from the other side, each in words with where the log has it.

    None where the layout has no flaw, or where nobody can say yet where those of the log lie.
    """
    there = rows(revision.tree, ("layout", "flaw"))
    if not there or not rows(revision.tree, ("log",)):
        return []
    try:
        flaws, width_cm = flaws_of_log(revision, forecast_of_revision(revision, by_hand=False))
    except ProblemsFound:
        return []
    return [
        f"{flaw['what']} at {there[place]['at']}: marked {there[place]['from_selvedge']} from the near selvedge, "
        f"by the log {flaw['from_selvedge']}"
        for place, flaw in counted_from_the_other_side(flaws, there, width_cm)
    ]


def _marked(found: Project, what: str, changed: Callable[[list[Any], list[Tree], float], list[Any]]) -> str:
    """Change the rows of the layout's flaws by the flaws of the log and the width of the cloth."""
    revision = store.head(found)
    flaws, width_cm = flaws_of_log(revision, forecast_of_revision(revision, by_hand=False))
    tree = copy.deepcopy(revision.tree)
    before = rows(tree, ("layout", "flaw"))
    after = changed(before, flaws, width_cm)
    if after != before:
        put(tree, ("layout", "flaw"), after)
        store.change(found, tree, what)
    return "log"


def _mark_flaws(_request: HttpRequest, found: Project, _name: str) -> str:
    """Put the knots, breaks and floats of the log among the flaws of the layout, each once."""
    return _marked(
        found,
        "marked flaws of the log on the layout",
        lambda there, flaws, _width: [*there, *(one for one in flaws if not is_marked(one, there))],
    )


def _turn_flaws(_request: HttpRequest, found: Project, _name: str) -> str:
    """Put flaws that were counted from the other side where the log says they are."""

    def turned(there: list[Any], flaws: list[Tree], width_cm: float) -> list[Any]:
        right = dict(counted_from_the_other_side(flaws, there, width_cm))
        return [right.get(place, row) for place, row in enumerate(there)]

    return _marked(found, "turned over flaws that were counted from the other side", turned)


def _record(_request: HttpRequest, found: Project, _name: str) -> str:
    """Fill what is blank of the record from the log."""
    revision = store.head(found)
    known = record_known(planned.document(revision))
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


VERBS: Final = {
    "take-back": _take_back,
    "use": _use_other,
    "stands": _stands,
    **{verb: _row(verb) for verb in ROW_VERBS},
    "keep-plan": _keep_plan,
    "way": _take_way,
    "record": _record,
    "flaws": _mark_flaws,
    "turn": _turn_flaws,
    "undo": _undo,
    "redo": _redo,
}
