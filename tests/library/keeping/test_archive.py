"""Everything out as one open archive, and in again."""

from __future__ import annotations

import hashlib
import io
import json
import tomllib
import uuid
import zipfile
from collections.abc import Callable

import pytest
from PIL import Image

from clothwright.library import store
from clothwright.library.keeping import archive_opened
from clothwright.library.keeping.archive import bring_in, exported, is_archive
from clothwright.library.loom.entries import NewEntry, keep_entry, keep_order
from clothwright.library.models import (
    Drawing,
    KeptOrder,
    OnHand,
    OnHandState,
    PhoneEntry,
    Photo,
    Project,
    Revision,
)
from clothwright.library.shelves import on_hand, photos
from clothwright.project import ProblemsFound

pytestmark = pytest.mark.django_db
SVG = b'<svg xmlns="http://www.w3.org/2000/svg"/>'


@pytest.fixture
def kept() -> bytes:
    """An archive of a project with an undone change and a drawing, a yarn, and a sample with a photo."""
    project = store.new_project({"name": "Glasswort bag"}, "started", {"bag.svg": SVG})
    store.change(project, {"name": "Glasswort bag", "units": "imperial"}, "units")
    store.undo(project)
    store.change(project, {"name": "Glasswort sack", "pattern": {"file": "bag.svg"}}, "name")
    order = keep_order(project, [{"yarn": "sandbar", "ends": 8, "ball": 0, "colour": ""}])
    for number in (1, 2):
        said = {"kind": "tick", "order": order.digest, "first": number, "last": number}
        keep_entry(project, NewEntry(uuid.UUID(int=number), "phone-1", "tick", said))
    on_hand.add(on_hand.Kept.YARN, {"units": "metric", "yarn": [{"name": "sandbar"}]}, "added")
    sample = on_hand.add(on_hand.Kept.SAMPLE, {"units": "metric", "sample": [{"name": "square"}]}, "added")
    picture = io.BytesIO()
    Image.new("RGB", (40, 30), "teal").save(picture, "PNG")
    photos.keep_photo(sample, picture.getvalue(), "square.png")
    return exported()


def emptied() -> None:
    """A library with nothing in it."""
    Project.objects.update(head=None)
    OnHand.objects.update(head=None)
    Revision.objects.update(parent=None)
    for model in (PhoneEntry, KeptOrder, Photo, OnHandState, OnHand, Drawing, Revision, Project):
        model.objects.all().delete()


def changed(content: bytes, name_ends: str, change: Callable[[bytes], bytes | None]) -> bytes:
    """The archive with one file changed, or left out."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as before, zipfile.ZipFile(out, "w") as after:
        for name in before.namelist():
            held = before.read(name)
            now = change(held) if name.endswith(name_ends) else held
            if now is not None:
                after.writestr(name, now)
    return out.getvalue()


def test_an_empty_library_that_brings_it_in_exports_the_same_bytes(kept: bytes) -> None:
    """Every revision with its parent, every state; photos are written anew, and so are left out of the comparison."""
    emptied()
    found = bring_in(kept)
    assert sorted(found.added) == ["Glasswort sack", "sandbar", "square"]
    with zipfile.ZipFile(io.BytesIO(kept)) as one, zipfile.ZipFile(io.BytesIO(exported())) as other:
        before, after = (
            {name: each.read(name) for name in each.namelist() if "photos" not in name and "square" not in name}
            for each in (one, other)
        )
    assert before == after
    assert Photo.objects.count() == 1
    assert [one.number for one in PhoneEntry.objects.all()] == [1, 2]


def test_entries_of_phones_that_came_after_it_are_brought_into_the_project_that_is_here(kept: bytes) -> None:
    """Each once; a number that is taken is not given twice."""
    PhoneEntry.objects.filter(number=2).delete()
    (project,) = Project.objects.all()
    keep_entry(project, NewEntry(uuid.UUID(int=3), "phone-2", "tick", {"kind": "tick"}))
    for _ in range(2):
        assert bring_in(kept).added == ()
        found = [(one.number, one.key.int) for one in PhoneEntry.objects.all()]
        assert found == [(1, 1), (2, 3), (3, 2)]


def test_bringing_it_in_again_adds_nothing(kept: bytes) -> None:
    """Neither into the library it came from, nor a second time elsewhere."""
    assert bring_in(kept).added == ()
    emptied()
    bring_in(kept)
    assert bring_in(kept).added == ()
    assert Project.objects.count() == 1


def test_a_project_that_went_on_here_is_left_as_it_is(kept: bytes) -> None:
    """Its history is longer, and holds all of the archive's."""
    project = Project.objects.get()
    store.change(project, {"name": "Glasswort bag, lined"}, "name")
    assert bring_in(kept).added == ()
    assert store.head(store.project(project.pk)).tree == {"name": "Glasswort bag, lined"}


