"""The pages: fetch, read the form, one call, render."""

from __future__ import annotations

import datetime
from pathlib import PurePath
from typing import Any, Final
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clothwright.library import export_bundle, export_toml, store
from clothwright.library.files import LARGEST_BUNDLE, LARGEST_DRAWING, stays_below
from clothwright.library.models import Project, RecordNumber, Revision
from clothwright.library.record import project_photos, record_numbers
from clothwright.project import Problem, ProblemsFound
from clothwright.web import planned, searching
from clothwright.web.answering import download, fragment_asked, posted_base, pressed
from clothwright.web.apart import proved, read_apart
from clothwright.web.beginning.begin import first_question
from clothwright.web.bringing_in import begun_from
from clothwright.web.fetching import get_project, slug
from clothwright.web.forms.form import change_in_words, read_posted, starting_tree
from clothwright.web.forms.row_buttons import ROW_VERBS, row_pressed
from clothwright.web.forms.taking import take
from clothwright.web.forms.typed import put
from clothwright.web.measuring.sampled import keep_sample
from clothwright.web.notebook import page, plan_pane
from clothwright.web.pattern.fit import pattern_key
from clothwright.web.record.came import finished_on
from clothwright.web.showing import shown_plan

MOVED: Final = (
    "This project was changed somewhere else meanwhile, in another tab or window. "
    "What you see here now counts; the other change is kept in the history."
)
MOST_FILES: Final = 30
DRAWINGS: Final = (".svg", ".dxf", ".pdf")


@require_safe
@never_cache
def projects(request: HttpRequest) -> HttpResponse:
    """The list of projects, those put away below."""
    return _projects(request)


def _projects(request: HttpRequest, problems: tuple[Problem, ...] = (), status: int = 200) -> HttpResponse:
    every = list(store.projects())
    known = planned.known_answers(every)
    numbers = record_numbers.every_number()
    cards = [_card(one, known.get(one.pk), numbers.get(one.pk)) for one in every]
    away = store.projects(put_away=True)
    just_away = next((one for one in away if str(one.pk) == request.GET.get("away", "")), None)
    context = {"cards": cards, "away": away, "just_away": just_away, "problems": problems, **first_question()}
    return render(request, "clothwright/projects.html", context, status=status)


def _card(project: Project, answer: planned.Answer | None, number: RecordNumber | None) -> dict[str, Any]:
    """What is known of a project, with its answer where that has been made."""
    revision = store.head(project)
    return {
        "project": project,
        "revision": revision,
        "answer": answer,
        "shown": answer and shown_plan(answer, revision),
        "finished": finished_on(revision),
        "number": number and record_numbers.words(number),
    }


@require_safe
@never_cache
def card(request: HttpRequest, key: UUID) -> HttpResponse:
    """One project of the list, planned."""
    project = get_project(key)
    planned.answer(store.head(project))
    known = planned.known_answers([project]).get(project.pk)
    shown = _card(project, known, record_numbers.number_of(project))
    return render(request, "clothwright/card.html", {"card": shown})


@require_POST
def new_project(request: HttpRequest) -> HttpResponse:
    """Start a project by its name."""
    name = request.POST.get("name", "").strip() or store.NAMELESS
    return redirect("project", key=store.new_project(starting_tree(name), "started").pk)


@require_POST
def open_file(request: HttpRequest) -> HttpResponse:
    """Start a project from a project file with its drawings, or from a bundle."""
    uploads = request.FILES.getlist("files")[:MOST_FILES]
    try:
        files = {PurePath(one.name or "").name: one.read(LARGEST_BUNDLE + 1) for one in uploads}
        made = begun_from(files, f"opened {', '.join(files)}")
    except ProblemsFound as wrong:
        return _projects(request, wrong.problems, status=422)
    return redirect("project", key=made.pk)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def project(request: HttpRequest, key: UUID) -> HttpResponse:
    """The page of a project; a post saves what was typed and says what comes of it."""
    found = get_project(key)
    return _changed(request, found) if request.method == "POST" else page(request, found)


def _changed(request: HttpRequest, found: Project) -> HttpResponse:
    base = posted_base(request, found)
    notice = MOVED if base.pk != store.head(found).pk else ""
    verb, _, name = pressed(request).partition(" ")
    tree = read_posted(base.tree, request.POST)
    what, focus = change_in_words(base.tree, tree), ""
    try:
        if verb in ROW_VERBS:
            tree, what, focus = row_pressed(tree, verb, name)
        elif verb == "take":
            tree, what, focus = take(tree, name, request.POST.get(f"take_{name}", ""))
        elif verb == "keep":
            drawings = store.drawings_of(base)
            tree, kept = keep_sample(tree, request.POST.get("keep_sample", ""), drawings)
            notice = notice or kept
        elif verb == "finish":
            put(tree, ("record", "date"), today().isoformat())
            put(tree, ("record", "pattern_state"), pattern_key(tree, store.drawings_of(base)))
            record_numbers.with_number(found, tree, today())
            what, focus = "finished", "f-record-date"
    except (KeyError, ValueError):
        return HttpResponse("There is no such row.", status=400, content_type="text/plain; charset=utf-8")
    units_changed = base.tree.get("units") != tree.get("units")
    store.change(found, tree, what)
    whole = verb != "save" or units_changed or bool(notice)
    return page(request, found, notice=notice, focus=focus, whole=whole)


