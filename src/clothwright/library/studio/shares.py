"""What is shared with groups: shared by its owner, read by who may, taken back.

In a guild everybody sees what anybody shared with it. In a class its teachers see what students shared, and everybody sees what
a teacher shared. A share is of the thing as it stands, not of a copy.
"""

from __future__ import annotations

import uuid
from typing import Final

from django.db import transaction
from django.db.models import Exists, OuterRef, Q, QuerySet

from clothwright.library.models import (
    Belonging,
    Group,
    LeafletLink,
    Member,
    OnHand,
    Project,
    PublishedLeaflet,
    Share,
)
from clothwright.library.studio import groups
from clothwright.library.studio.groups import RUNNING
from clothwright.library.studio_models import GroupKind
from clothwright.project import Problem, ProblemsFound

#: Why a leaflet has no link for buyers.
NOT_GIVEN_OUT: Final = (
    "no version of this leaflet was given out yet: give one out on the page Leaflet, then make its link here"
)


@transaction.atomic
def share(by: Member, group: Group, shared: Project | OnHand) -> Share | None:
    """Share a project or a sample with a group; what is shared already stays so. None where she no longer belongs to the group."""
    groups.lock(group)
    if groups.role_in(by, group.pk) is None:
        return None
    return Share.objects.get_or_create(group=group, **_of(shared), defaults={"by": by})[0]


def take_back(group: Group, shared: Project | OnHand) -> None:
    """Share it with a group no longer."""
    Share.objects.filter(group=group, **_of(shared)).delete()


def shared_with(shared: Project | OnHand) -> set[int]:
    """The groups that may read it."""
    return set(Share.objects.filter(**_of(shared)).values_list("group", flat=True))


def _of(shared: Project | OnHand) -> dict[str, Project | OnHand]:
    return {"project" if isinstance(shared, Project) else "sample": shared}


def read_by(member: Member) -> QuerySet[Share]:
    """Every share a member may read, her own among them, newest first."""
    hers = Belonging.objects.filter(member=member)
    sharer_runs_it = Belonging.objects.filter(group=OuterRef("group"), member=OuterRef("by"), role__in=RUNNING)
    return (
        Share.objects.filter(group__in=hers.values("group"))
        .filter(
            Q(group__kind=GroupKind.GUILD)
            | Q(group__in=hers.filter(role__in=RUNNING).values("group"))
            | Q(by=member)
            | Exists(sharer_runs_it)
        )
        .select_related("group", "by", "project", "sample")
    )


def is_shared_with(member: Member, *, project: uuid.UUID | None = None, sample: uuid.UUID | None = None) -> bool:
    """Whether a member may read a project, or else a sample on hand, because it is shared with a group of hers."""
    found = Q(project=project) if project is not None else Q(sample=sample)
    return read_by(member).filter(found).exists()


def leaflet_link(project: Project) -> LeafletLink | None:
    """The link by which buyers read a project's leaflet, where there is one."""
    return LeafletLink.objects.filter(project=project).first()


def open_leaflet(project: Project, version: str = "") -> LeafletLink:
    """Let anybody who has the link read the version named of a project's leaflet, or else always the one given out last.

    The link it has, if it has one, stays and shows that version from now on. ProblemsFound where no version was given out, or
    none of that name.
    """
    there = list(PublishedLeaflet.objects.filter(project=project).values_list("version", flat=True))
    if not there:
        raise ProblemsFound(Problem(("version",), NOT_GIVEN_OUT))
    if version and version not in there:
        given_out = ", ".join(there)
        raise ProblemsFound(Problem(("version",), f"version {version} was not given out; given out were {given_out}"))
    return LeafletLink.objects.update_or_create(project=project, defaults={"version": version})[0]


def close_leaflet(project: Project) -> None:
    """End the link; another, made later, is a new one."""
    LeafletLink.objects.filter(project=project).delete()


def project_of_leaflet(link: uuid.UUID) -> uuid.UUID | None:
    """The key of the project whose leaflet a link leads to."""
    return LeafletLink.objects.filter(link=link).values_list("project", flat=True).first()
