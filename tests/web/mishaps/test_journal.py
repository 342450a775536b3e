"""The log tells which page was answered and how fast, and nothing of anybody's."""

from __future__ import annotations

import json
import logging
import time
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from web.every_route import Shore

from clothwright.library import store
from clothwright.project import ProblemsFound
from clothwright.web import planned
from clothwright.web.mishaps import journal
from clothwright.web.mishaps.journal import JournalLines, line_of

pytestmark = pytest.mark.django_db

SECRETS = {"name": "Petronella's wedding shawl", "notes": "for 14 Quay Street"}


@pytest.fixture
def lines(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Every line that the program tells while the test runs, as JSON."""
    told: list[str] = []

    class Kept(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            told.append(JournalLines().format(record))

    kept = Kept()
    for name in ("clothwright", "django"):
        monkeypatch.setattr(logging.getLogger(name), "handlers", [*logging.getLogger(name).handlers, kept])
    return told


def test_every_answer_is_one_line_of_json_with_the_route_and_the_time(client: Client, lines: list[str]) -> None:
    """The route stands by its name, and a page that is not there has none."""
    client.get("/?name=Petronella")
    client.get("/no-such-page/Petronella/")
    first, *_ = (json.loads(line) for line in lines)
    assert {key: first[key] for key in ("event", "route", "method", "status")} == {
        "event": "answered",
        "route": "projects",
        "method": "GET",
        "status": 200,
    }
    assert first["ms"] > 0
    assert first["bytes"] > 1000
    assert [json.loads(line)["route"] for line in lines if "answered" in line] == ["projects", None]


def test_nothing_typed_named_or_sent_stands_in_any_line_whatever_is_walked(
    lines: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every address got and posted to with a name and an address in it; and a fault whose message holds them."""
    shore = Shore.made()
    store.change(shore.project, {**store.head(shore.project).tree, **SECRETS}, SECRETS["name"])
    client = Client(raise_request_exception=False, headers={"user-agent": SECRETS["name"]})
    for visit in shore.visits:
        for method in ("get", "post"):
            if method.upper() in visit.takes and visit.name not in ("copy", "search", "leaflet_work_out"):
                getattr(client, method)(visit.path, SECRETS)

    def broken(*_: Any, **__: Any) -> None:
        raise RuntimeError(SECRETS["notes"])

    monkeypatch.setattr(store, "history", broken)
    assert client.get(reverse("history", args=[shore.project.pk])).status_code == 500
    whole = "\n".join(lines)
    for word in ("Petronella", "Quay Street", "127.0.0.1", str(shore.project.pk), "Samphire"):
        assert word not in whole
    fault = next(json.loads(line) for line in lines if '"fault": "RuntimeError"' in line)
    assert fault["where"].endswith(".py") is False
    assert ".py:" in fault["where"]
    assert len(fault["reference"]) == 8


def test_a_plan_that_takes_long_is_written_down_by_numbers_alone(
    lines: list[str], monkeypatch: pytest.MonkeyPatch, data_folder: Path
) -> None:
    """How long it took, and how much there was to plan."""
    shore = Shore.made()
    monkeypatch.setenv(journal.SLOW, "0")
    planned.answer(store.head(shore.project))
    (line,) = (data_folder / "slow-plans.log").read_text().splitlines()
    told = json.loads(line)
    assert told["event"] == "slow plan"
    assert told["seconds"] >= 0
    assert (told["yarns"], told["pieces_typed"], told["samples"]) == (1, 1, 0)
    assert told["project"] == str(shore.project.pk)[:8]
    assert "amphire" not in line


def test_lines_go_to_standard_error_only_where_they_were_asked_for(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """In JSON or in words; nothing else is a form."""
    record = logging.makeLogRecord(
        {"name": "clothwright.answers", "levelname": "INFO", "created": time.time(), "told": {"event": "answered"}}
    )
    for form in ("json", "text", "", "xml"):
        monkeypatch.setenv(journal.ENVIRONMENT, form)
        journal.ToStandardError().emit(record)
        said = capsys.readouterr().err
        if form == "json":
            assert json.loads(said) == line_of(record)
        else:
            assert ("event=answered" in said) == (form == "text")
            assert bool(said) == (form == "text")


def test_a_slow_page_is_written_down_with_where_its_seconds_went(
    client: Client, lines: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The stages of a plan made for it, and how often the database was asked; from when is set in seconds, and nothing else is."""
    shore = Shore.made()
    monkeypatch.setenv(journal.SLOW, "0")
    client.get(reverse("project", args=[shore.project.pk]))
    told = next(json.loads(line) for line in lines if "slow page" in line)
    assert told["route"] == "project"
    assert {"planning", "evidence", "reading", "database"} <= set(told["stages"])
    assert told["queries"] > 3
    for typed in ("soon", "-1", "inf"):
        monkeypatch.setenv(journal.SLOW, typed)
        with pytest.raises(ProblemsFound, match="write seconds, as 2"):
            journal.slow_after_s()
