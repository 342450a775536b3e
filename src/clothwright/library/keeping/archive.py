"""Everything kept, as one open archive that other programs can read, and bringing such an archive in.

The archive is a zip: of each project `project.toml` with its drawings as they stand, and `history.json` with every revision as typed
and every entry that came from a phone;
of each yarn, loom and sample on hand every state; every drawing and photo once, named by its SHA-256; the schema of the project file.

Bringing in adds, and changes nothing that is here: a project that is here already, with the same history or a longer one, is passed
over; one that went another way comes in as a project of its own.
"""

from __future__ import annotations

import io
import json
import re
import uuid
import zipfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from typing import Final

from django.db import IntegrityError, transaction
from pydantic import BaseModel

from clothwright import __version__
from clothwright.library import store, whose
from clothwright.library.files import BUNDLE_PROJECT, LARGEST_DRAWING, export_toml, stays_below
from clothwright.library.keeping.archive_opened import ABOUT, Archive, not_brought_in, opened_archive
from clothwright.library.keeping.archive_parts import (
    FORMAT,
    About,
    EntryKept,
    LeafletKept,
    NumberKept,
    OnHandKept,
    OrderKept,
    PhotoKept,
    ProjectKept,
    ProjectPhotoKept,
    RevisionKept,
    StateKept,
)
from clothwright.library.models import (
    Drawing,
    KeptOrder,
    Member,
    OnHand,
    OnHandState,
    PhoneEntry,
    Photo,
    Project,
    ProjectPhoto,
    PublishedLeaflet,
    Revision,
)
from clothwright.library.record import project_photos, record_numbers
from clothwright.library.shelves import on_hand, photos
from clothwright.library.shelves.on_hand import Kept
from clothwright.library.unreadable import UNREADABLE_ZIP
from clothwright.project import Project as Document

_HISTORY: Final = "history.json"
_STATES: Final = "states.json"
_SHEETS: Final = "sheets"
#: How often bringing in is begun anew where somebody else's writing came between.
_TRIES: Final = 3


@dataclass(frozen=True)
class BroughtIn:
    """What an archive added, by name, and what of it was here already."""

    added: tuple[str, ...]
    here_already: tuple[str, ...]
    #: The keys of what was added, to put it away again by.
    projects: tuple[uuid.UUID, ...] = ()
    things: tuple[uuid.UUID, ...] = ()


ReadPhoto = Callable[[bytes, str], photos.Picture]
#: Sheets of a project, by the name of their file; none where it is not settled.
SheetsOf = Callable[[Project], Mapping[str, bytes]]


def exported(sheets_of: SheetsOf | None = None) -> bytes:
    """Everything kept as one archive; the same library gives the same bytes. `sheets_of` adds each project's sheets."""
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in sorted(_files(sheets_of)):
            archive.writestr(zipfile.ZipInfo(name), content, zipfile.ZIP_DEFLATED)
    return whole.getvalue()


def _files(sheets_of: SheetsOf | None) -> Iterator[tuple[str, bytes]]:
    yield ABOUT, _json(About(clothwright_export=FORMAT, made_with=__version__))
    yield "schema.json", json.dumps(Document.model_json_schema(), indent=1, ensure_ascii=False).encode()
    for project in Project.objects.select_related("head").all():
        yield from _of_project(project)
        for name, content in (sheets_of(project) if sheets_of else {}).items():
            yield f"projects/{_folder(project.name, project.pk)}/{_SHEETS}/{name}", content
    for one in OnHand.objects.select_related("head").all():
        folder = f"on-hand/{_folder(one.name, one.pk)}"
        yield f"{folder}/{_STATES}", _json(_on_hand_kept(one))
    for drawing in Drawing.objects.order_by("sha256").distinct():
        yield f"drawings/{drawing.sha256}", bytes(drawing.content)
    for sha256, content in sorted({*_pictures()}):
        yield f"photos/{sha256}.jpg", content


