"""The page that finds anything by its words; the field that leads to it stands on every page."""

from __future__ import annotations

from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from clothwright.web.finding.answer import MOST, find
from clothwright.web.finding.matching import MOST_LETTERS, read_words


@require_safe
@never_cache
def page(request: HttpRequest) -> HttpResponse:
    """What is found by the words asked; what to do, where none was asked or nothing found."""
    asked = read_words(request.GET.get("words", ""))
    kinds = find(asked, getattr(request, "member", None))
    records = f"{reverse('records')}?{urlencode({'words': ' '.join(asked.words)})}"
    context = {"finding": asked, "kinds": kinds, "most": MOST, "longest": MOST_LETTERS, "records_page": records}
    return render(request, "clothwright/find.html", context | {"many": sum(one.many for one in kinds)})
