"""Serve phones on the home network: over TLS, by a word, beside the plain address that this machine alone reaches."""

from __future__ import annotations

import datetime
import logging
import socket
import ssl
import threading
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final
from urllib.parse import urlencode

import segno
from cheroot.ssl.builtin import BuiltinSSLAdapter
from cheroot.wsgi import Server

from clothwright.project import Problem, ProblemsFound
from clothwright.web.phone.phone_keys import PhoneKeys, home_address, phone_keys, private_address
from clothwright.web.phone.phone_word import kept_word

_THREADS: Final = 16
#: A phone that goes out of reach in the midst of a request holds one of the threads for as long as this.
_TIMEOUT_S: Final = 5
_log = logging.getLogger("clothwright.phones")


@dataclass(frozen=True)
class PhonesAsked:
    """That phones are to be served: at which address (None: found), which port, and whether under a new word."""

    host: str | None = None
    port: int = 8766
    new_word: bool = False


@dataclass(frozen=True)
class PhonesServed:
    """Where phones are served, the keys it is done with, and the word that lets them in."""

    keys: PhoneKeys
    port: int
    word: str

    @property
    def host(self) -> str:
        """The address as it stands in a link."""
        return f"[{self.keys.address}]" if self.keys.address.version == 6 else str(self.keys.address)

    @property
    def address(self) -> str:
        """The address to type."""
        return f"https://{self.host}:{self.port}"

    def link(self, to: str = "/") -> str:
        """The address that a code to scan holds: it brings the word along, and leads on to a page."""
        return f"{self.address}/phone/enter/?{urlencode({'word': self.word, 'next': to})}"

    def code(self, to: str = "/") -> Any:
        """That address as a code to scan."""
        return segno.make(self.link(to), micro=False)

    def code_svg(self, to: str) -> str:
        """The code as a drawing within a page."""
        return str(
            self.code(to).svg_inline(
                omitsize=True, border=4, dark="#000", light="#fff", svgclass="scan", lineclass=None
            )
        )


def phones_served(asked: PhonesAsked) -> PhonesServed:
    """Settle address, keys and word; ProblemsFound where the address is none of a home network."""
    address = private_address(asked.host) if asked.host else home_address()
    return PhonesServed(
        phone_keys(address, datetime.datetime.now(datetime.UTC)), asked.port, kept_word(new=asked.new_word)
    )


class _GreetedByItsThread(BuiltinSSLAdapter):
    """TLS whose greeting is made by the thread that answers, so that a phone that falls silent holds up no other."""

    def wrap(self, sock: socket.socket) -> tuple[ssl.SSLSocket, dict[str, str]]:
        """The connection, still to be greeted, and what the application is told of it."""
        connected = self.context.wrap_socket(sock, do_handshake_on_connect=False, server_side=True)
        return connected, {"wsgi.url_scheme": "https", "HTTPS": "on"}


class _Quiet(Server):
    """A server that does not cry out over phones that break off or do not trust the certificate."""

    def error_log(self, msg: str = "", level: int = logging.INFO, traceback: bool = False) -> None:
        """Write down what was amiss with a connection, for who looks for it."""
        _log.log(min(level, logging.INFO), msg, exc_info=traceback)


def begin_serving(application: Any, served: PhonesServed, largest_post: int) -> tuple[PhonesServed, Callable[[], None]]:
    """Begin to answer phones beside whatever else this process does, and how to stop; ProblemsFound if the port is taken."""
    server = _Quiet(
        (str(served.keys.address), served.port),
        application,
        numthreads=_THREADS,
        timeout=_TIMEOUT_S,
        shutdown_timeout=1,
    )
    server.ssl_adapter = _GreetedByItsThread(str(served.keys.server), str(served.keys.key))
    server.ssl_adapter.context.minimum_version = ssl.TLSVersion.TLSv1_2  # some systems leave this open
    server.max_request_body_size = largest_post
    try:
        server.prepare()
    except OSError as error:
        why = f"{served.address} cannot be used: {error.strerror or error}; try another --phone-port"
        raise ProblemsFound(Problem(("host",), why)) from None
    threading.Thread(target=server.serve, daemon=True, name="phones").start()
    return PhonesServed(served.keys, server.bind_addr[1], served.word), server.stop


def told(served: PhonesServed) -> str:
    """What to say where the program was started: the code, the word, the fingerprint, and the risk."""
    code = _drawn(served)
    return (
        f"{code}\nPhones on this network: {served.address}   (or https://{served.keys.name}:{served.port})\n"
        f"The word: {served.word}\n"
        f"Certificate, SHA-256: {served.keys.fingerprint}\n"
        "Whoever is on this network and has the word can read and change your projects; there is no other login.\n"
        "A phone keeps pages for when there is no network only once it trusts the certificate: docs/at-the-loom.md says how.\n"
        "To shut every phone out, start again with --phone --new-word."
    )


def _drawn(served: PhonesServed) -> str:
    """The code in half blocks, dark on light, as a terminal can show it."""
    rows = [list(row) for row in served.code().matrix_iter(scale=1, border=2)]
    if len(rows) % 2:
        rows.append([0] * len(rows[0]))
    shapes = {(0, 0): "█", (0, 1): "▀", (1, 0): "▄", (1, 1): " "}
    return "\n".join(
        "".join(shapes[int(bool(upper)), int(bool(lower))] for upper, lower in zip(above, below, strict=True))
        for above, below in zip(rows[::2], rows[1::2], strict=True)
    )
