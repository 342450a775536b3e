"""A leaflet of 240 rows: five sizes, two versions, four heddles, six widths; `python benchmarks/leaflet.py [seconds]`.

Every way begins with nothing kept, in the same process, and is then asked again with everything kept (warm): one process, two,
and a local Dask cluster of one worker and of two (extra `cluster`). Layouts are searched for `seconds` in all (40 if nothing is
said), so the time on the wall is that and what everything else takes. Told beside: the same from the command line, warm; the cost of a row; what
a task and its answer weigh on the wire; and from these, on paper, a pattern house of 1,000 patterns. Run it on a quiet machine: the load is told.
"""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, replace
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import Any, Final

from clothwright.cli.planned import project_in
from clothwright.layout import Effort, OnExecutor, Searchers, searching_by
from clothwright.library.teaching.leaflet_answers import KeptInFolder
from clothwright.planning import Leaflet, Working, disagreements, leaflet
from clothwright.planning.job import garment_of
from clothwright.planning.teaching.leaflet_searching import lay

EXAMPLE: Final = Path(__file__).parents[1] / "examples" / "spindrift-waistcoats.toml"
SECONDS: Final = 40.0
COLD_LIMIT_S, WARM_LIMIT_S = 60.0, 3.0
PATTERNS: Final = 1000

Opened = Callable[[], AbstractContextManager[Searchers | OnExecutor]]


@dataclass(frozen=True)
class Took:
    """Seconds on the wall, cold and warm, and the metres of yarn in all rows."""

    cold_s: float
    warm_s: float
    yarn_m: float


def main() -> None:
    """Each way, cold and warm, then what follows from the way of two processes."""
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else SECONDS
    print(f"{os.cpu_count()} cores; load {load()} at the start; layouts searched for {seconds:g} s in all\n")
    print("| who | workers | cold, s | of 60 s | warm, s | of 3 s | yarn of all rows, m | load |")
    print("| --- | --: | --: | --: | --: | --: | --: | --: |")
    row("processes", 1, lambda: searching_by(count=1), seconds)
    two = row("processes", 2, lambda: searching_by(count=2), seconds)
    for workers in (1, 2):
        row("local cluster", workers, partial(on_local_cluster, workers), seconds)
    print(f"\nthe command, warm: {command_s(seconds):.2f} s with starting Python; load {load()}")
    print(told_of_wire())
    print(on_paper(two))


def row(who: str, workers: int, opened: Opened, seconds: float) -> Took:
    """One way with a folder of its own, printed."""
    with tempfile.TemporaryDirectory() as folder:
        took = both(opened, seconds, KeptInFolder(Path(folder)))
    shares = (
        f"{took.cold_s:.1f} | {took.cold_s / COLD_LIMIT_S:.2f} | {took.warm_s:.2f} | {took.warm_s / WARM_LIMIT_S:.2f}"
    )
    print(f"| {who} | {workers} | {shares} | {took.yarn_m:.0f} | {load()} |", flush=True)
    return took


def both(opened: Opened, seconds: float, kept: KeptInFolder) -> Took:
    """Cold, workers being started within it, then warm; the file is read anew each time."""
    found, times = [], []
    for _ in range(2):
        began = time.perf_counter()
        with opened() as by:
            found.append(made(Working(by=by, effort=Effort(seconds), kept=kept)))
        times.append(time.perf_counter() - began)
    cold, warm = found
    assert len(cold.rows) == 240, "a row is missing"
    assert cold.rows == warm.rows, "what was kept is not what was found"
    assert not disagreements(cold), "a figure does not follow from those beside it"
    return Took(times[0], times[1], sum(one.total_m for one in cold.rows))


def made(working: Working) -> Leaflet:
    project, drawings = project_in(EXAMPLE)
    return leaflet(project, drawings=drawings, working=replace(working, seed=project.seed))


@contextmanager
def on_local_cluster(workers: int) -> Iterator[Searchers | OnExecutor]:
    """A cluster of this machine; starting it counts."""
    distributed: Any = import_module("distributed")
    options = {"threads_per_worker": 1, "processes": True, "dashboard_address": None, "silence_logs": 50}
    with distributed.LocalCluster(n_workers=workers, **options) as local, searching_by(local.scheduler_address) as by:
        yield by


def command_s(seconds: float) -> float:
    """The command with everything kept: as a person waits for it."""
    with tempfile.TemporaryDirectory() as folder:
        env = {**os.environ, "CLOTHWRIGHT_DATA": folder}
        command = [sys.executable, "-m", "clothwright", "leaflet", str(EXAMPLE), "--json", "--seconds", str(seconds)]
        for _ in range(2):
            began = time.perf_counter()
            subprocess.run(command, env=env, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
            took = time.perf_counter() - began
    return took


def told_of_wire() -> str:
    """What a layout's task and its answer weigh."""
    project, drawings = project_in(EXAMPLE)
    garment, _ = garment_of(project, drawings)
    task = pickle.dumps((lay, (garment, 80.0, Effort(1.0), 1)))
    answer = pickle.dumps(lay(garment, 80.0, Effort(0.1), 1))
    return f"a task is {len(task) / 1000:.1f} kB, its answer {len(answer) / 1000:.1f} kB"


def on_paper(two: Took) -> str:
    """A house of 1,000 such patterns, by two processes, and what a hundred such machines would take."""
    hours = PATTERNS * two.cold_s / 3600
    return (
        f"a row costs {1000 * two.cold_s / 240:.0f} ms cold, {1000 * two.warm_s / 240:.1f} ms warm; on paper {PATTERNS} patterns "
        f"are {PATTERNS * 240} rows and {PATTERNS * 60} layouts: {hours:.1f} h on this machine, {60 * hours / 100:.0f} min on 100; "
        f"all of them anew, warm, {PATTERNS * two.warm_s / 3600:.1f} h"
    )


def load() -> str:
    """Processes that wanted a core in the last minute."""
    return f"{os.getloadavg()[0]:.1f}"


if __name__ == "__main__":
    main()
