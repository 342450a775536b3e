"""The page Keeping: copies made and put back, everything out as one open file, and files brought in.

A file that is sent waits in the data folder until its page was looked at: what it holds, what would become of what is here, and how
that is undone. Only then does a button do it.
"""

from __future__ import annotations

import datetime
import shutil
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path, PurePath
from typing import Any

from django.db import connection
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clothwright import __version__
from clothwright.library import store
from clothwright.library.folder import data_folder, database_file
from clothwright.library.keeping.archive import exported
from clothwright.library.keeping.backing_up import (
    Held,
    back_up,
    copies_kept,
    held_in,
    held_now,
    is_copy,
    made_at,
    restore_in_use,
)
from clothwright.library.keeping.upgrading import bring_up_to_date
from clothwright.library.keeping.waiting import drop, keep_waiting, waiting
from clothwright.library.models import Project
from clothwright.library.pieces import search_queue
from clothwright.project import Problem, ProblemsFound
from clothwright.sheets import SHEETS, How, draw
from clothwright.web import planned, searching
from clothwright.web.answering import download
from clothwright.web.bringing_in import bring, put_away_brought_in, would_bring
from clothwright.web.sheets.sheet_given import Given
from clothwright.web.showing import is_imperial
from clothwright.web.stillness import STILLNESS


@dataclass(frozen=True)
class ShownCopy:
    """A copy as the page lists it."""

    name: str
    made: datetime.datetime
    bytes: int


@require_safe
@never_cache
def page(request: HttpRequest) -> HttpResponse:
    """Copies, everything in one file, a file to bring in, and how the library stands."""
    return _page(request)


def _page(
    request: HttpRequest, more: Mapping[str, Any] | None = None, problems: tuple[Problem, ...] = (), status: int = 200
) -> HttpResponse:
    copies = [_shown(one) for one in reversed(copies_kept())]
    context = {
        "copies": copies,
        "before": next((one for one in copies if one.name == request.GET.get("before", "")), None),
        "problems": problems,
        "folder": data_folder(),
        "bytes": sum(_size(database_file().with_name(f"library.sqlite3{end}")) for end in ("", "-wal")),
        "free": shutil.disk_usage(data_folder()).free if data_folder().is_dir() else 0,
        "version": __version__,
        "on_this_machine": connection.vendor == "sqlite",
    }
    return render(request, "clothwright/keeping.html", context | dict(more or {}), status=status)


def _shown(copy: Path) -> ShownCopy:
    return ShownCopy(copy.name, made_at(copy), _size(copy))


def _size(file: Path) -> int:
    return file.stat().st_size if file.is_file() else 0


@require_POST
def copy_now(request: HttpRequest) -> HttpResponse:
    """Make a copy of everything."""
    try:
        made = back_up()
    except ProblemsFound as wrong:
        return _page(request, problems=wrong.problems, status=422)
    return redirect(f"{reverse('copy', args=[made.name])}?made=1")


def _copy(name: str) -> Path:
    """The copy of that name; the page for what is not there if there is none."""
    found = next((one for one in copies_kept() if one.name == name), None)
    if found is None:
        raise Http404
    return found


@require_safe
@never_cache
def copy_file(request: HttpRequest, name: str) -> HttpResponseBase:
    """A copy, to be kept on another disk."""
    return FileResponse(_copy(name).open("rb"), as_attachment=True, filename=name, content_type="application/zip")


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def copy(request: HttpRequest, name: str) -> HttpResponse:
    """What a copy holds beside what is here; a post puts it back."""
    file = _copy(name)
    return _put_back(request, file) if request.method == "POST" else _beside(request, file, name)


def _beside(request: HttpRequest, file: Path, name: str, more: Mapping[str, Any] | None = None) -> HttpResponse:
    """What a copy holds beside what is here, before it is put back."""
    try:
        held = held_in(file)
    except ProblemsFound as wrong:
        return _page(request, problems=wrong.problems, status=422)
    rows = _compared(held, held_now() if database_file().is_file() else Held(0, 0, 0, ""))
    context = {"name": name, "rows": rows, "fewer": held.changes < held_now().changes, "made": "made" in request.GET}
    return render(request, "clothwright/keeping_copy.html", context | dict(more or {}))


