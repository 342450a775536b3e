"""What takes the interpreter long is worked out apart in a studio: the same answer goes through a pipe, and what is wrong is told."""

from __future__ import annotations

import os
import pickle
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from clothwright.library import store, whose
from clothwright.library.files import read_uploads
from clothwright.library.models import Project
from clothwright.project import Problem, ProblemsFound
from clothwright.web import worked_apart
from clothwright.web.apart import Readers
from clothwright.web.forms.form import for_the_page
from clothwright.web.latest import forget_all
from clothwright.web.worked_apart import GivenUp

EXAMPLES = Path(__file__).parents[2] / "examples"
#: What a page says anew each time it is drawn: the word against forged posts, and the key of an entry typed on it.
ANEW = re.compile(r'(csrfmiddlewaretoken" value="|X-CSRFToken": "|value="desk-)[^"]+')


class Pipe:
    """Works in this process, with all that goes to a process apart and comes back as a pipe would bring it; what was asked for."""

    begun = True

    def __init__(self) -> None:
        self.asked = list[str]()

    def read(self, *asked: Any, seconds: float) -> Any:
        assert seconds > 0
        do, seen, work, given = pickle.loads(pickle.dumps(asked))
        self.asked.append(given[0].__name__)
        return pickle.loads(pickle.dumps(do(seen, work, given)))


@pytest.fixture
def pipe(monkeypatch: pytest.MonkeyPatch) -> Pipe:
    made = Pipe()
    monkeypatch.setattr(worked_apart, "RECKONERS", made)
    monkeypatch.setattr(worked_apart, "close_old_connections", lambda: None)
    return made


def opened(name: str) -> Project:
    file = EXAMPLES / f"{name}.toml"
    tree, _ = read_uploads({file.name: file.read_bytes()})
    return store.new_project(for_the_page(tree), "opened")


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("example", "page", "worked_out"),
    [
        ("eelgrass-tabard", "at_loom", "_forecast"),
        ("spindrift-waistcoats", "leaflet", "_answered"),
        ("rows-of-rectangles", "class", "_answered"),
        ("rows-of-rectangles", "narrow", "_answered"),
        ("rows-of-rectangles", "cut_from", "_answered"),
        ("sandbar-shrug", "record", "_look_back"),
    ],
)
def test_a_page_says_the_same_whether_it_is_worked_out_here_or_apart(
    client: Client, pipe: Pipe, monkeypatch: pytest.MonkeyPatch, example: str, page: str, worked_out: str
) -> None:
    """All that an answer is made of goes through a pipe and comes back as it was."""
    address = reverse(page, args=[opened(example).pk])
    if page == "cut_from":
        address += "?cloths=120+cm+x+60+cm"
    here = client.get(address).content.decode()
    assert pipe.asked == []
    forget_all()
    monkeypatch.setattr(worked_apart, "apart_now", lambda: True)
    apart = client.get(address).content.decode()
    assert worked_out in pipe.asked
    assert ANEW.sub("", apart) == ANEW.sub("", here)
    asked = len(pipe.asked)
    client.get(address)
    assert len(pipe.asked) == asked, "it is kept"


@pytest.fixture(scope="module")
def readers() -> Iterator[Readers]:
    made = Readers(at_once=1)
    yield made
    made.end()


def seen_there() -> tuple[whose.Seen, int]:
    return whose.now(), os.getpid()


def wrong() -> None:
    raise ProblemsFound(Problem(("pattern",), "no pattern is given"))


def work_for_ever() -> None:
    while True:
        pass


def test_the_process_apart_sees_what_is_seen_here(readers: Readers) -> None:
    tern = whose.Seen(owner=7)
    with whose.seeing(tern):
        seen, process = worked_apart.worked_apart(readers, seen_there)
    assert seen == tern
    assert process != os.getpid()


def test_what_is_wrong_with_a_project_is_told_with_its_place(readers: Readers) -> None:
    with pytest.raises(ProblemsFound) as found:
        worked_apart.worked_apart(readers, wrong)
    assert found.value.problems == (Problem(("pattern",), "no pattern is given"),)
    assert not isinstance(found.value, GivenUp)


@pytest.mark.skipif(os.name != "posix", reason="bounds of work are of the system, which has none here")
def test_an_answer_that_takes_too_much_is_given_up_in_a_sentence(
    readers: Readers, caplog: pytest.LogCaptureFixture
) -> None:
    with pytest.raises(GivenUp, match="more than 1 seconds of work, or too much memory; what you typed is kept"):
        worked_apart.worked_apart(readers, work_for_ever, seconds=1, what="the leaflet of revision 3")
    assert "the leaflet of revision 3 was given up" in caplog.text


@pytest.mark.django_db
@pytest.mark.parametrize("page", ["at_loom", "leaflet", "class", "narrow"])
def test_a_page_whose_answer_is_given_up_says_so(client: Client, monkeypatch: pytest.MonkeyPatch, page: str) -> None:
    def given_up(*_: Any) -> Any:
        raise GivenUp(60)

    project = opened("spindrift-waistcoats")
    for module in ("loom.loom_told", "teaching.leaflets", "teaching.class_answers", "pieces.narrow"):
        monkeypatch.setattr(f"clothwright.web.{module}.of_revision", given_up)
    answer = client.get(reverse(page, args=[project.pk]))
    assert answer.status_code == 200
    assert "could not be worked out: it takes more than 60 seconds of work" in answer.content.decode()
