"""The pages and papers of a project's samples: what they tell, their cards, the setts side by side."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from clothwright.library import store
from clothwright.library.models import Revision
from clothwright.library.shelves import on_hand
from clothwright.planning import tell_samples
from clothwright.project import ProblemsFound
from clothwright.project.sampling import corners_drawn
from clothwright.web import planned
from clothwright.web.fetching import get_project
from clothwright.web.forms.typed import Tree, at, put, rows
from clothwright.web.samples import shown_sample
from clothwright.web.showing import is_imperial


@require_safe
@never_cache
def samples(request: HttpRequest, key: UUID) -> HttpResponse:
    """What the samples of a project tell, or what is still to be settled."""
    found = get_project(key)
    context = {"project": found} | _told(store.head(found))
    return render(request, "clothwright/samples_told.html", context)


def _told(revision: Revision) -> dict[str, Any]:
    try:
        answer = tell_samples(
            planned.document(revision),
            drawings=store.drawings_of(revision),
            layouts=planned.layouts(revision),
            history=planned.history(revision),
        )
    except ProblemsFound as wrong:
        return {"problems": wrong.problems}
    imperial = is_imperial(revision)
    shown = [shown_sample(one, imperial=imperial) for one in answer.samples]
    return {"samples": shown, "conflicts": answer.conflicts, "notes": answer.notes}


def to_keep(tree: Tree) -> list[tuple[int, str, bool]]:
    """The samples of a project: number, name, and whether the library has it word for word."""
    library = on_hand.every_sample()
    listed = ((number, one) for number, one in enumerate(rows(tree, ("sample",))) if isinstance(one, dict))
    return [
        (number, str(at(one, ("name",)) or f"sample {number + 1}"), bool(on_hand.same_samples(one, library)))
        for number, one in listed
        if any(one.values())
    ]


def keep_sample(tree: Tree, number: str, drawings: Mapping[str, bytes]) -> tuple[Tree, str]:
    """Keep a sample of a project in the library: the project's tree, and what happened in a sentence.

    An outline that stands in a drawing of the project becomes corners in both, so that both stay one and the same sample.
    ValueError if there is no sample of that number.
    """
    if not number:
        return tree, "Choose the sample to keep first."
    if not number.isdecimal() or int(number) >= len(rows(tree, ("sample",))):
        raise ValueError(number)
    tree = _with_corners(tree, int(number), drawings)
    return tree, _kept(tree, int(number))


def _with_corners(tree: Tree, number: int, drawings: Mapping[str, bytes]) -> Tree:
    """The tree with the outlines of a sample's drawing as corners, where it has one that can be read."""
    place = ("sample", number, "traced")
    name = at(tree, (*place, "drawing"))
    if not isinstance(name, str) or name not in drawings:
        return tree
    try:
        corners = corners_drawn(name, drawings[name])
    except ProblemsFound:
        return tree
    changed = copy.deepcopy(tree)
    typed = {key: one for key, one in at(tree, place).items() if key != "drawing" and one}
    put(changed, place, corners | typed)
    return changed


def _kept(tree: Tree, number: int) -> str:
    """Keep it unless the library has it already; what happened, in a sentence."""
    kept = on_hand.sample_of_project(tree, number)
    if there := on_hand.same_samples(kept["sample"][0], on_hand.every_sample()):
        return f"“{there[0].name}” is in the library already, word for word; it was not kept twice."
    one = on_hand.add(on_hand.Kept.SAMPLE, kept, f"kept from the project {tree.get('name') or 'untitled'}")
    return f"“{one.name}” is now in the library of samples."
