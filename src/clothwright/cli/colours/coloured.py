"""The colour order of a project, as text, as JSON, and as lines for the project file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import tomlkit
from rich.console import Console
from rich.table import Table

from clothwright.cli.colours.weft_shown import show_weft
from clothwright.cli.planned import planned, project_in
from clothwright.planning import (
    ColourPlan,
    asks_of_weft,
    plan_colours,
    planned_warp,
    wanted_warp,
    wanted_weft,
    with_weft,
)
from clothwright.project import Project
from clothwright.sheets import colour_words as words
from clothwright.sheets.wording import LENGTH, YARN, percent

_console = Console(highlight=False, soft_wrap=True, markup=False)


def coloured(
    file: Path, *, seed: int | None, redraw: bool, seconds: float, weft: bool = False
) -> tuple[Project, ColourPlan]:
    """The project in a file and its colour orders; ends, warp length and picks come from the plan where they are not typed.

    `weft`: its order is wanted though the project asks nothing of it.
    """
    project, _ = project_in(file)
    warp = wanted_warp(project)
    if warp and (not (weft or asks_of_weft(project)) or wanted_weft(project)):
        return project, with_weft(
            project, plan_colours(project, warp, seed=seed, redraw=redraw), None, seed=seed, redraw=redraw
        )
    plan = planned(file, seconds=seconds, seed=None)[1]
    warp = planned_warp(project, plan)
    answer = plan_colours(project, warp, seed=seed, redraw=redraw, drawn_from=plan.drawn)
    return project, with_weft(project, answer, plan, seed=seed, redraw=redraw)


def show_colours(answer: ColourPlan, *, imperial: bool) -> None:
    """Print the order with running counts, what each ball gives and keeps, and the rules."""
    length = LENGTH.text(answer.warp.warp_cm, imperial=imperial)
    word = "pairs" if answer.turn_ends == 2 else "ends"
    _console.print(f"{answer.warp.ends} ends of {length}; seed {answer.seed}")
    for stripe in answer.stripes:
        drawn, made = (LENGTH.text(cm, imperial=imperial) for cm in (stripe.drawn_cm, stripe.finished_cm))
        _console.print(f"{stripe.yarn}: {drawn} drawn, {stripe.ends} ends, finishes at {made}")
    for change in answer.changes:
        _console.print(f"Ends {change.first} to {change.last}: {change.was} becomes {change.now}.")
    _console.print(_order_table(answer))
    _console.print(_ball_table(answer, word, imperial))
    _console.print(_words_table(words.LENGTHS_HEAD, words.length_rows(answer, imperial=imperial)))
    if answer.parted:
        _console.print(_words_table(words.WARPS_HEAD, words.warps_rows(answer, imperial=imperial)))
    _console.print(f"All balls last with a chance of {percent(answer.chance_balls_last)}.")
    for title, lines in (("Rules", answer.rules), ("Rules broken", answer.broken), ("Notes", answer.notes)):
        if lines:
            _console.print(f"\n{title}")
            _console.print("\n".join(f"  {line}" for line in lines))
    if answer.weft:
        show_weft(answer.weft, imperial=imperial)


def _words_table(head: list[str], rows: list[list[str]]) -> Table:
    table = Table(*head, box=None, pad_edge=False)
    for row in rows:
        table.add_row(*row)
    return table


def _order_table(answer: ColourPlan) -> Table:
    table = Table("ends", "yarn", "ball", "up to", "held", box=None, pad_edge=False)
    count = 0
    for run in answer.order:
        count += run.ends
        balls = (
            ", ".join(f"{number} ({ends})" for number, ends in run.balls)
            if len(run.balls) > 1
            else str(run.balls[0][0])
        )
        table.add_row(str(run.ends), run.yarn, balls, str(count), "held" if run.held else "")
    return table


def _ball_table(answer: ColourPlan, word: str, imperial: bool) -> Table:
    table = Table("yarn", "ball", f"{word} it gives", "sure", "used", "left", box=None, pad_edge=False)
    for line in answer.balls:
        left = YARN.text(max(0.0, line.left_m), imperial=imperial)
        table.add_row(line.yarn, str(line.number), str(line.capacity), str(line.sure), str(line.used), left)
    return table


def order_lines(answer: ColourPlan) -> str:
    """The orders as lines for the project file: the warp's under [colours], and the weft's, where it is told, under its own."""
    warp = _lines(answer.as_typed())
    return f"{warp}\n\n[colours.weft]\n{_lines(answer.weft.as_typed())}" if answer.weft else warp


def _lines(runs: list[dict[str, Any]]) -> str:
    order = tomlkit.array().multiline(True)
    for run in runs:
        table = tomlkit.inline_table()
        table.update(run)
        order.append(table)
    return f"order = {order.as_string()}"
