"""The pages of one's own account in a shared studio: signing in and out, invitations, passwords, leaving with all one's data."""

from __future__ import annotations

from collections.abc import Callable
from http import HTTPStatus
from typing import Any, Final

from django.conf import settings
from django.contrib.auth import authenticate, login, logout, update_session_auth_hash
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clothwright.library.keeping.archive import exported
from clothwright.library.keeping.waiting import drop_all
from clothwright.library.models import Invitation, Member
from clothwright.library.studio import groups, members, shares, tries
from clothwright.project import Problem, ProblemsFound
from clothwright.web.answering import download
from clothwright.web.studio.gate import asking, member_of
from clothwright.web.studio.letters import send_password_link

_BACKEND: Final = "django.contrib.auth.backends.ModelBackend"
_LONGEST: Final = 254
_TOO_MANY: Final = "There were too many tries. Wait a quarter of an hour, or ask for a new password."
_WRONG: Final = "The address and the password do not go together. Capitals count in the password."

_takes_secrets: Final = sensitive_post_parameters("password", "old", "again")


def _typed(request: HttpRequest, name: str) -> str:
    return request.POST.get(name, "").replace("\0", "")


def _place(request: HttpRequest) -> str:
    """Where a request comes from; through a web server in front, what that says."""
    return str(request.META.get("REMOTE_ADDR", ""))


def _onward(request: HttpRequest) -> str:
    """The page somebody was on the way to, if it is one of ours."""
    asked = request.POST if request.method == "POST" else request.GET
    to = asked.get("next", "")
    return to if url_has_allowed_host_and_scheme(to, None) else reverse("projects")


def _sentences(wrong: ProblemsFound) -> dict[str, list[str]]:
    """What is wrong by field."""
    found: dict[str, list[str]] = {}
    for one in wrong.problems:
        found.setdefault(str(one.path[0]) if one.path else "all", []).append(one.sentence)
    return found


def _shown(request: HttpRequest, template: str, context: dict[str, Any], *, wrong: bool = False) -> HttpResponse:
    status = HTTPStatus.UNPROCESSABLE_ENTITY if wrong else HTTPStatus.OK
    return render(request, f"clothwright/{template}", context, status=status)


@_takes_secrets
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def sign_in(request: HttpRequest) -> HttpResponse:
    """Ask who is there, and let in who knows her password."""
    context: dict[str, Any] = {"next": _onward(request), "email": _typed(request, "email").strip()[:_LONGEST]}
    if request.method != "POST":
        return redirect(context["next"]) if member_of(request) else _shown(request, "sign_in.html", context)
    if not tries.may_try(context["email"], _place(request)):
        return render(request, "clothwright/sign_in.html", context | {"sentence": _TOO_MANY}, status=429)
    found = authenticate(
        request, username=context["email"], password=_typed(request, "password")[: members.LONGEST_PASSWORD]
    )
    if not isinstance(found, Member):
        return _shown(request, "sign_in.html", context | {"sentence": _WRONG}, wrong=True)
    tries.succeeded(context["email"], _place(request))
    login(request, found)
    return redirect(context["next"])


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """End this session; with `everywhere`, every one."""
    if "everywhere" in request.POST:
        members.sign_out_everywhere(asking(request))
    logout(request)
    return redirect("sign_in")


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def forgotten(request: HttpRequest) -> HttpResponse:
    """Send a link to a new password, where mail is set up. The answer is the same whether there is such a member or not."""
    context: dict[str, Any] = {
        "by_mail": bool(settings.MAIL.host),
        "email": _typed(request, "email").strip()[:_LONGEST],
    }
    if request.method == "POST" and settings.MAIL.host:
        found = members.find_member(context["email"])
        if tries.may_try(f"letter to {context['email']}", _place(request)) and found is not None:
            send_password_link(request, found)
        context["sent"] = True
    return _shown(request, "forgotten.html", context)


@_takes_secrets
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def new_password(request: HttpRequest, who: str, sign: str) -> HttpResponse:
    """Set a new password by a link, and sign in with it."""
    found = members.of_password_link(who, sign)
    if found is None:
        gone = {"title": "This link is no longer good", "text": "It was used, or is too old. Ask for another."}
        return render(request, "clothwright/message.html", gone, status=HTTPStatus.NOT_FOUND)
    context: dict[str, Any] = {"member": found, "sentences": {}}
    if request.method == "POST":
        try:
            _twice(request)
            members.set_password(found, _typed(request, "password"))
        except ProblemsFound as wrong:
            return _shown(request, "new_password.html", context | {"sentences": _sentences(wrong)}, wrong=True)
        tries.forget_account(found.email)
        login(request, found, _BACKEND)
        return redirect("projects")
    return _shown(request, "new_password.html", context)


