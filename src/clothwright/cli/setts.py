"""Which heddles suit a yarn, and what each leads to."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from clothwright.cloth import (
    Structure,
    candidates,
    closest_sett,
    sett_from_both_wraps,
    sett_from_wraps,
    structure,
    usual_heddles,
)
from clothwright.measure import CM_PER_INCH, ThreadsPerLength
from clothwright.project import Problem, ProblemsFound
from clothwright.yarn import RULER_WRAPS_PER_DIAMETER, diameter_rules, read_yarn, ruler_wraps_per_cm


def sett_answer(
    *,
    wraps: str | None,
    warp_wraps: str | None,
    weft_wraps: str | None,
    yarn_text: str | None,
    weave: str,
    heddles: Iterable[str],
) -> dict[str, Any]:
    """The advised sett, the closest, and every heddle against them; ProblemsFound when it cannot be told."""
    of = _structure(weave)
    warp, weft, diameters = _wraps(wraps, warp_wraps, weft_wraps, yarn_text)
    advised = sett_from_wraps(warp, of) if weft is None else sett_from_both_wraps(warp, weft, of)
    closest = closest_sett(diameters, of)
    found = candidates(_heddles(heddles), advised, closest)
    return {
        "structure": of.name,
        "advised_ends_per_cm": advised,
        "closest_ends_per_cm": closest,
        "candidates": [
            {
                "heddle": one.heddle,
                "ends_per_cm": one.ends_per_cm,
                "ends_per_in": one.ends_per_cm * CM_PER_INCH,
                "share_of_closest": one.share_of_closest,
                "against_advised": one.against_advice,
                "firmness": one.firmness,
                "sleying": "one end in each slot and hole, or dent",
                "sample_this": one.sample_this,
            }
            for one in found
        ],
    }


def _structure(weave: str) -> Structure:
    try:
        return structure(weave)
    except KeyError as error:
        raise ProblemsFound(Problem(("structure",), str(error.args[0]))) from None


def _wraps(
    wraps: str | None, warp_wraps: str | None, weft_wraps: str | None, yarn_text: str | None
) -> tuple[float, float | None, float]:
    """Ruler wraps of warp and weft per cm, and calculated diameters of the warp per cm."""
    given = [name for name, value in (("--wraps", wraps), ("--warp-wraps", warp_wraps), ("--yarn", yarn_text)) if value]
    if len(given) != 1 or (weft_wraps and not warp_wraps):
        came = ", ".join(given) or "nothing"
        sentence = f"{came} came; give --wraps, or --yarn, or --warp-wraps with --weft-wraps"
        raise ProblemsFound(Problem((), sentence))
    if yarn_text:
        rule = diameter_rules()[0]
        m_per_g = read_yarn(yarn_text).m_per_g
        return ruler_wraps_per_cm(m_per_g, rule), None, rule.diameters_per_cm(m_per_g)
    warp = ThreadsPerLength.read(wraps or warp_wraps or "").per_cm
    weft = ThreadsPerLength.read(weft_wraps).per_cm if weft_wraps else None
    return warp, weft, warp / RULER_WRAPS_PER_DIAMETER


def _heddles(given: Iterable[str]) -> dict[str, float]:
    """The heddles given, by what is printed on them; the usual ones when none are."""
    names = [name.strip() for text in given for name in text.split(",") if name.strip()]
    return {name: ThreadsPerLength.read(name).per_cm for name in names} or usual_heddles()


def show_sett(answer: dict[str, Any]) -> None:
    """Show the candidates as a table."""
    from rich.console import Console
    from rich.table import Table

    console = Console()
    advised, closest = answer["advised_ends_per_cm"], answer["closest_ends_per_cm"]
    console.print(
        f"{answer['structure']}: about {advised:.2f} ends per cm ({advised * CM_PER_INCH:.1f} per inch) by the wraps, "
        f"{closest:.2f} at the closest.",
        highlight=False,
    )
    table = Table("heddle", "ends per cm", "per inch", "of the closest", "cloth", "sample it?", box=None)
    for one in answer["candidates"]:
        sample = "yes" if one["sample_this"] else ""
        share = f"{one['share_of_closest']:.0%}"
        table.add_row(
            one["heddle"], f"{one['ends_per_cm']:.2f}", f"{one['ends_per_in']:.1f}", share, one["firmness"], sample
        )
    console.print(table)
