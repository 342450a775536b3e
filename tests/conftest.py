"""How tests run everywhere."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("clothwright", deadline=None)
settings.load_profile("clothwright")
