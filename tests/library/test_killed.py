"""A server killed in mid-write loses nothing that it acknowledged, and every connection writes through to the disk."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

KILL = Path(__file__).parents[2] / "tools" / "kill_server.py"
KILLS = 20


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has neither fork nor SIGKILL")
def test_a_server_killed_twenty_times_in_mid_write_loses_nothing_acknowledged() -> None:
    """Projects, changes and photos of three writers; the report under docs/reports does it hundreds of times."""
    ran = subprocess.run([sys.executable, KILL, "--kills", str(KILLS)], capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    found = json.loads(ran.stdout)
    assert found["missing"] == []
    assert found["kills"] == KILLS
    assert found["projects"] + found["changes"] + found["photos"] >= KILLS
    assert found["writers_cut_off"] == 3 * KILLS


def test_a_loss_would_be_found(tmp_path: Path) -> None:
    """So that a walk that finds nothing is one that looked: a name that no revision holds, a photo that is another."""
    import importlib.util
    import sqlite3

    spec = importlib.util.spec_from_file_location("kill_server", KILL)
    assert spec is not None
    assert spec.loader is not None
    tool = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = tool
    spec.loader.exec_module(tool)
    with sqlite3.connect(tmp_path / "library.sqlite3") as made:
        made.execute("CREATE TABLE library_photo (name TEXT, sha256 TEXT, content BLOB)")
        made.execute("CREATE TABLE library_project (head_id INTEGER)")
        made.execute("CREATE TABLE library_revision (project_id TEXT, tree TEXT)")
        made.execute("INSERT INTO library_photo VALUES ('torn.png', 'abc', x'00')")
        made.execute("INSERT INTO library_project VALUES (NULL)")
    taken = tool.Taken()
    taken.projects["00000000-0000-0000-0000-000000000001"] = "lost at sea"
    taken.photos.append("gone.png")
    assert tool.missing(tmp_path / "library.sqlite3", taken) == [
        "1 projects without a state",
        "project lost at sea",
        "photo gone.png",
        "photo torn.png is another",
    ]
