"""Filters of the pages."""

from __future__ import annotations

import datetime
import json

from django import template

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
