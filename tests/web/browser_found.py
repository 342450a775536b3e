"""Where the tests find a browser, and what happens when there is none."""

from __future__ import annotations

import os
import shutil

import pytest

NAMES = ("chromium", "chromium-browser", "google-chrome")


def browser_path() -> str:
    """The browser named in CLOTHWRIGHT_BROWSER or found on the path; skips without one, fails where one is required."""
    named = os.environ.get("CLOTHWRIGHT_BROWSER")
    found = named or next((path for name in NAMES if (path := shutil.which(name))), None)
    if found:
        return found
    reason = f"no browser found: none of {', '.join(NAMES)}, and CLOTHWRIGHT_BROWSER names none"
    if os.environ.get("CI") or os.environ.get("CLOTHWRIGHT_BROWSER_REQUIRED"):
        pytest.fail(reason)
    pytest.skip(reason)
