"""Kill the server in mid-write, many times, and look for anything that was acknowledged and is missing.

    python tools/kill_server.py --kills 300 --report docs/reports/kills.md

Writers start projects, change them and bring in photos over HTTP, as a browser does, and note what the server said it had taken. At a
moment chosen by chance the server is killed (SIGKILL: it can do nothing about it). Then the library is opened as the next start
opens it: SQLite's own check, and every acknowledged thing must be there, whole. The next server goes on in the same folder.

`--command` kills the real `clothwright serve`; else the server is forked from one that has everything loaded, which starts in
milliseconds. Linux and macOS only.
"""

from __future__ import annotations

import argparse
import hashlib
import http.client
import io
import json
import logging
import os
import random
import re
import signal
import socket
import sqlite3
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path
from urllib.parse import urlencode

WRITERS = 3
#: How long a server is left to write before it is killed: from nothing at all to well into the work.
LEAST_S, MOST_S = 0.0, 0.35
_HOST = "127.0.0.1"
#: A short page, from which each writer takes the token that every post needs.
_TOKEN_FROM = "/looms/"


# --- the server that is killed ---------------------------------------------------------------------------------------


def stand_ready() -> None:
    """Load everything once, then fork a server for every line that is read; tell its process and port."""
    from wsgiref.util import setup_testing_defaults

    import waitress

    logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # it tells of every post that waits for a thread
    from clothwright.library.keeping.in_use import served_at
    from clothwright.web import serve

    serve.ready()
    from django.core.wsgi import get_wsgi_application
    from django.db import connection
    from django.urls import get_resolver

    application = get_wsgi_application()
    _ = get_resolver().url_patterns
    for path in (_TOKEN_FROM, "/samples/"):
        environment: dict[str, object] = {"PATH_INFO": path, "HTTP_HOST": _HOST}
        setup_testing_defaults(environment)
        list(application(environment, lambda *_: None))
    connection.close()
    for _line in sys.stdin:
        listening = socket.create_server((_HOST, 0))
        process = os.fork()
        if process == 0:
            with served_at(f"http://{_HOST}"):
                waitress.serve(application, sockets=[listening], threads=WRITERS + 1, _quiet=True)
        print(process, listening.getsockname()[1], flush=True)
        listening.close()
        os.waitpid(process, 0)


class Servers:
    """Servers of one data folder, one after the other."""

    def __init__(self, folder: Path, *, by_command: bool) -> None:
        self.folder, self._by_command = folder, by_command
        self._environment = {**os.environ, "CLOTHWRIGHT_DATA": str(folder)}
        self._ready = None if by_command else self._started([__file__, "--stand-ready"])

    def _started(self, words: list[str]) -> subprocess.Popen[str]:
        return subprocess.Popen(
            [sys.executable, *words], env=self._environment, text=True, stdin=subprocess.PIPE, stdout=subprocess.PIPE
        )

    def start(self) -> tuple[int, int]:
        """A server that answers: its process and its port."""
        if self._ready is not None:
            assert self._ready.stdin is not None
            assert self._ready.stdout is not None
            self._ready.stdin.write("serve\n")
            self._ready.stdin.flush()
            process, port = map(int, self._ready.stdout.readline().split())
            return process, port
        served = self._started(["-m", "clothwright", "serve", "--port", "0"])
        assert served.stdout is not None
        told = re.search(r":(\d+)/", served.stdout.readline())
        assert told is not None
        return served.pid, int(told[1])

    def kill(self, process: int) -> None:
        """Kill it, and wait until it is gone."""
        os.kill(process, signal.SIGKILL)
        if self._by_command:
            os.waitpid(process, 0)

    def end(self) -> None:
        """End what stands ready."""
        if self._ready is not None:
            self._ready.communicate()


# --- who writes ------------------------------------------------------------------------------------------------------


class Taken:
    """What the server said it had taken, by kind; and how many of the writes a kill cut off."""

    def __init__(self) -> None:
        self.projects: dict[str, str] = {}
        self.changes: list[tuple[str, str]] = []
        self.photos: list[str] = []
        self.cut_off = 0
        self._lock = threading.Lock()

    @property
    def count(self) -> int:
        """How many things were taken."""
        return len(self.projects) + len(self.changes) + len(self.photos)

    def note(self, put: Callable[[], None]) -> None:
        """Note one thing; several writers do."""
        with self._lock:
            put()


