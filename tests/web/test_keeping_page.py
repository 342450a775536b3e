"""The page Keeping, as somebody uses it: a copy, a wrong hand, the copy put back, that undone; everything out and in again."""

from __future__ import annotations

import io
import json
import re
import sqlite3
import subprocess
import sys
import threading
import zipfile
from pathlib import Path

import pytest
from django.test import Client
from web.a_server import Visitor, served

from clothwright.library import store
from clothwright.library.keeping import waiting
from clothwright.library.keeping.archive import exported
from clothwright.library.models import Project
from clothwright.project import ProblemsFound
from clothwright.web import keeping
from clothwright.web.stillness import Stillness

DEMO = Path(__file__).parents[2] / "examples" / "slate-tide-cloth.toml"


def started(visitor: Visitor, name: str) -> str:
    visitor.get("/")
    return visitor.post("/new/", {"name": name}).headers["Location"]


def listed(visitor: Visitor) -> set[str]:
    """The names of the projects on the table."""
    return set(re.findall(r">(kelp stole|wrack scarf|dulse shawl)</a>", visitor.get("/").text))


def test_a_copy_is_made_put_back_and_that_undone_while_the_pages_are_served(tmp_path: Path) -> None:
    """By the list of copies, and by a file that was downloaded; what is put back counts at once, on every page."""
    with served(tmp_path / "data") as (visitor, _):
        kelp = started(visitor, "kelp stole")
        made = visitor.post("/keeping/copy-now/")
        name = made.headers["Location"].split("/")[3]
        assert "it is whole" in visitor.get(made.headers["Location"]).text
        downloaded = visitor.get(f"/keeping/copies/{name}/file.zip").content
        started(visitor, "wrack scarf")
        visitor.post(kelp, {"name": "dulse shawl"})
        assert listed(visitor) == {"wrack scarf", "dulse shawl"}

        beside = visitor.get(f"/keeping/copies/{name}/").text
        assert re.findall(r"<tr><th scope=\"row\">projects</th><td>(\d)</td><td>(\d)</td>", beside) == [("1", "2")]
        assert "which has fewer changes than are here" in beside
        back = visitor.post(f"/keeping/copies/{name}/", {"do": "put back"})
        assert back.status == 302
        assert listed(visitor) == {"kelp stole"}
        assert "kelp stole" in visitor.get(kelp).text

        undo = re.search(
            r'<a href="(/keeping/copies/[^"]+/)">put that one back', visitor.get(back.headers["Location"]).text
        )
        assert undo is not None
        visitor.get(undo[1])
        assert visitor.post(undo[1], {"do": "put back"}).status == 302
        assert listed(visitor) == {"wrack scarf", "dulse shawl"}

        sent = visitor.post("/keeping/send/", file=("mine.zip", downloaded))
        assert "A copy of everything" in visitor.get(sent.headers["Location"]).text
        assert listed(visitor) == {"wrack scarf", "dulse shawl"}
        assert visitor.post(sent.headers["Location"], {"do": "put back"}).status == 302
        assert listed(visitor) == {"kelp stole"}
        assert visitor.get(sent.headers["Location"]).status == 404
        assert json.loads(visitor.get("/health/").content)["well"] is True


@pytest.mark.django_db
def test_everything_goes_out_and_comes_in_after_a_look_and_is_put_away_again(client: Client) -> None:
    """Nothing is added by looking; what was added is off the table after the undo, and kept."""
    store.new_project({"name": "kelp stole"}, "started")
    archive = client.get("/keeping/everything.zip").content
    store.new_project({"name": "wrack scarf"}, "started")
    more = exported()
    Project.objects.update(head=None)
    from clothwright.library.models import Revision

    Revision.objects.all().delete()
    Project.objects.all().delete()
    where = sent(client, "all.zip", more)
    assert Project.objects.count() == 0
    assert "wrack scarf" in client.get(where).content.decode()
    html = client.post(where, {"do": "bring in"}).content.decode()
    assert Project.objects.filter(put_away=False).count() == 2
    client.post("/keeping/put-away-again/", {"project": re.findall(r'name="project" value="([^"]+)"', html)})
    assert Project.objects.filter(put_away=True).count() == 2
    told = client.get(sent(client, "again.zip", archive)).content.decode()
    assert "Nothing in it is new here" in told
    assert "is here already" in told.lower()


def sent(client: Client, name: str, content: bytes) -> str:
    """The address of the page that tells what is in a file."""
    file = io.BytesIO(content)
    file.name = name
    return str(client.post("/keeping/send/", {"file": file}).headers["Location"])


@pytest.mark.django_db
def test_a_project_file_comes_in_by_the_same_way_and_a_file_that_is_none_is_a_sentence(client: Client) -> None:
    """Left as it is, nothing is added and the file waits no longer."""
    where = sent(client, "slate.toml", DEMO.read_bytes())
    assert "Slate tide" in client.get(where).content.decode()
    assert client.post(where, {"do": "leave"}).status_code == 302
    assert client.get(where).status_code == 404
    assert Project.objects.count() == 0
    where = sent(client, "slate.toml", DEMO.read_bytes())
    assert "Brought in" in client.post(where, {"do": "bring in"}).content.decode()
    assert Project.objects.count() == 1
    for name, content in {"salt.zip": b"salt", "salt.toml": b"= salt", "salt.txt": b"salt"}.items():
        answer = client.get(sent(client, name, content))
        assert answer.status_code == 422
        assert "Nothing was changed" in answer.content.decode()
        assert name in answer.content.decode()
    assert client.post("/keeping/send/").status_code == 422


