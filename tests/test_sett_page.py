"""The tables of the page on setts are what the program computes."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from clothwright.cli.app import commands
from clothwright.cli.reckoning.setts import compared
from clothwright.cloth import (
    crimp,
    firmness_bands,
    mixed_wraps,
    read_heddle,
    reed_system,
    sett_wrapped_together,
    specific_volume,
    structure,
    structures,
    threadings,
)

PAGE = (Path(__file__).parent.parent / "docs/sett.md").read_text(encoding="utf-8")
Rows = list[tuple[str, ...]]


def _structures() -> Rows:
    return [
        (
            one.name,
            f"{one.ends}",
            f"{one.intersections:.3g}",
            f"{one.weave_factor:.3f}",
            f"{one.longest_weft_float}, {one.longest_warp_float}",
            f"{one.crossing_share:.2f}, {one.warp_crossing_share:.2f}",
        )
        for one in structures()
    ]


def _bands() -> Rows:
    return [
        (one.name, f"{100 * one.least_share:.0f} to {100 * one.most_share:.0f} %", one.uses)
        for one in firmness_bands()
        if one.most_share < 2
    ]


def _reed() -> Rows:
    found = sorted(threadings([read_heddle("10/in reed")]), key=lambda one: one.per_cm)
    return [(one.way.short, f"{one.per_cm * 2.54:.2f}", f"{one.per_cm:.2f}") for one in found]


def _constants() -> Rows:
    named = (
        (0.84, "soft woollen"),
        (0.90, "firm worsted, cotton"),
        (0.95, "cotton, Taylor"),
        (0.9661, "cotton, Peirce"),
    )
    return [(f"{k}", who, f"{specific_volume(k):.3f}", f"{1 / specific_volume(k):.3f}") for k, who in named]


def _crimps() -> Rows:
    return [
        (f"{spacing:g}", f"{crimp(spacing, 1, 2):.4f}", f"{9 / 16 / spacing**2:.4f}")
        for spacing in (1.8, 2.0, 2.5, 3.0, 4.0, 6.0)
    ]


def _reeds() -> Rows:
    asked = (("Bradford", 72, None), ("Leeds", 12, None), ("reed", 16, 3), ("Irish linen", 1200, None))
    more = (("silk", 1200, 4), ("Stockport", 70, None), ("Scotch", 1100, None), ("Bolton", 36, None))
    return [
        (name, reed_system(name).counts, f"{number}" + (f", {each} in each" if each else ""), f"{per_inch:.2f}")
        for name, number, each in (*asked, *more)
        for per_inch in [reed_system(name).ends_per_cm(number, each) * 2.54]
    ]


def _side_by_side() -> Rows:
    answer = compared(
        wraps="15/in", yarn_text="310 m/100 g", heddles=["30/10 cm, 40/10 cm, 25/10 cm"], fibre="wool", width="44 cm"
    )
    return [
        (
            one.named,
            f"{one.ends_per_inch:.2f}",
            f"{100 * one.share_of_closest:.0f} %",
            one.firmness,
            f"{led.ends}",
            f"{led.width_in_heddle_cm:.1f} cm",
            f"{led.warp_m_per_m.expected:.0f} m",
            f"{led.weft_m_per_m.expected:.0f} m",
            f"{led.g_per_m2.low:.0f} to {led.g_per_m2.high:.0f}" if led.g_per_m2 else "",
        )
        for one, led in answer.candidates
    ]


HEADS = {
    "structures": (
        "structure",
        "ends",
        "crossings",
        "E ÷ (E + I)",
        "longest float, weft and warp",
        "take-up of weft and warp, plain 1",
    ),
    "bands": ("cloth", "share of the closest sett", "for"),
    "side by side": ("heddle", "per inch", "of the closest", "cloth", "ends", "in the heddle", "warp", "weft", "g/m²"),
    "reed": ("order", "ends per inch", "ends per cm"),
    "constants": ("k", "for", "cm³/g", "g/cm³"),
    "crimps": ("spacing ÷ diameter", "crimp, exact", "crimp by 4/3·p·√c"),
    "reeds": ("system", "counts", "number", "ends per inch"),
}
TABLES: dict[str, Callable[[], Rows]] = {
    "structures": _structures,
    "bands": _bands,
    "side by side": _side_by_side,
    "reed": _reed,
    "constants": _constants,
    "crimps": _crimps,
    "reeds": _reeds,
}


def shown(head: tuple[str, ...]) -> Rows:
    """The rows of the page's table with this head."""
    lines = PAGE.splitlines()
    start = lines.index("| " + " | ".join(head) + " |") + 2
    rows = []
    for line in lines[start:]:
        if not line.startswith("|"):
            break
        rows.append(tuple(cell.strip() for cell in line.strip("|").split("|")))
    return rows


@pytest.mark.parametrize("name", TABLES)
def test_a_table_of_the_page_is_what_is_computed(name: str) -> None:
    """Cell by cell, as printed."""
    assert shown(HEADS[name]) == TABLES[name]()


def test_the_sums_in_the_text_are_right() -> None:
    """Each sum named on the page gives the figure printed beside it."""
    assert mixed_wraps([(2, 18), (1, 9)]) == pytest.approx(13.5)
    assert "two ends of 18 wraps to one of 9 wrap as 13.5" in PAGE
    assert sett_wrapped_together(8, structure("plain"), 12) == pytest.approx(8)
    assert sett_wrapped_together(8, structure("twill 2/2"), 12) == pytest.approx(9.6)
    assert "8 in plain weave and 9.6 in 2/2 twill" in PAGE


def test_the_commands_of_the_page_answer_what_it_says() -> None:
    """The pattern carried over to another heddle, word for word."""
    command = next(line for line in PAGE.splitlines() if line.startswith("clothwright sett --like"))
    arguments = [quoted or bare for quoted, bare in re.findall(r'"([^"]*)"|(\S+)', command)]
    done = CliRunner().invoke(commands, arguments[1:])
    assert done.exit_code == 0
    said = next(line for line in PAGE.splitlines() if line.startswith("> 160 ends"))
    assert said.removeprefix("> ") in " ".join(done.stdout.split())


def test_every_option_of_the_command_is_on_the_page() -> None:
    """None is left to be guessed."""
    options = [option for one in commands.commands["sett"].params for option in one.opts if option.startswith("--")]
    assert len(options) > 15
    assert all(f"`{option}" in PAGE for option in options if option != "--json")
