"""Cores, winders, washing tests and heddle trials of a project file become what is known of the yarn."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest

from clothwright.evidence import metres_of_balls, stock_belief
from clothwright.measure import Interval
from clothwright.planning import plan
from clothwright.project import ProblemsFound, read_project
from clothwright.project.domain import lots, winders
from clothwright.yarn import Fitness, Lot, verdict

TREE: dict[str, Any] = {
    "clothwright": 1,
    "core": [{"name": "card cone", "weight": "25 g"}, {"name": "pirn", "weight": "6 to 8 g"}],
    "winder": [{"name": "niddy-noddy", "nominal": "1.5 m", "turns": 10, "measured": "14.82 m"}],
    "yarn": [
        {
            "name": "grey fell",
            "fibre": "wool",
            "state": "unwashed",
            "grist": {"length": "20 turns of the niddy-noddy", "weight": "9.2 g"},
            "balls": [
                {"gross": "486 g", "core": "card cone"},
                {"gross": "486 g", "core": "25 g"},
                {"gross": "486 g"},
                {"length": "48 turns of the niddy-noddy"},
            ],
            "wash_test": {"before": "100 m", "after": "88 m"},
            "heddle_trial": {"heddle": "40/10 cm", "hole": "sticks", "rub": "unchanged", "rub_strokes": 50},
        }
    ],
    "loom": {"heddles": ["40/10 cm"]},
    "want": {"width": "30 cm", "length": "100 cm"},
}


def changed(*path: Any, to: Any) -> dict[str, Any]:
    """The tree with the value at a path changed."""
    tree = deepcopy(TREE)
    part: Any = tree
    for step in path[:-1]:
        part = part[step]
    part[path[-1]] = to
    return tree


def lot(tree: dict[str, Any]) -> Lot:
    return lots(read_project(tree))[0]


def metres(one: Lot) -> Interval:
    return Interval.of_draws(metres_of_balls(one, stock_belief((one,)).draws()).sum(axis=0))


def sentences(tree: dict[str, Any]) -> str:
    with pytest.raises(ProblemsFound) as caught:
        lots(read_project(tree))
    return " | ".join(map(str, caught.value.problems))


def test_a_core_by_name_weighs_what_the_list_says() -> None:
    """486 g less 25 g either way; without a core it stays a band."""
    named, weighed, unknown, _ = lot(TREE).balls
    assert named == weighed
    assert named.net_g == 461
    assert unknown.core_unknown
    assert unknown.net_g == 486


def test_a_core_with_a_spread_is_known_no_better() -> None:
    """A pirn of 6 to 8 g leaves 7 g, give or take 0.6."""
    ball = lot(changed("yarn", 0, "balls", 0, "core", to="pirn")).balls[0]
    assert ball.net_g == 479
    assert ball.weight_sd_g == pytest.approx(0.61, abs=0.01)


def test_turns_of_a_winder_are_metres_with_an_error() -> None:
    """48 turns of 1.482 m are 71.136 m; balls wound on one tool share its error."""
    ball = lot(TREE).balls[3]
    assert ball.metres == pytest.approx(71.136)
    assert 0.01 < ball.metres_log_sd < 0.02
    (reading,) = lot(TREE).grist
    assert reading.m_per_g == pytest.approx(20 * 1.482 / 9.2)
    assert reading.typed == "20 turns of the niddy-noddy weigh 9.2 g"
    two = changed("yarn", 0, "balls", to=[{"length": "48 turns of the niddy-noddy"}] * 2)
    one = metres(lot(changed("yarn", 0, "balls", to=[{"length": "96 turns of the niddy-noddy"}])))
    both = metres(lot(two))
    assert both.expected == pytest.approx(one.expected, rel=0.01)
    assert (both.high - both.low) == pytest.approx(one.high - one.low, rel=0.05)
    assert winders(read_project(TREE))[0].turn_m == pytest.approx(1.482)


def test_the_weavers_own_washing_stands_instead_of_the_tables() -> None:
    """88 of 100 m kept, where the table would keep 0.914 give or take much more."""
    tested, untested = lot(TREE), lot(changed("yarn", 0, "wash_test", to=None))
    washed = lot(changed("yarn", 0, "state", to="washed"))
    assert metres(tested).expected == pytest.approx(0.88 * metres(washed).expected, rel=0.003)
    assert metres(untested).expected == pytest.approx(0.914 * metres(washed).expected, rel=0.003)
    share = [(one.high - one.low) / one.expected for one in (metres(tested), metres(untested))]
    assert share[0] < share[1]
    assert tested.metres_by_hand().expected == pytest.approx(0.88 * washed.metres_by_hand().expected, rel=1e-9)


def test_washing_by_weight_asks_for_the_length_weighed() -> None:
    """Ten metres of 3.1 g that weigh 3.5 g when washed have shrunk to 0.886; a skein weighed twice says nothing of it."""
    good = {"before": "3.1 g", "after": "3.5 g", "of": "10 m"}
    test = lot(changed("yarn", 0, "wash_test", to=good)).wash_test
    assert test is not None
    assert test.ratio == pytest.approx(3.1 / 3.5)
    assert "weights of what?" in sentences(changed("yarn", 0, "wash_test", to={"before": "100 g", "after": "92 g"}))


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        (("yarn", 0, "balls", 0, "core"), "cone 2", "no core has that name; there are card cone, pirn"),
        (("yarn", 0, "balls", 0, "core"), "25", "25 what"),
        (("yarn", 0, "balls", 3, "length"), "48 turns of the mill", "no winder has that name; there are niddy-noddy"),
        (("yarn", 0, "grist", "length"), "20 turns of the board", "no winder has that name"),
        (("yarn", 0, "balls", 3, "length"), "0 turns of the niddy-noddy", "more than no turn"),
        (("core", 0, "weight"), "500 g", "“card cone”: a core of 500 g leaves no yarn of 486 g"),
        (("core", 0, "name"), "2 oz cone", "begin the name of a core with a letter"),
        (("core", 1, "name"), "card cone", "2 of the cores are called card cone"),
        (("winder", 0), {"name": "mill"}, "how long is a turn"),
        (("winder", 0), {"name": "niddy-noddy", "nominal": "1.5 m", "turns": 3}, "3 turns measured what"),
        (("yarn", 0, "wash_test"), {"before": "100 m", "after": "88 g"}, "cannot be compared"),
        (("yarn", 0, "wash_test"), {"before": "8 m", "after": "100 m"}, "are they swapped"),
        (("yarn", 0, "wash_test"), {"before": "100 m"}, "left out"),
        (("yarn", 0, "heddle_trial", "hole"), "jams", "accepted are passes freely, rubs or sticks"),
    ],
)
def test_what_does_not_agree_is_one_sentence(path: tuple[Any, ...], value: Any, said: str) -> None:
    """A name that is not in the list, weights that cannot be, measures of two kinds."""
    assert said in sentences(changed(*path, to=value))


def test_a_yarn_tried_and_found_unfit_for_the_warp_is_noted() -> None:
    """It sticks in the hole and is planned for the warp: the plan says so, and goes on."""
    trial = lot(TREE).heddle_trial
    assert trial is not None
    assert verdict(trial).fitness == Fitness.WEFT_ONLY
    notes = plan(read_project(TREE), by_hand=True).notes
    assert any("Weft only: it sticks in the hole" in note for note in notes)
    assert any("100 m became 88 m" in note for note in notes)
    fit = changed("yarn", 0, "heddle_trial", to={"hole": "passes freely", "slot": "passes freely", "rub": "unchanged"})
    assert not any("trial in the heddle" in note for note in plan(read_project(fit), by_hand=True).notes)
    for_weft = changed("yarn", 0, "use", to="weft")
    for_weft["yarn"].append({"name": "mill", "grist": "8/2 cotton", "balls": ["500 g"], "use": "warp"})
    assert not any("trial in the heddle" in note for note in plan(read_project(for_weft), by_hand=True).notes)


def test_a_washing_test_of_yarn_measured_washed_is_said_not_to_count() -> None:
    """Nothing typed is passed over in silence."""
    notes = plan(read_project(changed("yarn", 0, "state", to="washed")), by_hand=True).notes
    assert any("its washing test is not used" in note for note in notes)


def test_the_chances_go_by_the_weavers_own_tools() -> None:
    """A full plan of the same file is made, and its yarn in hand is the tested one."""
    answer = plan(read_project(TREE)).as_json()
    assert answer["yarns"][0]["have_m"]["expected"] == pytest.approx(metres(lot(TREE)).expected, rel=0.01)