def _pictures() -> Iterator[tuple[str, bytes]]:
    """Every photo, of samples and of projects."""
    for photo in Photo.objects.all():
        yield photo.sha256, bytes(photo.content)
    for picture in ProjectPhoto.objects.all():
        yield picture.sha256, bytes(picture.content)


def _of_project(project: Project) -> Iterator[tuple[str, bytes]]:
    folder, head = f"projects/{_folder(project.name, project.pk)}", store.head(project)
    yield f"{folder}/{BUNDLE_PROJECT}", export_toml(head.tree).encode()
    for name, content in store.drawings_of(head).items():
        if stays_below(name):
            yield f"{folder}/{name}", content
    yield f"{folder}/{_HISTORY}", _json(_project_kept(project))


def _project_kept(project: Project) -> ProjectKept:
    numbers = dict(Revision.objects.filter(project=project).values_list("pk", "number"))
    revisions = [
        RevisionKept(
            number=one.number,
            parent=numbers.get(one.parent_id) if one.parent_id else None,
            tree=one.tree,
            drawings=one.drawings,
            made_at=one.made_at,
            what=one.what,
        )
        for one in Revision.objects.filter(project=project).order_by("number")
    ]
    return ProjectKept(
        key=project.pk,
        created=project.created,
        put_away=project.put_away,
        head=store.head(project).number,
        revisions=revisions,
        orders=[
            OrderKept(digest=one.digest, runs=one.runs, first_seen=one.first_seen)
            for one in KeptOrder.objects.filter(project=project).order_by("digest")
        ],
        entries=[
            EntryKept(
                key=one.key,
                number=one.number,
                phone=one.phone,
                kind=one.kind,
                content=one.content,
                received_at=one.received_at,
                sentence=one.sentence,
            )
            for one in PhoneEntry.objects.filter(project=project)
        ],
        photos=[
            ProjectPhotoKept(name=one.name, sha256=one.sha256, added_at=one.added_at)
            for one in project_photos.photos_of(project).values()
        ],
        record=_number_kept(project),
        leaflets=[
            LeafletKept(number=one.number, version=one.version, day=one.day, content=one.content, made_at=one.made_at)
            for one in PublishedLeaflet.objects.filter(project=project)
        ],
    )


def _number_kept(project: Project) -> NumberKept | None:
    number = record_numbers.number_of(project)
    return NumberKept(number=record_numbers.words(number), before=number.before) if number else None


def _on_hand_kept(one: OnHand) -> OnHandKept:
    assert one.head is not None  # a thing on hand is kept with its first state
    states = [
        StateKept(number=state.number, tree=state.tree, made_at=state.made_at, what=state.what)
        for state in OnHandState.objects.filter(of=one).order_by("number")
    ]
    pictures = [PhotoKept(name=photo.name, sha256=photo.sha256) for photo in photos.photos_of(one)]
    return OnHandKept(
        key=one.pk,
        kind=Kept(one.kind),
        created=one.created,
        put_away=one.put_away,
        head=one.head.number,
        states=states,
        photos=pictures,
    )


def _json(value: BaseModel) -> bytes:
    return value.model_dump_json(indent=1).encode()


def _folder(name: str, key: uuid.UUID) -> str:
    """A folder a person can tell by its name, and no two alike."""
    plain = re.sub(r"[^\w]+", "-", name.lower()).strip("-")[:40] or "untitled"
    return f"{plain}-{str(key)[:8]}"


