"""A project's weft order: its sums by hand, its joins, its rules, and every total added up again."""

from __future__ import annotations

import json
import tomllib
from collections import Counter
from itertools import groupby
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scipy.stats import chi2_contingency

from clothwright.planning import (
    ColourPlan,
    WeftAnswer,
    colours_of_cloth,
    plan,
    plan_colours,
    planned_warp,
    wanted_warp,
    with_weft,
)
from clothwright.project import ProblemsFound, Project, read_project

STRANDLINE = Path(__file__).parents[3] / "examples" / "strandline-wrap.toml"

#: 40 ends of 300 cm in pairs, and 200 picks of 50 cm; balls of metres known to 1 %.
WARP = {"ends": 40, "warp_length": "300 cm"}
WEFT = {"picks": 200, "pick_length": "50 cm"}


def project_of(
    weft: dict[str, Any] | None = None, *, yarns: dict[str, tuple[str, list[str]]] | None = None, **colours: Any
) -> Project:
    """A small project: a warp yarn, and weft yarns of 70 m and 60 m where no others are given; 2 picks per cm."""
    told = {"wrack": ("warp", ["200 m"]), "kelp": ("weft", ["70 m"]), "shell": ("weft", ["60 m"])} | (yarns or {})
    colour = {"wrack": "#222222", "kelp": "#335533", "shell": "#eeeeee", "dulse": "#7a2e3a"}
    return read_project(
        {
            "yarn": [
                {
                    "name": name,
                    "use": use,
                    "colour": colour[name],
                    "made": "mill",
                    "grist": "4 m/g",
                    "balls": [{"length": one} for one in balls],
                }
                for name, (use, balls) in told.items()
            ],
            "loom": {"warping": "direct"},
            "cloth": {"picks": "2/cm", "picks_counted": "on loom"},
            "colours": WARP | colours | {"weft": WEFT | (weft or {})},
        }
    )


def colours_of(project: Project, **how: Any) -> ColourPlan:
    warp = wanted_warp(project)
    assert warp is not None
    return with_weft(project, plan_colours(project, warp), None, **how)


def weft_of(project: Project, **how: Any) -> WeftAnswer:
    answer = colours_of(project, **how).weft
    assert answer is not None
    return answer


def runs(answer: WeftAnswer) -> list[tuple[str, int, int]]:
    return [(run.yarn, run.ball, run.picks) for run in answer.order]


def test_one_yarn_after_another_is_joined_where_the_first_runs_out() -> None:
    """By hand: (70 − 0.06) ÷ 0.5 = 139.9 picks, 138 in pairs; shell from pick 139, 69 cm from the first at 2 per cm."""
    answer = weft_of(project_of())
    assert runs(answer) == [("kelp", 1, 138), ("shell", 1, 62)]
    (join,) = answer.joins
    assert (join.pick, join.yarn, join.next_yarn, join.on_loom_cm) == (138, "kelp", "shell", 69.0)
    assert answer.order[1].begins_on_loom_cm == 69.0
    low, high = join.between_on_loom_cm or (0.0, 0.0)
    assert low < 69.0 < high
    assert high - low < 10


def test_yarns_stand_in_the_order_they_are_named() -> None:
    answer = weft_of(project_of({"yarns": ["shell", "kelp"]}))
    assert [run.yarn for run in answer.order] == ["shell", "kelp"]


def test_what_is_missing_is_told_in_picks_and_the_chance_is_small() -> None:
    """By hand: kelp (70 − 0.06) ÷ 0.8 = 87.4, 86 in pairs; shell 114 picks and two tails, 91.26 m of 60: 39.1 picks, so 40."""
    answer = weft_of(project_of({"pick_length": "80 cm"}))
    assert answer.chance_balls_last < 0.01
    assert sum(answer.short_picks.values()) == 40
    assert any("40 picks short" in note for note in answer.notes)


def test_the_warp_leaves_the_weft_what_it_does_not_take() -> None:
    """Wrack has 200 m, the warp takes 20 pairs of 6 m; a share kept puts the 80 m left after the yarns of the weft."""
    answer = weft_of(project_of({"pick_length": "90 cm"}, keep_for_weft={"wrack": "35 %"}))
    (wrack,) = [line for line in answer.balls if line.yarn == "wrack"]
    assert wrack.have_m.expected == pytest.approx(80.0, rel=0.005)
    assert answer.order[-1].yarn == "wrack"
    assert answer.chance_balls_last > 0.95


