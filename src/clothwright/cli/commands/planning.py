"""Commands that plan: the plan of a project, a sample first, what can be chosen, a layout."""

from __future__ import annotations

from pathlib import Path

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
    from clothwright.cli.sample_first import sampled, show_sample

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
    from clothwright.cli.kept_places import place_lines
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
    from clothwright.cli.choosing import choices_answer, show_choices

    with asked(file):
        answer, imperial = choices_answer(file, past)
    if not answered_in_json(answer.as_json(), as_json):
        show_choices(answer, imperial=imperial)
