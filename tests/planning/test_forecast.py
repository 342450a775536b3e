"""Forecast plans keep what they promise."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from planning.asking import changed, planned, tree

from clothwright.evidence import EDGE, LENGTH_STEPS, WIDTH_STEPS, Step
from clothwright.planning import Verdict
from clothwright.planning.forecast import WASTE, measured_belief
from clothwright.planning.job import job_of
from clothwright.project import ProblemsFound, read_project

SLATE = tree("slate-tide-cloth")
ROWS = tree("rows-of-rectangles")
UNITS = {"cm": 1.0, "mm": 0.1, "m": 100.0, "in": 2.54, "yd": 91.44, "ft": 30.48}


@pytest.mark.parametrize("by_hand", [True, False])
def test_a_repeat_wider_than_the_loom_is_refused(by_hand: bool) -> None:
    """1,000 ends at 3 per cm are 333 cm; plain arithmetic."""
    wide = changed(SLATE, cloth__repeat_ends=1000, loom__weaving_width="60 cm")
    with pytest.raises(ProblemsFound, match=r"1000s, 333\.3 cm .* not one such step fits"):
        planned(wide, by_hand=by_hand)


def test_more_pieces_than_any_garment_has_are_refused_before_they_are_laid() -> None:
    """Two kinds of 150 copies are 300 in all; plain arithmetic."""
    bunting = changed(
        ROWS, pattern__piece=[{"name": name, "width": "9 cm", "length": "9 cm", "cut": 150} for name in "ab"]
    )
    with pytest.raises(ProblemsFound, match="300 pieces are to be cut; at most 200"):
        planned(bunting)


def share_large_enough(given_tree: dict, seed: int = 5) -> float:
    """Share of freshly drawn cloths, by numpy's own normal sampler, that are wide and long enough under the plan."""
    answer = planned(given_tree)
    job = job_of(read_project(given_tree), {})
    belief = measured_belief(job)
    draws = np.random.default_rng(seed).multivariate_normal(belief.mean, belief.covariance, 20_000, check_valid="warn")
    of = {name: draws[:, i] for i, name in enumerate(belief.names)}
    cloth = {step: of[f"this cloth: {step}"] for step in Step}
    heddle = answer.warp.width_in_heddle_cm
    width = heddle * np.exp(sum(cloth[step] for step in WIDTH_STEPS) + of[EDGE] / heddle)
    could = (answer.warp.length_cm - np.exp(of[WASTE])) * np.exp(cloth[Step.TAKE_UP]) - answer.warp.on_warp_sample_cm
    length = np.minimum(could, answer.weft.weave_to_cm) * np.exp(sum(cloth[step] for step in LENGTH_STEPS))
    return float(np.mean((width >= answer.cloth.asked_width_cm) & (length >= answer.cloth.asked_length_cm)))


@settings(max_examples=25, deadline=None)
@given(
    width=st.integers(150, 480),
    length=st.integers(300, 4000),
    trust=st.sampled_from([50, 66, 80, 90, 95]),
    sampled=st.booleans(),
)
def test_cloth_is_as_large_as_asked_at_the_chance_asked(width: int, length: int, trust: int, sampled: bool) -> None:
    """Cloths drawn afresh, not those the plan was made with, are wide and long enough as often as was trusted."""
    given_tree = changed(
        SLATE,
        want__width=f"{width} mm",
        want__length=f"{length} mm",
        trust={"size": f"{trust} %"},
        loom__weaving_width="90 cm",
    )
    if not sampled:
        del given_tree["sample"]
    assert planned(given_tree).chance_size >= trust / 100
    assert share_large_enough(given_tree) >= trust / 100 - 0.012


@settings(max_examples=30, deadline=None)
@given(length=st.floats(40, 500), unit=st.sampled_from(sorted(UNITS)))
def test_the_plan_does_not_depend_on_the_unit_of_a_length(length: float, unit: str) -> None:
    """A length in any unit gives the plan of the same length in cm."""
    in_cm = planned(changed(SLATE, want__length=f"{length:.6f} cm"), by_hand=True)
    in_unit = planned(changed(SLATE, want__length=f"{length / UNITS[unit]:.9f} {unit}"), by_hand=True)
    assert in_unit.warp.length_cm == pytest.approx(in_cm.warp.length_cm, abs=0.011)


