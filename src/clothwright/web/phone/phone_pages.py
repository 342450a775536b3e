"""Pages for a phone, at the warping board and at the loom, that go on without a network; what they ask and send."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.conf import settings
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import translation
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.project import ProblemsFound
from clothwright.sheets.loom.refused_said import refused_said
from clothwright.sheets.translating import Language
from clothwright.web.colours import colour_answers
from clothwright.web.colours.colour_sides import WARP, with_order
from clothwright.web.fetching import get_project
from clothwright.web.phone.phone_entries import Outcome, read_batch, take_in
from clothwright.web.phone.phone_state import order_now, phone_state
from clothwright.web.phone.phone_words import asked_language, other_languages, remembered, script_words


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """The page at the warping board; a post keeps the order that is drawn, so that it can be ticked off."""
    found = get_project(key)
    if request.method == "POST":
        _keep_order(found)
        return redirect("board", key=found.pk)
    order = order_now(found, store.head(found), asked_language(request))
    return _shown(request, "at_board.html", phone_context(request, found, "board") | {"order": order})


@require_safe
@never_cache
def at_loom(request: HttpRequest, key: UUID) -> HttpResponse:
    """The page at the loom, in the language this phone asked for."""
    return _shown(request, "at_loom_phone.html", phone_context(request, get_project(key), "loom"))


def _shown(request: HttpRequest, template: str, context: Mapping[str, Any]) -> HttpResponse:
    """A page for phones in the language its phone asked for."""
    with translation.override(asked_language(request).code):
        return remembered(request, render(request, f"clothwright/{template}", dict(context)))


def phone_context(request: HttpRequest, project: Project, page_name: str) -> dict[str, Any]:
    """What every page for phones carries: its language, the state to go on with, and where to send entries."""
    language = asked_language(request)
    return {
        "project": project,
        "tag": language.tag,
        "words": script_words(language.code),
        "other_languages": other_languages(language),
        "state": phone_state(project, loom=page_name == "loom", says=language) | {"token": get_token(request)},
        "places": {
            "state": f"{reverse('phone_state', args=[project.pk])}?page={page_name}",
            "entries": reverse("phone_entries", args=[project.pk]),
            "worker": reverse("phone_worker"),
            "enter": reverse("sign_in" if settings.STUDIO else "phone_enter"),
        },
    }


def _keep_order(project: Project) -> None:
    revision = store.head(project)
    plan = colour_answers.answered(revision).plan
    if plan is not None and not plan.stripes:
        tree = with_order(revision.tree, WARP, colour_answers.runs_now(revision, plan))
        store.change(project, tree, "kept the order of colours")


@require_safe
@never_cache
def state(request: HttpRequest, key: UUID) -> HttpResponse:
    """What is new for a phone since it last asked, as JSON, with a token to send entries with."""
    found = get_project(key)
    since, phone = request.GET.get("since", ""), request.GET.get("phone", "")
    known = int(since) if since.isdecimal() and len(since) < 19 else 0
    loom, says = request.GET.get("page") == "loom", asked_language(request)
    told = phone_state(found, loom=loom, since=known, phone=phone[:36], says=says)
    return JsonResponse(told | {"token": get_token(request)})


@require_POST
def entries(request: HttpRequest, key: UUID) -> HttpResponse:
    """Entries sent by a phone; the answer says of every one what became of it, in the phone's language."""
    found, says = get_project(key), asked_language(request)
    try:
        batch = read_batch(request.body, found)
    except ProblemsFound as wrong:
        return JsonResponse({"problem": refused_said(wrong.problems[0].sentence, says)}, status=422)
    return JsonResponse({"outcomes": [_told(one, says) for one in take_in(found, batch).outcomes]})


def _told(one: Outcome, says: Language) -> dict[str, Any]:
    return one.as_json() | {"sentence": refused_said(one.sentence, says)}


def as_data(value: Any) -> str:
    """Plain data as JSON that can stand within a page."""
    told = json.dumps(value, ensure_ascii=False)
    return told.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
