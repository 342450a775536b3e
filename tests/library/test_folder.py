from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from clothwright.library import folder


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
