from __future__ import annotations

import pytest

from clothwright.library import store
from clothwright.library.models import OnHand, OnHandState
from clothwright.library.shelves import on_hand
from clothwright.library.shelves.on_hand import Kept

pytestmark = pytest.mark.django_db

SLATE = {"name": "slate tide", "grist": "310 m/100 g", "balls": [{"net": "104 g"}]}
WINDOW = {"name": "the window loom", "heddles": ["30/10 cm"]}


@pytest.fixture
def yarn() -> OnHand:
    return on_hand.add(Kept.YARN, on_hand.tree_of(Kept.YARN, SLATE), "typed in")


def net(yarn: OnHand) -> str:
    tree = on_hand.head(on_hand.find(Kept.YARN, yarn.pk)).tree
    return str(on_hand.part_of(tree, Kept.YARN)["balls"][0]["net"])


def with_net(text: str) -> on_hand.Tree:
    return on_hand.tree_of(Kept.YARN, SLATE | {"balls": [{"net": text}]})


def test_a_yarn_is_kept_as_typed_even_when_it_makes_no_sense(yarn: OnHand) -> None:
    on_hand.change(yarn, with_net("fifty-ish"), "net")
    assert net(yarn) == "fifty-ish"


def test_every_state_stays_and_any_can_count_again(yarn: OnHand) -> None:
    on_hand.change(yarn, with_net("90 g"), "net")
    on_hand.change(yarn, with_net("80 g"), "net")
    on_hand.go_to(yarn, 2)
    assert net(yarn) == "90 g"
    assert [state.number for state in on_hand.history(yarn)] == [3, 2, 1]
    on_hand.change(yarn, with_net("70 g"), "net")
    assert [state.number for state in on_hand.history(yarn)] == [4, 3, 2, 1]


def test_a_change_that_changes_nothing_makes_no_state(yarn: OnHand) -> None:
    on_hand.change(yarn, on_hand.tree_of(Kept.YARN, SLATE), "nothing")
    assert OnHandState.objects.count() == 1


def test_a_change_is_made_on_the_state_as_it_is_now_not_as_it_was_fetched(yarn: OnHand) -> None:
    stale = on_hand.find(Kept.YARN, yarn.pk)
    on_hand.change(yarn, with_net("90 g"), "one tab")
    on_hand.change(stale, on_hand.tree_of(Kept.YARN, SLATE), "another tab")
    assert [state.number for state in on_hand.history(yarn)] == [3, 2, 1]
    assert net(yarn) == "104 g"


def test_putting_away_keeps_everything_and_can_be_taken_back(yarn: OnHand) -> None:
    on_hand.put_away(yarn)
    assert list(on_hand.listed(Kept.YARN)) == []
    assert list(on_hand.listed(Kept.YARN, put_away=True)) == [yarn]
    on_hand.bring_back(yarn)
    assert list(on_hand.listed(Kept.YARN)) == [yarn]
    assert net(yarn) == "104 g"


def test_a_loom_is_no_yarn(yarn: OnHand) -> None:
    loom = on_hand.add(Kept.LOOM, on_hand.tree_of(Kept.LOOM, WINDOW), "typed in")
    assert list(on_hand.listed(Kept.LOOM)) == [loom]
    with pytest.raises(OnHand.DoesNotExist):
        on_hand.find(Kept.YARN, loom.pk)


@pytest.mark.parametrize("tree", [{}, {"yarn": []}, {"yarn": "wool"}, {"yarn": [{"name": "  "}]}, {"yarn": [7]}])
def test_whatever_was_typed_there_is_a_name_to_show(tree: on_hand.Tree) -> None:
    assert on_hand.shown_name(tree, Kept.YARN) == "untitled"


def test_a_project_takes_a_yarn_as_typed_in_place_of_a_blank_row(yarn: OnHand) -> None:
    taken = on_hand.into_project({"yarn": [{"balls": [{}]}], "units": "imperial"}, yarn)
    assert taken == {"yarn": [SLATE], "units": "imperial"}
    again = on_hand.into_project({"yarn": [{"name": "kelp"}]}, yarn)
    assert again["yarn"] == [{"name": "kelp"}, SLATE]


def test_what_a_project_took_is_a_copy(yarn: OnHand) -> None:
    taken = on_hand.into_project({}, yarn)
    taken["yarn"][0]["balls"][0]["net"] = "1 g"
    assert net(yarn) == "104 g"


def test_a_project_takes_a_loom_in_place_of_its_own() -> None:
    loom = on_hand.add(Kept.LOOM, on_hand.tree_of(Kept.LOOM, WINDOW), "typed in")
    assert on_hand.into_project({"loom": {"waste": "55 cm"}, "name": "x"}, loom) == {"loom": WINDOW, "name": "x"}


