"""The one gate every request passes in a shared studio: who asks, what the address needs, what can be seen from here on.

At one table it lets everything through. In a studio it says whose library the request is about (`library/whose.py`), so that no
page further in can find what is another's, and answers itself where somebody may not pass: with the page to sign in, or, who is
signed in, as if there were no such page.
"""

from __future__ import annotations

from collections.abc import Callable
from http import HTTPStatus
from typing import Any, Final
from urllib.parse import urlencode

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.cache import patch_cache_control

from clothwright.library import whose
from clothwright.library.models import Member, OnHand, Project
from clothwright.library.studio import groups, shares
from clothwright.web.needs import NEEDS, STUDIO_ONLY, Need

_LINK_ENDED: Final = (
    "It was ended by who made the leaflet, or not all of it was copied. Ask who gave it to you for another."
)
_SAFE: Final = ("GET", "HEAD", "OPTIONS")
_OF_PROJECT: Final = (Need.CHANGE_PROJECT, Need.READ_PROJECT, Need.COPY_PROJECT)
_OF_THING: Final = (Need.CHANGE_THING, Need.READ_THING, Need.COPY_THING)
_OF_GROUP: Final = (Need.IN_GROUP, Need.RUNS_GROUP)


def member_of(request: HttpRequest) -> Member | None:
    """Who is signed in; nobody at one table."""
    user = getattr(request, "user", None) if settings.STUDIO else None
    return user if isinstance(user, Member) else None


def asking(request: HttpRequest) -> Member:
    """Who is signed in, on a page that the gate lets nobody else to."""
    member = member_of(request)
    if member is None:
        raise Http404
    return member


class Gate:
    """Middleware: it says what can be seen, and whether the address may be asked for."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self._get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """See what is one's own for as long as the request lasts; nothing answered is kept by others on the way."""
        member = member_of(request)
        setattr(request, "member", member)  # noqa: B010 - the templates ask it
        if not settings.STUDIO:
            return self._get_response(request)
        with whose.seeing(_own(member)):
            response = self._get_response(request)
        if "Cache-Control" not in response:
            patch_cache_control(response, private=True, no_store=True)
        return response

    def process_view(
        self, request: HttpRequest, _view: Callable[..., HttpResponse], _args: Any, parts: dict[str, Any]
    ) -> HttpResponse | None:
        """An answer of the gate's own where somebody may not pass."""
        name = (request.resolver_match.url_name if request.resolver_match else None) or ""
        if not settings.STUDIO:
            if name in STUDIO_ONLY:
                raise Http404
            return None
        need = NEEDS[name]
        member = member_of(request)
        if need == Need.ANYONE:
            return None
        if need == Need.LEAFLET_LINK:
            key = shares.project_of_leaflet(parts["link"])
            if key is None:
                gone = {"title": "This link leads nowhere any more", "text": _LINK_ENDED}
                return render(request, "clothwright/message.html", gone, status=HTTPStatus.NOT_FOUND)
            whose.see(whose.Seen(only=key))
            return None
        if member is None:
            return _sign_in_first(request)
        seen = _let_in(member, need, parts, safe=request.method in _SAFE)
        if seen is None:
            raise Http404
        whose.see(seen)
        return None


def _own(member: Member | None) -> whose.Seen:
    return whose.Seen(owner=member.pk) if member else whose.NOTHING


def _let_in(member: Member, need: Need, parts: dict[str, Any], *, safe: bool) -> whose.Seen | None:
    """What can be seen by who asks for an address; None where she may not."""
    own, key = _own(member), parts.get("key")
    if need == Need.AT_ONE_TABLE:
        return None
    if need in _OF_PROJECT or need in _OF_THING:
        if _is_hers(need, parts):
            return own
        reads = need in (Need.COPY_PROJECT, Need.COPY_THING) or (need in (Need.READ_PROJECT, Need.READ_THING) and safe)
        shared = reads and shares.is_shared_with(member, project=key if need in _OF_PROJECT else None, sample=key)
        return whose.Seen(only=key) if shared else None
    if need in _OF_GROUP:
        role = groups.role_in(member, parts["group"])
        allowed = role is not None and (need == Need.IN_GROUP or role in groups.RUNNING)
        return own if allowed else None
    return own if need == Need.SIGNED_IN or member.keeper else None


def _is_hers(need: Need, parts: dict[str, Any]) -> bool:
    if need in _OF_PROJECT:
        return Project.objects.filter(pk=parts["key"]).exists()
    return OnHand.objects.filter(pk=parts["key"]).exists()


def _sign_in_first(request: HttpRequest) -> HttpResponse:
    """The way to sign in and back; to a post, that nothing was changed."""
    to = f"{reverse('sign_in')}?{urlencode({'next': request.get_full_path()})}"
    if "application/json" in request.headers.get("Accept", ""):
        return JsonResponse({"problem": "sign in again"}, status=HTTPStatus.UNAUTHORIZED)
    if request.method in _SAFE and request.headers.get("HX-Request") != "true":
        return redirect(to)
    sentence = (
        "You are signed out, so nothing was changed. Sign in, in another tab; this page still holds what you typed."
    )
    context = {"title": "Sign in first", "text": sentence}
    return render(request, "clothwright/message.html", context, status=HTTPStatus.UNAUTHORIZED)
