"""The page that makes a garment from measures: pick one, type measures, see its pieces, and use it in the project."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods
from django_htmx.http import reselect, retarget

from clothwright import sheets
from clothwright.library import store
from clothwright.library.models import Project
from clothwright.pattern import check_every_size
from clothwright.pattern.drafting import (
    Asks,
    Drafted,
    Finished,
    MeasureRefused,
    garments,
    key_of,
    measure_named,
    pieces_of,
)
from clothwright.project import ProblemsFound, read_project
from clothwright.project.parts.pattern_parts import PatternPart
from clothwright.project.pattern.drafting import drafted_sizes
from clothwright.sheets.wording import LENGTH, literal
from clothwright.web.answering import fragment_asked
from clothwright.web.fetching import get_project
from clothwright.web.forms.draft_fields import draft_sections
from clothwright.web.forms.form import FieldTable, Form, change_in_words, read_posted
from clothwright.web.forms.typed import Filled, Path, Tree, at, put

DRAFT: Path = ("pattern", "from_measures")


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """What was typed, drafted; nothing is kept in the project until it is used."""
    found = get_project(key)
    before = _in_full_names(store.head(found).tree)
    tree = _posted(before, request.POST) if request.method == "POST" else before
    asks = _asks(tree)
    tree, left = _without_others_choices(tree, asks)
    context = {"project": found, "garments": list(garments().values()), "left": left, **_shown(tree, asks)}
    if request.POST.get("do") == "use" and asks and not context["told"]:
        return _use(found, before, tree, asks)
    return _answer(request, context, asks)


def _answer(request: HttpRequest, context: Mapping[str, Any], asks: Asks | None) -> HttpResponse:
    """The whole page, or the fragment; where another garment was chosen, what it asks comes with it."""
    if not fragment_asked(request):
        return render(request, "clothwright/measures.html", context)
    if request.POST.get("asked", "") == (asks.name if asks else ""):
        return render(request, "clothwright/drafted.html", context)
    response = render(request, "clothwright/measures.html", context)
    response["HX-Reswap"] = "outerHTML show:none"
    return reselect(retarget(response, "#page"), "#page")


def _posted(tree: Tree, posted: Mapping[str, str]) -> Tree:
    """The tree with what was typed, for the garment whose fields were shown."""
    return read_posted(tree, posted, draft_table(garments().get(posted.get("asked", ""))))


def draft_table(asks: Asks | None) -> FieldTable:
    """The fields of the page for a garment."""
    return FieldTable(draft_sections(asks))


def _asks(tree: Tree) -> Asks | None:
    name = at(tree, (*DRAFT, "garment"))
    return garments().get(name) if isinstance(name, str) else None


def _in_full_names(tree: Tree) -> Tree:
    """The tree with each body measure and ease under the name the page shows it by."""
    changed = copy.deepcopy(tree)
    for part in ("body", "ease"):
        typed = at(changed, (*DRAFT, part))
        if isinstance(typed, dict):
            named = {_field_name(name): text for name, text in typed.items()}
            if len(named) == len(typed):
                put(changed, (*DRAFT, part), named)
    return changed


def _field_name(name: str) -> str:
    try:
        return key_of(measure_named(name).name)
    except MeasureRefused:
        return name


def _without_others_choices(tree: Tree, asks: Asks | None) -> tuple[Tree, list[str]]:
    """The tree without options and eases that this garment has not, and what was left out."""
    if asks is None:
        return tree, []
    changed, left = copy.deepcopy(tree), []
    known = {"options": {one.name for one in asks.options}, "ease": {key_of(one.girth) for one in asks.eases}}
    for part, names in known.items():
        typed = at(changed, (*DRAFT, part))
        for name, text in list(typed.items()) if isinstance(typed, dict) else []:
            if name not in names:
                left.append(f"{'ease at the ' if part == 'ease' else ''}{name.replace('_', ' ')}: {text}")
                del typed[name]
    return changed, left


def _use(found: Project, before: Tree, tree: Tree, asks: Asks) -> HttpResponse:
    changed = change_in_words(before, tree, draft_table(asks))
    store.change(found, tree, f"made from measures, {asks.name}" + (f": {changed}" if changed != "changed" else ""))
    return redirect("pieces", key=found.pk)


# --- what is shown -----------------------------------------------------------------------------------------------


def _shown(tree: Tree, asks: Asks | None) -> dict[str, Any]:
    """The form, and the garment drafted or what is still to be settled."""
    table = draft_table(asks)
    if asks is None:
        return {"form": Form(tree, table=table), "asks": None, "told": (), "sentences": {}}
    filled = Filled.of(tree)
    try:
        pattern = _pattern(filled.tree)
        drafted = drafted_sizes(pattern)
    except ProblemsFound as wrong:
        form = Form(tree, filled.problems(wrong.problems), table)
        return {"form": form, "asks": asks, "told": form.told, "sentences": form.problems_by_key()}
    imperial = tree.get("units") == "imperial"
    answer = {"form": Form(tree, table=table), "asks": asks, "told": (), "sentences": {}}
    return answer | _garment(drafted, pattern, imperial)


def _pattern(tree: Tree) -> PatternPart:
    """The pattern as typed; the rest of the project, and what is drawn of it, may still be unsettled."""
    draft = {
        name: tree["pattern"][name]
        for name in ("from_measures", "size", "version", "seam_allowance")
        if name in tree["pattern"]
    }
    found = read_project({"pattern": draft}).pattern
    assert found is not None
    return found


def _garment(drafted: tuple[Drafted, ...], pattern: PatternPart, imperial: bool) -> dict[str, Any]:
    chosen = (one for one in drafted if one.size == pattern.size and one.version == pattern.version)
    first = next(chosen, drafted[0])
    pictures = [
        {"name": literal(piece.name), "picture": sheets.piece_svg(piece, imperial=imperial), "cut": _cut(piece)}
        for piece in first.pieces
    ]
    return {
        "said": _said(drafted[0], imperial),
        "drawn": _belongs(first),
        "pieces": pictures,
        "finished": [{"of": _belongs(one), "rows": [_row(row, imperial) for row in one.finished]} for one in drafted],
        "checks": check_every_size(pieces_of(drafted)),
        "notes": list(dict.fromkeys(note for one in drafted for note in one.notes)),
        "taken": list(dict.fromkeys(taken for one in drafted for taken in one.taken)),
    }


def _said(one: Drafted, imperial: bool) -> str:
    """The change in a sentence, for who hears it."""
    first = one.finished[0]
    return f"{len(one.pieces)} pieces made; {first.name} {_length(first.garment_cm, imperial)}"


def _cut(piece: Any) -> str:
    cloth = "" if piece.material == "main" else f", from {literal(piece.material)}"
    return f"Cut {piece.cut}{', half of them mirrored' if piece.pair else ''}{cloth}"


def _belongs(one: Drafted) -> str:
    return ", ".join(filter(None, (one.size, one.version)))


def _row(row: Finished, imperial: bool) -> tuple[str, ...]:
    return (row.name, *(_length(cm, imperial) for cm in (row.body_cm, row.ease_cm, row.garment_cm)))


def _length(cm: float | None, imperial: bool) -> str:
    return "" if cm is None else LENGTH.text(cm, imperial=imperial)
