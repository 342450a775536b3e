"""A data folder of its own for every test, so that nobody's projects are touched."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def data_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "data"
    monkeypatch.setenv("CLOTHWRIGHT_DATA", str(folder))
    return folder
