"""What is stored. A revision is never changed; undo moves a pointer. Nothing is ever deleted but a class, which is about people,
and what was hers of a member who leaves a shared studio.

`objects` of a model gives what can be seen now (`whose`), `every` all there is, whoever owns it.
"""

from __future__ import annotations

import uuid
from typing import ClassVar

from django.db import models
from django.utils import timezone

from clothwright.library.typed_json import TypedJSON
from clothwright.library.whose import OfClass, OfProject, OfThing, Owned


class Listed(models.Model):
    """What stands in a list and has a history: its name as shown there, and which of its states (`head`) counts now."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    created = models.DateTimeField(default=timezone.now)
    name = models.CharField(max_length=200)
    put_away = models.BooleanField(default=False)
    #: Whose it is in a shared studio; at one table nobody's.
    owner = models.ForeignKey("library.Member", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    #: Of an example that comes with the program, what it is of; empty of what is hers.
    example = models.CharField(max_length=60, default="", db_default="", blank=True)

    class Meta:
        """Projects and things on hand have tables of their own."""

        abstract = True

    def __str__(self) -> str:
        return self.name


class NumberedState(models.Model):
    """The typed tree at one moment, exactly as typed, and what changed, in words."""

    number = models.PositiveIntegerField()
    tree = TypedJSON()
    made_at = models.DateTimeField(default=timezone.now)
    what = models.TextField()

    class Meta:
        """Numbers run on within what it is a state of, across branches."""

        abstract = True
        ordering: ClassVar = ["number"]

    def __str__(self) -> str:
        return f"{self.number}: {self.what}"


class Picture(models.Model):
    """A photo as it was written anew from what was brought in."""

    name = models.CharField(max_length=200)
    sha256 = models.CharField(max_length=64)
    content = models.BinaryField()
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    added_at = models.DateTimeField(default=timezone.now)

    class Meta:
        """In the order they came."""

        abstract = True
        ordering: ClassVar = ["added_at", "pk"]

    def __str__(self) -> str:
        return self.name


class Project(Listed):
    """A project: its name as shown in the list, and which of its revisions counts now."""

    head = models.ForeignKey("Revision", null=True, on_delete=models.PROTECT, related_name="+")

    objects = Owned()
    every = models.Manager()


class Revision(NumberedState):
    """The typed tree at one moment, exactly as typed, and what changed, in words."""

    project = models.ForeignKey(Project, on_delete=models.PROTECT, related_name="revisions")
    parent = models.ForeignKey("self", null=True, on_delete=models.PROTECT, related_name="children")
    #: Which content each drawing's name stood for: name to sha256.
    drawings = models.JSONField(default=dict)

    objects = OfProject()
    every = models.Manager()

    class Meta(NumberedState.Meta):
        """Numbers run on within a project, across branches."""

        constraints: ClassVar = [models.UniqueConstraint(fields=["project", "number"], name="one_number_per_project")]


class Drawing(models.Model):
    """The bytes of a drawing, kept for every revision that names them."""

    project = models.ForeignKey(Project, on_delete=models.PROTECT, related_name="drawings")
    name = models.CharField(max_length=200)
    sha256 = models.CharField(max_length=64)
    content = models.BinaryField()

    objects = OfProject()
    every = models.Manager()

    class Meta:
        """The same bytes under the same name are kept once."""

        constraints: ClassVar = [
            models.UniqueConstraint(fields=["project", "name", "sha256"], name="one_copy_of_a_drawing")
        ]

    def __str__(self) -> str:
        return self.name


class KnownLayout(models.Model):
    """The best layouts a long search has found for the same pieces under the same options."""

    key = models.CharField(primary_key=True, max_length=64)
    layouts = models.JSONField()
    found_at = models.DateTimeField(default=timezone.now)

    def __str__(self) -> str:
        return self.key


class LayoutRun(models.Model):
    """A long layout search that was started: how far it is, and whether it was asked to stop."""

    project = models.ForeignKey(Project, on_delete=models.PROTECT, related_name="layout_runs")
    started_at = models.DateTimeField(default=timezone.now)
    seconds = models.FloatField()
    share_done = models.FloatField(default=0)
    stop_asked = models.BooleanField(default=False)
    ended = models.BooleanField(default=False)
    outcome = models.TextField(blank=True)
    #: Whether it lays out every cloth of the project's leaflet, rather than the project's own.
    of_leaflet = models.BooleanField(default=False)
    #: In a shared studio: whether it waits for its turn, when and how often it was begun, of which state of the project, when it ended.
    waits = models.BooleanField(default=False)
    begun_at = models.DateTimeField(null=True)
    begun_times = models.PositiveIntegerField(default=0)
    revision = models.PositiveIntegerField(null=True)
    ended_at = models.DateTimeField(null=True)

    objects = OfProject()
    every = models.Manager()

    def __str__(self) -> str:
        return f"{self.seconds:g} s from {self.started_at}"

    @property
    def percent(self) -> int:
        """How far it is, by what it has told and by the clock; 100 only when it has ended."""
        by_clock = (timezone.now() - (self.begun_at or self.started_at)).total_seconds() / max(self.seconds, 1)
        return 100 if self.ended else int(100 * min(0.99, max(self.share_done, by_clock)))


class OnHand(Listed):
    """A yarn, a loom or a sample kept outside any project: its name as listed, and which of its states counts now."""

    kind = models.CharField(max_length=20)
    head = models.ForeignKey("OnHandState", null=True, on_delete=models.PROTECT, related_name="+")

    objects = Owned()
    every = models.Manager()


class Photo(Picture):
    """A photo of something on hand, as it was written anew from what was brought in."""

    of = models.ForeignKey(OnHand, on_delete=models.PROTECT, related_name="photos")

    objects = OfThing()
    every = models.Manager()

    class Meta(Picture.Meta):
        """The same picture of the same thing is kept once."""

        constraints: ClassVar = [models.UniqueConstraint(fields=["of", "sha256"], name="one_copy_of_a_photo")]


class OnHandState(NumberedState):
    """What was typed of a yarn or loom at one moment, exactly as typed, and what changed, in words."""

    of = models.ForeignKey(OnHand, on_delete=models.PROTECT, related_name="states")

    objects = OfThing()
    every = models.Manager()

    class Meta(NumberedState.Meta):
        """Numbers run on."""

        constraints: ClassVar = [models.UniqueConstraint(fields=["of", "number"], name="one_number_per_thing_on_hand")]


class KeptOrder(models.Model):
    """A colour order that was ticked off, or could be: its runs as they were, by a digest of them."""

    project = models.ForeignKey(Project, on_delete=models.PROTECT, related_name="kept_orders")
    digest = models.CharField(max_length=16)
    #: Run by run: yarn, ends, ball (0 where the yarn has one) and colour.
    runs = models.JSONField()
    first_seen = models.DateTimeField(default=timezone.now)

    objects = OfProject()
    every = models.Manager()

    class Meta:
        """An order is kept once."""

        constraints: ClassVar = [models.UniqueConstraint(fields=["project", "digest"], name="one_copy_of_an_order")]

    def __str__(self) -> str:
        return self.digest


class PhoneEntry(models.Model):
    """What was entered on a phone, exactly as it came; its key was made there, so that sent twice it is kept once.

    Its number among those of its project says what a phone had seen when it made a later entry.
    """

    key = models.UUIDField(unique=True, editable=False)
    project = models.ForeignKey(Project, on_delete=models.PROTECT, related_name="phone_entries")
    number = models.PositiveIntegerField()
    phone = models.CharField(max_length=36)
    kind = models.CharField(max_length=20)
    content = models.JSONField()
    received_at = models.DateTimeField(default=timezone.now)
    #: Why it could not be used as it is; empty where it could.
    sentence = models.TextField(blank=True)

    objects = OfProject()
    every = models.Manager()

    class Meta:
        """In the order they came."""

        ordering: ClassVar = ["number"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["project", "number"], name="one_number_per_phone_entry")
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.key}"


class ProjectPhoto(Picture):
    """A photo of a project's garment or of its weaving, written anew, with a small picture of it; its name is its own there."""

    project = models.ForeignKey(Project, on_delete=models.PROTECT, related_name="photos")
    small = models.BinaryField()

    objects = OfProject()
    every = models.Manager()

    class Meta(Picture.Meta):
        """The same picture of the same project is kept once, and a name is one picture."""

        constraints: ClassVar = [
            models.UniqueConstraint(fields=["project", "sha256"], name="one_copy_of_a_project_photo"),
            models.UniqueConstraint(fields=["project", "name"], name="one_name_per_project_photo"),
        ]


