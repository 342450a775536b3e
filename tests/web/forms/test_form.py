from __future__ import annotations

import re
from typing import Any

import pytest
from django.test import Client
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydantic import BaseModel

from clothwright.library import store
from clothwright.pattern.drafting import garments, key_of, measures
from clothwright.project import Problem, ProblemsFound, Project, read_project
from clothwright.project.reading import _model_in
from clothwright.web.forms.field import Field, Group, Kind, Rows
from clothwright.web.forms.fields import SECTIONS
from clothwright.web.forms.form import Form, change_in_words, for_the_page, read_posted, starting_tree, with_unit
from clothwright.web.forms.row_buttons import add_row, remove_row, row_in_words
from clothwright.web.forms.typed import Filled, at

TREE: dict[str, Any] = {
    "name": "eelgrass waistcoat",
    "units": "metric",
    "yarn": [
        {"name": "eelgrass", "grist": "310 m/100 g", "balls": [{"gross": "118 g", "core": "6 g"}, {"length": "85 m"}]}
    ],
    "loom": {"heddles": ["30/10 cm", "7.5/in"], "waste": "55 cm"},
    "sample": [{"warp": "eelgrass", "width": {"in_heddle": "24 cm"}}],
    "colours": {"longest_run": 4},
}


def posted(tree: dict[str, Any], **changes: str) -> dict[str, str]:
    """What a browser posts for the page of a tree, with some fields typed over."""
    values = {field.name: field.value for field in Form(tree).fields()}
    return values | {name.replace("__", "."): value for name, value in changes.items()}


def parts_of(parts: tuple[Any, ...]) -> list[Field]:
    fields: list[Field] = []
    for part in parts:
        fields += [part] if isinstance(part, Field) else parts_of(part.parts)
    return fields


ALL_FIELDS = [field for section in SECTIONS for field in parts_of(section.parts)]


#: Tables of the document whose names are those of measures, or of a garment's options.
NAMED_BY_THE_GARMENT = {
    "body": {key_of(name) for name in measures()},
    "options": {option.name for asks in garments().values() for option in asks.options},
}


@pytest.mark.parametrize("field", ALL_FIELDS, ids=lambda field: field.path)
def test_every_field_of_the_page_is_a_field_of_the_document(field: Field) -> None:
    model: type[BaseModel] = Project
    names: set[str] | None = None
    for step in field.path.split("."):
        if step == "*":
            continue
        if names is not None:
            assert step in names
            continue
        assert step in model.model_fields
        names = NAMED_BY_THE_GARMENT.get(step)
        model = _model_in(model.model_fields[step].annotation) or model


def test_no_two_fields_share_a_path() -> None:
    paths = [field.path for field in ALL_FIELDS]
    assert len(paths) == len(set(paths))


def test_posting_a_page_back_unchanged_changes_nothing() -> None:
    for tree in (TREE, starting_tree("x"), {}, {"yarn": "odd", "loom": 3, "sample": [4]}):
        assert read_posted(tree, posted(tree)) == tree


def test_what_the_page_does_not_show_is_kept() -> None:
    assert read_posted(TREE, posted(TREE, name="other"))["colours"] == {"longest_run": 4}


@pytest.mark.parametrize(
    ("text", "unit", "stored"),
    [
        ("24", "cm", "24 cm"),
        ("7 1/2", "in", "7 1/2 in"),
        ("7½", "in", "7½ in"),
        ("7,5", "cm", "7,5 cm"),
        ("2 950", "m", "2 950 m"),
        ("3.0 to 3.4", "/cm", "3.0 to 3.4/cm"),
        ("24 ± 0.3", "cm", "24 ± 0.3 cm"),
        ("about 24", "cm", "about 24 cm"),
        ("30", "/10 cm", "30/10 cm"),
        ("3", "% of warp", "3 % of warp"),
        ("310", "m/100 g", "310 m/100 g"),
        ("24 in", "cm", "24 in"),
        ("1 yd 9 in", "cm", "1 yd 9 in"),
        ("30/10", "/10 cm", "30/10"),
        ("fifty", "cm", "fifty"),
        ("-4", "cm", "-4"),
        ("24 24", "", "24 24"),
    ],
)
def test_a_bare_number_takes_the_unit_beside_the_field_and_nothing_else_does(text: str, unit: str, stored: str) -> None:
    assert with_unit(text, unit) == stored


def test_each_kind_of_field_is_stored_as_the_document_wants_it() -> None:
    typed = posted(
        TREE,
        yarn__0__plies="2",
        yarn__0__replaceable="no",
        yarn__0__balls__0__gross="120",
        loom__heddles="30/10 cm; 40, 7.5/in",
        cloth__repeat_ends="four",
    )
    tree = read_posted(TREE, typed)
    yarn = tree["yarn"][0]
    assert (yarn["plies"], yarn["replaceable"], yarn["balls"][0]["gross"]) == (2, False, "120 g")
    assert tree["loom"]["heddles"] == ["30/10 cm", "40/10 cm", "7.5/in"]
    assert tree["cloth"]["repeat_ends"] == "four"


