"""Dated copies of everything kept, and putting one back. A copy holds the whole library in one file.

A copy is taken by SQLite's own online backup, so it is whole though pages are being used meanwhile, and is looked at before it
counts. Putting one back first copies what is there now; SQLite then replaces it in one transaction, so a stop half-way leaves
the old library.

*Source:* SQLite's documentation of the online backup API (https://www.sqlite.org/backup.html).
"""

from __future__ import annotations

import datetime
import errno
import json
import os
import re
import shutil
import sqlite3
import zipfile
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from importlib import resources
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import IO, Final

from clothwright import __version__
from clothwright.library.folder import database_file, fsync_folder, prepared_folder
from clothwright.library.keeping.in_use import alone_in_folder
from clothwright.library.studio.studio_asked import database_url
from clothwright.library.unreadable import UNREADABLE_ZIP
from clothwright.project import Problem, ProblemsFound

FOLDER: Final = "backups"
_LIBRARY: Final = "library.sqlite3"
_ABOUT: Final = "about.json"
_NAME: Final = re.compile(r"clothwright-(\d{4})-(\d{2})-(\d{2})-(\d{6})(?:-\d+)?\.zip")
#: Of the copies made by themselves: so many of the newest are kept, and the last of so many months.
KEPT_NEWEST: Final = 10
KEPT_MONTHS: Final = 12
#: How old the newest copy may be before another is made by itself.
_EVERY: Final = datetime.timedelta(hours=20)
_LARGEST: Final = 8_000_000_000
#: Errors that are the disk's and not the file's.
_OF_THE_DISK: Final = (errno.ENOSPC, errno.EROFS, errno.EIO)
_IN_POSTGRES: Final = (
    "this studio keeps its library in PostgreSQL, which is copied and put back by its own pg_dump and pg_restore; "
    "clothwright export writes everything into an open archive"
)
_PIECE: Final = 1 << 20
#: How the folder begins that a copy is unpacked in for a while.
_LOOKING: Final = "looking-at-"


def backup_folder() -> Path:
    """Where copies are kept unless another place is named."""
    return prepared_folder() / FOLDER


def back_up(to: Path | None = None, *, now: datetime.datetime | None = None) -> Path:
    """Copy everything kept into one new file, and say which; ProblemsFound where it cannot be written.

    `to` is a file that is not there yet, or a folder; left out, the folder of copies.
    """
    if database_url():
        raise _problem(_IN_POSTGRES)
    if not database_file().is_file():
        raise _problem(f"nothing is kept in {database_file().parent} yet, so there is nothing to copy")
    with _told_in_a_sentence(to or backup_folder()):
        file = _new_file(to, now or datetime.datetime.now().astimezone())
        part = file.with_suffix(".part")
        try:
            _write(part)
            _looked_at(part)
            part.rename(file)
            fsync_folder(file.parent)
        finally:
            part.unlink(missing_ok=True)
    return file


def restore(file: Path) -> Path | None:
    """Put a copy back in place of what is kept now, and say where that was copied to (None where nothing was there).

    ProblemsFound where the file is no copy, is damaged, or was made by a newer Clothwright; nothing is changed then.
    """
    with alone_in_folder():
        return restore_in_use(file)


def restore_in_use(file: Path) -> Path | None:
    """As `restore`, for who holds the folder already; others that read the library see the old one whole, then the new one."""
    if database_url():
        raise _problem(_IN_POSTGRES)
    with _told_in_a_sentence(file), _unpacked(file) as library:
        before = back_up() if database_file().is_file() else None
        with closing(sqlite3.connect(library)) as source, closing(sqlite3.connect(database_file(), 20)) as target:
            target.execute("PRAGMA synchronous=FULL")
            source.backup(target)
    return before


@dataclass(frozen=True)
class Held:
    """What a library holds: how many of each, and when the last change was made (UTC, as kept; empty where there is none)."""

    projects: int
    on_hand: int
    changes: int
    last_change: str


