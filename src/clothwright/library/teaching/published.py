"""Versions of leaflets that were given out: kept with their project for ever, and never changed."""

from __future__ import annotations

import uuid

from django.db import transaction
from django.db.models import Max

from clothwright.library import store
from clothwright.library.models import LeafletLink, Project, PublishedLeaflet
from clothwright.planning.teaching.leaflet_versions import PublishedVersion, frozen, thawed, version_named


def published(project: Project) -> tuple[PublishedVersion, ...]:
    """Every version given out, the earliest first."""
    return tuple(thawed(one.content) for one in PublishedLeaflet.objects.filter(project=project))


def versions(project: Project) -> tuple[str, ...]:
    """Their names."""
    return tuple(PublishedLeaflet.objects.filter(project=project).values_list("version", flat=True))


def shown_by_link(link: uuid.UUID) -> tuple[Project, PublishedVersion] | None:
    """The version that a link for buyers shows, with its project: the one it names, else the one given out last; None where there is none."""
    found = LeafletLink.objects.filter(link=link).first()
    there = PublishedLeaflet.objects.select_related("project__head").filter(project__leaflet_link__link=link)
    named = there.filter(version=found.version) if found is not None and found.version else there
    latest = named.order_by("-number").first()
    return (latest.project, thawed(latest.content)) if latest is not None else None


@transaction.atomic
def publish(project: Project, version: PublishedVersion) -> PublishedLeaflet:
    """Keep a version; ProblemsFound where one of that name was given out before."""
    store.lock(project)
    version_named(version.version, versions(project))
    last = PublishedLeaflet.objects.filter(project=project).aggregate(number=Max("number"))["number"] or 0
    return PublishedLeaflet.objects.create(
        project=project, number=last + 1, version=version.version, day=version.day, content=frozen(version)
    )


def tests_of(name: str) -> tuple[Project, ...]:
    """The projects in which test weavers tried a leaflet of that name, the latest first."""
    tried = store.projects().filter(head__tree__record__test_of__startswith=name)
    return tuple(tried)
