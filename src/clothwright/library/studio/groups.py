"""Groups of a shared studio, who belongs to them, and the links that let somebody in."""

from __future__ import annotations

import datetime
import hashlib
import secrets
from typing import Final

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from clothwright.library.models import Belonging, Group, Invitation, Member, Share
from clothwright.library.studio import members
from clothwright.library.studio_models import GroupKind, Role, plain_address
from clothwright.project import Problem, ProblemsFound

#: Who invites to a group and takes others out of it.
RUNNING: Final = (Role.KEEPER, Role.TEACHER)
#: How long an invitation is good for, and for how many at most.
DAYS: Final = 14
MOST_USES: Final = 60
_LONGEST_NAME: Final = 100


def new_group(name: str, kind: str, by: Member) -> Group:
    """A group that its maker runs; ProblemsFound without a name or of no known kind."""
    name = " ".join(name.replace("\0", "").split())[:_LONGEST_NAME]
    if not name:
        raise ProblemsFound(Problem(("name",), "write what the group is called"))
    if kind not in GroupKind.values:
        raise ProblemsFound(
            Problem(("kind",), f"“{kind}” is no kind of group; there are {' and '.join(GroupKind.values)}")
        )
    with transaction.atomic():
        made = Group.objects.create(name=name, kind=kind)
        role = Role.TEACHER if kind == GroupKind.CLASS else Role.KEEPER
        Belonging.objects.create(group=made, member=by, role=role)
    return made


def groups_of(member: Member) -> QuerySet[Belonging]:
    """Her groups with her role in each, by name."""
    return Belonging.objects.filter(member=member).select_related("group").order_by("group__name")


def role_in(member: Member, group: int) -> str | None:
    """Her role in a group; None where she does not belong to it."""
    return Belonging.objects.filter(member=member, group=group).values_list("role", flat=True).first()


def who_belongs(group: Group) -> QuerySet[Belonging]:
    """Everybody of a group, by name."""
    return group.belongings.select_related("member").order_by("member__name", "pk")


def lock(group: Group) -> None:
    """Hold a group's row until the end of the transaction: who belongs to it, and what is shared with it, stays as it is asked for."""
    Group.objects.select_for_update().filter(pk=group.pk).first()


@transaction.atomic
def take_out(group: Group, member: Member) -> None:
    """Take a member out of a group; what she shared with it is taken back.

    ProblemsFound where nobody who runs it would be left with those who stay.
    """
    lock(group)
    rest = Belonging.objects.filter(group=group).exclude(member=member)
    if rest and not any(one.role in RUNNING for one in rest):
        raise ProblemsFound(
            Problem((), "nobody would be left who runs this group; invite another teacher or keeper first")
        )
    Share.objects.filter(group=group, by=member).delete()
    Belonging.objects.filter(group=group, member=member).delete()


def invite(
    by: Member, group: Group | None, *, role: str = Role.MEMBER, email: str = "", uses: int = 1, days: int = DAYS
) -> tuple[Invitation, str]:
    """An invitation to the studio, and to a group of it, with the secret part of its link, which is told only now.

    One with an e-mail address is for that address alone. ProblemsFound where it is for too many or its role is none.
    """
    email = plain_address(email)
    if not 1 <= uses <= MOST_USES or (email and uses > 1):
        most = "1, where it is for one address" if email else f"1 to {MOST_USES}"
        raise ProblemsFound(Problem(("uses",), f"an invitation is for so many: {most}"))
    if role not in Role.values or (group is None and role != Role.MEMBER):
        raise ProblemsFound(Problem(("role",), f"“{role}” is no role in a group; there are {', '.join(Role.values)}"))
    secret = secrets.token_urlsafe(24)
    made = Invitation.objects.create(
        digest=_digest(secret),
        group=group,
        role=role,
        email=email,
        made_by=by,
        expires=timezone.now() + datetime.timedelta(days=days),
        uses_left=uses,
    )
    return made, secret


def invitation(secret: str) -> Invitation | None:
    """The invitation of a link, if it is still good."""
    return _good().select_related("group", "made_by").filter(digest=_digest(secret)).first()


@transaction.atomic
def accept(secret: str, member: Member) -> Group | None:
    """Let a member in by a link, and say into which group; ProblemsFound where the link is no longer good, or is another's.

    Who belongs to the group already keeps her role, and uses nothing up.
    """
    # The group first, as whoever else holds both does.
    into = Group.objects.filter(invitations__digest=_digest(secret)).first()
    if into is not None:
        lock(into)
    found = _good().select_for_update(of=("self",)).filter(digest=_digest(secret)).first()
    if found is None:
        raise ProblemsFound(Problem((), "this invitation is no longer good; ask for another"))
    if found.email and found.email != member.email:
        raise ProblemsFound(Problem(("email",), "this invitation is for another e-mail address"))
    if into is not None and role_in(member, into.pk) is not None:
        return into
    found.uses_left -= 1
    found.save(update_fields=["uses_left"])
    if into is not None:
        Belonging.objects.create(group=into, member=member, role=found.role)
    return into


@transaction.atomic
def joined(secret: str, email: str, name: str, password: str) -> Member:
    """A new member let in by a link; ProblemsFound, and nobody made, where the link, or what was typed, will not do."""
    found = members.new_member(email, name, password)
    accept(secret, found)
    return found


def open_invitations(group: Group | None) -> QuerySet[Invitation]:
    """The invitations to a group, or to the studio alone, that are still good."""
    return _good().filter(group=group).select_related("made_by")


def take_back(group: Group | None, key: int) -> None:
    """End an invitation before its day."""
    Invitation.objects.filter(group=group, pk=key).delete()


def _good() -> QuerySet[Invitation]:
    return Invitation.objects.filter(uses_left__gt=0, expires__gt=timezone.now())


def _digest(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()
