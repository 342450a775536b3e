"""Time and memory of planning the demo garment: the whole command, and everything but the layout search.

Run: python benchmarks/plan_time.py. Reported as ratios to the limits: 15 s and 500 MB with ten seconds of search, 1 s without.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

from clothwright.cli.planned import demo_file

LIMITS = {"10": (15.0, 500.0), "0": (1.0, 500.0)}


def main() -> None:
    """Run the command with and without search and print time and memory against the limits."""
    for seconds, (most_seconds, most_mb) in LIMITS.items():
        wall, peak = measured(seconds)
        print(
            f"plan --seconds {seconds:>2}: {wall:5.2f} s ({wall / most_seconds:.2f} of the limit), "
            f"{peak:4.0f} MB at most ({peak / most_mb:.2f} of the limit)"
        )


def measured(seconds: str) -> tuple[float, float]:
    """Wall seconds, and the largest sum of resident memory of the command and its processes, MB."""
    command = [sys.executable, "-m", "clothwright", "plan", str(demo_file()), "--seconds", seconds, "--json"]
    start, peak = time.perf_counter(), 0.0
    running = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True)
    while running.poll() is None:
        peak = max(peak, resident_mb(running.pid))
        time.sleep(0.02)
    return time.perf_counter() - start, peak


def resident_mb(session: int) -> float:
    """Resident memory of every process of a session, from /proc."""
    total = 0
    for entry in os.scandir("/proc"):
        if entry.name.isdigit():
            total += _resident_pages(int(entry.name), session)
    return total * os.sysconf("SC_PAGE_SIZE") / 1e6


def _resident_pages(process: int, session: int) -> int:
    try:
        if os.getsid(process) != session:
            return 0
        return int(Path(f"/proc/{process}/statm").read_text(encoding="ascii").split()[1])
    except OSError:
        return 0


if __name__ == "__main__":
    main()
