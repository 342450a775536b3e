"""The colour order of a project: capacities, rules, what is left, and what must change when a ball is short."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest

from clothwright.planning import ColourPlan, Warped, plan_colours, wanted_warp
from clothwright.project import ProblemsFound, Project, read_project

#: Grams and metres per gram of eight small balls; invented.
BALLS = {
    "moss": (18, 4.0),
    "rust": (11, 4.2),
    "sky": (25, 3.6),
    "cream": (40, 3.8),
    "plum": (9, 4.1),
    "ink": (14, 3.9),
    "gold": (6, 4.4),
    "slate": (31, 3.7),
}
#: floor(grams × metres per gram ÷ 6.2 m), by hand: a pair of a 310 cm warp takes 6.2 m.
PAIRS = {"moss": 11, "rust": 7, "sky": 14, "cream": 24, "plum": 5, "ink": 8, "gold": 4, "slate": 18}
RULES = {"ends": 120, "warp_length": "310 cm", "longest_run": 4, "not_at_edges": ["cream", "slate"], "use_up": ["gold"]}


def basket(balls: dict[str, tuple[float, float]] = BALLS, warping: str = "direct", **colours: Any) -> Project:
    """A project of small balls and rules."""
    yarn = [{"name": name, "balls": [{"net": f"{g} g", "grist": f"{grist} m/g"}]} for name, (g, grist) in balls.items()]
    return read_project({"yarn": yarn, "loom": {"warping": warping}, "colours": RULES | colours})


def colours_of(project: Project, **how: Any) -> ColourPlan:
    """The colour order of a project that says its ends and warp length."""
    warp = wanted_warp(project)
    assert warp is not None
    return plan_colours(project, warp, **how)


def as_typed(answer: ColourPlan, **held: str) -> list[dict[str, Any]]:
    """An answer's order as a project file keeps it; runs of the yarns named are held."""
    return [{"yarn": run.yarn, "ends": run.ends, "held": run.yarn in held} for run in answer.order]


def test_each_ball_gives_the_whole_pairs_a_calculator_gives() -> None:
    """91 pairs in all, so that sixty are possible; the sums by hand stand beside the balls."""
    answer = colours_of(basket())
    assert answer.capacity() == PAIRS
    assert sum(PAIRS.values()) == 91
    assert answer.warp == Warped(120, 310.0)


def test_the_order_keeps_its_rules_and_its_sums() -> None:
    """120 ends, no ball overdrawn, gold used up, runs and edges as asked; every total is added up again here."""
    answer = colours_of(basket())
    used = Counter[str]()
    for run in answer.order:
        assert run.ends <= 4
        assert run.ends % 2 == 0
        used[run.yarn] += run.ends // 2
    assert sum(used.values()) == 60
    assert used["gold"] == PAIRS["gold"]
    assert all(used[yarn] <= most for yarn, most in PAIRS.items())
    assert not {answer.order[0].yarn, answer.order[-1].yarn} & {"cream", "slate"}
    assert all(one.yarn != other.yarn for one, other in zip(answer.order, answer.order[1:], strict=False))
    for name, (grams, grist) in BALLS.items():
        assert answer.left_m()[name] == pytest.approx(grams * grist - used[name] * 6.2, rel=0.01, abs=0.3)
    assert answer.as_json()["rules_kept"] is True


def test_a_ball_found_short_changes_only_what_must_change() -> None:
    """Plum weighs 7 g, not 9: it gives four pairs (28.7 m ÷ 6.2 m), and one of five becomes another colour."""
    five_plum = next(
        answer
        for seed in range(200)
        if (answer := colours_of(basket(keep_for_weft={"cream": "60 %", "slate": "60 %"}), seed=seed))
        and sum(run.ends for run in answer.order if run.yarn == "plum") >= 10
    )
    short = basket(
        BALLS | {"plum": (7, 4.1)}, order=as_typed(five_plum), keep_for_weft={"cream": "60 %", "slate": "60 %"}
    )
    answer = colours_of(short)
    assert answer.capacity()["plum"] == 4
    assert [change.was for change in answer.changes] == ["plum"]
    assert answer.as_json()["rules_kept"] is True
    assert sum(run.ends for run in answer.order if run.yarn == "plum") == 8