@require_POST
def undo(request: HttpRequest, key: UUID) -> HttpResponse:
    """Take back the last change."""
    store.undo(found := get_project(key))
    return page(request, found, whole=True)


@require_POST
def redo(request: HttpRequest, key: UUID) -> HttpResponse:
    """Make the change again that was taken back."""
    store.redo(found := get_project(key))
    return page(request, found, whole=True)


@require_safe
@never_cache
def history(request: HttpRequest, key: UUID) -> HttpResponse:
    """Every change, newest first."""
    found = get_project(key)
    context = {"project": found, "head": store.head(found), "revisions": store.history(found)}
    return render(request, "clothwright/history.html", context)


@require_POST
def go_to(request: HttpRequest, key: UUID, number: int) -> HttpResponse:
    """Go to any state of the history."""
    found = get_project(key)
    try:
        store.go_to(found, number)
    except Revision.DoesNotExist:
        raise Http404 from None
    return redirect("project", key=found.pk)


@require_POST
def drawing(request: HttpRequest, key: UUID) -> HttpResponse:
    """Keep a drawing of the pieces and use it."""
    found, upload = get_project(key), request.FILES.get("drawing")
    name = PurePath(upload.name or "").name if upload else ""
    if upload is None or not stays_below(name) or not name.lower().endswith(DRAWINGS):
        return page(request, found, notice="Choose a drawing that ends in .svg, .dxf or .pdf.", whole=True)
    if (upload.size or 0) > LARGEST_DRAWING:
        return page(request, found, notice=f"“{name}” is too large for a drawing.", whole=True)
    content = upload.read()
    try:
        read_apart(proved, [content])
    except ProblemsFound as wrong:
        return page(request, found, notice=f"“{name}” is not used: {wrong}.", whole=True)
    tree = read_posted(store.head(found).tree, {})
    put(tree, ("pattern", "file"), name)
    store.save_drawing(found, name, content, tree, f"drawing {name}")
    if request.POST.get("back") == "begin":
        return redirect(f"{reverse('begin', args=[found.pk])}#verdict")
    return redirect(f"{reverse('project', args=[found.pk])}#garment")


@require_POST
def put_away(request: HttpRequest, key: UUID) -> HttpResponse:
    """Take a project off the table; the list offers to bring it back."""
    store.put_away(get_project(key))
    return redirect(f"{reverse('projects')}?away={key}")


@require_POST
def bring_back(request: HttpRequest, key: UUID) -> HttpResponse:
    """Put a project back on the table."""
    store.bring_back(get_project(key))
    return redirect("projects")


@require_safe
@never_cache
def plan_alone(request: HttpRequest, key: UUID) -> HttpResponse:
    """The plan as a fragment, once it is there; who saved a change was answered before it was."""
    found = get_project(key)
    return plan_pane(request, found) if fragment_asked(request) else redirect("project", key=found.pk)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def search(request: HttpRequest, key: UUID) -> HttpResponse:
    """Start a long layout search, or say how far it is."""
    found = get_project(key)
    if request.method == "POST":
        searching.start(found)
    return _search(request, found)


@require_POST
def stop_search(request: HttpRequest, key: UUID) -> HttpResponse:
    """Stop the search; the best so far is kept."""
    searching.ask_to_stop(found := get_project(key))
    return _search(request, found)


def _search(request: HttpRequest, found: Project) -> HttpResponse:
    """The search as a fragment; when it has ended, the plan is shown anew."""
    if not fragment_asked(request):
        return redirect("project", key=found.pk)
    run = searching.latest(found)
    if run and run.ended and request.method == "GET":
        return plan_pane(request, found)
    return render(request, "clothwright/search.html", {"project": found, **searching.shown(found, run)})


def today() -> datetime.date:
    """The day by the clock of this machine."""
    return datetime.datetime.now().astimezone().date()


@require_safe
@never_cache
def project_file(request: HttpRequest, key: UUID) -> HttpResponse:
    """The project as a file."""
    found = get_project(key)
    text = export_toml(store.head(found).tree)
    return download(text.encode(), "application/toml; charset=utf-8", f"{slug(found)}.toml")


@require_safe
@never_cache
def bundle(request: HttpRequest, key: UUID) -> HttpResponse:
    """The project as a file with its drawings and the photos it names, in one zip."""
    found = get_project(key)
    revision = store.head(found)
    photos = project_photos.photos_named(found, revision.tree)
    content = export_bundle(revision.tree, store.drawings_of(revision), photos)
    return download(content, "application/zip", f"{slug(found)}.zip")
