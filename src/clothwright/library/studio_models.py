"""What a shared studio stores: members, groups, who belongs to them, invitations, what is shared, and tries to sign in.

Nobody is a member at one table, and all of this is empty there.
"""

from __future__ import annotations

import secrets
import uuid
from typing import Any, ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.utils import timezone
from django.utils.crypto import salted_hmac


def new_mark() -> str:
    """Sixteen letters of chance."""
    return secrets.token_hex(8)


class Members(BaseUserManager["Member"]):
    """Members by their e-mail address, however it is typed."""

    def get_by_natural_key(self, username: str | None) -> Member:
        """The member of an address; capitals do not count."""
        return self.get(email=plain_address(username or ""))


def plain_address(typed: str) -> str:
    """An e-mail address as it is kept: without blanks around it, in small letters."""
    return typed.strip().lower()


class Member(AbstractBaseUser):
    """One who can sign in: her address, her name as others of her groups see it, and whether she keeps the studio."""

    email = models.EmailField(max_length=254, unique=True)
    name = models.CharField(max_length=100)
    keeper = models.BooleanField(default=False)
    joined = models.DateTimeField(default=timezone.now)
    #: Every session carries it; a new one signs out everywhere.
    mark = models.CharField(max_length=16, default=new_mark)

    objects = Members()

    USERNAME_FIELD = "email"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = ["name"]

    def __str__(self) -> str:
        return self.name

    def get_session_auth_hash(self) -> str:
        """What a session must carry: it changes with the password, and with the mark."""
        said = f"{self.mark} {self.password}"
        return salted_hmac("clothwright.member", said, algorithm="sha256").hexdigest()

    def get_session_auth_fallback_hash(self) -> Any:
        """No older keys are in use."""
        return iter(())


class GroupKind(models.TextChoices):
    """What a group is."""

    GUILD = "guild", "guild"
    CLASS = "class", "class"


class Role(models.TextChoices):
    """What somebody may do in a group."""

    KEEPER = "keeper", "keeper"
    TEACHER = "teacher", "teacher"
    MEMBER = "member", "member"


class Group(models.Model):
    """A guild, whose members see what each shares with it; or a class, where only teachers see what students share."""

    name = models.CharField(max_length=100)
    kind = models.CharField(max_length=10, choices=GroupKind.choices)
    made_at = models.DateTimeField(default=timezone.now)

    def __str__(self) -> str:
        return self.name


class Belonging(models.Model):
    """One member of one group."""

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="belongings")
    member = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="belongings")
    role = models.CharField(max_length=10, choices=Role.choices)
    since = models.DateTimeField(default=timezone.now)

    class Meta:
        """One role in each group."""

        ordering: ClassVar = ["since", "pk"]
        constraints: ClassVar = [models.UniqueConstraint(fields=["group", "member"], name="one_role_in_a_group")]

    def __str__(self) -> str:
        return f"{self.role} of {self.group_id}"

    @property
    def runs_it(self) -> bool:
        """Whether she invites to the group and takes others out of it."""
        return self.role in (Role.KEEPER, Role.TEACHER)


class Invitation(models.Model):
    """A link that lets somebody in; only a digest of it is kept, so that a copy of the library opens no door."""

    digest = models.CharField(max_length=64, unique=True)
    group = models.ForeignKey(Group, null=True, on_delete=models.CASCADE, related_name="invitations")
    role = models.CharField(max_length=10, choices=Role.choices, default=Role.MEMBER)
    email = models.EmailField(max_length=254, blank=True)
    made_by = models.ForeignKey(Member, null=True, on_delete=models.SET_NULL, related_name="+")
    made_at = models.DateTimeField(default=timezone.now)
    expires = models.DateTimeField()
    uses_left = models.PositiveIntegerField()

    class Meta:
        """Newest first."""

        ordering: ClassVar = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.uses_left} left until {self.expires:%Y-%m-%d}"


class Share(models.Model):
    """A project, or a sample on hand, that a group may read."""

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="shares")
    by = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="shares")
    project = models.ForeignKey("Project", null=True, on_delete=models.CASCADE, related_name="shares")
    sample = models.ForeignKey("OnHand", null=True, on_delete=models.CASCADE, related_name="shares")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        """One thing, once with each group."""

        ordering: ClassVar = ["-at", "-pk"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=models.Q(project=None, sample__isnull=False) | models.Q(project__isnull=False, sample=None),
                name="a_share_is_of_one_thing",
            ),
            models.UniqueConstraint(fields=["group", "project"], name="a_project_once_with_a_group"),
            models.UniqueConstraint(fields=["group", "sample"], name="a_sample_once_with_a_group"),
        ]

    def __str__(self) -> str:
        return f"{self.project_id or self.sample_id} with {self.group_id}"


class LeafletLink(models.Model):
    """The link by which anybody who has it reads a version of a project's leaflet that was given out, without an account."""

    project = models.OneToOneField("Project", on_delete=models.CASCADE, related_name="leaflet_link")
    link = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    #: The version it shows; empty: always the one given out last.
    version = models.CharField(max_length=20, blank=True)
    at = models.DateTimeField(default=timezone.now)

    def __str__(self) -> str:
        return f"leaflet of {self.project_id}"


class TriedSignIn(models.Model):
    """A try to sign in that failed: digests of the address typed and of where it came from, and when."""

    account = models.CharField(max_length=64, db_index=True)
    place = models.CharField(max_length=64, db_index=True)
    at = models.DateTimeField(default=timezone.now, db_index=True)

    def __str__(self) -> str:
        return f"{self.at}"
