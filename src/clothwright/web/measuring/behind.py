"""The pages of evidence: what stands behind each number of a plan, what is used for it, set aside, or tells nothing yet."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.planning import Behind, evidence_behind, job_of
from clothwright.project.record.past import seen_of
from clothwright.sheets.wording import behind_figure
from clothwright.web import evidence, planned
from clothwright.web.answering import fragment_asked
from clothwright.web.evidence import Piece, SaysOtherwise, address, gathered
from clothwright.web.fetching import get_project
from clothwright.web.showing import is_imperial

_CHANGED: Final = "That evidence was changed since this page was shown, so nothing was set aside or taken up. Below it stands as it is now."


@dataclass(frozen=True)
class ShownStage:
    """One piece of evidence behind a figure, in words, with where it can be looked at."""

    what: str
    rung: str
    after: str
    measurements: tuple[str, ...]
    url: str


@dataclass(frozen=True)
class ShownBehind:
    """A figure and how it came to be, from first to last."""

    key: str
    name: str
    stages: tuple[ShownStage, ...]

    @property
    def anchor(self) -> str:
        """Its id on the page."""
        return f"on-{self.key.replace(' ', '-')}"


def shown_behind(project: Project, wanted: Iterable[str] = ()) -> tuple[ShownBehind, ...]:
    """What stands behind the figures of a project's plan, all or those wanted; none while there is no plan."""
    revision = store.head(project)
    answer = planned.answer(revision)
    if answer.plan is None or answer.problems:
        return ()
    history, imperial = planned.history(revision), is_imperial(revision)
    job = job_of(planned.document(revision), store.drawings_of(revision), history)
    found = evidence_behind(job, answer.plan.warp.width_in_heddle_cm)
    keys = set(wanted) or {one.key for one in found}
    urls = _urls(project, revision)
    return tuple(_shown(one, urls, imperial) for one in found if one.key in keys)


def _urls(project: Project, revision: Revision) -> dict[str, str]:
    """Where each piece of evidence is kept, by the key of its cloth."""
    everything = evidence.everything()
    urls = {
        piece.key: address(one.owner, piece.place) for one in everything.told for piece in one.seen.pieces if piece.key
    }
    own = seen_of(planned.document(revision), "own").pieces
    mine = reverse("project", args=[project.pk])
    return urls | {one.key.removeprefix("own "): f"{mine}#samples" for one in own if one.key}


def _shown(one: Behind, urls: dict[str, str], imperial: bool) -> ShownBehind:
    stages = tuple(
        ShownStage(
            stage.what,
            str(stage.rung),
            behind_figure(one.unit, stage.after, imperial=imperial),
            stage.measurements,
            urls.get(stage.source, ""),
        )
        for stage in one.stages
    )
    return ShownBehind(one.key, one.name, stages)


@require_safe
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """All evidence used for a project, and what stands behind each figure."""
    return _page(request, get_project(key))


def _page(request: HttpRequest, found: Project, problem: str = "", status: int = 200) -> HttpResponse:
    return render(request, "clothwright/evidence.html", _context(found, problem), status=status)


def _context(found: Project, problem: str) -> dict[str, Any]:
    revision = store.head(found)
    answer = planned.answer(revision)
    everything = evidence.everything()
    document = None if answer.problems else planned.document(revision)
    used, aside = everything.beside(found).sorted_out(document)
    mine = [one for one in everything.told if one.owner.key == str(found.pk)]
    own = [Piece(one.owner, piece) for one in mine for piece in one.seen.pieces if piece.tells]
    return {
        "project": found,
        "figures": shown_behind(found),
        "settled": not answer.problems,
        "used": gathered(
            [*(one for one in own if not one.seen.set_aside and one.seen.place[:1] == ("sample",)), *used]
        ),
        "aside": gathered([*(one for one in own if one.seen.set_aside), *aside]),
        "idle": everything.idle(),
        "problem": problem,
    }


@require_safe
@never_cache
def fragment(request: HttpRequest, key: UUID) -> HttpResponse:
    """What stands behind some figures, for the plan's page; without script, the page of evidence."""
    found, wanted = get_project(key), request.GET.getlist("of")
    if not fragment_asked(request):
        return redirect("evidence", key=found.pk)
    return render(request, "clothwright/behind.html", {"figures": shown_behind(found, wanted), "project": found})


@require_POST
def mark(request: HttpRequest, key: UUID) -> HttpResponse:
    """Set a piece of evidence aside with its reason, or take it up again."""
    found = get_project(key)
    reason = request.POST.get("reason", "").replace("\0", "").strip()[:300]
    aside = request.POST.get("do") != "take up"
    if aside and not reason:
        return _page(request, found, "Say why it is set aside; it is kept, and the reason with it.", status=422)
    kind, owner, said = (request.POST.get(name, "") for name in ("kind", "owner", "said"))
    try:
        evidence.mark(kind, owner, said, reason if aside else "")
    except KeyError:
        return HttpResponse("There is no such evidence.", status=400, content_type="text/plain; charset=utf-8")
    except SaysOtherwise:
        return _page(request, found, _CHANGED, status=409)
    return redirect("evidence", key=found.pk)
