"""A plugin for tests that are run on PostgreSQL: one table unless a test says that it is a studio."""

from __future__ import annotations

from typing import Any

import pytest


@pytest.fixture(autouse=True)
def one_table(settings: Any) -> None:
    settings.STUDIO = False