def _compared(copy: Held, here: Held) -> list[tuple[str, str, str]]:
    return [
        ("projects", str(copy.projects), str(here.projects)),
        ("yarns, looms and samples on hand", str(copy.on_hand), str(here.on_hand)),
        ("changes kept", str(copy.changes), str(here.changes)),
        ("last change (UTC)", copy.last_change[:16] or "none", here.last_change[:16] or "none"),
    ]


def _put_back(request: HttpRequest, file: Path) -> HttpResponse:
    """Put a copy back while nothing else is answered, and forget whatever was reckoned from what was here."""
    if searching.running() is not None:
        problem = Problem((), "a layout is being searched for; stop the search first, and nothing is half done")
        return _page(request, problems=(problem,), status=409)
    try:
        with STILLNESS.alone():
            connection.close()
            before = restore_in_use(file)
            bring_up_to_date()
            search_queue.end_those_cut_off()
            planned.forget_plans()
    except ProblemsFound as wrong:
        return _page(request, problems=wrong.problems, status=422)
    return redirect(f"{reverse('keeping')}?before={before.name if before else ''}&put_back=1")


@require_POST
def send(request: HttpRequest) -> HttpResponse:
    """Take a file that is to be brought in, and lead to the page that tells what is in it."""
    upload = request.FILES.get("file")
    if upload is None:
        return _page(request, problems=(Problem((), "choose a file first"),), status=422)
    return redirect("waiting", token=keep_waiting(upload.chunks(), PurePath(upload.name or "").name[:200]))


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def sent(request: HttpRequest, token: str) -> HttpResponse:
    """What a file that waits holds and what would become of it; a post does it, or lets the file go."""
    found = waiting(token)
    if found is None:
        raise Http404
    file, name = found
    try:
        if request.method == "POST":
            return _taken(request, file, name, token)
        if is_copy(file):
            return _beside(request, file, name, {"token": token})
        context = {"name": name, "token": token, "found": would_bring(file.read_bytes(), name)}
        return render(request, "clothwright/keeping_sent.html", context)
    except ProblemsFound as wrong:
        drop(token)
        return _page(request, {"file_name": name}, wrong.problems, 422)


def _taken(request: HttpRequest, file: Path, name: str, token: str) -> HttpResponse:
    """Do with a file that waits what was pressed: let it go, put it back, or bring it in."""
    if request.POST.get("do") == "leave":
        drop(token)
        return redirect("keeping")
    if is_copy(file):
        answer = _put_back(request, file)
    else:
        answer = _page(request, {"brought_in": bring(file.read_bytes(), name)})
    drop(token)
    return answer


@require_POST
def put_away_again(request: HttpRequest) -> HttpResponse:
    """Put away whatever a file brought in: it is off the table and the shelves, and kept."""
    put_away_brought_in(request)
    return redirect(f"{reverse('keeping')}?away=1")


@require_safe
@never_cache
def everything(request: HttpRequest) -> HttpResponse:
    """Everything as one open archive, with every project's sheets where asked."""
    content = exported(sheets_of if "sheets" in request.GET else None)
    day = datetime.datetime.now().astimezone().date()
    return download(content, "application/zip", f"clothwright-{day}-everything.zip")


def sheets_of(project: Project) -> dict[str, bytes]:
    """A project's usual sheets, dated as its last change; none that is drawn from what is not settled."""
    revision, drawn = store.head(project), {}
    how = How(revision.made_at.date(), is_imperial(revision))
    for row in SHEETS:
        if row.usual:
            with suppress(ProblemsFound):
                drawn[f"{row.kind}.pdf"] = draw(row, Given(revision, {}), how)
    return drawn
