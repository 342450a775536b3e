"""A project file is read whole, or every problem of it is told at once."""

from __future__ import annotations

import datetime
import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from project.reading_for_tests import ebb_jacket, problems
from pydantic import BaseModel
from strategies import projects

from clothwright.project import Problem, ProblemsFound, Project, read_project, read_toml


def test_the_example_reads_without_problems() -> None:
    """Every section and every kind of quantity in it keeps the text as typed."""
    project = ebb_jacket()
    assert project.name == "Ebb jacket"
    assert [yarn.name for yarn in project.yarn] == ["causeway grey", "wrack"]
    assert str(project.cloth.picks) == "3.0 to 3.4/cm"
    assert project.cloth.warp_take_up is not None
    assert project.cloth.warp_take_up.of == "warp"
    assert project.sample[0].length.warp_used_cm == 26.0
    assert project.sample[1].length.warp_used_cm == 205.0
    assert project.leaflet is not None
    assert str(project.leaflet.cloth_lengths["M"]["52 cm"]) == "190 cm"
    assert project.on_loom is not None
    assert project.log[0].picks is not None
    assert project.log[0].picks.count == 32


def test_an_empty_file_is_a_project_with_everything_left_out() -> None:
    """Nothing is needed to begin; the trust asked is a shown default."""
    project = read_project({})
    assert (str(project.trust.size), str(project.trust.yarn)) == ("80 %", "95 %")
    assert (project.cloth.structure, project.loom.warping) == ("plain", "direct")


BAD = """
nam = "x"
name = 3
[trust]
size = "20 %"
yarn = "100 %"
[[yarn]]
name = "grey"
gris = "x"
grist = "8/2"
balls = [{ gross = "5 g", core = "7 g" }, "12", { net = "5 g", gross = "6 g" }, { gros = "5 g" }, { net = "9 g", core = "1 g" }]
[[yarn]]
name = "grey"
made = "machine"
plies = 0
grist = []
[[yarn]]
name = "moss"
grist = { length = "0 m", weight = "3 g" }
[loom]
heddles = ["8 dent", 30]
weaving_width = "0 cm"
[cloth]
structure = "cobweb"
warp_take_up = "3 %"
weft_take_up = "5 % of cloth"
width_ratio = "90"
floating_selvedges = "maybe"
[[sample]]
warp = "rust"
weft = "moss"
width = { in_heddle = "24", finished = "0 cm" }
length = { wound = "2 m", warp = "1,700 mm" }
[[sample]]
length = { wound = "50 cm", waste = "55 cm" }
picks = { count = 0, over = "10 cm" }
[want]
width = "44 cm"
length = "nought"
[pattern]
piece = [{ name = "", width = "24 cm" }]
[[log]]
weft_left = { rust = "165 g", moss = "16" }
[[log]]
weft_left = { moss = "16 g" }
"""

TOLD = {
    "nam": "fields are clothwright, name",
    "name": "in quotes",
    "trust, size": "from 50 % to below 100 %",
    "trust, yarn": "from 50 % to below 100 %",
    "yarn 1, gris": "“gris” is not a field here; fields are name, fibre",
    "yarn 1, grist": "without its system",
    "yarn 1, balls 1": "the core of 7 g leaves no yarn of 5 g",
    "yarn 1, balls 2, net": "12 g or 12 oz",
    "yarn 1, balls 3": "gross and net came",
    "yarn 1, balls 4, gros": "fields are gross, core, net",
    "yarn 1, balls 5": "a core goes with a gross weight",
    "yarn 2, name": "2 yarns are called grey",
    "yarn 2, made": "accepted are handspun or mill",
    "yarn 2, plies": "write 1 or more",
    "yarn 2, grist": "at least one",
    "yarn 3, grist, length": "more than nothing",
    "loom, heddles 1": "8/in or 8/10 cm",
    "loom, heddles 2": "30/in or 30/10 cm",
    "loom, weaving_width": "more than nothing",
    "cloth, structure": "known structures are plain",
    "cloth, warp_take_up": "3 % of warp",
    "cloth, weft_take_up": "3 % of width in heddle",
    "cloth, width_ratio": "is that 90 %?",
    "cloth, floating_selvedges": "true or false",
    "sample 1, warp": "there are grey, moss",
    "sample 1, width, in_heddle": "24 cm or 24 in",
    "sample 1, width, finished": "more than nothing",
    "sample 1, length, warp": "1700",
    "sample 2, length": "leaves no warp",
    "sample 2, picks, count": "more than 0",
    "want, length": "24 cm",
    "pattern, piece 1, name": "empty",
    "pattern, piece 1, length": "left out",
    "log 1, weft_left, rust": "there are grey, moss",
    "log 1, weft_left, moss": "16 g or 16 oz",
    "log 2": "how much woven",
}