def held_in(file: Path) -> Held:
    """What a copy holds; ProblemsFound where it is no whole copy."""
    with _told_in_a_sentence(file), _unpacked(file) as library:
        return _held(library)


def held_now() -> Held:
    """What the library holds now."""
    return _held(database_file())


def _held(library: Path) -> Held:
    with closing(sqlite3.connect(library)) as opened:
        there = {name for (name,) in opened.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        tables = {one: f"library_{one}" for one in ("project", "onhand", "revision", "onhandstate")}
        many = {one: _rows(opened, table) if table in there else 0 for one, table in tables.items()}
        changed = [_latest(opened, tables[one]) for one in ("revision", "onhandstate") if tables[one] in there]
    return Held(many["project"], many["onhand"], many["revision"] + many["onhandstate"], max(changed, default=""))


def _rows(opened: sqlite3.Connection, table: str) -> int:
    return int(opened.execute(f"SELECT COUNT(*) FROM {table}").fetchone()[0])


def _latest(opened: sqlite3.Connection, table: str) -> str:
    return str(opened.execute(f"SELECT MAX(made_at) FROM {table}").fetchone()[0] or "")


def back_up_now_and_then(*, now: datetime.datetime | None = None) -> Path | None:
    """A copy where the newest is from before today's work began, and the old ones thinned; None where none was due.

    Copies dated later than now come of a clock that was wrong: they neither count as the newest nor are they thinned, and
    the copy just made always stays.
    """
    now = now or datetime.datetime.now().astimezone()
    here = now.replace(tzinfo=None)
    kept = [one for one in copies_kept() if _made(one) <= here]
    if database_url() or not database_file().is_file() or (kept and here - _made(kept[-1]) < _EVERY):
        return None
    made = back_up(now=now)
    past = [one for one in copies_kept() if _made(one) <= here]
    for old in set(past) - {*worth_keeping(past), made}:
        old.unlink()
    return made


def tidy_up() -> None:
    """Take away what a stop in the middle of a copy left, for who holds the folder; it was never a whole copy."""
    for half in backup_folder().glob("clothwright-*.part"):
        half.unlink(missing_ok=True)
    for half in backup_folder().glob("clothwright-*.sqlite3"):
        half.unlink(missing_ok=True)
    for half in prepared_folder().glob(f"{_LOOKING}*"):
        shutil.rmtree(half, ignore_errors=True)


def copies_kept() -> tuple[Path, ...]:
    """The copies in the folder of copies, oldest first; files of other names are not ours."""
    folder = backup_folder()
    found = folder.iterdir() if folder.is_dir() else ()
    return tuple(sorted((one for one in found if _NAME.fullmatch(one.name)), key=lambda one: (_made(one), one.name)))


def worth_keeping(copies: Iterable[Path]) -> tuple[Path, ...]:
    """Of copies, oldest first: the newest ones, and the last of each of the latest months that has any."""
    copies = tuple(copies)
    last_of_month = {(_made(one).year, _made(one).month): one for one in copies}
    months = [last_of_month[month] for month in sorted(last_of_month)[-KEPT_MONTHS:]]
    keep = {*copies[-KEPT_NEWEST:], *months}
    return tuple(one for one in copies if one in keep)


def made_at(copy: Path) -> datetime.datetime:
    """When a copy was made, by its name and the clock of this machine."""
    return _made(copy).astimezone()


def is_copy(file: Path) -> bool:
    """Whether a file is a copy of a library, whole or not."""
    try:
        with zipfile.ZipFile(file) as opened:
            return _LIBRARY in opened.namelist()
    except (*UNREADABLE_ZIP, OSError):
        return False


def _made(copy: Path) -> datetime.datetime:
    found = _NAME.fullmatch(copy.name)
    assert found is not None  # only files of such names are asked
    return datetime.datetime.strptime("-".join(found.groups()), "%Y-%m-%d-%H%M%S")  # noqa: DTZ007 - a name has no zone


def _new_file(to: Path | None, now: datetime.datetime) -> Path:
    if to is not None and to.suffix == ".zip":
        if to.exists():
            raise _problem(f"{to} is there already, and a copy never takes the place of another; name a new file")
        to.parent.mkdir(parents=True, exist_ok=True)
        return to
    folder = to or backup_folder()
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    name = f"clothwright-{now:%Y-%m-%d-%H%M%S}"
    numbered = (folder / f"{name}{f'-{number}' if number else ''}.zip" for number in range(1000))
    return next(one for one in numbered if not one.exists())


def _write(file: Path) -> None:
    library = file.with_suffix(".sqlite3")
    try:
        with closing(sqlite3.connect(database_file())) as source, closing(sqlite3.connect(library)) as target:
            source.backup(target)
        about = {"clothwright": __version__, "made_at": datetime.datetime.now(tz=datetime.UTC).isoformat()}
        with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as whole:
            # Under a date of its own: a zip knows the years 1980 to 2107, and a clock may be wrong.
            whole.writestr(zipfile.ZipInfo(_ABOUT), json.dumps(about))
            with whole.open(_packed(_LIBRARY), "w", force_zip64=True) as packed, library.open("rb") as read:
                shutil.copyfileobj(read, packed, _PIECE)
        with file.open("rb+") as written:
            os.fsync(written.fileno())
    finally:
        library.unlink(missing_ok=True)


def _packed(name: str) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name)
    info.compress_type = zipfile.ZIP_DEFLATED
    return info