def test_a_sample_narrows_the_forecast_and_saves_yarn() -> None:
    """Knowing more, the plan is as sure of its size with less yarn to spare for doubt."""
    without = changed(SLATE)
    del without["sample"]
    known, guessed = planned(SLATE).cloth.finished_width_cm, planned(without).cloth.finished_width_cm
    assert known.high / known.low < guessed.high / guessed.low


def test_more_yarn_never_lowers_the_chance() -> None:
    chances = [
        planned(changed(SLATE, yarn__0__balls__0__net=f"{grams} g")).chance_enough for grams in range(90, 180, 15)
    ]
    assert chances == sorted(chances)
    assert chances[0] < 0.05
    assert chances[-1] > 0.95


def test_the_verdict_follows_the_chance_asked() -> None:
    """Enough at the chance asked, not enough at its opposite, else too close."""
    little, middling, much = (changed(SLATE, yarn__0__balls__0__net=f"{grams} g") for grams in (80, 118, 190))
    assert [planned(one).verdict for one in (little, middling, much)] == [
        Verdict.NOT_ENOUGH,
        Verdict.TOO_CLOSE,
        Verdict.ENOUGH,
    ]


def test_a_shortfall_is_told_in_metres_grams_and_cloth_and_closing_it_is_enough() -> None:
    """With the metres said to be missing, the chance reaches the trust asked."""
    answer = planned(SLATE)
    short = answer.shortfall
    assert short is not None
    assert min(short.m, short.g, short.finished_cm) > 0
    more = {"length": f"{short.m + 1:.1f} m", "grist": {"length": "100 m", "weight": "32.0 g"}}
    topped = changed(SLATE, yarn__0__balls=[*SLATE["yarn"][0]["balls"], more])
    assert planned(topped).chance_enough >= 0.945
    assert planned(changed(SLATE, yarn__0__balls__0__net="250 g")).shortfall is None


def test_ways_out_are_real_plans_best_first() -> None:
    """The chance a way out states is the chance of the plan so changed."""
    ways = planned(SLATE).ways_out
    chances = [round(way.chance_enough, 2) for way in ways]
    assert chances == sorted(chances, reverse=True)
    bare = next(way for way in ways if way.what == "Leave out the on-warp sample")
    assert planned(changed(SLATE, cloth__on_warp_sample=None)).chance_enough == pytest.approx(
        bare.chance_enough, abs=1e-9
    )
    narrow = next(way for way in ways if way.what == "Weave the cloth narrower")
    width = narrow.change.split(" instead")[0]
    assert planned(changed(SLATE, want__width=width)).chance_enough == pytest.approx(narrow.chance_enough, abs=1e-9)


def test_a_slip_of_the_tape_is_questioned_and_kept() -> None:
    """A sample 20 % narrower than belief allows is asked about, and the plan still stands."""
    slipped = changed(SLATE, sample__0__width__finished="14 cm")
    answer = planned(slipped)
    assert any("slip of the tape" in note for note in answer.notes)
    assert answer.cloth.finished_width_cm.expected > 0


def test_yarn_for_the_warp_only_gives_whole_pairs() -> None:
    """Balls half as long again as a pair of ends give one pair each, whatever their metres add up to."""
    balls = [{"length": "10.7 m"} for _ in range(72)]
    warp = {"name": "thrift", "fibre": "wool", "use": "warp", "grist": "320 m/100 g", "balls": balls}
    weft = {"name": "weft", "fibre": "wool", "use": "weft", "grist": "320 m/100 g", "balls": ["400 g"]}
    answer = planned(changed(SLATE, yarn=[warp, weft], sample=[]))
    turn_m = 2 * answer.warp.length_cm / 100
    assert answer.warp.yarn_m.expected < 72 * 10.7
    assert 10.7 / turn_m < 2
    assert answer.verdict == Verdict.NOT_ENOUGH


def test_a_cloth_too_wide_for_the_loom_is_refused_in_one_sentence() -> None:
    wide = changed(SLATE, want__width="80 cm")
    for by_hand in (True, False):
        with pytest.raises(ProblemsFound, match="the loom weaves 60 cm"):
            planned(wide, by_hand=by_hand)


def test_everything_that_is_missing_is_asked_for_at_once() -> None:
    with pytest.raises(ProblemsFound) as found:
        planned({"yarn": [{"name": "a", "balls": ["100 g"]}]})
    said = str(found.value)
    assert "how many metres has a gram" in said
    assert "what is to be woven" in said
    assert "no heddle is given" in said


