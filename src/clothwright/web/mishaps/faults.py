"""Our own faults: each under a reference that the page shows, written down in the data folder with where it happened."""

from __future__ import annotations

import logging
import secrets
from pathlib import Path
from typing import Final

from django.http import HttpRequest

from clothwright.library.folder import faults_file, prepared_folder
from clothwright.project import ProblemsFound

#: Letters and figures that are not taken for one another when a reference is read out.
_LETTERS: Final = "abcdefghjkmnpqrstuvwxyz23456789"
_LENGTH: Final = 8
#: How large the file grows before it is put aside under the name of the one before.
_LARGEST: Final = 2_000_000


def new_reference() -> str:
    """Eight letters by which a fault can be found again, on the page and in the file."""
    return "".join(secrets.choice(_LETTERS) for _ in range(_LENGTH))


def reference_of(request: HttpRequest) -> str:
    """The reference of whatever goes wrong in a request, made when first asked for."""
    if not hasattr(request, "fault_reference"):
        request.fault_reference = new_reference()  # type: ignore[attr-defined]
    return str(request.fault_reference)  # type: ignore[attr-defined]


def reference_in(record: logging.LogRecord) -> str:
    """The reference a log record goes under: its own, or that of the request it is about; empty where it has neither."""
    own, request = getattr(record, "reference", ""), getattr(record, "request", None)
    return own or (reference_of(request) if isinstance(request, HttpRequest) else "")


class FaultLog(logging.Handler):
    """Appends each fault with its reference and traceback to the file of faults, found when there is one to write."""

    def emit(self, record: logging.LogRecord) -> None:
        """Write one fault down."""
        reference = reference_in(record)
        try:
            prepared_folder()
            append_line(faults_file(), f"{f'[{reference}] ' if reference else ''}{self.format(record)}", _LARGEST)
        except (OSError, ProblemsFound):
            self.handleError(record)


def append_line(file: Path, line: str, largest: int) -> None:
    """Add a line to a file that is put aside, in place of the one put aside before, when it has grown large."""
    if file.is_file() and file.stat().st_size > largest:
        file.replace(file.with_name(f"{file.name}.before"))
    with file.open("a", encoding="utf-8") as out:
        out.write(line + "\n")
