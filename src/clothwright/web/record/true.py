"""How true the forecasts were: her finished cloths replayed in order, each from what was known before it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Final
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from clothwright.evidence import SIZES_TOLD, Told, calibration, replay_measured, trueness
from clothwright.library import store
from clothwright.measure import Z90, Interval
from clothwright.sheets import calibration_svg
from clothwright.sheets.wording import LENGTH, counted, percent
from clothwright.web import evidence, planned
from clothwright.web.answering import fragment_asked
from clothwright.web.evidence import Piece
from clothwright.web.fetching import get_project
from clothwright.web.record.came import came

_SHARE: Final = 0.9
#: With fewer forecasts a picture tells nothing.
_DRAWN_FROM: Final = 5


@dataclass(frozen=True)
class Forecast:
    """One forecast of a finished cloth and what came, in words."""

    what: str
    forecast: str
    came: str
    held: bool


@dataclass(frozen=True)
class Cloth:
    """A finished cloth with its forecasts."""

    piece: Piece
    forecasts: tuple[Forecast, ...]


@require_safe
@never_cache
def page(request: HttpRequest) -> HttpResponse:
    """How true the forecasts were on her own projects."""
    return render(request, "clothwright/true.html", _context())


def _context() -> dict[str, Any]:
    pieces = [one for one in evidence.everything().sorted_out()[0] if one.seen.cloth is not None]
    told = _replayed(pieces)
    every = [one for _, found in told for one in found]
    return {
        "cloths": [Cloth(piece, tuple(map(_in_words, found))) for piece, found in reversed(told)],
        "sentences": [sentence for size in SIZES_TOLD if (sentence := _sentence(size, every))],
        "held": f"Of {counted(len(every), 'forecast')}, {sum(one.within(_SHARE) for one in every)} held."
        if every
        else "",
        "picture": _picture(every) if len(every) >= _DRAWN_FROM else "",
    }


def _replayed(pieces: Sequence[Piece]) -> list[tuple[Piece, list[Told]]]:
    """The forecasts of each finished cloth from all evidence before it, samples with it."""
    cloths = [replace(one.seen.cloth, name=one.seen.key) for one in pieces if one.seen.cloth is not None]
    by_key: dict[str, list[Told]] = {}
    for told in replay_measured(cloths):
        by_key.setdefault(told.cloth, []).append(told)
    records = [one for one in pieces if one.seen.place[:1] == ("record",)]
    return [(one, by_key[one.seen.key]) for one in records if one.seen.key in by_key]


def _in_words(told: Told) -> Forecast:
    low, high = (math.exp(told.mean + z * told.sd) for z in (-Z90, Z90))
    interval = Interval(low, math.exp(told.mean), high)
    what = told.size.replace("_", " ").capitalize()
    return Forecast(what, LENGTH.range(interval), LENGTH.text(math.exp(told.actual)), told.within(_SHARE))


def _sentence(size: str, every: Sequence[Told]) -> str:
    told = [one for one in every if one.size == size]
    found = trueness(told)
    if found is None:
        return ""
    held = sum(one.within(_SHARE) for one in told)
    lay = "half lay" if found.n > 1 else "it lay"
    return (
        f"{size.replace('_', ' ').capitalize()}: of {counted(found.n, 'forecast')} at nine in ten, {held} held; {lay} within "
        f"{percent(found.median_error)} of what came, the rule of thumb within {percent(found.rule_of_thumb_median_error)}."
    )


def _picture(every: Sequence[Told]) -> str:
    return calibration_svg({"Finished width and length": (len(every), calibration(every))})


@require_safe
@never_cache
def beside(request: HttpRequest, key: UUID) -> HttpResponse:
    """A finished project's plan, from what was known before it was finished, beside what came; without script, its page."""
    found = get_project(key)
    if not fragment_asked(request):
        return redirect(f"{reverse('project', args=[found.pk])}#record")
    revision = store.head(found)
    lines = came(planned.answer(revision), revision)
    return render(request, "clothwright/came.html", {"came": lines, "project": found})
