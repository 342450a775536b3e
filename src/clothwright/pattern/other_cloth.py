"""Which pieces are often cut from another cloth, guessed by the trade words in their names: a guess to confirm."""

from __future__ import annotations

import re
import tomllib
from functools import cache
from importlib import resources
from typing import Any, Final

#: What another cloth is called where the weaver has not named it.
OTHER_CLOTH: Final = "other cloth"


def often_of_other_cloth(name: str) -> str | None:
    """Why a piece of that name is often cut from another cloth; None where its name has no such word."""
    for row in _table()["piece"]:
        if any(re.search(rf"\b{re.escape(word)}s?\b", name, re.IGNORECASE) for word in row["words"]):
            return str(row["why"])
    return None


def other_cloth_width_cm() -> float:
    """How wide another cloth is taken to be where nobody said, cm."""
    return float(_table()["cloth"]["width_cm"])


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads(resources.files(__package__).joinpath("other_cloth.toml").read_text(encoding="utf-8"))
