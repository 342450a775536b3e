"""A label's code is read from the rendered page by a reader that is not ours, and its number can be read by eye."""

from __future__ import annotations

import datetime

import numpy as np
import pypdfium2
import pytest
from sheets.printed import paths, reader, text_of

from clothwright.project import ProblemsFound
from clothwright.project.record.record_search import RecordSaid
from clothwright.sheets.record.label_sheet import LONGEST_ADDRESS, code_of, label_of, labels_pdf

DAY = datetime.date(2026, 3, 20)
ADDRESS = "https://192.168.1.20:8766"
DPI = 300


def said(number: str = "2026-007", name: str = "Sandbar stole") -> RecordSaid:
    return RecordSaid(
        number, name, "2026-03-14", ("sandbar",), ("wool",), "plain", 3.0, 41.8, 208.0, "hand wash", "", "yes", ""
    )


def read_codes(pdf: bytes, page: int = 0) -> list[str]:
    """What a reader finds on a page as printed at 300 dots to the inch (OpenCV's, which knows nothing of how it was made)."""
    cv2 = pytest.importorskip("cv2", reason="needs the extra “photo” (OpenCV), which is not installed")
    shown = pypdfium2.PdfDocument(pdf)[page].render(scale=DPI / 72, grayscale=True).to_numpy().squeeze()
    found, texts, _, _ = cv2.QRCodeDetector().detectAndDecodeMulti(np.ascontiguousarray(shown))
    return sorted(texts) if found else []


def test_every_code_of_a_full_page_is_read_and_leads_to_its_record() -> None:
    labels = [label_of(said(f"2026-{number:03d}"), ADDRESS) for number in range(1, 11)]
    pdf = labels_pdf(labels, made_on=DAY)
    assert len(reader(pdf).pages) == 1
    assert read_codes(pdf) == [f"{ADDRESS}/record/2026-{number:03d}/" for number in range(1, 11)]


def test_a_code_without_an_address_says_the_number() -> None:
    pdf = labels_pdf([label_of(said())], made_on=DAY)
    assert read_codes(pdf) == ["Clothwright record 2026-007"]


def test_the_longest_address_still_makes_a_code_that_is_read() -> None:
    address = "https://" + "kelp." * 20
    assert len(code_of("2026-007", address)) >= LONGEST_ADDRESS - 10
    pdf = labels_pdf([label_of(said(), address)], made_on=DAY)
    assert read_codes(pdf) == [code_of("2026-007", address)]


def test_number_name_and_cloth_can_be_read_by_eye() -> None:
    text = text_of(labels_pdf([label_of(said(), ADDRESS)], made_on=DAY))
    for words in ("2026-007", "Sandbar stole", "14 March 2026", "sandbar (wool)", "41.8 cm", "hand wash", "liked it"):
        assert words in text


@pytest.mark.parametrize(("large", "imperial", "per_page"), [(False, False, 10), (False, True, 10), (True, False, 2)])
def test_labels_are_of_their_size_and_so_many_to_a_page(large: bool, imperial: bool, per_page: int) -> None:
    pdf = labels_pdf([label_of(said())], copies=per_page + 1, made_on=DAY, large_print=large, imperial=imperial)
    assert len(reader(pdf).pages) == 2
    size = (176, 100) if large else (88, 45)
    frames = [one for one in paths(pdf, 0) if np.allclose(one.size, size, atol=0.3)]
    assert len(frames) == per_page


def test_long_names_and_odd_letters_stay_on_the_label() -> None:
    long = said(name="A very long name of a garment that goes on and on 😀 \u202e" * 3)
    pdf = labels_pdf([label_of(long, ADDRESS)] * 10, made_on=DAY)
    assert len(reader(pdf).pages) == 1


def test_a_record_without_a_number_has_no_label() -> None:
    with pytest.raises(ProblemsFound, match="has no number yet"):
        label_of(said(number=""))


def test_the_same_labels_are_the_same_bytes_and_none_or_too_many_are_refused() -> None:
    label = label_of(said(), ADDRESS)
    first, second = (labels_pdf([label], made_on=DAY) for _ in range(2))
    assert first == second
    for copies in (0, 201):
        with pytest.raises(ProblemsFound, match="from 1 to 200"):
            labels_pdf([label], copies=copies, made_on=DAY)