def test_where_a_yarn_is_used_is_told_by_its_name_in_the_projects_on_the_table(yarn: OnHand) -> None:
    using = store.new_project({"name": "eelgrass waistcoat", "yarn": [SLATE]}, "started")
    away = store.new_project({"name": "old", "yarn": [SLATE]}, "started")
    store.put_away(away)
    store.new_project({"name": "odd", "yarn": "wool", "loom": []}, "started")
    assert on_hand.used_in(Kept.YARN) == {"slate tide": [using]}


def test_the_same_yarn_is_kept_once_also_when_it_was_put_away(yarn: OnHand) -> None:
    on_hand.put_away(yarn)
    rows = [("line 2", {"yarn": [SLATE]}), *(2 * [("line 3", {"yarn": [SLATE | {"fibre": "wool"}]})])]
    assert on_hand.add_each(Kept.YARN, rows) == (1, 2)
    assert OnHand.objects.count() == 2
    with_core = {"yarn": [SLATE], "core": [{"name": "tall cone", "weight": "25 g"}]}
    assert on_hand.add_each(Kept.YARN, [("line 5", with_core), ("line 6", with_core)]) == (1, 1)
    assert any(on_hand.head(one).tree == {"units": "metric"} | with_core for one in on_hand.listed(Kept.YARN))


def test_a_project_takes_the_cores_and_winders_of_a_yarn_that_it_has_not_yet() -> None:
    tall, niddy = {"name": "tall cone", "weight": "25 g"}, {"name": "niddy-noddy", "nominal": "1.5 m"}
    one = on_hand.add(Kept.YARN, {"yarn": [SLATE], "core": [tall, {}], "winder": [niddy]}, "typed in")
    assert on_hand.into_project({}, one) == {"yarn": [SLATE], "core": [tall], "winder": [niddy]}
    lighter = {"name": "tall cone", "weight": "24 g"}
    assert on_hand.into_project({"core": [lighter], "winder": "odd"}, one)["core"] == [lighter]


SQUARE = {"name": "tide square", "warp": "slate tide", "weft": "slate tide", "heddle": "30/10 cm", "hand": "soft"}


def test_a_project_s_sample_is_kept_with_its_yarns_and_without_what_there_is_of_them() -> None:
    tree = {"units": "imperial", "yarn": [SLATE, {"name": "kelp"}], "sample": [{}, SQUARE]}
    kept = on_hand.sample_of_project(tree, 1)
    assert kept == {"units": "imperial", "yarn": [{"name": "slate tide", "grist": "310 m/100 g"}], "sample": [SQUARE]}
    with pytest.raises(IndexError):
        on_hand.sample_of_project(tree, 2)


def test_a_sample_goes_into_a_project_with_the_yarns_it_lacks_as_only_sampled() -> None:
    kept = {"yarn": [SLATE, {"name": "kelp"}], "sample": [SQUARE | {"weft": "kelp"}]}
    one = on_hand.add(Kept.SAMPLE, kept, "typed in")
    tree = on_hand.into_project({"yarn": [SLATE], "sample": [{}]}, one)
    assert tree["yarn"] == [SLATE, {"name": "kelp", "use": "only sampled"}]
    assert tree["sample"] == [SQUARE | {"weft": "kelp"}]


def test_a_sample_that_names_no_yarn_takes_its_own_along_by_name() -> None:
    one = on_hand.add(Kept.SAMPLE, {"yarn": [{"name": "kelp"}], "sample": [{"name": "square"}]}, "typed in")
    tree = on_hand.into_project({"yarn": [SLATE]}, one)
    assert tree["sample"] == [{"name": "square", "warp": "kelp", "weft": "kelp"}]


def test_one_sample_in_library_and_project_is_known_word_for_word() -> None:
    one = on_hand.add(Kept.SAMPLE, {"yarn": [SLATE], "sample": [SQUARE]}, "typed in")
    assert on_hand.same_samples(SQUARE | {"notes": "", "parts": []}, on_hand.every_sample()) == [one]
    assert on_hand.same_samples(SQUARE | {"hand": "softer"}, on_hand.every_sample()) == []
    on_hand.put_away(one)
    assert on_hand.same_samples(SQUARE, on_hand.every_sample()) == [one]
    taken = on_hand.into_project({"yarn": [SLATE]}, one)["sample"][0]
    assert on_hand.same_samples(taken, on_hand.every_sample()) == [one]


def test_a_blank_sample_is_like_none() -> None:
    on_hand.add(Kept.SAMPLE, {"yarn": [{}], "sample": [{}]}, "typed in")
    assert on_hand.same_samples({}, on_hand.every_sample()) == []
