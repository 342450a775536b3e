"""From text to a project: every problem found at once, each with its field, what came and what is accepted."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Any, Final

from pydantic import BaseModel, ValidationError

from clothwright.measure import QuantityError
from clothwright.project.document import READING_KINDS, Project
from clothwright.project.names import name_problems
from clothwright.project.parts.log_parts import LogPart
from clothwright.project.parts.part import Part
from clothwright.project.problem import Path, Problem, ProblemsFound
from clothwright.project.teaching.class_parts import ClassList

#: How deep tables and lists of a file may stand in one another.
MOST_NESTED: Final = 40
_NESTED: Final = Problem(
    (), f"the file has tables or lists more than {MOST_NESTED} deep in one another; no project has"
)
#: About three hundred figures.
_MOST_BITS: Final = 1000
_LONG: Final = Problem((), "the file holds a number of hundreds of figures, which no quantity has")
_NO_TREE: Final[Mapping[str, Any]] = MappingProxyType({})


def read_toml(text: str) -> dict[str, Any]:
    """The tree a TOML text holds; ProblemsFound with the line where it is no TOML, is nested deep, or holds a number too long."""
    try:
        tree = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise ProblemsFound(Problem((), f"the file is not TOML: {_what_is_no_toml(str(error), text)}")) from None
    except RecursionError:
        raise ProblemsFound(_NESTED) from None
    except ValueError:
        raise ProblemsFound(_LONG) from None
    _check_measure(tree)
    return tree


_LINE: Final = re.compile(r"at line (\d+)")
_TWICE: Final = re.compile(r"Cannot (?:declare|overwrite|mutate|redefine|define)|twice|Duplicate", re.IGNORECASE)
#: How much of a line is shown with what is wrong in it.
_SHOWN: Final = 60


def _what_is_no_toml(why: str, text: str) -> str:
    """What keeps a text from being TOML, with the line as it was typed; a table or field that stands twice is said so."""
    found, lines = _LINE.search(why), text.rstrip().split("\n")
    number = int(found[1]) if found else len(lines)
    line = lines[number - 1].strip() if number <= len(lines) else ""
    if not line or not line.isprintable():
        return why
    shown = f"“{line[:_SHOWN]}{'…' if len(line) > _SHOWN else ''}”"
    if _TWICE.search(why):
        return f"line {number}, {shown}, stands there a second time; keep one of them"
    return f"{why}: {shown}"


def _check_measure(tree: Mapping[str, Any]) -> None:
    """Refuse what stands deeper, or is longer, than any project needs; level by level, since a deep tree ends a walk down it."""
    level: list[Any] = [tree]
    for _ in range(MOST_NESTED):
        level = [below for one in level for below in _below(one)]
        if any(isinstance(one, int) and one.bit_length() > _MOST_BITS for one in level):
            raise ProblemsFound(_LONG)
        if not level:
            return
    raise ProblemsFound(_NESTED)


def _below(value: Any) -> Iterable[Any]:
    return value.values() if isinstance(value, Mapping) else value if isinstance(value, list) else ()


def read_project(tree: Mapping[str, Any]) -> Project:
    """The project a tree holds; ProblemsFound with all its problems at once."""
    if "clothwright_class" in tree:
        problem = Problem(("clothwright_class",), "this is the list of a class; its project is the file it names")
        raise ProblemsFound(problem)
    version = tree.get("clothwright", 1)
    if version != 1 or version is True:
        problem = Problem(("clothwright",), f"“{version}” is a version this program does not read; it reads 1")
        raise ProblemsFound(problem)
    problems = name_problems(tree)
    try:
        project = Project.model_validate(tree)
    except ValidationError as error:
        raise ProblemsFound(*_problems(error), *problems) from None
    if problems:
        raise ProblemsFound(*problems)
    return project


def read_class(tree: Mapping[str, Any]) -> ClassList:
    """The class a tree holds; ProblemsFound with all its problems at once."""
    try:
        return ClassList.model_validate(tree)
    except ValidationError as error:
        raise ProblemsFound(*_problems(error, ClassList)) from None


class _Log(Part):
    log: list[LogPart]


def read_entry(data: object, tree: Mapping[str, Any] = _NO_TREE) -> LogPart:
    """One entry of the weaving log from plain data, as a phone sends it; ProblemsFound with a sentence for each fault.

    `tree` is the project it is for, as typed: its yarns, cores and the log so far say which names there are. Paths of the
    problems begin at the entry. Quantities are text with their unit, as in a file.
    """
    if not isinstance(data, Mapping):
        raise ProblemsFound(Problem((), "an entry is a table of fields, as woven and weft_left"))
    before = tree.get("log")
    logged = [*(before if isinstance(before, list) else []), data]
    last = len(logged) - 1
    named = name_problems({"yarn": tree.get("yarn"), "core": tree.get("core"), "log": logged})
    problems = [Problem(one.path[2:], one.sentence) for one in named if one.path[:2] == ("log", last)]
    try:
        entry = _Log.model_validate({"log": [data]}).log[0]
    except ValidationError as error:
        read = [Problem(one.path[2:], one.sentence) for one in _problems(error)]
        raise ProblemsFound(*read, *problems) from None
    if problems:
        raise ProblemsFound(*problems)
    return entry


def _problems(error: ValidationError, document: type[BaseModel] = Project) -> list[Problem]:
    found: dict[Path, Problem] = {}
    for one in error.errors(include_url=False):
        path = _path(one["loc"])
        found.setdefault(path, Problem(path, _sentence(dict(one), path, document)))
    return list(found.values())


def _path(location: tuple[str | int, ...]) -> Path:
    """Where in the document, without the names of the branches of a choice; a wrong name stands where what it names does."""
    return tuple(step for step in location if step not in READING_KINDS and step != "[key]")


def _sentence(error: dict[str, Any], path: Path, document: type[BaseModel]) -> str:
    cause = error.get("ctx", {}).get("error")
    came = error.get("input")
    if isinstance(cause, QuantityError | ValueError):
        return str(cause)
    kind = error["type"]
    if kind == "extra_forbidden":
        return f"“{path[-1]}” is not a field here; fields are {', '.join(_fields_at(path[:-1], document))}"
    if kind == "missing":
        return "this is needed and was left out"
    if kind == "literal_error":
        return f"“{came}” came; accepted are {error['ctx']['expected'].replace(chr(39), '')}"
    shown = "a table" if isinstance(came, Mapping) else "a list" if isinstance(came, list) else f"“{came}”"
    return f"{shown} came; {_needed(error)}"


def _needed(error: dict[str, Any]) -> str:
    """What a field needs, in words; pydantic's own where there are none here."""
    least = error.get("ctx", {}).get("ge")
    words = {
        "model_type": "a table of fields is needed here",
        "dict_type": "a table of fields is needed here",
        "list_type": "a list is needed here: one or more in [ ], or tables headed with [[ ]]",
        "string_type": "write it as text, in quotes",
        "string_too_short": "it cannot be empty",
        "too_short": "at least one is needed",
        "bool_type": "write true or false",
        "bool_parsing": "write true or false",
        "int_type": "write a whole number",
        "int_parsing": "write a whole number",
        "int_from_float": "write a whole number",
        "greater_than_equal": f"write {least} or more",
        "greater_than": "write more than 0",
        "finite_number": "write a number that can be counted",
    }
    return words.get(error["type"], f"{error['msg'][:1].lower()}{error['msg'][1:]}")


def _fields_at(path: Path, document: type[BaseModel]) -> list[str]:
    """The names of the fields of the part at a path of a document, or of the nearest part above it."""
    model = document
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
