"""What a sheet is written in: its words in another language, its numbers and units as that language writes them.

The text in the code is English; a catalogue (`locale/<language>/LC_MESSAGES/django.po`, compiled beside it) gives it in
another language by GNU gettext. A message that a catalogue lacks stays English. What was typed is never translated.
"""

from __future__ import annotations

import gettext
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final

#: The languages there are, by their code: the name in the language itself, and the region a typesetter needs.
LANGUAGES: Final = {"en": ("English", "GB"), "de": ("Deutsch", "DE")}
LOCALE: Final = Path(__file__).parent.parent / "locale"
#: One catalogue serves sheets and pages, so it has the name the web framework looks for.
DOMAIN: Final = "django"
_POINT: Final = re.compile(r"(?<=\d)\.(?=\d)")
_UNIT: Final = re.compile(r"(?<![^\W\d_])(per cm|per in|in|yd|oz|to)(?![^\W\d_])")


def to_say(message: str) -> str:
    """The message itself, marked for the catalogue where it stands in a table that is said later."""
    return message


@dataclass(frozen=True)
class Language:
    """A language sheets are written in: called with a message it gives it there, its `{names}` filled in."""

    code: str

    @property
    def name(self) -> str:
        """What it calls itself."""
        return LANGUAGES[self.code][0]

    @property
    def region(self) -> str:
        """The region whose habits of typesetting it has."""
        return LANGUAGES[self.code][1]

    @property
    def tag(self) -> str:
        """Language and region as a page names them: en-GB."""
        return f"{self.code}-{self.region}"

    def __call__(self, message: str, **values: object) -> str:
        """A message in this language."""
        said = _catalogue(self.code).gettext(message) if message else ""
        return said.format(**values) if values else said

    def several(self, one: str, many: str, number: int) -> str:
        """A message that counts: `{number} student`, `{number} students`."""
        return _catalogue(self.code).ngettext(one, many, number).format(number=number)

    def of(self, context: str, message: str) -> str:
        """A message whose meaning its context decides, as a lone word."""
        return _catalogue(self.code).pgettext(context, message)

    def figure(self, text: str) -> str:
        """A number with its unit as this language writes it: `49.3 cm (19½ in)` is `49,3 cm (19½ Zoll)` in German."""
        if self.code == "en":
            return text
        point = self.of("between a number and its decimals", ".")
        return _UNIT.sub(lambda unit: self._unit(unit[0]), _POINT.sub(point, text))

    def _unit(self, unit: str) -> str:
        units = {
            "per cm": self.of("unit", "per cm"),
            "per in": self.of("unit", "per in"),
            "in": self.of("unit", "in"),
            "yd": self.of("unit", "yd"),
            "oz": self.of("unit", "oz"),
            "to": self.of("between two numbers", "to"),
        }
        return units[unit]


ENGLISH: Final = Language("en")


def languages() -> Iterator[Language]:
    """Every language there is, English first."""
    return map(Language, LANGUAGES)


@cache
def _catalogue(code: str) -> gettext.NullTranslations:
    return gettext.translation(DOMAIN, LOCALE, languages=[code], fallback=code == "en")
