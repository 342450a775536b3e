"""The pages of a shared studio: its groups, who belongs to each, invitations, and the members for who keeps the studio."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from http import HTTPStatus
from typing import Any

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from clothwright.library.models import Group, Member, OnHand, Project, Share
from clothwright.library.studio import groups, members, shares
from clothwright.library.studio_models import GroupKind, Role
from clothwright.project import Problem, ProblemsFound
from clothwright.web.studio.gate import asking
from clothwright.web.studio.letters import address_of, password_address, send_invitation


@require_safe
@never_cache
def mine(request: HttpRequest) -> HttpResponse:
    """One's groups, and what is shared with them."""
    return _mine(request)


def _mine(request: HttpRequest, problems: tuple[Problem, ...] = (), status: int = 200) -> HttpResponse:
    member = asking(request)
    context = {
        "belongings": groups.groups_of(member),
        "shares": _once_each(shares.read_by(member)),
        "member": member,
        "problems": problems,
        "kinds": GroupKind.choices,
    }
    return render(request, "clothwright/groups.html", context, status=status)


@dataclass(frozen=True)
class _Shared:
    """A project or a sample that one may read, by whom it is shared, and the names of the groups it is shared with."""

    project: Project | None
    sample: OnHand | None
    by: Member
    groups: tuple[str, ...]


def _once_each(found: Iterable[Share]) -> list[_Shared]:
    """Everything shared, once, with all its groups, in the order of the latest share of each."""
    by_thing: dict[tuple[object, object], _Shared] = {}
    for one in found:
        key = (one.project_id, one.sample_id)
        before = by_thing[key].groups if key in by_thing else ()
        by_thing[key] = _Shared(one.project, one.sample, one.by, (*before, one.group.name))
    return list(by_thing.values())


@require_POST
def make_group(request: HttpRequest) -> HttpResponse:
    """Make a group, which its maker runs."""
    try:
        made = groups.new_group(request.POST.get("name", ""), request.POST.get("kind", ""), asking(request))
    except ProblemsFound as wrong:
        return _mine(request, wrong.problems, HTTPStatus.UNPROCESSABLE_ENTITY)
    return redirect("group", group=made.pk)


@require_safe
@never_cache
def group(request: HttpRequest, group: int) -> HttpResponse:
    """A group: who belongs to it, what is shared with it, and for who runs it the invitations."""
    return _group(request, _found(group))


def _found(key: int) -> Group:
    try:
        return Group.objects.get(pk=key)
    except Group.DoesNotExist:
        raise Http404 from None


def _group(request: HttpRequest, found: Group, *, status: int = 200, **more: Any) -> HttpResponse:
    member = asking(request)
    role = groups.role_in(member, found.pk)
    runs = role in groups.RUNNING
    context = {
        "group": found,
        "member": member,
        "role": role,
        "runs": runs,
        "belongings": groups.who_belongs(found),
        "shares": shares.read_by(member).filter(group=found),
        "invitations": groups.open_invitations(found) if runs else (),
        "roles": _roles(found),
    }
    return render(request, "clothwright/group_of_studio.html", context | _asking_to_invite() | more, status=status)


def _roles(of: Group) -> list[tuple[str, str]]:
    """The roles of a group in its own words, the usual one first."""
    if of.kind == GroupKind.CLASS:
        return [(Role.MEMBER, "student"), (Role.TEACHER, "teacher")]
    return [(Role.MEMBER, "member"), (Role.KEEPER, "keeper")]


def _asking_to_invite() -> dict[str, Any]:
    return {"by_mail": bool(settings.MAIL.host), "days": groups.DAYS, "most": groups.MOST_USES}


@require_POST
def invite_to_group(request: HttpRequest, group: int) -> HttpResponse:
    """Make an invitation to a group, and show its link, this once; or send it."""
    found = _found(group)
    try:
        told = _invited(request, found)
    except ProblemsFound as wrong:
        return _group(request, found, problems=wrong.problems, status=HTTPStatus.UNPROCESSABLE_ENTITY)
    return _group(request, found, invited=told)


