"""Files from elsewhere are read apart first: in a process of their own that can be ended, with a bound on its work and its memory.

A file can be made so that it takes hours or gigabytes to read, or brings its reader down, in a way that nobody thought of. Here that
ends one process and one sentence is told: the pages go on, and nothing was changed. One such process stands ready with everything
loaded, so that reading apart costs an ordinary file some milliseconds; it keeps no database open, and is ended with the program.

In a shared studio plans are made in such processes too (`worked_apart.py`).

The bound on work is of processor time, so that a busy machine refuses nothing that a quiet one reads; a longer one of the clock ends
what only waits. Bounds of the system hold on Linux and macOS; elsewhere the clock alone does.
"""

from __future__ import annotations

import atexit
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from importlib import import_module
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any, Final, NamedTuple, TypeVar

from clothwright.layout.searchers import deaf_from_birth
from clothwright.project import Problem, ProblemsFound

_Value = TypeVar("_Value")

#: How much processor time a file is given, and how many times that by the clock.
SECONDS: Final = 10.0
#: How much a photograph is given that is traced.
TRACING_S: Final = 60.0
_BY_THE_CLOCK: Final = 6.0
#: How much memory reading a file may take, beside what stands ready.
MEGABYTES: Final = 1500
#: How many files are read at once; others wait.
_AT_ONCE: Final = 2
_READY_S: Final = 60.0


class _Reader(NamedTuple):
    process: BaseProcess
    pipe: Connection


class Readers:
    """Processes that read files, each one file at a time. `read` may be called from any thread.

    So many are at work at once, and others wait; each may take so much memory beside what it needs to stand ready. `also`: a
    module loaded beforehand.
    """

    def __init__(self, megabytes: int = MEGABYTES, at_once: int = _AT_ONCE, also: str = "") -> None:
        self._places, self._lock = threading.Semaphore(at_once), threading.Lock()
        self._idle: list[_Reader] = []
        self._megabytes, self._also, self._begun = megabytes, also, False

    def read(self, do: Callable[..., _Value], *with_: Any, seconds: float = SECONDS) -> _Value:
        """What `do` gives of a file; what it raises is raised here. ProblemsFound where it takes too much work or memory."""
        with self._places:
            reader = self._taken()
            try:
                came, value = self._asked(reader, do, with_, seconds)
            except BaseException:
                _ended(reader)
                raise
            with self._lock:
                self._idle.append(reader)
        if came:
            return value  # type: ignore[no-any-return]
        raise value

    def _taken(self) -> _Reader:
        """A process that stands ready, or a new one."""
        with self._lock:
            while self._idle:
                if (reader := self._idle.pop()).process.is_alive():
                    return reader
                _ended(reader)
        return _spawned(self._megabytes, self._also)

    def _asked(
        self, reader: _Reader, do: Callable[..., Any], with_: tuple[Any, ...], seconds: float
    ) -> tuple[bool, Any]:
        try:
            reader.pipe.send((do, with_, seconds))
            if not reader.pipe.poll(seconds * _BY_THE_CLOCK + _READY_S):
                raise _too_long(seconds)
            return reader.pipe.recv()  # type: ignore[no-any-return]
        except (EOFError, OSError):
            reader.process.join(5)
            if reader.process.exitcode == -getattr(signal, "SIGXCPU", 0):
                raise _too_long(seconds) from None
            raise _refused("it brought down the process that read it") from None

    def begin(self, ready: int = 1) -> None:
        """Have so many processes made ready, without waiting for them."""
        self._begun = True
        with self._lock:
            while len(self._idle) < ready:
                self._idle.append(_spawned(self._megabytes, self._also))

    @property
    def begun(self) -> bool:
        """Whether processes were asked to stand ready, and were not ended since."""
        return self._begun

    def end(self) -> None:
        """End all processes that stand idle."""
        self._begun = False
        with self._lock:
            for reader in self._idle:
                _ended(reader)
            self._idle.clear()


