"""Commands as they are typed: read in by this process once for all, or each started in a process of its own."""

from __future__ import annotations

import contextlib
import subprocess
import sys
from pathlib import Path

from click.testing import CliRunner

from clothwright.cli import main


def typed(*words: str | Path, folder: Path | None = None) -> subprocess.CompletedProcess[str]:
    """What a command says and the status it ends with, through the same door as from a terminal, but with no start to wait for."""
    with CliRunner().isolation() as (out, err, _), contextlib.chdir(folder or Path.cwd()):
        try:
            main(arguments := list(map(str, words)))
            status = 0
        except SystemExit as ended:
            status = int(ended.code or 0)
    said = (stream.getvalue().decode("utf-8") for stream in (out, err))
    return subprocess.CompletedProcess(arguments, status, *said)


def in_a_process(*words: str | Path, folder: Path | None = None) -> subprocess.CompletedProcess[str]:
    """The same from a process of its own: for what must hold from one start of the program to the next."""
    command = [sys.executable, "-m", "clothwright", *map(str, words)]
    return subprocess.run(command, capture_output=True, text=True, check=False, cwd=folder, timeout=120)
