"""Everything measured before in one belief, against the dense belief and an independent sampler."""

from __future__ import annotations

from dataclasses import replace

import emcee
import numpy as np
import pytest
from cloths_for_tests import PLANNED, finished_length, finished_width, spread, square
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats
from strategies import cloths, samples_of

from clothwright.evidence import (
    STEPS,
    Belief,
    History,
    Making,
    Past,
    SampleMeasured,
    Step,
    believed_before,
    joint,
    measured_rows,
    nearest,
    sample_unknowns,
)

PROJECT = {"width_in_heddle": 50.0, "width_finished": 44.0, "warp_used": 240.0, "length_finished": 205.0}


def written_out(planned: list[Making], past: list[SampleMeasured]) -> Belief:
    """The dense belief of every cloth, conditioned on every row at once."""
    before = believed_before([*planned, *(one.making for one in past)])
    every = joint([before, *(sample_unknowns(one) for one in past)])
    return every.conditioned([row for one in past for row in measured_rows(one)])


@settings(max_examples=25, deadline=None)
@given(st.data(), cloths(most=6))
def test_the_past_tells_what_the_dense_belief_tells(data: st.DataObject, makings: list[Making]) -> None:
    """Mean and covariance of the planned cloth and the edge agree, questioned rows and all."""
    past = [data.draw(samples_of(making)) for making in makings]
    planned = replace(makings[0], key="planned")
    ours, theirs = Past(tuple(past)).belief([planned]), written_out([planned], past)
    kept = theirs.kept(ours.names)
    assert ours.mean == pytest.approx(kept.mean, rel=1e-7, abs=1e-8)
    assert ours.covariance == pytest.approx(kept.covariance, rel=1e-6, abs=1e-9)
    assert [one.what for one in Past(tuple(past)).questioned] == [one.what for one in theirs.questioned]


@settings(max_examples=20, deadline=None)
@given(st.data(), cloths(most=5))
def test_the_first_of_a_past_are_a_past_of_their_own(data: st.DataObject, makings: list[Making]) -> None:
    """A forecast from the cloths before one does not know of those after it."""
    past = [data.draw(samples_of(making)) for making in makings]
    count = data.draw(st.integers(0, len(past)))
    planned = replace(makings[-1], key="planned")
    of_all = Past(tuple(past), looking_back=False).belief([planned], after=count)
    alone = Past(tuple(past[:count]), looking_back=False).belief([planned])
    assert of_all.mean == pytest.approx(alone.mean, rel=1e-7, abs=1e-8)
    assert of_all.covariance == pytest.approx(alone.covariance, rel=1e-6, abs=1e-9)


def test_an_independent_sampler_finds_the_same_belief() -> None:
    """emcee's ensemble sampler, given only the prior's density and the rows', agrees on finished width and length.

    Means within 6 % of a spread, spreads within 8 %: what 64 walkers of 3,000 steps tell of 19 unknowns.
    """
    past = [square("square", picks_count=None), square("project", **PROJECT, length_on_loom=None, picks_count=None)]
    before = joint([believed_before([PLANNED, *(one.making for one in past)]), *(sample_unknowns(one) for one in past)])
    names = [name for name in before.names if not name.endswith(("picks", "pick_length"))]
    before = before.kept(names)
    rows = [row for one in past for row in measured_rows(one)]
    weights, values, errors = (
        np.array([before.row(row.weights) for row in rows]),
        [r.value for r in rows],
        [r.sd for r in rows],
    )
    prior = stats.multivariate_normal(before.mean, before.covariance, allow_singular=False)

    def log_density(at: np.ndarray) -> np.ndarray:
        return np.asarray(prior.logpdf(at) + stats.norm.logpdf(values, at @ weights.T, errors).sum(axis=1))

    exact = written_out([PLANNED], past)
    rng = np.random.RandomState(7)
    sampler = emcee.EnsembleSampler(64, len(names), log_density, vectorize=True, moves=emcee.moves.DEMove())
    sampler.random_state = rng.get_state()
    start = exact.kept(names)
    sampler.run_mcmc(rng.multivariate_normal(start.mean, 2 * start.covariance, 64), 6000)
    drawn = sampler.get_chain(discard=2000, flat=True)
    for what in (finished_width(), finished_length()):
        told = drawn @ before.row(what)
        mean, sd = exact.expected(what)
        assert told.mean() == pytest.approx(mean, abs=0.06 * sd)
        assert told.std() == pytest.approx(sd, rel=0.08)


