"""Sharing a project or a sample with groups, and what those see who may read it."""

from __future__ import annotations

import copy
from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clothwright.library import store, whose
from clothwright.library.models import Member, OnHand, Project
from clothwright.library.record import project_photos
from clothwright.library.shelves import on_hand
from clothwright.library.shelves.on_hand import Kept
from clothwright.library.shelves.photos import photos_of
from clothwright.library.studio import groups, shares
from clothwright.library.teaching.published import versions
from clothwright.project import ProblemsFound
from clothwright.web import planned
from clothwright.web.fetching import get_project
from clothwright.web.forms.form import Form
from clothwright.web.record.came import came, finished_on
from clothwright.web.shelves.on_hand import SHELVES
from clothwright.web.shelves.stock import reckoned
from clothwright.web.showing import shown_plan
from clothwright.web.studio.gate import asking
from clothwright.web.studio.letters import address_of


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def share_project(request: HttpRequest, key: UUID) -> HttpResponse:
    """Which groups may read a project; a post shares it with those ticked and takes it back from the others."""
    found = get_project(key)
    return _sharing(request, found, reverse("project", args=[found.pk]))


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def share_sample(request: HttpRequest, kind: Kept, key: UUID) -> HttpResponse:
    """Which groups may read a sample."""
    found = _sample(key)
    return _sharing(request, found, reverse("thing", args=[kind, found.pk]))


def _sharing(request: HttpRequest, found: Project | OnHand, back: str) -> HttpResponse:
    belongings = groups.groups_of(asking(request))
    if request.method == "POST":
        ticked = set(request.POST.getlist("group"))
        for one in belongings:
            if str(one.group.pk) in ticked:
                shares.share(asking(request), one.group, found)
            else:
                shares.take_back(one.group, found)
        return redirect(request.path)
    return _share_page(request, found, back)


def _share_page(
    request: HttpRequest, found: Project | OnHand, back: str, *, status: int = 200, **more: Any
) -> HttpResponse:
    context: dict[str, Any] = {
        "found": found,
        "back": back,
        "is_project": isinstance(found, Project),
        "belongings": groups.groups_of(asking(request)),
        "shared_with": shares.shared_with(found),
    }
    if isinstance(found, Project):
        context |= {"project": found, **_leaflet(request, found)}
    return render(request, "clothwright/share.html", context | more, status=status)


def _leaflet(request: HttpRequest, found: Project) -> dict[str, Any]:
    """The versions of a project's leaflet that were given out, the link for buyers and the version it shows."""
    link, there = shares.leaflet_link(found), versions(found)
    address = address_of(request, reverse("leaflet_for_buyers", args=[link.link])) if link else ""
    return {
        "versions": there[::-1],
        "link": link,
        "address": address,
    }


@require_POST
def leaflet_link(request: HttpRequest, key: UUID) -> HttpResponse:
    """Let buyers read a version of a project's leaflet by a link, or no longer; the page says why where it cannot be."""
    found = get_project(key)
    try:
        if request.POST.get("do") == "close":
            shares.close_leaflet(found)
        else:
            shares.open_leaflet(found, request.POST.get("version", "")[:20])
    except ProblemsFound as wrong:
        told = {"leaflet_problems": wrong.problems}
        return _share_page(request, found, reverse("project", args=[found.pk]), status=422, **told)
    return redirect(f"{reverse('share_project', args=[found.pk])}#leaflet")


def _sample(key: UUID) -> OnHand:
    try:
        return on_hand.find(Kept.SAMPLE, key)
    except OnHand.DoesNotExist:
        raise Http404 from None


@require_safe
@never_cache
def shared_project(request: HttpRequest, key: UUID) -> HttpResponse:
    """A project as its readers see it: the plan made from what stands in it alone, and what came of it."""
    found = get_project(key)
    revision = store.head(found)
    with whose.seeing(whose.Seen(only=found.pk)):
        answer = planned.answer(revision)
        context: dict[str, Any] = {
            "project": found,
            "revision": revision,
            "answer": answer,
            "shown": shown_plan(answer, revision),
            "came": came(answer, revision),
            "finished": finished_on(revision),
            "photos": list(project_photos.photos_of(found).values()),
            "typed": _typed(Form(revision.tree)),
            **_whose(found, asking(request)),
        }
    return render(request, "clothwright/shared_project.html", context)


def _whose(found: Project | OnHand, asks: Member) -> dict[str, Any]:
    return {"owner": found.owner, "mine": found.owner == asks}


def _typed(form: Form) -> list[tuple[str, list[tuple[str, str]]]]:
    """What was typed, section by section, each with its place in words; what was left blank is left out."""
    found: dict[str, list[tuple[str, str]]] = {}
    for title, one in form.filled():
        unit = f" {one.unit}" if one.unit and one.value.replace(".", "").isdecimal() else ""
        found.setdefault(title, []).append((one.place, f"{one.value}{unit}"))
    return list(found.items())


@require_POST
def copy_project(request: HttpRequest, key: UUID) -> HttpResponse:
    """Begin a project of one's own as a copy of one that is shared."""
    found = get_project(key)
    head = store.head(found)
    tree, drawings = copy.deepcopy(head.tree), store.drawings_of(head)
    with whose.seeing(whose.Seen(owner=asking(request).pk)):
        made = store.new_project(tree, f"copied from {found.name} of {found.owner}", drawings)
    return redirect("project", key=made.pk)


@require_safe
@never_cache
def shared_sample(request: HttpRequest, kind: Kept, key: UUID) -> HttpResponse:
    """A sample as its readers see it: what was typed, its photos, and what it tells."""
    found = _sample(key)
    tree = on_hand.head(found).tree
    answer = reckoned(tree, kind)
    context = {
        "thing": found,
        "kind": kind,
        "shelf": SHELVES[kind],
        "typed": _typed(Form(tree, answer.problems, SHELVES[kind].table)),
        "answer": answer,
        "photos": photos_of(found),
        **_whose(found, asking(request)),
    }
    return render(request, "clothwright/shared_sample.html", context)


@require_POST
def copy_sample(request: HttpRequest, kind: Kept, key: UUID) -> HttpResponse:
    """Keep a copy of a sample that is shared among one's own; photos stay with whose they are."""
    found = _sample(key)
    tree = copy.deepcopy(on_hand.head(found).tree)
    with whose.seeing(whose.Seen(owner=asking(request).pk)):
        made = on_hand.add(kind, tree, f"copied from {found.name} of {found.owner}")
    return redirect("thing", kind=kind, key=made.pk)
