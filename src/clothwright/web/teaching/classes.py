"""The page “Class”: the students of one project, what each needs, the teacher's summary, and all of it on paper."""

from __future__ import annotations

import datetime
import io
import zipfile
from functools import partial
from typing import Any, Final
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clothwright.library import export_toml, plain_tree, store
from clothwright.library.files import LARGEST_FILE
from clothwright.library.models import ClassState, Project
from clothwright.library.teaching import classes
from clothwright.planning import ClassNeeds, StudentNeeds
from clothwright.project import Problem, ProblemsFound, read_toml
from clothwright.sheets import class_sheet_pdf, class_summary, class_summary_pdf, class_words
from clothwright.sheets.translating import LANGUAGES, Language
from clothwright.web.answering import Shown, download, on_paper, pressed, show
from clothwright.web.apart import read_apart
from clothwright.web.fetching import get_project, slug
from clothwright.web.forms.class_fields import CLASS
from clothwright.web.forms.form import FieldTable, Form, change_in_words, read_posted
from clothwright.web.forms.row_buttons import ROW_VERBS, row_pressed
from clothwright.web.forms.typed import Tree
from clothwright.web.teaching.class_answers import ClassAnswered, answered

TABLE: Final = FieldTable(CLASS)
_PART: Final = "class_changed.html"
_MOVED: Final = (
    "This class was changed somewhere else meanwhile. What you see here now counts; undo brings the other back."
)
_NOT_TAKEN: Final = "That file was not taken; the class is as it was."
_BLANK: Final[Tree] = {"student": [{}]}


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """The page; a post keeps what was typed and shows what comes of it."""
    found = get_project(key)
    if request.method != "POST":
        return _page(request, found)
    verb, _, name = pressed(request).partition(" ")
    if verb in ("undo", "redo"):
        (classes.undo_class if verb == "undo" else classes.redo_class)(found)
        return _page(request, found, whole=True)
    return _keep(request, found, verb, name)


def _keep(request: HttpRequest, found: Project, verb: str, name: str) -> HttpResponse:
    head, base = classes.head_of_class(found), _posted_base(request, found)
    notice = _MOVED if head is not None and base != head else ""
    before = _with_units(found, base.tree if base else _BLANK)
    tree = read_posted(before, request.POST, TABLE)
    what, focus = change_in_words(before, tree, TABLE), ""
    try:
        if verb in ROW_VERBS:
            tree, what, focus = row_pressed(tree, verb, name)
    except (KeyError, ValueError):
        return HttpResponse("There is no such row.", status=400, content_type="text/plain; charset=utf-8")
    if tree != before:
        classes.keep_class(found, {key: value for key, value in tree.items() if key != "units"}, what)
    return _page(request, found, notice=notice, focus=focus, whole=verb != "save" or bool(notice))


def _posted_base(request: HttpRequest, found: Project) -> ClassState | None:
    """The state a posted page was showing; the one that counts now where it does not say."""
    number = request.POST.get("rev", "")
    base = classes.state_of_class(found, int(number)) if number.isdecimal() and len(number) < 10 else None
    return base or classes.head_of_class(found)


def _with_units(found: Project, tree: Tree) -> Tree:
    """The class as its page reads it: a bare number takes the project's units."""
    return tree | {"units": store.head(found).tree.get("units", "metric")}


@require_POST
@never_cache
def open_list(request: HttpRequest, key: UUID) -> HttpResponse:
    """Take a class from a file in place of the one there is, which undo brings back."""
    found = get_project(key)
    try:
        tree = _uploaded(request)
    except ProblemsFound as wrong:
        return _page(request, found, problems=wrong.problems, notice=_NOT_TAKEN, status=422)
    classes.keep_class(found, tree, "took the class from a file")
    return redirect("class", key=found.pk)


def _uploaded(request: HttpRequest) -> Tree:
    upload = request.FILES.get("file")
    if upload is None:
        raise ProblemsFound(Problem((), "no file came; choose a class file, as class.toml"))
    content = upload.read(LARGEST_FILE + 1)
    if len(content) > LARGEST_FILE:
        raise ProblemsFound(
            Problem((), f"{upload.name} has more than {LARGEST_FILE // 10**6} MB, the most a class file may have")
        )
    try:
        tree: Tree = plain_tree(read_apart(read_toml, content.decode("utf-8")))
    except UnicodeDecodeError:
        raise ProblemsFound(Problem((), f"{upload.name} is not text in UTF-8")) from None
    tree.pop("project", None)
    return tree


