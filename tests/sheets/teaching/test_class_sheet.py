"""Class sheets, read back from their PDF and added up again by what is printed, with no sum taken from the program."""

from __future__ import annotations

import datetime
import math
import re
import tomllib
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest
from sheets.printed import body_of, reader, text_of

from clothwright.planning import ClassNeeds, StudentNeeds, class_needs
from clothwright.project import read_class, read_project
from clothwright.sheets import class_sheet_pdf, class_summary, class_summary_pdf
from clothwright.sheets.translating import Language

DAY = datetime.date(2026, 11, 26)
EXAMPLES = Path(__file__).parents[3] / "examples"
#: What a number looks like on a sheet, in English or German.
_NUMBER = r"(\d+(?:[.,]\d+)?)"


@cache
def made(**units: str) -> ClassNeeds:
    """The class of the examples, in the units of its piece or in others."""
    piece = tomllib.loads((EXAMPLES / "rockpool-runner.toml").read_text(encoding="utf-8"))
    of_class = tomllib.loads((EXAMPLES / "rockpool-class.toml").read_text(encoding="utf-8"))
    return class_needs(read_project(piece | units), read_class(of_class), drawings={})


@cache
def printed(name: str, language: str = "") -> str:
    """The text of a student's sheet."""
    return body_of(class_sheet_pdf(made(), named(name), made_on=DAY, language=Language(language) if language else None))


def named(name: str) -> StudentNeeds:
    """A student of the class."""
    return next(one for one in made().students if one.name == name)


def numbers(line: str) -> list[float]:
    """Every number of a line of working, as a student types them into a calculator."""
    return [float(one.replace(",", ".")) for one in re.findall(_NUMBER, line)]


def between(text: str, start: str, end: str) -> str:
    """What stands between two texts of a sheet."""
    return text.split(start, 1)[1].split(end, 1)[0]


@pytest.mark.parametrize("name", ["Anemone", "Barnacle", "Coralline", "Dulse", "Fucus"])
def test_every_sum_on_a_sheet_comes_out_as_printed(name: str) -> None:
    """Ends, widths, warp and weft by a calculator: from the printed numbers alone, in cm and m or in inches and yards."""
    text = printed(name, "en")
    width, ratio, sett, ends = numbers(between(text, "Ends: ", ", up to"))
    assert width / ratio * sett - 1e-6 <= ends < width / ratio * sett + 2
    again, per, wide = numbers(between(text, "Width in the heddle: ", "– Weave"))
    assert (again, per) == (ends, sett)
    assert wide == pytest.approx(ends / sett, abs=0.051)
    length, loss, woven = numbers(between(text, "Weave, under tension: ", "– Warp"))
    assert woven == pytest.approx(length / loss, abs=0.051)
    used, waste, warp = numbers(text.split("– Warp length: ", 1)[1].split("– Warp yarn", 1)[0])
    assert used == woven
    step = Fraction(1, 4) if " per in =" in text else 1
    assert warp == math.ceil((used + waste) / step - 1e-9) * step
    wound, long, per_yarn, metres = numbers(text.rsplit("Warp yarn: ", 1)[1].split("– One pick")[0])
    assert (wound, long) == (ends, warp)
    assert metres == math.ceil(wound * long / per_yarn - 1e-9)
    across, more, pick = numbers(between(text, "One pick: ", "– Weft"))[:3]
    assert across == wide
    assert pick == pytest.approx(across * more, abs=0.051)
    picks, one, along, per_yarn, weft = numbers(text.rsplit("Weft yarn: ", 1)[1])[:5]
    assert (one, along) == (pick, woven)
    assert weft == math.ceil(picks * one * along / per_yarn - 1e-9)


@pytest.mark.parametrize("name", ["Anemone", "Dulse", "Fucus", "Barnacle"])
def test_the_figures_at_the_head_are_those_of_the_working(name: str) -> None:
    """Ends, warp length, warp yarn and weft stand in the frame as the sums end."""
    text = printed(name, "en")
    head = between(text, "Clothwright", "Worth knowing")
    ends = numbers(between(text, "Ends: ", ", up to"))[-1]
    assert f"{ends:g} ends, heddle (reed):" in head
    warp_yarn = numbers(text.rsplit("Warp yarn: ", 1)[1].split("– One pick")[0])[-1]
    unit = "yd" if " per in =" in text else "m"
    assert f"Warp yarn: {warp_yarn:g} {unit} (" in head
    low, high = re.search(r"low (\d+) \w+ \(.*?\), high (\d+)", head).groups()  # type: ignore[union-attr]
    assert int(low) < numbers(between(head, "Weft yarn: ", ";"))[0] < int(high)


@pytest.mark.parametrize(
    ("name", "warp"),
    [
        ("Anemone", "252 cm (99¼ in)"),
        ("Barnacle", "99¼ in (252 cm)"),
        ("Coralline", "267 cm (105¼ in)"),
        ("Eelgrass", "109¼ in (277 cm)"),
        ("Fucus", "277 cm (109¼ in)"),
    ],
)
def test_a_warp_is_printed_rounded_up_in_both_units(name: str, warp: str) -> None:
    """251.9, 266.9 and 276.9 cm are 99.17, 105.08 and 109.02 in."""
    assert f"Warp length: {warp}" in printed(name)


