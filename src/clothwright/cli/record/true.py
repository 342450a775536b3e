"""How right forecasts would have been on finished cloths."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

import click

from clothwright.evidence import SIZES_TOLD, Told, calibration, read_records, replay, trueness
from clothwright.project import Problem, ProblemsFound


def trueness_answer(path: Path) -> tuple[dict[str, Any], list[Told]]:
    """Coverage and error by size, and every row left out, with the forecasts; ProblemsFound when the table cannot be read."""
    try:
        records, bad = read_records(path.read_text(encoding="utf-8-sig"))
    except OSError as error:
        raise ProblemsFound(Problem((), f"it cannot be read: {error.strerror}")) from None
    except UnicodeDecodeError:
        raise ProblemsFound(Problem((), "it is no text in UTF-8; save the table as CSV in UTF-8")) from None
    except ValueError as error:
        raise ProblemsFound(Problem((), str(error))) from None
    told = list(replay(records))
    answer: dict[str, Any] = {"n": len({one.cloth for one in told})}
    by_size = {size: [one for one in told if one.size == size] for size in SIZES_TOLD}
    for size, of_size in by_size.items():
        found = trueness(of_size)
        answer[size] = asdict(found) if found else None
    answer["calibration"] = {size: [asdict(one) for one in calibration(found)] for size, found in by_size.items()}
    return answer | {"rows_left_out": [{"line": one.line, "why": one.sentence} for one in bad]}, told


def draw_trueness(path: Path, told: Sequence[Told]) -> None:
    """Write the picture of how often the forecasts held; ProblemsFound where there are none, or it cannot be written."""
    from clothwright.sheets import calibration_svg

    by_size = {size: [one for one in told if one.size == size] for size in SIZES_TOLD}
    if not told:
        raise ProblemsFound(Problem((), "there is nothing to draw: no cloth states a finished size and an earlier one"))
    picture = calibration_svg(
        {
            size.replace("_", " ").capitalize(): (len(found), calibration(found))
            for size, found in by_size.items()
            if found
        }
    )
    try:
        path.write_text(picture, encoding="utf-8")
    except OSError as error:
        raise ProblemsFound(Problem((), f"it cannot be written: {error.strerror}")) from None


def show_trueness(answer: dict[str, Any]) -> None:
    """Show the answer in sentences."""
    click.echo(f"{answer['n']} cloths forecast, each only from what was known before it.")
    for size in SIZES_TOLD:
        one = answer[size]
        if one is None:
            click.echo(f"{size.replace('_', ' ').capitalize()}: no cloth states it with an earlier measure.")
            continue
        held = round(one["coverage_90"] * one["n"])
        click.echo(
            f"{size.replace('_', ' ').capitalize()}: of {one['n']} forecasts at nine in ten, {held} held "
            f"({one['coverage_50']:.0%} at one in two); half lay within {one['median_error']:.1%}, the rule of thumb "
            f"within {one['rule_of_thumb_median_error']:.1%}."
        )
    for row in answer["rows_left_out"]:
        click.echo(f"line {row['line']} left out: {row['why']}")
