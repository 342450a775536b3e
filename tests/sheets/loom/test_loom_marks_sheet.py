"""Strips that measure true along the cloth, and say at every place what comes there."""

from __future__ import annotations

import datetime
import itertools
import re
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from click.testing import CliRunner
from sheets.printed import reader, text_of
from weaving.at_looms import tabard

from clothwright.cli.app import commands
from clothwright.project import read_project
from clothwright.sheets import loom_log_pdf, loom_marks_pdf
from clothwright.sheets.loom.loom_marks_sheet import MOST_STRIPS, STRIP_CM, loom_marks_data, places
from clothwright.weaving import LoomForecast, forecast

DAY = datetime.date(2026, 11, 26)
TABARD = Path(__file__).parents[3] / "examples" / "eelgrass-tabard.toml"
DPI = 508
DARK = 128


@pytest.fixture(scope="module")
def told() -> LoomForecast:
    """The tabard when its weft was too close."""
    return forecast(read_project(tabard(5)))


#: The upper edge of a strip on its page, below the margin and the room to glue, mm.
TOP_MM = 11 + 8


def ticks_mm(pdf: bytes, page: int, at_mm: float, long_mm: float) -> np.ndarray:
    """The middles of the dark lines down a column of a strip, mm from the top of the page, as a printer would draw them."""
    seen = np.asarray(pypdfium2.PdfDocument(pdf)[page].render(scale=DPI / 72, grayscale=True).to_numpy()).squeeze()
    dark = seen[:, round(at_mm / 25.4 * DPI)] < DARK
    edges = np.flatnonzero(np.diff(np.concatenate([[0], dark.astype(int), [0]])))
    found = np.asarray((edges[::2] + edges[1::2]) / 2 / DPI * 25.4)
    return found[(found > TOP_MM - 0.5) & (found < TOP_MM + long_mm + 0.5)]


@pytest.mark.parametrize(("imperial", "large_print"), [(False, False), (True, False), (False, True)])
def test_a_strip_measures_true_within_a_fifth_of_a_millimetre_in_ten_centimetres(
    imperial: bool, large_print: bool
) -> None:
    """Rasterised at 508 dpi, 20 dots to the mm: long ticks every 5 cm, or every inch. An inch is 25.4 mm (1959 agreement)."""
    pdf = loom_marks_pdf(None, imperial=imperial, large_print=large_print, made_on=DAY)
    first = next(n for n, page in enumerate(reader(pdf).pages) if "1 of 1" in page.extract_text())
    step, count = (25.4, 9) if imperial else (50.0, 5)
    found = ticks_mm(pdf, first, 15 + 3.5, step * count)
    assert len(found) == count + 1
    apart = np.abs(np.subtract.outer(found, found))
    wanted = np.abs(np.subtract.outer(np.arange(count + 1), np.arange(count + 1))) * step
    assert np.all(np.abs(apart - wanted) <= 0.2 * np.maximum(wanted, 100) / 100)
    assert len(ticks_mm(pdf, first, 15 + 1.5, step * count)) == (19 if imperial else 26)


def test_every_strip_goes_on_where_the_one_before_it_ended(told: LoomForecast) -> None:
    project = read_project(tabard(5))
    for imperial in (False, True):
        strips = loom_marks_data(project, told, told.to_weave_cm, imperial=imperial, large_print=False)["strips"]
        assert len(strips) * STRIP_CM[imperial] >= told.to_weave_cm > (len(strips) - 1) * STRIP_CM[imperial]
        for one, after in itertools.pairwise(strips):
            assert one["scale"][-1]["says"] == after["scale"][0]["says"]
            assert one["scale"][-1]["at"] == pytest.approx(STRIP_CM[imperial] * 10)
            assert one["tab"]
        assert not strips[-1]["tab"]


def test_what_comes_stands_at_its_place_and_words_lie_on_no_others(told: LoomForecast) -> None:
    """The marks are every 30 cm, as the weaver said; the stop is where the weaving ends."""
    project = read_project(tabard(5))
    data = loom_marks_data(project, told, told.to_weave_cm, imperial=False, large_print=False)
    on_strips = [
        (number * 250 + one["at"], one) for number, strip in enumerate(data["strips"]) for one in strip["places"]
    ]
    marks = [round(at / 10, 3) for at, one in on_strips if one["kind"] == "mark"]
    assert marks == [30, 60, 90, 120, 150, 180, 210]
    assert [at / 10 for at, one in on_strips if one["kind"] == "stop"] == [told.to_weave_cm]
    assert len(on_strips) == len(data["list"])
    for strip in data["strips"]:
        reach = 0.0
        for one in strip["places"]:
            assert one["words_at"] >= reach - 1e-6
            reach = one["words_at"] + len(one["words"]) * data["line_mm"]
        assert reach <= data["strip_mm"]


def test_stop_lines_and_pieces_are_said_at_their_places(told: LoomForecast) -> None:
    found = places(read_project(tabard(5)), told, told.to_weave_cm, imperial=False)
    line = told.stop_lines[0]
    at_line = next(one for one in found if one.cm == line.at_cm and one.kind == "mark")
    assert f"If under {line.grams:g}\u00a0g" in at_line.words
    assert "for front facing" in at_line.words
    begins = {one.words: one.cm for one in found if one.kind == "piece"}
    back = next(one for one in told.outlines if one.piece == "back")
    assert begins["back 1 begins"] == pytest.approx(min(x for x, _ in back.outline), abs=0.06)
    imperial = places(read_project(tabard(5)), told, told.to_weave_cm, imperial=True)
    assert any(re.search(r"at 75\S* in", one.words.replace("\u00a0", " ")) for one in imperial)


def test_a_stop_line_between_her_marks_has_a_mark_of_its_own() -> None:
    tree = tabard(5)
    del tree["on_loom"]["marks_every"]
    told = forecast(read_project(tree))
    found = places(read_project(tree), told, told.to_weave_cm, imperial=False)
    assert {line.at_cm for line in told.stop_lines} <= {one.cm for one in found if one.kind == "mark"}


def test_a_cloth_longer_than_is_printed_says_so() -> None:
    data = loom_marks_data(None, None, 5000.0, imperial=False, large_print=False)
    assert len(data["strips"]) == MOST_STRIPS
    assert "Printed to" in data["how"][-1]


def test_the_log_to_write_in_carries_the_stop_lines(told: LoomForecast) -> None:
    said = text_of(loom_log_pdf(read_project(tabard(5)), told.to_weave_cm, told, made_on=DAY))
    assert "Watch for" in said
    assert "start the other yarn at 191 cm" in said
    assert "Watch for" not in text_of(loom_log_pdf(None, made_on=DAY))


def test_the_command_prints_strips_filled_and_blank(tmp_path: Path) -> None:
    for options in ([str(TABARD), "--seconds", "0"], ["--blank"]):
        found = CliRunner().invoke(commands, ["sheets", *options, "--only", "loom-marks", "-o", str(tmp_path)])
        assert found.exit_code == 0, found.output
    said = text_of((tmp_path / "eelgrass-tabard-loom-marks.pdf").read_bytes())
    assert "STOP: the cloth ends here" in said
    assert "208 cm" in said
    blank = (tmp_path / "blank-loom-marks.pdf").read_bytes()
    assert "1 of 10" in text_of(blank)
    assert reader(blank).trailer["/Root"].get_object()["/MarkInfo"]["/Marked"]
