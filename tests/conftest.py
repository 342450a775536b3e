"""How tests run everywhere."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import settings

settings.register_profile("clothwright", deadline=None)
settings.load_profile("clothwright")


@pytest.fixture(scope="session", autouse=True)
def _data_of_their_own(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """No test reads or writes what the person at this machine keeps."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("CLOTHWRIGHT_DATA", str(tmp_path_factory.mktemp("data")))
        yield
