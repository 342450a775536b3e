"""From a project file to a plan, a layout or sheets."""

from __future__ import annotations

import datetime
from importlib import resources
from pathlib import Path

from clothwright.cli.searching import BRIEF_SHARE, MAIN_SHARE, searches
from clothwright.layout import Copy, Layout
from clothwright.library.files import read_project_file
from clothwright.planning import Laid, Plan, copies_to_cut, lay, plan
from clothwright.project import Project, read_project


def planned(file: Path, *, seconds: float, seed: int | None, by_hand: bool = False) -> tuple[Project, Plan]:
    """The project in a file and its plan; ProblemsFound with every problem."""
    tree, drawings = read_project_file(file)
    project = read_project(tree)
    with searches(project, seconds, seed) as search:
        layouts, brief = search(MAIN_SHARE), search(BRIEF_SHARE)
        return project, plan(project, drawings=drawings, layouts=layouts, brief_layouts=brief, by_hand=by_hand)


def laid(file: Path, *, seconds: float, seed: int | None) -> tuple[Project, Laid]:
    """The project in a file and the layout of its pieces."""
    tree, drawings = read_project_file(file)
    project = read_project(tree)
    with searches(project, seconds, seed) as search:
        return project, lay(project, drawings=drawings, layouts=search(1.0))


def print_sheets(
    project: Project, answer: Plan, out: Path, stem: str, *, only: tuple[str, ...] = (), large_print: bool = False
) -> list[Path]:
    """Write the sheets asked for (all, when none is named) under a folder and say which."""
    from clothwright.sheets import plan_sheet_pdf

    out.mkdir(parents=True, exist_ok=True)
    today = datetime.datetime.now(tz=datetime.UTC).date()
    imperial = project.units == "imperial"
    printers = {
        "plan": lambda: plan_sheet_pdf(answer, project, imperial=imperial, made_on=today, large_print=large_print)
    }
    written = []
    for kind in only or printers:
        path = out / f"{stem}-{kind}.pdf"
        path.write_bytes(printers[kind]())
        written.append(path)
    return written


def found_layout(file: Path, answer: Plan) -> tuple[tuple[Copy, ...], Layout] | None:
    """The copies a project cuts and the layout its plan found for them, to hand on to the pages."""
    if answer.layout is None:
        return None
    tree, drawings = read_project_file(file)
    return copies_to_cut(read_project(tree), drawings), answer.layout


def demo_file() -> Path:
    """The demo garment's project file."""
    return Path(str(resources.files("clothwright.library").joinpath("demo", "wrackline-waistcoat.toml")))
