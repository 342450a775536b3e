"""A PostgreSQL of its own for tests: a cluster in a temporary folder, reached by a socket there and by no network, thrown away after."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import quote

#: Where Debian keeps the programs that are not on the path.
_DEBIAN = Path("/usr/lib/postgresql")
_ORDINARY_USER = "postgres"
WHY_NOT = "no PostgreSQL (initdb) was found: install the package postgresql, or name its folder in CLOTHWRIGHT_POSTGRES"


def programs() -> Path | None:
    """The folder that holds initdb and pg_ctl."""
    if named := os.environ.get("CLOTHWRIGHT_POSTGRES"):
        return Path(named)
    if found := shutil.which("initdb"):
        return Path(found).resolve().parent
    return max(_DEBIAN.glob("*/bin"), default=None, key=lambda one: int(one.parent.name))


@contextmanager
def cluster(*, sync: bool = False) -> Iterator[str]:
    """A running cluster; what stands in DATABASE_URL for it. `sync`: written through to the disk as in earnest."""
    folder, found = Path(tempfile.mkdtemp(prefix="cw-pg-")), programs()
    assert found is not None
    if os.geteuid() == 0:
        shutil.chown(folder, _ORDINARY_USER, _ORDINARY_USER)
    data = folder / "data"
    try:
        _run(found / "initdb", "-D", data, "-U", "weaver", "-A", "trust", "-E", "UTF8", "--locale=C.UTF-8", "--no-sync")
        settings = f"-c listen_addresses='' -c unix_socket_directories={folder} -c fsync={'on' if sync else 'off'}"
        _run(found / "pg_ctl", "-D", data, "-w", "-l", folder / "log", "-o", settings, "start")
        try:
            yield f"postgres://weaver@{quote(str(folder), safe='')}/postgres"
        finally:
            _run(found / "pg_ctl", "-D", data, "-w", "-m", "immediate", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _run(program: Path, *arguments: object) -> None:
    """Run one of its programs, as an ordinary user: it refuses to run as root."""
    before = ["runuser", "-u", _ORDINARY_USER, "--"] if os.geteuid() == 0 else []
    command = [*before, str(program), *map(str, arguments)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, cwd="/", stdin=subprocess.DEVNULL)
    assert done.returncode == 0, done.stdout + done.stderr
