"""Metric and inch stand together on every sheet: what is printed in one has beside it what it is in the other.

The text of every sheet is taken from its PDF. Each quantity must have near it one of the same kind in the other system that is as large; a
unit that heads a column must have one of the other system near it. Factors are those of the international yard and pound (1959).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

import pypdfium2
import pytest
from every_sheet import DAY, EVERY_WAY, drawn
from sheets.teaching.test_class_sheet import made

from clothwright.sheets import class_sheet_pdf, class_summary_pdf
from clothwright.sheets.translating import ENGLISH

_EIGHTHS = {"½": 1 / 2, "¼": 1 / 4, "¾": 3 / 4, "⅛": 1 / 8, "⅜": 3 / 8, "⅝": 5 / 8, "⅞": 7 / 8, "⅓": 1 / 3, "⅔": 2 / 3}
_FRACTION = "".join(_EIGHTHS)
_NUMBER = rf"\d+[{_FRACTION}]|\d+ \d/\d\d?|\d+(?:[.,]\d+)?|[{_FRACTION}]"
#: Unit: its kind, whether it is metric, how large it is in the base of its kind, and how coarsely a figure in it may be rounded.
_UNITS: dict[str, tuple[str, bool, float, float]] = {
    "mm": ("length", True, 0.1, 0.1),
    "cm": ("length", True, 1.0, 1.0),
    "m": ("length", True, 100.0, 100.0),
    "in": ("length", False, 2.54, 0.32),
    "ft": ("length", False, 30.48, 2.54),
    "yd": ("length", False, 91.44, 91.44),
    "g": ("weight", True, 1.0, 1.0),
    "kg": ("weight", True, 1000.0, 10.0),
    "oz": ("weight", False, 28.349523125, 2.84),
    "lb": ("weight", False, 453.59237, 28.4),
    "per cm": ("threads", True, 1.0, 0.01),
    "/cm": ("threads", True, 1.0, 0.01),
    "/10 cm": ("threads", True, 0.1, 0.01),
    "per in": ("threads", False, 1 / 2.54, 0.01),
    "per inch": ("threads", False, 1 / 2.54, 0.01),
    "to the inch": ("threads", False, 1 / 2.54, 0.01),
    "to the cm": ("threads", True, 1.0, 0.1),
    "/in": ("threads", False, 1 / 2.54, 0.01),
    "m/g": ("grist", True, 1.0, 0.01),
    "m/100 g": ("grist", True, 0.01, 0.01),
    "yd/lb": ("grist", False, 0.9144 / 453.59237, 0.01),
    "g/m²": ("weight of cloth", True, 1.0, 1.0),
    "oz/yd²": ("weight of cloth", False, 33.905747, 3.4),
}
_SOME_UNIT = "|".join(
    re.escape(one).replace("/", "/ ?") + r"(?! \d| hole| slot)" * (one == "in")
    for one in sorted(_UNITS, key=len, reverse=True)
)
_QUANTITY = re.compile(
    rf"(?<![\d./½¼¾⅛⅜⅝⅞])({_NUMBER})(?: (?:ends|picks|wraps|threads that touch)(?= per))? ?({_SOME_UNIT})(?![\w²/])"
)
_LONE = re.compile(r"(?<![\w/²])(cm|mm|kg|g|yd|oz|lb)(?![\w/²])")
_OTHERS = {
    True: re.compile(r"\b(in|inch|inches|yd|yards?|oz|lb|ft|pound)\b"),
    False: re.compile(r"\b(cm|mm|m|metres?|g|kg)\b"),
}
#: What a quantity is counted in, as wraps in 1 cm or metres in 100 g: a unit, not an amount.
_COUNTED_IN = re.compile(r"(?:in|per|over|\bor) (?:1 cm|10 cm|1 in|4 in|100 g|1 lb)(?![\w²/])")
#: A weighing as it is written down; what it comes to stands after it.
_WEIGHING = re.compile(r"10 m weighs?(?: [\d.]+ g)?")
#: A term of a sum stands before or after a sign; what comes of the sum stands after the last =.
#: What is there to be measured on the paper itself.
_TRUE_SIZE = re.compile(
    r"This line is (?:10 cm|4 in)|(?:square is|must measure|measures|test square) 10 cm(?:, 3 15/16 in)?|Scale 1:\d+: [^.]*\."
    r"|(?<=/10 cm )3 cm|(?<=/in )3 cm"
)
_BEFORE_TERM = re.compile(r"[×÷−+] ?(?:10 × )?$")
_AFTER_TERM = re.compile(r"^\)* ?(?:finished )?[×÷−+=]")
#: A heddle is called by what is printed on it; what that is in both systems is said once on a sheet.
_HEDDLE = re.compile(r"(?<![\d./])(\d+(?:\.\d+)?)(/10 cm|/in)(?![\w²/])")
_NEAR = 100
_SHARE = 0.03


@dataclass(frozen=True)
class Said:
    """A quantity as printed: where it stands in the text, its kind, system, size in the base of its kind, and how coarse it is."""

    text: str
    start: int
    end: int
    kind: str
    metric: bool
    size: float
    coarse: float


ORDINARY = [(kind, blank) for kind, blank, large in EVERY_WAY if not large]


@pytest.mark.parametrize("imperial", [False, True], ids=["metric", "imperial"])
@pytest.mark.parametrize(("kind", "blank"), ORDINARY)
def test_what_a_sheet_says_in_one_system_stands_beside_it_in_the_other(kind: str, blank: bool, imperial: bool) -> None:
    """Large print has the same words."""
    told = [one for page in pages(drawn(kind, blank=blank, imperial=imperial)) for one in alone(page)]
    assert told == []


@pytest.mark.parametrize("imperial", [False, True], ids=["metric", "imperial"])
def test_the_sheets_of_students_say_both_systems(imperial: bool) -> None:
    """Each student's of ordinary print; the sums are worked in her own unit, and what comes of them stands in both above and below."""
    needs = made(units="imperial") if imperial else made()
    sheets = [
        class_sheet_pdf(needs, one, made_on=DAY, language=ENGLISH) for one in needs.students if not one.large_print
    ]
    for pdf in sheets:
        told = (re.sub(r"How the figures come about.*?Check yourself", "", page) for page in pages(pdf))
        assert [one for page in told for one in alone(page)] == []


