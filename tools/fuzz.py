"""Read many spoiled files with every reader: python tools/fuzz.py --files 2000 --report docs/reports/hostile-files.md

The tests of tests/test_hostile_files.py, with more files, by a process whose memory is bounded. The status is theirs: 0 where nothing but
what was in a file, or a sentence why not, came of any.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
MEGABYTES = 3000


def main() -> int:
    """Read as many files as were asked for, and write down what came of them."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--files", type=int, default=2000, help="for each reader; fewer where one takes seconds")
    asked.add_argument("--only", default="", help="readers whose name holds this")
    asked.add_argument("--report", type=Path)
    given = asked.parse_args()
    with tempfile.TemporaryDirectory(prefix="hostile-") as folder:
        told = Path(folder) / "told.jsonl"
        environment = {**os.environ, "CLOTHWRIGHT_FUZZ": str(given.files), "CLOTHWRIGHT_FUZZ_TOLD": str(told)}
        tests = [
            "tests/test_hostile_files.py",
            "-k",
            f"spoiled_file_is_read and {given.only or 'spoiled'}",
            "--tb=short",
        ]
        ran = subprocess.run(
            [sys.executable, "-m", "pytest", "-q", *tests], cwd=ROOT, env=environment, check=False, preexec_fn=_bounded
        )
        rows = [json.loads(line) for line in told.read_text(encoding="utf-8").splitlines()] if told.exists() else []
    if given.report is not None and ran.returncode == 0:
        given.report.write_text(_reported(rows, given.files), encoding="utf-8")
    return ran.returncode


def _bounded() -> None:
    """So much memory and no more, where the system can bound it."""
    try:
        import resource
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_AS, (MEGABYTES * 1_000_000,) * 2)


def _reported(rows: list[dict[str, object]], files: int) -> str:
    lines = [
        f"| {row['reader']} | {row.get('read', 0)} | {row.get('refused', 0)} | {row['slowest_s']} |" for row in rows
    ]
    return "\n".join(
        [
            "# Spoiled files",
            "",
            f"Made by `python tools/fuzz.py --files {files} --report FILE`.",
            "",
            "Good files were spoiled in up to five places each (cut, moved, and filled with numbers without measure, deep nesting,",
            "long runs and odd text), or were bytes at random; zips also inside, with their check sums made anew. Nothing but what",
            "was in a file, or a refusal in a sentence, came of any; no file took half the processor time a page gives it, and the process",
            f"that read them all was bounded to {MEGABYTES} MB.",
            "",
            "| reader | read | refused in a sentence | slowest, s of work |",
            "| --- | --- | --- | --- |",
            *lines,
            "",
        ]
    )


if __name__ == "__main__":
    sys.exit(main())
