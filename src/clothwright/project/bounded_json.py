"""JSON from elsewhere, looked over before it is read: how deep it stands, how long its numbers are, and signs that nothing can keep.

A reader of JSON takes whatever it is given: a list in a list in a list until it falls over, a number of a million figures, and words
for what is no number. Looking over goes through the text once and keeps nothing.
"""

from __future__ import annotations

import json
import re
from itertools import accumulate
from typing import Any, Final

#: How deep lists and tables of JSON may stand in one another: a project's own, and what an archive or a phone wraps it in.
MOST_NESTED: Final = 60
#: How many figures a number may have.
MOST_FIGURES: Final = 300
_TEXTS: Final = re.compile(rb'"[^"\\]*(?:\\.[^"\\]*)*"', re.DOTALL)
_LONG: Final = re.compile(rb"[0-9]{%d}" % (MOST_FIGURES + 1))
_NOT_A_NUMBER: Final = re.compile(rb"NaN|Infinity")
_NOTHING: Final = re.compile(rb"(?<!\\)(?:\\\\)*\\u0000")
_ALL_BUT_BRACKETS: Final = bytes(sorted({*range(256)} - {*b"[]{}"}))
_STEP: Final = {ord("["): 1, ord("{"): 1, ord("]"): -1, ord("}"): -1}


def why_not_read(content: bytes) -> str:
    """Why JSON is not to be read, as the end of a sentence; empty where nothing stands against it. It may still be no JSON."""
    bare = _TEXTS.sub(b"", content)
    steps = map(_STEP.__getitem__, bare.translate(None, _ALL_BUT_BRACKETS))
    if max(accumulate(steps), default=0) > MOST_NESTED:
        return f"it has lists or tables more than {MOST_NESTED} deep in one another"
    if _LONG.search(bare):
        return f"it holds a number of more than {MOST_FIGURES} figures"
    if _NOT_A_NUMBER.search(bare):
        return "it holds a number that is none"
    return "it holds a sign that nothing can keep, of number 0" if _NOTHING.search(content) else ""


def read_json(content: str | bytes) -> Any:
    """What JSON holds; ValueError with the reason where it is none, or is not to be read."""
    raw = content.encode("utf-8", "surrogatepass") if isinstance(content, str) else content
    if why := why_not_read(raw):
        raise ValueError(why)
    return json.loads(raw)