def test_an_imperial_page_takes_a_bare_number_in_inches() -> None:
    tree = TREE | {"units": "imperial"}
    assert read_posted(tree, posted(tree, loom__waste="22"))["loom"]["waste"] == "22 in"


def test_changing_the_units_reads_bare_numbers_in_the_units_they_were_typed_under() -> None:
    changed = read_posted(TREE, posted(TREE, units="imperial", loom__waste="22"))
    assert changed["units"] == "imperial"
    assert changed["loom"]["waste"] == "22 cm"


def test_a_field_made_blank_is_taken_out() -> None:
    assert "waste" not in read_posted(TREE, posted(TREE, loom__waste=" "))["loom"]


def test_a_sample_follows_a_yarn_to_its_new_name() -> None:
    changed = read_posted(TREE, posted(TREE, yarn__0__name="kelp"))
    assert changed["sample"][0]["warp"] == "kelp"


def test_a_new_page_is_empty_for_the_planner_but_for_its_name() -> None:
    assert Filled.of(starting_tree("x")).tree == {"clothwright": 1, "name": "x", "units": "metric"}


def sentence_of(form: Form, name: str) -> str:
    return next(field.problem for field in form.fields() if field.name == name)


def test_a_problem_stands_beside_its_field() -> None:
    form = Form(TREE, [Problem(("loom", "waste"), "55 what?")])
    assert sentence_of(form, "loom.waste") == "55 what?"
    assert form.problems_by_key() == {"f-loom-waste": "55 what?"}


def test_a_problem_of_one_of_several_stands_beside_the_field_of_all() -> None:
    form = Form(TREE, [Problem(("loom", "heddles", 1), "which?")])
    assert sentence_of(form, "loom.heddles") == "which?"


def test_a_problem_of_a_part_that_names_a_field_stands_beside_it() -> None:
    form = Form(TREE, [Problem(("cloth",), "warp_take_up “3 %”: a share of what?")])
    assert sentence_of(form, "cloth.warp_take_up").startswith("warp_take_up")


def test_problems_of_a_row_or_a_section_have_places_and_others_come_back() -> None:
    other = Problem(("colours", "ends"), "none")
    form = Form(TREE, [Problem(("yarn", 0, "balls", 1), "give one"), Problem(("pattern",), "no piece"), other])
    assert form.problems_by_key() == {"f-yarn-0-balls-1": "give one", "f-garment": "no piece"}
    assert [(one.key, one.place) for one in form.told] == [
        ("f-yarn-0-balls-1-problem", "yarn 1, ball 2"),
        ("f-garment-problem", "The garment"),
        ("plan", "Colours of the warp"),
    ]


def test_two_problems_of_one_place_are_both_said() -> None:
    form = Form(TREE, [Problem(("loom", "heddles", n), f"heddle {n}") for n in (0, 1)])
    assert sentence_of(form, "loom.heddles") == "heddle 0 · heddle 1"


def test_rows_are_added_and_taken_away_only_where_there_are_rows() -> None:
    more, row = add_row(TREE, "yarn.0.balls")
    assert row == ("yarn", 0, "balls", 2)
    assert remove_row(more, "yarn.0.balls.2") == TREE
    for name in ("loom", "yarn.0.name", "__class__", "", "yarn.0.balls.0.gross"):
        with pytest.raises(KeyError):
            add_row(TREE, name)
    for name in ("yarn.7", "loom", "", "0"):
        with pytest.raises(KeyError):
            remove_row(TREE, name)


def test_weighings_take_the_place_of_a_label_and_give_it_back() -> None:
    weighed, _ = add_row(TREE, "yarn.0.grist")
    assert weighed["yarn"][0]["grist"] == [{}]
    names = {field.name for field in Form(weighed).fields()}
    assert {"yarn.0.grist.0.length", "yarn.0.grist.0.weight"} <= names
    assert "yarn.0.grist" not in names
    assert "grist" not in remove_row(weighed, "yarn.0.grist.0")["yarn"][0]


def test_a_file_s_short_forms_are_spelt_out_and_mean_the_same() -> None:
    tree = {
        "yarn": [
            {"name": "a", "balls": ["96 g", {"net": "9 g"}], "grist": {"length": "10 m", "weight": "3 g"}},
            {"name": "b", "balls": [{"net": "9 g", "grist": "310 m/100 g"}]},
        ]
    }
    shaped = for_the_page(tree)
    assert shaped["yarn"][0]["balls"][0] == {"net": "96 g"}
    assert shaped["yarn"][0]["grist"] == [{"length": "10 m", "weight": "3 g"}]
    before, after = read_project(tree), read_project(shaped)
    assert before.yarn[0].balls == after.yarn[0].balls
    assert "yarn.1.balls.0.grist" in {field.name for field in Form(shaped).fields()}


