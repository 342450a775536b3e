"""The real program, serving a data folder, and somebody at a browser without script who uses its pages over HTTP."""

from __future__ import annotations

import http.client
import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlencode

HOST = "127.0.0.1"
_EDGE = "tideline"


@dataclass
class Answer:
    """What came back: status, headers, content."""

    status: int
    headers: Mapping[str, str]
    content: bytes

    @property
    def text(self) -> str:
        return self.content.decode()


@dataclass
class Visitor:
    """Keeps the cookie and the token that posts need."""

    port: int
    cookie: str = ""
    token: str = ""
    headers: dict[str, str] = field(default_factory=dict)

    def get(self, path: str) -> Answer:
        answer = self._asked("GET", path)
        if found := re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', answer.content.decode(errors="replace")):
            self.token = found[1]
        return answer

    def post(self, path: str, fields: Mapping[str, str] | None = None, **files: tuple[str, bytes]) -> Answer:
        """Post, with files; a redirection is not followed."""
        given = {**(fields or {}), "csrfmiddlewaretoken": self.token}
        if not files:
            kind, body = "application/x-www-form-urlencoded", urlencode(given).encode()
        else:
            kind = f"multipart/form-data; boundary={_EDGE}"
            parts = [_part(f'name="{name}"', value.encode()) for name, value in given.items()]
            parts += [_part(f'name="{name}"; filename="{file}"', held) for name, (file, held) in files.items()]
            body = b"".join(parts) + f"--{_EDGE}--\r\n".encode()
        return self._asked("POST", path, body, {"Content-Type": kind})

    def _asked(self, method: str, path: str, body: bytes = b"", headers: Mapping[str, str] | None = None) -> Answer:
        with closing(http.client.HTTPConnection(HOST, self.port, timeout=60)) as connection:
            given = {**self.headers, **(headers or {}), **({"Cookie": self.cookie} if self.cookie else {})}
            connection.request(method, path, body, given)
            answer = connection.getresponse()
            if found := re.match(r"clothwright_csrf=\w+", answer.headers.get("Set-Cookie", "")):
                self.cookie = found[0]
            return Answer(answer.status, dict(answer.headers), answer.read())


def _part(said: str, content: bytes) -> bytes:
    return f"--{_EDGE}\r\nContent-Disposition: form-data; {said}\r\n\r\n".encode() + content + b"\r\n"


@contextmanager
def served(folder: Path, *words: str, **environment: str) -> Iterator[tuple[Visitor, subprocess.Popen[str]]]:
    """The program serving a folder, ended at the end."""
    process = begun(folder, *words, **environment)
    try:
        assert process.stdout is not None
        told = re.search(r":(\d+)/", process.stdout.readline())
        assert told is not None, process.communicate(timeout=20)[1]
        yield Visitor(int(told[1])), process
    finally:
        process.send_signal(signal.SIGKILL if sys.platform != "win32" else signal.SIGTERM)
        process.communicate()


def begun(folder: Path, *words: str, **environment: str) -> subprocess.Popen[str]:
    """The command `serve`, begun."""
    return subprocess.Popen(
        [sys.executable, "-m", "clothwright", "serve", "--port", "0", *words],
        env={**os.environ, "CLOTHWRIGHT_DATA": str(folder), **environment},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