READERS: Final = Readers()
atexit.register(READERS.end)


def read_apart(do: Callable[..., _Value], *with_: Any, seconds: float = SECONDS) -> _Value:
    """What `do` gives of a file from elsewhere, read in a process of its own; ProblemsFound where that takes too much."""
    return READERS.read(do, *with_, seconds=seconds)


def proved(drawings: Iterable[bytes]) -> None:
    """Read drawings once, whatever they are: they are then read again wherever they are used. A refusal is told there."""
    from clothwright.pattern import DrawingRefused, look_at_drawing

    for one in drawings:
        with suppress(DrawingRefused):
            look_at_drawing(one)


def uploads_proved(files: Mapping[str, bytes]) -> tuple[dict[str, Any], dict[str, bytes]]:
    """Tree and drawings of files handed over together, the drawings read once."""
    from clothwright.library.files import read_uploads

    tree, drawings = read_uploads(files)
    proved(drawings.values())
    return tree, drawings


def _too_long(seconds: float) -> ProblemsFound:
    return _refused(f"it takes more than {seconds:g} seconds of work to read, the most a file is given")


def _refused(why: str) -> ProblemsFound:
    return ProblemsFound(Problem((), f"{why}; nothing was changed. Save it anew in a simpler form and bring that in"))


def _ended(reader: _Reader) -> None:
    reader.process.kill()
    reader.process.join()
    reader.pipe.close()


def _spawned(megabytes: int, also: str) -> _Reader:
    context = multiprocessing.get_context("spawn")
    here, there = context.Pipe()
    process = context.Process(target=_work, args=(there, megabytes, also), daemon=True, name="reader")
    with deaf_from_birth():
        process.start()
    there.close()
    return _Reader(process, here)


# --- in the process that reads ---------------------------------------------------------------------------------------


def _work(pipe: Connection, megabytes: int, also: str) -> None:
    """Read files as they come, until the pipe ends; runs in the spawned process."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _make_ready(also)
    _bound_memory(megabytes)
    with suppress(EOFError, OSError):
        while True:
            do, with_, seconds = pipe.recv()
            _bound_work(seconds)
            pipe.send(_outcome(do, with_))


def _outcome(do: Callable[..., Any], with_: tuple[Any, ...]) -> tuple[bool, Any]:
    try:
        return True, do(*with_)
    except MemoryError:
        return False, _refused(f"it takes more than {MEGABYTES} MB of memory to read")
    except RecursionError:
        return False, _refused("it is nested too deep to be read")
    except Exception as error:  # noqa: BLE001 - whatever a reader raises is raised by who asked
        return False, error


def _make_ready(also: str) -> None:
    """Load what reads files, and what else is named, so that the first file does not wait for it."""
    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clothwright.web.settings")
    django.setup()
    import ezdxf
    import pypdf

    import clothwright.library.shelves.photos
    import clothwright.library.shelves.yarn_csv
    import clothwright.pattern
    import clothwright.planning.cloth.threading_files  # noqa: F401

    del ezdxf, pypdf
    if also:
        import_module(also)


def _bound_memory(megabytes: int) -> None:
    with suppress(ImportError, ValueError, OSError):
        import resource

        with open("/proc/self/statm", encoding="ascii") as file:  # noqa: PTH123 - no file of ours
            stands = int(file.read().split()[0]) * resource.getpagesize()
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        resource.setrlimit(resource.RLIMIT_AS, (stands + megabytes * 1_000_000,) * 2)


def _bound_work(seconds: float) -> None:
    """So much more processor time from now; the system ends the process that takes more (SIGXCPU)."""
    with suppress(ImportError, ValueError, OSError):
        import resource

        used = resource.getrusage(resource.RUSAGE_SELF)
        most = int(used.ru_utime + used.ru_stime + seconds) + 1
        resource.setrlimit(resource.RLIMIT_CPU, (most, resource.getrlimit(resource.RLIMIT_CPU)[1]))
