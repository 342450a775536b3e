"""Commands that plan: the plan of a project, a sample first, what can be chosen, a layout."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from clothwright.cli.failing import asked
from clothwright.cli.group import commands
from clothwright.cli.options import (
    AS_JSON,
    DEFAULT_SECONDS,
    PAST,
    PROJECT_FILE,
    ROUNDS,
    SEED,
    answered_in_json,
    seconds_of,
)


@commands.command("plan")
@PROJECT_FILE
@click.option("--by-hand", is_flag=True, help="The sums on paper, no spread.")
@click.option("--evidence", is_flag=True, help="What each figure rests on, and how far each piece moved it.")
@PAST
@seconds_of(DEFAULT_SECONDS)
@ROUNDS
@SEED
@AS_JSON
def plan_command(
    file: Path,
    by_hand: bool,
    evidence: bool,
    past: tuple[Path, ...],
    seconds: float,
    rounds: int | None,
    seed: int | None,
    as_json: bool,
) -> None:
    """Plan the project in FILE: warp, weft, layout, and whether the yarn lasts."""
    from clothwright.cli.planned import evidence_told, planned
    from clothwright.cli.show_evidence import evidence_data, show_evidence
    from clothwright.cli.show_plan import show_plan

    with asked(file):
        project, plan = planned(file, seconds=seconds, seed=seed, by_hand=by_hand, past=past, rounds=rounds or 0)
        behind = evidence_told(file, plan, past) if evidence and not by_hand else ()
    if not answered_in_json(plan.as_json() | ({"evidence": evidence_data(behind)} if behind else {}), as_json):
        show_plan(plan, imperial=project.units == "imperial")
        show_evidence(behind, imperial=project.units == "imperial")


@commands.command("begin")
@click.argument("yarns", nargs=-1, metavar="YARN...")
@click.option("--loom", metavar="WIDTH", help="How wide the loom weaves, as 50 cm; left out, wide enough.")
@click.option(
    "--heddle", "heddles", multiple=True, help="A heddle owned, as 30/10 cm; again for each. Left out, one is taken."
)
@click.option("--width", help="Width of the finished cloth, selvedge to selvedge, as 50 cm.")
@click.option("--length", help="Length of the finished cloth, as 180 cm.")
@click.option("--garment", help="Instead of a size: a garment made from measures; clothwright measures lists them.")
@click.option("--measure", "measures", multiple=True, help='A body measure, as "bust girth = 92 cm"; again for each.')
@click.option("--option", "options", multiple=True, help='A choice of the garment, as "neck = v"; again for each.')
@click.option(
    "--pattern", type=click.Path(path_type=Path, dir_okay=False), help="Instead of a size: a drawing of the pieces."
)
@click.option(
    "-o",
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    default=Path("begun.toml"),
    show_default=True,
    help="The project file to write; one that is there is left as it is.",
)
@seconds_of(0.0)
@AS_JSON
def begin_command(out: Path, seconds: float, as_json: bool, **said: Any) -> None:
    """Begin a project with yarn as you would say it, "250 g of 400 m/100 g wool": write its file, and say whether it is enough."""
    from clothwright.cli.beginning import Said, begun_tree, show_begun, taken_data, taken_of, write_begun
    from clothwright.cli.planned import planned

    with asked():
        begun = Said(**said)
        tree = begun_tree(begun)
        write_begun(tree, begun, out)
    with asked(out):
        project, plan = planned(out, seconds=seconds, seed=None)
    defaults = taken_of(tree, project, plan)
    if not answered_in_json(plan.as_json() | {"taken": taken_data(defaults), "written": str(out)}, as_json):
        show_begun(plan, defaults, out, imperial=project.units == "imperial")


@commands.command("sample")
@PROJECT_FILE
@click.option("--no-loom", is_flag=True, help="Woven with a needle on a notched card, with the doubt that adds.")
@click.option("--heddle", "heddles", multiple=True, help="A heddle owned to sample, as 30/10 cm; again for each.")
@PAST
@seconds_of(DEFAULT_SECONDS)
@SEED
@AS_JSON
def sample_command(
    file: Path,
    no_loom: bool,
    heddles: tuple[str, ...],
    past: tuple[Path, ...],
    seconds: float,
    seed: int | None,
    as_json: bool,
) -> None:
    """Plan the smallest sample that settles most for the project in FILE: size, yarn, heddles, and what it would tell."""
    from clothwright.cli.samples.sample_first import sampled, show_sample

    with asked(file):
        project, answer = sampled(file, loom=not no_loom, heddles=heddles, past=past, seconds=seconds, seed=seed)
    if not answered_in_json(answer.as_json(), as_json):
        show_sample(answer, project)


@commands.command("lay")
@PROJECT_FILE
@seconds_of(DEFAULT_SECONDS)
@ROUNDS
@SEED
@click.option("--keep-places", is_flag=True, help="Print the layout as lines to keep in the project file.")
@AS_JSON
def lay_command(
    file: Path, seconds: float, rounds: int | None, seed: int | None, keep_places: bool, as_json: bool
) -> None:
    """Lay the pieces of FILE on cloth of the width wanted, or of the width that takes least yarn."""
    from clothwright.cli.pieces.kept_places import place_lines
    from clothwright.cli.planned import laid
    from clothwright.cli.show_plan import show_layout

    with asked(file):
        project, answer = laid(file, seconds=seconds, seed=seed, rounds=rounds or 0)
    if keep_places:
        click.echo(place_lines(answer, project))
    elif not answered_in_json(answer.as_json(), as_json):
        show_layout(answer, imperial=project.units == "imperial")


@commands.command("choices")
@PROJECT_FILE
@PAST
@AS_JSON
def choices_command(file: Path, past: tuple[Path, ...], as_json: bool) -> None:
    """Plan FILE by everything that can be chosen: width, heddle, joins, other cloth, one warp or two, best first."""
    from clothwright.cli.pieces.choosing import choices_answer, show_choices

    with asked(file):
        answer, imperial = choices_answer(file, past)
    if not answered_in_json(answer.as_json(), as_json):
        show_choices(answer, imperial=imperial)
