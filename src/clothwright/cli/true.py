"""How right forecasts would have been on finished cloths."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import Any

import click

from clothwright.evidence import SIZES_TOLD, read_records, replay, trueness
from clothwright.project import Problem, ProblemsFound


def trueness_answer(path: Path) -> dict[str, Any]:
    """Coverage and error by size, and every row left out; ProblemsFound when the table cannot be read."""
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
    for size in SIZES_TOLD:
        found = trueness(one for one in told if one.size == size)
        answer[size] = asdict(found) if found else None
    return answer | {"rows_left_out": [{"line": one.line, "why": one.sentence} for one in bad]}


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