def _twice(request: HttpRequest) -> None:
    if _typed(request, "password") != _typed(request, "again"):
        raise ProblemsFound(Problem(("again",), "the two are not alike; type the new password twice"))


@_takes_secrets
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def invitation(request: HttpRequest, secret: str) -> HttpResponse:
    """Let in who has a link: as a new member, or, who is signed in, into one more group."""
    found = groups.invitation(secret)
    if found is None:
        gone = {
            "title": "This invitation is no longer good",
            "text": "It was used, taken back, or is too old. Ask for another.",
        }
        return render(request, "clothwright/message.html", gone, status=HTTPStatus.NOT_FOUND)
    context: dict[str, Any] = {
        "invitation": found,
        "here": request.path,
        "member": member_of(request),
        "email": found.email or _typed(request, "email").strip()[:_LONGEST],
        "name": _typed(request, "name").strip()[: members.LONGEST_NAME],
        "sentences": {},
    }
    if request.method != "POST":
        return _shown(request, "invitation.html", context)
    try:
        return _let_in(request, found, secret)
    except ProblemsFound as wrong:
        return _shown(request, "invitation.html", context | {"sentences": _sentences(wrong)}, wrong=True)


def _let_in(request: HttpRequest, found: Invitation, secret: str) -> HttpResponse:
    member = member_of(request)
    if member is None:
        _twice(request)
        member = groups.joined(
            secret, found.email or _typed(request, "email"), _typed(request, "name"), _typed(request, "password")
        )
        login(request, member, _BACKEND)
        return redirect("groups")
    groups.accept(secret, member)
    return redirect("groups")


@_takes_secrets
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def me(request: HttpRequest) -> HttpResponse:
    """One's own account: name and password."""
    member = asking(request)
    context: dict[str, Any] = {"member": member, "name": member.name, "sentences": {}}
    if request.method != "POST":
        return _shown(request, "me.html", context)
    try:
        _PRESSED[request.POST.get("do", "")](request, member)
    except KeyError:
        return HttpResponse("There is no such button.", status=400, content_type="text/plain; charset=utf-8")
    except ProblemsFound as wrong:
        told = {"sentences": _sentences(wrong), "name": _typed(request, "name") or member.name}
        return _shown(request, "me.html", context | told, wrong=True)
    return redirect("me")


def _rename(request: HttpRequest, member: Member) -> None:
    members.rename(member, _typed(request, "name"))


def _change_password(request: HttpRequest, member: Member) -> None:
    _know_it(request, member, "old")
    _twice(request)
    members.set_password(member, _typed(request, "password"))
    update_session_auth_hash(request, member)


_PRESSED: Final[dict[str, Callable[[HttpRequest, Member], None]]] = {"name": _rename, "password": _change_password}


def _know_it(request: HttpRequest, member: Member, field: str) -> None:
    """Go on only with the password of who is signed in; too many wrong ones are refused as at the door."""
    if not tries.may_try(member.email, _place(request)):
        raise ProblemsFound(Problem((field,), _TOO_MANY))
    if not member.check_password(_typed(request, field)[: members.LONGEST_PASSWORD]):
        raise ProblemsFound(Problem((field,), "that is not your password as it is now"))
    tries.succeeded(member.email, _place(request))


@require_safe
@never_cache
def everything_mine(request: HttpRequest) -> HttpResponse:
    """All that is one's own as one open archive."""
    asking(request)
    return download(exported(), "application/zip", "my-clothwright-export.zip")


@_takes_secrets
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def leave_studio(request: HttpRequest) -> HttpResponse:
    """Say what leaving takes away, and leave by one's password."""
    member = asking(request)
    context: dict[str, Any] = {
        "member": member,
        "shared": shares.read_by(member).filter(by=member).count(),
        "groups": groups.groups_of(member),
        "sentences": {},
    }
    if request.method != "POST":
        return _shown(request, "leave_studio.html", context)
    try:
        _know_it(request, member, "password")
        key = member.pk
        members.leave(member)
        drop_all(key)
    except ProblemsFound as wrong:
        return _shown(request, "leave_studio.html", context | {"sentences": _sentences(wrong)}, wrong=True)
    except members.LastKeeper:
        sentence = "You are the only keeper of this studio and others are in it: make another member keeper first."
        return _shown(request, "leave_studio.html", context | {"sentences": {"all": [sentence]}}, wrong=True)
    logout(request)
    gone = {
        "title": "You have left the studio",
        "text": "What was yours here is deleted, and what you shared is taken back.",
    }
    return render(request, "clothwright/message.html", gone)