def test_the_list_of_a_class_is_said_to_be_one() -> None:
    (said,) = problems({"clothwright_class": 1, "project": "runner.toml", "student": [{"name": "Dulse"}]}).values()
    assert "the list of a class" in said


def test_every_problem_of_a_bad_file_is_told_at_once() -> None:
    """Each fault gives one sentence, with its field and what is accepted; nothing else is told."""
    found = problems(read_toml(BAD))
    assert set(found) == set(TOLD)
    for where, words in TOLD.items():
        assert words in found[where], (where, found[where])


def test_a_wrong_name_and_a_wrong_number_are_told_together() -> None:
    """A log entry of a yarn that is not there is told even where another field is unreadable."""
    tree = {"yarn": [{"name": "grey"}], "log": [{"woven": "6", "weft_left": {"gray": "60 g"}}]}
    found = problems(tree)
    assert set(found) == {"log 1, woven", "log 1, weft_left, gray"}
    assert "there are grey" in found["log 1, weft_left, gray"]


PIECE = {"name": "back", "width": "24 cm", "length": "62 cm"}


@pytest.mark.parametrize(
    ("tree", "where", "words"),
    [
        ({"clothwright": 2}, "clothwright", "it reads 1"),
        ({"yarn": {"name": "grey"}}, "yarn", "[[ ]]"),
        ({"yarn": [None]}, "yarn 1", "a table of fields"),
        ({"cloth": []}, "cloth", "a list came; a table of fields"),
        ({"loom": {"heddles": "30/10 cm"}}, "loom, heddles", "a list is needed"),
        ({"loom": {"heddles": [True]}}, "loom, heddles 1", "write it as text"),
        ({"seed": -1}, "seed", "write 0 or more"),
        ({"seed": "one"}, "seed", "whole number"),
        ({"yarn": [{"name": "   "}]}, "yarn 1, name", "empty"),
        ({"clothwright": True}, "clothwright", "it reads 1"),
        ({"want": {"width": True}}, "want, width", "“true” is not a quantity"),
        ({"want": {"width": [44]}}, "want, width", "a list is not a quantity"),
        ({"want": {"width": datetime.date(2026, 1, 2)}}, "want, width", "“2026-01-02” is not a quantity"),
        ({"trust": {"yarn": "0.95"}}, "trust, yarn", "is that 95 % or 0.95 %?"),
        ({"cloth": {"warp_take_up": "0.03 of warp"}}, "cloth, warp_take_up", "is that 3 % or 0.03 %?"),
        (
            {"pattern": {"piece": [PIECE | {"cut": 10_000}]}},
            "pattern, piece 1, cut",
            "“10000” came; a piece is cut 1 to 999 times",
        ),
        (
            {"pattern": {"piece": [PIECE | {"cut": 3, "pair": True}]}},
            "pattern, piece 1",
            "write cut = 4, or pair = false",
        ),
        ({"pattern": {"piece": [PIECE | {"pair": True}]}}, "pattern, piece 1", "write cut = 2, or pair = false"),
        ({"colours": {"ends": 10_000}}, "colours, ends", "“10000” came; the order of a warp is made of 1 to 5000 ends"),
        ({"cloth": {"warp_take_up": "100 % of warp"}}, "cloth, warp_take_up", "below 100 %"),
        ({"sample": [{"picks": {"count": float("inf"), "over": "1 cm"}}]}, "sample 1, picks, count", "counted"),
        (
            {"yarn": [{"name": "grey"}], "colours": {"keep_for_weft": {"grey": "140 %"}}},
            "colours, keep_for_weft, grey",
            "more than the whole",
        ),
        (
            {"yarn": [{"name": "as dyed"}], "log": [{"woven": "1 cm", "weft_left": {"as dyed": "5"}}]},
            "log 1, weft_left, as dyed",
            "5 g",
        ),
    ],
    ids=str,
)
def test_a_problem_says_where_and_what_is_accepted(tree: dict[str, Any], where: str, words: str) -> None:
    """One sentence in the trade's words, not the library's."""
    found = problems(tree)
    assert set(found) == {where}
    assert words in found[where]
    assert "Part" not in found[where]
    assert "dictionary" not in found[where]


