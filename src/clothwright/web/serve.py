"""Serve the pages from this machine.

What it takes to say where the pages are is loaded first, and little of it; the pages themselves are loaded by a thread while the
address is read and typed. Who comes sooner waits for that, and is answered.
"""

from __future__ import annotations

import gc
import logging
import os
import socket
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING, Any, Final
from urllib.parse import urlsplit

import django
import waitress

from clothwright.library.folder import database_file, prepared_folder
from clothwright.library.keeping.backing_up import back_up_now_and_then, tidy_up
from clothwright.library.keeping.in_use import served_at
from clothwright.library.studio.studio_asked import ADDRESS, IN_FRONT, studio_address, studio_asked
from clothwright.project import Problem, ProblemsFound

if TYPE_CHECKING:
    from clothwright.layout import Copy, Layout
    from clothwright.library.models import Project
    from clothwright.web.phone.phone_serving import PhonesAsked, PhonesServed

#: How many are answered at once; in a studio most of those threads wait for a plan, or for the database.
_THREADS, _STUDIO_THREADS = 8, 24
#: So long after the address is told the pages are loaded that nobody has asked for yet.
_FIRST_PAGE_S: Final = 2.0
#: A browser keeps up to six connections open; a studio has many browsers.
_MOST_CONNECTIONS: Final = 1000
#: One that nothing came by for so long is closed: all that are open are gone through for every answer. A browser opens another.
_IDLE_S: Final = 10
_LARGEST_POST: Final = 100_000_000
_LOOPBACK: Final = ("127.0.0.1", "localhost", "::1")
_EVERYWHERE: Final = ("", "0.0.0.0", "::", "*")


def serve(
    host: str = "127.0.0.1",
    port: int = 8765,
    open_project: Path | None = None,
    found: tuple[tuple[Copy, ...], Layout] | None = None,
    phones: PhonesAsked | None = None,
) -> None:
    """Serve the pages at a host and port until stopped.

    `open_project` is a project file to start from, `found` the copies it cuts and a layout already searched for; `phones`
    asks to serve phones on the home network too, over TLS. ProblemsFound if the address is taken or is none of this
    machine's, or if the file cannot be read.
    """
    _refuse_everywhere(host)
    if open_project is not None and studio_asked():
        raise ProblemsFound(
            Problem((), "a shared studio opens no project by itself; members open theirs on the page Projects")
        )
    listening = _bound(host, port)
    with served_at(f"http://{_shown(host)}:{listening.getsockname()[1]}"):
        tidy_up()
        was_there = database_file().is_file()
        prepare()
        if was_there:
            _copy_if_due()
        address = _allowed(host, listening.getsockname()[1])
        page = _show(_opened(open_project), found) if open_project else "/"
        from django.core.wsgi import get_wsgi_application

        application = get_wsgi_application()
        served, stop = _with_phones(application, phones) if phones else (None, _nothing_to_stop)
        try:
            with _searches():
                _say(address + page, host, served)
                Thread(target=_load_pages, daemon=True, name="loading").start()
                waitress.serve(
                    application,
                    sockets=[listening],
                    threads=_STUDIO_THREADS if studio_asked() else _THREADS,
                    max_request_body_size=_LARGEST_POST,
                    connection_limit=_MOST_CONNECTIONS,
                    channel_timeout=_IDLE_S,
                    cleanup_interval=_IDLE_S // 2,
                    asyncore_use_poll=True,
                    ident=None,
                    _quiet=True,
                    **_in_front(),
                )
        finally:
            stop()


def _load_pages() -> None:
    """Load every page a while after the address was told, then have processes made ready: else the first of each would wait for it.

    The page that is opened first comes before: loading takes the interpreter from it.
    """
    time.sleep(_FIRST_PAGE_S)
    try:
        from clothwright.web.apart import READERS
        from clothwright.web.urls import load_all
        from clothwright.web.worked_apart import RECKONERS

        load_all()
        gc.freeze()  # what is loaded stays: looking through it for what can go would hold every page up for a fifth of a second
        READERS.begin()
        if studio_asked():
            RECKONERS.begin(os.cpu_count() or 1)
    except Exception:
        logging.getLogger(__name__).exception("the pages could not be loaded")


@contextmanager
def _searches() -> Iterator[None]:
    """In a studio, the searches of its members are carried out; those that a stop cuts off go on at the next start."""
    if not studio_asked():
        yield
        return
    from clothwright.web.search_processes import begin_minding
    from clothwright.web.studio.search_process import carry_out

    minder = begin_minding(carry_out)
    try:
        yield
    finally:
        minder.end()


def _nothing_to_stop() -> None:
    """No phones are served."""


def _with_phones(application: Any, asked: PhonesAsked) -> tuple[PhonesServed, Callable[[], None]]:
    """Begin to serve phones, let the pages know how, and give the way to stop."""
    from django.conf import settings

    from clothwright.library.record.label_address import phones_served_at
    from clothwright.web.phone.phone_serving import begin_serving, phones_served

    served = phones_served(asked)
    settings.PHONE_WORD = served.word
    settings.ALLOWED_HOSTS += [served.host, served.keys.name]
    served, stop = begin_serving(application, served, _LARGEST_POST)
    settings.PHONES_SERVED = served
    phones_served_at(served.address)
    return served, stop


