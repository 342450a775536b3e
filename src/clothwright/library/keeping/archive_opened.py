"""An archive opened to be read: every file of it bounded and checked, whatever the zip claims."""

from __future__ import annotations

import hashlib
import io
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final, TypeVar

from pydantic import BaseModel, ValidationError

from clothwright.library.files import MEGABYTE
from clothwright.library.keeping.archive_parts import FORMAT, About
from clothwright.library.unreadable import UNREADABLE_ZIP
from clothwright.project import Problem, ProblemsFound
from clothwright.project.bounded_json import why_not_read

ABOUT: Final = "about.json"
LARGEST_ARCHIVE: Final = 500 * MEGABYTE
_LARGEST_HISTORY: Final = 100 * MEGABYTE
_MOST_FILES: Final = 100_000
_Kept = TypeVar("_Kept", bound=BaseModel)


class Archive:
    """An opened archive; what is read of it is bounded and checked."""

    def __init__(self, opened: zipfile.ZipFile) -> None:
        self._opened = opened

    def names(self, last: str) -> list[str]:
        """The files of that name, in whatever folder."""
        return sorted(name for name in self._opened.namelist() if name.endswith(f"/{last}"))

    def drawings(self) -> list[str]:
        """The drawings, each named by what it is."""
        return sorted(name for name in self._opened.namelist() if name.startswith("drawings/"))

    def read(self, name: str, kind: type[_Kept]) -> _Kept:
        """One description; ProblemsFound where it is not as this program writes it."""
        content = self.bytes_of(name, _LARGEST_HISTORY)
        if why := why_not_read(content):
            raise not_brought_in(f"“{name}” in the archive cannot be read: {why}")
        try:
            return kind.model_validate_json(content)
        except ValidationError as error:
            first = error.errors()[0]
            where = ", ".join(map(str, first["loc"]))
            raise not_brought_in(f"“{name}” in the archive cannot be read: {where}: {first['msg']}") from None

    def content(self, name: str, largest: int, sha256: str) -> bytes:
        """A drawing or a photo, the very one its name says."""
        content = self.bytes_of(name, largest)
        if hashlib.sha256(content).hexdigest() != sha256:
            raise not_brought_in(f"“{name}” in the archive is not what it was when it was written")
        return content

    def bytes_of(self, name: str, largest: int) -> bytes:
        """One file, read no further than the limit, whatever size the zip claims."""
        try:
            with _read_as_zip(), self._opened.open(name) as file:
                content = file.read(largest + 1)
        except KeyError:
            raise not_brought_in(f"the archive names “{name}”, which is not in it") from None
        if len(content) > largest:
            raise not_brought_in(f"“{name}” in the archive is larger than {largest // MEGABYTE} MB")
        return content


@contextmanager
def opened_archive(content: bytes) -> Iterator[Archive]:
    """An archive of this program's, for as long as it is read; ProblemsFound where it is none or beyond its limits."""
    if len(content) > LARGEST_ARCHIVE:
        raise not_brought_in(
            f"the archive is larger than {LARGEST_ARCHIVE // MEGABYTE} MB, the most this program brings in"
        )
    with _read_as_zip():
        opened = zipfile.ZipFile(io.BytesIO(content))
    with opened:
        if len(opened.namelist()) > _MOST_FILES:
            raise not_brought_in(f"the archive holds more than {_MOST_FILES:,} files")
        if sum(one.file_size for one in opened.infolist()) > LARGEST_ARCHIVE:
            raise not_brought_in(
                f"the archive unpacks to more than {LARGEST_ARCHIVE // MEGABYTE} MB, the most this program reads"
            )
        archive = Archive(opened)
        about = archive.read(ABOUT, About)
        if about.clothwright_export != FORMAT:
            raise not_brought_in(
                f"the archive is of format {about.clothwright_export}; this program reads format {FORMAT}"
            )
        yield archive


@contextmanager
def _read_as_zip() -> Iterator[None]:
    """Tells in a sentence that a file is no zip, or a spoiled one; what fails elsewhere is not taken for that."""
    try:
        yield
    except UNREADABLE_ZIP:
        raise not_brought_in("the archive is no zip file that can be read") from None


def not_brought_in(sentence: str) -> ProblemsFound:
    """Why nothing is brought in, to be raised."""
    return ProblemsFound(Problem((), sentence))