def test_what_is_no_toml_is_told_with_its_line() -> None:
    """The place of the slip comes from the reader of TOML."""
    with pytest.raises(ProblemsFound, match="line 2"):
        read_toml('name = "x"\nyarn = ]\nseed = 1')


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('name = "kelp"\nname = "wrack"', 'line 2, “name = "wrack"”, stands there a second time'),
        ('[want]\nwidth = "44 cm"\n\n[want]\n', "line 4, “[want]”, stands there a second time"),
        ('name = "kelp"\n[want\n', "line 2"),
        ('name = "kelp', '“name = "kelp”'),
    ],
)
def test_a_slip_in_the_file_is_shown_as_it_was_typed(text: str, said: str) -> None:
    """TOML 1.0: a key or a table may be defined once."""
    with pytest.raises(ProblemsFound) as caught:
        read_toml(text)
    assert said in str(caught.value)


def test_a_problem_reads_as_a_person_counts() -> None:
    """The first ball is ball 1."""
    assert str(Problem(("yarn", 0, "balls", 1, "gross"), "what?")) == "yarn 1, balls 2, gross: what?"
    assert str(Problem((), "the file is empty")) == "the file is empty"


def test_the_example_comes_back_from_its_own_text() -> None:
    """Dumped and read again it is the same project, in Python values or through JSON."""
    project = ebb_jacket()
    assert read_project(project.model_dump()) == project
    assert read_project(project.model_dump(mode="json")) == project
    assert read_project(json.loads(project.model_dump_json(exclude_none=True))) == project


@given(projects())
def test_any_project_comes_back_from_its_own_text(tree: dict[str, Any]) -> None:
    """What was typed is kept, so nothing changes by saving."""
    project = read_project(tree)
    assert read_project(json.loads(project.model_dump_json())) == project
    for number, yarn in enumerate(project.yarn):
        assert str(yarn.grist) == tree["yarn"][number]["grist"]


JSONLIKE = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.text(max_size=8)
    | st.sampled_from(["24 cm", "8/2 Ne"]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=12,
)


@given(st.dictionaries(st.sampled_from([*Project.model_fields, "other"]), JSONLIKE, max_size=5))
def test_any_tree_is_a_project_or_a_list_of_problems(tree: dict[str, Any]) -> None:
    """Whatever a file holds, reading it never ends in anything but a project or its problems."""
    try:
        project = read_project(tree)
    except ProblemsFound as found:
        told = found.problems
    else:
        told = ()
        assert isinstance(project, Project)
    assert all(problem.sentence and "Part" not in problem.sentence for problem in told)


def _parts(model: type[BaseModel], found: dict[str, type[BaseModel]]) -> dict[str, type[BaseModel]]:
    found[model.__name__] = model
    for field in model.model_fields.values():
        for inner in _models(field.annotation):
            if inner.__name__ not in found:
                _parts(inner, found)
    return found


def _models(annotation: Any) -> list[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [model for inner in getattr(annotation, "__args__", ()) for model in _models(inner)]


def test_the_json_schema_lists_every_field() -> None:
    """Every part of the document stands in the schema with its fields, and with no others."""
    schema = Project.model_json_schema()
    parts = _parts(Project, {})
    assert len(parts) >= 18
    assert set(schema["properties"]) == set(Project.model_fields)
    for name, part in parts.items():
        stated = schema if name == "Project" else schema["$defs"][name]
        assert set(stated["properties"]) == set(part.model_fields)
        assert stated["additionalProperties"] is False
    assert "for example" in json.dumps(schema["$defs"]["WantPart"])
