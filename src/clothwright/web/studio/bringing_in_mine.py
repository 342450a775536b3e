"""The page of a member on which she brings in what she kept elsewhere; what comes is hers."""

from __future__ import annotations

from pathlib import PurePath
from typing import Any, Final

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from clothwright.library.keeping.backing_up import is_copy
from clothwright.library.keeping.waiting import drop, keep_waiting, waiting
from clothwright.project import Problem, ProblemsFound
from clothwright.web.bringing_in import bring, put_away_brought_in, would_bring
from clothwright.web.studio.gate import asking

_COPY: Final = (
    "this is a copy of a whole library, everybody's; it is put back on the studio's machine. Bring in a file of everything that is yours, "
    "or a project file"
)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def mine(request: HttpRequest) -> HttpResponse:
    """Choose a file to bring in; a post takes it and leads to what is in it, or puts away again what came."""
    member = asking(request)
    if request.method != "POST":
        return _mine(request)
    if request.POST.get("do") == "put away":
        put_away_brought_in(request)
        return redirect(f"{reverse('bring_in_mine')}?away=1")
    upload = request.FILES.get("file")
    if upload is None:
        return _mine(request, problems=(Problem((), "choose a file first"),), status=422)
    token = keep_waiting(upload.chunks(), PurePath(upload.name or "").name[:200], member.pk)
    return redirect("bring_in_mine_look", token=token)


def _mine(request: HttpRequest, *, status: int = 200, **more: Any) -> HttpResponse:
    return render(request, "clothwright/bring_in_mine.html", more, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def look(request: HttpRequest, token: str) -> HttpResponse:
    """What a member's file holds and what would become of it; a post brings it in, or lets it go."""
    member = asking(request)
    found = waiting(token, member.pk)
    if found is None:
        raise Http404
    file, name = found
    try:
        if is_copy(file):
            raise ProblemsFound(Problem((), _COPY))
        if request.method != "POST":
            told = {"name": name, "token": token, "found": would_bring(file.read_bytes(), name)}
            return render(request, "clothwright/bring_in_mine_look.html", told)
        brought_in = bring(file.read_bytes(), name) if request.POST.get("do") == "bring in" else None
    except ProblemsFound as wrong:
        drop(token, member.pk)
        return _mine(request, file_name=name, problems=wrong.problems, status=422)
    drop(token, member.pk)
    return _mine(request, brought_in=brought_in) if brought_in else redirect("bring_in_mine")
