"""Numbers as people write them: 24, 7.5, 7,5, 7 1/2, 7½, 3/4, 2 950.

One comma or point is a decimal mark. Three digits after a lone comma (1,700) can be a thousand or a decimal, so
that is a question, not a guess; thousands may be set off by a space.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Final

VULGAR: Final = {
    "½": 1 / 2,
    "¼": 1 / 4,
    "¾": 3 / 4,
    "⅓": 1 / 3,
    "⅔": 2 / 3,
    "⅛": 1 / 8,
    "⅜": 3 / 8,
    "⅝": 5 / 8,
    "⅞": 7 / 8,
}
_FRACTIONS: Final = "".join(VULGAR)
SPACE: Final = "[ \u00a0\u2009\u202f]"

#: A number without a slash.
PLAIN: Final = rf"(?:\d{{1,3}}(?:{SPACE}\d{{3}})+(?:[.,]\d+)?(?!\d)|\d+[.,]\d+|[.,]\d+|\d+{SPACE}?[{_FRACTIONS}]|\d+|[{_FRACTIONS}])"
#: A number that may be a whole and a fraction, as 7 1/2.
NUMBER: Final = rf"(?:\d+{SPACE}+\d+/\d+|\d+/\d+|{PLAIN})"

_AMBIGUOUS: Final = re.compile(r"[1-9]\d{0,2},\d{3}")
_MIXED: Final = re.compile(rf"(?:(\d+){SPACE}+)?(\d+)/(\d+)")
_WITH_VULGAR: Final = re.compile(rf"(\d*){SPACE}?([{_FRACTIONS}])")


class NumberError(ValueError):
    """Text that is not one number; the message says why."""


class Ask(NumberError):
    """Text that can be read in more than one way: the message is the question, with the forms that answer it."""


class NotThisKind(NumberError):
    """Text that has not the form of the kind asked for, and may have that of another."""


def read_number(text: str) -> float:
    """The value of a number written by a person; NumberError when it can be read in two ways or not at all."""
    text = text.strip()
    if _AMBIGUOUS.fullmatch(text):
        whole, rest = text.split(",")
        raise Ask(f"is that {whole}{rest} or {whole}.{rest}? Write it without the comma")
    if mixed := _MIXED.fullmatch(text):
        return _mixed(*mixed.groups())
    if vulgar := _WITH_VULGAR.fullmatch(text):
        return float(vulgar[1] or 0) + VULGAR[vulgar[2]]
    try:
        return float(re.sub(SPACE, "", text).replace(",", "."))
    except ValueError:
        raise NumberError(f"{text} is not a number") from None


def _mixed(whole: str | None, top: str, bottom: str) -> float:
    if float(bottom) == 0:
        raise NumberError(f"{top}/{bottom} divides by nothing")
    return float(whole or 0) + float(top) / float(bottom)


def plainly(value: float, figures: int) -> str:
    """A number to so many significant figures, without an exponent or trailing zeros."""
    written = f"{Decimal(f'{value:.{figures}g}'):f}"
    return written.rstrip("0").rstrip(".") if "." in written else written
