"""A disk that is full, read-only or damaged: a clear sentence, and nothing lost. On real file systems, by the real program."""

from __future__ import annotations

import json
import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from pathlib import Path

import pytest
from web.a_server import begun, served

Mount = Callable[..., None]


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[tuple[Path, Mount]]:
    """A disk of three megabytes in memory, and a way to mount it otherwise."""
    place = tmp_path / "disk"
    place.mkdir()

    def mount(*words: str) -> None:
        subprocess.run(["mount", *words], check=True, capture_output=True)

    if sys.platform != "linux" or os.geteuid() != 0:
        pytest.skip("only root of a Linux machine can mount a small disk")
    try:
        mount("-t", "tmpfs", "-o", "size=3m", "tide-pool", str(place))
    except (OSError, subprocess.CalledProcessError) as error:
        pytest.skip(f"this machine does not let a small disk be mounted: {error}")
    yield place, mount
    subprocess.run(["umount", "-l", place], check=True)


def filled(ballast: Path, but: int) -> None:
    """Fill the disk with a file, but for so many bytes."""
    with ballast.open("wb", buffering=0) as file:
        with suppress(OSError):
            while True:
                file.write(bytes(4096))
        file.truncate(max(0, file.tell() - but))


def names_kept(folder: Path) -> set[str]:
    """Every name that any revision holds, of a library that SQLite finds whole."""
    with closing(sqlite3.connect(folder / "library.sqlite3")) as opened:
        assert opened.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        return {json.loads(tree).get("name", "") for (tree,) in opened.execute("SELECT tree FROM library_revision")}


def test_a_disk_that_fills_up_loses_nothing_and_takes_changes_again_when_there_is_room(
    small_disk: tuple[Path, Mount],
) -> None:
    """Changes until one is refused for want of room, pages that can still be read, room made, and the refused change sent again."""
    place, _ = small_disk
    folder, kept, refused = place / "data", set(), None
    with served(folder, "--log", "json") as (visitor, process):
        visitor.get("/looms/")
        project = visitor.post("/new/", {"name": "first of all"}).headers["Location"]
        ballast = place / "ballast"
        filled(ballast, but=200_000)
        for number in range(200):
            name = (f"{number} " + "brine " * 800).strip()
            answer = visitor.post(project, {"name": name})
            if answer.status == 507:
                refused = name, answer
                break
            assert answer.status == 303
            kept.add(name)
        assert refused is not None, "the disk never filled up"
        assert kept
        assert "The disk is full" in refused[1].text
        assert refused[0] in refused[1].text
        assert visitor.get("/looms/").status == 200
        assert visitor.get("/health/").status == 503
        assert visitor.post("/keeping/copy-now/").status == 422
        assert not list((folder / "backups").glob("*"))
        ballast.unlink()
        assert visitor.post(project, {"name": refused[0]}).status == 303
        process.terminate()
        said = process.communicate(timeout=20)[1]
    assert kept | {refused[0], "first of all"} <= names_kept(folder)
    told = [json.loads(line) for line in said.splitlines() if line.startswith("{")]
    assert [one["status"] for one in told if one.get("event") == "answered"].count(507) == 1
    assert "brine" not in "".join(line for line in said.splitlines() if line.startswith("{"))


def test_a_folder_on_a_disk_that_is_read_only_is_told_of_and_can_be_used_once_it_is_not(
    small_disk: tuple[Path, Mount],
) -> None:
    """Serving, copying and exporting; what was kept is there when the disk can be written again."""
    place, mount = small_disk
    folder = place / "data"
    with served(folder) as (visitor, _):
        visitor.get("/looms/")
        visitor.post("/new/", {"name": "eelgrass wrap"})
    mount("-o", "remount,ro", str(place))
    for command in (["serve", "--port", "0"], ["backup"], ["export", "-o", str(place / "all.zip")]):
        ran = subprocess.run(
            [sys.executable, "-m", "clothwright", *command],
            env={**os.environ, "CLOTHWRIGHT_DATA": str(folder)},
            capture_output=True,
            text=True,
            check=False,
            timeout=60,
        )
        assert ran.returncode == 2, ran.stderr
        assert f"the folder {folder} cannot be used: it cannot be written in" in ran.stderr
    mount("-o", "remount,rw", str(place))
    assert names_kept(folder) == {"eelgrass wrap"}


def test_a_library_that_is_damaged_is_left_as_it_is_and_the_way_back_is_told(tmp_path: Path) -> None:
    """The program does not begin anew in its place."""
    folder = tmp_path / "data"
    folder.mkdir()
    damaged = b"salt" * 4096
    (folder / "library.sqlite3").write_bytes(damaged)
    process = begun(folder)
    _, said = process.communicate(timeout=60)
    assert process.returncode == 2
    assert "library.sqlite3 cannot be opened: file is not a database; it was left as it is" in said
    assert "clothwright restore FILE" in said
    assert (folder / "library.sqlite3").read_bytes() == damaged


@pytest.mark.django_db
def test_every_connection_writes_through_to_the_disk_at_each_commit() -> None:
    """SQLite's own answers (https://www.sqlite.org/pragma.html): WAL, synchronous 2 (FULL), as the settings ask of a file."""
    import threading

    from django.conf import settings

    asked = settings.DATABASES["default"]["OPTIONS"]["init_command"]
    answers: list[tuple[object, ...]] = []

    def connected() -> None:
        from django.db.backends.sqlite3.base import DatabaseWrapper

        given = {**settings.DATABASES["default"], "NAME": str(settings.DATABASES["default"]["NAME"])}
        given |= {"TIME_ZONE": None, "CONN_MAX_AGE": 0, "CONN_HEALTH_CHECKS": False, "AUTOCOMMIT": True}
        own = DatabaseWrapper(given | {"NAME": str(file)}, alias="own")
        with own.cursor() as cursor:
            answers.append(
                tuple(cursor.execute(f"PRAGMA {one}").fetchone()[0] for one in ("journal_mode", "synchronous"))
            )
        own.close()

    from clothwright.library.folder import prepared_folder

    file = prepared_folder() / "one.sqlite3"
    for _ in range(2):
        thread = threading.Thread(target=connected)
        thread.start()
        thread.join()
    assert "synchronous=FULL" in asked
    assert answers == [("wal", 2), ("wal", 2)]
