"""The one data folder: the database, the secret key and the log of faults. A copy of it is a backup."""

from __future__ import annotations

import os
import secrets
from contextlib import suppress
from pathlib import Path
from typing import Final

import platformdirs

from clothwright.project import Problem, ProblemsFound

ENVIRONMENT: Final = "CLOTHWRIGHT_DATA"
_OWNER_ONLY_FOLDER: Final = 0o700
_OWNER_ONLY_FILE: Final = 0o600


def data_folder() -> Path:
    """Where everything is kept: the folder named in CLOTHWRIGHT_DATA, else the system's place for a user's data."""
    named = os.environ.get(ENVIRONMENT)
    return Path(named).expanduser() if named else platformdirs.user_data_path("clothwright")


def prepared_folder() -> Path:
    """The data folder, made if it was not there, for its owner alone; ProblemsFound where it cannot be written in."""
    folder = data_folder()
    try:
        folder.mkdir(mode=_OWNER_ONLY_FOLDER, parents=True, exist_ok=True)
    except OSError as error:
        raise _unusable(folder, error.strerror or str(error)) from None
    if not os.access(folder, os.W_OK | os.X_OK):
        raise _unusable(folder, "it cannot be written in")
    return folder


def _unusable(folder: Path, why: str) -> ProblemsFound:
    return ProblemsFound(
        Problem(
            (), f"the folder {folder} cannot be used: {why}; {ENVIRONMENT} names another, or give it back to its owner"
        )
    )


def database_file() -> Path:
    """The database; the folder need not be there yet."""
    return data_folder() / "library.sqlite3"


def faults_file() -> Path:
    """Where our own faults are written down."""
    return data_folder() / "faults.log"


def secret_key() -> str:
    """The key that signs what goes to a browser and comes back, made at the first call and kept in the folder."""
    path = prepared_folder() / "secret-key"
    if kept := _kept_text(path):
        return kept
    write_for_owner(path, secrets.token_urlsafe(64).encode("ascii"), over=path.exists())
    return _kept_text(path)


def _kept_text(path: Path) -> str:
    """What a small file holds; empty where it is not there, or a power cut left it empty."""
    try:
        return path.read_text(encoding="ascii").strip()
    except FileNotFoundError:
        return ""


def write_for_owner(path: Path, content: bytes, *, over: bool = True) -> None:
    """Write a file that its owner alone can read, whole or not at all, also if the power goes; `over` another, or leave that."""
    beside = path.with_name(f"{path.name}.{secrets.token_hex(4)}")
    try:
        with os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, _OWNER_ONLY_FILE), "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        if over:
            beside.replace(path)
        else:
            with suppress(FileExistsError):
                os.link(beside, path)
    finally:
        beside.unlink(missing_ok=True)
    fsync_folder(path.parent)


def fsync_folder(folder: Path) -> None:
    """Have the names in a folder on the disk too, where the system can: a new file is lost with its name otherwise."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
