from __future__ import annotations

from clothwright.project import Problem
from clothwright.web.forms.typed import Filled, at, name_of, path_of, put, reachable, with_row, without_row


def test_a_dotted_name_and_its_path_are_the_same_place() -> None:
    assert path_of("yarn.0.balls.11.net") == ("yarn", 0, "balls", 11, "net")
    assert name_of(("yarn", 0, "name")) == "yarn.0.name"


def test_what_cannot_be_reached_holds_nothing() -> None:
    tree = {"yarn": "three skeins", "loom": {"waste": "5 cm"}}
    assert at(tree, ("loom", "waste")) == "5 cm"
    assert at(tree, ("yarn", 0, "name")) is None
    assert at(tree, ("loom", "waste", "deeper")) is None
    assert not reachable(tree, ("yarn", 0, "name"))
    assert reachable(tree, ("want", "width"))


def test_putting_makes_tables_on_the_way_and_taking_away_makes_none() -> None:
    tree: dict[str, object] = {}
    put(tree, ("want", "width"), None)
    assert tree == {}
    put(tree, ("want", "width"), "44 cm")
    assert tree == {"want": {"width": "44 cm"}}
    put(tree, ("want", "width"), None)
    assert tree == {"want": {}}


def test_adding_and_taking_rows_leaves_the_given_tree_alone() -> None:
    tree = {"yarn": [{"name": "limpet"}]}
    more = with_row(tree, ("yarn",), {})
    assert more == {"yarn": [{"name": "limpet"}, {}]}
    assert without_row(more, ("yarn", 0)) == {"yarn": [{}]}
    assert without_row(tree, ("yarn", 0)) == {}
    assert tree == {"yarn": [{"name": "limpet"}]}


def test_blank_rows_tables_and_text_are_left_out() -> None:
    tree = {
        "name": "x",
        "want": {"width": ""},
        "yarn": [{"balls": [{}]}, {"name": "limpet", "balls": [{}, {"net": "9 g"}]}],
    }
    assert Filled.of(tree).tree == {"name": "x", "yarn": [{"name": "limpet", "balls": [{"net": "9 g"}]}]}


def test_no_and_nought_are_not_blank() -> None:
    tree = {"yarn": [{"replaceable": False, "plies": 0}]}
    assert Filled.of(tree).tree == tree


def test_a_problem_finds_its_row_again_behind_blank_rows() -> None:
    tree = {"yarn": [{}, {"name": "limpet", "balls": [{}, {"net": "9"}, {}, {"net": "8"}]}]}
    filled = Filled.of(tree)
    found = [
        Problem(("yarn", 0, "balls", 0, "net"), "a"),
        Problem(("yarn", 0, "balls", 1), "b"),
        Problem(("want",), "c"),
    ]
    assert [one.path for one in filled.problems(found)] == [
        ("yarn", 1, "balls", 1, "net"),
        ("yarn", 1, "balls", 3),
        ("want",),
    ]
