"""What the environment asks of a shared studio: its database, its address, its mail. Nothing set is one table, without login."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.util import find_spec
from typing import Any, Final
from urllib.parse import urlsplit

from clothwright.library.folder import database_file
from clothwright.project import Problem, ProblemsFound

DATABASE: Final = "DATABASE_URL"
STUDIO: Final = "CLOTHWRIGHT_STUDIO"
ADDRESS: Final = "CLOTHWRIGHT_ADDRESS"
#: The address of the one machine whose word is taken for who asks and how: the web server in front.
IN_FRONT: Final = "CLOTHWRIGHT_IN_FRONT"
#: How many searches run at once.
SEARCHES: Final = "CLOTHWRIGHT_SEARCHES"
_MOST_SEARCHES: Final = 64
_POSTGRES: Final = ("postgres", "postgresql")
_NEEDED: Final = {"argon2": "argon2-cffi", "dj_database_url": "dj-database-url", "psycopg": "psycopg"}
_SECONDS_A_CONNECTION_IS_KEPT: Final = 60


def studio_asked() -> bool:
    """Whether a studio is asked for: by a database of its own, or by a word."""
    return bool(database_url()) or bool(os.environ.get(STUDIO))


def ask_for_studio() -> None:
    """Ask for a studio from here on; ProblemsFound where what it needs is not installed."""
    os.environ[STUDIO] = "1"
    lacking = [package for module, package in _NEEDED.items() if find_spec(module) is None]
    if lacking:
        raise _problem(f"a shared studio needs {', '.join(lacking)} as well: pip install 'clothwright[studio]'")


def database_url() -> str:
    """The database named in the environment; empty where none is. ProblemsFound where it is no PostgreSQL."""
    url = os.environ.get(DATABASE, "").strip()
    scheme = url.partition(":")[0]
    if url and scheme not in _POSTGRES:
        raise _problem(
            f"{DATABASE} begins with “{scheme}”; a studio keeps its library in PostgreSQL (postgres://user@host/name), or, "
            f"without {DATABASE}, in the data folder"
        )
    return url


def databases() -> dict[str, Any]:
    """The database: the one named in the environment, else a file in the data folder."""
    if url := database_url():
        ask_for_studio()
        import dj_database_url

        kept = dj_database_url.parse(url, conn_max_age=_SECONDS_A_CONNECTION_IS_KEPT, conn_health_checks=True)
        return {"default": dict(kept)}
    return {
        "default": {
            "ENGINE": "django.db.backends.sqlite3",
            "NAME": str(database_file()),
            "OPTIONS": {
                "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA busy_timeout=20000;",
                "transaction_mode": "IMMEDIATE",
                "timeout": 20,
            },
        }
    }


def searches_at_once() -> int:
    """How many searches a studio runs at once: as many as were asked for, else half the cores of the machine, one at least."""
    typed = os.environ.get(SEARCHES, "").strip()
    if not typed:
        return max(1, (os.cpu_count() or 1) // 2)
    if not typed.isdecimal() or not 1 <= int(typed) <= _MOST_SEARCHES:
        raise _problem(f"{SEARCHES} is “{typed}”; write how many searches run at once, 1 to {_MOST_SEARCHES}")
    return int(typed)


def studio_address() -> str:
    """The address that members type, without what follows the host; ProblemsFound where it is none."""
    typed = os.environ.get(ADDRESS, "").strip()
    if not typed:
        return ""
    parts = urlsplit(typed)
    if parts.scheme not in ("http", "https") or not parts.hostname or parts.path.strip("/"):
        raise _problem(f"{ADDRESS} is “{typed}”; write the address members type, as https://studio.example")
    return f"{parts.scheme}://{parts.netloc}"


@dataclass(frozen=True)
class Mail:
    """Where mail is handed over; without a host none is sent, and links are shown to be copied."""

    host: str = ""
    port: int = 25
    user: str = ""
    password: str = ""
    starttls: bool = False
    tls: bool = False
    sender: str = ""


def mail_asked(said: Mapping[str, str] | None = None) -> Mail:
    """The mail server named in the environment; ProblemsFound where its port is no number or nobody is the sender."""
    said = os.environ if said is None else said
    host, port = said.get("EMAIL_HOST", ""), said.get("EMAIL_PORT", "25")
    if not host:
        return Mail()
    if not port.isdecimal():
        raise _problem(f"EMAIL_PORT is “{port}”; write a number, as 587")
    sender = said.get("DEFAULT_FROM_EMAIL", "")
    if "@" not in sender:
        raise _problem(
            "EMAIL_HOST is set, and DEFAULT_FROM_EMAIL must be too: whom letters come from, as studio@guild.example"
        )
    user, password = said.get("EMAIL_HOST_USER", ""), said.get("EMAIL_HOST_PASSWORD", "")
    starttls, tls = bool(said.get("EMAIL_USE_TLS")), bool(said.get("EMAIL_USE_SSL"))
    return Mail(host, int(port), user, password, starttls, tls, sender)


def _problem(sentence: str) -> ProblemsFound:
    return ProblemsFound(Problem((), sentence))
