"""The commands backup, restore, export and import, as a person types them."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

import clothwright

EXAMPLES = Path(__file__).parents[2] / "examples"


class Kept:
    """A data folder and the commands run on it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def run(self, *words: str | Path, status: int = 0) -> str:
        """Standard output, or what was said on standard error where it was refused."""
        ran = subprocess.run(
            [sys.executable, "-m", "clothwright", *map(str, words)],
            env={**os.environ, "CLOTHWRIGHT_DATA": str(self.folder)},
            capture_output=True,
            text=True,
            check=False,
            cwd=self.folder.parent,
        )
        assert ran.returncode == status, ran.stderr
        assert "Traceback" not in ran.stderr
        return ran.stderr if status else ran.stdout


DEMO = Path(clothwright.__file__).parent / "library" / "demo" / "wrackline-waistcoat.toml"


@pytest.fixture
def kept(tmp_path: Path) -> Kept:
    """An empty data folder."""
    return Kept(tmp_path / "data")


def test_what_goes_out_comes_in_elsewhere_and_a_second_time_is_known(kept: Kept, tmp_path: Path) -> None:
    """A project file in, everything out, in at another folder, twice."""
    assert "Brought in: Ebb stole" in kept.run("import", EXAMPLES / "ebb-stole.toml")
    assert "Written" in kept.run("export", "--sheets", "-o", tmp_path / "all.zip")
    with zipfile.ZipFile(tmp_path / "all.zip") as archive:
        assert [name for name in archive.namelist() if name.endswith("/sheets/plan.pdf")]
    other = Kept(tmp_path / "other")
    assert "Brought in: Ebb stole" in other.run("import", tmp_path / "all.zip")
    assert json.loads(other.run("import", tmp_path / "all.zip", "--json")) == {
        "added": [],
        "here_already": ["Ebb stole"],
    }


def test_a_project_file_comes_in_with_its_balls_as_the_pages_show_them(kept: Kept, tmp_path: Path) -> None:
    """A ball written as a bare weight is a ball with its net weight."""
    kept.run("import", DEMO)
    kept.run("export", "-o", tmp_path / "all.zip")
    with zipfile.ZipFile(tmp_path / "all.zip") as archive:
        history = next(archive.read(name) for name in archive.namelist() if name.endswith("history.json"))
    yarns = {one["name"]: one for one in json.loads(history)["revisions"][-1]["tree"]["yarn"]}
    assert yarns["sea-holly"]["balls"] == [{"net": "38 g"}]


def test_a_copy_is_put_back(kept: Kept, tmp_path: Path) -> None:
    """With what was brought in since gone from the pages, and kept in the copy made first."""
    kept.run("import", EXAMPLES / "ebb-stole.toml")
    kept.run("backup", "-o", tmp_path / "copy.zip")
    kept.run("import", EXAMPLES / "wrack-smock.toml")
    answer = json.loads(kept.run("restore", tmp_path / "copy.zip", "--json"))
    assert Path(answer["before"]).is_file()
    assert "Brought in: Wrack smock" in kept.run("import", EXAMPLES / "wrack-smock.toml")


@pytest.mark.parametrize("command", ["restore", "import"])
def test_a_file_that_is_not_there_or_not_ours_is_a_sentence(kept: Kept, tmp_path: Path, command: str) -> None:
    """Status 2, the file named."""
    assert "none.zip" in kept.run(command, tmp_path / "none.zip", status=2)
    (tmp_path / "salt.zip").write_text("salt")
    assert "salt.zip" in kept.run(command, tmp_path / "salt.zip", status=2)


def test_an_export_is_not_written_over_a_file(kept: Kept, tmp_path: Path) -> None:
    """Another name is asked for."""
    (tmp_path / "all.zip").write_text("mine")
    assert "there already" in kept.run("export", "-o", tmp_path / "all.zip", status=2)
    assert (tmp_path / "all.zip").read_text() == "mine"
