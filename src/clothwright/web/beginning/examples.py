"""An example for every page: which belongs to which, opened in a world of its own below /example/, where nothing of hers is.

Every page is served there as it is served to her, from the same code; only what is seen is another. Addresses made while such a
request is answered stay below /example/, so that a link never leads from an example into what is hers unsaid.

It stands before every page, so what opens an example is loaded when one is opened.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from importlib import resources
from typing import Any, Final
from urllib.parse import urlencode, urlsplit

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import get_script_prefix, reverse, set_script_prefix
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

from clothwright.library import store, whose
from clothwright.library.models import Project
from clothwright.web.needs import STUDIO_ONLY

BELOW: Final = "/example/"
#: Remembers, among the examples alone, which page of hers one was opened from.
_CAME_FROM: Final = "clothwright_from"
#: What is about the whole library and not about a project or a thing in it.
_OF_THE_WHOLE: Final = frozenset(
    (
        *("keeping", "copy_now", "copy", "copy_file", "everything", "send", "waiting", "put_away_again"),
        *("label_address", "open_example", "health", "import_yarn"),
    )
)
#: Pages that stand by themselves, and are no page of one project.
BY_THEMSELVES: Final = ("projects", "records", "true")
_YOKE: Final = (
    ("0 cm", "0 cm", "fold"),
    ("0 cm", "18 cm", ""),
    ("22 cm", "18 cm", "seam armhole"),
    ("20 cm", "2 cm", ""),
)


@dataclass(frozen=True)
class Example:
    """The example of a page: its files, what it shows, the page it opens, or what is put into an address that answers."""

    page: str
    shows: str
    files: tuple[str, ...] = ()
    lands_on: str = ""
    class_: str = ""
    asks: dict[str, str] = field(default_factory=dict)

    @property
    def address(self) -> str:
        """The address that answers what the example asks; empty of one that is opened."""
        return f"{reverse(self.page)}?{urlencode(self.asks)}" if self.asks else ""


@cache
def examples() -> dict[str, Example]:
    """The example of each page, from the table."""
    text = resources.files(__package__).joinpath("examples.toml").read_text(encoding="utf-8")
    rows = tomllib.loads(text)["example"]
    return {row["page"]: _example(row) for row in rows}


def _example(row: dict[str, Any]) -> Example:
    files, class_ = tuple(row.get("files", ())), row.get("class", "")
    return Example(row["page"], row["shows"], files, row.get("lands_on", ""), class_, row.get("asks", {}))


def example_of(request: HttpRequest) -> Example | None:
    """The example of the page that is shown; none among the examples themselves, nor where a page has none."""
    match = request.resolver_match
    if match is None or whose.examples_now():
        return None
    name = str(match.kwargs["kind"]) if match.url_name in ("shelf", "thing") else match.url_name or ""
    return examples().get(name)


@require_POST
def open_example(request: HttpRequest, page: str) -> HttpResponse:
    """Open the example of a page on that very page, below /example/."""
    found = examples().get(page)
    if found is None or not found.files:
        raise Http404
    with whose.among_examples(), _prefix(BELOW):
        response = redirect(_opened(found))
    response.set_cookie(_CAME_FROM, _page_before(request), path=BELOW, httponly=True, samesite="Lax")
    return response


def _page_before(request: HttpRequest) -> str:
    """The page of hers from which an example was opened, by what the browser says; the list of projects where it says nothing."""
    said = urlsplit(request.headers.get("Referer", ""))
    return said.path if said.netloc == request.get_host() and _is_hers(said.path) else "/"


def _is_hers(path: str) -> bool:
    """Whether a path is one of our pages, and none of an example."""
    return url_has_allowed_host_and_scheme(path, None) and path.startswith("/") and not path.startswith(BELOW)


def came_from(request: HttpRequest | None) -> str:
    """The page of hers that leads on from an example: where it was opened from."""
    path = request.COOKIES.get(_CAME_FROM, "/") if request else "/"
    return path if _is_hers(path) else "/"


def _opened(found: Example) -> str:
    from clothwright.library.examples import example_project, example_things, with_class
    from clothwright.library.shelves.on_hand import Kept
    from clothwright.web.forms.form import for_the_page

    if found.page in set(Kept):
        for name in found.files:
            example_things(Kept(found.page), name)
        return reverse("shelf", kwargs={"kind": Kept(found.page)})
    projects = [example_project(name, for_the_page) for name in reversed(found.files)]
    if found.class_:
        with_class(projects[-1], found.class_)
    if found.page == "draw":
        _begin_sketch(projects[-1])
    if found.page in BY_THEMSELVES:
        return reverse(found.page)
    return reverse(found.lands_on or found.page, args=[projects[-1].pk])


def _begin_sketch(project: Project) -> None:
    """A yoke on the board, where nothing is being drawn yet."""
    from clothwright.web.pattern import sketch

    if store.sketch(project) is None:
        corners = [{"across": across, "down": down, "side": side} for across, down, side in _YOKE]
        piece = {**sketch.blank_piece("yoke"), "corner": corners}
        store.keep_sketch(project, sketch.written({**sketch.blank(), "file": "yoke.svg", "piece": [piece]}))


class _prefix:  # noqa: N801 - reads as a word
    """Addresses made within begin so."""

    def __init__(self, prefix: str) -> None:
        self._prefix, self._before = prefix, get_script_prefix()

    def __enter__(self) -> None:
        set_script_prefix(self._prefix)

    def __exit__(self, *_: object) -> None:
        set_script_prefix(self._before)


class InTheirOwnWorld:
    """Middleware that answers what is below /example/ from the examples, and from nothing that is hers.

    What is about the whole library, or about people, is not there: who asks for it is sent to where it is.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self._get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """See the examples for as long as a request below /example/ lasts."""
        if not request.path_info.startswith(BELOW):
            return self._get_response(request)
        request.path_info = request.path_info[len(BELOW) - 1 :]
        with whose.among_examples(), _prefix(BELOW):
            return self._get_response(request)

    def process_view(self, request: HttpRequest, _view: Any, _args: Any, _parts: Any) -> HttpResponse | None:
        """The way out of the examples, for what is not there."""
        name = request.resolver_match.url_name if request.resolver_match else None
        if whose.examples_now() and (name in STUDIO_ONLY or name in _OF_THE_WHOLE):
            return redirect(request.path_info) if request.method in ("GET", "HEAD") else redirect("/")
        return None