def test_leavings_of_the_warp_are_taken_only_where_asked() -> None:
    assert "wrack" not in {line.yarn for line in weft_of(project_of()).balls}
    assert "wrack" in {line.yarn for line in weft_of(project_of({"warp_leavings": True})).balls}


def test_two_skeins_of_one_yarn_go_turn_about() -> None:
    """Two picks of each, until the smaller has run out; the join says which goes on."""
    answer = weft_of(project_of({"turn_about": ["kelp"], "picks": 40}, yarns={"kelp": ("weft", ["6 m", "40 m"])}))
    assert answer.lies == "turn about"
    assert runs(answer)[:4] == [("kelp", 1, 2), ("kelp", 2, 2), ("kelp", 1, 2), ("kelp", 2, 2)]
    assert [(join.ball, join.next_ball) for join in answer.joins] == [(1, 2)]
    assert {run.after for run in answer.order} == {"carry", "join", "end"}


def test_two_yarns_turn_about_change_at_one_side_or_at_either() -> None:
    both = weft_of(project_of({"turn_about": ["kelp", "shell"], "picks": 40}))
    assert runs(both)[:2] == [("kelp", 1, 2), ("shell", 1, 2)]
    either = weft_of(project_of({"turn_about": ["kelp", "shell"], "picks": 40, "colours_change": "at either side"}))
    assert runs(either)[:2] == [("kelp", 1, 1), ("shell", 1, 1)]


def test_an_order_drawn_at_random_keeps_its_rules() -> None:
    """Bands of 4 to 12 picks, kelp not first and not last; the runs are looked at one by one."""
    answer = weft_of(project_of({"least_together": 4, "longest_run": 12, "not_at_ends": ["kelp"]}))
    assert answer.drawn
    threads = [run.yarn for run in answer.order for _ in range(run.picks)]
    lengths = [len(list(group)) for _, group in groupby(threads)]
    assert set(lengths) <= {4, 8, 12}
    assert threads[0] == threads[-1] == "shell"
    assert answer.as_json()["rules_kept"]
    again = weft_of(project_of({"least_together": 4, "longest_run": 12, "not_at_ends": ["kelp"]}))
    assert runs(again) == runs(answer)


def test_no_pick_is_nearer_to_one_yarn_than_to_another() -> None:
    """300 seeds without rules but bands of 10: yarn by place, by a chi-squared test (scipy)."""
    project = project_of({"lies": "at random", "least_together": 10})
    orders = [weft_of(project, seed=seed) for seed in range(300)]
    threads = [[run.yarn for run in answer.order for _ in range(run.picks)][::10] for answer in orders]
    by_place = [[sum(one[place] == yarn for one in threads) for place in range(20)] for yarn in ("kelp", "shell")]
    assert chi2_contingency(by_place).pvalue > 1e-4


def test_rules_of_the_weft_that_clash_are_named_and_no_others() -> None:
    """Kelp and shell may not touch, shell is used up, and kelp alone does not reach."""
    with pytest.raises(ProblemsFound) as caught:
        weft_of(project_of({"not_side_by_side": [["kelp", "shell"]], "use_up": ["shell"], "not_at_ends": []}))
    (problem,) = caught.value.problems
    assert problem.path == ("colours", "weft")
    assert "kelp and shell do not lie side by side" in problem.sentence


def test_held_picks_stay_when_the_rest_is_drawn_anew() -> None:
    """The first 20 picks are held as shell; another seed leaves them and moves others."""
    rules = {"least_together": 10, "lies": "at random"}
    first = weft_of(project_of(rules), seed=3).as_typed()
    order = [{"yarn": "shell", "picks": 20, "held": True}, {"yarn": "kelp", "picks": 180}]
    again = weft_of(project_of(rules | {"order": order}), seed=4, redraw=True)
    assert again.as_typed()[0] == {"yarn": "shell", "picks": 20, "held": True}
    assert not any(run.get("held") for run in again.as_typed()[1:])
    assert again.as_typed() != first


def test_an_order_kept_stands_and_says_what_it_breaks_and_where_it_is_made_to_fit() -> None:
    """190 picks kept and 200 woven: the last run is ten longer; 150 of kelp together break a rule of at most 100."""
    order = [{"yarn": "kelp", "picks": 150}, {"yarn": "shell", "picks": 40}]
    answer = weft_of(project_of({"order": order, "longest_run": 100}))
    assert [picks for _, picks, _ in answer.woven_from] == [150, 50]
    assert any("190 picks and the weaving takes 200" in note for note in answer.notes)
    assert answer.broken
    assert not answer.as_json()["rules_kept"]


