"""The page “Off the loom”: measuring, the recipe, the pieces on the cloth that there is, checks of cutting and sewing."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import partial
from typing import Any, Final
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from clothwright import sheets
from clothwright.finishing import ClothAnswer, Finish, RealCloth, finish, on_the_cloth
from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.project import Problem, ProblemsFound
from clothwright.project import Project as Document
from clothwright.sheets import finishing as words
from clothwright.web import planned
from clothwright.web.answering import Shown, show
from clothwright.web.fetching import get_project
from clothwright.web.forms.finish_fields import FINISH
from clothwright.web.forms.form import FieldTable, Form
from clothwright.web.forms.typed_page import PART, answered_as_typed, page_context
from clothwright.web.latest import Latest
from clothwright.web.loom.off_loom_done import VERBS, digest_of
from clothwright.web.showing import is_imperial

TABLE: Final = FieldTable(FINISH)
_PARTS: Final = ("off_loom", "finishing", "real_cloth", "checked")
_GONE: Final = "That is no longer here as it was shown; look again."
_answers: Final = Latest["Answered"](32)
_lays: Final = Latest[ClothAnswer](32)


@dataclass(frozen=True)
class Answered:
    """The answer for a revision, or what keeps it from being made: here, or on the page of the project."""

    found: Finish | None = None
    here: tuple[Problem, ...] = ()
    elsewhere: tuple[Problem, ...] = ()


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """The page; a post keeps what was typed, ticks a step or a check, takes a way, or fills in the record."""
    found = get_project(key)
    buttons = {verb: partial(_done, request, found, verb) for verb in VERBS}
    return answered_as_typed(request, found, TABLE, partial(_page, request, found), buttons)


def _done(request: HttpRequest, found: Project, verb: str, name: str) -> HttpResponse:
    """Do what a button beside the fields asks, and go to where it shows."""
    try:
        place = VERBS[verb](request, found, name, answered(store.head(found)).found)
    except (KeyError, ValueError):
        return _page(request, found, notice=_GONE, whole=True, status=409)
    except ProblemsFound as wrong:
        return _page(request, found, notice=str(wrong), whole=True, status=409)
    return _page(request, found, focus=place, whole=True)


def answered(revision: Revision) -> Answered:
    """The answer for a revision, kept by all that it depends on."""
    key = (revision.pk, *planned.rests_on(revision))
    return _answers.made(key, partial(_answered, revision))


def _answered(revision: Revision) -> Answered:
    try:
        document = planned.document(revision)
        return Answered(
            finish(
                document,
                drawings=store.drawings_of(revision),
                history=planned.history(revision),
                layouts=planned.layouts(revision),
                lay=partial(_laid, revision),
            )
        )
    except ProblemsFound as wrong:
        every = planned.problems_of(revision, wrong)
        here = tuple(one for one in every if one.path[:1] and one.path[0] in _PARTS)
        return Answered(None, here, tuple(one for one in every if one not in here))


def _laid(revision: Revision, project: Document, cloth: RealCloth, **how: Any) -> ClothAnswer:
    """The pieces on the cloth, remembered by all that their layout depends on: a check that is ticked lays nothing anew."""
    parts = [revision.tree.get(name) for name in ("pattern", "layout", "real_cloth")]
    key = (json.dumps([*parts, revision.drawings], sort_keys=True, default=str), cloth)
    return _lays.made(key, partial(on_the_cloth, project, cloth, **how))


# --- showing ------------------------------------------------------------------------------------------------------


def _page(request: HttpRequest, found: Project, **how: Any) -> HttpResponse:
    back = reverse("off_loom", args=[found.pk])
    return show(request, Shown("off_loom.html", PART, back, partial(_context, found, back)), **how)


def _context(found: Project, here: str) -> dict[str, Any]:
    revision = store.head(found)
    answer = answered(revision)
    form = Form(revision.tree, answer.here, TABLE)
    return {
        **page_context(found, revision, form, here, "off_loom_answer.html", answer.elsewhere),
        **(_shown(answer.found, is_imperial(revision)) if answer.found else {}),
    }


def _shown(found: Finish, imperial: bool) -> dict[str, Any]:
    """The answer in the words and pictures of the page."""
    missed = found.measured.missed
    return {
        "found": found,
        "headline": words.headline(found),
        "missed": list(words.missed_sentences(missed, imperial=imperial)) if missed else [],
        "asked": found.asked,
        "measured_head": words.MEASURED_HEAD,
        "measured_rows": words.measured_rows(found, imperial=imperial),
        "measured_says": list(words.measured_sentences(found, imperial=imperial)),
        "recipe_says": list(words.recipe_sentences(found.recipe)),
        "steps": [
            (
                one,
                words.step_title(one, imperial=imperial),
                words.step_lines(one),
                [words.done_in_words(one, done) for done in one.done],
                found.is_done(one),
                words.step_untold(one),
            )
            for one in found.recipe.steps
        ],
        "to_settle": [one.sentence for one in found.to_settle],
        **(_shown_cloth(found, imperial) if found.cloth else {}),
        "stages": [
            (stage, [(one, words.check_state(one)) for one in checks]) for stage, checks in words.checks_by_stage(found)
        ],
        "cautions": words.cautions(found),
    }


def _shown_cloth(found: Finish, imperial: bool) -> dict[str, Any]:
    """The cloth that there is, with the pieces on it, and the ways where not all fit."""
    cloth, answer = found.cloth, found.on_cloth
    assert cloth is not None  # asked only where there is one
    return {
        "cloth_says": list(words.cloth_sentences(cloth, answer, imperial=imperial)),
        "cloth_picture": sheets.finished_cloth_svg(cloth, answer, imperial=imperial),
        "answer_says": list(words.answer_sentences(answer, imperial=imperial)) if answer else [],
        "all_fits": bool(answer and answer.relaid.fits),
        "flaws": [(one, words.flaw_sentence(one, imperial=imperial)) for one in cloth.flaws],
        "ways": [
            (
                digest_of(way),
                words.way_sentences(way, imperial=imperial),
                sheets.way_on_cloth_svg(way, imperial=imperial),
                way.written.any,
            )
            for way in (answer.ways if answer else ())
        ],
        "tried": words.tried_sentence(answer) if answer else "",
    }
