"""A plan and a layout as text: the verdict first, then what to set up, then the sums behind it."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table

from clothwright.measure import CM_PER_INCH, CM_PER_YARD, Interval
from clothwright.planning import Laid, Plan, WidthStep

_console = Console(highlight=False, soft_wrap=True)


def show_plan(plan: Plan, *, imperial: bool) -> None:
    """Print the whole plan."""
    _verdict(plan, imperial)
    _set_up(plan, imperial)
    _yarns(plan, imperial)
    _layout(plan, imperial)
    _ways(plan, imperial)
    _working(plan)
    for title, lines in (("Notes", plan.notes), ("Cautions", plan.cautions)):
        _heading(title, *(f"- {line}" for line in lines))


def show_layout(laid: Laid, *, imperial: bool) -> None:
    """Print a layout: its size and where each piece lies."""
    layout = laid.layout
    _console.print(
        f"[bold]{_cm(layout.length_cm, imperial)} of cloth {_cm(layout.width_cm, imperial)} wide[/bold], "
        f"{layout.used_share:.0%} of it used"
    )
    table = Table("piece", "copy", "along", "across", "turned", "mirrored", box=None)
    for one in sorted(layout.placed, key=lambda one: (one.x_cm, one.y_cm)):
        turned = f"{one.rotation_deg:g}°" if one.rotation_deg else ""
        mirrored = "yes" if one.mirrored else ""
        table.add_row(one.piece, str(one.copy), f"{one.x_cm:.1f}", f"{one.y_cm:.1f}", turned, mirrored)
    _console.print(table)
    _heading("Notes", *(f"- {line}" for line in laid.notes))


def _verdict(plan: Plan, imperial: bool) -> None:
    words = {"enough": "Enough.", "too close": "Too close to call.", "not enough": "Not enough."}
    chance = ""
    if plan.chance_enough is not None:
        chance = f" The yarn lasts in {plan.chance_enough:.0%} of cloths like this; {plan.trust_yarn:.0%} is asked."
    _console.print(f"\n[bold]{plan.name}: {words[str(plan.verdict)]}[/bold]{chance}")
    m, g, cm = plan.margin.m, plan.margin.g, plan.margin.finished_cm
    band = f" ({_m(m.low, imperial)} to {_m(m.high, imperial)})" if m.high > m.low else ""
    left = "left over" if m.expected >= 0 else "missing"
    _console.print(
        f"{_m(abs(m.expected), imperial)}{band}, {abs(g.expected):.0f} g, {_cm(abs(cm.expected), imperial)} of finished cloth {left} as expected."
        if not band
        else f"As expected {_m(m.expected, imperial)}{band}, {g.expected:.0f} g, {_cm(cm.expected, imperial)} of finished cloth to spare."
    )
    if plan.shortfall:
        short = plan.shortfall
        _console.print(
            f"To be as sure as asked, {_m(short.m, imperial)} more ({short.g:.0f} g), or {_cm(short.finished_cm, imperial)} less cloth."
        )


def _set_up(plan: Plan, imperial: bool) -> None:
    warp, weft, cloth = plan.warp, plan.weft, plan.cloth
    table = Table(box=None, show_header=False, pad_edge=False)
    rows = {
        "heddle": warp.heddle,
        "ends": str(warp.ends),
        "width in heddle": _cm(warp.width_in_heddle_cm, imperial),
        "warp length": _cm(warp.length_cm, imperial),
        "weave to, under tension": _cm(weft.weave_to_cm, imperial),
        "picks per cm on the loom": _span(weft.picks_per_cm_on_loom, "{:.2f}"),
        "warp yarn": _m(warp.yarn_m.expected, imperial),
        "weft yarn": " to ".join(dict.fromkeys(_m(one, imperial) for one in (weft.yarn_m.low, weft.yarn_m.high))),
        "finished width": f"{_span(cloth.finished_width_cm, '{:.1f}')} cm, {cloth.asked_width_cm:.1f} asked",
        "finished length": f"{_span(cloth.finished_length_cm, '{:.1f}')} cm, {cloth.asked_length_cm:.1f} asked",
    }
    if cloth.g_per_m2:
        rows["weight of the cloth"] = f"{cloth.g_per_m2.expected:.0f} g/m²"
    for name, said in rows.items():
        table.add_row(name, said)
    _console.print()
    _console.print(table)


def _yarns(plan: Plan, imperial: bool) -> None:
    table = Table("yarn", "in hand", "needed", "to spare", "lasts", box=None, pad_edge=False)
    for one in plan.yarns:
        have, need, spare = (_m(i.expected, imperial) for i in (one.have_m, one.need_m, one.spare_m))
        table.add_row(one.name, f"{have}, {one.have_g:.0f} g", need, spare, f"{one.chance_enough:.0%}")
    _console.print()
    _console.print(table)


def _layout(plan: Plan, imperial: bool) -> None:
    if plan.layout is None:
        return
    size = (
        f"{_cm(plan.layout.length_cm, imperial)} of cloth {_cm(plan.layout.width_cm, imperial)} wide between the trims"
    )
    _heading("Layout", f"{len(plan.layout.placed)} pieces on {size}, {plan.layout.used_share:.0%} used")
    near = sorted(plan.staircase, key=lambda step: step.yarn_m)[:5]
    for step in sorted(near, key=lambda step: step.width_cm):
        _console.print(f"  {_step(step, imperial)}")


def _step(step: WidthStep, imperial: bool) -> str:
    return f"{_cm(step.width_cm, imperial)} wide: {_cm(step.length_cm, imperial)} long, about {_m(step.yarn_m, imperial)} of yarn"


def _ways(plan: Plan, imperial: bool) -> None:
    ways = [
        f"- {w.what}: {w.change}. Lasts in {w.chance_enough:.0%}, {_m(w.spare_m, imperial)} to spare."
        for w in plan.ways_out
    ]
    _heading("Ways out", *ways)
    next_ = [f"- {m.what} ({m.costs}): settles it in {m.settles:.0%} of cases; {m.why}." for m in plan.measure_next]
    _heading("What to measure next", *next_)


def _working(plan: Plan) -> None:
    table = Table("step", "sum", "gives", "rung", "from", box=None, pad_edge=False)
    for line in plan.working:
        table.add_row(line.step, line.sum, f"{line.value:g} {line.unit}".strip(), str(line.rung), line.source)
    _heading("Working")
    _console.print(table)


def _heading(title: str, *lines: str) -> None:
    if lines or title == "Working":
        _console.print(f"\n[bold]{title}[/bold]")
    for line in lines:
        _console.print(line)


def _span(one: Interval, form: str) -> str:
    if one.high <= one.low:
        return form.format(one.expected)
    return f"{form.format(one.expected)} ({form.format(one.low)} to {form.format(one.high)})"


def _cm(value: float, imperial: bool) -> str:
    metric, inches = f"{value:.1f} cm", f"{value / CM_PER_INCH:.1f} in"
    return f"{inches} ({metric})" if imperial else f"{metric} ({inches})"


def _m(value: float, imperial: bool) -> str:
    metric, yards = f"{value:.0f} m", f"{value * 100 / CM_PER_YARD:.0f} yd"
    return f"{yards} ({metric})" if imperial else f"{metric} ({yards})"
