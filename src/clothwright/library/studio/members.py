"""Members of a shared studio: made, found, given a new password, signed out everywhere, and gone with all that was theirs."""

from __future__ import annotations

from typing import Final

from django.conf import settings
from django.contrib.auth.password_validation import validate_password
from django.contrib.auth.tokens import PasswordResetTokenGenerator
from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db import IntegrityError, models, transaction
from django.utils.encoding import force_str
from django.utils.http import urlsafe_base64_decode, urlsafe_base64_encode

from clothwright.library import whose
from clothwright.library.models import Group, Member, OnHand, Project
from clothwright.library.studio_models import GroupKind, Role, new_mark, plain_address
from clothwright.project import Problem, ProblemsFound

LONGEST_NAME: Final = 100
#: Longer ones only make hashing slow.
LONGEST_PASSWORD: Final = 200


class _Links(PasswordResetTokenGenerator):
    """Signs of links to a new password; each ends with the password it was made under, and with its day."""

    key_salt = "clothwright.library.members.links"


_LINKS: Final = _Links()


@transaction.atomic
def new_member(email: str, name: str, password: str, *, keeper: bool = False) -> Member:
    """A new member; ProblemsFound, field by field, where the address, the name or the password will not do."""
    made = Member(email=plain_address(email), name=_one_line(name)[:LONGEST_NAME], keeper=keeper)
    problems = [*_of_address(made.email), *_of_name(made.name), *_of_password(password, made)]
    if problems:
        raise ProblemsFound(*problems)
    made.set_password(password)
    try:
        with transaction.atomic():
            made.save()
    except IntegrityError:
        raise ProblemsFound(
            Problem(("email",), "somebody of this address is a member already; sign in instead")
        ) from None
    return made


def first_keeper(email: str, name: str, password: str) -> tuple[Member, int]:
    """The member who keeps a studio that has no keeper, and how many projects and things kept before she owns now."""
    with transaction.atomic():
        if Member.objects.filter(keeper=True).exists():
            raise ProblemsFound(
                Problem(("email",), "this studio has a keeper already; a keeper invites others on the page Members")
            )
        made = new_member(email, name, password, keeper=True)
        return made, sum(root.every.filter(owner=None).update(owner=made) for root in (Project, OnHand))


def _of_address(email: str) -> list[Problem]:
    try:
        validate_email(email)
    except ValidationError:
        return [Problem(("email",), f"“{email}” is no e-mail address; write one as wren@guild.example")]
    return []


def _of_name(name: str) -> list[Problem]:
    return [] if name else [Problem(("name",), "write the name others of your groups should see")]


def _of_password(password: str, of: Member) -> list[Problem]:
    if len(password) > LONGEST_PASSWORD:
        return [Problem(("password",), f"a password has at most {LONGEST_PASSWORD} letters")]
    try:
        validate_password(password, of)
    except ValidationError as error:
        return [Problem(("password",), one) for one in error.messages]
    return []


def _one_line(text: str) -> str:
    return " ".join(text.replace("\0", "").split())


def refuse_unlike(*, studio: bool) -> None:
    """ProblemsFound where a library that has members is to be opened as one table's, where whoever comes sees everything."""
    if not studio and Member.objects.exists():
        raise ProblemsFound(
            Problem((), "this library is a shared studio’s; serve it with --studio, so that its members sign in")
        )


def seen_for(email: str) -> whose.Seen:
    """What is seen when something is brought in for a member; at one table, without one, everything.

    ProblemsFound where a studio is not told which member, or there is none of that address.
    """
    if not email and not Member.objects.exists():
        return whose.EVERYTHING
    found = find_member(email)
    if found is None:
        named = f"nobody of this studio has the address “{email}”" if email else "this is a shared studio"
        raise ProblemsFound(Problem(("member",), f"{named}: name with --member the member whose it becomes"))
    return whose.Seen(owner=found.pk)


def find_member(email: str) -> Member | None:
    """The member of an address."""
    return Member.objects.filter(email=plain_address(email)).first()


