"""What stands behind each figure of a plan, as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

import click

from clothwright.planning import Behind
from clothwright.sheets.wording import behind_figure


def evidence_data(behind: Sequence[Behind]) -> list[dict[str, Any]]:
    """Every figure with its stages, in the unit named."""
    return [
        {
            "figure": one.name,
            "unit": one.unit,
            "stages": [
                {
                    "what": stage.what,
                    "rung": str(stage.rung),
                    "after": asdict(stage.after),
                    "measurements": list(stage.measurements),
                }
                for stage in one.stages
            ],
        }
        for one in behind
    ]


def show_evidence(behind: Sequence[Behind], *, imperial: bool) -> None:
    """Each figure from the rule of thumb to what the plan goes by."""
    if behind:
        click.echo("\nBehind each number")
    for one in behind:
        click.echo(f"- {one.name}")
        for stage in one.stages:
            click.echo(f"    {stage.rung}, {stage.what}: {behind_figure(one.unit, stage.after, imperial=imperial)}")