@require_POST
@never_cache
def delete(request: HttpRequest, key: UUID) -> HttpResponse:  # noqa: ARG001 - what is posted is only the wish
    """Delete the class with all its states."""
    found = get_project(key)
    classes.delete_class(found)
    return redirect("class", key=found.pk)


@require_safe
@never_cache
def file(request: HttpRequest, key: UUID) -> HttpResponse:  # noqa: ARG001
    """The class as a file, names and all, because it was asked for."""
    found = get_project(key)
    tree = {"clothwright_class": 1} | _typed(found)
    return download(export_toml(tree).encode(), "application/toml", f"{slug(found)}-class.toml")


@require_safe
@never_cache
def student_sheet(request: HttpRequest, key: UUID, number: int) -> HttpResponse:
    """One student's sheet, in her language or in one asked for; the page for what is not there if there is none."""
    found = get_project(key)
    answer = _answer(found)
    student = answer.student(number)
    if answer.needs is None or student is None:
        raise Http404
    code = request.GET.get("language", student.language)
    language = Language(code if code in LANGUAGES else student.language)
    content = class_sheet_pdf(answer.needs, student, made_on=_today(), language=language)
    return on_paper(content, f"{slug(found)}-class-{number + 1}")


@require_safe
@never_cache
def summary(request: HttpRequest, key: UUID) -> HttpResponse:
    """The teacher's summary on paper; back to the page where it cannot be made."""
    found = get_project(key)
    if (needs := _answer(found).needs) is None:
        return redirect("class", key=found.pk)
    content = class_summary_pdf(needs, made_on=_today(), large_print="large" in request.GET)
    return on_paper(content, f"{slug(found)}-class-summary")


@require_safe
@never_cache
def every_sheet(request: HttpRequest, key: UUID) -> HttpResponse:  # noqa: ARG001
    """Every student's sheet and the summary in one zip; back to the page where they cannot be made."""
    found = get_project(key)
    if (needs := _answer(found).needs) is None:
        return redirect("class", key=found.pk)
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED) as sheets:
        sheets.writestr("summary.pdf", class_summary_pdf(needs, made_on=_today()))
        for one in needs.students:
            sheets.writestr(f"student-{one.number + 1}.pdf", class_sheet_pdf(needs, one, made_on=_today()))
    return download(whole.getvalue(), "application/zip", f"{slug(found)}-class.zip")


def _today() -> datetime.date:
    return datetime.datetime.now().astimezone().date()


def _typed(found: Project) -> Tree:
    head = classes.head_of_class(found)
    return dict(head.tree) if head else dict(_BLANK)


def _answer(found: Project) -> ClassAnswered:
    return answered(store.head(found), _typed(found))


def _page(request: HttpRequest, found: Project, *, problems: tuple[Problem, ...] = (), **how: Any) -> HttpResponse:
    back = reverse("class", args=[found.pk])
    return show(request, Shown("class.html", _PART, back, partial(_context, found, back, problems)), **how)


def _context(found: Project, here: str, problems: tuple[Problem, ...]) -> dict[str, Any]:
    revision, head, answer = store.head(found), classes.head_of_class(found), _answer(found)
    form = Form(_with_units(found, _typed(found)), (*answer.here, *problems), TABLE)
    return {
        "project": found,
        "here": here,
        "revision": head or {"number": 0},
        "form": form,
        "sentences": form.problems_by_key(),
        "can_undo": classes.can_undo_class(found),
        "can_redo": classes.can_redo_class(found),
        "kept": head is not None,
        "answer_template": "clothwright/class_answer.html",
        "elsewhere": Form(revision.tree, answer.elsewhere).told if answer.elsewhere else (),
        **(_shown(answer.needs) if answer.needs else {}),
    }


def _shown(needs: ClassNeeds) -> dict[str, Any]:
    """The class in the words of the page."""
    return {
        "needs": needs,
        "intro": list(class_summary.intro(needs)),
        "head": class_summary.HEAD,
        "students": [(one, row) for one, row in zip(needs.students, class_summary.rows(needs), strict=True)],
        "settle": list(class_summary.to_settle(needs)),
        "buy": list(class_summary.to_buy(needs)),
        "assumed": class_summary.assumed(needs),
        "told": [_told(one) for one in needs.students],
        "languages": list(LANGUAGES.items()),
    }


def _told(one: StudentNeeds) -> dict[str, Any]:
    """One student's sheet as the page shows it, in her language."""
    return {"student": one, "sheet": class_words.student_told(one, Language(one.language))}
