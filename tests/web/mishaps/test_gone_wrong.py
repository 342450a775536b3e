"""What a page says when it cannot do what was asked: the disk's trouble in its own words, a fault under a reference, and what was sent."""

from __future__ import annotations

import errno
import json
import re
from pathlib import Path
from typing import Any

import pytest
from django.db import OperationalError, connection
from django.test import Client
from django.urls import reverse

from clothwright import __version__
from clothwright.library import store
from clothwright.library.models import Project
from clothwright.web.mishaps.faults import append_line
from clothwright.web.mishaps.gone_wrong import trouble_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def project() -> Project:
    return store.new_project({"name": "Samphire tabard", "units": "metric"}, "started")


@pytest.fixture
def mishap(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Makes whatever is saved fail with an error."""

    def fails_with(error: Exception) -> Client:
        def broken(*_: Any, **__: Any) -> None:
            raise error

        monkeypatch.setattr(store, "change", broken)
        return Client(raise_request_exception=False)

    return fails_with


@pytest.mark.parametrize(
    ("error", "title", "status"),
    [
        (OperationalError("database or disk is full"), "The disk is full", 507),
        (OSError(errno.ENOSPC, "No space left on device"), "The disk is full", 507),
        (OperationalError("attempt to write a readonly database"), "The library cannot be written in", 503),
        (OperationalError("database is locked"), "The library is held by another program", 503),
        (OperationalError("disk I/O error"), "The disk answers with errors", 503),
    ],
)
def test_trouble_with_the_disk_is_said_as_what_it_is_with_what_was_sent(
    project: Project, mishap: Any, error: Exception, title: str, status: int
) -> None:
    """Each field is there to be sent again by one button, and the token is not among what is shown."""
    answer = mishap(error).post(reverse("project", args=[project.pk]), {"name": "Half-typed <tabard>", "rev": "1"})
    html = answer.content.decode()
    assert answer.status_code == status
    assert f"<h1>{title}</h1>" in html
    assert "was not kept" in html
    assert '<input type="hidden" name="name" value="Half-typed &lt;tabard&gt;">' in html
    assert re.search(rf'<form method="post" action="/project/{project.pk}/">', html)


def test_a_fragment_that_was_asked_for_is_answered_in_one_sentence(project: Project, mishap: Any) -> None:
    """The page stays as it is, with what was typed in it."""
    broken = mishap(OperationalError("database or disk is full"))
    answer = broken.post(reverse("project", args=[project.pk]), {"name": "x"}, HTTP_HX_REQUEST="true")
    assert answer["Content-Type"].startswith("text/plain")
    assert "The disk is full" in answer.content.decode()
    assert "still stands on this page" in answer.content.decode()


def test_who_asks_for_json_is_answered_in_it(project: Project, mishap: Any) -> None:
    """A phone keeps its entries on any such answer."""
    broken = mishap(OperationalError("database or disk is full"))
    answer = broken.post(reverse("project", args=[project.pk]), {}, HTTP_ACCEPT="application/json")
    assert answer.status_code == 507
    assert json.loads(answer.content)["problem"] == "The disk is full"


def test_a_fault_stands_under_the_same_reference_on_the_page_and_in_the_file(
    project: Project, mishap: Any, data_folder: Path
) -> None:
    """With its traceback in the file, and not on the page; another fault has another reference."""
    references = set()
    for _ in range(2):
        html = (
            mishap(RuntimeError("the beam slipped"))
            .post(reverse("project", args=[project.pk]), {"name": "x"})
            .content.decode()
        )
        found = re.search(r"Reference: <strong>([a-z2-9]{8})</strong>", html)
        assert found is not None
        assert "the beam slipped" not in html
        assert f"[{found[1]}]" in (data_folder / "faults.log").read_text()
        references.add(found[1])
    assert len(references) == 2
    assert "RuntimeError: the beam slipped" in (data_folder / "faults.log").read_text()


def test_the_version_stands_on_every_page(client: Client) -> None:
    assert f"Clothwright {__version__}" in client.get("/").content.decode()


def test_an_error_that_tells_of_no_disk_is_no_trouble_of_it() -> None:
    """Also one that came of another, and one inside of which such trouble lies."""
    assert trouble_of(None) is None
    assert trouble_of(RuntimeError("database is locked")) is None
    assert trouble_of(OSError(errno.ENOENT, "not there")) is None
    outer = RuntimeError("outer")
    outer.__cause__ = OperationalError("database or disk is full")
    assert trouble_of(outer) is not None


def test_a_library_that_really_is_full_says_so_and_keeps_what_was_kept(project: Project) -> None:
    """SQLite itself is told that its file may grow no further (PRAGMA max_page_count): its own error goes the whole way."""
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA page_count")
        (pages,) = cursor.fetchone()
        cursor.execute(f"PRAGMA max_page_count={pages}")
        try:
            answer = Client(raise_request_exception=False).post(
                reverse("project", args=[project.pk]), {"name": "brine " * 9000, "rev": "1"}
            )
        finally:
            cursor.execute("PRAGMA max_page_count=1073741823")
    assert answer.status_code == 507
    assert "brine brine" in answer.content.decode()
    assert store.head(store.project(project.pk)).tree["name"] == "Samphire tabard"


def test_the_file_of_faults_is_put_aside_when_it_has_grown_large(tmp_path: Path) -> None:
    """One file before is kept."""
    file = tmp_path / "faults.log"
    for number in range(6):
        append_line(file, f"{number} " + "x" * 60, largest=100)
    assert file.read_text().startswith("4 ")
    assert (tmp_path / "faults.log.before").read_text().startswith("2 ")