def test_three_past_projects_narrow_the_width_by_three_fifths() -> None:
    """Of the same yarn, loom and finish, each 50 cm in the heddle: at most 40 % of the spread is left."""
    past = tuple(square(f"project {n}", **PROJECT) for n in range(3))
    before, after = believed_before([PLANNED]), Past(past).belief([PLANNED])
    for what in (finished_width(), finished_length()):
        assert spread(after, what) <= 0.4 * spread(before, what)


@pytest.mark.parametrize(
    "otherwise", [{"loom": "table loom"}, {"warp": "moss", "weft": "moss"}, {"finish": "wash by hand"}]
)
def test_a_past_of_another_making_tells_less_and_still_something(otherwise: dict[str, str]) -> None:
    """Another loom, another yarn, another recipe of the same kind: less known than from the same, more than from none."""
    same = Past((square("project", **PROJECT),)).belief([PLANNED])
    other = Past((square("project", of=replace(PLANNED, **otherwise), **PROJECT),)).belief([PLANNED])
    assert (
        spread(same, finished_width())
        < spread(other, finished_width())
        < spread(believed_before([PLANNED]), finished_width())
    )


def test_the_nearest_cloths_are_those_with_most_in_common() -> None:
    """Of cloths of two yarns those of the planned yarn are taken, of equals the later ones, in the order woven."""
    of_yarn = [replace(PLANNED, key=str(n), warp=yarn, weft=yarn) for n, yarn in enumerate(["moss", "grey"] * 3)]
    assert nearest(of_yarn, PLANNED, 2) == [3, 5]
    assert nearest(of_yarn, PLANNED, 4) == [1, 3, 4, 5]
    assert nearest(of_yarn, PLANNED, 9) == list(range(6))


def test_a_history_of_very_many_is_as_its_nearest() -> None:
    """The belief is that of the cloths with most in common, and never surer than with all of them."""
    past = tuple(
        square(str(n), of=replace(PLANNED, warp=f"yarn {n % 7}", weft=f"yarn {n % 7}"), **PROJECT) for n in range(40)
    )
    history = History(past)
    few, every = history.past(PLANNED, 10).belief([PLANNED]), history.past(PLANNED).belief([PLANNED])
    assert len(history.past(PLANNED, 10).cloths) == 10
    assert history.past(PLANNED, 10) is history.past(PLANNED, 10)
    assert spread(every, finished_width()) <= spread(few, finished_width()) <= 1.15 * spread(every, finished_width())


def test_a_past_cloth_is_measured_by_itself() -> None:
    """Weft by weight needs a yarn's metres per gram, which a past cloth does not carry: it gives metres."""
    weighed = square("project", weft_used_g=90.0, weft_grist_unknown="yarn grey: grist")
    with pytest.raises(KeyError, match="yarn grey: grist"):
        Past((weighed,)).belief([PLANNED])
    by_metres = Past((square("project", weft_used_m=5.9),)).belief([PLANNED])
    crimp = {PLANNED.unknown(Step.PICK_LENGTH): 1.0}
    assert spread(by_metres, crimp) < spread(believed_before([PLANNED]), crimp)


def test_two_cloths_of_one_key_are_our_fault() -> None:
    with pytest.raises(ValueError, match="one key"):
        Past((square("project"), square("project")))


def test_no_past_is_the_belief_before() -> None:
    none, before = Past().belief([PLANNED]), believed_before([PLANNED])
    assert none.names == before.names == (*(PLANNED.unknown(step) for step in STEPS), "edge")
    assert np.array_equal(none.covariance, before.covariance)
