"""A page of fields beside what comes of them, as fit, colours, threading and leaflet have it: typed, undone, shown whole or in part."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from django.http import HttpRequest, HttpResponse

from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.project import Problem
from clothwright.web.answering import posted_base, pressed
from clothwright.web.forms.form import FieldTable, Form, change_in_words, read_posted
from clothwright.web.forms.row_buttons import ROW_VERBS, row_pressed
from clothwright.web.forms.typed import Tree

_MOVED: Final = "This project was changed somewhere else meanwhile. What you see here now counts; the other change is in the history."
#: The part of such a page that a change of one field changes.
PART: Final = "typed_changed.html"

#: Shows the page again; called with `notice`, `focus` and `whole`.
Shows = Callable[..., HttpResponse]


def answered_as_typed(
    request: HttpRequest,
    found: Project,
    table: FieldTable,
    page: Shows,
    buttons: Mapping[str, Callable[[str], HttpResponse]] | None = None,
    **how: Any,
) -> HttpResponse:
    """The page; a post undoes, does what a button beside the fields says, or keeps what was typed.

    `buttons`: what the verb of each does, given the name that stands after it; `how`: as `keep_typed` takes it.
    """
    if request.method != "POST":
        return page()
    verb, _, name = pressed(request).partition(" ")
    if undone(found, verb):
        return page(whole=True)
    if buttons and verb in buttons:
        return buttons[verb](name)
    return keep_typed(request, found, (verb, name), table, page, **how)


def undone(found: Project, verb: str) -> bool:
    """Whether the button was undo or redo, which are done then."""
    if verb not in ("undo", "redo"):
        return False
    (store.undo if verb == "undo" else store.redo)(found)
    return True


def keep_typed(
    request: HttpRequest,
    found: Project,
    button: tuple[str, str],
    table: FieldTable,
    page: Shows,
    *,
    read: Callable[[Tree], Tree] = lambda tree: tree,
    words: Callable[[Tree, Tree], str] | None = None,
) -> HttpResponse:
    """Keep what was typed, a row added or taken away where `button` (its verb and its name) asks that, and show what comes of it.

    `read`: reads what the table has no fields for; `words`: says what changed, left out in the words of the table.
    """
    (verb, name), base = button, posted_base(request, found)
    notice = _MOVED if base.pk != store.head(found).pk else ""
    tree = read(read_posted(base.tree, request.POST, table))
    what, focus = words(base.tree, tree) if words else change_in_words(base.tree, tree, table), ""
    try:
        if verb in ROW_VERBS:
            tree, what, focus = row_pressed(tree, verb, name)
    except (KeyError, ValueError):
        return HttpResponse("There is no such row.", status=400, content_type="text/plain; charset=utf-8")
    store.change(found, tree, what)
    return page(notice=notice, focus=focus, whole=verb != "save" or bool(notice))


def page_context(
    found: Project, revision: Revision, form: Form, here: str, answer: str, elsewhere: tuple[Problem, ...] = ()
) -> dict[str, Any]:
    """What every such page needs; `answer`: the template of what comes of the fields.

    `elsewhere`: problems that other pages have the fields of.
    """
    return {
        "project": found,
        "here": here,
        "revision": revision,
        "form": form,
        "sentences": form.problems_by_key(),
        "can_undo": store.can_undo(found),
        "can_redo": store.can_redo(found),
        "answer_template": f"clothwright/{answer}",
        "elsewhere": Form(revision.tree, elsewhere).told if elsewhere else (),
    }
