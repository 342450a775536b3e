"""The page “a sample first”: the smallest sample that settles most for a project, on its loom or on a card."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from clothwright.library import store
from clothwright.library.models import Revision
from clothwright.planning import SampleFirst, sample_first
from clothwright.project import ProblemsFound, Project
from clothwright.sheets import small_samples as words
from clothwright.sheets import small_warp_svg
from clothwright.sheets.wording import plain_number
from clothwright.web import planned
from clothwright.web.fetching import get_project
from clothwright.web.forms.form import Form
from clothwright.web.showing import ShownLine, is_imperial


@require_safe
@never_cache
def sample_page(request: HttpRequest, key: UUID) -> HttpResponse:
    """What is asked (loom or card, which heddles) stands in the address; nothing is kept."""
    found = get_project(key)
    revision = store.head(found)
    asked = request.GET.getlist("heddle")
    context: dict[str, Any] = {"project": found, "no_loom": request.GET.get("on") == "card", "asked": asked}
    try:
        document = planned.document(revision)
        context["owned"] = _owned(document)
        answer = _sampled(revision, document, loom=not context["no_loom"], heddles=asked)
    except ProblemsFound as wrong:
        told = Form(revision.tree, planned.problems_of(revision, wrong)).told
        return render(request, "clothwright/sample_first.html", context | {"told": told})
    return render(request, "clothwright/sample_first.html", context | _shown(answer, document, is_imperial(revision)))


def _owned(document: Project) -> list[str]:
    """The heddles that could be sampled: those owned, and the one stated for the cloth."""
    stated = [document.cloth.heddle] if document.cloth.heddle else []
    return list(dict.fromkeys(one.typed for one in (*document.loom.heddles, *stated)))


def _sampled(revision: Revision, document: Project, *, loom: bool, heddles: list[str]) -> SampleFirst:
    return sample_first(
        document,
        drawings=store.drawings_of(revision),
        loom=loom,
        heddles=heddles,
        layouts=planned.layouts(revision),
        history=planned.history(revision),
    )


def _shown(answer: SampleFirst, document: Project, imperial: bool) -> dict[str, Any]:
    """The answer in the words and units of the page."""
    return {
        "answer": answer,
        "headline": words.headline(answer, imperial=imperial),
        "tells": words.tells(answer, imperial=imperial),
        "picture": small_warp_svg(answer.choice.sample, imperial=imperial),
        "steps": words.steps(answer, document.cloth.finish, imperial=imperial),
        "tables": [
            ("In doubt, now and after", words.DOUBT_HEAD, words.doubt_rows_of(answer, imperial=imperial)),
            ("Smaller and larger", words.BESIDE_HEAD, words.beside_rows(answer, imperial=imperial)),
            ("Each heddle, at the same trust", words.HEDDLES_HEAD, words.heddle_rows(answer, imperial=imperial)),
        ],
        "working": [
            ShownLine(one.step, f"{plain_number(one.value)} {one.unit}", one.sum, str(one.rung), one.source)
            for one in answer.working
        ],
    }
