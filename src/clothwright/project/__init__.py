"""The project document: typed text in one tree, checked, and turned into what the core works on."""

from clothwright.project.document import Project
from clothwright.project.problem import Problem, ProblemsFound
from clothwright.project.reading import read_project, read_toml

__all__ = ["Problem", "ProblemsFound", "Project", "read_project", "read_toml"]