def test_the_history_says_what_changed_in_the_words_of_the_page() -> None:
    assert row_in_words("yarn.0.balls.1") == "yarn 1, ball 2"
    after = read_posted(TREE, posted(TREE, yarn__0__balls__0__core="", loom__waste="60", yarn__0__made="mill"))
    said = change_in_words(TREE, after)
    assert said.split("; ") == [
        "yarn 1, Made: handspun → mill",
        "yarn 1, ball 1, Core: 6 g → nothing",
        "Loom waste ↕: 55 cm → 60 cm",
    ]


def test_every_group_row_and_section_has_words() -> None:
    def check(parts: tuple[Any, ...]) -> None:
        for part in parts:
            if isinstance(part, Group):
                assert part.title
            if isinstance(part, Rows):
                assert part.word
                assert re.match(r"(Add|Weigh) ", part.add)
            if not isinstance(part, Field):
                check(part.parts)

    for section in SECTIONS:
        assert section.title
        check(section.parts)


_KEYS = st.sampled_from(sorted({step for field in ALL_FIELDS for step in field.path.split(".") if step != "*"}))
_ODD = st.recursive(
    st.text(max_size=8) | st.integers(-9, 9) | st.booleans() | st.floats(allow_nan=False, allow_infinity=False),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(_KEYS, inner, max_size=4),
    max_leaves=20,
)
_ODD_TREES = st.dictionaries(_KEYS, _ODD, max_size=6)


@given(_ODD_TREES)
@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_tree_is_shown_told_and_posted_back_without_harm(tree: dict[str, Any]) -> None:
    shaped = for_the_page(tree)
    try:
        problems: Any = ()
        read_project(Filled.of(shaped).tree)
    except ProblemsFound as wrong:
        problems = Filled.of(shaped).problems(wrong.problems)
    form = Form(shaped, problems)
    assert len(form.told) == len(problems)
    here = {one.key for one in form.told if not one.page}
    assert here <= {f"{key}-problem" for key in form.problems_by_key()} | {"main"}
    values = {field.name: field.value for field in form.fields()}
    again = read_posted(shaped, values)
    assert {field.name: field.value for field in Form(again).fields()} == values


_TYPED = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=12)


@given(_ODD_TREES, _TYPED, st.data())
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_text_typed_into_any_field_is_kept(tree: dict[str, Any], text: str, data: st.DataObject) -> None:
    fields = [one for one in Form(for_the_page(tree)).fields() if one.field.kind == Kind.TEXT]
    one = data.draw(st.sampled_from(fields))
    changed = read_posted(for_the_page(tree), {one.name: text})
    assert str(at(changed, one.path) or "").startswith(text.strip())
    assert change_in_words(for_the_page(tree), changed)


@pytest.mark.django_db
@given(_ODD_TREES)
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_tree_has_a_page_that_opens_and_saves(tree: dict[str, Any]) -> None:
    project = store.new_project(for_the_page(tree), "opened")
    client = Client()
    html = client.get(f"/project/{project.pk}/").content.decode()
    assert "Still to be settled" in html
    answer = client.post(f"/project/{project.pk}/", {"loom.name": "x"}, headers={"hx-request": "true"})
    assert answer.status_code == 200
    assert client.get(f"/project/{project.pk}/project.toml").status_code == 200


def groups_of(tree: dict[str, Any], problems: tuple[Problem, ...] = ()) -> dict[str, bool]:
    """Whether each group of the page shows what it holds, by its heading."""

    def inside(parts: tuple[Any, ...]) -> dict[str, bool]:
        found: dict[str, bool] = {}
        for part in parts:
            if part.shape == "group":
                found |= {part.group.title: part.open} | inside(part.parts)
            elif part.shape != "field":
                for row in part.entries:
                    found |= inside(row.parts)
        return found

    return {title: shown for section in Form(tree, problems).sections for title, shown in inside(section.parts).items()}


def test_what_few_people_fill_in_is_folded_away_until_something_is_typed() -> None:
    """A washing test stays folded while it is blank, shows when it is typed, and shows when something is wrong with it."""
    blank = groups_of(TREE)
    assert not blank["Washing test"]
    assert blank["Width ↔"]
    typed = TREE | {"yarn": [TREE["yarn"][0] | {"wash_test": {"before": "20 m"}}]}
    assert groups_of(typed)["Washing test"]
    wrong = (Problem(("yarn", 0, "wash_test", "after"), "after what?"),)
    assert groups_of(TREE, wrong)["Washing test"]
    parted = TREE | {"sample": [TREE["sample"][0] | {"parts": [{}]}]}
    assert groups_of(parted)["Cut in parts, finished differently"]
