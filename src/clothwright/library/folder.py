"""The one data folder: the database, the secret key and the log of faults. A copy of it is a backup."""

from __future__ import annotations

import os
import secrets
from pathlib import Path
from typing import Final

import platformdirs

ENVIRONMENT: Final = "CLOTHWRIGHT_DATA"
_OWNER_ONLY_FOLDER: Final = 0o700
_OWNER_ONLY_FILE: Final = 0o600


def data_folder() -> Path:
    """Where everything is kept: the folder named in CLOTHWRIGHT_DATA, else the system's place for a user's data."""
    named = os.environ.get(ENVIRONMENT)
    return Path(named).expanduser() if named else platformdirs.user_data_path("clothwright")


def prepared_folder() -> Path:
    """The data folder, made if it was not there, for its owner alone."""
    folder = data_folder()
    folder.mkdir(mode=_OWNER_ONLY_FOLDER, parents=True, exist_ok=True)
    return folder


def database_file() -> Path:
    """The database; the folder need not be there yet."""
    return data_folder() / "library.sqlite3"


def faults_file() -> Path:
    """Where our own faults are written down."""
    return data_folder() / "faults.log"


def secret_key() -> str:
    """The key that signs what goes to a browser and comes back, made at the first call and kept in the folder."""
    path = prepared_folder() / "secret-key"
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, _OWNER_ONLY_FILE)
    except FileExistsError:
        return path.read_text(encoding="ascii").strip()
    with os.fdopen(handle, "w", encoding="ascii") as file:
        file.write(key := secrets.token_urlsafe(64))
    return key


def write_for_owner(path: Path, content: bytes) -> None:
    """Write a file that its owner alone can read, whole or not at all."""
    beside = path.with_name(f"{path.name}.{secrets.token_hex(4)}")
    with os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, _OWNER_ONLY_FILE), "wb") as file:
        file.write(content)
    beside.replace(path)
