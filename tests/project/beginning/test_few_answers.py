"""A project begun with a few answers is an ordinary project, with what was taken marked as taken for as long as it stands."""

from __future__ import annotations

from clothwright.project import read_project
from clothwright.project.beginning import few_answers as begun


def test_the_first_answer_makes_an_ordinary_project() -> None:
    """Its yarn stands in the fields that every project has, and the words are kept as typed."""
    tree = begun.begin("3 balls of 50 g, 160 m each\n8/2 cotton, 250 g")
    project = read_project(tree)
    assert [len(yarn.balls) for yarn in project.yarn] == [3, 1]
    assert project.begun is not None
    assert project.begun.yarn == "3 balls of 50 g, 160 m each\n8/2 cotton, 250 g"
    assert begun.still_taken(tree) == {"yarn.1.made": "mill"}


def test_what_somebody_changed_is_no_default_any_more() -> None:
    """A field counts as taken only while what was taken stands in it."""
    tree = begun.with_heddle_taken(begun.begin("8/2 cotton, 250 g"), "60/10 cm")
    assert begun.still_taken(tree)[begun.HEDDLES] == "60/10 cm"
    assert not begun.says_heddle(tree)
    tree["loom"]["heddles"] = ["50/10 cm"]
    assert begun.HEDDLES not in begun.still_taken(tree)
    assert begun.says_heddle(tree)
    assert begun.with_heddle_taken(tree, "60/10 cm")["loom"]["heddles"] == ["50/10 cm"]


def test_measures_stay_when_another_garment_is_chosen() -> None:
    """What was typed of the body is of the body, whatever is made of it."""
    tree = begun.with_making(begun.begin("8/2 cotton, 250 g"), "skirt")
    tree["pattern"]["from_measures"]["body"] = {"waist_girth": "74 cm"}
    tree = begun.with_making(tree, "tunic")
    assert tree["pattern"]["from_measures"] == {"garment": "tunic", "body": {"waist_girth": "74 cm"}}


def test_yards_and_pounds_alone_are_taken_for_a_wish_for_inches() -> None:
    """Units of the answer follow what was typed, marked as taken; mixed units stay metric."""
    assert begun.begin("1 lb of 1700 yd/lb linen")["units"] == "imperial"
    assert begun.begin("1 lb of 400 m/100 g linen")["units"] == "metric"


def test_what_was_typed_of_a_yarn_elsewhere_stays_while_its_line_stays() -> None:
    """Another line changes no yarn but its own, and a yarn that no line told of is kept."""
    tree = begun.begin("3 balls of 50 g, 160 m each\n8/2 cotton, 250 g")
    tree["yarn"][0]["wraps"] = "15/in"
    tree["yarn"].append({"name": "mussel", "grist": "400 m/100 g", "balls": ["90 g"]})
    tree = begun.with_yarn(tree, "3 balls of 50 g, 160 m each\n16/2 cotton, 250 g")
    assert [one["name"] for one in tree["yarn"]] == ["yarn", "16/2 cotton", "mussel"]
    assert tree["yarn"][0]["wraps"] == "15/in"
    assert begun.other_yarns(tree) == ("mussel",)


def test_a_project_begun_by_its_name_loses_nothing_to_the_questions() -> None:
    """Its yarns stay beside those told in words, and what is to be made is what stands there."""
    tree = {"yarn": [{"name": "mussel", "balls": ["90 g"]}], "want": {"width": "40 cm"}}
    assert begun.making(tree) == begun.CLOTH
    assert [one["name"] for one in begun.with_yarn(tree, "8/2 cotton, 250 g")["yarn"]] == ["8/2 cotton", "mussel"]
