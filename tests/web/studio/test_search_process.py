"""The real studio: a search has a process of its own, one that dies is told, and a start of the program goes on with what was asked for."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from urllib.parse import urlencode
from urllib.request import HTTPCookieProcessor, ProxyHandler, build_opener

import pytest

PASSWORD = "eelgrass under low water"
#: A busy machine takes its time to start a process.
PATIENCE_S = 120.0
linux = pytest.mark.skipif(
    not Path("/proc/self/task").is_dir(), reason="processes are found in /proc, which only Linux has"
)


def filled(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A studio with one member who has a garment of pieces that leave gaps."""
    code = """
from clothwright.web.serve import ready
ready()
from clothwright.library import store, whose
from clothwright.library.models import Member
wren = Member(email="wren@guild.example", name="Wren", keeper=True)
wren.set_password(%r)
wren.save()
odd = [{"name": f"part {n}", "width": f"{7 + n} cm", "length": f"{61 - 7 * n} cm", "cut": 2} for n in range(5)]
with whose.seeing(whose.Seen(owner=wren.pk)):
    for name in ("tunic", "cap"):
        store.new_project({
            "name": name, "units": "metric", "pattern": {"piece": odd},
            "yarn": [{"name": "limpet", "fibre": "wool", "grist": "310 m/100 g", "balls": [{"net": "900 g"}]}],
            "loom": {"weaving_width": "70 cm", "heddles": ["30/10 cm"], "waste": "55 cm"},
        }, "started")
"""
    monkeypatch.setenv("CLOTHWRIGHT_DATA", str(folder))
    environment = {**os.environ, "CLOTHWRIGHT_STUDIO": "1", "DJANGO_SETTINGS_MODULE": "clothwright.web.settings"}
    subprocess.run([sys.executable, "-c", code % PASSWORD], env=environment, check=True)


class Browser:
    """Keeps every cookie, and the token that posts need; asks as the script of the pages does."""

    def __init__(self, port: int) -> None:
        self._at = f"http://127.0.0.1:{port}"
        self._opener = build_opener(ProxyHandler({}), HTTPCookieProcessor())
        self._opener.addheaders = [("HX-Request", "true")]
        self._token = ""

    def get(self, path: str) -> str:
        return self._answered(path, None)

    def post(self, path: str, **fields: str) -> str:
        return self._answered(path, urlencode(fields | {"csrfmiddlewaretoken": self._token}).encode())

    def _answered(self, path: str, body: bytes | None) -> str:
        with self._opener.open(self._at + path, body, timeout=120) as answer:
            text: str = answer.read().decode()
        if found := re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', text):
            self._token = found[1]
        return text


@contextmanager
def serving(folder: Path) -> Iterator[tuple[int, int]]:
    """The studio, served by a group of processes of its own, killed at the end with all of them; its process and its port."""
    command = [sys.executable, "-m", "clothwright", "serve", "--studio", "--port", "0"]
    environment = {**os.environ, "CLOTHWRIGHT_DATA": str(folder)}
    process = subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, text=True, start_new_session=True)
    assert process.stdout is not None
    try:
        told = re.search(r":(\d+)", process.stdout.readline())
        assert told is not None
        yield process.pid, int(told[1])
    finally:
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()
        process.stdout.close()


def signed_in(port: int) -> tuple[Browser, list[str]]:
    """Who has signed in, and the addresses of her projects."""
    browser = Browser(port)
    browser.get("/sign-in/")
    html = browser.post("/sign-in/", email="wren@guild.example", password=PASSWORD, next="/")
    return browser, sorted(set(re.findall(r'href="(/project/[0-9a-f-]+/)"', html)))


def until(is_so: Callable[[], object]) -> None:
    end = time.monotonic() + PATIENCE_S
    while not is_so():
        assert time.monotonic() < end
        time.sleep(0.3)


def searching_processes(server: int) -> list[int]:
    """The processes below a server that give way to it: the system runs them when nothing else wants to run."""
    found = []
    for entry in os.scandir("/proc"):
        with suppress(OSError, ValueError, IndexError):
            told = Path(entry.path, "stat").read_text(encoding="ascii").rsplit(")", 1)[1].split()
            number = int(entry.name)
            if int(told[1]) == server and os.sched_getscheduler(number) == os.SCHED_IDLE:
                found.append(number)
    return found


@linux
def test_a_search_that_dies_is_told_and_one_that_a_stop_cut_off_goes_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One search at once: the second waits and says so; the process of the first is killed; then the server is."""
    monkeypatch.setenv("CLOTHWRIGHT_SEARCHES", "1")
    filled(tmp_path, monkeypatch)
    with serving(tmp_path) as (server, port):
        wren, (first, second) = signed_in(port)
        wren.get(first)
        wren.post(f"{first}search/")
        until(lambda: searching_processes(server))
        assert "waits for its turn. It is the next" in wren.post(f"{second}search/")
        os.kill(searching_processes(server)[0], signal.SIGKILL)
        until(lambda: "its process ended before it was done" in wren.get(f"{first}search/"))
        until(lambda: "Looking for a better layout" in wren.get(f"{second}search/"))
    with serving(tmp_path) as (server, port):
        wren, _ = signed_in(port)
        until(lambda: "Looking for a better layout" in wren.get(f"{second}search/"))
        wren.post(f"{second}search/stop/")
        until(lambda: "Search longer for a better layout" in wren.get(f"{second}search/"))
        until(lambda: not searching_processes(server))
