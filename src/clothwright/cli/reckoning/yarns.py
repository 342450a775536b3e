"""What a yarn number means in every system, with the working; the strand that is missing; what weighings come to."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict
from typing import Any, TypeVar

from clothwright.measure import CM_PER_INCH, GRAMS_PER_POUND, QuantityError, Share, Weight, plainly
from clothwright.project import Problem, ProblemsFound
from clothwright.yarn import (
    Pool,
    Step,
    YarnNumber,
    damp_note,
    diameter_rules,
    diameter_working,
    fold_to_single,
    in_every_system,
    missing_strand,
    missing_working,
    read_weighing,
    read_yarn,
    side_by_side,
    single_to_fold,
    stretch_note,
    system_working,
    with_take_up,
    working,
    yarn_notes,
)

_Value = TypeVar("_Value")


def yarn_answers(
    texts: Sequence[str],
    *,
    take_up: str | None = None,
    resultant: str | None = None,
    known: Sequence[str] = (),
    weighings: Sequence[str] = (),
    scale_step: str | None = None,
    fibre: str = "",
) -> list[dict[str, Any]]:
    """An answer for each yarn asked about; ProblemsFound with everything that could not be read."""
    problems: list[Problem] = []
    answers = [_answered(problems, lambda text=text: _typed(text, take_up)) for text in texts]  # type: ignore[misc]
    if resultant is not None or known:
        answers.append(_answered(problems, lambda: _missing(resultant, known, take_up)))
    if weighings:
        answers.append(_answered(problems, lambda: _weighed(weighings, scale_step, fibre)))
    if not answers:
        problems.append(Problem((), 'name a yarn, as "8/2 cotton", or give --resultant and --with, or --weighed'))
    if problems:
        raise ProblemsFound(*problems)
    return [answer for answer in answers if answer is not None]


def _answered(problems: list[Problem], answer: Callable[[], _Value]) -> _Value | None:
    """The answer, or None with its problem noted."""
    try:
        return answer()
    except QuantityError as error:
        problems.append(Problem((), str(error)))
    except ProblemsFound as found:
        problems.extend(found.problems)
    return None


@contextmanager
def _told_plainly() -> Iterator[None]:
    """A sum that has no answer is a problem of what was given."""
    try:
        yield
    except QuantityError:
        raise
    except ValueError as error:
        raise ProblemsFound(Problem((), str(error))) from None


def _typed(text: str, take_up: str | None) -> dict[str, Any]:
    yarn = read_yarn(text)
    if take_up is None:
        return _answer(yarn)
    if not yarn.is_folded:
        raise ProblemsFound(Problem((), f"“{text}” is a single; only folding takes up"))
    if yarn.take_up is not None:
        raise ProblemsFound(Problem((), f"“{text}” holds its take-up already, in R; leave out --take-up"))
    with _told_plainly():
        return _answer(with_take_up(yarn, Share.read(take_up)))


def _missing(resultant: str | None, known: Sequence[str], take_up: str | None) -> dict[str, Any]:
    """The strand that makes the resultant with those known."""
    if resultant is None or not known:
        raise ProblemsFound(
            Problem((), '--resultant and --with go together: --resultant "24s cotton" --with "60s cotton"')
        )
    if take_up is not None:
        raise ProblemsFound(Problem((), "--take-up goes with strands; a resultant as measured holds it already"))
    whole, parts = read_yarn(resultant), tuple(map(read_yarn, known))
    with _told_plainly():
        m_per_g = missing_strand(whole.m_per_g, *(part.m_per_g for part in parts))
    yarn = YarnNumber(f"what makes {resultant} with {' and '.join(known)}", m_per_g, (m_per_g,), whole.system)
    steps = missing_working(whole, parts, m_per_g)
    missing = {"resultant": resultant, "with": list(known)}
    note = "Folding take-up is not in this sum: if the resultant was measured, the missing strand comes out a little heavy."
    return _answer(yarn, steps) | {"missing": missing, "notes": [note, *yarn_notes(yarn)]}


def _weighed(weighings: Sequence[str], scale_step: str | None, fibre: str) -> dict[str, Any]:
    """What weighings of short lengths come to, each with its error, and all together."""
    step = Weight.read(scale_step).grams if scale_step else None
    lengths = [read_weighing(text, step_g=step) for text in weighings]
    pool = Pool(tuple(length.reading for length in lengths))
    yarn = YarnNumber(", ".join(weighings), pool.m_per_g, (pool.m_per_g,), "length per weight")
    metres, grams = sum(one.length_m for one in lengths), sum(one.weight_g for one in lengths)
    sums = [plainly(value, 6) for value in (metres, grams)]
    first = Step("metres per kg", f"1000 × {sums[0]} ÷ {sums[1]}", pool.m_per_g * 1000, "m/kg", "length over weight")
    answer = _answer(yarn, (first, *working(yarn)[1:]))
    answer["weighed"] = [
        {"typed": one.typed, "metres_per_kg": one.m_per_g * 1000, "error_share": one.share} for one in lengths
    ]
    answer["pooled"] = {"metres_per_kg": pool.m_per_g * 1000, "spread_share": pool.spread, "tools_share": pool.tools}
    damp = damp_note(fibre) if fibre else None
    told = [*(one.told for one in lengths), pool.told, stretch_note(), *([damp] if damp else [])]
    return answer | {"notes": [*told, *yarn_notes(yarn)]}


def _answer(yarn: YarnNumber, steps: Sequence[Step] | None = None) -> dict[str, Any]:
    shown = working(yarn) if steps is None else steps
    return {
        "typed": yarn.typed,
        "system": yarn.system,
        "tex": yarn.tex,
        "metres_per_kg": yarn.m_per_g * 1000,
        "yards_per_lb": yarn.m_per_g * GRAMS_PER_POUND / 0.9144,
        "numbers": in_every_system(yarn.m_per_g),
        "strands": [{"tex": 1000 / one, "metres_per_kg": one * 1000} for one in yarn.strands_m_per_g],
        "resultant": _resultant(yarn) if yarn.is_folded else None,
        "take_up": _take_up(yarn),
        "twist": _twist(yarn),
        "notation": {"single_to_fold": single_to_fold(yarn), "fold_to_single": fold_to_single(yarn)},
        "diameters_mm": {rule.name: rule.diameter_mm(yarn.m_per_g) for rule in diameter_rules()},
        "diameters_per_in": {rule.name: rule.diameters_per_cm(yarn.m_per_g) * CM_PER_INCH for rule in diameter_rules()},
        "working": [asdict(step) for step in (*shown, *system_working(yarn), *diameter_working(yarn))],
        "notes": list(yarn_notes(yarn)),
    }


def _resultant(yarn: YarnNumber) -> dict[str, Any]:
    average = side_by_side(*yarn.strands_m_per_g)
    return {
        "tex": yarn.tex,
        "nominal_tex": 1000 / yarn.nominal_m_per_g,
        "numbers": in_every_system(yarn.m_per_g),
        "side_by_side": {"tex": 1000 / average, "numbers": in_every_system(average)},
    }


def _take_up(yarn: YarnNumber) -> dict[str, Any] | None:
    """Folding take-up as a share of the strands' tex and of their length; None where nobody gave it."""
    if yarn.take_up is None:
        return None
    of_length = yarn.take_up / (1 + yarn.take_up)
    return {"share_of_strand_tex": yarn.take_up, "share_of_strand_length": of_length, "from": yarn.take_up_from}


