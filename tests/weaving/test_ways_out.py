"""Ways out half-way: what is woven stays, what is promised holds, bands match."""

from __future__ import annotations

import numpy as np
import pytest
from weaving.at_looms import tabard, weighed

from clothwright.layout import faults
from clothwright.layout.arrangement import Layout, Placed
from clothwright.planning import Verdict
from clothwright.project import read_project
from clothwright.weaving import LoomForecast, WayThrough, borders, forecast, standing
from clothwright.weaving.beat import beaten


def way(told: LoomForecast, begins: str) -> WayThrough:
    return next(one for one in told.ways_out if one.what.startswith(begins))


@pytest.fixture(scope="module")
def warned() -> LoomForecast:
    return forecast(read_project(tabard(5)))


def test_nothing_is_offered_while_there_is_enough() -> None:
    assert forecast(read_project(tabard(8))).ways_out == ()
    assert forecast(weighed((0, 300), (60, 253))).ways_out == ()


def test_every_way_leaves_more_than_going_on_and_stops_no_sooner_than_is_woven(warned: LoomForecast) -> None:
    spare = warned.yarns[0].spare_g.expected
    assert len(warned.ways_out) >= 5
    for one in warned.ways_out:
        assert one.spare_g > spare, one.what
        assert warned.woven_cm <= one.stop_at_cm <= warned.to_weave_cm, one.what
        assert one.costs


def test_the_surest_stand_first(warned: LoomForecast) -> None:
    chances = [round(one.chance_enough or 0.0, 2) for one in warned.ways_out]
    assert chances == sorted(chances, reverse=True)


def test_no_band_lies_in_what_is_woven(warned: LoomForecast) -> None:
    banded = [one for one in warned.ways_out if one.bands]
    assert banded
    for one in banded:
        assert all(warned.woven_cm - 1e-6 <= start < end <= warned.to_weave_cm + 1e-6 for start, end in one.bands)


def test_a_border_is_as_deep_on_every_copy(monkeypatch: pytest.MonkeyPatch) -> None:
    """Both collars lie beside one another here, so one band crosses both; no border is told for the back, which is woven."""
    monkeypatch.setattr(borders, "_MOST_BORDERS", 20)
    warned = forecast(read_project(tabard(5)))
    collar = next(one for one in warned.ways_out if one.what.endswith("of collar"))
    assert "collar (2)" in collar.change
    assert len(collar.bands) == 1
    assert not any("of back" in one.what for one in warned.ways_out)


def test_pieces_that_follow_one_another_are_banded_once_each() -> None:
    """Two fronts one after the other on narrow cloth: their band is woven twice, as deep, at the same place of each."""
    tree = tabard(5)
    tree["pattern"]["piece"] = [
        {"name": "back", "width": "40 cm", "length": "60 cm"},
        {"name": "sleeve", "width": "40 cm", "length": "58 cm", "cut": 2},
    ]
    tree["log"] = [
        {"woven": "30 cm", "weft_left": {"eelgrass": "104 g"}},
        {"woven": "62 cm", "weft_left": {"eelgrass": "80 g"}},
    ]
    told = forecast(read_project(tree))
    bands = way(told, "A band at the foot of sleeve").bands
    assert len(bands) == 2
    assert bands[0][1] - bands[0][0] == pytest.approx(bands[1][1] - bands[1][0])
    starts = sorted({round(min(x for x, _ in one.outline), 1) for one in told.outlines if one.piece == "sleeve"})
    assert [round(band[0], 1) for band in bands] == starts


def test_pieces_laid_anew_are_laid_so_that_the_judge_finds_no_fault(warned: LoomForecast) -> None:
    stands = standing(read_project(tabard(5)))
    assert stands.warped is not None
    garment = stands.warped.job.garment
    assert garment is not None
    laid = way(warned, "Lay the pieces anew").layout
    assert laid is not None
    keys = ("piece", "copy", "x_cm", "y_cm", "rotation_deg", "mirrored")
    placed = tuple(Placed(*(one[key] for key in keys)) for one in laid["placed"])
    layout = Layout(laid["width_cm"], laid["length_cm"], laid["used_share"], placed)
    assert not faults(garment.copies, layout)


def test_the_stop_of_pieces_laid_anew_is_the_least_that_is_trusted(warned: LoomForecast) -> None:
    """The length is reached with the trust asked at the stop, and not two centimetres before it."""
    from clothwright.evidence import LENGTH_STEPS
    from clothwright.project.domain import making

    stands = standing(read_project(tabard(5)))
    assert stands.warped is not None
    job = stands.warped.job
    made = making(job.project, job.yarns, job.heddle.per_cm)
    drawn = beaten(stands).drawn
    ratio = np.exp(sum(drawn[made.unknown(step)] for step in LENGTH_STEPS))
    one = way(warned, "Lay the pieces anew")
    assert one.layout is not None
    length = one.layout["length_cm"] + 2 * 3
    trust = stands.project.trust.size.expected
    assert np.mean(one.stop_at_cm * ratio >= length) >= trust
    assert np.mean((one.stop_at_cm - 2) * ratio >= length) < trust


