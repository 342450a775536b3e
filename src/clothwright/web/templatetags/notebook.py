"""Filters of the pages."""

from __future__ import annotations

import datetime
import json
from collections.abc import Mapping

from django import template

from clothwright.web.form import key_of
from clothwright.web.typed import Path

register = template.Library()


@register.filter
def as_json(value: object) -> str:
    """Plain data as JSON; the template escapes it."""
    return json.dumps(value, ensure_ascii=False)


@register.filter
def here_and_then(moment: datetime.datetime) -> str:
    """A moment by the clock of this machine: 3 March 2031, 14:05."""
    here = moment.astimezone()
    return f"{here.day} {here:%B %Y, %H:%M}"


@register.filter
def place_on(path: Path, sentences: Mapping[str, str]) -> str:
    """The id of the nearest sentence on the page for the path."""
    found = (key_of(path[:length]) for length in range(len(path), 0, -1) if key_of(path[:length]) in sentences)
    return next((f"{key}-problem" for key in found), "main")
