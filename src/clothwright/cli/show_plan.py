"""A plan and a layout as text: the verdict first, then what to set up, then the sums behind it."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.table import Table

from clothwright.measure import Interval
from clothwright.planning import Laid, Plan, ToMeasure, WidthStep
from clothwright.sheets.colours.ball_words import by_ball_rows, by_ball_sentence
from clothwright.sheets.doubts import (
    DOUBT_HEAD,
    WHAT_A_BAR_MEANS,
    costs_words,
    doubt_rows,
    doubt_sentence,
    tells_words,
)
from clothwright.sheets.sampling.samples import forecast_sentences
from clothwright.sheets.widths import advice_sentences, bound_sentence, stairs_rows
from clothwright.sheets.wording import (
    CLOTH_WEIGHT,
    LENGTH,
    THREADS,
    WEIGHT,
    YARN,
    Kind,
    Rounding,
    chances,
    margin_range_sentence,
    margin_sentence,
    pattern_sentence,
    percent,
    plain_number,
    shortfall_sentence,
    size_sentence,
    spare,
    verdict_sentence,
)

_console = Console(highlight=False, soft_wrap=True, markup=False)
_NEAR_STEPS = 6


def show_plan(plan: Plan, *, imperial: bool) -> None:
    """Print the whole plan."""
    show_verdict(plan, imperial=imperial)
    _set_up(plan, imperial)
    _yarns(plan, imperial)
    if plan.by_ball:
        _heading(by_ball_sentence(plan.by_ball), *(_ball(row) for row in by_ball_rows(plan.by_ball, imperial=imperial)))
    _layout(plan, imperial)
    _heading(
        "Ways out",
        *(f"{way.what}: {way.change}. {_fares(way.chance_enough, way.spare_m, imperial)}" for way in plan.ways_out),
    )
    _heading("What to measure next", *(_to_measure(one, imperial) for one in plan.measure_next))
    _heading("What makes it unsure", *_doubts(plan, imperial))
    _heading("What the samples support", *_supported(plan, imperial))
    _working(plan)
    _heading("Notes", *plan.notes)
    _heading("Cautions", *plan.cautions)


def show_layout(laid: Laid, *, imperial: bool) -> None:
    """Print a layout: its size and where each piece lies."""
    layout = laid.layout
    length, width = (LENGTH.text(size, imperial=imperial) for size in (layout.length_cm, layout.width_cm))
    _console.print(
        f"{length} of cloth, {width} wide between the trims; {percent(round(layout.used_share, 2))} of it used"
    )
    table = Table("piece", "copy", "along", "across", "turned", "mirrored", box=None, pad_edge=False)
    for one in sorted(layout.placed, key=lambda one: (one.x_cm, one.y_cm)):
        turned = f"{one.rotation_deg:g}°" if one.rotation_deg else ""
        along, across = (LENGTH.short(place, imperial=imperial) for place in (one.x_cm, one.y_cm))
        table.add_row(one.piece, str(one.copy), along, across, turned, "mirrored" if one.mirrored else "")
    _console.print(table)
    _heading("How short it could be", bound_sentence(layout, laid.least_length, imperial=imperial))
    _heading("Width against length", *_stairs(laid.staircase, layout.width_cm, imperial, yarn=laid.yarn_known))
    _heading("The width to finish at", *advice_sentences(laid.width_advice, imperial=imperial))
    _heading("Notes", *laid.notes)


def _stairs(stairs: Sequence[WidthStep], taken_cm: float, imperial: bool, *, yarn: bool) -> list[str]:
    """Each width tried on a line: what it takes, the chance that the cloth is as wide, what happens there."""
    lines = []
    for width, length, metres, chance, marked in stairs_rows(stairs, taken_cm, imperial=imperial, yarn=yarn):
        takes = f"{length} long, about {metres} of yarn" if yarn else f"{length} long"
        held = "" if chance == "–" else f"; {chance} that the cloth is so wide"
        lines.append(f"  {width} wide: {takes}{held}{f' [{marked}]' if marked else ''}")
    return lines


def show_verdict(plan: Plan, *, imperial: bool) -> None:
    """Print the verdict, what is left over, and how sure it is."""
    _console.print()
    _console.print(f"{plan.name}. {verdict_sentence(plan)}", style="bold")
    said = (
        margin_sentence(plan.margin, imperial=imperial),
        margin_range_sentence(plan.margin, imperial=imperial, by_hand=plan.by_hand),
    )
    short = shortfall_sentence(plan.shortfall, imperial=imperial, by_hand=plan.by_hand) if plan.shortfall else ""
    for sentence in (plan.provisional_because, *said, short, size_sentence(plan), pattern_sentence(plan)):
        if sentence:
            _console.print(sentence)


def _set_up(plan: Plan, imperial: bool) -> None:
    warp, weft, cloth = plan.warp, plan.weft, plan.cloth

    def length(cm: float) -> str:
        return LENGTH.text(cm, imperial=imperial)

    rows = {
        "heddle": warp.heddle,
        "ends": str(warp.ends),
        "width in heddle": length(warp.width_in_heddle_cm),
        "warp length": LENGTH.text(warp.length_cm, imperial=imperial, rounding=Rounding.UP),
        "weave to, under tension": length(weft.weave_to_cm),
        "picks on the loom": _expected(weft.picks_per_cm_on_loom, THREADS, imperial),
        "warp yarn": _expected(warp.yarn_m, YARN, imperial),
        "weft yarn": _expected(weft.yarn_m, YARN, imperial),
        "finished width": f"{_expected(cloth.finished_width_cm, LENGTH, imperial)}; {length(cloth.asked_width_cm)} asked",
        "finished length": f"{_expected(cloth.finished_length_cm, LENGTH, imperial)}; {length(cloth.asked_length_cm)} asked",
    }
    if cloth.g_per_m2:
        rows["weight of the cloth"] = CLOTH_WEIGHT.text(cloth.g_per_m2.expected, imperial=imperial)
    _console.print()
    for name, said in rows.items():
        _console.print(f"{name:<24} {said}")


def _expected(one: Interval, kind: Kind, imperial: bool) -> str:
    middle = kind.text(one.expected, imperial=imperial)
    return middle if one.low == one.high else f"{middle}, from {kind.range(one, imperial=imperial)}"


def _yarns(plan: Plan, imperial: bool) -> None:
    _console.print()
    for one in plan.yarns:
        have, need = (YARN.text(yarn.expected, imperial=imperial) for yarn in (one.have_m, one.need_m))
        weight = WEIGHT.short(one.have_g, imperial=imperial, rounding=Rounding.DOWN)
        _console.print(
            f"{one.name}: {weight} in hand, {have}; {need} needed; {spare(one.spare_m.expected, YARN, imperial=imperial)}"
        )


def _ball(row: list[str]) -> str:
    yarn, ball, have, warp, weft, left, lasts = row
    return f"{yarn} ball {ball}: {have}; warp {warp}; weft {weft}; {left} left. {lasts}"


def _layout(plan: Plan, imperial: bool) -> None:
    if plan.layout is None:
        return
    size, width = (LENGTH.text(one, imperial=imperial) for one in (plan.layout.length_cm, plan.layout.width_cm))
    near = sorted(plan.staircase, key=lambda step: (not step.falls_cm, step.yarn_m))[:_NEAR_STEPS]
    near = sorted({*near, *_taken(plan)}, key=lambda step: step.width_cm)
    advice = advice_sentences(plan.width_advice, imperial=imperial) if plan.width_advice else []
    bound = [bound_sentence(plan.layout, plan.least_length, imperial=imperial)] if plan.least_length else []
    used = percent(round(plan.layout.used_share, 2))
    _heading(
        "Layout",
        f"{len(plan.layout.placed)} pieces on {size} of cloth {width} wide between the trims, {used} used",
        *bound,
        *_stairs(near, plan.layout.width_cm, imperial, yarn=True),
        *advice,
    )


def _taken(plan: Plan) -> list[WidthStep]:
    return [step for step in plan.staircase if plan.layout and step.width_cm == plan.layout.width_cm]


def _fares(chance: float, spare_m: float, imperial: bool) -> str:
    return f"{chances(chance).capitalize()} that it lasts, {spare(spare_m, YARN, imperial=imperial)}."


def _supported(plan: Plan, imperial: bool) -> list[str]:
    return ["; ".join(forecast_sentences(one, imperial=imperial)) for one in plan.width_forecasts]


def _to_measure(one: ToMeasure, imperial: bool) -> str:
    told = tells_words(one, imperial=imperial)
    return f"{one.what} ({costs_words(one, imperial=imperial)}). {told} Why: {one.why}."


def show_to_measure(one: ToMeasure, *, imperial: bool) -> None:
    """Print one measurement that could be made, and what it would tell."""
    _console.print(_to_measure(one, imperial))


def _doubts(plan: Plan, imperial: bool) -> list[str]:
    """The unknowns that contribute most, each with how far it moves what is left over, the width and the length."""
    rows = [
        f"  {row[0]}: "
        + ", ".join(f"{what.lower()} {much}" for what, much in zip(DOUBT_HEAD[1:], row[1:], strict=True) if much != "–")
        for row in doubt_rows(plan, imperial=imperial)
    ]
    return [doubt_sentence(plan), *rows, WHAT_A_BAR_MEANS] if rows else []


def _working(plan: Plan) -> None:
    lines = (
        f"{line.step} = {plain_number(line.value)} {line.unit}".rstrip()
        + f"\n    {line.sum}\n    {line.rung}: {line.source}"
        for line in plan.working
    )
    _heading("Working", *lines)


def _heading(title: str, *lines: str) -> None:
    if lines:
        _console.print(f"\n{title}", style="bold")
    for line in lines:
        _console.print(line if line.startswith(" ") else f"- {line}")