def test_rules_that_are_not_used_are_told() -> None:
    answer = weft_of(project_of({"lies": "one after another", "longest_run": 10}))
    assert any("rules of an order drawn at random are not used" in note for note in answer.notes)


@pytest.mark.parametrize(
    ("weft", "where", "words"),
    [
        ({"yarns": ["kelpie"]}, "yarns", "kelpie"),
        ({"use_up": ["kelpie"]}, "use_up", "kelpie"),
        ({"longest_run": 2, "least_together": 6}, "longest_run", "6 picks of a yarn come together at least"),
        ({"stripes": [{"yarn": "kelp", "length": "4 cm"}], "pick_length": None}, "picks", "say"),
        ({"turn_about": ["wrack"]}, "turn_about", "none of it is for the weft"),
        ({"order": [{"yarn": "wrack", "picks": 10}]}, "order", "none of it is for the weft"),
    ],
)
def test_a_rule_of_the_weft_that_cannot_be_read_is_one_sentence_at_its_place(
    weft: dict[str, Any], where: str, words: str
) -> None:
    if where == "picks":
        project = project_of({key: value for key, value in weft.items() if value is not None})
        assert colours_of(project).weft is None
        return
    with pytest.raises(ProblemsFound) as caught:
        weft_of(project_of(weft))
    assert any(where in problem.where and words in problem.sentence for problem in caught.value.problems)


def checked(**weft: Any) -> Project:
    """A cloth of 40 × 150 cm, finished to woven 1 to 1.14, 4 picks per cm; cream and slate."""
    return read_project(
        {
            "yarn": [
                {"name": name, "made": "mill", "grist": "16.9 m/g", "balls": ["100 g"]} for name in ("cream", "slate")
            ],
            "loom": {"heddles": ["60/10 cm"], "weaving_width": "60 cm"},
            "cloth": {"picks": "4/cm", "picks_counted": "on loom", "length_ratio": f"{100 / 1.14} %"},
            "want": {"width": "40 cm", "length": "150 cm"},
            "colours": {
                "stripes": [{"yarn": "cream", "width": "4 cm"}, {"yarn": "slate", "width": "4 cm"}],
                "weft": weft,
            },
        }
    )


def planned_weft_of(project: Project) -> WeftAnswer:
    found = plan(project)
    answer = with_weft(project, plan_colours(project, planned_warp(project, found), drawn_from=found.drawn), found).weft
    assert answer is not None
    return answer


def test_a_check_of_8_cm_is_36_picks_and_nineteen_repeats_are_150_cm() -> None:
    """By hand: 8 × 1.14 × 4 = 36.48, 36 when even; 36 ÷ 4.56 = 7.89 cm; 19 × 36 ÷ 4.56 = 150.0 cm."""
    answer = planned_weft_of(checked(stripes=[{"yarn": "cream", "length": "8 cm"}]))
    (stripe,) = answer.stripes
    assert round(stripe.exact_picks, 1) == 36.5
    assert (stripe.picks, round(stripe.finished_cm, 2)) == (36, 7.89)
    assert answer.repeat is not None
    assert (answer.repeat.number, round(answer.repeat.all_finish_cm, 1)) == (19, 150.0)


def test_a_weft_as_the_warp_makes_a_check_of_the_same_stripes() -> None:
    """4 cm of each: 18.24 picks, woven as 18; cream and slate by turns, even, as the warp."""
    answer = planned_weft_of(checked(as_the_warp=True))
    assert [(one.yarn, one.picks) for one in answer.stripes] == [("cream", 18), ("slate", 18)]
    assert answer.even
    assert {run.picks for run in answer.order[:-1]} == {18}


def test_a_weft_follows_a_warp_that_is_drawn() -> None:
    """Without stripes in the warp its runs are the repeat, each as long as it is wide when finished."""
    project = checked(as_the_warp=True)
    assert project.colours is not None
    drawn = project.model_copy(update={"colours": project.colours.model_copy(update={"stripes": [], "longest_run": 6})})
    found = plan(drawn)
    colours = plan_colours(drawn, planned_warp(drawn, found), drawn_from=found.drawn)
    weft = with_weft(drawn, colours, found).weft
    assert weft is not None
    assert [one.yarn for one in weft.stripes] == [yarn for yarn, _ in groupby(run.yarn for run in colours.order)]
    cm = found.cloth.finished_width_cm.expected / found.warp.ends
    assert weft.stripes[0].drawn_cm == pytest.approx(colours.order[0].ends * cm)