def test_an_order_that_still_holds_is_left_as_it_stands() -> None:
    """Drawn, kept in the file, and asked for again with another seed: the same."""
    drawn = colours_of(basket(), seed=5)
    kept = colours_of(basket(order=as_typed(drawn)), seed=6)
    assert [(run.yarn, run.ends) for run in kept.order] == [(run.yarn, run.ends) for run in drawn.order]
    assert kept.changes == ()
    assert not kept.drawn


def test_held_ends_stay_when_the_rest_is_drawn_anew() -> None:
    """Every moss stands where it stood; other turns move."""
    drawn = colours_of(basket(), seed=5)
    again = colours_of(basket(order=as_typed(drawn, moss="held")), seed=6, redraw=True)

    def places(answer: ColourPlan, yarn: str) -> list[int]:
        every = [run.yarn for run in answer.order for _ in range(run.ends)]
        return [place for place, name in enumerate(every) if name == yarn]

    assert places(again, "moss") == places(drawn, "moss")
    assert places(again, "sky") != places(drawn, "sky")
    assert [run.held for run in again.order] == [run.yarn == "moss" for run in again.order]


def test_ends_that_are_not_wound_in_pairs_are_counted_one_by_one() -> None:
    """Not direct: floor(metres ÷ 3.1 m) ends of each ball, by hand for moss: 72 ÷ 3.1 = 23.2."""
    answer = colours_of(basket(warping="indirect"))
    assert answer.capacity()["moss"] == 23
    assert answer.turn_ends == 1
    assert max(run.ends for run in answer.order) <= 4


def test_an_odd_number_of_ends_and_an_odd_run_are_told_not_swallowed() -> None:
    """121 ends are 61 pairs, and a run of 5 ends is kept as 4."""
    answer = colours_of(basket(ends=121, longest_run=5))
    assert answer.warp.ends == 122
    assert any("121 ends are wound as 61 pairs" in note for note in answer.notes)
    assert any("5 ends is kept as 4" in note for note in answer.notes)


def test_a_yarn_of_several_balls_says_which_ball_each_run_is_wound_from() -> None:
    """Two balls of moss, 18 g and 10 g: 11 and 6 pairs, the small one first; no turn spans two balls."""
    project = read_project(
        {
            "yarn": [
                {"name": "moss", "balls": [{"net": "18 g", "grist": "4.0 m/g"}, {"net": "10 g", "grist": "4.0 m/g"}]},
                {"name": "cream", "balls": [{"net": "90 g", "grist": "3.8 m/g"}]},
            ],
            "colours": {"ends": 68, "warp_length": "310 cm", "longest_run": 2, "use_up": ["moss"]},
        }
    )
    answer = colours_of(project)
    from_balls = Counter[tuple[str, int]]()
    for run in answer.order:
        assert sum(ends for _, ends in run.balls) == run.ends
        from_balls.update({(run.yarn, number): ends for number, ends in run.balls})
    assert from_balls == {("moss", 1): 22, ("moss", 2): 12, ("cream", 1): 34}


def test_rules_that_clash_are_named_and_no_others() -> None:
    """Gold may lie beside nothing and is to be used up; the edges have nothing to do with it."""
    others = [name for name in BALLS if name != "gold"]
    with pytest.raises(ProblemsFound) as caught:
        colours_of(basket(not_side_by_side=[["gold", name] for name in others]))
    sentence = caught.value.problems[0].sentence
    assert "gold is used up" in sentence
    assert "gold and ink do not lie side by side" in sentence
    assert "edge" not in sentence


def test_too_few_balls_are_told_with_how_many_are_missing() -> None:
    """100 pairs of the 91 there are."""
    with pytest.raises(ProblemsFound, match="91 pairs and 100 are asked for: 9 too few"):
        colours_of(basket(ends=200))


