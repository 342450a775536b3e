"""What more workers give, and what a cluster costs: `python benchmarks/cluster.py`; a Dask cluster on this machine is started by it.

A house that lays a garment in several sizes at several widths has many layouts to find. Here: the jacket of
tests/published/nesting in three sizes at eight widths, every layout by rounds, so that all ways do the same work and give the same
lengths: one process, two, a local cluster of one worker and of two. Told are seconds on the wall, tasks in an hour, the bytes of a task and of its
answer, and what handing out a task costs (an empty one). Run it on a quiet machine.
"""

from __future__ import annotations

import json
import os
import pickle
import time
from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import replace
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import Any

from clothwright.layout import NO_RULES, Copy, OnExecutor, Searchers, copies, searching_by
from clothwright.layout.on_executor import all_answers
from clothwright.layout.rounds import in_round
from clothwright.layout.search import Task
from clothwright.layout.searchers import Asked, to_solve
from clothwright.pattern import Piece

NESTING = Path(__file__).parents[1] / "tests" / "published" / "nesting"
SIZES = (0.94, 1.0, 1.06)
WIDTHS_CM = (46.0, 49.0, 52.0, 55.0, 58.0, 61.0, 64.0, 67.0)
EMPTY = 200

Opened = Callable[[], AbstractContextManager[Searchers | OnExecutor]]


def main() -> None:
    """Do the same layouts each way and print a row for each."""
    asked = [in_round(garment(size), width, NO_RULES, 1) for size in SIZES for width in WIDTHS_CM]
    told = [pickle.dumps(to_solve(Task(garment(1.0), 60.0, 10.0, 1)))]
    print(f"{len(asked)} layouts; load of the machine {os.getloadavg()[0]:.1f} at the start")
    print(
        "| who | workers | took, s | layouts an hour | same lengths | an empty task, ms |\n| --- | --: | --: | --: | --- | --: |"
    )
    lengths = row("processes", lambda: searching_by(count=1), asked, None)
    row("processes", lambda: searching_by(count=2), asked, lengths)
    distributed: Any = import_module("distributed")
    for workers in (1, 2):
        options = {"threads_per_worker": 1, "processes": True, "dashboard_address": None, "silence_logs": 50}
        with distributed.LocalCluster(n_workers=workers, **options) as local:
            address = local.scheduler_address
            row("local cluster", partial(searching_by, address), asked, lengths)
    answer = pickle.dumps(asked[0].do(*asked[0].with_))
    print(f"\na task is {len(told[0]) / 1000:.1f} kB, its answer {len(answer) / 1000:.1f} kB")


def row(who: str, opened: Opened, asked: list[Asked], before: list[float] | None) -> list[float]:
    """One way, begun before its time counts."""
    with opened() as by:
        all_answers(by, [Asked(nothing, ())] * 4)
        began = time.perf_counter()
        found = all_answers(by, asked)
        took = time.perf_counter() - began
        began = time.perf_counter()
        all_answers(by, [Asked(nothing, ())] * EMPTY)
        empty_ms = 1000 * (time.perf_counter() - began) / EMPTY
        lengths = [one.length_cm for one in found if one]
        same = "yes" if before in (None, lengths) else "NO"
        print(
            f"| {who} | {by.count} | {took:.1f} | {3600 * len(asked) / took:.0f} | {same} | {empty_ms:.1f} |",
            flush=True,
        )
        assert len(lengths) == len(asked), "a layout was lost"
    return lengths


def nothing() -> None:
    """An empty task."""


def garment(size: float) -> tuple[Copy, ...]:
    facts = json.loads((NESTING / "synthetic_jacket.json").read_text(encoding="utf-8"))
    pieces = tuple(
        Piece(str(p["id"]), tuple((x, y) for x, y in p["polygon"]), cut=p["quantity"]) for p in facts["pieces"]
    )
    scaled = (tuple((size * x, size * y) for x, y in copy.outline) for copy in copies(pieces, one_way=False))
    return tuple(
        replace(copy, outline=outline) for copy, outline in zip(copies(pieces, one_way=False), scaled, strict=True)
    )


if __name__ == "__main__":
    main()
