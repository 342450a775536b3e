"""Layouts and figures of leaflets, kept by the digest of all they depend on, in files of the data folder.

The folder may be deleted at any time: what is in it is only quicker to read than to find again. Files are written whole or not at
all, so several programs share it without asking each other, and whatever was done before a crash is there after it. What was damaged
since does not agree with the mark it begins with, and is unknown.
"""

from __future__ import annotations

import hashlib
import json
from contextlib import suppress
from pathlib import Path
from typing import Any, Final

from clothwright.library.folder import data_folder, write_for_owner

FOLDER: Final = "leaflet-answers"
_MARK: Final = 64

Answer = dict[str, Any]


class KeptInFolder:
    """Answers by their key, each a file; one that cannot be read is unknown, and one that cannot be written is not kept."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def get(self, key: str) -> Answer | None:
        """The answer kept under a key, if it is there and whole."""
        try:
            content = self._file(key).read_bytes()
        except OSError:
            return None
        mark, body = content[:_MARK], content[_MARK:]
        if mark.decode("ascii", "replace") != hashlib.sha256(body).hexdigest():
            return None
        answer = json.loads(body)
        return answer if isinstance(answer, dict) else None

    def put(self, key: str, answer: Answer) -> None:
        """Keep an answer under its key in place of what was there."""
        body = json.dumps(answer, sort_keys=True).encode()
        with suppress(OSError):
            for folder in (self.folder.parent, self.folder, self._file(key).parent):
                folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            write_for_owner(self._file(key), hashlib.sha256(body).hexdigest().encode("ascii") + body)

    def _file(self, key: str) -> Path:
        return self.folder / key[:2] / key[2:]


def kept_answers() -> KeptInFolder:
    """The answers of the data folder; it need not be there yet."""
    return KeptInFolder(data_folder() / FOLDER)