def test_a_project_that_went_another_way_comes_in_beside_the_one_here(kept: bytes) -> None:
    """Neither takes the other's place."""
    other = changed(kept, "history.json", lambda held: held.replace(b"Glasswort sack", b"Glasswort tote"))
    assert bring_in(other).added == ("Glasswort tote",)
    assert sorted(one.name for one in Project.objects.all()) == ["Glasswort sack", "Glasswort tote"]


def test_other_programs_can_read_it(kept: bytes) -> None:
    """The project as TOML with its drawing beside it, and the schema."""
    with zipfile.ZipFile(io.BytesIO(kept)) as opened:
        (name,) = [one for one in opened.namelist() if one.endswith("project.toml")]
        assert tomllib.loads(opened.read(name).decode()) == {"name": "Glasswort sack", "pattern": {"file": "bag.svg"}}
        assert opened.read(name.replace("project.toml", "bag.svg")) == SVG
        assert opened.read(f"drawings/{hashlib.sha256(SVG).hexdigest()}") == SVG
        assert "properties" in json.loads(opened.read("schema.json"))
    assert is_archive(kept)
    assert not is_archive(b"salt")


@pytest.mark.parametrize(
    ("name", "change", "sentence"),
    [
        ("about.json", lambda held: held.replace(b'"clothwright_export": 1', b'"clothwright_export": 9'), "format 9"),
        ("history.json", lambda _: b"{}", "cannot be read"),
        ("history.json", lambda held: held.replace(b'"parent": 1', b'"parent": 7', 1), "is not there"),
        ("history.json", lambda held: held.replace(b'"head": 3', b'"head": 30'), "30 counts and is not there"),
        ("states.json", lambda held: held.replace(b'"kind": "yarn"', b'"kind": "boat"'), "cannot be read"),
        (".jpg", lambda _: b"salt", "is not what it was"),
        (".jpg", lambda _: None, "which is not in it"),
        (hashlib.sha256(SVG).hexdigest(), lambda held: held + b" ", "is not what it was"),
    ],
    ids=lambda one: one if isinstance(one, str) else "",
)
def test_an_archive_that_is_not_whole_brings_in_nothing(
    kept: bytes, name: str, change: Callable[[bytes], bytes | None], sentence: str
) -> None:
    """One sentence, and the library is as empty as before."""
    emptied()
    with pytest.raises(ProblemsFound, match=sentence):
        bring_in(changed(kept, name, change))
    assert Project.objects.count() == OnHand.objects.count() == Drawing.objects.count() == 0


def test_what_unpacks_to_too_much_is_refused(kept: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    """Read no further than the limit, whatever the archive claims."""
    monkeypatch.setattr(archive_opened, "_LARGEST_HISTORY", 10_000)
    emptied()
    swollen = changed(kept, "history.json", lambda held: held + b" " * 1_000_000)
    with pytest.raises(ProblemsFound, match="is larger than"):
        bring_in(swollen)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (
            lambda held: held.replace(b'"tree": {', b'"tree": {"a": ' + b"[" * 500 + b"]" * 500 + b", ", 1),
            "deep in one another",
        ),
        (lambda held: held.replace(b'"tree": {', b'"tree": {"a": ' + b"9" * 4000 + b", ", 1), "300 figures"),
        (lambda held: held.replace(b'"tree": {', b'"tree": {"a": NaN, ', 1), "a number that is none"),
        (lambda held: held.replace(b'"tree": {', b'"tree": {"a": "\\u0000", ', 1), "of number 0"),
    ],
    ids=["deep", "long", "no number", "number 0"],
)
def test_what_an_archive_says_in_json_is_held_to_a_measure(
    kept: bytes, change: Callable[[bytes], bytes | None], sentence: str
) -> None:
    emptied()
    with pytest.raises(ProblemsFound, match=sentence):
        bring_in(changed(kept, "history.json", change))
    assert Project.objects.count() == 0


def test_an_archive_that_unpacks_to_more_than_it_may_is_refused_before_it_is_read(
    kept: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Many files, each within its own limit."""
    monkeypatch.setattr(archive_opened, "LARGEST_ARCHIVE", 1_000_000)
    out = io.BytesIO(kept)
    with zipfile.ZipFile(out, "a", zipfile.ZIP_DEFLATED) as more:
        for number in range(20):
            more.writestr(f"projects/{number}/notes.txt", bytes(100_000))
    with pytest.raises(ProblemsFound, match="unpacks to more than 1 MB"):
        bring_in(out.getvalue())
