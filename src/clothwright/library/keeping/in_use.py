"""Whether somebody serves pages from the data folder: a lock that the system gives up when its holder ends, however it ends."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from filelock import FileLock, Timeout

from clothwright.library.folder import prepared_folder
from clothwright.project import Problem, ProblemsFound

_LOCK: Final = "in-use.lock"
_ADDRESS: Final = "in-use.txt"


@contextmanager
def served_at(address: str) -> Iterator[None]:
    """Serve the folder alone; ProblemsFound, with the address of the pages, where another program already does."""
    with alone_in_folder():
        told = prepared_folder() / _ADDRESS
        told.write_text(address, encoding="utf-8")
        try:
            yield
        finally:
            told.unlink(missing_ok=True)


@contextmanager
def alone_in_folder() -> Iterator[None]:
    """Hold the folder; ProblemsFound where pages are served from it."""
    folder = prepared_folder()
    lock = FileLock(folder / _LOCK)
    try:
        lock.acquire(timeout=0)
    except Timeout:
        raise ProblemsFound(Problem((), _taken(folder))) from None
    try:
        yield
    finally:
        lock.release()


def _taken(folder: Path) -> str:
    told = folder / _ADDRESS
    at = f" at {told.read_text(encoding='utf-8').strip()}" if told.is_file() else ""
    return (
        f"Clothwright already serves the folder {folder}{at}: use its pages, or stop it first (Ctrl+C where it runs); "
        "CLOTHWRIGHT_DATA names another folder"
    )
