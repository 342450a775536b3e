"""A data folder of its own for every test, so that nobody's projects are touched."""

from __future__ import annotations

from pathlib import Path

import pytest

from clothwright.web import planned


@pytest.fixture(autouse=True)
def data_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "data"
    monkeypatch.setenv("CLOTHWRIGHT_DATA", str(folder))
    return folder


@pytest.fixture(autouse=True)
def no_plans_kept() -> None:
    """Numbers of revisions come again in the next test's database."""
    planned.forget_plans()
