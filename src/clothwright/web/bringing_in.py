"""Files brought in: an archive of everything, a bundle, a project file; looked into first, read apart, and nothing here replaced.

At one table the page Keeping your work does it for the library; in a studio a member does it on a page of her account, and what comes
is hers.
"""

from __future__ import annotations

from functools import partial
from typing import Final
from uuid import UUID

from django.http import HttpRequest

from clothwright.library import store
from clothwright.library.files import LARGEST_BUNDLE, photos_of_uploads, read_uploads
from clothwright.library.keeping.archive import BroughtIn, bring_in, drawings_in, is_archive, would_bring_in
from clothwright.library.models import OnHand, Project
from clothwright.library.record import project_photos
from clothwright.library.shelves.photos import written_anew
from clothwright.web.apart import proved, read_apart, uploads_proved
from clothwright.web.forms.form import for_the_page

#: How much processor time an archive of years is given.
ARCHIVE_S: Final = 60.0
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
