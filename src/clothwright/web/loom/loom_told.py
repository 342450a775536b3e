"""Forecasts of revisions at the loom, kept by all that they depend on."""

from __future__ import annotations

import hashlib
from typing import Final

from clothwright.library import store
from clothwright.library.models import Revision
from clothwright.sheets import at_loom as words
from clothwright.weaving import LookedBack, LoomForecast, WayThrough, forecast, looked_back, standing
from clothwright.web import planned
from clothwright.web.latest import Latest
from clothwright.web.showing import is_imperial

_answers: Final = Latest[LoomForecast](32)
_looked: Final = Latest[tuple[LookedBack, ...]](8)
#: With so little left the cloth is woven. Common practice, no source.
_DONE_CM: Final = 5.0


def _key(revision: Revision, *, by_hand: bool) -> tuple[int, bool, str, int]:
    """All that a forecast of a revision depends on."""
    return revision.pk, by_hand, *planned.rests_on(revision)


def forecast_of_revision(revision: Revision, *, by_hand: bool) -> LoomForecast:
    """The forecast of a revision, kept by all that it depends on; ProblemsFound where there is none."""
    key = _key(revision, by_hand=by_hand)
    if (known := _answers.get(key)) is not None:
        return known
    project = planned.document(revision)
    told = forecast(
        project,
        drawings=store.drawings_of(revision),
        history=planned.history(revision),
        layouts=planned.layouts(revision),
        by_hand=by_hand,
    )
    return _answers.put(key, told)


def looked_back_rows(revision: Revision, told: LoomForecast) -> list[tuple[str, ...]]:
    """What was forecast at each mark beside what was used; once the cloth is woven."""
    if told.still_to_weave_cm > _DONE_CM:
        return []
    key = _key(revision, by_hand=False)
    found = _looked.get(key)
    if found is None:
        project = planned.document(revision)
        stands = standing(project, drawings=store.drawings_of(revision), history=planned.history(revision))
        found = _looked.put(key, looked_back(stands))
    return words.looked_back_rows(found, imperial=is_imperial(revision))


def digest_of(way: WayThrough) -> str:
    """What a way out says, so that the one taken is the one that was shown."""
    return hashlib.sha256(f"{way.what}\n{way.change}".encode()).hexdigest()[:16]
