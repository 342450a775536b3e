"""What every answer passes through: what a browser may load, the way back from an address that only takes a post, and to a page that answered one."""

from __future__ import annotations

from collections.abc import Callable
from http import HTTPStatus
from typing import Final

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

from clothwright.web.needs import NEEDS, Need

POLICY: Final = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "font-src 'self'",
        "connect-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)


def content_security_policy(
    get_response: Callable[[HttpRequest], HttpResponse],
) -> Callable[[HttpRequest], HttpResponse]:
    """Middleware that sends the policy with every answer."""

    def with_policy(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        response["Content-Security-Policy"] = POLICY
        return response

    return with_policy


def back_from_posts(
    get_response: Callable[[HttpRequest], HttpResponse],
) -> Callable[[HttpRequest], HttpResponse]:
    """Middleware that sends who reloads or types the address of a button back to the page the button stands on."""

    def with_way_back(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        if request.method == "GET" and response.status_code == HTTPStatus.METHOD_NOT_ALLOWED:
            above = request.path.rstrip("/").rpartition("/")[0]
            return HttpResponseRedirect(f"{above}/")
        return response

    return with_way_back


def answered_posts_kept(
    get_response: Callable[[HttpRequest], HttpResponse],
) -> Callable[[HttpRequest], HttpResponse]:
    """Middleware that lets a browser go back to a page that answered a post, with what was typed, and not ask to send it again.

    The browser may keep such a page, and nobody between; what is asked of those who have not signed in yet is never kept.
    """

    def with_keeping(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        if request.method == "POST" and response.has_header("Cache-Control") and not _before_signing_in(request):
            response["Cache-Control"] = "private, no-cache"
        return response

    return with_keeping


def _before_signing_in(request: HttpRequest) -> bool:
    found = request.resolver_match
    return found is None or NEEDS.get(found.url_name or "") is Need.ANYONE
