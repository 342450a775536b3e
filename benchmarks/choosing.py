"""Joint search against fixing the width first: yarn for twenty-four garments and looms, planned by first guesses.

*Width fixed, then packed*: the widest cloth the loom finishes at the heddle of the plan, and the pieces laid on it. *Joint, nothing
given up*: the same heddle, the width chosen. *Joint, anything*: the least of all choices at that heddle. Run it with
`python benchmarks/choosing.py`; it takes some minutes; a width of loom after it, 60 or 80, takes that one only. Garments: the examples and the demo, and the outlines of published nesting
sets, a dozen copies of each at most, scaled so that the widest is 34 cm.
"""

from __future__ import annotations

import json
import sys
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from statistics import mean

from clothwright.cli.planned import demo_file
from clothwright.layout import NO_RULES, Copy, Rules, Step
from clothwright.library.files import read_project_file
from clothwright.pattern import Piece
from clothwright.planning.choices.choosing import _Choosing
from clothwright.planning.choices.narrow_cloth import takes
from clothwright.planning.job import Garment, Job, job_of
from clothwright.planning.pieces.fitting import YarnFor, quick_layouts
from clothwright.planning.weighing_up import weigh_up
from clothwright.project import ProblemsFound, Project, read_project
from clothwright.project.pattern.garment import every_piece

ROOT = Path(__file__).parents[1]
NESTING = ROOT / "tests" / "published" / "nesting"
SETS = ("albano", "dagli", "mao", "marques", "shirts", "swim", "trousers", "synthetic_jacket")
LOOMS_CM = (60, 80)
WIDEST_CM, MOST_COPIES = 34.0, 12


def main() -> None:
    """Plan every case three ways and print yarn and what is saved."""
    looms = [int(one) for one in sys.argv[1:]] or LOOMS_CM
    rows = []
    for case in cases(looms):
        if row := measured(case):
            rows.append(row)
            print(row, file=sys.stderr, flush=True)
    print(f"{len(rows)} cases; yarn in m: width fixed; joint, nothing given up; joint, anything")
    for name, fixed, free, anything, how in rows:
        print(
            f"{name:<34} {fixed:6.0f} {free:6.0f} {anything:6.0f}  {1 - free / fixed:6.1%} {1 - anything / fixed:6.1%}  {how}"
        )
    for what, saved in (
        ("nothing given up", [1 - free / fixed for _, fixed, free, _, _ in rows]),
        ("anything", [1 - anything / fixed for _, fixed, _, anything, _ in rows]),
    ):
        print(
            f"joint, {what}: mean {mean(saved):.1%} saved, least {min(saved):.1%}, most {max(saved):.1%}; worse on {sum(s < -1e-9 for s in saved)}"
        )


def cases(looms: Sequence[int]) -> Iterator[tuple[str, Job, tuple[Piece, ...]]]:
    """Garments by looms: a name, the job and every piece of it."""
    for loom in looms:
        for path in (
            ROOT / "examples" / "rows-of-rectangles.toml",
            ROOT / "examples" / "samphire-wrap.toml",
            demo_file(),
        ):
            tree, drawings = read_project_file(path)
            project = read_project(tree | {"loom": tree["loom"] | {"weaving_width": f"{loom} cm"}})
            yield f"{path.stem}, loom {loom} cm", job_of(project, drawings), every_piece(project, drawings)[0]
        for size in ("Merle", None):
            tree = tomllib.loads((ROOT / "examples" / "sea-pink-tops.toml").read_text(encoding="utf-8"))
            name = size or next(s["name"] for s in tree["pattern"]["from_measures"]["size"] if s["name"] != "Merle")
            tree["pattern"]["size"], tree["loom"]["weaving_width"] = name, f"{loom + 10} cm"
            project = read_project(tree)
            yield f"sea-pink-tops {name}, loom {loom + 10} cm", job_of(project, {}), every_piece(project, {})[0]
        for name in SETS:
            yield (f"{name}, scaled, loom {loom} cm", *published(name, loom))


def published(name: str, loom_cm: int) -> tuple[Job, tuple[Piece, ...]]:
    """A garment of published outlines on the loom and yarn of the example of rectangles."""
    facts = json.loads((NESTING / f"{name}.json").read_text(encoding="utf-8"))
    rings = [(str(p["id"]), [(x, y) for x, y in p["polygon"]], p["quantity"]) for p in facts["pieces"]]
    widest = max(max(y for _, y in ring) - min(y for _, y in ring) for _, ring, _ in rings)
    pieces: list[Piece] = []
    for number, ring, count in rings:
        room = MOST_COPIES - sum(piece.cut for piece in pieces)
        if room > 0:
            outline = tuple((x * WIDEST_CM / widest, y * WIDEST_CM / widest) for x, y in ring)
            pieces.append(Piece(f"piece {number}", outline, cut=min(count, 2, room)))
    job = job_of(_loom(loom_cm), {})
    garment = Garment(tuple(pieces), one_way=False, squaring_cm=0.0, trim_cm=0.0)
    return replace(job, garment=garment), tuple(pieces)


def _loom(loom_cm: int) -> Project:
    tree = tomllib.loads((ROOT / "examples" / "rows-of-rectangles.toml").read_text(encoding="utf-8"))
    tree["loom"]["weaving_width"] = f"{loom_cm} cm"
    return read_project(tree)


def measured(case: tuple[str, Job, tuple[Piece, ...]]) -> tuple[str, float, float, float, str] | None:
    """Yarn of one case three ways, m, and how the least is come by; None, and said, where the loom cannot do it at all."""
    name, job, pieces = case
    try:
        fixed = takes(weigh_up(job, _widest_only)).yarn_m
    except ProblemsFound as wrong:
        print(f"{name}: left out, {wrong}")
        return None
    answer = _Choosing(job, pieces).answer()
    here = [one for one in answer.choices if one.heddle == job.heddle.name]
    free = min(one.yarn_m for one in here if not one.given_up)
    least = min(here, key=lambda one: one.yarn_m)
    return name, fixed, free, least.yarn_m, least.how


def _widest_only(
    copies: tuple[Copy, ...], widths_cm: tuple[float, ...], yarn_for: YarnFor, rules: Rules = NO_RULES
) -> tuple[Step, ...]:
    return quick_layouts(copies, (max(widths_cm),), yarn_for, rules)


if __name__ == "__main__":
    main()
