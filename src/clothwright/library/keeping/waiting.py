"""Files that were sent and wait for a word: kept in the data folder until it is said what is to become of them.

So a copy or an archive can be looked into first, and nothing is changed before that.
"""

from __future__ import annotations

import re
import secrets
import shutil
import time
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from typing import Final

from clothwright.library.folder import prepared_folder

FOLDER: Final = "waiting"
MOST: Final = 20
#: In a studio each member's waits apart from the others', one at a time, and none for longer than so.
MOST_OF_MEMBER: Final = 1
LONGEST_S: Final = 24 * 3600
_TOKEN: Final = re.compile(r"[0-9a-f]{16}")


def keep_waiting(pieces: Iterable[bytes], name: str, of: int | None = None) -> str:
    """Keep a file that came in pieces, and give the word it is asked for by; of many that wait the oldest goes.

    `of` is the member of a studio it came from; only for her it waits.
    """
    _drop_old()
    folder = _folder(of)
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
    for old in sorted(folder.glob("*.file"), key=lambda one: one.stat().st_mtime_ns)[
        : -(MOST if of is None else MOST_OF_MEMBER)
    ]:
        drop(old.stem, of)
    return token


def waiting(token: str, of: int | None = None) -> tuple[Path, str] | None:
    """A file that waits and the name it came by; None where none waits under that word."""
    file = _folder(of) / f"{token}.file"
    if not _TOKEN.fullmatch(token) or not file.is_file():
        return None
    return file, file.with_suffix(".name").read_text(encoding="utf-8")


def drop(token: str, of: int | None = None) -> None:
    """Let a file wait no longer."""
    for ending in ("file", "name"):
        (_folder(of) / f"{token}.{ending}").unlink(missing_ok=True)


def drop_all(of: int) -> None:
    """Let nothing of a member wait any longer."""
    shutil.rmtree(_folder(of), ignore_errors=True)


def _drop_old() -> None:
    """Take away what members of a studio left waiting for a day."""
    for file in _folder(None).glob("member-*/*"):
        with suppress(OSError):
            if file.stat().st_mtime < time.time() - LONGEST_S:
                file.unlink()


def _folder(of: int | None) -> Path:
    folder = prepared_folder() / FOLDER
    folder.mkdir(mode=0o700, exist_ok=True)
    if of is not None:
        folder = folder / f"member-{of}"
        folder.mkdir(mode=0o700, exist_ok=True)
    return folder