def _invited(request: HttpRequest, to: Group | None) -> dict[str, Any]:
    member, email = asking(request), request.POST.get("email", "").replace("\0", "").strip()
    typed = request.POST.get("uses", "").strip() or "1"
    uses = int(typed) if typed.isdecimal() and len(typed) < 4 else 0
    role = request.POST.get("role", Role.MEMBER)
    made, secret = groups.invite(member, to, role=role, email=email, uses=uses)
    address = address_of(request, reverse("invitation", args=[secret]))
    sent = bool(email and settings.MAIL.host) and send_invitation(email, address, member, to.name if to else "")
    return {"invitation": made, "address": address, "sent": sent}


@require_POST
def take_invitation_back(_request: HttpRequest, group: int, number: int) -> HttpResponse:
    """End an invitation before its day."""
    groups.take_back(_found(group), number)
    return redirect("group", group=group)


@require_POST
def take_out_of_group(request: HttpRequest, group: int, number: int) -> HttpResponse:
    """Take somebody else out of a group."""
    found = _found(group)
    out = found.belongings.filter(member=number).select_related("member").first()
    if out is None or out.member == asking(request):
        raise Http404
    try:
        groups.take_out(found, out.member)
    except ProblemsFound as wrong:
        return _group(request, found, problems=wrong.problems, status=HTTPStatus.UNPROCESSABLE_ENTITY)
    return redirect("group", group=group)


@require_POST
def leave_group(request: HttpRequest, group: int) -> HttpResponse:
    """Leave a group; what one shared with it is taken back."""
    found = _found(group)
    try:
        groups.take_out(found, asking(request))
    except ProblemsFound as wrong:
        return _group(request, found, problems=wrong.problems, status=HTTPStatus.UNPROCESSABLE_ENTITY)
    return redirect("groups")


@require_safe
@never_cache
def all_members(request: HttpRequest) -> HttpResponse:
    """Everybody in the studio, for who keeps it: names and addresses, and nothing that they keep."""
    return _members(request)


def _members(request: HttpRequest, *, status: int = 200, **more: Any) -> HttpResponse:
    context = {
        "members": Member.objects.order_by("name", "pk"),
        "member": asking(request),
        "invitations": groups.open_invitations(None),
    }
    return render(request, "clothwright/members.html", context | _asking_to_invite() | more, status=status)


@require_POST
def invite_member(request: HttpRequest) -> HttpResponse:
    """Make an invitation to the studio alone, and show its link, this once; or send it; or take one back."""
    if (number := request.POST.get("take_back", "")).isdecimal():
        groups.take_back(None, int(number[:12]))
        return redirect("members")
    try:
        told = _invited(request, None)
    except ProblemsFound as wrong:
        return _members(request, problems=wrong.problems, status=HTTPStatus.UNPROCESSABLE_ENTITY)
    return _members(request, invited=told)


@require_POST
def password_link(request: HttpRequest, number: int) -> HttpResponse:
    """Show a link by which a member sets a new password, to be handed over by who keeps the studio."""
    of = _member(number)
    return _members(request, link_for=of, link=password_address(request, of), hours=members.link_hours())


@require_POST
def keep_studio(request: HttpRequest, number: int) -> HttpResponse:
    """Let a member keep the studio too, or no longer."""
    problem = members.let_keep(_member(number), keep=request.POST.get("do") == "keep")
    if problem:
        return _members(request, problems=[problem], status=HTTPStatus.UNPROCESSABLE_ENTITY)
    return redirect("members" if asking(request).pk != number or request.POST.get("do") == "keep" else "groups")


def _member(number: int) -> Member:
    try:
        return Member.objects.get(pk=number)
    except Member.DoesNotExist:
        raise Http404 from None