@pytest.mark.django_db
def test_the_archive_carries_the_sheets_where_asked_and_comes_in_all_the_same(client: Client) -> None:
    """The usual sheets, as far as a project is settled; an unsettled one has no plan. The same library gives the same bytes."""
    from clothwright.library.keeping.archive import bring_in

    where = sent(client, "slate.toml", DEMO.read_bytes())
    client.post(where, {"do": "bring in"})
    store.new_project({"name": "kelp stole"}, "started")
    content = client.get("/keeping/everything.zip?sheets=1").content
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        sheets = [name for name in archive.namelist() if "/sheets/" in name]
        assert {"plan.pdf", "measuring-yarn.pdf"} <= {name.rpartition("/")[2] for name in sheets}
        assert all(archive.read(name).startswith(b"%PDF-") for name in sheets)
        assert not [name for name in sheets if "kelp-stole" in name and name.endswith("plan.pdf")]
    assert exported(keeping.sheets_of) == content
    assert bring_in(content).added == ()


@pytest.mark.django_db
@pytest.mark.parametrize("name", ["../library.sqlite3", "clothwright-2026-01-01-000000.zip", "mine.zip", "%2e%2e"])
def test_only_copies_in_the_folder_of_copies_are_given_out(client: Client, data_folder: Path, name: str) -> None:
    """A name that is no copy's is no page; a file of another name in the folder is none of ours."""
    (data_folder / "backups").mkdir(parents=True)
    (data_folder / "backups" / "mine.zip").write_text("mine")
    assert client.get(f"/keeping/copies/{name}/").status_code == 404
    assert client.get(f"/keeping/copies/{name}/file.zip").status_code == 404


def test_files_that_wait_are_few_and_are_named_by_chance(data_folder: Path) -> None:
    """The oldest goes; a word that is none finds nothing, whatever it looks like."""
    tokens = [waiting.keep_waiting([b"salt"], f"{number}.zip") for number in range(waiting.MOST + 2)]
    assert waiting.waiting(tokens[-1]) is not None
    assert sum(waiting.waiting(one) is not None for one in tokens) == waiting.MOST
    assert waiting.waiting("../secret-key") is None
    assert waiting.waiting("*") is None


def test_stillness_waits_for_others_and_others_wait_for_it() -> None:
    """Three threads, held and let go by events; two that want to be alone do not wait for each other for ever."""
    stillness, order = Stillness(longest_s=5), []
    inside, leave = threading.Event(), threading.Event()

    def one() -> None:
        with stillness.answering():
            inside.set()
            leave.wait(5)
            order.append("one ends")

    first = threading.Thread(target=one)
    first.start()
    inside.wait(5)
    with stillness.answering():
        threading.Timer(0.05, leave.set).start()
        with stillness.alone():
            order.append("alone")
            with pytest.raises(ProblemsFound, match="another copy"), stillness.alone():
                pass
            other = threading.Thread(target=lambda: (stillness.answering().__enter__(), order.append("other")))
            other.start()
            other.join(0.05)
            order.append("alone ends")
    other.join(5)
    first.join(5)
    assert order == ["one ends", "alone", "alone ends", "other"]
    impatient = Stillness(longest_s=0.05)
    with (
        impatient.answering(),
        impatient.answering(),
        pytest.raises(ProblemsFound, match="still being worked out"),
        impatient.alone(),
    ):
        pass


@pytest.mark.django_db
def test_nothing_is_put_back_while_a_layout_is_searched_for(client: Client, data_folder: Path) -> None:
    """The search would go on in a library that is another by then."""
    from web.every_route import Shore

    from clothwright.library.models import LayoutRun

    shore = Shore.made()
    LayoutRun.objects.create(project=shore.project, seconds=30)
    answer = client.post(f"/keeping/copies/{shore.copy}/")
    assert answer.status_code == 409
    assert "stop the search first" in answer.content.decode()


def test_a_second_program_on_the_same_folder_is_told_of_the_first(tmp_path: Path) -> None:
    """And the first goes on; what the commands bring in meanwhile stands on its pages."""
    from web.a_server import begun

    with served(tmp_path / "data") as (visitor, _):
        second = begun(tmp_path / "data")
        _, said = second.communicate(timeout=60)
        assert second.returncode == 2
        assert f"already serves the folder {tmp_path / 'data'} at http://127.0.0.1:{visitor.port}" in said
        command = [sys.executable, "-m", "clothwright", "import", str(DEMO)]
        import os

        subprocess.run(command, env={**os.environ, "CLOTHWRIGHT_DATA": str(tmp_path / "data")}, check=True)
        assert "Slate tide" in visitor.get("/").text
    assert sqlite3.connect(tmp_path / "data" / "library.sqlite3").execute("PRAGMA integrity_check").fetchone() == (
        "ok",
    )
