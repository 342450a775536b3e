"""Links that members are sent or shown, and the letters that carry them where mail is set up."""

from __future__ import annotations

import logging
import smtplib

from django.conf import settings
from django.core.mail import send_mail
from django.http import HttpRequest
from django.urls import reverse

from clothwright.library.models import Member
from clothwright.library.studio import members

_log = logging.getLogger(__name__)


def address_of(request: HttpRequest, path: str) -> str:
    """The whole address of a path, as members type it."""
    return f"{settings.STUDIO_ADDRESS}{path}" if settings.STUDIO_ADDRESS else request.build_absolute_uri(path)


def password_address(request: HttpRequest, member: Member) -> str:
    """The address at which a member sets a new password."""
    return address_of(request, reverse("new_password", args=members.password_link(member)))


def send_password_link(request: HttpRequest, member: Member) -> bool:
    """Send a member the way to a new password; False where the mail server did not take it."""
    lines = (
        f"Hello {member.name},",
        "somebody, you we hope, asked for a new password for your account in the weaving studio. Set it here:",
        password_address(request, member),
        f"The link is good for {members.link_hours()} hours, and once. If it was not you, do nothing.",
    )
    return _sent("A new password for the weaving studio", lines, member.email)


def send_invitation(to: str, address: str, by: Member, group: str) -> bool:
    """Send an invitation; False where the mail server did not take it."""
    where = f"the group “{group}” of a weaving studio" if group else "a weaving studio"
    lines = (
        "Hello,",
        f"{by.name} invites you to {where}. Come in here:",
        address,
        "The link is for you alone, and is good once.",
    )
    return _sent("An invitation to a weaving studio", lines, to)


def _sent(subject: str, lines: tuple[str, ...], to: str) -> bool:
    try:
        return bool(send_mail(subject, "\n\n".join(lines), settings.DEFAULT_FROM_EMAIL, [to]))
    except (OSError, smtplib.SMTPException) as error:
        # Its words would hold the address.
        _log.error("a letter was not taken by the mail server: %s", type(error).__name__)
        return False
