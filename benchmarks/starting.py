"""What it takes to start, in processor seconds, as ratios to a start of the web framework alone: python benchmarks/starting.py.

Each command is begun five times and the least is told: other work on the machine only adds. `serve` is measured until it tells its address,
in a new data folder and in one that is there, and until its first page is answered. The ratios hold on any machine. Linux alone (/proc).
"""

from __future__ import annotations

import os
import re
import resource
import subprocess
import sys
import tempfile
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

TIMES = 5
#: What everything is measured against: the web framework, set up with its accounts and a database, and nothing of ours.
FRAMEWORK = """
from django.conf import settings
settings.configure(
    INSTALLED_APPS=["django.contrib.auth", "django.contrib.contenttypes", "django.contrib.sessions"],
    DATABASES={"default": {"ENGINE": "django.db.backends.sqlite3", "NAME": ":memory:"}},
)
import django
django.setup()
"""
COMMANDS: dict[str, list[str]] = {
    "--version": ["--version"],
    "yarn 8/2 Ne": ["yarn", "8/2 Ne"],
    "words sett": ["words", "sett"],
    "sett --wraps 15/in": ["sett", "--wraps", "15/in", "--structure", "plain"],
}


def main() -> None:
    """Print processor seconds and ratios."""
    program = [sys.executable, "-m", "clothwright"]
    base = least(lambda: finished([sys.executable, "-c", FRAMEWORK]))
    print(f"{'the web framework alone':44} {base:5.2f} s")
    for name, words in COMMANDS.items():
        told(f"clothwright {name}", least(lambda words=words: finished([*program, *words])), base)  # type: ignore[misc]
    with tempfile.TemporaryDirectory() as folder:
        made = [served(program, Path(folder, str(number))) for number in range(TIMES)]
        again = [served(program, Path(folder, "0")) for _ in range(TIMES)]
    told("serve, until it tells its address", min(one[0] for one in again), base)
    told("serve in a new folder, until then", min(one[0] for one in made), base)
    told("serve, until its first page is answered", min(one[1] for one in again), base)


def told(name: str, seconds: float, base: float) -> None:
    """Print one line."""
    print(f"{name:44} {seconds:5.2f} s, {seconds / base:4.1f} times the framework")


def least(do: Callable[[], float]) -> float:
    """The least of several."""
    return min(do() for _ in range(TIMES))


def finished(command: list[str]) -> float:
    """Processor seconds of a command."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, stdout=subprocess.DEVNULL, check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def served(program: list[str], folder: Path) -> tuple[float, float]:
    """Processor seconds of the server until it tells its address, and until its first page is answered."""
    with _serving(program, folder) as (process, address):
        at_address = _seconds(process.pid)
        urllib.request.build_opener(urllib.request.ProxyHandler({})).open(address, timeout=120).read()
        return at_address, _seconds(process.pid)


@contextmanager
def _serving(program: list[str], folder: Path) -> Iterator[tuple[subprocess.Popen[str], str]]:
    environment = os.environ | {"CLOTHWRIGHT_DATA": str(folder)}
    command = [*program, "serve", "--port", "0"]
    process = subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    try:
        found = re.search(r"http://\S+", process.stdout.readline())
        assert found is not None
        yield process, found[0]
    finally:
        process.kill()
        process.wait()


def _seconds(process: int) -> float:
    told = Path(f"/proc/{process}/stat").read_text(encoding="ascii").rsplit(")", 1)[1].split()
    return sum(map(int, told[11:13])) / os.sysconf("SC_CLK_TCK")


if __name__ == "__main__":
    main()
