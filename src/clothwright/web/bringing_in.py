"""Files brought in: an archive of everything, a bundle, a project file; looked into first, read apart, and nothing here replaced.

At one table the page Keeping your work does it for the library; in a studio a member does it on a page of her account, and what comes
is hers.
"""

from __future__ import annotations

from functools import partial
from pathlib import PurePath
from typing import Any, Final
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from clothwright.library import project_photos, store
from clothwright.library.archive import BroughtIn, bring_in, drawings_in, is_archive, would_bring_in
from clothwright.library.backing_up import is_copy
from clothwright.library.files import LARGEST_BUNDLE, photos_of_uploads, read_uploads
from clothwright.library.models import OnHand, Project
from clothwright.library.photos import written_anew
from clothwright.library.waiting import drop, keep_waiting, waiting
from clothwright.project import Problem, ProblemsFound
from clothwright.web.apart import proved, read_apart, uploads_proved
from clothwright.web.form import for_the_page
from clothwright.web.gate import asking

#: How much processor time an archive of years is given.
ARCHIVE_S: Final = 60.0
_COPY: Final = (
    "this is a copy of a whole library, everybody's; it is put back on the studio's machine. Bring in a file of everything that is yours, "
    "or a project file"
)
read_photo: Final = partial(read_apart, written_anew)


def would_bring(content: bytes, name: str) -> BroughtIn:
    """What a file would add, and what of it is here already; ProblemsFound where it cannot be read."""
    if is_archive(content):
        read_apart(_archive_proved, content, seconds=ARCHIVE_S)
        return would_bring_in(content)
    tree, _ = read_apart(read_uploads, {name: content[: LARGEST_BUNDLE + 1]})
    return BroughtIn((store.shown_name(tree),), ())


def bring(content: bytes, name: str) -> BroughtIn:
    """Bring a file in; ProblemsFound, and nothing is added, where it cannot be read."""
    if is_archive(content):
        read_apart(_archive_proved, content, seconds=ARCHIVE_S)
        return bring_in(content, read_photo=read_photo)
    made = begun_from({name: content[: LARGEST_BUNDLE + 1]}, f"brought in from {name}")
    return BroughtIn((made.name,), (), (made.pk,))


def begun_from(files: dict[str, bytes], what: str) -> Project:
    """A new project from a project file with its drawings, or from a bundle, photos and all; each is read apart first."""
    tree, drawings = read_apart(uploads_proved, files)
    photos = read_apart(photos_of_uploads, files)
    return project_photos.new_project_with(for_the_page(tree), what, drawings, photos, read=read_photo)


def _archive_proved(content: bytes) -> None:
    """Read everything an archive says, and every drawing, once."""
    proved(drawings_in(content))


def put_away_brought_in(request: HttpRequest) -> None:
    """Put away what a file brought in, as the page that told of it names it."""
    for one in Project.objects.filter(pk__in=_keys(request, "project")):
        store.put_away(one)
    OnHand.objects.filter(pk__in=_keys(request, "thing")).update(put_away=True)


def _keys(request: HttpRequest, name: str) -> list[UUID]:
    keys = []
    for text in request.POST.getlist(name)[:10_000]:
        try:
            keys.append(UUID(text))
        except ValueError:
            continue
    return keys


# --- a member's own ---------------------------------------------------------------------------------------------------


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
