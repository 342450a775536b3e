"""Filters of the pages."""

from __future__ import annotations

import datetime
import json
from typing import Any, Final

from django import template
from django.urls import reverse

from clothwright import __version__

register = template.Library()

#: The pages of the header: the name of the address, the words, and how the addresses of the pages below it begin.
_ROOMS: Final = (
    ("projects", (), "Projects", "/project"),
    ("records", (), "Records", "/records"),
    ("shelf", ("yarn",), "Yarn on hand", "/yarn/"),
    ("shelf", ("loom",), "Looms and heddles", "/looms/"),
    ("shelf", ("sample",), "Samples", "/samples/"),
    ("setts", (), "Sett", "/sett/"),
    ("yarn_numbers", (), "Yarn numbers", "/yarn-numbers/"),
    ("all_sheets", (), "Sheets", "/sheets/"),
    ("true", (), "How true", "/trueness/"),
    ("words", (), "Words", "/words/"),
)

_PATTERN_PAGES: Final = (
    ("measures", "Make from measures"),
    ("draw", "Draw a piece"),
    ("trace", "Trace a photograph"),
    ("pieces", "Pieces"),
    ("fit", "Fit"),
    ("narrow", "Narrow cloth"),
)


@register.simple_tag(takes_context=True)
def rooms(context: dict[str, Any]) -> list[dict[str, Any]]:
    """The links of the header; the one that leads to where the page belongs is the current one."""
    here = context["request"].path if "request" in context else ""
    addresses = ((reverse(name, args=args), words, below) for name, args, words, below in _ROOMS)
    return [
        {"url": url, "words": words, "current": here == url or here.startswith(below)}
        for url, words, below in addresses
    ]


@register.simple_tag
def version() -> str:
    """The version of the program."""
    return __version__


@register.simple_tag(takes_context=True)
def pattern_pages(context: dict[str, Any], key: Any) -> list[dict[str, Any]]:
    """The links between the pages of a project's pattern, in the order of the work; the page itself is the current one."""
    here = context["request"].path if "request" in context else ""
    addresses = ((reverse(name, args=[key]), words) for name, words in _PATTERN_PAGES)
    return [{"url": url, "words": words, "current": here == url} for url, words in addresses]


@register.filter
def at_index(values: list[Any] | tuple[Any, ...], index: int) -> Any:
    """The value at a place of a list."""
    return values[index]


@register.filter
def is_empty(values: list[Any]) -> bool:
    """Whether a list holds nothing."""
    return not values


@register.filter
def as_json(value: object) -> str:
    """Plain data as JSON; the template escapes it."""
    return json.dumps(value, ensure_ascii=False)


@register.filter
def here_and_then(moment: datetime.datetime) -> str:
    """A moment by the clock of this machine: 3 March 2031, 14:05."""
    here = moment.astimezone()
    return f"{here.day} {here:%B %Y, %H:%M}"