class RecordNumber(models.Model):
    """The number of a garment's record: its year and a running number, which no other ever has."""

    project = models.OneToOneField(Project, on_delete=models.PROTECT, related_name="record_number")
    year = models.PositiveIntegerField()
    running = models.PositiveIntegerField()
    #: The number it had in another library, where that is another garment's here.
    before = models.CharField(max_length=20, blank=True)
    given_at = models.DateTimeField(default=timezone.now)

    objects = OfProject()
    every = models.Manager()

    class Meta:
        """No two of one number."""

        ordering: ClassVar = ["year", "running"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["year", "running"], name="one_record_per_number"),
        ]

    def __str__(self) -> str:
        return f"{self.year}-{self.running}"


class PublishedLeaflet(models.Model):
    """A version of a leaflet as it was given out: every figure frozen, never changed and never deleted."""

    project = models.ForeignKey(Project, on_delete=models.PROTECT, related_name="published_leaflets")
    number = models.PositiveIntegerField()
    version = models.CharField(max_length=20)
    day = models.DateField()
    content = models.JSONField()
    made_at = models.DateTimeField(default=timezone.now)

    objects = OfProject()
    every = models.Manager()

    class Meta:
        """In the order they were given out; a version is given out once."""

        ordering: ClassVar = ["number"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["project", "number"], name="one_number_per_published_leaflet"),
            models.UniqueConstraint(fields=["project", "version"], name="one_leaflet_of_a_version"),
        ]

    def __str__(self) -> str:
        return f"{self.version} of {self.day}"