def _twist(yarn: YarnNumber) -> dict[str, Any] | None:
    """The last twist put in; no direction is no twist."""
    twist = yarn.twist
    if twist is None:
        return None
    per_inch = twist.per_metre * CM_PER_INCH / 100 if twist.per_metre else twist.per_metre
    return {"direction": twist.direction or None, "turns_per_m": twist.per_metre, "turns_per_in": per_inch}


def show_yarns(answers: Sequence[dict[str, Any]]) -> None:
    """Show each yarn: how it is written, the working line by line, its number in every system, notes."""
    from rich.console import Console

    console = Console(highlight=False)
    for answer in answers:
        console.print(f"\n[bold]{_safe(answer['typed'])}[/bold] ({_safe(_kind(answer))})")
        for written in dict.fromkeys(answer["notation"].values()):
            console.print(f"  {_safe(written)}")
        console.print(_table(answer["working"]))
        for note in answer["notes"]:
            console.print(f"  {_safe(note)}")


def _kind(answer: dict[str, Any]) -> str:
    strands = f", {len(answer['strands'])} strands" if answer["resultant"] else ""
    return f"{answer['system']}{strands}"


def _safe(text: str) -> str:
    from rich.markup import escape

    return escape(text)


def _table(steps: Sequence[dict[str, Any]]) -> Any:
    """The working as rows: what, its value, the sum."""
    from rich.table import Table

    table = Table(box=None, pad_edge=True, show_header=False)
    for step in steps:
        unit = "" if step["unit"] == step["step"] else step["unit"]
        table.add_row(_safe(step["step"]), _shown(step["value"]), _safe(unit), f"= {_safe(step['sum'])}")
    return table


def _shown(value: float) -> str:
    return plainly(value, 4) if value < 1000 else f"{value:,.0f}".replace(",", " ")