class Writer(threading.Thread):
    """Writes one thing after the other until the server is gone."""

    def __init__(self, port: int, taken: Taken, name: str, chance: random.Random, *, photos: bool) -> None:
        super().__init__(name=name)
        self._brings_photos = photos
        self._port, self._taken, self._chance = port, taken, chance
        self._at, self._token, self._sample = 0, "", ""

    def run(self) -> None:
        """Write until the connection breaks."""
        with suppress(OSError, http.client.HTTPException):
            answer, page = self._asked("GET", _TOKEN_FROM)
            found = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page)
            cookie = re.search(r"clothwright_csrf=(\w+)", answer.headers["Set-Cookie"] or "")
            assert found is not None
            assert cookie is not None
            self._token, self._cookie = found[1], cookie[1]
            while True:
                self._write()
        self._taken.note(self._cut)

    def _cut(self) -> None:
        self._taken.cut_off += 1

    def _write(self) -> None:
        self._at += 1
        what = f"{self.name} {self._at}"
        if self._brings_photos:
            self._bring_photo(what)
        elif self._at % 2:
            key = self._posted("/new/", {"name": what}).rstrip("/").rpartition("/")[2]
            self._taken.note(lambda: self._taken.projects.update({key: what}))
            self._key = key
        else:
            self._posted(f"/project/{self._key}/", {"name": what})
            self._taken.note(lambda: self._taken.changes.append((self._key, what)))

    def _bring_photo(self, what: str) -> None:
        if not self._sample:
            self._sample = self._posted("/samples/new/", {"name": what})
        picture = _picture(self._chance)
        self._posted(f"{self._sample}photo/", {}, photo=(f"{what}.png", picture))
        self._taken.note(lambda: self._taken.photos.append(f"{what}.png"))

    def _posted(self, path: str, fields: dict[str, str], photo: tuple[str, bytes] | None = None) -> str:
        """Where the answer leads; an answer that is no such is our fault and ends the whole."""
        fields = {**fields, "csrfmiddlewaretoken": self._token}
        kind, body = _encoded(fields, photo)
        answer, _ = self._asked(
            "POST", path, body, {"Content-Type": kind, "Cookie": f"clothwright_csrf={self._cookie}"}
        )
        if answer.status not in (302, 303):
            os.write(2, f"{path} answered {answer.status}\n".encode())
            os._exit(1)
        return str(answer.headers["Location"]).partition("#")[0]

    def _asked(
        self, method: str, path: str, body: bytes = b"", headers: dict[str, str] | None = None
    ) -> tuple[http.client.HTTPResponse, str]:
        with closing(http.client.HTTPConnection(_HOST, self._port, timeout=120)) as connection:
            connection.request(method, path, body, headers or {})
            answer = connection.getresponse()
            return answer, answer.read().decode()


def _picture(chance: random.Random) -> bytes:
    """A picture that does not pack well, so that its write takes a while."""
    from PIL import Image

    file = io.BytesIO()
    Image.frombytes("RGB", (200, 150), chance.randbytes(90_000)).save(file, "PNG", compress_level=0)
    return file.getvalue()


def _encoded(fields: dict[str, str], photo: tuple[str, bytes] | None) -> tuple[str, bytes]:
    if photo is None:
        return "application/x-www-form-urlencoded", urlencode(fields).encode()
    edge, out = "tideline", io.BytesIO()
    for name, value in fields.items():
        out.write(f'--{edge}\r\nContent-Disposition: form-data; name="{name}"\r\n\r\n{value}\r\n'.encode())
    out.write(
        f'--{edge}\r\nContent-Disposition: form-data; name="photo"; filename="{photo[0]}"\r\n'
        "Content-Type: image/png\r\n\r\n".encode()
    )
    out.write(photo[1] + f"\r\n--{edge}--\r\n".encode())
    return f"multipart/form-data; boundary={edge}", out.getvalue()


# --- what is missing -------------------------------------------------------------------------------------------------


def missing(library: Path, taken: Taken) -> list[str]:
    """Whatever was acknowledged and is not there whole; and what SQLite says of the file, where that is not well."""
    with closing(sqlite3.connect(library)) as opened:
        (answer,) = opened.execute("PRAGMA integrity_check").fetchone()
        broken = [f"SQLite says: {answer}"] if answer != "ok" else []
        broken += [f"dangling: {row}" for row in opened.execute("PRAGMA foreign_key_check")]
        typed = _typed(opened)
        photos = {
            name: (sha, content)
            for name, sha, content in opened.execute("SELECT name, sha256, content FROM library_photo")
        }
        heads = opened.execute("SELECT COUNT(*) FROM library_project WHERE head_id IS NULL").fetchone()[0]
    broken += [f"{heads} projects without a state"] if heads else []
    broken += [f"project {name}" for key, name in taken.projects.items() if (key, name) not in typed]
    broken += [f"change to {name}" for key, name in taken.changes if (key, name) not in typed]
    broken += [f"photo {name}" for name in taken.photos if name not in photos]
    return broken + [
        f"photo {name} is another" for name, (sha, held) in photos.items() if hashlib.sha256(held).hexdigest() != sha
    ]


