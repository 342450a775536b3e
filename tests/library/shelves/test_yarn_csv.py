"""Yarn as a table: what is kept, what is told of, and that a table written reads back as the same yarns."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from clothwright.library.shelves.yarn_csv import (
    COLUMNS,
    EXAMPLE,
    LARGEST_TABLE,
    kept_tree,
    read_yarn_table,
    row_of,
    yarn_table,
)
from clothwright.project import ProblemsFound

HEAD = "name,fibre,made,plies,use,replaceable,grist,weighings,balls"


def table(*rows: str, head: str = HEAD) -> bytes:
    return "\n".join((head, *rows)).encode()


def test_the_filled_example_reads_back_as_it_was_and_uses_every_column() -> None:
    found = read_yarn_table(yarn_table(EXAMPLE).encode())
    assert found.bad == ()
    assert [tree for _, tree in found.yarns] == list(EXAMPLE)
    beside = {"core": "cores", "winder": "winders"}
    named = {beside.get(column, column) for tree in EXAMPLE for column in tree} | {"weighings"}
    assert named == set(COLUMNS)


def test_three_bad_rows_of_twenty_are_told_of_and_seventeen_are_kept() -> None:
    rows = [f"skein {n},wool,handspun,2,weft,no,310 m/100 g,,{90 + n} g" for n in range(20)]
    rows[4] = "skein 4,wool,handspun,2,weft,no,2/40,,94 g"
    rows[11] = "skein 11,wool,machine,2,weft,no,310 m/100 g,,101"
    rows[19] = ",wool,handspun,2,weft,no,310 m/100 g,,109 g"
    found = read_yarn_table(table(*rows))
    assert (len(found.yarns), found.bad_rows) == (17, 3)
    told = {(one.line, one.column): (one.came, one.accepted) for one in found.bad}
    assert set(told) == {(6, "grist"), (13, "made"), (13, "balls"), (21, "name")}
    assert told[6, "grist"][0] == "2/40"
    assert "system" in told[6, "grist"][1]
    assert told[13, "made"] == ("machine", "accepted are handspun or mill")
    assert told[13, "balls"] == ("101", "101 what? Write 101 g or 101 oz")
    assert told[21, "name"][0] == "nothing"


@pytest.mark.parametrize(
    ("cell", "balls"),
    [
        ("104 g", [{"net": "104 g"}]),
        ("gross 118 g core 6 g; 4 oz", [{"gross": "118 g", "core": "6 g"}, {"net": "4 oz"}]),
        ("gross 118 g, core 6 g", [{"gross": "118 g", "core": "6 g"}]),
        ("length 85 m", [{"length": "85 m"}]),
        ("1 lb, 2 oz", [{"net": "1 lb, 2 oz"}]),
        ("96 g weighed 10 m = 3.1 g", [{"net": "96 g", "grist": {"length": "10 m", "weight": "3.1 g"}}]),
        ("96 g grist 2/17 Nm", [{"net": "96 g", "grist": "2/17 Nm"}]),
    ],
)
def test_a_ball_is_words_and_quantities_kept_as_typed(cell: str, balls: list[dict[str, Any]]) -> None:
    found = read_yarn_table(table(f'kelp,,,,,,310 m/100 g,,"{cell}"'))
    assert found.bad == ()
    assert found.yarns[0][1]["balls"] == balls


@pytest.mark.parametrize(
    ("row", "column", "accepted"),
    [
        ("kelp,,,two,,,,,", "plies", "whole number"),
        ("kelp,,,,,maybe,,,", "replaceable", "yes or no"),
        ("kelp,,,,,,310 m/100 g,10 m = 3 g,", "weighings", "either grist or weighings"),
        ("kelp,,,,,,,10 m 3 g,", "weighings", "10 m = 3.1 g"),
        ("kelp,,,,,,,10 m = three,", "weighings", "112 g"),
        ("kelp,,,,,,,,104 g net 3 g", "balls", "gross 118 g core 6 g"),
        ("kelp,,,,,,,,gross 5 g core 6 g", "balls", "leaves no yarn"),
        ("kelp,,,,,,,,1 g,stray", "after the last", "9 cells"),
    ],
)
def test_a_bad_cell_is_told_of_with_its_column_and_what_is_accepted(row: str, column: str, accepted: str) -> None:
    found = read_yarn_table(table("good,,,,,,,,", row))
    assert [tree["name"] for _, tree in found.yarns] == ["good"]
    told = [one for one in found.bad if one.column == column]
    assert len(told) == 1
    assert (told[0].line, accepted in told[0].accepted) == (3, True)
    assert told[0].came


def test_lines_are_counted_as_an_editor_counts_them() -> None:
    found = read_yarn_table(b'name,fibre,plies\n"kelp\nand wrack",wool,2\n\nlimpet,wool,two\n')
    assert found.yarns[0] == (2, {"name": "kelp\nand wrack", "fibre": "wool", "plies": 2})
    assert [one.line for one in found.bad] == [5]


@pytest.mark.parametrize("between", [",", ";", "\t"])
def test_commas_semicolons_and_tabs_are_told_apart_by_the_head(between: str) -> None:
    text = between.join(("Name", "Scale step", "balls")) + "\r\n" + between.join(("kelp", "1 g", '"1 g; 2 g"'))
    found = read_yarn_table(b"\xef\xbb\xbf" + text.encode())
    assert [tree for _, tree in found.yarns] == [
        {"name": "kelp", "scale_step": "1 g", "balls": [{"net": "1 g"}, {"net": "2 g"}]}
    ]


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "name the columns"),
        (b"\n\n", "name the columns"),
        (b"fibre,plies\nwool,2", "name among them"),
        (b"name,colours\nkelp,moss", "colours came"),
        (b"name,name\nkelp,kelp", "twice"),
        (b"name,\nkelp,moss", "a column without a name"),
        (b"name,fibre\n\xff,wool", "UTF-8"),
        (b'name,fibre\n"kelp,wool', "line 2"),
        (b"name\n" + b"x" * LARGEST_TABLE, "larger than"),
    ],
)
def test_what_is_no_table_of_yarns_is_refused_whole_with_a_sentence(content: bytes, sentence: str) -> None:
    with pytest.raises(ProblemsFound) as refused:
        read_yarn_table(content)
    assert sentence in str(refused.value)


WORDS = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Zl", "Zp")), min_size=1, max_size=12)
NAMES = WORDS.map(str.strip).filter(bool)
GRAMS = st.integers(1, 999).map(lambda grams: f"{grams} g")
BALLS = st.one_of(
    st.fixed_dictionaries({"net": GRAMS}),
    st.fixed_dictionaries({"gross": st.just("1 kg"), "core": GRAMS}),
    st.fixed_dictionaries({"length": st.just("85 m"), "grist": st.just("2/17 Nm")}),
)
TOOL_NAMES = NAMES.map(lambda name: f"a {name}")
SEEN = st.sampled_from(["passes freely", "rubs", "sticks"])
TRIALS = st.fixed_dictionaries(
    {"hole": SEEN},
    optional={
        "heddle": st.sampled_from(["30/10 cm", "12/in reed, 1-2"]),
        "slot": SEEN,
        "rub_strokes": st.integers(1, 99),
        "rub": st.sampled_from(["unchanged", "fuzzes", "breaks"]),
        "tension_overnight": st.sampled_from(["holds", "stretches"]),
        "knot": st.sampled_from(["passes", "catches"]),
    },
)
TESTS = st.sampled_from(
    [
        {"before": "100 m", "after": "82 m"},
        {"before": "3.1 g", "after": "3.4 g", "of": "10 m"},
        {"before": '20"', "after": "19 in"},
    ]
)
TOOL_LISTS = st.fixed_dictionaries(
    {},
    optional={
        "core": st.lists(
            st.fixed_dictionaries({"name": TOOL_NAMES, "weight": GRAMS}),
            min_size=1,
            max_size=3,
            unique_by=lambda one: one["name"],
        ),
        "winder": st.lists(
            st.fixed_dictionaries(
                {"name": TOOL_NAMES, "nominal": st.just("1.5 m")}, optional={"turns": st.integers(1, 99)}
            ).map(lambda one: one | ({"measured": "14.8 m"} if "turns" in one else {})),
            min_size=1,
            max_size=2,
            unique_by=lambda one: one["name"],
        ),
    },
)


def with_balls_on_them(yarn: dict[str, Any]) -> dict[str, Any]:
    """The yarn with a ball on each of its cores, and one wound on each of its winders."""
    on_cores = [{"gross": "2 kg", "core": core["name"]} for core in yarn.get("core", [])]
    wound = [{"length": f"48 turns of {one['name']}"} for one in yarn.get("winder", [])]
    balls = [*yarn.get("balls", []), *on_cores, *wound]
    return yarn | ({"balls": balls} if balls else {})


YARNS = st.fixed_dictionaries(
    {"name": NAMES},
    optional={
        "fibre": NAMES,
        "colour": NAMES,
        "plies": st.integers(1, 9),
        "replaceable": st.booleans(),
        "grist": st.sampled_from(["310 m/100 g", [{"length": "10 m", "weight": "3.1 g"}]]),
        "balls": st.lists(BALLS, min_size=1, max_size=3),
        "wash_test": TESTS,
        "heddle_trial": TRIALS,
    },
)


@given(st.lists(st.builds(lambda yarn, tools: with_balls_on_them(yarn | tools), YARNS, TOOL_LISTS), max_size=4))
@example([with_balls_on_them({"name": "kelp", "core": [{"name": "a gross; “tall” = net", "weight": "6 g"}]})])
@example([with_balls_on_them({"name": "kelp", "winder": [{"name": "measured turns; 2”", "nominal": "2 m"}]})])
def test_any_yarns_written_as_a_table_read_back_the_same(yarns: list[dict[str, Any]]) -> None:
    found = read_yarn_table(yarn_table(yarns).encode())
    assert found.bad == ()
    assert [tree for _, tree in found.yarns] == yarns


@pytest.mark.parametrize(
    ("column", "cell", "told"),
    [
        ("wash_test", "100 m", "became"),
        ("wash_test", "100 m became", "became"),
        ("wash_test", "100 m became 3 g", "cannot be compared"),
        ("wash_test", "82 m became 100 m", "swapped"),
        ("heddle_trial", "hole sings", "passes freely"),
        ("heddle_trial", "hole rubs; hole sticks", "slot passes freely"),
        ("heddle_trial", "door rubs", "slot passes freely"),
        ("heddle_trial", "strokes some; rub fuzzes", "whole number"),
        ("cores", "tall cone 18 g", "tall cone = 18 g"),
        ("cores", "tall cone = heavy", "112 g"),
        ("winders", "niddy-noddy 1.5 m", "how long is a turn"),
        ("winders", "nominal 1.5 m", "niddy-noddy nominal"),
        ("winders", "niddy-noddy turns 10 nominal 1 m", "turns measured what"),
        ("balls", "gross 118 g core tall cone", "no core has that name"),
    ],
)
def test_a_bad_test_trial_or_tool_is_told_of_in_its_column(column: str, cell: str, told: str) -> None:
    found = read_yarn_table(table("good,", f'kelp,"{cell}"', head=f"name,{column}"))
    assert [tree["name"] for _, tree in found.yarns] == ["good"]
    assert [(one.line, one.column) for one in found.bad] == [(3, column)]
    assert told in found.bad[0].accepted


def test_the_tools_of_a_row_are_kept_beside_its_yarn() -> None:
    """As the shelf keeps a yarn typed on its page: the yarn in one list, its cores and winders in theirs."""
    kept = [kept_tree(row) for row in EXAMPLE]
    assert kept[1]["core"] == [{"name": "tall cone", "weight": "25 g"}]
    assert "core" not in kept[1]["yarn"][0]
    assert [row_of(tree) for tree in kept] == list(EXAMPLE)


@pytest.mark.parametrize("odd", [{"balls": "wool"}, {"grist": 3}, {"balls": [7]}, {"name": None}, {"grist": [None]}])
def test_a_yarn_that_makes_no_sense_still_goes_out(odd: dict[str, Any]) -> None:
    assert yarn_table([{"name": "kelp"} | odd]).count("\n") == 2
