"""Entries from phones: kept once, every bad one told, none lost, by the network and by file alike."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from hypothesis import given
from hypothesis import strategies as st

from clothwright.library import store
from clothwright.library.loom.entries import digest_of, entries
from clothwright.library.models import PhoneEntry, Project
from clothwright.project import ProblemsFound
from clothwright.web.forms.form import for_the_page
from clothwright.web.phone import phone_files
from clothwright.web.phone.phone_entries import Batch, read_batch, take_in

BASKET = Path(__file__).parents[3] / "examples" / "basket-of-balls.toml"
RUNS = [
    {"yarn": "marram", "ends": 6, "ball": 0, "colour": "#7f8f4e"},
    {"yarn": "shell", "ends": 14, "ball": 2, "colour": ""},
]
ORDER = digest_of(RUNS)
TEXT = st.text(st.characters(exclude_characters="\0", exclude_categories=["Cs"]), max_size=20)


@pytest.fixture
def project(db: None) -> Project:
    tree = tomllib.loads(BASKET.read_text(encoding="utf-8"))
    return store.new_project(for_the_page(tree), "opened")


def tick(**changed: Any) -> dict[str, Any]:
    entry = {"kind": "tick", "key": str(uuid4()), "phone": "phone-1", "seq": 1, "seen": 0, "order": ORDER}
    entry |= {"made_at": "2031-03-14T09:26:53.589Z", "task": "winding", "first": 1, "last": 10, "ticked": True}
    return entry | changed


def batch(*these: Any, orders: Any = (RUNS,)) -> Batch:
    return Batch(these, orders)


def outcomes(project: Project, *these: Any) -> list[tuple[str, str]]:
    return [(one.outcome, one.sentence) for one in take_in(project, batch(*these)).outcomes]


def test_an_entry_sent_twice_is_kept_once(project: Project) -> None:
    one = tick()
    assert outcomes(project, one, one) == [("kept", ""), ("already", "")]
    assert outcomes(project, one) == [("already", "")]
    assert [entry.content for entry in entries(project)] == [one]


def test_numbers_grow_so_that_a_phone_can_ask_for_what_is_new(project: Project) -> None:
    taken = take_in(project, batch(tick(), tick(seq=2), tick(seq=3)))
    numbers = [one.number for one in taken.outcomes]
    assert numbers == sorted(set(numbers))
    assert [one.number for one in entries(project, numbers[0])] == numbers[1:]


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"first": 15, "last": 31}, "ends 15 to 31 of an order of 20 ends"),
        ({"first": 9, "last": 3}, "ends 9 to 3 of an order of 20 ends"),
        ({"order": "0123456789abcdef"}, "a colour order that this project does not know"),
        ({"first": "one"}, "first: input should be a valid integer"),
        ({"first": "1"}, "first: input should be a valid integer"),
        ({"made_at": "yesterday"}, "made_at"),
        ({"kind": "tock"}, "tick"),
        ({"surplus": 1}, "surplus"),
    ],
)
def test_what_cannot_be_used_is_kept_all_the_same_and_says_why(
    project: Project, changed: dict[str, Any], said: str
) -> None:
    one = tick(**changed)
    ((outcome, sentence),) = outcomes(project, one)
    assert outcome == "kept"
    assert said in sentence
    assert sentence.endswith("it is kept as it came")
    assert entries(project)[0].content == one


@pytest.mark.parametrize(
    "bad", [tick(key="mine"), {"kind": "tick"}, 7, None, "tick", [], tick(note="x" * 30_000), tick(note="\0")]
)
def test_what_has_no_key_or_is_too_large_is_refused_and_the_others_are_kept(project: Project, bad: Any) -> None:
    before, after = tick(), tick(seq=2)
    (_, (outcome, sentence), _) = outcomes(project, before, bad, after)
    assert (outcome, bool(sentence)) == ("refused", True)
    assert [entry.content for entry in entries(project)] == [before, after]


def test_one_key_never_stands_for_two_entries(project: Project) -> None:
    one = tick()
    take_in(project, batch(one))
    ((outcome, sentence),) = outcomes(project, one | {"last": 12})
    assert outcome == "refused"
    assert "both stay where they are" in sentence
    other = store.new_project({"name": "other"}, "started")
    ((outcome, sentence),) = outcomes(other, one)
    assert (outcome, sentence) == ("refused", "an entry of this key belongs to another project")


def test_the_digest_of_an_order_counts_yarns_ends_and_balls_and_no_colour() -> None:
    assert digest_of([{**RUNS[0], "colour": "#000000"}, RUNS[1]]) == ORDER
    for changed in ({"ends": 7}, {"yarn": "slate"}, {"ball": 1}):
        assert digest_of([{**RUNS[0], **changed}, RUNS[1]]) != ORDER
    assert digest_of(RUNS[::-1]) != ORDER


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no file of entries"),
        ("[1, 2]", "no file of entries"),
        ("[" * 100_000, "no file of entries"),
        ('{"clothwright_entries": 2, "entries": []}', "no file of entries of form 1"),
        ('{"clothwright_entries": 1, "entries": {}}', "no file of entries of form 1"),
        (b"\xff\xfe\x00", "no file of entries"),
        ('{"clothwright_entries": 1, "entries": [NaN]}', "no file of entries"),
    ],
)
def test_a_file_that_is_none_is_refused_in_one_sentence(project: Project, text: Any, said: str) -> None:
    with pytest.raises(ProblemsFound, match=said):
        read_batch(text, project)


def test_entries_of_another_project_are_refused_by_its_name(project: Project) -> None:
    given_back = {"clothwright_entries": 1, "project": str(uuid4()), "project_name": "Kelp stole", "entries": []}
    with pytest.raises(ProblemsFound, match="these entries are of “Kelp stole”, not of “Basket of balls”"):
        read_batch(json.dumps(given_back), project)


def posted(project: Project, *these: Any) -> dict[str, Any]:
    return {
        "clothwright_entries": 1,
        "project": str(project.pk),
        "phone": "phone-1",
        "orders": [RUNS],
        "entries": these,
    }


def test_the_network_and_the_file_are_one_path(project: Project, client: Client) -> None:
    one, two = tick(), tick(seq=2, first=11, last=20)
    sent = client.post(f"/phone/{project.pk}/entries/", posted(project, one), content_type="application/json")
    assert [said["outcome"] for said in sent.json()["outcomes"]] == ["kept"]
    page = client.post(f"/project/{project.pk}/phones/", {"text": json.dumps(posted(project, one, two))})
    assert "1 new, 1 here already, 0 refused" in page.content.decode()
    told = client.get(f"/phone/{project.pk}/state/?since=0&phone=phone-1").json()
    assert [said["key"] for said in told["entries"]] == [one["key"], two["key"]]
    assert told["yours"] == 2
    assert told["orders"][ORDER] == RUNS


def test_a_phone_must_show_the_token_it_was_given(project: Project) -> None:
    strict, address = Client(enforce_csrf_checks=True), f"/phone/{project.pk}/entries/"
    body = json.dumps(posted(project, tick()))
    assert strict.post(address, body, content_type="application/json").status_code == 403
    token = strict.get(f"/phone/{project.pk}/state/").json()["token"]
    answer = strict.post(address, body, content_type="application/json", headers={"X-CSRFToken": token})
    assert answer.json()["outcomes"][0]["outcome"] == "kept"


def test_what_was_typed_stays_in_the_box_when_it_is_refused(project: Project, client: Client) -> None:
    answer = client.post(f"/project/{project.pk}/phones/", {"text": "not <entries>"})
    assert answer.status_code == 422
    assert "not &lt;entries&gt;</textarea>" in answer.content.decode()
    assert "no file of entries" in answer.content.decode()


def test_names_of_yarns_cannot_break_out_of_the_page(project: Project, client: Client) -> None:
    tree = dict(store.head(project).tree)
    tree["name"] = "</script><script>alert(1)</script>"
    store.change(project, tree, "named")
    for address in ("board/", "take-along.html"):
        html = client.get(f"/phone/{project.pk}/{address}").content.decode()
        assert "<script>alert(1)" not in html


def test_the_joined_script_loads_nothing_and_every_module_stands_after_those_it_needs() -> None:
    script = phone_files.joined_script()
    assert "import " not in script.replace("important", "")
    assert "export " not in script
    for place, module in enumerate(phone_files.MODULES):
        assert set(phone_files.needed_by(module)) <= set(phone_files.MODULES[:place])
    folder = Path(phone_files.__file__).parent.parent / "static" / "clothwright" / "phone"
    assert {path.stem for path in folder.glob("*.js")} == {*phone_files.MODULES, "worker"}


@pytest.mark.django_db
@given(
    said=st.recursive(
        st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | TEXT,
        lambda inside: st.lists(inside, max_size=4) | st.dictionaries(TEXT, inside, max_size=4),
        max_leaves=12,
    )
)
def test_whatever_comes_has_an_outcome_and_what_has_a_key_is_kept(said: Any) -> None:
    project = store.new_project({"name": "any"}, "started")
    keyed = {**said, "key": str(uuid4())} if isinstance(said, dict) else said
    taken = take_in(project, Batch([keyed], [said]))
    (one,) = taken.outcomes
    assert one.outcome == ("kept" if isinstance(said, dict) else "refused")
    assert PhoneEntry.objects.filter(project=project).count() == isinstance(said, dict)