def is_archive(content: bytes) -> bool:
    """Whether a file is an archive of everything, whole or not."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            return ABOUT in archive.namelist()
    except UNREADABLE_ZIP:
        return False


def bring_in(content: bytes, *, read_photo: ReadPhoto = photos.written_anew) -> BroughtIn:
    """Add what an archive holds and is not here yet; ProblemsFound, and nothing added, where it cannot be read.

    `read_photo` writes a photo anew, where that is done elsewhere. What another brings in at the same moment, in another window or
    of the same archive, is there once it is asked for again.
    """
    for _ in range(_TRIES):
        with suppress(IntegrityError):
            return _brought_in(content, read_photo)
    raise not_brought_in("the same is being brought in elsewhere at this moment; try again, nothing was changed")


def _brought_in(content: bytes, read_photo: ReadPhoto) -> BroughtIn:
    with opened_archive(content) as archive, transaction.atomic():
        # In a studio one at a time for each member: what comes twice at once is here already for the second.
        Member.objects.select_for_update(no_key=True).filter(pk=whose.owner_now() or 0).first()
        projects, things = _described(archive)
        made = [(_project_name(one), _project_in(one, archive, read_photo)) for one in projects]
        put = [(_thing_name(one), _thing_in(one, archive, read_photo)) for one in things]
    told = [*made, *put]
    return BroughtIn(
        tuple(name for name, key in told if key),
        tuple(name for name, key in told if not key),
        tuple(key for _, key in made if key),
        tuple(key for _, key in put if key),
    )


def drawings_in(content: bytes) -> Iterator[bytes]:
    """Every drawing of an archive, once, after all that describes its projects and things; ProblemsFound where it cannot be read."""
    with opened_archive(content) as archive:
        _described(archive)
        for name in archive.drawings():
            yield archive.bytes_of(name, LARGEST_DRAWING)


def _described(archive: Archive) -> tuple[list[ProjectKept], list[OnHandKept]]:
    """What the archive says of its projects, and of things on hand."""
    projects = [archive.read(name, ProjectKept) for name in archive.names(_HISTORY)]
    return projects, [archive.read(name, OnHandKept) for name in archive.names(_STATES)]


def would_bring_in(content: bytes) -> BroughtIn:
    """What an archive would add, and what of it is here already; nothing is changed, and no drawing or photo is looked at yet."""
    with opened_archive(content) as archive:
        projects, things = _described(archive)
    told = [(_project_name(one), _holds(one)) for one in projects]
    told += [(_thing_name(one), _thing_here(one)) for one in things]
    return BroughtIn(tuple(name for name, here in told if not here), tuple(name for name, here in told if here))


def _project_name(kept: ProjectKept) -> str:
    return store.shown_name(next(one.tree for one in kept.revisions if one.number == kept.head))


def _thing_name(kept: OnHandKept) -> str:
    return on_hand.shown_name(next(one.tree for one in kept.states if one.number == kept.head), kept.kind)


def _project_in(kept: ProjectKept, archive: Archive, read_photo: ReadPhoto) -> uuid.UUID | None:
    """The key a project came in under; None where it is here already."""
    if _holds(kept):
        for here in Project.objects.filter(pk=kept.key):
            _entries_in(here, kept)
            _record_in(here, kept, archive, read_photo)
            _leaflets_in(here, kept)
        return None
    key, name = uuid.uuid4() if Project.every.filter(pk=kept.key).exists() else kept.key, _project_name(kept)
    project = Project.objects.create(pk=key, name=name, created=kept.created, put_away=kept.put_away)
    for drawing, sha256 in sorted({pair for one in kept.revisions for pair in one.drawings.items()}):
        content = archive.content(f"drawings/{sha256}", LARGEST_DRAWING, sha256)
        Drawing.objects.create(project=project, name=drawing[:200], sha256=sha256, content=content)
    made: dict[int, Revision] = {}
    for one in sorted(kept.revisions, key=lambda one: one.number):
        made[one.number] = Revision.objects.create(
            project=project,
            number=one.number,
            parent=made[one.parent] if one.parent is not None else None,
            tree=one.tree,
            drawings=one.drawings,
            made_at=one.made_at,
            what=one.what,
        )
    project.head = made[kept.head]
    project.save(update_fields=["head"])
    _entries_in(project, kept)
    _record_in(project, kept, archive, read_photo)
    _leaflets_in(project, kept)
    return key


def _record_in(project: Project, kept: ProjectKept, archive: Archive, read_photo: ReadPhoto) -> None:
    """The photos of a project, each once, and the number of its record."""
    for one in kept.photos:
        content = archive.content(f"photos/{one.sha256}.jpg", photos.LARGEST_PHOTO, one.sha256)
        project_photos.take_in(project, content, one.name, one.added_at, read_photo)
    if kept.record:
        record_numbers.take_in(project, kept.record.number, kept.record.before)


def _leaflets_in(project: Project, kept: ProjectKept) -> None:
    """Versions of its leaflet that were given out; one that is here already stays as it is."""
    here = list(PublishedLeaflet.objects.filter(project=project).values_list("number", "version"))
    last, known = max((number for number, _ in here), default=0), {version for _, version in here}
    for one in sorted(kept.leaflets, key=lambda one: one.number):
        if one.version not in known:
            last = max(last + 1, one.number)
            PublishedLeaflet.objects.create(project=project, **{**one.model_dump(), "number": last})


def _entries_in(project: Project, kept: ProjectKept) -> None:
    """What came from phones, each entry once; one that is here already stays with its project, one of another member's is copied."""
    for order in kept.orders:
        known = {"runs": order.runs, "first_seen": order.first_seen}
        KeptOrder.objects.get_or_create(project=project, digest=order.digest, defaults=known)
    here = set(PhoneEntry.objects.filter(key__in=[one.key for one in kept.entries]).values_list("key", flat=True))
    elsewhere = (
        set(PhoneEntry.every.filter(key__in=[one.key for one in kept.entries]).values_list("key", flat=True)) - here
    )
    taken = set(PhoneEntry.objects.filter(project=project).values_list("number", flat=True))
    for one in sorted(kept.entries, key=lambda one: one.number):
        if one.key not in here:
            number = one.number if one.number not in taken else max(taken) + 1
            taken.add(number)
            key = uuid.uuid4() if one.key in elsewhere else one.key
            PhoneEntry.objects.create(project=project, **{**one.model_dump(), "number": number, "key": key})