def ready() -> None:
    """Set the web framework up and bring the library up to date; ProblemsFound where it cannot be opened.

    A library of an older Clothwright is copied before it is brought up to date; one of a newer is refused and left as it is.
    """
    prepared_folder()
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clothwright.web.settings")
    django.setup()
    from clothwright.library.keeping.upgrading import bring_up_to_date

    bring_up_to_date()


def prepare() -> None:
    """The same, and tidy up what a stop cut off: for the one program that serves the pages."""
    ready()
    from django.conf import settings

    from clothwright.library.studio import members
    from clothwright.web.mishaps.journal import slow_after_s

    members.refuse_unlike(studio=settings.STUDIO)
    slow_after_s()
    if settings.STUDIO:
        from clothwright.web.needs import check_every_address

        check_every_address()
        return
    from clothwright.library.pieces.search_queue import end_those_cut_off

    end_those_cut_off()


def _copy_if_due() -> None:
    """The day's copy; where it cannot be made, that is said, and the pages are served all the same."""
    try:
        back_up_now_and_then()
    except ProblemsFound as wrong:
        print(f"No copy was made today: {wrong}", file=sys.stderr, flush=True)


def _refuse_everywhere(host: str) -> None:
    if host in _EVERYWHERE and studio_asked() and not studio_address():
        why = f"“{host}” is every address of this machine at once; say in {ADDRESS} which one members type, as https://studio.example"
        raise ProblemsFound(Problem(("host",), why))
    if host in _EVERYWHERE and not studio_asked():
        why = f"“{host}” is every address of this machine at once; there is no login, so name the one address that "
        raise ProblemsFound(Problem(("host",), why + "others will type, as 192.168.1.20"))


def _bound(host: str, port: int) -> socket.socket:
    try:
        family = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0][0]
        listening = socket.socket(family, socket.SOCK_STREAM)
        if os.name != "nt":
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((host, port))
        # Who comes before the pages are ready waits, and is not turned away.
        listening.listen()
    except (OSError, OverflowError) as error:
        why = error.strerror if isinstance(error, OSError) else str(error)
        sentence = f"{host}:{port} cannot be used: {why}; try another --port, or an address of this machine"
        raise ProblemsFound(Problem(("host",), sentence)) from None
    return listening


def _allowed(host: str, port: int) -> str:
    """Let the host's name in, and give the address to type."""
    from django.conf import settings

    shown = _shown(host)
    names = [shown] if host not in _EVERYWHERE else []
    if settings.STUDIO_ADDRESS:
        names.append(_shown(urlsplit(settings.STUDIO_ADDRESS).hostname or ""))
    settings.ALLOWED_HOSTS += [name for name in names if name not in settings.ALLOWED_HOSTS]
    return settings.STUDIO_ADDRESS or f"http://{shown}:{port}"


def _in_front() -> dict[str, Any]:
    """What to take from a web server in front, where one is named: who asks, and whether over TLS."""
    named = os.environ.get(IN_FRONT, "").strip()
    if not named:
        return {}
    headers = {"x-forwarded-for", "x-forwarded-proto"}
    return {"trusted_proxy": named, "trusted_proxy_headers": headers, "clear_untrusted_proxy_headers": True}


def _shown(host: str) -> str:
    """A host as it stands in an address."""
    return f"[{host}]" if ":" in host else host


def _opened(path: Path) -> Project:
    """The project in a file; the one on the table if it was opened before and nothing was changed since."""
    from clothwright.library import read_project_file, store
    from clothwright.library.files import plain_tree
    from clothwright.web.forms.form import for_the_page

    tree, drawings = read_project_file(path)
    shaped = for_the_page(plain_tree(tree))
    for project in store.projects():
        if store.head(project).tree == shaped and store.drawings_of(store.head(project)) == drawings:
            return project
    return store.new_project(shaped, f"opened {path.name}", drawings)


def _show(project: Project, found: tuple[tuple[Copy, ...], Layout] | None = None) -> str:
    """Keep the layout found for the project's pieces, or begin to search for one; give the address of its page."""
    from django.urls import reverse

    from clothwright.library import store
    from clothwright.web import searching

    if found is not None:
        searching.already_found(project, *found)
    elif "pattern" in store.head(project).tree and searching.latest(project) is None:
        searching.start(project)
    return reverse("project", args=[project.pk])


def _say(address: str, host: str, phones: PhonesServed | None = None) -> None:
    if phones is not None:
        from clothwright.web.phone.phone_serving import told

        print(told(phones), flush=True)
    print(f"Clothwright is at {address}", flush=True)
    if studio_asked():
        _say_of_studio(address, host)
    elif host not in _LOOPBACK:
        print("There is no login: whoever can reach this address can read and change your projects.", flush=True)
    print("Stop it with Ctrl+C.", flush=True)


def _say_of_studio(address: str, host: str) -> None:
    from clothwright.library.models import Member

    print("This is a shared studio: members sign in.", flush=True)
    if not Member.objects.filter(keeper=True).exists():
        print("It has no keeper yet: clothwright studio keeper EMAIL makes the first.", flush=True)
    if address.startswith("https://") and not os.environ.get(IN_FRONT):
        print(
            f"Name the web server in front in {IN_FRONT}, as 127.0.0.1: else all who sign in seem to come from one place."
        )
    if not address.startswith("https://") and (host not in _LOOPBACK or studio_address()):
        print(
            f"Passwords travel unprotected: put a web server with TLS in front, and its https address in {ADDRESS}.",
            flush=True,
        )