class ClassOfProject(models.Model):
    """The class that weaves a project: kept beside it, so that nothing that carries the project carries its students."""

    project = models.OneToOneField(Project, on_delete=models.PROTECT, related_name="class_list")
    head = models.ForeignKey("ClassState", null=True, on_delete=models.SET_NULL, related_name="+")

    objects = OfProject()
    every = models.Manager()

    def __str__(self) -> str:
        return f"class of {self.project}"


class ClassState(NumberedState):
    """What was typed of a class at one moment, exactly as typed, and what changed, in words; it goes when its class is deleted."""

    of = models.ForeignKey(ClassOfProject, on_delete=models.CASCADE, related_name="states")
    parent = models.ForeignKey("self", null=True, on_delete=models.CASCADE, related_name="children")

    objects = OfClass()
    every = models.Manager()

    class Meta(NumberedState.Meta):
        """Numbers run on."""

        constraints: ClassVar = [models.UniqueConstraint(fields=["of", "number"], name="one_number_per_class_state")]


from clothwright.library.studio_models import (  # noqa: E402 - they speak of projects and things on hand
    Belonging,
    Group,
    Invitation,
    LeafletLink,
    Member,
    Share,
    TriedSignIn,
)

__all__ = [
    "Belonging",
    "ClassOfProject",
    "ClassState",
    "Drawing",
    "Group",
    "Invitation",
    "KeptOrder",
    "KnownLayout",
    "LayoutRun",
    "LeafletLink",
    "Member",
    "OnHand",
    "OnHandState",
    "PhoneEntry",
    "Photo",
    "Project",
    "ProjectPhoto",
    "PublishedLeaflet",
    "RecordNumber",
    "Revision",
    "Share",
    "TriedSignIn",
]
