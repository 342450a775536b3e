"""The data that pages for phones carry."""

from __future__ import annotations

from typing import Any

from django import template
from django.utils.safestring import SafeString, mark_safe

from clothwright.web.phone.phone_pages import as_data

register = template.Library()


@register.simple_tag
def phone_data(state: dict[str, Any], places: dict[str, str], words: dict[str, str]) -> SafeString:
    """The state, the addresses and the words of scripts as JSON within the page; every sign that could end it is written as a number."""
    return mark_safe(as_data({"state": state, "places": places, "words": words}))