def test_an_uneven_repeat_asks_for_pieces_one_way_up() -> None:
    """Three unlike stripes have no mirror."""
    lengths = {"cream": "4 cm", "slate": "2 cm"}
    stripes = [{"yarn": yarn, "length": cm} for yarn, cm in lengths.items()]
    even = planned_weft_of(checked(stripes=stripes))
    assert even.even
    uneven = planned_weft_of(
        checked(stripes=[*stripes, {"yarn": "cream", "length": "1 cm"}, {"yarn": "slate", "length": "5 cm"}])
    )
    assert not uneven.even
    assert any("one way up" in note for note in uneven.notes)


def test_the_colours_of_the_cloth_are_those_of_both_orders() -> None:
    """Thread by thread: the weft's picks as the order tells them."""
    project = checked(as_the_warp=True)
    found = plan(project)
    cloth, weft = colours_of_cloth(project, found), planned_weft_of(project)
    assert cloth.weft == tuple(run.yarn for run in weft.order for _ in range(run.picks))
    assert len(cloth.warp) == found.warp.ends


def test_the_example_says_where_each_skein_ends_and_which_to_keep() -> None:
    """Skeins of kelp and oyster for both uses, a small one of sea pink for the weft; every pick is of one of them."""
    project = read_project(tomllib.loads(STRANDLINE.read_text("utf-8")))
    answer = planned_weft_of(project)
    assert {run.yarn for run in answer.order} <= {"kelp fell", "sea pink", "oyster"}
    assert answer.joins
    assert answer.keeping is not None
    assert answer.chance_balls_last > 0.9


@st.composite
def wefts(draw: st.DrawFn) -> Project:
    """Any small weft: some yarns of some balls, some way to lie."""
    yarns = {
        name: ("weft", [f"{draw(st.integers(5, 60))} m" for _ in range(draw(st.integers(1, 3)))])
        for name in ("kelp", "shell", "dulse")[: draw(st.integers(1, 3))]
    }
    way = draw(
        st.sampled_from(
            [
                {},
                {"lies": "at random"},
                {"least_together": 4},
                {"turn_about": ["kelp"]},
                {"lies": "turn about"},
                {"light_and_dark": "dark to light"},
                {"colours_change": "at either side"},
            ]
        )
    )
    project = project_of(way | {"picks": draw(st.integers(1, 90))}, yarns=yarns)
    return project.model_copy(
        update={"yarn": [part for part in project.yarn if part.name in yarns or part.name == "wrack"]}
    )


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(wefts())
def test_every_total_of_a_weft_is_added_up_again(project: Project) -> None:
    """A separate adder over the plain answer: picks run by run, ball by ball, metres, places, joins."""
    try:
        answer = json.loads(json.dumps(weft_of(project).as_json()))
    except ProblemsFound as wrong:
        answer = {"refused": wrong.problems[0].sentence}
    if "refused" in answer:
        assert "too few" in answer["refused"]
        return
    order, pick_m = answer["order"], answer["metres_of_a_pick"]
    at = 1
    used: Counter[tuple[str, int]] = Counter()
    for run in order:
        assert (run["first"], run["last"]) == (at, at + run["picks"] - 1)
        assert run["begins_on_loom_cm"] == pytest.approx((at - 1) / 2.0)
        used[run["yarn"], run["ball"]] += run["picks"]
        at += run["picks"]
    assert 0 <= at - 1 - answer["picks"] < answer["picks_in_a_turn"]
    left: Counter[str] = Counter()
    for line in answer["balls"]:
        key = line["yarn"], line["number"]
        assert line["picks"] == used[key]
        tails = line["need_m"] - used[key] * pick_m
        assert tails / 0.03 == pytest.approx(round(tails / 0.03), abs=1e-3)
        assert line["left_m"] == pytest.approx(line["have_m"]["expected"] - line["need_m"], abs=0.02)
        left[line["yarn"]] += line["left_m"]
    assert answer["left_m"] == pytest.approx(dict(left), abs=1e-3)
    for join in answer["joins"]:
        before = next(run for run in order if run["last"] == join["pick"])
        after = next(run for run in order if run["first"] == join["pick"] + 1)
        assert (before["yarn"], before["ball"]) == (join["yarn"], join["ball"])
        assert (after["yarn"], after["ball"]) == (join["next_yarn"], join["next_ball"])
