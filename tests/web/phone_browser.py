"""A program that can be killed and started again, and browsers of phones, for the tests of the pages that need no network."""

from __future__ import annotations

import json
import os
import re
import signal
import socket
import subprocess
import sys
import urllib.request
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, expect, sync_playwright
from web.browser_found import browser_path
from web.test_browser import PHONE

#: These tests start and kill programs; on a machine with other work each step may take its time.
expect.set_options(timeout=15_000)
SENT = re.compile("Everything is sent")
WAITS = re.compile(r"wait")
#: The page tries again every ten seconds.
AGAIN_MS = 45_000


@dataclass
class Program:
    """The program, started and killed at will, always at one port with one data folder."""

    folder: Path
    port: int
    host: str = "127.0.0.1"
    server: subprocess.Popen[str] | None = None

    @property
    def address(self) -> str:
        return f"http://{self.host}:{self.port}"

    def start(self) -> None:
        environment = {**os.environ, "CLOTHWRIGHT_DATA": str(self.folder)}
        code = f"from clothwright.web.serve import serve; serve('{self.host}', {self.port})"
        command = [sys.executable, "-c", f"if __name__ == '__main__': {code}"]
        self.server = subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, text=True)
        assert self.server.stdout is not None
        assert "Clothwright is at" in self.server.stdout.readline()

    def kill(self) -> None:
        assert self.server is not None
        self.server.send_signal(signal.SIGKILL)
        self.server.wait()

    def state(self, key: str, page: str = "board") -> Any:
        with urllib.request.urlopen(f"{self.address}/phone/{key}/state/?page={page}", timeout=20) as answer:
            return json.load(answer)

    def keys_of(self, key: str) -> list[str]:
        return [one["key"] for one in self.state(key)["entries"]]


def free_port() -> int:
    with socket.socket() as any_port:
        any_port.bind(("127.0.0.1", 0))
        return int(any_port.getsockname()[1])


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    browser_path()
    with sync_playwright() as running:
        yield running


@pytest.fixture(scope="module")
def browser(playwright: Playwright) -> Iterator[Browser]:
    browser = playwright.chromium.launch(executable_path=browser_path(), args=["--no-sandbox"])
    yield browser
    browser.close()


@pytest.fixture
def program(playwright: Playwright, tmp_path: Path) -> Iterator[Program]:
    made = Program(tmp_path / "program", free_port())
    made.start()
    yield made
    made.kill()


def looked_at_again(page: Page) -> None:
    """What the browser tells a page that comes into sight."""
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")


def expect_sent(page: Page) -> None:
    expect(page.locator("#status")).to_have_text(SENT, timeout=AGAIN_MS)


Opening = Callable[[], BrowserContext]


@pytest.fixture
def reopening(playwright: Playwright, tmp_path: Path) -> Iterator[Opening]:
    """A browser of one phone that can be closed and opened again."""
    contexts: list[BrowserContext] = []

    def opened() -> BrowserContext:
        contexts.append(
            playwright.chromium.launch_persistent_context(
                str(tmp_path / "browser"),
                executable_path=browser_path(),
                args=["--no-sandbox"],
                viewport=PHONE,  # type: ignore[arg-type]
                accept_downloads=True,
            )
        )
        return contexts[-1]

    yield opened
    contexts[-1].close()