def test_a_lighter_beat_is_the_least_that_serves_and_never_more_than_a_tenth() -> None:
    """Worked by hand: 100.44 g needed and 96 left want 4.4 % less; 85 left would want 15 %, and a tenth leaves 5 g short."""
    served = forecast(weighed((0, 223), (60, 176), (150, 96)), by_hand=True)
    assert way(served, "Beat lighter").change.startswith("5% fewer")
    short = way(forecast(weighed((0, 212), (60, 165), (150, 85)), by_hand=True), "Beat lighter")
    assert short.change.startswith("10% fewer")
    assert round(short.spare_g) == -5


def test_a_cloth_without_pieces_may_stop_sooner() -> None:
    """Worked by hand: 85 g at 0.889 g/cm reach 95.6 cm further, to 245 cm."""
    told = forecast(weighed((0, 212), (60, 165), (150, 85)), by_hand=True)
    assert way(told, "Stop sooner").stop_at_cm == 245


def test_another_weft_in_hand_goes_on_where_the_short_one_ends() -> None:
    tree = tabard(5)
    tree["yarn"].append({**tree["yarn"][1], "name": "samphire", "balls": ["60 g"]})
    told = forecast(read_project(tree))
    assert told.verdict is not Verdict.ENOUGH
    go_on = way(told, "Go on with samphire")
    assert go_on.chance_enough is not None
    assert go_on.chance_enough > 0.99
    assert any("samphire is not in the log" in note for note in told.notes)


def test_a_band_that_is_taken_is_no_longer_needed_of_the_short_yarn() -> None:
    """Worked by hand: 113 cm to come less a band of 20 is 93 cm, at 0.889 g/cm 82.7 g of the 85 left."""
    bands = [{"begins": "243 cm", "stops": "263 cm"}]
    told = forecast(weighed((0, 212), (60, 165), (150, 85), bands=bands), by_hand=True)
    assert round(told.yarns[0].need_g.expected, 1) == 82.7
    assert round(told.yarns[0].spare_g.expected, 1) == 2.3
    assert told.bands == ((243, 263),)
    assert any("From 243 cm to 263 cm in another yarn" in note for note in told.notes)
    assert forecast(weighed((0, 212), (60, 165), (150, 85), bands=bands)).verdict is not Verdict.NOT_ENOUGH


def test_a_yarn_of_a_band_is_reckoned_for_its_band_alone() -> None:
    tree = {
        "on_loom": {"to_weave": "263 cm", "bands": [{"begins": "200 cm", "stops": "263 cm", "yarn": "b"}]},
        "log": [
            {"woven": "0 cm", "weft_left": {"a": "200 g", "b": "90 g"}},
            {"woven": "200 cm", "weft_left": {"a": "20 g", "b": "90 g"}},
            {"woven": "230 cm", "weft_left": {"b": "60 g"}},
        ],
    }
    a, b = forecast(read_project(tree), by_hand=True).yarns
    assert a.need_g.expected == 0
    assert b.need_g.expected == pytest.approx(33.0)


def test_another_yarn_is_told_where_this_one_is_woven_and_not_where_a_band_is_already() -> None:
    """Worked by hand: of 113 cm to come the last 30 are a band; 83 cm at 0.889 g/cm want 73.8 g of 60, so 15.5 cm of them."""
    bands = [{"begins": "233 cm", "stops": "263 cm", "yarn": "other"}]
    told = forecast(weighed((0, 212), (60, 165), (150, 60 + 25), bands=bands), by_hand=True)
    assert round(told.yarns[0].need_g.expected, 1) == 73.8
    short = forecast(weighed((0, 187), (60, 140), (150, 60), bands=bands), by_hand=True)
    one = way(short, "Another yarn over the last")
    assert one.what == "Another yarn over the last 20 cm before 233 cm"
    assert one.bands == ((213, 233),)


def test_a_stretch_under_two_bands_is_counted_once() -> None:
    """Worked by hand: 233 to 263 and 243 to 253 cover 30 cm; 83 cm at 0.889 g/cm are 73.8 g."""
    bands = [{"begins": "233 cm", "stops": "263 cm"}, {"begins": "243 cm", "stops": "253 cm"}]
    told = forecast(weighed((0, 212), (60, 165), (150, 85), bands=bands), by_hand=True)
    assert round(told.yarns[0].need_g.expected, 1) == 73.8


def test_a_stop_line_says_which_yarn_to_start_where_and_for_what(warned: LoomForecast) -> None:
    """A band within what does not show comes before others; it begins beyond the mark.

    By hand: 47 ÷ 60 g/cm and a twentieth over, times the 133 cm from 130 to 263 cm, is 109.4 g.
    """
    for line in warned.stop_lines:
        assert line.then == "start the other yarn"
        assert line.pieces == ("front facing",)
        assert line.begins_at_cm is not None
        assert line.begins_at_cm >= line.at_cm
    hand = forecast(weighed((0, 212), (60, 165)), by_hand=True)
    first = hand.stop_lines[0]
    assert (first.at_cm, first.grams) == (130, 110)
    assert all(line.begins_at_cm is None or line.begins_at_cm >= line.at_cm for line in hand.stop_lines)


def test_pieces_that_reach_beyond_the_stop_are_told_of() -> None:
    told = forecast(read_project(tabard(5, to_weave="190 cm")), ways_out=False)
    assert any("190 cm are to be woven" in one for one in told.asked)
    assert not any(
        "are to be woven: search" in note for note in forecast(read_project(tabard(5)), ways_out=False).notes
    )
