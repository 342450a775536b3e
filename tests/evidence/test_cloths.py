"""What samples tell of a cloth."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from cloths_for_tests import FORECASTS, PLANNED, after, finished_length, finished_width, spread, square
from hypothesis import given
from hypothesis import strategies as st
from strategies import cloths, makings, samples_of

from clothwright.cloth import structures
from clothwright.evidence import (
    EDGE,
    STEPS,
    Making,
    Step,
    believed_before,
    joint,
    measured_rows,
    sample_unknowns,
    table,
)


@given(cloths())
def test_belief_before_measuring_is_a_covariance(makings: list[Making]) -> None:
    """Of any cloths together: symmetric, positive definite, eight unknowns each and one for the edge."""
    belief = believed_before(makings)
    assert len(belief.names) == len(set(belief.names)) == len(STEPS) * len(makings) + 1
    assert np.array_equal(belief.covariance, belief.covariance.T)
    scale = np.sqrt(np.diag(belief.covariance))
    assert np.linalg.eigvalsh(belief.covariance / np.outer(scale, scale)).min() > 1e-4
    assert np.all(np.isfinite(belief.mean))


@given(makings("cloth"), makings("other"))
def test_a_cloth_is_believed_alike_whatever_else_is_known_of(one: Making, other: Making) -> None:
    """Another cloth beside it changes nothing before either is measured."""
    alone, beside = believed_before([one]), believed_before([other, one])
    names = [one.unknown(step) for step in STEPS]
    assert alone.kept(names).mean == pytest.approx(beside.kept(names).mean, rel=1e-12)
    assert alone.kept(names).covariance == pytest.approx(beside.kept(names).covariance, rel=1e-12)


@given(st.data(), cloths(most=3))
def test_samples_never_widen_any_forecast_of_any_cloth(data: st.DataObject, makings: list[Making]) -> None:
    """Whatever was measured, of whatever cloth, no sum of the unknowns becomes less sure."""
    samples = [data.draw(samples_of(making)) for making in makings[1:]]
    before = joint([believed_before(makings), *(sample_unknowns(one) for one in samples)])
    belief = before
    weights = data.draw(st.lists(st.floats(-2, 2), min_size=len(STEPS), max_size=len(STEPS)))
    forecast = {makings[0].unknown(step): weight for step, weight in zip(STEPS, weights, strict=True)} | {EDGE: 0.02}
    for sample in samples:
        for row in measured_rows(sample):
            narrower = belief.conditioned([row])
            assert spread(narrower, forecast) <= spread(belief, forecast) * (1 + 1e-7) + 1e-9
            belief = narrower


def test_a_washed_square_narrows_the_finished_width_by_two_fifths() -> None:
    """20 cm of the same yarn, heddle and finish leave at most 60 % of the spread, for width and length."""
    before = believed_before([PLANNED])
    for what in (finished_width(), finished_length()):
        assert spread(after(square()), what) <= 0.6 * spread(before, what)


@pytest.mark.parametrize(
    "otherwise",
    [
        {"ends_per_cm": 4.0},
        {"finish": "machine wash, fulled"},
        {"finish": "hand wash, pressed damp"},
        {"structure": "twill 2/2"},
        {"warp": "moss", "weft": "moss"},
        {"fibre": "cotton"},
    ],
    ids=lambda change: ", ".join(change),
)
def test_a_sample_made_otherwise_tells_less(otherwise: dict[str, object]) -> None:
    """Another heddle, finish, structure, yarn or fibre: still evidence, less of it, never none."""
    like, unlike = after(square()), after(square(of=replace(PLANNED, **otherwise)))
    before = believed_before([PLANNED])
    for what in FORECASTS.values():
        assert spread(like, what) < spread(unlike, what) < spread(before, what)


def test_a_second_square_narrows_further() -> None:
    """Two samples tell more than one, and one of them more than none."""
    one, two = after(square("first")), after(square("first"), square("second"))
    for what in FORECASTS.values():
        assert spread(two, what) < spread(one, what)


def test_a_wider_sample_tells_more_of_a_wide_cloth() -> None:
    """The edge takes its centimetres whatever the width, so a narrow strip carries less far."""
    spreads = []
    for width in (8.0, 12.0, 20.0, 30.0, 45.0):
        strip = square(width_in_heddle=width, width_finished=width * 0.91)
        spreads.append(spread(after(strip), finished_width()))
    assert spreads == sorted(spreads, reverse=True)
    assert spreads[0] > 1.15 * spreads[2]


def test_the_forecast_moves_towards_the_sample() -> None:
    """A square that shrank little makes a wider cloth expected, one that shrank much a narrower one."""
    expected = [
        after(square(width_finished=width)).expected(finished_width())[0] for width in (17.0, 17.6, 18.2, 18.8, 19.2)
    ]
    assert expected == sorted(expected)
    assert math.exp(expected[2]) == pytest.approx(18.2 / 20, abs=0.02)


@pytest.mark.parametrize("slip", [0.75, 1.3])
@pytest.mark.parametrize(
    ("field", "what"), [("width_finished", "finished width"), ("length_finished", "finished length")]
)
def test_a_tape_misread_by_a_quarter_is_questioned_and_kept(slip: float, field: str, what: str) -> None:
    """The slip is named, pulls the forecast its way, and pulls no further than three spreads may."""
    right = after(square(width_on_loom=19.0, length_off_loom=19.0))
    true_size = {"width_finished": 18.2, "length_finished": 17.9}[field]
    misread = after(square(width_on_loom=19.0, length_off_loom=19.0, **{field: true_size * slip}))
    assert not right.questioned
    assert any(what in one.what for one in misread.questioned)
    moved = misread.expected(FORECASTS[what])[0] - right.expected(FORECASTS[what])[0]
    assert 0 < moved * (1 if slip > 1 else -1) < 0.75 * abs(math.log(slip))
    assert spread(misread, FORECASTS[what]) > spread(right, FORECASTS[what])


def test_a_cloth_of_fewer_crossings_takes_up_less() -> None:
    """Plain takes up most and satin least (M. Y. Ali and M. G. Robbani, BUFT J., 80 cloths), other things equal."""
    crossings = {
        Step.TAKE_UP: lambda one: one.warp_crossing_share,
        Step.PICK_LENGTH: lambda one: one.crossing_share,
    }
    for step, sign in ((Step.TAKE_UP, -1), (Step.PICK_LENGTH, 1)):
        made = [replace(PLANNED, structure=one.name) for one in sorted(structures(), key=crossings[step])]
        means = [sign * believed_before([one]).expected({one.unknown(step): 1.0})[0] for one in made]
        assert means == sorted(means)
        assert means[0] < means[-1]


def test_picks_counted_on_finished_cloth_are_carried_back_to_the_loom() -> None:
    """3.4 picks per finished cm of cloth that lost a tenth of its length were about 3.06 on the loom."""
    lengths = {"length_on_loom": 200.0, "length_finished": 180.0, "warp_used": 206.0}
    finished = square(picks_count=340.0, picks_over=100.0, picks_where="finished", **lengths)
    picks = after(finished).expected({finished.making.unknown(Step.PICKS): 1.0})[0]
    assert math.exp(picks) == pytest.approx(3.06, rel=0.02)


def test_weft_used_tells_the_yarn_in_a_pick() -> None:
    """60 picks of 21 cm on 20 cm in the heddle use 12.6 m; then a pick takes 1.05 of the width in the heddle."""
    measured = square(picks_count=60.0, picks_over=20.0, weft_used_m=12.6)
    pick = after(measured).expected({measured.making.unknown(Step.PICK_LENGTH): 1.0})[0]
    before = believed_before([PLANNED]).expected({PLANNED.unknown(Step.PICK_LENGTH): 1.0})
    assert abs(pick - math.log(1.05)) < 0.35 * abs(before[0] - math.log(1.05))


def test_shares_of_the_spread_make_a_whole() -> None:
    """What cloths share and what is each one's own add up to the spread between cloths."""
    shared = {name: value for name, value in table()["shared"].items() if name != "source"}
    assert sum(shared.values()) == pytest.approx(1.0)


def test_every_row_of_the_prior_names_its_source() -> None:
    """No number of the table is without a source, or says that it has none."""
    rows = [*table()["ratio"], *table()["correlation"]]
    rows += [table()[part] for part in ("picks", "pick_length", "relative_sett", "edge", "waste", "error")]
    assert all(row["source"] for row in [*rows, *table()["yarn"].values()])