def test_a_spread_typed_with_a_measurement_is_used() -> None:
    """A sample measured with more doubt leaves more doubt in the forecast; a sharper one less."""
    spreads = []
    for typed in ("21.6 ± 0.05 cm", "21.6 ± 0.6 cm", "21.6 ± 1.5 cm"):
        one = planned(changed(SLATE, sample__0__width__finished=typed)).cloth.finished_width_cm
        spreads.append(one.high / one.low)
    assert spreads == sorted(spreads)
    assert spreads[2] > 1.02 * spreads[0]


@pytest.mark.parametrize(
    ("fibre", "said"), [("", "no fibre is given"), ("milkweed", "“milkweed” is no fibre"), ("wool", "")]
)
def test_a_fibre_nobody_reported_is_said_to_be_pooled(fibre: str, said: str) -> None:
    """What is usual for all fibres together stands in, and the plan says so; a known fibre needs no word."""
    told = [one for one in planned(changed(SLATE, yarn__0__fibre=fibre)).notes if "all fibres together" in one]
    assert bool(told) == bool(said)
    assert all(said in one for one in told)


def test_a_spread_typed_with_a_metered_ball_is_used() -> None:
    """A length metered with more doubt is a wider stock."""
    widths = []
    for typed in ("900 m", "900 ± 90 m"):
        have = planned(changed(SLATE, yarn__0__balls=[{"length": typed}], yarn__0__grist="310 m/100 g")).yarns[0].have_m
        widths.append(have.high / have.low)
    assert widths[1] > 1.1 * widths[0]


def test_a_spread_typed_with_a_take_up_is_used() -> None:
    takes = [
        planned(changed(SLATE, cloth__weft_take_up=f"{share} of width in heddle")) for share in ("5 ± 0.5 %", "5 ± 4 %")
    ]
    sharp, vague = (one.weft.yarn_m.high / one.weft.yarn_m.low for one in takes)
    assert vague > sharp


def test_a_spread_typed_with_a_decision_is_said_to_have_no_use() -> None:
    answer = planned(changed(SLATE, want__width="43 to 45 cm"))
    assert any("“43 to 45 cm” is taken as 44 cm" in note for note in answer.notes)
    assert answer.cloth.asked_width_cm == pytest.approx(44)


def test_floating_selvedges_are_two_more_ends() -> None:
    assert planned(changed(SLATE, cloth__floating_selvedges=True), by_hand=True).warp.ends == 150


def test_cloth_mass_agrees_by_threads_and_by_yarn_used() -> None:
    """Mass from threads and crimp equals yarn used over area: the requirement route and the areal route agree."""
    answer = planned(changed(SLATE, cloth__on_warp_sample=None, loom__waste="0 cm"))
    cloth, m_per_g = answer.cloth, 987.17 / 312
    area = cloth.finished_width_cm.expected * cloth.finished_length_cm.expected / 10_000
    by_yarn = (answer.warp.yarn_m.expected + answer.weft.yarn_m.expected) / m_per_g / area
    # A warp a little longer than what is woven of it hangs over: the two routes agree to that.
    assert cloth.g_per_m2.expected == pytest.approx(by_yarn, rel=0.04)


def test_the_same_project_gives_the_same_plan() -> None:
    assert planned(ROWS) == planned(ROWS)


def test_the_cloth_chosen_takes_least_yarn_of_the_staircase() -> None:
    """Of every width tried, the one of least yarn is taken; within a thousandth the narrower."""
    answer = planned(ROWS)
    chosen = next(step for step in answer.staircase if step.width_cm == answer.layout.width_cm)
    assert chosen.yarn_m <= 1.001 * min(step.yarn_m for step in answer.staircase)


def test_a_piece_that_just_fits_the_widest_cloth_is_laid_out() -> None:
    """By hand 60 cm of heddle at a ratio of 0.899 finish 53.94 cm: a piece of 53.8 fits, one of 54.1 does not."""
    piece = {"name": "panel", "length": "80 cm"}
    fits = planned(
        changed(ROWS, pattern__piece=[piece | {"width": "53.8 cm"}], cloth__width_ratio="0.899"), by_hand=True
    )
    assert fits.layout.width_cm >= 53.8
    with pytest.raises(ProblemsFound, match="panel"):
        planned(changed(ROWS, pattern__piece=[piece | {"width": "54.1 cm"}]), by_hand=True)
