"""What a yarn number means in every system."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from clothwright.measure import GRAMS_PER_POUND, QuantityError
from clothwright.project import Problem, ProblemsFound
from clothwright.yarn import YarnNumber, diameter_rules, in_every_system, read_yarn


def yarn_answers(texts: Sequence[str]) -> list[dict[str, Any]]:
    """An answer for each text; ProblemsFound with every text that could not be read."""
    answers, problems = [], []
    for text in texts:
        try:
            answers.append(_answer(read_yarn(text)))
        except QuantityError as error:
            problems.append(Problem((), str(error)))
    if problems:
        raise ProblemsFound(*problems)
    return answers


def _answer(yarn: YarnNumber) -> dict[str, Any]:
    return {
        "typed": yarn.typed,
        "system": yarn.system,
        "tex": yarn.tex,
        "metres_per_kg": yarn.m_per_g * 1000,
        "yards_per_lb": yarn.m_per_g * GRAMS_PER_POUND / 0.9144,
        "numbers": in_every_system(yarn.m_per_g),
        "strands": [{"tex": 1000 / one, "metres_per_kg": one * 1000} for one in yarn.strands_m_per_g],
        "resultant": {"tex": yarn.tex, "numbers": in_every_system(yarn.m_per_g)}
        if len(yarn.strands_m_per_g) > 1
        else None,
        "diameters_mm": {rule.name: rule.diameter_mm(yarn.m_per_g) for rule in diameter_rules()},
        "diameters_per_in": {rule.name: rule.diameters_per_cm(yarn.m_per_g) * 2.54 for rule in diameter_rules()},
    }


def show_yarns(answers: Sequence[dict[str, Any]]) -> None:
    """Show the answers as a table for each yarn."""
    from rich.console import Console
    from rich.table import Table

    console = Console()
    for answer in answers:
        folded = f", {len(answer['strands'])} strands" if answer["resultant"] else ""
        console.print(f"\n[bold]{answer['typed']}[/bold] ({answer['system']}{folded})", highlight=False)
        table = Table(box=None, pad_edge=False, show_header=False)
        for name, value in {
            "metres per kg": answer["metres_per_kg"],
            "yards per lb": answer["yards_per_lb"],
            **answer["numbers"],
        }.items():
            table.add_row(name, f"{value:,.4g}" if value < 1000 else f"{value:,.0f}".replace(",", " "))
        for name, value in answer["diameters_mm"].items():
            table.add_row(f"diameter, {name}", f"{value:.2f} mm, {answer['diameters_per_in'][name]:.1f} to the inch")
        console.print(table)
