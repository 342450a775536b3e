"""Commands at the loom and off it: the forecast from the log, finishing."""

from __future__ import annotations

from pathlib import Path

import click

from clothwright.cli.failing import asked
from clothwright.cli.group import commands
from clothwright.cli.options import AS_JSON, PAST, PROJECT_FILE, SEED, answered_in_json, seconds_of


@commands.command("forecast")
@PROJECT_FILE
@click.option("--by-hand", is_flag=True, help="The sums on paper, no spread.")
@PAST
@seconds_of(0.0)
@SEED
@AS_JSON
def forecast_command(
    file: Path, by_hand: bool, past: tuple[Path, ...], seconds: float, seed: int | None, as_json: bool
) -> None:
    """Forecast from the weaving log of FILE: what is still needed, left, short, where it would end, and the ways out."""
    from clothwright.cli.loom.at_loom import forecast_of, show_forecast

    with asked(file):
        project, told = forecast_of(file, by_hand=by_hand, past=past, seconds=seconds, seed=seed)
    if not answered_in_json(told.as_json(), as_json):
        show_forecast(told, imperial=project.units == "imperial")


@commands.command("finish")
@PROJECT_FILE
@PAST
@seconds_of(0.0)
@SEED
@AS_JSON
def finish_command(file: Path, past: tuple[Path, ...], seconds: float, seed: int | None, as_json: bool) -> None:
    """Say what is to be done off the loom of FILE: measuring, the recipe, the pieces on the cloth as it came, the checks."""
    from clothwright.cli.loom.finishing import finish_of, show_finish

    with asked(file):
        project, found = finish_of(file, past=past, seconds=seconds, seed=seed)
    if not answered_in_json(found.as_json(), as_json):
        show_finish(found, imperial=project.units == "imperial")
