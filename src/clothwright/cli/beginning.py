"""A project begun in one line: the yarn in words, the loom, what is to be made; written as a file, with its verdict."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click

from clothwright.library.files import export_toml
from clothwright.planning import Plan
from clothwright.planning.heddle_taken import heddle_taken
from clothwright.project import Problem, ProblemsFound, Project, read_project
from clothwright.project.beginning import few_answers as begun
from clothwright.sheets.defaults import Default, defaults_taken


@dataclass(frozen=True)
class Said:
    """What was said on the command line."""

    yarns: tuple[str, ...]
    loom: str | None = None
    heddles: tuple[str, ...] = ()
    width: str | None = None
    length: str | None = None
    garment: str | None = None
    measures: tuple[str, ...] = ()
    options: tuple[str, ...] = ()
    pattern: Path | None = None


def begun_tree(said: Said) -> begun.Tree:
    """The project that was said, a heddle taken where none was; ProblemsFound with each question left open and its answers."""
    tree = begun.begin("\n".join(said.yarns))
    if asked := begun.open_questions(tree):
        raise ProblemsFound(*(_question(one) for one in asked))
    if not said.yarns:
        raise ProblemsFound(Problem((), 'say what yarn there is, as "8/2 cotton, 250 g"'))
    tree = _with_loom(tree, said)
    tree = _with_making(tree, said)
    if begun.says_heddle(tree):
        return tree
    asked_of: begun.Tree = {name: tree[name] for name in ("units", "yarn") if name in tree}
    return begun.with_heddle_taken(tree, heddle_taken(read_project(asked_of)))


def _question(one: Any) -> Problem:
    choices = "".join(f'\n    "{choice}"' for choice in one.question.choices)
    return Problem((), f"“{one.line}”: {one.question.sentence}" + (f"; say one of{choices}" if choices else ""))


def _with_loom(tree: begun.Tree, said: Said) -> begun.Tree:
    loom: dict[str, Any] = {"weaving_width": said.loom} if said.loom else {}
    return tree | {"loom": loom | ({"heddles": list(said.heddles)} if said.heddles else {})}


def _with_making(tree: begun.Tree, said: Said) -> begun.Tree:
    ways = [one for one in (said.width or said.length, said.garment, said.pattern) if one]
    if len(ways) != 1:
        sentence = "say one thing to make: --width and --length of a cloth, --garment with its measures, or --pattern"
        raise ProblemsFound(Problem((), sentence))
    if said.garment:
        tree = begun.with_making(tree, said.garment)
        tree["pattern"]["from_measures"] |= _pairs("measure", "body", said.measures)
        tree["pattern"]["from_measures"] |= _pairs("option", "options", said.options)
        return tree
    if said.pattern:
        return begun.with_making(tree, begun.DRAWING) | {"pattern": {"file": said.pattern.name}}
    want = {name: value for name, value in (("width", said.width), ("length", said.length)) if value}
    return begun.with_making(tree, begun.CLOTH) | {"want": want}


def _pairs(word: str, field: str, texts: tuple[str, ...]) -> dict[str, dict[str, str]]:
    from clothwright.cli.pattern.drafting import pairs

    return {field: pairs(word, texts)} if texts else {}


def write_begun(tree: begun.Tree, said: Said, out: Path) -> None:
    """Write the project, and its drawing beside it; ProblemsFound where something else stands there already."""
    try:
        drawing = said.pattern.read_bytes() if said.pattern else b""
        beside = out.parent / said.pattern.name if said.pattern else out
        if said.pattern and beside.exists() and beside.read_bytes() != drawing:
            raise ProblemsFound(Problem((), f"{beside} is another drawing of that name; it is left as it is"))
        with out.open("x", encoding="utf-8") as file:
            file.write(export_toml(tree))
        if said.pattern and not beside.exists():
            beside.write_bytes(drawing)
    except FileExistsError:
        raise ProblemsFound(
            Problem((), f"{out} is there already, and is left as it is; name another with -o")
        ) from None
    except OSError as error:
        raise ProblemsFound(Problem((), f"{error.filename or out}: {error.strerror}")) from None


def taken_of(tree: begun.Tree, project: Project, plan: Plan) -> tuple[Default, ...]:
    """What the plan took because nobody said it."""
    return defaults_taken(project, plan, begun.still_taken(tree), imperial=project.units == "imperial")


def taken_data(defaults: tuple[Default, ...]) -> list[dict[str, str]]:
    """The same as JSON has it."""
    return [{"field": one.path, "what": one.what, "taken": one.taken, "why": one.why} for one in defaults]


def show_begun(plan: Plan, defaults: tuple[Default, ...], out: Path, *, imperial: bool) -> None:
    """The verdict, what was taken, and the measurement that would sharpen it most."""
    from clothwright.cli.show_plan import show_to_measure, show_verdict

    show_verdict(plan, imperial=imperial)
    for line in _lines(defaults):
        click.echo(line)
    if plan.measure_next:
        click.echo("\nThe one measurement that would sharpen it most:")
        show_to_measure(plan.measure_next[0], imperial=imperial)
    click.echo(f"\nWritten: {out}. All of the plan: clothwright plan {out}")


def _lines(defaults: tuple[Default, ...]) -> Iterator[str]:
    yield "\nTaken, because nobody said (change it in the file):"
    yield from (f"  {one.what}: {one.taken}, {one.why} [{one.path}]" for one in defaults)
