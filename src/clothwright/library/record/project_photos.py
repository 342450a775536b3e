"""Photos of a project: of its garment and of its weaving, kept by SHA-256 beside it, named in its tree.

The tree names a photo by its file's name and says in words what it shows; here are its bytes, written anew. So undo takes a
photo from a record and keeps its bytes, and a name means one picture of a project for good.
"""

from __future__ import annotations

import copy
import datetime
import hashlib
import uuid
from collections.abc import Callable, Mapping
from pathlib import PurePath
from typing import Any, Final

from django.db import transaction
from django.utils import timezone

from clothwright.library import store
from clothwright.library.loom.weaving_log import add_entry
from clothwright.library.models import Project, ProjectPhoto
from clothwright.library.record.record_notes import rows_of_record
from clothwright.library.shelves.photos import Picture, as_kept, small_picture, written_anew
from clothwright.project import Problem, ProblemsFound

MOST_PHOTOS: Final = 60
#: Writes a photo anew, here or in a process apart.
ReadPhoto = Callable[[bytes, str], Picture]
LONGEST_WORDS: Final = 300
_LONGEST_NAME: Final = 100


def _kept(project: Project, picture: Picture, name: str) -> ProjectPhoto:
    """Keep a picture written anew; the same picture of a project is kept once, under its first name. ProblemsFound where there are too many."""
    sha256 = hashlib.sha256(picture.content).hexdigest()
    there = ProjectPhoto.objects.filter(project=project, sha256=sha256).first()
    if there is not None:
        return there
    if ProjectPhoto.objects.filter(project=project).count() >= MOST_PHOTOS:
        sentence = f"{MOST_PHOTOS} photos are kept of one project, the most; “{name}” was not added"
        raise ProblemsFound(Problem(("photo",), sentence))
    return _create(project, picture, sha256, _free_name(project, name), timezone.now())


@transaction.atomic
def take_in(
    project: Project, content: bytes, name: str, added_at: datetime.datetime, read: ReadPhoto = written_anew
) -> None:
    """Keep a photo that another library had written anew, the very same bytes under the same name, where it is not here yet.

    ProblemsFound where they are no picture.
    """
    there = ProjectPhoto.objects.filter(project=project)
    picture = as_kept(content, name, read)
    sha256 = hashlib.sha256(picture.content).hexdigest()
    if not there.filter(sha256=sha256).exists():
        free = name if not there.filter(name=name).exists() else _free_name(project, name)
        _create(project, picture, sha256, free, added_at)


def _create(project: Project, picture: Picture, sha256: str, name: str, added_at: datetime.datetime) -> ProjectPhoto:
    return ProjectPhoto.objects.create(
        project=project,
        name=name,
        sha256=sha256,
        content=picture.content,
        small=small_picture(picture.content),
        width=picture.width,
        height=picture.height,
        added_at=added_at,
    )


def _free_name(project: Project, name: str) -> str:
    """The name of the file, with a number where another picture of the project has it."""
    stem = PurePath(name.replace("\0", "")).stem.strip()[:_LONGEST_NAME] or "photo"
    taken = set(ProjectPhoto.objects.filter(project=project).values_list("name", flat=True))
    names = (f"{stem}{f' {number}' if number > 1 else ''}.jpg" for number in range(1, MOST_PHOTOS + 2))
    return next(one for one in names if one not in taken)


def photos_named(project: Project, tree: Mapping[str, Any]) -> dict[str, bytes]:
    """The photos that a project's tree names, in its record and its log, by their names: what goes with it in a bundle."""
    record = tree.get("record")
    in_record = [("file", one) for one in _rows(record.get("photo"))] if isinstance(record, Mapping) else []
    in_log = [("photo", one) for one in _rows(tree.get("log"))]
    names = {str(row[field]) for field, row in [*in_record, *in_log] if row.get(field)}
    found = ProjectPhoto.objects.filter(project=project, name__in=sorted(names))
    return {one.name: bytes(one.content) for one in found}


def _rows(value: object) -> list[Mapping[str, Any]]:
    return [one for one in value if isinstance(one, Mapping)] if isinstance(value, list) else []


def new_project_with(
    tree: dict[str, Any],
    what: str,
    drawings: Mapping[str, bytes],
    photos: Mapping[str, bytes],
    *,
    read: ReadPhoto = written_anew,
) -> Project:
    """A new project from files handed over together, its photos under the names its tree calls them by.

    Every photo is written anew before anything is kept; one of ours stays as it is. ProblemsFound, and nothing is kept, where one is no
    photo, or there are too many.
    """
    if len(photos) > MOST_PHOTOS:
        raise ProblemsFound(
            Problem(("photo",), f"{MOST_PHOTOS} photos are kept of one project, the most; {len(photos)} came")
        )
    pictures = {name: as_kept(content, name, read) for name, content in sorted(photos.items())}
    with transaction.atomic():
        made, now = store.new_project(tree, what, drawings), timezone.now()
        for name, picture in pictures.items():
            sha256 = hashlib.sha256(picture.content).hexdigest()
            if not ProjectPhoto.objects.filter(project=made, sha256=sha256).exists():
                _create(made, picture, sha256, name[:200], now)
        return made


def photos_of(project: Project) -> dict[str, ProjectPhoto]:
    """The photos of a project by their names, without their content."""
    return {one.name: one for one in ProjectPhoto.objects.filter(project=project).defer("content", "small")}


def photo(project: Project, sha256: str) -> ProjectPhoto:
    """One photo of a project; ProjectPhoto.DoesNotExist if there is none."""
    return ProjectPhoto.objects.get(project=project, sha256=sha256)


def add_to_record(
    project: Project, content: bytes, name: str, shows: str, *, read: ReadPhoto = written_anew
) -> ProjectPhoto:
    """Keep a photo of the garment and name it in the record, with the words for who cannot see it.

    `read` writes it anew, before anything here is locked. ProblemsFound, and nothing is kept, where it is no photo, is too large, there
    are too many, or the record cannot be added to as it stands.
    """
    picture = read(content, name)
    with transaction.atomic():
        store.lock(project)
        kept = _kept(project, picture, name)
        tree = copy.deepcopy(store.head(project).tree)
        there = rows_of_record(tree, "photo")
        others = [one for one in there if not (isinstance(one, dict) and one.get("file") == kept.name)]
        tree["record"]["photo"] = [*others, {"file": kept.name, "shows": _words(shows)}]
        store.change(project, tree, f"photo {kept.name}")
        return kept


def add_to_log(
    project: Project, content: bytes, name: str, shows: str, woven: str = "", *, read: ReadPhoto = written_anew
) -> ProjectPhoto:
    """Keep a photo of the weaving, and an entry of the log that names it; ProblemsFound, and neither is kept, where either cannot be read."""
    picture = read(content, name)
    when = datetime.datetime.now(datetime.UTC).astimezone().strftime("%Y-%m-%d %H:%M")
    entry = {
        "key": f"photo-{uuid.uuid4().hex[:10]}",
        "when": when,
        "photo_shows": _words(shows),
        "woven": woven.strip(),
    }
    with transaction.atomic():
        store.lock(project)
        kept = _kept(project, picture, name)
        add_entry(project, {key: value for key, value in {**entry, "photo": kept.name}.items() if value})
        return kept


def _words(shows: str) -> str:
    return " ".join(shows.replace("\0", " ").split())[:LONGEST_WORDS]
