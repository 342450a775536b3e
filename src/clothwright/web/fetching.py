"""Projects by their address."""

from __future__ import annotations

import re
import unicodedata
from uuid import UUID

from django.http import Http404

from clothwright.library import store
from clothwright.library.models import Project


def get_project(key: UUID) -> Project:
    """The project of that key; the page for what is not there if there is none."""
    try:
        return store.project(key)
    except Project.DoesNotExist:
        raise Http404 from None


def slug(project: Project) -> str:
    """The project's name as the name of a file: plain letters, digits and hyphens."""
    return slug_of(project.name)


def slug_of(name: str) -> str:
    """A name as the name of a file."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-") or "project"
