"""From text to a project: every problem found at once, each with its field, what came and what is accepted."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel, ValidationError

from clothwright.measure import QuantityError
from clothwright.project.document import Project

Path = tuple[str | int, ...]


@dataclass(frozen=True)
class Problem:
    """Something wrong with what was given: where (`path` into the document), and one sentence."""

    path: Path
    sentence: str

    @property
    def where(self) -> str:
        """The path as a person reads it: yarn 1, balls 2, gross."""
        steps = (str(step + 1) if isinstance(step, int) else step for step in self.path)
        return re.sub(r", (\d)", r" \1", ", ".join(steps))

    def __str__(self) -> str:
        return f"{self.where}: {self.sentence}" if self.path else self.sentence


class ProblemsFound(ValueError):
    """What was given cannot be used; `problems` holds every reason."""

    def __init__(self, *problems: Problem) -> None:
        self.problems = problems
        super().__init__("; ".join(map(str, problems)))


def read_toml(text: str) -> dict[str, Any]:
    """The tree a TOML text holds; ProblemsFound with the line where it is no TOML."""
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise ProblemsFound(Problem((), f"the file is not TOML: {error}")) from None


def read_project(tree: Mapping[str, Any]) -> Project:
    """The project a tree holds; ProblemsFound with all its problems at once."""
    version = tree.get("clothwright", 1)
    if version != 1:
        problem = Problem(("clothwright",), f"“{version}” is a version this program does not read; it reads 1")
        raise ProblemsFound(problem)
    try:
        return Project.model_validate(tree)
    except ValidationError as error:
        raise ProblemsFound(*_problems(error)) from None


def _problems(error: ValidationError) -> list[Problem]:
    found: dict[Path, Problem] = {}
    for one in error.errors(include_url=False):
        path = _path(one["loc"])
        found.setdefault(path, Problem(path, _sentence(dict(one), path)))
    return list(found.values())


def _path(location: tuple[str | int, ...]) -> Path:
    """Where in the document, without the names of the branches of a choice."""
    return tuple(step for step in location if isinstance(step, int) or not step.startswith("as "))


def _sentence(error: dict[str, Any], path: Path) -> str:
    cause = error.get("ctx", {}).get("error")
    came = error.get("input")
    if isinstance(cause, QuantityError | ValueError):
        return str(cause)
    kind = error["type"]
    if kind == "extra_forbidden":
        return f"“{path[-1]}” is not a field here; fields are {', '.join(_fields_at(path[:-1]))}"
    if kind == "missing":
        return "this is needed and was left out"
    if kind == "literal_error":
        return f"“{came}” came; accepted are {error['ctx']['expected'].replace(chr(39), '')}"
    return f"“{came}” came; {error['msg'][:1].lower()}{error['msg'][1:]}"


def _fields_at(path: Path) -> list[str]:
    """The names of the fields of the part at a path, or of the nearest part above it."""
    model: type[BaseModel] = Project
    for step in path:
        if isinstance(step, str) and step in model.model_fields:
            model = _model_in(model.model_fields[step].annotation) or model
    return list(model.model_fields)


def _model_in(annotation: Any) -> type[BaseModel] | None:
    """The part a field's annotation holds, looking into lists and choices."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    inner = (_model_in(one) for one in getattr(annotation, "__args__", ()))
    return next((one for one in inner if one), None)
