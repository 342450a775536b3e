"""The word that lets a phone in. The program has no login; over the home network a phone shows once that it knows the word.

Only what comes over TLS is asked for it: that is how `serve --phone` speaks to phones, while this machine itself speaks
plainly on an address that no other machine reaches. A phone that knew the word carries a sign made from it, so a new word
shuts every phone out.
"""

from __future__ import annotations

import hashlib
import hmac
import secrets
from collections.abc import Callable
from typing import Final

from django.conf import settings
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import translation
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from clothwright.library.folder import prepared_folder, write_for_owner

COOKIE: Final = "clothwright_phone"
_A_YEAR_S: Final = 365 * 24 * 3600
#: Letters and figures that are not taken for one another.
_LETTERS: Final = "abcdefghjkmnpqrstuvwxyz23456789"
_LENGTH: Final = 12
_GROUP: Final = 4
#: What tries are counted under, as those of an account are; an account has an @ in it.
_COUNTED_AS: Final = "the word for phones"
#: What a phone may have before it has shown the word.
_OPEN: Final = ("/phone/enter/", "/phone/certificate.crt", "/static/")


def kept_word(*, new: bool = False) -> str:
    """The word, made at the first call and kept in the data folder; about 59 bits of chance."""
    path = prepared_folder() / "phone-word"
    if path.is_file() and not new:
        return path.read_text(encoding="ascii").strip()
    letters = "".join(secrets.choice(_LETTERS) for _ in range(_LENGTH))
    word = "-".join(letters[at : at + _GROUP] for at in range(0, _LENGTH, _GROUP))
    write_for_owner(path, word.encode("ascii"))
    return word


def plain(word: str) -> str:
    """A word as it counts, however it was typed."""
    return "".join(letter for letter in word.lower() if letter in _LETTERS)


def sign_of(word: str) -> str:
    """What a phone carries that knew the word."""
    return hmac.new(settings.SECRET_KEY.encode(), plain(word).encode(), hashlib.sha256).hexdigest()


def is_let_in(request: HttpRequest) -> bool:
    """Whether a request needs no word or its phone has shown it; in a shared studio phones sign in instead."""
    if settings.STUDIO or not request.is_secure():
        return True
    word = getattr(settings, "PHONE_WORD", "")
    return bool(word) and hmac.compare_digest(request.COOKIES.get(COOKIE, ""), sign_of(word))


def ask_for_word(
    get_response: Callable[[HttpRequest], HttpResponse],
) -> Callable[[HttpRequest], HttpResponse]:
    """Middleware that sends a phone which has not shown the word to the page that asks for it."""

    def with_word(request: HttpRequest) -> HttpResponse:
        if is_let_in(request) or request.path.startswith(_OPEN):
            return get_response(request)
        if "application/json" in request.headers.get("Accept", ""):
            return JsonResponse({"problem": "the word is asked for again"}, status=401)
        return redirect(f"{reverse('phone_enter')}?next={request.path}")

    return with_word


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def enter(request: HttpRequest) -> HttpResponse:
    """Ask a phone for the word, and let it in when it is right."""
    from clothwright.library.studio import tries  # the word itself is read before the library is set up

    asked = request.POST if request.method == "POST" else request.GET
    to = asked.get("next", "/")
    to = to if url_has_allowed_host_and_scheme(to, None) else "/"
    word, place = asked.get("word", ""), str(request.META.get("REMOTE_ADDR", ""))
    if request.method == "POST" and not tries.may_try(_COUNTED_AS, place):
        return _asked_for(request, word, to, status=429)
    if request.method == "POST" and _is_the_word(word):
        tries.succeeded(_COUNTED_AS, place)
        answer = redirect(to)
        sign = sign_of(settings.PHONE_WORD)
        answer.set_cookie(COOKIE, sign, _A_YEAR_S, secure=True, httponly=True, samesite="Lax")
        return answer
    if request.method == "POST":
        return _asked_for(request, word, to, status=403)
    return _asked_for(request, word, to)


def _asked_for(request: HttpRequest, word: str, to: str, *, status: int = 200) -> HttpResponse:
    """The page that asks, in the language the phone asked for; with why what was typed did not do, by `status`."""
    from clothwright.web.phone.phone_words import asked_language, other_languages, remembered  # no part of every start

    says = asked_language(request)
    wrong = {
        403: says(
            "“{word}” is not the word: it has three groups of four letters or figures, as it is shown there.",
            word=word[:40],
        ),
        429: says(
            "There were too many wrong words. Wait a quarter of an hour; then type the word as it is shown on the machine that serves. Phones that were let in before go on."
        ),
    }
    context = {"word": word[:40], "to": to, "sentence": wrong.get(status, ""), "tag": says.tag}
    with translation.override(says.code):
        shown = context | {"other_languages": other_languages(says)}
        return remembered(request, render(request, "clothwright/phone_enter.html", shown, status=status))


def _is_the_word(word: str) -> bool:
    there = getattr(settings, "PHONE_WORD", "")
    return bool(there) and hmac.compare_digest(plain(word), plain(there))