def _typed(opened: sqlite3.Connection) -> set[tuple[str, str]]:
    """Every name that a revision of a project holds, with the project's key as an address has it."""
    rows = opened.execute("SELECT project_id, tree FROM library_revision")
    return {
        (f"{key[:8]}-{key[8:12]}-{key[12:16]}-{key[16:20]}-{key[20:]}", json.loads(tree).get("name", ""))
        for key, tree in rows
    }


def kill_again_and_again(folder: Path, kills: int, *, by_command: bool, seed: int) -> dict[str, object]:
    """Serve, write, kill, look, so many times; what was taken, what was cut off, and what is missing."""
    chance, taken, lost = random.Random(seed), Taken(), Counter[str]()
    servers, began, mid_write = Servers(folder, by_command=by_command), time.monotonic(), 0
    for number in range(kills):
        process, port = servers.start()
        writers = [
            Writer(port, taken, f"tide {number} {one}", random.Random(chance.random()), photos=one == 0)
            for one in range(WRITERS)
        ]
        for writer in writers:
            writer.start()
        before = taken.count
        _wait_for(lambda before=before: taken.count > before)  # type: ignore[misc]
        time.sleep(chance.uniform(LEAST_S, MOST_S))
        servers.kill(process)
        for writer in writers:
            writer.join()
        log = folder / "library.sqlite3-wal"
        mid_write += log.exists() and log.stat().st_size > 0
        lost.update(missing(folder / "library.sqlite3", taken))
    servers.end()
    return {
        "kills": kills,
        "with_unfinished_log": mid_write,
        "projects": len(taken.projects),
        "changes": len(taken.changes),
        "photos": len(taken.photos),
        "writers_cut_off": taken.cut_off,
        "missing": sorted(lost),
        "seconds": round(time.monotonic() - began, 1),
    }


def _wait_for(true: Callable[[], bool], seconds: float = 180) -> None:
    until = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < until, "the server took nothing for three minutes"
        time.sleep(0.002)


def _reported(found: dict[str, object], *, by_command: bool, seed: int) -> str:
    how = "the command `clothwright serve`" if by_command else "a server forked with everything loaded"
    acknowledged = sum(int(str(found[one])) for one in ("projects", "changes", "photos"))
    missing_told = "**Nothing acknowledged was missing.**" if not found["missing"] else f"MISSING: {found['missing']}"
    return f"""# Killed in mid-write

Made by `python tools/kill_server.py --kills {found["kills"]}{" --command" if by_command else ""} --seed {seed} --report FILE`.

Killed with SIGKILL: {how}, {found["kills"]} times in one data folder, while {WRITERS} writers started projects, changed them and brought in
photos. After each kill the library was opened anew, checked by SQLite (`integrity_check`, `foreign_key_check`), and compared with all
that any server had ever acknowledged.

| | |
| --- | --- |
| kills | {found["kills"]} |
| of them with a log still to be taken into the library | {found["with_unfinished_log"]} |
| projects, changes, photos acknowledged | {found["projects"]}, {found["changes"]}, {found["photos"]} ({acknowledged} in all) |
| writers cut off in a request | {found["writers_cut_off"]} |
| seconds | {found["seconds"]} |

{missing_told}

A kill shows that no acknowledgement goes out before the write is with the system. That it is on the disk by then, for when the power
goes, rests on SQLite's `synchronous=FULL`, which asks the system to write through at every commit, and on a disk that does as it says.
A test sees that every connection of the pages has it.
"""


def main() -> int:
    """Kill as often as was asked; the status is 1 where anything was missing."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--kills", type=int, default=300)
    asked.add_argument("--command", action="store_true")
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--report", type=Path)
    asked.add_argument("--stand-ready", action="store_true", help=argparse.SUPPRESS)
    given = asked.parse_args()
    if given.stand_ready:
        stand_ready()
        return 0
    with tempfile.TemporaryDirectory(prefix="killed-") as folder:
        found = kill_again_and_again(Path(folder) / "data", given.kills, by_command=given.command, seed=given.seed)
    print(json.dumps(found))
    if given.report is not None:
        given.report.write_text(_reported(found, by_command=given.command, seed=given.seed), encoding="utf-8")
    return 1 if found["missing"] else 0


if __name__ == "__main__":
    sys.exit(main())