@pytest.mark.parametrize("imperial", [False, True], ids=["metric", "imperial"])
def test_the_teachers_summary_says_both_systems(imperial: bool) -> None:
    """Each student's yarn, what is bought of it, its grist and its balls."""
    pdf = class_summary_pdf(made(units="imperial") if imperial else made(), made_on=DAY)
    assert [one for page in pages(pdf) for one in alone(page)] == []


def test_the_check_finds_what_stands_alone() -> None:
    """A length without its like, one beside a wrong one, a head with one unit; terms of a sum, names of heddles and zero do not count."""
    assert len(alone("cloth 42 cm wide")) == 1
    assert len(alone("cloth 42 cm (17½ in) wide")) == 2
    assert len(alone("Woven, cm Weighed")) == 1
    assert len(alone("3.1 per cm, 8 per in")) == 0
    assert alone("42 cm (16½ in); 12 m ÷ 3 g = 4 m/g (1984 yd/lb); a 30/10 cm heddle; 0 cm") == []


def quantities(text: str) -> Iterator[Said]:
    for found in _QUANTITY.finditer(text):
        kind, metric, base, coarse = _UNITS[found[2].replace("/ ", "/")]
        size = number(found[1]) * base
        yield Said(found[0], found.start(), found.end(), kind, metric, size, coarse)


def number(text: str) -> float:
    """`1 2/8`, `136¼`, `12 345`, `0.5`."""
    if (parted := re.fullmatch(r"(\d+) (\d)/(\d+)", text)) is not None:
        return int(parted[1]) + int(parted[2]) / int(parted[3])
    whole, part = (text[:-1], _EIGHTHS[text[-1]]) if text[-1] in _EIGHTHS else (text, 0.0)
    return float(whole.replace(" ", "").replace(",", ".") or 0) + part


def alone(text: str) -> list[str]:
    """What stands in one system only, with the words about it; a figure of a picture stands in both in the words of its page."""
    every = list(quantities(text))
    names = {one.span() for one in _HEDDLE.finditer(text)}
    apart = [one.span() for pattern in (_COUNTED_IN, _WEIGHING, _TRUE_SIZE) for one in pattern.finditer(text)]
    found = [
        context(text, one.start, one.end)
        for one in every
        if one.size
        and (one.start, one.end) not in names
        and not any(start <= one.start < end for start, end in apart)
        and not is_term(text, one)
        and not any(beside(same, other) for same in every if same.text == one.text for other in every)
    ]
    return found + list(lone_units(text, [(one.start, one.end) for one in every] + apart))


def lone_units(text: str, taken: list[tuple[int, int]]) -> Iterator[str]:
    """Units without a number, as at the head of a column, with none of the other system near them."""
    for unit in _LONE.finditer(text):
        about = text[max(0, unit.start() - _NEAR) : unit.end() + _NEAR]
        room = text[: unit.start()].rstrip().removesuffix(" per").endswith("…")
        taken_up = any(start <= unit.start() < end for start, end in taken)
        if not (room or taken_up or _OTHERS[_UNITS[unit[1]][1]].search(about)):
            yield context(text, unit.start(), unit.end())


def is_term(text: str, one: Said) -> bool:
    """Whether it is reckoned with, here or further on in the same sum."""
    if _BEFORE_TERM.search(text[max(0, one.start - 8) : one.start]) or _AFTER_TERM.match(text[one.end : one.end + 14]):
        return True
    again = text.find(one.text, one.end, one.end + _NEAR)
    return again >= 0 and bool(
        _BEFORE_TERM.search(text[max(0, again - 8) : again]) or _AFTER_TERM.match(text[again + len(one.text) :][:4])
    )


def beside(one: Said, other: Said) -> bool:
    near = other.start - one.end < _NEAR and one.start - other.end < _NEAR
    alike = abs(one.size - other.size) <= max(_SHARE * one.size, one.coarse + other.coarse)
    return near and one.kind == other.kind and one.metric != other.metric and alike


def context(text: str, start: int, end: int) -> str:
    return f"{text[max(0, start - 40) : start]}[[{text[start:end]}]]{text[end : end + 40]}"


def pages(pdf: bytes) -> Iterator[str]:
    for page in pypdfium2.PdfDocument(pdf):
        text = page.get_textpage().get_text_range().replace("\u200b", "").replace("\ufffe", "")
        yield " ".join(text.split())
