"""The page “Words”: the words that are kept, looked up by any name, in English or another language."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from clothwright.sheets.glossary import glossary, words_meant
from clothwright.sheets.translating import LANGUAGES, Language


@require_safe
def page(request: HttpRequest) -> HttpResponse:
    """The words asked for, or all; what was asked stands in the address."""
    asked, code = request.GET.get("word", "").strip()[:100], request.GET.get("language", "en")
    language = Language(code if code in LANGUAGES else "en")
    found = words_meant(asked, language) if asked else glossary()
    words = [{"word": one, "said": one.said(language), "meaning": one.explained(language)} for one in found]
    context = {"asked": asked, "code": language.code, "named": language.name, "languages": list(LANGUAGES.items())}
    return render(request, "clothwright/words.html", context | {"words": words})