def test_sure_counts_only_the_turns_that_are_sure() -> None:
    """By the chance asked no ball gives more than by its expected metres, and every ball that is used is sure."""
    answer = colours_of(basket(balls_last="sure"))
    assert all(line.used <= line.sure <= line.capacity for line in answer.balls)
    assert all(line.chance_lasts >= 0.95 for line in answer.balls if line.used)


def test_a_gradient_asks_for_the_colours_it_needs() -> None:
    """No yarn says its colour."""
    with pytest.raises(ProblemsFound, match="the colour of moss, rust"):
        colours_of(basket(light_and_dark="dark to light"))


@pytest.mark.parametrize(
    ("colours", "where", "words"),
    [
        ({"use_up": ["goold"]}, "use_up", "goold"),
        ({"not_side_by_side": [["moss", "mos"]]}, "not_side_by_side", "mos"),
        ({"keep_for_weft": {"slat": "40 %"}}, "keep_for_weft", "slat"),
        ({"order": [{"yarn": "mossy", "ends": 2}]}, "order", "mossy"),
        ({"longest_run": 1}, "longest_run", "2 ends at least"),
        ({"order": [{"yarn": "moss", "ends": 3}]}, "order", "wound in pairs"),
        ({"order": [{"yarn": "moss", "ends": 4}]}, "order", "4 ends and the warp 120"),
    ],
)
def test_a_rule_that_cannot_be_read_is_one_sentence_at_its_place(
    colours: dict[str, Any], where: str, words: str
) -> None:
    """The field is named, what came, and what is accepted."""
    with pytest.raises(ProblemsFound) as caught:
        colours_of(basket(**colours))
    assert any(where in problem.where and words in problem.sentence for problem in caught.value.problems)


def test_an_order_that_no_longer_holds_says_what_it_broke() -> None:
    """Six moss ends lie together and four may."""
    drawn = colours_of(basket(), seed=5)
    long = as_typed(drawn)
    place = next(n for n, run in enumerate(long) if n and run["yarn"] not in ("gold", "moss"))
    assert colours_of(basket(order=long)).stood == ()
    answer = colours_of(basket(order=[*long[:place], long[place] | {"yarn": "gold"}, *long[place + 1 :]]))
    assert any("gold" in sentence for sentence in answer.stood)
    assert answer.changes


def test_a_seed_of_the_colours_draws_the_order_and_leaves_the_projects_seed_alone() -> None:
    """The same as that seed given by command."""
    project = basket(seed=7)
    assert project.seed == 1
    assert colours_of(project).order == colours_of(basket(), seed=7).order
    assert colours_of(project).order != colours_of(basket()).order


def test_the_heddle_owned_gives_the_width_in_the_heddle() -> None:
    """146 ends at 3 per cm are 48.7 cm."""
    warp = Warped(146, 310, ends_per_cm=3.0)
    assert round(warp.width_in_heddle_cm or 0, 1) == 48.7
    assert Warped(146, 310).width_in_heddle_cm is None


def test_a_run_held_in_part_keeps_the_part_that_is_held() -> None:
    """Of four ends of one yarn two are held: they are told as two runs, and only the one is held."""
    order = as_typed(colours_of(basket(), seed=5))
    place = next(n for n, run in enumerate(order) if run["ends"] == 4)
    halves = [order[place] | {"ends": 2, "held": held} for held in (True, False)]
    answer = colours_of(basket(order=[*order[:place], *halves, *order[place + 1 :]]))
    runs = [(run.ends, run.held) for run in answer.order[place : place + 2]]
    assert runs == [(2, True), (2, False)]
    assert sum(run["ends"] for run in answer.as_typed()) == 120
    assert [run for run in answer.as_typed() if run.get("held")] == [
        {"yarn": order[place]["yarn"], "ends": 2, "held": True}
    ]


def test_a_pair_kept_apart_has_two_names() -> None:
    """One name is no pair."""
    with pytest.raises(ProblemsFound, match="name two yarns"):
        basket(not_side_by_side=[["moss"]])


def test_held_ends_beyond_what_used_up_balls_leave_are_one_sentence() -> None:
    """Gold's four pairs are to be used up in an order of four, of which one is held as moss."""
    held = [{"yarn": "moss", "ends": 2, "held": True}, {"yarn": "gold", "ends": 6}]
    with pytest.raises(ProblemsFound, match="held"):
        colours_of(basket(ends=8, longest_run=None, order=held), redraw=True)