def _holds(kept: ProjectKept) -> bool:
    """Whether some project here has every revision of the one kept: the same one, or one brought in before."""
    wanted = {(one.number, one.parent, json.dumps(one.tree, sort_keys=True)) for one in kept.revisions}
    first = min(kept.revisions, key=lambda one: one.number)
    alike = Revision.objects.filter(number=first.number, made_at=first.made_at).values_list("project", flat=True)
    return any(wanted <= _revisions_here(key) for key in {kept.key, *alike})


def _revisions_here(key: uuid.UUID) -> set[tuple[int, int | None, str]]:
    here = Revision.objects.filter(project=key).values_list("number", "parent__number", "tree")
    return {(number, parent, json.dumps(tree, sort_keys=True)) for number, parent, tree in here}


def _thing_in(kept: OnHandKept, archive: Archive, read_photo: ReadPhoto) -> uuid.UUID | None:
    """The key a thing on hand came in under; None where it is here already."""
    if _thing_here(kept):
        return None
    key, name = uuid.uuid4() if OnHand.every.filter(pk=kept.key).exists() else kept.key, _thing_name(kept)
    thing = OnHand.objects.create(pk=key, kind=kept.kind, name=name, created=kept.created, put_away=kept.put_away)
    made = {
        one.number: OnHandState.objects.create(
            of=thing, number=one.number, tree=one.tree, made_at=one.made_at, what=one.what
        )
        for one in sorted(kept.states, key=lambda one: one.number)
    }
    thing.head = made[kept.head]
    thing.save(update_fields=["head"])
    for photo in kept.photos:
        content = archive.content(f"photos/{photo.sha256}.jpg", photos.LARGEST_PHOTO, photo.sha256)
        photos.keep_photo(thing, content, photo.name, read=partial(photos.as_kept, read=read_photo))
    return key


def _thing_here(kept: OnHandKept) -> bool:
    wanted = {(one.number, json.dumps(one.tree, sort_keys=True)) for one in kept.states}
    first = min(kept.states, key=lambda one: one.number)
    alike = OnHandState.objects.filter(number=first.number, made_at=first.made_at).values_list("of", flat=True)
    for key in {kept.key, *alike}:
        here = OnHandState.objects.filter(of=key).values_list("number", "tree")
        if wanted <= {(number, json.dumps(tree, sort_keys=True)) for number, tree in here}:
            return True
    return False
