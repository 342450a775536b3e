"""The page “Cut from cloth in hand”: what of a project fits on finished cloth that is there, and the ways out."""

from __future__ import annotations

from typing import Any, Final
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from clothwright import sheets
from clothwright.library import store
from clothwright.library.models import Revision
from clothwright.measure import QuantityError
from clothwright.planning import ClothInHand, InHandAnswer, cut_from, read_cloth
from clothwright.project import ProblemsFound
from clothwright.sheets import in_hand as words
from clothwright.web import planned
from clothwright.web.evidence import Latest
from clothwright.web.fetching import get_project
from clothwright.web.form import Form
from clothwright.web.showing import is_imperial

MOST_TYPED: Final = 2000
_answers: Final = Latest[InHandAnswer](32)


@require_safe
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """What fits on the cloths typed, one a line."""
    found = get_project(key)
    revision, typed = store.head(found), request.GET.get("cloths", "")[:MOST_TYPED]
    context: dict[str, Any] = {"project": found, "typed": typed}
    cloths, context["problems"] = _read(typed)
    if cloths and not context["problems"]:
        context |= _told(revision, cloths)
    return render(request, "clothwright/in_hand.html", context)


def _read(typed: str) -> tuple[tuple[ClothInHand, ...], list[str]]:
    """The cloths typed, and a sentence for each line that is none."""
    cloths, problems = [], []
    for number, line in enumerate(filter(None, map(str.strip, typed.splitlines())), 1):
        try:
            cloths.append(read_cloth(line, number))
        except QuantityError as wrong:
            problems.append(f"Line {number}: {wrong}")
    return tuple(cloths), problems


def _told(revision: Revision, cloths: tuple[ClothInHand, ...]) -> dict[str, Any]:
    """The answer in words and pictures, or why there is none."""
    imperial = is_imperial(revision)
    try:
        answer = _answer(revision, cloths)
    except ProblemsFound as wrong:
        return {"told": Form(revision.tree, planned.problems_of(revision, wrong)).told}
    pattern = planned.document(revision).pattern
    trim, squaring = (
        part.cm if part else 0.0 for part in ((pattern.selvedge_trim, pattern.squaring) if pattern else (None, None))
    )
    return {
        "answer": answer,
        "opening": words.opening(answer.cutting),
        "cuts": [
            (
                words.cut_sentence(cut, imperial=imperial),
                sheets.remnant_svg(cut, trim_cm=trim, squaring_cm=squaring, imperial=imperial),
                words.places(cut, imperial=imperial),
            )
            for cut in answer.cutting.cuts
        ],
        "ways": [words.way_sentence(way) for way in answer.ways],
        "tried": words.tried_sentence(answer),
    }


def _answer(revision: Revision, cloths: tuple[ClothInHand, ...]) -> InHandAnswer:
    """The answer, kept by all that it depends on: ways out take seconds."""
    key = (revision.pk, cloths)
    if (known := _answers.get(key)) is not None:
        return known
    found = cut_from(planned.document(revision), cloths, drawings=store.drawings_of(revision))
    return _answers.put(key, found)
