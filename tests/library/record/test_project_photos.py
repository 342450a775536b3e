"""Photos of a project are kept once, named in its record or its log, and go with it into archives and back."""

from __future__ import annotations

import datetime
import io

import pytest
from library.shelves.test_photos import picture
from PIL import Image

from clothwright.library import store
from clothwright.library.keeping import archive
from clothwright.library.models import Project, ProjectPhoto, RecordNumber, Revision
from clothwright.library.record import project_photos
from clothwright.library.record.record_numbers import give_number
from clothwright.library.shelves.photos import SMALL_ACROSS, Picture, as_kept, written_anew
from clothwright.project import ProblemsFound

pytestmark = pytest.mark.django_db


@pytest.fixture
def stole() -> Project:
    return store.new_project({"name": "Sandbar stole", "record": {"date": "2026-03-14"}}, "started")


def record(project: Project) -> dict[str, object]:
    found: dict[str, object] = store.head(store.project(project.pk)).tree["record"]
    return found


def test_a_photo_is_named_in_the_record_with_its_words(stole: Project) -> None:
    kept = project_photos.add_to_record(stole, picture(), "front.heic.jpg", "  the stole,\nfrom the front ")
    assert record(stole)["photo"] == [{"file": "front.heic.jpg", "shows": "the stole, from the front"}]
    assert b"Kelp Cameras" not in bytes(kept.content)
    assert not Image.open(io.BytesIO(bytes(kept.content))).getexif()


def test_the_small_picture_is_small_and_of_the_same_shape(stole: Project) -> None:
    kept = project_photos.add_to_record(stole, picture((1200, 600)), "a.jpg", "")
    small = Image.open(io.BytesIO(bytes(kept.small)))
    assert small.size == (SMALL_ACROSS, SMALL_ACROSS // 2)


def test_the_same_picture_is_kept_once_and_another_of_its_name_gets_a_name_of_its_own(stole: Project) -> None:
    for content in (picture(), picture((200, 200)), picture()):
        project_photos.add_to_record(stole, content, "a.jpg", "words")
    assert sorted(project_photos.photos_of(stole)) == ["a 2.jpg", "a.jpg"]
    assert record(stole)["photo"] == [{"file": name, "shows": "words"} for name in ("a 2.jpg", "a.jpg")]


def test_undo_takes_a_photo_from_the_record_and_keeps_its_bytes(stole: Project) -> None:
    project_photos.add_to_record(stole, picture(), "a.jpg", "")
    store.undo(stole)
    assert "photo" not in record(stole)
    assert ProjectPhoto.objects.filter(project=stole).count() == 1


def test_a_photo_of_the_weaving_is_an_entry_of_the_log(stole: Project) -> None:
    project_photos.add_to_log(stole, picture(), "fell.jpg", "the fell at the second pin", "120 cm")
    (entry,) = store.head(store.project(stole.pk)).tree["log"]
    assert (entry["photo"], entry["photo_shows"], entry["woven"]) == (
        "fell.jpg",
        "the fell at the second pin",
        "120 cm",
    )


def test_an_entry_that_cannot_be_read_keeps_neither_entry_nor_picture(stole: Project) -> None:
    with pytest.raises(ProblemsFound, match="120 what"):
        project_photos.add_to_log(stole, picture(), "fell.jpg", "", "120")
    assert not ProjectPhoto.objects.exists()


def test_what_is_no_picture_changes_nothing(stole: Project) -> None:
    with pytest.raises(ProblemsFound, match="is no picture"):
        project_photos.add_to_record(stole, b"<svg onload='x'/>", "a.jpg", "")
    assert "photo" not in record(stole)


@pytest.mark.parametrize("record", ["a stole", {"photo": "front.jpg"}])
def test_a_record_that_cannot_be_added_to_stays_as_it_was_typed(record: object) -> None:
    project = store.new_project({"name": "Sandbar stole", "record": record}, "started")
    with pytest.raises(ProblemsFound, match="cannot be read as it stands"):
        project_photos.add_to_record(project, picture(), "a.jpg", "")
    assert store.head(store.project(project.pk)).tree["record"] == record
    assert not ProjectPhoto.objects.exists()


def test_a_photo_is_written_anew_before_anything_is_locked(stole: Project) -> None:
    """A picture that takes long to read keeps nobody from writing meanwhile."""

    def read(content: bytes, name: str) -> Picture:
        store.change(stole, {"name": "Sandbar stole", "record": {"date": "2026-03-15"}}, "meanwhile")
        return written_anew(content, name)

    project_photos.add_to_record(stole, picture(), "a.jpg", "", read=read)
    assert record(stole)["date"] == "2026-03-15"
    assert record(stole)["photo"]


def test_there_is_a_most_of_photos(stole: Project, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(project_photos, "MOST_PHOTOS", 1)
    project_photos.add_to_record(stole, picture(), "a.jpg", "")
    with pytest.raises(ProblemsFound, match="1 photos are kept of one project, the most"):
        project_photos.add_to_record(stole, picture((300, 100)), "b.jpg", "")


# --- archives ------------------------------------------------------------------------------------------------------


def emptied() -> None:
    RecordNumber.objects.all().delete()
    ProjectPhoto.objects.all().delete()
    Project.objects.update(head=None)
    Revision.objects.update(parent=None)
    Revision.objects.all().delete()
    Project.objects.all().delete()


def test_photos_and_number_come_back_from_an_archive_as_they_were(stole: Project) -> None:
    kept = project_photos.add_to_record(stole, picture(), "front.jpg", "the stole")
    number = give_number(stole, datetime.date(2026, 3, 20))
    content, before = archive.exported(), bytes(kept.content)
    emptied()
    archive.bring_in(content)
    back = ProjectPhoto.objects.get()
    assert (back.name, bytes(back.content), back.sha256) == ("front.jpg", before, kept.sha256)
    assert (RecordNumber.objects.get().year, RecordNumber.objects.get().running) == (number.year, number.running)
    assert archive.exported() == content


def test_bringing_the_same_archive_in_again_adds_no_photo(stole: Project) -> None:
    project_photos.add_to_record(stole, picture(), "front.jpg", "")
    content = archive.exported()
    archive.bring_in(content)
    assert ProjectPhoto.objects.count() == 1


def test_a_picture_with_more_in_it_than_a_picture_is_written_anew() -> None:
    """A comment segment (ITU-T T.81, B.2.4.5) and bytes after the end stand for what an archive could smuggle in."""
    plain = written_anew(picture(), "a.jpg").content
    assert as_kept(plain, "a.jpg").content == plain
    comment = plain[:2] + b"\xff\xfe\x00\x08secret" + plain[2:]
    for content in (comment, plain + b"secret", picture()):
        assert content != as_kept(content, "a.jpg").content
        assert b"secret" not in as_kept(content, "a.jpg").content
