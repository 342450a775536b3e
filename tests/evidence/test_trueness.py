"""Forecasts are replayed over finished cloths, each only from what was known before it."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from clothwright.evidence import (
    ClothRecord,
    Told,
    read_records,
    replay,
    trueness,
)
from clothwright.evidence.records import WORDS, reading_error_cm
from clothwright.evidence.trueness import measured_of

CLOTHS = Path(__file__).parents[1] / "published/cloths/records.csv"
RECORDS, LEFT_OUT = read_records(CLOTHS.read_text(encoding="utf-8"))


def cloth(number: int, weaver: str = "", **sizes: float) -> ClothRecord:
    words = dict.fromkeys(WORDS, "") | {"id": f"c{number}", "fibre": "wool", "structure": "plain", "finish": "washed"}
    words["source_address"] = f"https://{weaver}/" if weaver else ""
    return ClothRecord(number, {name: size for name, size in sizes.items() if size}, words)


def test_public_cloths_are_read_whole() -> None:
    """45 rows; r053 states a reed of 61 cm, 54.3 off the loom, 49.5 finished (its maker's page, named in the row)."""
    assert len(RECORDS) == 45
    assert LEFT_OUT == ()
    towel = next(record for record in RECORDS if record.name == "r053")
    assert (towel.sizes["reed_width_cm"], towel.sizes["finished_width_cm"]) == (61.0, 49.5)
    assert towel.weaver != next(record for record in RECORDS if record.name == "r054").weaver


def test_ninety_per_cent_intervals_hold_on_public_cloths_as_far_as_so_few_can_tell() -> None:
    """The 95 % binomial interval of the coverage holds 0.90. *Source*: exact interval of Clopper and Pearson, by scipy."""
    for size in ("finished_width", "finished_length"):
        found = trueness(one for one in replay(RECORDS) if one.size == size)
        assert found is not None
        assert found.n >= 20
        interval = stats.binomtest(round(found.coverage_90 * found.n), found.n).proportion_ci(0.95)
        assert interval.low <= 0.90 <= interval.high


def test_a_forecast_takes_nothing_from_the_cloths_that_come_after() -> None:
    """The forecasts of the first cloths do not change when later cloths are taken away."""
    whole = [(one.cloth, one.size, one.mean, one.sd) for one in replay(RECORDS)]
    part = [(one.cloth, one.size, one.mean, one.sd) for one in replay(RECORDS[:20])]
    assert len(part) > 10
    for ours, theirs in zip(part, whole, strict=False):
        assert ours[:2] == theirs[:2]
        assert ours[2:] == pytest.approx(theirs[2:], abs=1e-9)


def test_a_forecast_takes_nothing_of_its_own_cloth_but_the_first_measure() -> None:
    alone = cloth(1, reed_width_cm=50, finished_width_cm=44)
    more = cloth(1, reed_width_cm=50, on_loom_width_cm=46, off_loom_width_cm=45, finished_width_cm=44)
    (first,), (second,) = replay([alone]), replay([more])
    assert (first.mean, first.sd) == pytest.approx((second.mean, second.sd), abs=1e-12)


def test_a_weavers_own_cloths_sharpen_her_next_forecast_more_than_a_strangers_do() -> None:
    earlier = [cloth(number, "ebb.example", reed_width_cm=50, finished_width_cm=40) for number in (1, 2, 3)]
    (*_, own), (*_, strange) = (
        list(replay([*earlier, cloth(4, weaver, reed_width_cm=60, finished_width_cm=48)]))
        for weaver in ("ebb.example", "flow.example")
    )
    assert own.sd < strange.sd
    assert abs(own.mean - math.log(48)) < abs(strange.mean - math.log(48))


def test_the_rule_of_thumb_takes_a_tenth_twice_from_the_heddle_and_once_from_the_loom() -> None:
    """10 % and 10 %, one after the other: 100 cm leave 81; from the loom 90. *Source*: common practice, no source."""
    (heddle,), (loom,) = (
        list(replay([cloth(1, **{state: 100.0, "finished_width_cm": 80.0})]))
        for state in ("reed_width_cm", "on_loom_width_cm")
    )
    assert math.exp(heddle.rule) == pytest.approx(81)
    assert math.exp(loom.rule) == pytest.approx(90)


def test_coverage_counts_what_the_intervals_held() -> None:
    """Of normal draws 50 % intervals hold about half and 90 % about nine tenths: here exactly counted by scipy."""
    draws = np.random.default_rng(3).normal(2.0, 0.1, 400)
    found = trueness(Told(str(i), "finished_width", 2.1, 2.0, 0.1, float(draw), 2.0) for i, draw in enumerate(draws))
    assert found is not None
    for share, coverage in ((0.5, found.coverage_50), (0.9, found.coverage_90)):
        low, high = stats.norm(2.0, 0.1).interval(share)
        assert coverage == pytest.approx(np.mean((draws >= low) & (draws <= high)))
    assert found.median_error == pytest.approx(float(np.median(np.abs(np.expm1(2.0 - draws)))))


def test_no_cloth_gives_no_trueness() -> None:
    assert trueness(replay([])) is None
    assert list(replay([cloth(1, finished_width_cm=40)])) == []


def test_cloth_meant_to_gap_is_no_evidence() -> None:
    """r041 is a collapse weave: a third narrower, on purpose."""
    assert not any(one.cloth == "r041" for one in replay(RECORDS))
    assert any(record.name == "r041" for record in RECORDS)


def test_half_inches_are_taken_as_half_inches() -> None:
    """A length told in half inches is even within half an inch: 1.27/√12 cm; one told in mm is sharper."""
    assert reading_error_cm(25.4) == pytest.approx(1.27 / math.sqrt(12))
    assert reading_error_cm(24.1) == pytest.approx(1.27 / math.sqrt(12))
    assert reading_error_cm(24.5) < 0.11


def test_wound_less_waste_is_the_warp_used() -> None:
    assert measured_of(cloth(1, warp_wound_cm=300, loom_waste_cm=60, finished_length_cm=200)).warp_used == 240
    assert measured_of(cloth(1, warp_wound_cm=300, finished_length_cm=200)).warp_used is None


def test_every_bad_row_is_told_of_and_the_others_kept() -> None:
    table = "id,reed_width_cm,finished_width_cm,finished_length_cm\na,50,44,\nb,wide,44,\nc,50,-3,\nd,40,36,90\n"
    records, bad = read_records(table)
    assert [record.name for record in records] == ["a", "d"]
    assert [row.line for row in bad] == [3, 4]
    assert "reed_width_cm “wide”" in bad[0].sentence
    assert "“-3”" in bad[1].sentence


def test_a_table_without_its_columns_is_refused() -> None:
    with pytest.raises(ValueError, match="no column finished_width_cm, finished_length_cm"):
        read_records("id,width\n1,2\n")


def test_a_cell_longer_than_any_table_holds_is_one_sentence() -> None:
    """Python's reader of tables stops at 131,072 letters, in an error of its own."""
    with pytest.raises(ValueError, match="after line 1 the table cannot be read"):
        read_records(CLOTHS.read_text(encoding="utf-8").splitlines()[0] + "\n" + "x" * 140_000)
