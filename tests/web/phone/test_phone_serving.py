"""Phones are served over TLS by the kept certificate; one that falls silent holds up no other."""

from __future__ import annotations

import datetime
import http.client
import ipaddress
import os
import signal
import socket
import ssl
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from clothwright.cli.app import commands
from clothwright.project import ProblemsFound
from clothwright.web.phone.phone_keys import phone_keys
from clothwright.web.phone.phone_serving import PhonesAsked, PhonesServed, begin_serving, phones_served

HERE = ipaddress.ip_address("127.0.0.1")


def told_scheme(environ: dict[str, Any], start: Callable[..., Any]) -> list[bytes]:
    start("200 OK", [("Content-Type", "text/plain")])
    return [environ["wsgi.url_scheme"].encode()]


@pytest.fixture
def served() -> Iterator[PhonesServed]:
    keys = phone_keys(HERE, datetime.datetime.now(datetime.UTC))
    found, stop = begin_serving(told_scheme, PhonesServed(keys, 0, "abcd-efgh-jkmn"), 1000)
    yield found
    stop()


def asked(served: PhonesServed, trusted: ssl.SSLContext) -> bytes:
    connection = http.client.HTTPSConnection("127.0.0.1", served.port, context=trusted, timeout=10)
    connection.request("GET", "/")
    return connection.getresponse().read()


def test_who_trusts_the_root_is_answered_over_tls(served: PhonesServed) -> None:
    trusted = ssl.create_default_context(cafile=str(served.keys.root))
    assert asked(served, trusted) == b"https"
    with (
        socket.create_connection(("127.0.0.1", served.port)) as plain,
        trusted.wrap_socket(plain, server_hostname="127.0.0.1") as safe,
    ):
        assert safe.version() in ("TLSv1.2", "TLSv1.3")


def test_who_does_not_trust_it_breaks_off_and_others_are_answered_still(served: PhonesServed) -> None:
    with pytest.raises(ssl.SSLCertVerificationError):
        asked(served, ssl.create_default_context())
    with socket.create_connection(("127.0.0.1", served.port)) as plain:
        plain.sendall(b"GET / HTTP/1.1\r\n\r\n")
    assert asked(served, ssl.create_default_context(cafile=str(served.keys.root))) == b"https"


def test_phones_that_fall_silent_hold_up_no_other(served: PhonesServed) -> None:
    silent = [socket.create_connection(("127.0.0.1", served.port)) for _ in range(10)]
    before = time.monotonic()
    assert asked(served, ssl.create_default_context(cafile=str(served.keys.root))) == b"https"
    assert time.monotonic() - before < 2
    for one in silent:
        one.close()


def test_a_port_that_is_taken_is_said_in_a_sentence(served: PhonesServed) -> None:
    with pytest.raises(ProblemsFound, match=r"cannot be used: .*try another --phone-port"):
        begin_serving(told_scheme, served, 1000)


@pytest.mark.skipif(os.name == "nt", reason="Windows has no signal that stands for Ctrl+C of another process alone")
def test_ctrl_c_ends_the_program_with_its_phones(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "clothwright", "serve", "--phone", "--host", "127.0.0.1", "--port", "0"]
    environment = {**os.environ, "CLOTHWRIGHT_DATA": str(tmp_path / "home")}
    with subprocess.Popen(
        [*command, "--phone-port", "0"], env=environment, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
    ) as server:
        assert server.stdout is not None
        assert any(line.startswith("Stop it with") for line in server.stdout)
        server.send_signal(signal.SIGINT)
        try:
            server.wait(15)
        finally:
            server.kill()


def test_the_word_is_kept_from_one_start_to_the_next_unless_a_new_one_is_asked_for() -> None:
    first = phones_served(PhonesAsked("127.0.0.1")).word
    assert phones_served(PhonesAsked("127.0.0.1")).word == first
    assert phones_served(PhonesAsked("127.0.0.1", new_word=True)).word != first


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--phone", "--host", "0.0.0.0"], "phones are served at home only"),
        (["--phone", "--host", "8.8.8.8"], "8.8.8.8 is no address of a home network"),
        (["--phone", "--host", "my-laptop"], "“my-laptop” is no address in figures"),
        (["--new-word"], "give --phone too"),
    ],
)
def test_what_cannot_be_served_is_refused_in_a_sentence(
    options: list[str], said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    from clothwright.web import serve

    monkeypatch.setattr(serve.waitress, "serve", lambda *_, **__: pytest.fail("it was served"))
    monkeypatch.setattr(serve, "prepare", lambda: None)
    result = CliRunner().invoke(commands, ["serve", "--port", "0", *options])
    assert said in result.output
    assert result.exit_code != 0
