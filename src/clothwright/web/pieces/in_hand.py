"""The page “Cut from cloth in hand”: what of a project fits on finished cloth that is there, and the ways out.

Cloths are typed one a line, and asked about; kept with the project, a change like any other, they are there the next time.
"""

from __future__ import annotations

from functools import partial
from typing import Any, Final
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from clothwright import sheets
from clothwright.library import store
from clothwright.library.models import Revision
from clothwright.measure import QuantityError
from clothwright.planning import InHandAnswer, cut_from
from clothwright.project import ProblemsFound, Project
from clothwright.project.parts.remnants import ClothInHand, cloth_said, read_cloth
from clothwright.sheets import in_hand as words
from clothwright.sheets.wording import counted
from clothwright.web import planned
from clothwright.web.fetching import get_project
from clothwright.web.forms.form import Form
from clothwright.web.latest import Latest
from clothwright.web.showing import is_imperial
from clothwright.web.worked_apart import of_revision

MOST_TYPED: Final = 2000
_answers: Final = Latest[InHandAnswer](32)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """What fits on the cloths typed, one a line, or on those the project keeps; a post keeps them."""
    found = get_project(key)
    revision = store.head(found)
    typed = (request.POST or request.GET).get("cloths", _kept(revision))[:MOST_TYPED]
    cloths, problems = _read(typed)
    if request.method == "POST" and not problems:
        said = [cloth_said(line, number) for number, line in enumerate(_lines(typed), 1)]
        store.change(found, {**revision.tree, "cloth_in_hand": said}, f"kept {counted(len(said), 'cloth')} in hand")
        return redirect("cut_from", key=found.pk)
    context: dict[str, Any] = {"project": found, "typed": typed, "problems": problems, "kept": typed == _kept(revision)}
    if cloths and not problems:
        context |= _told(revision, cloths)
    return render(request, "clothwright/in_hand.html", context)


def _kept(revision: Revision) -> str:
    """The cloths the project keeps, one a line; none where the project cannot be read."""
    try:
        document: Project = planned.document(revision)
    except ProblemsFound:
        return ""
    return "\n".join(part.line for part in document.cloth_in_hand)


def _lines(typed: str) -> list[str]:
    return [line for line in map(str.strip, typed.splitlines()) if line]


def _read(typed: str) -> tuple[tuple[ClothInHand, ...], list[str]]:
    """The cloths typed, and a sentence for each line that is none."""
    cloths, problems = [], []
    for number, line in enumerate(_lines(typed), 1):
        try:
            cloths.append(read_cloth(line, number))
        except QuantityError as wrong:
            problems.append(f"Line {number}: {wrong}")
    names = [cloth.name for cloth in cloths]
    twice = sorted({name for name in names if names.count(name) > 1})
    problems += [f"{names.count(name)} cloths are called {name}; give each its own name." for name in twice]
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
    return _answers.made(key, partial(of_revision, _answered, revision, cloths))


def _answered(revision: Revision, cloths: tuple[ClothInHand, ...]) -> InHandAnswer:
    return cut_from(planned.document(revision), cloths, drawings=store.drawings_of(revision))
