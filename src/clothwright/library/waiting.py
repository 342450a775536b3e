"""Files that were sent and wait for a word: kept in the data folder until it is said what is to become of them.

So a copy or an archive can be looked into first, and nothing is changed before that.
"""

from __future__ import annotations

import re
import secrets
from collections.abc import Iterable
from pathlib import Path
from typing import Final

from clothwright.library.folder import prepared_folder

FOLDER: Final = "waiting"
MOST: Final = 20
_TOKEN: Final = re.compile(r"[0-9a-f]{16}")


def keep_waiting(pieces: Iterable[bytes], name: str) -> str:
    """Keep a file that came in pieces, and give the word it is asked for by; of many that wait the oldest goes."""
    folder = _folder()
    token = secrets.token_hex(8)
    part = folder / f"{token}.part"
    try:
        with part.open("xb") as file:
            for piece in pieces:
                file.write(piece)
        (folder / f"{token}.name").write_text(name, encoding="utf-8")
        part.rename(folder / f"{token}.file")
    finally:
        part.unlink(missing_ok=True)
    for old in sorted(folder.glob("*.file"), key=lambda one: one.stat().st_mtime_ns)[:-MOST]:
        drop(old.stem)
    return token


def waiting(token: str) -> tuple[Path, str] | None:
    """A file that waits and the name it came by; None where none waits under that word."""
    file = _folder() / f"{token}.file"
    if not _TOKEN.fullmatch(token) or not file.is_file():
        return None
    return file, file.with_suffix(".name").read_text(encoding="utf-8")


def drop(token: str) -> None:
    """Let a file wait no longer."""
    for ending in ("file", "name"):
        (_folder() / f"{token}.{ending}").unlink(missing_ok=True)


def _folder() -> Path:
    folder = prepared_folder() / FOLDER
    folder.mkdir(mode=0o700, exist_ok=True)
    return folder
