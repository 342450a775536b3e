"""What processes take while they are watched, from /proc: memory as the share of it that is theirs alone, and processor time."""

from __future__ import annotations

import os
import threading
import time
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

EVERY_S = 5.0
_TICK = os.sysconf("SC_CLK_TCK")


@dataclass
class Sample:
    """One look: when, megabytes of each group, processor seconds of each group so far, and how many processes."""

    at: float
    megabytes: dict[str, float]
    seconds: dict[str, float]
    processes: dict[str, int]


@dataclass
class Watch:
    """Looks at the server, what it began, the database and this process itself, until it is told to stop."""

    server: int
    database: int
    samples: list[Sample] = field(default_factory=list)
    _over: threading.Event = field(default_factory=threading.Event)

    def begin(self) -> None:
        """Look now and every few seconds."""
        threading.Thread(target=self._look_on, daemon=True).start()

    def end(self) -> None:
        """Look once more, and no longer."""
        self._over.set()
        self.samples.append(self._look())

    def _look_on(self) -> None:
        while not self._over.is_set():
            self.samples.append(self._look())
            self._over.wait(EVERY_S)

    def _look(self) -> Sample:
        parents = _parents()
        below = _below(self.server, parents)
        groups = {
            "server": [self.server],
            "its searches and readers": [one for one in below if one != self.server],
            "PostgreSQL": _below(self.database, parents),
            "the members played": [os.getpid()],
        }
        seconds = {name: sum(_seconds(one) for one in these) for name, these in groups.items()}
        seconds["its searches and readers"] += _seconds(self.server, ended=True)
        seconds["PostgreSQL"] += _seconds(self.database, ended=True)
        megabytes = {name: sum(_megabytes(one) for one in these) for name, these in groups.items()}
        return Sample(time.time(), megabytes, seconds, {name: len(these) for name, these in groups.items()})


def _parents() -> dict[int, int]:
    found = {}
    for entry in os.scandir("/proc"):
        if entry.name.isdigit():
            with suppress(OSError, IndexError, ValueError):
                found[int(entry.name)] = int(_stat(int(entry.name))[1])
    return found


def _below(root: int, parents: dict[int, int]) -> list[int]:
    """A process and all below it."""
    found, looked = [root], 0
    while looked < len(found):
        found += [one for one, parent in parents.items() if parent == found[looked]]
        looked += 1
    return found


def _stat(process: int) -> list[str]:
    return Path(f"/proc/{process}/stat").read_text(encoding="ascii", errors="replace").rsplit(")", 1)[1].split()


def _seconds(process: int, *, ended: bool = False) -> float:
    """Processor seconds of a process, or of those below it that have ended."""
    with suppress(OSError, IndexError):
        told = _stat(process)
        return sum(map(int, told[13:15] if ended else told[11:13])) / _TICK
    return 0.0


def _megabytes(process: int) -> float:
    with suppress(OSError):
        for line in Path(f"/proc/{process}/smaps_rollup").read_text(encoding="ascii").splitlines():
            if line.startswith("Pss:"):
                return int(line.split()[1]) / 1000
    return 0.0
