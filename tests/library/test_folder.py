from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from clothwright.library import folder
from clothwright.library.folder import prepared_folder, secret_key, write_for_owner
from clothwright.project import ProblemsFound


def test_the_folder_named_in_the_environment_is_used(data_folder: Path) -> None:
    assert folder.data_folder() == data_folder
    assert folder.database_file().parent == data_folder


def test_without_the_environment_the_systems_place_is_used(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("CLOTHWRIGHT_DATA")
    assert folder.data_folder().name == "clothwright"


def test_asking_where_things_are_makes_nothing(data_folder: Path) -> None:
    folder.database_file()
    folder.faults_file()
    assert not data_folder.exists()


def test_the_secret_key_is_made_once_and_kept(data_folder: Path) -> None:
    first = folder.secret_key()
    assert len(first) > 50
    assert folder.secret_key() == first
    assert (data_folder / "secret-key").read_text() == first


@pytest.mark.skipif(os.name == "nt", reason="permissions of another kind")
def test_the_folder_and_the_key_are_for_their_owner_alone(data_folder: Path) -> None:
    folder.secret_key()
    assert stat.S_IMODE(data_folder.stat().st_mode) == 0o700
    assert stat.S_IMODE((data_folder / "secret-key").stat().st_mode) == 0o600


def test_a_key_that_a_power_cut_left_empty_is_made_anew(data_folder: Path) -> None:
    data_folder.mkdir()
    (data_folder / "secret-key").write_text("")
    key = secret_key()
    assert len(key) > 60
    assert secret_key() == key
    assert [one.name for one in data_folder.iterdir()] == ["secret-key"]


def test_a_key_that_is_there_is_never_replaced(data_folder: Path) -> None:
    key = secret_key()
    write_for_owner(data_folder / "secret-key", b"another", over=False)
    assert secret_key() == key


@pytest.mark.skipif(os.name == "nt", reason="Windows keeps rights otherwise")
def test_a_place_that_cannot_be_written_is_a_sentence_with_what_to_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file where the folder should be; and a folder that the system says cannot be written in."""
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("CLOTHWRIGHT_DATA", str(tmp_path / "file"))
    with pytest.raises(ProblemsFound, match=r"file cannot be used: .*CLOTHWRIGHT_DATA names another"):
        prepared_folder()
    monkeypatch.setenv("CLOTHWRIGHT_DATA", str(tmp_path))
    monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(ProblemsFound, match="it cannot be written in"):
        prepared_folder()
