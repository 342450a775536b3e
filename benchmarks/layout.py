"""How short layouts get, and how soon: run `python benchmarks/layout.py` (one minute, two processes).

Published instances and one invented jacket, from tests/published/nesting; see the README there for sources.
Lengths are over the best known: the record layouts for the published ones, and for the jacket the best of
many runs of the same solver. Every layout is judged; a fault ends the run.
"""

from __future__ import annotations

import json
import multiprocessing
import time
from collections.abc import Callable
from concurrent.futures import Executor, ProcessPoolExecutor
from functools import partial
from pathlib import Path
from typing import Any

from clothwright.layout import (
    Copy,
    Layout,
    best,
    candidate_widths,
    copies,
    faults,
    first_guess,
    search,
    staircase,
)
from clothwright.pattern import Piece

NESTING = Path(__file__).parents[1] / "tests" / "published" / "nesting"
JACKET_BEST_SEEN_CM = {42.5: 386.2, 45.0: 352.8, 50.0: 341.6, 60.0: 250.5, 75.0: 199.5}
SECONDS = (1.0, 3.0)
STAIRCASE_SECONDS = (0.0, 2.0, 8.0)
WASTE_CM = 60.0


def main() -> None:
    with ProcessPoolExecutor(2, mp_context=multiprocessing.get_context("spawn")) as executor:
        list(executor.map(first_guess, [jacket()] * 2, [60.0] * 2))
        first_guess(jacket(), 60.0)
        first_guess.cache_clear()
        print("| cloth | pieces | first guess | its time, s | 1 s | took, s | 3 s | took, s |")
        print("| --- | --: | --: | --: | --: | --: | --: | --: |")
        for name, found, width, known in cases():
            print(f"| {name} | {len(found)} |{one_width(found, width, known, executor)}")
        print("\n| jacket, 24 widths | took, s | best width, cm | length, cm | width × (length + 60) |")
        print("| --: | --: | --: | --: | --: |")
        for seconds in STAIRCASE_SECONDS:
            print(all_widths(jacket(), seconds, executor))


def cases() -> list[tuple[str, tuple[Copy, ...], float, float]]:
    """Each cloth by name: its copies, the width, and the best length known."""
    widths = JACKET_BEST_SEEN_CM.items()
    found = [(f"jacket, {width} cm", jacket(), width, known) for width, known in widths]
    for name in ("dagli", "trousers", "shirts"):
        facts = read(name)
        found.append((name, all_copies(facts), facts["strip_width"], facts["best_known"]["length"]))
    return found


def one_width(found: tuple[Copy, ...], width: float, known: float, executor: Executor) -> str:
    """One row: length over best known and wall time, for the first guess and the searches."""
    searching = partial(search, found, width, seed=1, executor=executor)
    runs: list[Callable[[], Layout]] = [partial(first_guess, found, width)]
    runs += [partial(searching, seconds=seconds) for seconds in SECONDS]
    row = ""
    for run in runs:
        began = time.perf_counter()
        layout = run()
        took = time.perf_counter() - began
        judge(found, layout)
        row += f" {layout.length_cm / known:.3f} | {took:.2f} |"
    return row


def all_widths(found: tuple[Copy, ...], seconds: float, executor: Executor) -> str:
    """One row: the staircase of the jacket, yarn as width times length and waste."""
    widths = candidate_widths(found, least_cm=42, most_cm=75)
    began = time.perf_counter()
    steps = staircase(found, widths, seconds=seconds, seed=1, executor=executor, yarn_m=yarn_m)
    took = time.perf_counter() - began
    for step in steps:
        judge(found, step.layout)
    least = best(steps)
    figures = f"{least.width_cm:g} | {least.layout.length_cm:.1f} | {least.yarn_m:.0f}"
    return f"| {seconds:g} s | {took:.2f} | {figures} |"


def yarn_m(width_cm: float, length_cm: float) -> float:
    """Only a stand-in for yarn: width times length with the waste of the loom."""
    return width_cm * (length_cm + WASTE_CM)


def judge(found: tuple[Copy, ...], layout: Layout) -> None:
    wrong = faults(found, layout)
    if wrong:
        raise SystemExit("\n".join(wrong))


def jacket() -> tuple[Copy, ...]:
    return all_copies(read("synthetic_jacket"))


def read(name: str) -> dict[str, Any]:
    facts: dict[str, Any] = json.loads((NESTING / f"{name}.json").read_text(encoding="utf-8"))
    return facts


def all_copies(facts: dict[str, Any]) -> tuple[Copy, ...]:
    pieces = (Piece(str(p["id"]), tuple((x, y) for x, y in p["polygon"]), cut=p["quantity"]) for p in facts["pieces"])
    return copies(tuple(pieces), one_way=False)


if __name__ == "__main__":
    main()
