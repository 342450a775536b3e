"""The page of a leaflet for buyers: what they would type, reckoned here, and the file that reckons it for itself."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from clothwright.library import store
from clothwright.library.teaching.published import published
from clothwright.planning import Leaflet
from clothwright.planning.teaching.buyers_sums import FIELDS
from clothwright.sheets import leaflet_words as words
from clothwright.sheets.both_units import each_in_both
from clothwright.sheets.teaching.buyers_page import (
    GROUPS,
    HEAD,
    buyers_file,
    buyers_rows,
    usual_in_words,
    which_version,
)
from clothwright.web.answering import download
from clothwright.web.fetching import get_project, slug
from clothwright.web.showing import is_imperial
from clothwright.web.teaching.leaflets import answered


@require_safe
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """The page with what was typed, and what it comes to."""
    found = get_project(key)
    revision = store.head(found)
    if (made := answered(revision).leaflet) is None:
        return redirect("leaflet", key=found.pk)
    units = request.GET.get("units") or ("imperial" if is_imperial(revision) else "metric")
    return render(request, "clothwright/buyers.html", {"project": found, **_shown(made, request, units == "imperial")})


def _shown(made: Leaflet, request: HttpRequest, imperial: bool) -> dict[str, Any]:
    """The fields as typed with what stands in for each, and the table."""
    typed = {field.name: request.GET.get(field.name, "")[:40] for field in FIELDS}
    rows, problems = buyers_rows(made, typed, imperial=imperial)
    assert made.usual is not None  # the leaflet was made just now
    which = 1 if imperial else 0
    groups = [
        (
            title,
            [
                (
                    one,
                    one.units[which],
                    typed[one.name],
                    usual_in_words(one, made.usual)[which],
                    problems.get(one.name, ""),
                )
                for one in fields
            ],
        )
        for title, fields in GROUPS
    ]
    return {
        "groups": groups,
        "head": HEAD,
        "rows": rows,
        "problems": problems,
        "imperial": imperial,
        "which": which_version(made),
        "advice": each_in_both(made.advice),
        "proof": words.not_to_be_given_out(made),
    }


@require_safe
@never_cache
def file(_request: HttpRequest, key: UUID, version: str = "") -> HttpResponse:
    """The page as one file that needs no program: of the leaflet as it is, or of a version given out."""
    found = get_project(key)
    revision = store.head(found)
    made = answered(revision).leaflet if not version else _of_version(found, version)
    if made is None:
        return redirect("leaflet", key=found.pk)
    name = "-".join(filter(None, (slug(found), "what-you-need", version)))
    content = buyers_file(made, imperial=is_imperial(revision)).encode()
    return download(content, "text/html; charset=utf-8", f"{name}.html")


def _of_version(found: Any, version: str) -> Leaflet:
    one = next((each for each in published(found) if each.version == version), None)
    if one is None:
        raise Http404
    return one.leaflet
