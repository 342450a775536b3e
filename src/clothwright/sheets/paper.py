"""From a template and plain data to a PDF: the typesetter, its letters, and what they cannot print.

The data reaches the template as JSON, so that everything typed stays a string there and none of it is markup. The PDF is
tagged (PDF/UA-1), which the typesetter refuses when a character is in none of its fonts: so nothing goes missing in
silence. Such characters are found beforehand and printed as □.
"""

from __future__ import annotations

import datetime
import json
import re
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path
from typing import Any, Final

import typst

from clothwright.sheets.wording import literal

_HERE: Final = Path(__file__).parent
FONTS: Final = _HERE / "fonts"
TEMPLATES: Final = _HERE / "templates"
_STANDARD: Final = "ua-1"
_PROBE: Final = TEMPLATES / "letters.typ"

#: Stands for a character that none of the fonts has.
NO_LETTER: Final = "□"
_MISSING: Final = re.compile(r'the text `"(.+?)"` could not be displayed')
_ESCAPED: Final = re.compile(r"\\u\{([0-9a-f]+)\}")
_LONG_WORD: Final = re.compile(r"\S{16}(?=\S)")
_MAY_BREAK: Final = "\u200b"
_LAST_ASCII: Final = 0x7E
#: Whether a font has a letter, of those asked for so far: the fonts are the program's own.
_has_letter: Final[dict[str, bool]] = {}
#: Dots to the inch of the picture of a first page that is made in place of a PDF; None: the PDF.
_PICTURED: Final[ContextVar[float | None]] = ContextVar("pictured", default=None)


@contextmanager
def first_page_pictured(dots_per_inch: float) -> Iterator[None]:
    """Within this, `typeset` gives a picture (PNG) of a sheet's first page, to choose it by, in place of its PDF."""
    token = _PICTURED.set(dots_per_inch)
    try:
        yield
    finally:
        _PICTURED.reset(token)


def typeset(template: str, data: dict[str, Any], pictures: dict[str, str], made_on: datetime.date) -> bytes:
    """The PDF of a template in `templates`, dated `made_on` and by no other clock.

    `data` is lists and dictionaries of strings and numbers, `pictures` is SVG text; the template reads both as one.
    """
    safe = _each_string(data, literal)
    lost = dict.fromkeys(map(ord, unprintable("".join(_strings([safe, pictures])))), NO_LETTER)
    shown = _each_string(safe, lambda text: _breakable(text.translate(lost)))
    drawn = _each_string(pictures, lambda text: text.translate(lost))
    whole, dots = json.dumps(shown | {"pictures": drawn}), _PICTURED.get()
    return (
        _compile(TEMPLATES / template, whole, made_on)
        if dots is None
        else _first_page(TEMPLATES / template, whole, dots)
    )


def unprintable(text: str) -> set[str]:
    """The characters of a text that none of the fonts has."""
    letters = {c for c in text if ord(c) > _LAST_ASCII}
    if new := letters - _has_letter.keys():
        missing = _missing(new)
        _has_letter.update({c: c not in missing for c in new})
    return {c for c in letters if not _has_letter[c]}


def _missing(letters: Iterable[str]) -> set[str]:
    """Those of some letters, each set by itself, that none of the fonts has: the typesetter names them."""
    try:
        _compile(_PROBE, " ".join(sorted(letters)), datetime.date(2000, 1, 1))
    except typst.TypstError as error:
        named = _MISSING.findall(error.diagnostic)
        if not named:
            raise
        return {c for name in named for c in _ESCAPED.sub(lambda code: chr(int(code[1], 16)), name)}
    return set()


def _first_page(template: Path, data: str, dots_per_inch: float) -> bytes:
    made = typst.compile(
        template,
        root=TEMPLATES,
        font_paths=[FONTS],
        ignore_system_fonts=True,
        sys_inputs={"data": data},
        format="png",
        ppi=dots_per_inch,
    )
    first: bytes = made[0] if isinstance(made, list) else made
    return first


def _compile(template: Path, data: str, made_on: datetime.date) -> bytes:
    midnight = datetime.datetime(made_on.year, made_on.month, made_on.day, tzinfo=datetime.UTC)
    made: bytes = typst.compile(
        template,
        root=TEMPLATES,
        font_paths=[FONTS],
        ignore_system_fonts=True,
        sys_inputs={"data": data},
        pdf_standards=[_STANDARD],
        timestamp=int(midnight.timestamp()),
    )
    return made


def _breakable(text: str) -> str:
    """Text whose longest words may break, so that they stay on the paper."""
    return _LONG_WORD.sub(lambda word: word[0] + _MAY_BREAK, text)


def _strings(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        yield from (text for one in value.values() for text in _strings(one))
    elif isinstance(value, list):
        yield from (text for one in value for text in _strings(one))


def _each_string(value: Any, change: Callable[[str], str]) -> Any:
    if isinstance(value, str):
        return change(value)
    if isinstance(value, dict):
        return {key: _each_string(one, change) for key, one in value.items()}
    return [_each_string(one, change) for one in value] if isinstance(value, list) else value
