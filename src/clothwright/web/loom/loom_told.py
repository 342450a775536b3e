"""Forecasts of revisions at the loom, and what came of them, kept by all that they depend on."""

from __future__ import annotations

import hashlib
import json
from functools import partial
from typing import Final

from clothwright.library import store
from clothwright.library.models import Revision
from clothwright.project import ProblemsFound
from clothwright.sheets import at_loom as words
from clothwright.weaving import LookedBack, LoomForecast, WayThrough, forecast, looked_back, standing
from clothwright.web import evidence, planned
from clothwright.web.latest import Latest
from clothwright.web.showing import is_imperial
from clothwright.web.worked_apart import of_revision

_forecasts: Final = Latest[LoomForecast](32)
_looked_back: Final = Latest[tuple[LookedBack, ...]](32)


def forecast_of_revision(revision: Revision, *, by_hand: bool) -> LoomForecast:
    """The forecast of a revision, kept by all that it depends on; ProblemsFound where there is none."""
    key = (revision.pk, by_hand, *planned.rests_on(revision))
    return _forecasts.made(key, partial(of_revision, _forecast, revision, by_hand))


def _forecast(revision: Revision, by_hand: bool) -> LoomForecast:
    return forecast(
        planned.document(revision),
        drawings=store.drawings_of(revision),
        history=planned.history(revision),
        layouts=planned.layouts(revision),
        by_hand=by_hand,
    )


def looked_back_rows(revision: Revision) -> list[tuple[str, ...]]:
    """What was forecast at each mark beside what was used, in words; none without a log that goes to the end of the cloth."""
    tree = {name: part for name, part in revision.tree.items() if name != "record"}
    said = json.dumps([tree, revision.drawings], sort_keys=True)
    key = (hashlib.sha256(said.encode()).hexdigest(), evidence.beside(revision.project).key)
    found = _looked_back.made(key, partial(of_revision, _look_back, revision))
    return words.looked_back_rows(found, imperial=is_imperial(revision))


def _look_back(revision: Revision) -> tuple[LookedBack, ...]:
    if not revision.tree.get("log"):
        return ()
    try:
        document = planned.document(revision)
        stands = standing(document, drawings=store.drawings_of(revision), history=planned.history(revision))
        return looked_back(stands) if stands.is_woven else ()
    except ProblemsFound:
        return ()


def digest_of(way: WayThrough) -> str:
    """What a way out says, so that the one taken is the one that was shown."""
    return hashlib.sha256(f"{way.what}\n{way.change}".encode()).hexdigest()[:16]
