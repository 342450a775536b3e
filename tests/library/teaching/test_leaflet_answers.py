"""Answers of leaflets in the data folder: whole or unknown, for their owner alone."""

from __future__ import annotations

import stat
from pathlib import Path

import pytest

from clothwright.library.teaching.leaflet_answers import KeptInFolder

KEY = "ab" + "0" * 62


@pytest.fixture
def kept(tmp_path: Path) -> KeptInFolder:
    return KeptInFolder(tmp_path / "data" / "answers")


def test_an_answer_comes_back_as_it_was_kept_and_the_last_one_counts(kept: KeptInFolder) -> None:
    """Nothing is known before."""
    assert kept.get(KEY) is None
    kept.put(KEY, {"length_cm": 190.25, "told": ["grüne Düne"]})
    kept.put(KEY, {"length_cm": 188.0})
    assert kept.get(KEY) == {"length_cm": 188.0}
    assert kept.get("cd" + "0" * 62) is None


@pytest.mark.parametrize("cut", [0, 10, 64, 70])
def test_a_file_that_was_cut_off_is_unknown(kept: KeptInFolder, cut: int) -> None:
    """Wherever the disk lost the rest of it."""
    kept.put(KEY, {"length_cm": 190.25})
    (file,) = (one for one in kept.folder.rglob("*") if one.is_file())
    file.write_bytes(file.read_bytes()[:cut])
    assert kept.get(KEY) is None


def test_a_figure_changed_in_a_file_is_unknown(kept: KeptInFolder) -> None:
    """One digit."""
    kept.put(KEY, {"length_cm": 190.25})
    (file,) = (one for one in kept.folder.rglob("*") if one.is_file())
    file.write_bytes(file.read_bytes().replace(b"190", b"910"))
    assert kept.get(KEY) is None


def test_files_are_for_their_owner_and_nothing_else_is_left_beside_them(kept: KeptInFolder) -> None:
    """Folder and file."""
    kept.put(KEY, {})
    (file,) = (one for one in kept.folder.rglob("*") if one.is_file())
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert stat.S_IMODE(kept.folder.stat().st_mode) == 0o700


def test_where_nothing_can_be_written_nothing_is_kept(tmp_path: Path) -> None:
    """A file stands where the folder would."""
    (tmp_path / "data").write_text("", encoding="utf-8")
    kept = KeptInFolder(tmp_path / "data" / "answers")
    kept.put(KEY, {})
    assert kept.get(KEY) is None