def _looked_at(file: Path) -> None:
    with _unpacked(file):
        pass


@contextmanager
def _unpacked(file: Path) -> Iterator[Path]:
    """The library in a copy, beside it for a while, when it is whole and not newer than this program."""
    with TemporaryDirectory(prefix=_LOOKING, dir=prepared_folder()) as folder:
        library = Path(folder) / _LIBRARY
        try:
            with zipfile.ZipFile(file) as whole, whole.open(_LIBRARY) as packed, library.open("wb") as out:
                _copied(packed, out)
            _sound(library, file)
        except (ProblemsFound, FileNotFoundError, PermissionError):
            raise
        except (*UNREADABLE_ZIP, OSError, KeyError, sqlite3.DatabaseError) as error:
            if isinstance(error, OSError) and error.errno in _OF_THE_DISK:
                raise
            raise _problem(f"{file} is no copy made by `clothwright backup`, or is damaged") from None
        yield library


def _copied(packed: IO[bytes], out: IO[bytes]) -> None:
    """Copied by pieces, and no further than a library can be large."""
    total = 0
    while piece := packed.read(_PIECE):
        total += len(piece)
        if total > _LARGEST:
            raise _problem(f"the copy unpacks to more than {_LARGEST // 10**9} GB, the most this program puts back")
        out.write(piece)


def _sound(library: Path, file: Path) -> None:
    with closing(sqlite3.connect(library)) as opened:
        (answer,) = opened.execute("PRAGMA integrity_check").fetchone()
        if answer != "ok":
            raise sqlite3.DatabaseError(answer)
        steps = {name for (name,) in opened.execute("SELECT name FROM django_migrations WHERE app = 'library'")}
    known = {one.name.removesuffix(".py") for one in resources.files("clothwright.library.migrations").iterdir()}
    if unknown := sorted(steps - known):
        raise _problem(
            f"{file} was made by a newer Clothwright ({', '.join(unknown)}); bring this one up to date first"
        )


@contextmanager
def _told_in_a_sentence(where: Path) -> Iterator[None]:
    """A full disk, a folder that cannot be written, a file that is not there."""
    try:
        yield
    except OSError as error:
        raise _problem(f"{error.filename or where}: {error.strerror or error}") from None
    except sqlite3.Error as error:
        raise _problem(f"{where}: {error}; nothing that is kept was changed") from None


def _problem(sentence: str) -> ProblemsFound:
    return ProblemsFound(Problem((), sentence))