def test_the_check_line_is_how_this_warp_is_wound() -> None:
    """From the peg to the back rod where it goes direct, along the path on the board where it does not."""
    assert "from the peg to the back rod: it should be 252 cm (99¼ in)" in printed("Anemone")
    assert "the path on the board with a tape: it should be 277 cm (109¼ in)" in printed("Fucus")
    assert "120 ÷ 3 per cm = 40 cm" in printed("Anemone")


def test_ordinary_print_is_one_page_and_every_sheet_is_tagged_with_its_language() -> None:
    """Also in German and on letter paper; large print runs on, in letters of at least 18 points."""
    for one in made().students:
        for code in ("en", "de"):
            pdf = reader(class_sheet_pdf(made(), one, made_on=DAY, language=Language(code)))
            assert len(pdf.pages) == 1 or one.large_print, (one.name, code)
            assert pdf.trailer["/Root"]["/MarkInfo"]["/Marked"]
            assert pdf.trailer["/Root"]["/Lang"].startswith(code)
            assert pdf.metadata.title == "Rockpool runner"


def test_a_sheet_has_boxes_cautions_and_words_in_both_spellings() -> None:
    """The own-yarn box is blank but for what a student brings."""
    text = printed("Anemone")
    for part in ("Your own yarn", "What came out", "Take care", "trip line", "selvedge (American selvage)"):
        assert part in text
    assert "wrack handspun" in printed("Fucus")
    assert "280 m" in printed("Fucus")


def test_a_german_sheet_says_its_numbers_as_german_does() -> None:
    """A comma before decimals, inches named, the trade word with the British and American beside it."""
    text = printed("Dulse")
    for part in (
        "Kursblatt für Dulse, 26. November 2026",
        "206,9 cm",
        "105¼ Zoll",
        "Webkante (selvedge, selvage)",
        "Stolperschnur",
    ):
        assert part in text
    assert "206.9" not in text


def test_typed_names_are_placed_as_typed() -> None:
    """A name that looks like markup, or like a placeholder, is printed and not obeyed."""
    piece = tomllib.loads((EXAMPLES / "rockpool-runner.toml").read_text(encoding="utf-8"))
    students = [{"name": "#pagebreak() {ends} *Ö*", "loom": {"heddles": ["30/10 cm"]}}]
    answer = class_needs(read_project(piece), read_class({"student": students}), drawings={})
    assert "#pagebreak() {ends} *Ö*" in text_of(class_sheet_pdf(answer, answer.students[0], made_on=DAY))
    assert "#pagebreak() {ends} *Ö*" in text_of(class_summary_pdf(answer, made_on=DAY))


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("large_print", [False, True])
def test_the_summary_adds_up_as_printed(units: str, large_print: bool) -> None:
    """The metres of each student are those of the table, their sum is printed, and its grams are that sum by 3 m to the g and 10 %."""
    answer = made(units=units)
    text = text_of(class_summary_pdf(answer, made_on=DAY, large_print=large_print))
    rows = list(class_summary.rows(answer))
    weights = []
    for use, column in (("Warp", 4), ("Weft", 6)):
        sum_ = re.search(
            rf"{use} \(shore class wool\), (?:at the high figure, )?([\d +]+) = (\d+) (?:m|yd) \(.*?to spare ([\d.]+)",
            text,
        )
        assert sum_ is not None
        each = [int(one) for one in sum_[1].split(" + ")]
        assert each == [int(numbers(row[column].partition(" (")[0])[-1]) for row in rows if "own yarn" not in row[1]]
        assert sum(each) == int(sum_[2])
        metres = int(sum_[2]) * (0.9144 if units == "imperial" else 1)
        grams = metres / 3 * 1.1
        shown = grams / 28.349523125 if units == "imperial" else grams
        step = 0.1 if units == "imperial" else 1
        assert (
            shown - (1.1 * len(each) / 3 if units == "imperial" else 0) - 1e-6 <= float(sum_[3]) < shown + step + 1e-6
        )
        weights.append(float(sum_[3]))
    in_all = re.search(r"In all of shore class wool: ([\d.]+) \+ ([\d.]+) = ([\d.]+)", text)
    assert in_all is not None
    assert [float(in_all[1]), float(in_all[2])] == weights
    assert float(in_all[3]) == pytest.approx(sum(weights))


def test_the_summary_says_what_to_settle_with_whom() -> None:
    """A heddle of another sett, a loom too narrow, own yarn that is close; nobody else."""
    told = list(class_summary.to_settle(made()))
    assert [name for name, _ in told] == ["Dulse", "Eelgrass", "Fucus"]
    heddle, narrow, yarn = (what for _, what in told)
    assert "33.3" in heddle
    assert "Lend her one of 30/10 cm" in heddle
    assert "114 ends fit" in narrow
    assert "own yarn close" in yarn
    text = text_of(class_summary_pdf(made(), made_on=DAY))
    assert "stay on this machine" in text
    assert all(one.name in text for one in made().students)


def test_a_student_left_out_is_named_with_the_reason() -> None:
    """The others stand in the table."""
    piece = tomllib.loads((EXAMPLES / "rockpool-runner.toml").read_text(encoding="utf-8"))
    students = [
        {"name": "A", "loom": {"heddles": ["30/10 cm"], "waste": "45 cm", "weaving_width": "60 cm"}},
        {"name": "B"},
    ]
    answer = class_needs(read_project(piece), read_class({"student": students}), drawings={}, keep_going=True)
    text = text_of(class_summary_pdf(answer, made_on=DAY))
    assert "Not worked out" in text
    assert "which heddle has B?" in text