def test_yarns_unlike_the_others_are_spread_where_it_is_asked() -> None:
    """Rope is twice as thick: one pair in each of as many equal stretches as it has pairs; the note says it is done."""
    answer = colours_of(basket(BALLS | {"rope": (30, 2.0)}, spread_unlike=True, use_up=["rope"]))
    turns = [run.yarn for run in answer.order for _ in range(run.ends // 2)]
    places = [place for place, yarn in enumerate(turns) if yarn == "rope"]
    assert len(places) == int(60 / 6.2)
    for number, place in enumerate(places):
        assert number * 60 // len(places) <= place < -(-(number + 1) * 60 // len(places))
    assert any("The order spreads its ends evenly" in note for note in answer.notes)
    assert "Spread evenly along the width: rope." in answer.rules


def test_selvedge_ends_stand_at_both_edges() -> None:
    """Four ends of ink at each; a run of three pairs beside them would break the rule of runs."""
    answer = colours_of(basket(selvedge={"yarn": "ink", "ends": 4}))
    ends = [run.yarn for run in answer.order for _ in range(run.ends)]
    assert ends[:4] == ends[-4:] == ["ink"] * 4
    assert "At each selvedge 4 ends of ink." in answer.rules


@pytest.mark.parametrize(
    ("colours", "words"),
    [
        ({"selvedge": {"yarn": "ink", "ends": 6}}, ["3 pairs of ink stand at each selvedge", "at most 2 pairs"]),
        (
            {"selvedge": {"yarn": "cream", "ends": 2}},
            ["1 pair of cream stand at each selvedge", "cream does not stand"],
        ),
        (
            {
                "spread": ["gold"],
                "order": [
                    {"yarn": "gold", "ends": 4, "held": True},
                    {"yarn": "moss", "ends": 2, "held": False},
                    {"yarn": "gold", "ends": 2, "held": True},
                ],
            },
            ["gold is spread evenly", "is gold"],
        ),
    ],
)
def test_each_rule_of_places_is_named_where_it_clashes(colours: dict[str, Any], words: list[str]) -> None:
    """Selvedge against runs and against edges; evenly spread against turns held together."""
    with pytest.raises(ProblemsFound) as caught:
        colours_of(basket(**colours), redraw=True)
    assert all(word in caught.value.problems[0].sentence for word in words)


def test_each_rule_of_neighbours_is_named_where_it_clashes() -> None:
    """At least 118 ends between two of one ball, in 60 pairs of eight balls: the distance alone cannot be kept."""
    with pytest.raises(ProblemsFound, match="lie between two of one ball"):
        colours_of(basket(between_one_ball=118, use_up=[], longest_run=None, not_at_edges=[]))


def test_light_and_dark_are_told_sixth_by_sixth_where_a_rule_asks_for_them() -> None:
    """By OKLab's own ends: black is 0 and white is 100; from dark to light the sixths rise from the one to the other."""
    yarn = [
        {"name": name, "colour": colour, "balls": [{"net": "50 g", "grist": "4 m/g"}]}
        for name, colour in (("soot", "#000000"), ("foam", "#ffffff"))
    ]
    colours = {"ends": 120, "warp_length": "300 cm", "light_and_dark": "dark to light", "strictly": "100 %"}
    answer = colours_of(read_project({"yarn": yarn, "loom": {"warping": "direct"}, "colours": colours}))
    (note,) = [note for note in answer.notes if "sixth by sixth" in note]
    sixths = [int(number) for number in note.rsplit(": ", 1)[1].rstrip(".").split(", ")]
    turns = [run.yarn == "foam" for run in answer.order for _ in range(run.ends // 2)]
    assert sixths == [round(100 * sum(turns[first : first + 10]) / 10) for first in range(0, 60, 10)]
    assert sixths[0] < 20 < 80 < sixths[-1]
    assert not any("sixth by sixth" in note for note in colours_of(basket()).notes)
