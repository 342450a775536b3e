"""What a yarn number may mean that can be read in more than one way: the texts that would be understood."""

from __future__ import annotations

import re
from typing import Final

from clothwright.measure import QuantityError
from clothwright.yarn.notation import read_yarn

#: What may follow a count that came without its system.
_SYSTEMS_TO_ASK: Final = ("m/100 g", "yd/lb", "Nm", "cotton", "worsted", "lea")


def possible_answers(text: str, error: QuantityError) -> tuple[str, ...]:
    """Texts that would be understood, for one that was not: those the question names, else the count with each system."""
    named = [part.strip(" .") for part in re.split(r",| or ", str(error).rpartition("rite ")[2])]
    word = re.sub(r"^[\d./\s-]+", "", text).strip()
    found = [one for one in named if word and word in one and _is_read(one)] or [
        one for one in _without_comma(text) if _is_read(one)
    ]
    if not found and not word:
        found = [one for one in (f"{text} {system}" for system in _SYSTEMS_TO_ASK) if _is_read(one)]
    return tuple(dict.fromkeys(found))


def _without_comma(text: str) -> list[str]:
    """Both readings of a number such as 1,700, where the text has one."""
    return [re.sub(r"(\d),(\d{3})", between, text) for between in (r"\1\2", r"\1.\2")] if "," in text else []


def _is_read(text: str) -> bool:
    try:
        read_yarn(text)
    except QuantityError:
        return False
    return True
