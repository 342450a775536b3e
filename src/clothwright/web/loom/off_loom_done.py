"""What the buttons of the page off the loom do; each gives the id of the place of the page to go to."""

from __future__ import annotations

import copy
import datetime
import hashlib
from typing import Final

from django.http import HttpRequest

from clothwright.finishing import ClothWay, Finish, Written, check_keys, record_known, step_titles
from clothwright.library import store
from clothwright.library.models import Project
from clothwright.weaving import filled_in
from clothwright.web import planned
from clothwright.web.forms.typed import Tree, at, put, rows, with_row, without_row
from clothwright.web.pieces.narrow import with_material

_OTHER_CLOTH: Final = "other cloth"
_LONGEST: Final = 300


def digest_of(way: ClothWay) -> str:
    """What a way says, so that the one taken is the one that was shown."""
    return hashlib.sha256(f"{way.what}\n{way.change}\n{way.relaid.needs_cm}".encode()).hexdigest()[:16]


def _now() -> datetime.datetime:
    return datetime.datetime.now(datetime.UTC).astimezone()


def _did(_request: HttpRequest, found: Project, name: str, _answer: Finish | None) -> str:
    """A step of the recipe is done; what is to be said of it is typed in its row."""
    title = step_titles()[name]
    tree = with_row(
        store.head(found).tree, ("finishing", "done"), {"step": name, "when": _now().strftime("%Y-%m-%d %H:%M")}
    )
    store.change(found, tree, f"finishing: {title.lower()} is done")
    return f"step-{name.replace(' ', '-')}"


def _check(found: Project, name: str, row: Tree, what: str) -> str:
    """Put a check in the list in place of what stood there of it."""
    if name not in check_keys():
        raise KeyError(name)
    tree = _without_check(store.head(found).tree, name)
    store.change(found, with_row(tree, ("checked",), {"check": name, **row}), what)
    return _check_place(name)


def _check_place(name: str) -> str:
    return f"check-{name.replace(' ', '-')}"


def _without_check(tree: Tree, name: str) -> Tree:
    for number in reversed(range(len(rows(tree, ("checked",))))):
        if at(tree, ("checked", number, "check")) == name:
            tree = without_row(tree, ("checked", number))
    return tree


def _tick(_request: HttpRequest, found: Project, name: str, _answer: Finish | None) -> str:
    return _check(found, name, {"day": _now().date().isoformat()}, f"checked: {name}")


def _put_away(request: HttpRequest, found: Project, name: str, _answer: Finish | None) -> str:
    """A check is not needed; without a reason it stays as it is, and the page says so."""
    reason = " ".join(request.POST.get("because", "").replace("\0", "").split())[:_LONGEST]
    if not reason:
        return _check_place(name)
    return _check(found, name, {"not_needed": reason}, f"not needed: {name}, {reason}")


def _untick(_request: HttpRequest, found: Project, name: str, _answer: Finish | None) -> str:
    head = store.head(found).tree
    tree = _without_check(head, name)
    if tree != head:
        store.change(found, tree, f"took back the check: {name}")
    return _check_place(name)


def _let_be(_request: HttpRequest, found: Project, name: str, answer: Finish | None) -> str:
    """A flaw of the log is not there, or does not matter."""
    there = [one.called for one in answer.cloth.flaws] if answer and answer.cloth else []
    if not name or name not in there:
        raise KeyError(name)
    tree = copy.deepcopy(store.head(found).tree)
    put(tree, ("real_cloth", "let_be"), [*rows(tree, ("real_cloth", "let_be")), name])
    store.change(found, tree, f"let be: {name}")
    return "cloth"


def _take_way(_request: HttpRequest, found: Project, name: str, answer: Finish | None) -> str:
    """Write a way in the project; KeyError where there is none like the one shown."""
    ways = answer.on_cloth.ways if answer and answer.on_cloth else ()
    way = {digest_of(one): one for one in ways if one.written.any}[name]
    store.change(found, with_way(store.head(found).tree, way.written), f"took a way: {way.what}, {way.change}")
    return "cloth"


def with_way(tree: Tree, way: Written) -> Tree:
    """The tree with a way written in it."""
    changed = copy.deepcopy(tree)
    for path, value in way.values.items():
        put(changed, path, value)
    for path, row in way.added:
        changed = with_row(changed, path, dict(row))
    for name in way.from_other_cloth:
        changed = with_material(changed, name, _OTHER_CLOTH)
    return changed


def _record(_request: HttpRequest, found: Project, _name: str, _answer: Finish | None) -> str:
    """Fill what is blank of the record from what was measured here, then from the log."""
    revision = store.head(found)
    known = record_known(planned.document(revision))
    before = revision.tree.get("record")
    record, names = filled_in(before if isinstance(before, dict) else {}, known)
    if names:
        said = f"filled in the record from what was measured: {', '.join(names)}"
        store.change(found, {**revision.tree, "record": record}, said)
    return "record"


VERBS: Final = {
    "did": _did,
    "tick": _tick,
    "put-away": _put_away,
    "untick": _untick,
    "let-be": _let_be,
    "way": _take_way,
    "record": _record,
}