def rename(member: Member, name: str) -> None:
    """Another name for a member; ProblemsFound where there is none."""
    name = _one_line(name)[:LONGEST_NAME]
    if problems := _of_name(name):
        raise ProblemsFound(*problems)
    Member.objects.filter(pk=member.pk).update(name=name)


def set_password(member: Member, password: str) -> None:
    """A new password, which ends every session and every link made before; ProblemsFound where it will not do."""
    if problems := _of_password(password, member):
        raise ProblemsFound(*problems)
    member.set_password(password)
    member.mark = new_mark()
    member.save(update_fields=["password", "mark"])


def sign_out_everywhere(member: Member) -> None:
    """End every session."""
    member.mark = new_mark()
    member.save(update_fields=["mark"])


def password_link(member: Member) -> tuple[str, str]:
    """The two parts of a link by which a member sets a new password: who she is, and its sign."""
    return urlsafe_base64_encode(str(member.pk).encode()), _LINKS.make_token(member)


def of_password_link(who: str, sign: str) -> Member | None:
    """The member a link was made for; None where it was used, is too old, or never was."""
    try:
        key = int(force_str(urlsafe_base64_decode(who)))
        member = Member.objects.filter(pk=key).first()
    except (ValueError, OverflowError):
        return None
    return member if member is not None and _LINKS.check_token(member, sign) else None


def link_hours() -> int:
    """How long such a link is good for."""
    return int(settings.PASSWORD_RESET_TIMEOUT) // 3600


class LastKeeper(Exception):
    """A studio that has other members would be left without a keeper."""


def let_keep(member: Member, *, keep: bool) -> Problem | None:
    """Let a member keep the studio, or no longer; a problem where nobody would be left who does."""
    with transaction.atomic():
        others = _keepers() - {member.pk}
        if not keep and not others:
            return Problem((), "nobody would be left who keeps this studio; make another member keeper first")
        Member.objects.filter(pk=member.pk).update(keeper=keep)
    return None


@transaction.atomic
def leave(member: Member) -> None:
    """Take a member out of the studio with all that was hers; what she shared is taken back with it.

    A guild that she alone kept goes to who belongs to it longest; a class whose only teacher she was ends, since nobody else
    may see what its students shared. LastKeeper where she alone keeps the studio and others are in it.
    """
    keepers = _keepers()
    if keepers == {member.pk} and Member.objects.exclude(pk=member.pk).exists():
        raise LastKeeper
    for group in Group.objects.filter(belongings__member=member).order_by("pk"):
        _leave_group_behind(group, member)
    for root in (Project, OnHand):
        _take_away(root, member)
    member.delete()


def _keepers() -> set[int]:
    """Who keeps the studio, held so until the end of the transaction; in one order, so that two who ask do not wait for each other."""
    return set(Member.objects.select_for_update().filter(keeper=True).order_by("pk").values_list("pk", flat=True))


def _leave_group_behind(group: Group, member: Member) -> None:
    Group.objects.select_for_update().filter(pk=group.pk).first()
    rest = group.belongings.exclude(member=member)
    if rest.filter(role__in=(Role.KEEPER, Role.TEACHER)).exists():
        return
    heir = rest.first()
    if heir is None or group.kind == GroupKind.CLASS:
        group.delete()
    else:
        rest.filter(pk=heir.pk).update(role=Role.KEEPER)


def _take_away(root: type[Project] | type[OnHand], owner: Member) -> None:
    """Delete what an owner has of a root, with whatever hangs on it, also in tables that are added one day."""
    hers = root.every.filter(owner=owner)
    hers.update(head=None)
    for relation in root._meta.related_objects:
        kind = relation.related_model
        assert not isinstance(kind, str)  # models are all loaded by now
        hanging = kind._base_manager.filter(**{f"{relation.field.name}__owner": owner})
        for field in kind._meta.fields:
            if isinstance(field, models.ForeignKey) and field.related_model is kind:
                hanging.update(**{field.name: None})
        hanging.delete()
    hers.delete()
