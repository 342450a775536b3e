"""Marks of a layout that may be on the wrong side, asked about wherever the layout's flaws are shown."""

from __future__ import annotations

from typing import Any

from django import template

from clothwright.library.models import Project, Revision
from clothwright.web.loom.loom_done import from_other_side

register = template.Library()


@register.inclusion_tag("clothwright/other_side.html")
def marks_on_the_other_side(project: Project, revision: Revision) -> dict[str, Any]:
    """The question, with a link to where it is answered; nothing where no mark seems to be on the wrong side."""
    return {"project": project, "from_other_side": from_other_side(revision)}
