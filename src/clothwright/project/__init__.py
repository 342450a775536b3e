"""The project document: typed text in one tree, checked, and turned into what the core works on.

The document is imported when it is first asked for, so that answering about a yarn number does not wait for it.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from clothwright.project.problem import Problem, ProblemsFound

if TYPE_CHECKING:
    from clothwright.project.document import Project
    from clothwright.project.reading import read_class, read_project, read_toml
    from clothwright.project.teaching.class_parts import ClassList

_HOMES = {
    "teaching.class_parts": ("ClassList",),
    "document": ("Project",),
    "reading": ("read_class", "read_project", "read_toml"),
}

__all__ = ["ClassList", "Problem", "ProblemsFound", "Project", "read_class", "read_project", "read_toml"]


def __getattr__(name: str) -> Any:
    """The name, from the file it lives in."""
    for file, names in _HOMES.items():
        if name in names:
            return getattr(import_module(f"{__name__}.{file}"), name)
    raise AttributeError(f"{__name__} has no {name}")
