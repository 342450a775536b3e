"""The sheet of marker strips: at true size on both papers, and found by OpenCV as printed."""

import datetime

import numpy as np
import pypdfium2
import pytest
from sheets.printed import paths, reader, text_of

from clothwright.sheets import marker_sheet_pdf

DAY = datetime.date(2026, 11, 25)
BOTH = pytest.mark.parametrize("imperial", [False, True], ids=["A4", "letter"])


@BOTH
def test_the_strips_stand_on_one_page_with_a_line_of_10_cm(imperial: bool) -> None:
    pdf = marker_sheet_pdf(None, imperial=imperial, made_on=DAY)
    assert len(reader(pdf).pages) == 1
    assert any(one.size[0] == pytest.approx(100, abs=0.02) for one in paths(pdf) if one.painted == "S")
    for words in ("Print at 100 %", "Cut along the dashes", "25 November 2026"):
        assert words in text_of(pdf)


@BOTH
def test_printed_markers_are_found_and_measure_true(imperial: bool) -> None:
    """Side 36 mm, pitch 44 mm; OpenCV is the independent reader, at 300 dots to the inch."""
    cv2 = pytest.importorskip("cv2", reason="needs the extra “photo” (OpenCV), which is not installed")
    pdf = pypdfium2.PdfDocument(marker_sheet_pdf(None, imperial=imperial, made_on=DAY))
    picture = pdf[0].render(scale=300 / 72, grayscale=True).to_numpy()
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    kind = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    corners, numbers, _ = cv2.aruco.ArucoDetector(kind, settings).detectMarkers(picture)
    at = {int(n): np.array(c).reshape(4, 2) * 25.4 / 300 for n, c in zip(numbers.ravel(), corners, strict=True)}
    assert sorted(at) == list(range(16))
    for number, found in at.items():
        assert np.ptp(found[:, 0]) == pytest.approx(36, abs=0.2)
        if number % 4:
            assert found[0][0] - at[number - 1][0][0] == pytest.approx(44, abs=0.2)
