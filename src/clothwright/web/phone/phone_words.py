"""What the pages for phones say in another language: the language a phone asked for, and the words of their scripts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Final

from django.http import HttpRequest, HttpResponse

from clothwright.sheets.translating import ENGLISH, LANGUAGES, Language

COOKIE: Final = "clothwright_language"
_YEAR_S: Final = 365 * 24 * 3600
_SCRIPTS: Final = Path(__file__).parent.parent / "static/clothwright/phone"
#: How a script says a message, or marks one for later.
_SAID: Final = re.compile(r"\b(?:t|toSay)\(\s*\"((?:[^\"\\]|\\.)*)\"")


def asked_language(request: HttpRequest) -> Language:
    """The language asked for in the address, else the one this phone asked for last, else English."""
    asked = (request.GET.get("language"), request.COOKIES.get(COOKIE))
    return next((Language(one) for one in asked if one in LANGUAGES), ENGLISH)


def remembered(request: HttpRequest, response: HttpResponse) -> HttpResponse:
    """The answer, which has the phone remember a language that the address asks for."""
    if request.GET.get("language") in LANGUAGES:
        language = asked_language(request)
        response.set_cookie(COOKIE, language.code, max_age=_YEAR_S, httponly=True, samesite="Lax")
    return response


def said_by_scripts() -> Iterator[tuple[str, str]]:
    """Every message of the scripts with the name of its script."""
    for path in sorted(_SCRIPTS.glob("*.js")):
        for message in _SAID.findall(path.read_text(encoding="utf-8")):
            yield path.name, message


@cache
def script_words(code: str) -> dict[str, str]:
    """The messages of the scripts in a language, by what they are in English; none for English."""
    language = Language(code)
    return {} if language == ENGLISH else {message: language(message) for _, message in said_by_scripts()}


def other_languages(language: Language) -> list[tuple[str, str]]:
    """The languages a page can be asked for instead, by code and by their own names."""
    return [(code, name) for code, (name, _) in LANGUAGES.items() if code != language.code]
