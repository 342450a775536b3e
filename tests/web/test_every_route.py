"""What holds of every address of the pages: what a browser may run, who may post, and that nothing is posted unasked.

*Source* of the rules: Content Security Policy Level 3 (https://www.w3.org/TR/CSP3/), which names inline scripts, styles and handlers;
Django's documentation of its CSRF protection.
"""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from django.http import HttpRequest, HttpResponse
from django.test import Client
from django.urls import path
from web.every_route import Shore, Visit, methods_taken, routes

from clothwright.library.models import OnHandState, Project, Revision
from clothwright.web import urls
from clothwright.web.middleware import POLICY

pytestmark = pytest.mark.django_db

#: The saved file for phones is opened from the phone itself, without a server that could send scripts beside it: its one script and
#: its style stand in it, and its own policy names them by their hashes.
CARRIES_ITS_SCRIPT = {"phone_saved"}


@pytest.fixture
def shore() -> Shore:
    return Shore.made()


class Inline(HTMLParser):
    """What a page holds that its policy would not run or load, and its forms that post without a token."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.tokenless = 0
        self._posts = False
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "style" or (tag == "script" and not self._is_data_or_from_here(given)):
            self.found.append(f"<{tag}> with content of its own")
        self.found += [f"{name} of <{tag}>" for name in given if name == "style" or name.startswith(("on", "hx-on"))]
        for name in ("src", "href", "action", "formaction", "xlink:href"):
            if re.match(r"\s*(javascript|vbscript):", given.get(name, ""), re.IGNORECASE):
                self.found.append(f"{name} of <{tag}> runs a script")
        for name in ("src", "action", "formaction", "hx-get", "hx-post"):
            if re.match(r"(https?:)?//", given.get(name, "")):
                self.found.append(f"{name} of <{tag}> leads away: {given[name]}")
        if tag == "form":
            self._posts = given.get("method", "get").lower() == "post"
            self.tokenless += self._posts
        if tag == "input" and given.get("name") == "csrfmiddlewaretoken" and self._posts:
            self._posts, self.tokenless = False, self.tokenless - 1

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._posts = False

    @staticmethod
    def _is_data_or_from_here(given: dict[str, str]) -> bool:
        return bool(given.get("src")) or given.get("type") == "application/json"


def test_the_walk_finds_what_a_policy_would_not_run() -> None:
    """So that a page without findings is one that was looked at."""
    bad = (
        '<style>p{}</style><script>x()</script><p style="a:b" onclick="x()"></p><a href=" JavaScript:x()"></a>'
        '<img src="//elsewhere.example/x.png"><form method="post"></form>'
    )
    page = Inline(bad)
    assert len(page.found) == 6
    assert page.tokenless == 1
    good = '<script src="/a.js"></script><form method="post"><input name="csrfmiddlewaretoken"></form>'
    assert (Inline(good).found, Inline(good).tokenless) == ([], 0)


def test_a_new_route_that_nobody_says_how_to_walk_is_told_of(monkeypatch: pytest.MonkeyPatch, shore: Shore) -> None:
    """Both a part that the small library has nothing for, and a view that takes whatever comes."""
    assert "strand" not in dict(routes())
    with pytest.raises(AssertionError, match="asks for strand"):
        shore.parts("new", frozenset({"strand"}))
    assert len(shore.visits) >= len(urls.urlpatterns)
    assert {visit.name for visit in shore.visits} == {name for name, _ in routes()}


def test_a_view_that_takes_every_method_is_told_of(settings: object, monkeypatch: pytest.MonkeyPatch) -> None:
    """Such a view would change things on a GET."""
    monkeypatch.setattr(urls, "urlpatterns", [path("open-to-all/", _open_to_all, name="all")])
    settings.ROOT_URLCONF = urls  # type: ignore[attr-defined]
    with pytest.raises(AssertionError, match="does not say what it takes"):
        methods_taken("all", "/open-to-all/")


def _open_to_all(request: HttpRequest) -> HttpResponse:
    return HttpResponse("whatever comes")


def test_every_page_is_without_inline_script_and_style_and_carries_the_headers(client: Client, shore: Shore) -> None:
    """Each address that can be got, as the library of the walk shows it; the policy is the strict one, and looking changes nothing."""
    assert "unsafe" not in POLICY
    assert "default-src 'none'" in POLICY
    before, pages = _counted(), 0
    for visit in shore.visits:
        if "GET" in visit.takes:
            pages += _walked(client, visit)
    assert pages > 25
    assert _counted() == before


def _walked(client: Client, visit: Visit) -> bool:
    """Whether the address answered with a page, which was looked at with its headers."""
    answer = client.get(visit.path)
    assert answer.status_code < 500, f"{visit.path} answers {answer.status_code}"
    for header, value in {
        "X-Content-Type-Options": "nosniff",
        "X-Frame-Options": "DENY",
        "Referrer-Policy": "same-origin",
        "Cross-Origin-Opener-Policy": "same-origin",
    }.items():
        assert answer.headers.get(header) == value, f"{visit.path} without {header}"
    assert answer.headers["Content-Security-Policy"].startswith("default-src 'none'"), visit.path
    if not answer.headers.get("Content-Type", "").startswith("text/html") or answer.status_code != 200:
        return False
    if visit.name not in CARRIES_ITS_SCRIPT:
        assert answer.headers["Content-Security-Policy"] == POLICY, visit.path
        page = Inline(answer.content.decode())
        assert not page.found, f"{visit.path}: {page.found}"
        assert page.tokenless == 0, f"{visit.path}: a form that posts without a token"
    return True


def test_no_post_is_taken_without_a_token(shore: Shore) -> None:
    """Every address that takes a post answers 403 to one from elsewhere, and nothing is changed."""
    stranger = Client(enforce_csrf_checks=True)
    before = _counted()
    posts = [visit for visit in shore.visits if "POST" in visit.takes]
    for visit in posts:
        answer = stranger.post(visit.path, {"name": "from elsewhere"})
        assert answer.status_code == 403, f"{visit.path} takes a post without a token: {answer.status_code}"
        assert "Nothing was changed" in answer.content.decode()
    assert len(posts) > 20
    assert _counted() == before


def _counted() -> tuple[list[object], ...]:
    return (
        list(Project.objects.order_by("pk").values_list("pk", "name", "head", "put_away")),
        list(Revision.objects.order_by("pk").values_list("pk", "what")),
        list(OnHandState.objects.order_by("pk").values_list("pk", "what")),
    )
