"""Every figure and sentence of the page about yarn is worked here."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from clothwright.measure import Z90, QuantityError, Share
from clothwright.project import read_project
from clothwright.project.domain import lots, winders
from clothwright.yarn import (
    Lot,
    Pool,
    fold_to_single,
    in_every_system,
    missing_strand,
    read_weighing,
    read_yarn,
    single_to_fold,
    verdict,
    washed_weight,
    with_take_up,
    wound,
)

PAGE = (Path(__file__).parents[2] / "docs/yarn.md").read_text(encoding="utf-8")
WORDS = " ".join(PAGE.split())


def table(heading: str) -> list[list[str]]:
    """The rows of the table under a heading, code marks taken off."""
    lines = PAGE.split(f"| {heading}", 1)[1].splitlines()[2:]
    rows = [line for line in lines[: lines.index("")] if line.startswith("|")]
    return [[cell.strip().strip("`") for cell in row.strip("|").split("|")] for row in rows]


def quoted() -> list[str]:
    return re.findall(r"^> (.+)$", PAGE, re.MULTILINE)


def tables_of(name: str) -> str:
    """All TOML of the page that stands under a table of that name."""
    blocks = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)
    return next(block for block in blocks if f"{name}]" in block)


def lot() -> Lot:
    yarn = tables_of("[yarn") + 'grist = "3 m/g"\nballs = ["90 g", {length = "48 turns of the niddy-noddy"}]\n'
    text = f"clothwright = 1\n{yarn}{tables_of('heddle_trial')}{tables_of('core')}"
    return lots(read_project(tomllib.loads(text)))[0]


@pytest.mark.parametrize("row", table("written | tex"), ids=lambda row: row[0])
def test_each_number_of_the_page_is_worked(row: list[str]) -> None:
    written, tex, metres, yards = row
    yarn = read_yarn(written)
    numbers = in_every_system(yarn.m_per_g)
    assert float(tex) == pytest.approx(yarn.tex, rel=6e-4)
    assert int(metres) == round(yarn.m_per_g * 1000)
    assert int(yards) == round(numbers["yd/lb"])


@pytest.mark.parametrize("row", table("written | is"), ids=lambda row: row[0])
def test_each_folded_yarn_of_the_page_is_worked(row: list[str]) -> None:
    number, system = row[1].split()
    assert float(number) == pytest.approx(in_every_system(read_yarn(row[0]).m_per_g)[system], abs=0.005)


@pytest.mark.parametrize("row", table("single to fold"), ids=lambda row: row[0])
def test_each_notation_of_the_page_is_written_both_ways(row: list[str]) -> None:
    for written in row:
        assert [single_to_fold(read_yarn(written)), fold_to_single(read_yarn(written))] == row


def test_every_question_of_the_page_is_asked() -> None:
    asked = WORDS.split("is a question, not a guess:")[1].split("Wraps tell")[0]
    texts = [*re.findall(r"`([^`]+)`", asked), "15/in"]
    assert len(texts) == 6
    for text in texts:
        with pytest.raises(QuantityError):
            read_yarn(text)


def test_missing_strand_and_take_up_of_the_page() -> None:
    found = missing_strand(read_yarn("24s cotton").m_per_g, read_yarn("60s cotton").m_per_g)
    assert f"answers {in_every_system(found)['Ne']:.0f} Ne" in WORDS
    taken = read_yarn("34 tex x 2; R 69.3 tex").take_up
    assert taken is not None
    assert f"{100 * taken:.2f} % on the strands' tex" in WORDS
    two = read_yarn("34 tex x 2")
    assert with_take_up(two, Share.read("3 %")).tex == pytest.approx(68 * 1.03)
    assert with_take_up(two, Share.read("3 % of strands")).tex == pytest.approx(68 / 0.97)


def test_the_weighings_of_the_page_are_told_as_there() -> None:
    typed = re.findall(r'--weighed "([^"]+)"', PAGE)
    lengths = [read_weighing(text) for text in typed]
    assert len(lengths) == 3
    assert lengths[0].told in quoted()
    assert Pool(tuple(one.reading for one in lengths)).told in quoted()


def test_washing_winders_and_the_trial_are_told_as_on_the_page() -> None:
    one = lot()
    assert one.wash_test is not None
    assert one.wash_test.told in quoted()
    assert washed_weight(2.2, 2.5, step_g=0.1).ratio == pytest.approx(0.88)
    assert one.heddle_trial is not None
    assert verdict(one.heddle_trial).told in quoted()
    (winder,) = winders(read_project(tomllib.loads(tables_of("core"))))
    assert winder.told in quoted()
    metres, spread = wound(48, winder)
    assert f"{metres:.2f} m, give or take {Z90 * spread * metres:.1f} m nine times in ten, not 72" in WORDS


def test_every_sentence_quoted_on_the_page_is_checked() -> None:
    assert len(quoted()) == 5
