"""What every answer passes through: what a browser may load, and the way back from an address that only takes a post."""

from __future__ import annotations

from collections.abc import Callable
from http import HTTPStatus
from typing import Final

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

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
