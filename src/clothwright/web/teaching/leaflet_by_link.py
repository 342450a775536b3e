"""What a buyer sees who has the link of a leaflet: a version that was given out, on paper and as one file to type into."""

from __future__ import annotations

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from clothwright.library import store
from clothwright.library.teaching.published import shown_by_link
from clothwright.planning.teaching.leaflet_versions import PublishedVersion
from clothwright.sheets import leaflet_pdf
from clothwright.sheets.teaching.buyers_page import buyers_file
from clothwright.web import answering
from clothwright.web.fetching import slug_of
from clothwright.web.showing import is_imperial


@require_safe
@never_cache
def page(request: HttpRequest, link: UUID) -> HttpResponse:
    """What there is to take along."""
    _, one = _given_out(link)
    return render(request, "clothwright/leaflet_by_link.html", {"link": link, "given_out": one})


@require_safe
@never_cache
def on_paper(request: HttpRequest, link: UUID) -> HttpResponse:
    """The version on paper, as it was given out."""
    imperial, one = _given_out(link)
    content = leaflet_pdf(one.leaflet, imperial=imperial, made_on=one.day, large_print="large" in request.GET)
    return answering.on_paper(content, f"{slug_of(one.leaflet.name)}-leaflet-{one.version}")


@require_safe
@never_cache
def file(_request: HttpRequest, link: UUID) -> HttpResponse:
    """The version's page for buyers, as one file that needs no network."""
    imperial, one = _given_out(link)
    content = buyers_file(one.leaflet, imperial=imperial).encode()
    name = f"{slug_of(one.leaflet.name)}-what-you-need-{one.version}.html"
    return answering.download(content, "text/html; charset=utf-8", name)


def _given_out(link: UUID) -> tuple[bool, PublishedVersion]:
    """Whether in inches, and the version the link shows; the page for what is not there where none was given out."""
    found = shown_by_link(link)
    if found is None:
        raise Http404
    project, one = found
    return is_imperial(store.head(project)), one
