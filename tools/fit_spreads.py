"""How wide belief should be: replay recorded cloths with all spreads scaled, and print how well forecasts held.

Run: python tools/fit_spreads.py tests/published/cloths/records.csv
The factors are on the spreads in evidence/priors.toml as they stand; where the log score is best and the intervals hold,
a factor of 1 says that the table is as wide as these cloths ask for.
"""

from __future__ import annotations

import copy
import math
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from clothwright.evidence import ClothRecord, Told, priors, read_records, replay, trueness

WIDTH = ("draw_in", "width_release", "width_finishing")
LENGTH = ("length_release", "length_finishing")
FACTORS = (0.8, 0.9, 1.0, 1.1, 1.25, 1.5)


def main(path: Path) -> None:
    """Print coverage and log score for factors on the spreads of width and length."""
    records, bad = read_records(path.read_text(encoding="utf-8"))
    print(f"{len(records)} cloths, {len(bad)} rows left out")
    print("spreads ×   width: 50 %  90 %  log score   length: 50 %  90 %  log score")
    original = copy.deepcopy(priors.table())
    for factor in FACTORS:
        told = with_spreads(original, factor, records)
        width, length = (
            told_line([one for one in told if one.size == size]) for size in ("finished_width", "finished_length")
        )
        print(f"{factor:9.2f}   {width}   {length}")


def told_line(told: Sequence[Told]) -> str:
    """Coverage and log score of some forecasts."""
    found = trueness(told)
    if found is None:
        return "none"
    return f"{found.coverage_50:11.2f} {found.coverage_90:5.2f} {log_score(told):10.1f}"


def log_score(told: Sequence[Told]) -> float:
    """Sum of the log densities of what came."""
    return sum(-(((one.actual - one.mean) / one.sd) ** 2) / 2 - math.log(one.sd) for one in told)


def with_spreads(original: dict[str, Any], factor: float, records: Sequence[ClothRecord]) -> list[Told]:
    """The replay with every spread of width and length scaled."""
    table = priors.table()
    for row, before in zip(table["ratio"], original["ratio"], strict=True):
        for step in (*WIDTH, *LENGTH):
            row[step]["sd"] = before[step]["sd"] * factor
    table["take_up"]["sd"] = original["take_up"]["sd"] * factor
    return list(replay(records))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
