"""From a project file to a plan or a layout."""

from __future__ import annotations

from collections.abc import Sequence
from importlib import resources
from pathlib import Path

from clothwright.cli.past import history_from
from clothwright.cli.searching import BRIEF_SHARE, MAIN_SHARE, searches
from clothwright.layout import Copy, Effort, Layout
from clothwright.library.files import read_project_file
from clothwright.planning import Behind, Laid, Plan, copies_to_cut, evidence_behind, job_of, lay, plan
from clothwright.project import Project, read_project
from clothwright.project.sampling import with_drawn_outlines


def planned(
    file: Path,
    *,
    seconds: float,
    seed: int | None,
    by_hand: bool = False,
    past: Sequence[Path] = (),
    rounds: int = 0,
) -> tuple[Project, Plan]:
    """The project in a file and its plan, made from what the past files tell; ProblemsFound with every problem."""
    project, drawings = project_in(file)
    history = history_from(past, file, project)
    with searches(project, _effort(seconds, rounds), seed) as search:
        layouts, brief = search(MAIN_SHARE), search(BRIEF_SHARE)
        found = plan(project, drawings=drawings, layouts=layouts, brief_layouts=brief, by_hand=by_hand, history=history)
        return project, found


def project_in(file: Path) -> tuple[Project, dict[str, bytes]]:
    """The project in a file, the outlines its samples were traced by read from their drawings."""
    tree, drawings = read_project_file(file)
    return with_drawn_outlines(read_project(tree), drawings), drawings


def evidence_told(file: Path, answer: Plan, past: Sequence[Path] = ()) -> tuple[Behind, ...]:
    """What stands behind every figure of a plan made of a file and its past."""
    project, drawings = project_in(file)
    history = history_from(past, file, project, telling=False)
    return evidence_behind(job_of(project, drawings, history), answer.warp.width_in_heddle_cm)


def laid(file: Path, *, seconds: float, seed: int | None, rounds: int = 0) -> tuple[Project, Laid]:
    """The project in a file and the layout of its pieces."""
    tree, drawings = read_project_file(file)
    project = read_project(tree)
    with searches(project, _effort(seconds, rounds), seed) as search:
        return project, lay(project, drawings=drawings, layouts=search(MAIN_SHARE), other_widths=search(1 - MAIN_SHARE))


def found_layout(file: Path, answer: Plan) -> tuple[tuple[Copy, ...], Layout] | None:
    """The copies a project cuts and the layout its plan found for them, to hand on to the pages."""
    if answer.layout is None:
        return None
    tree, drawings = read_project_file(file)
    return copies_to_cut(read_project(tree), drawings), answer.layout


def _effort(seconds: float, rounds: int) -> Effort:
    """Rounds where they are asked, else seconds."""
    return Effort(rounds=rounds) if rounds else Effort(seconds)


def demo_file() -> Path:
    """The demo garment's project file."""
    return Path(str(resources.files("clothwright.library").joinpath("demo", "wrackline-waistcoat.toml")))


def demo_given(folder: Path) -> list[Path]:
    """The demo's project file and drawing, to try things on, where a folder has none of that name yet."""
    new = [(one, folder / one.name) for one in sorted(demo_file().parent.glob("wrackline-waistcoat.*"))]
    new = [(one, to) for one, to in new if not to.exists()]
    for one, to in new:
        to.write_bytes(one.read_bytes())
    return [to for _, to in new]
