"""What a phone is told of the weaving: how far it is, the marks to come, the log, and the forecast in words."""

from __future__ import annotations

from typing import Any, Final

from clothwright.library.models import Revision
from clothwright.measure import CM_PER_INCH
from clothwright.project import ProblemsFound
from clothwright.project import Project as Document
from clothwright.project.loom.log_growing import entries
from clothwright.sheets import at_loom as words
from clothwright.sheets import loom_garment_svg, loom_strip_svg
from clothwright.sheets.loom.core_said import said_of_core
from clothwright.sheets.loom.loom_log_sheet import marks_to_come
from clothwright.sheets.loom.refused_said import no_forecast_said
from clothwright.sheets.translating import ENGLISH, Language
from clothwright.weaving import Logged, LoomForecast, logged
from clothwright.web import planned
from clothwright.web.forms.typed import Tree, at, rows
from clothwright.web.loom.loom_told import forecast_of_revision
from clothwright.web.loom.loom_ways import way_taken
from clothwright.web.showing import is_imperial

#: How wide the cloth is drawn for a phone, in the units of its drawing.
_PHONE_ACROSS: Final = 400.0


def loom_state(revision: Revision, says: Language = ENGLISH) -> dict[str, Any]:
    """What a phone is told of the weaving: units, yarns, how far it is, marks to come, the log, and the forecast in words.

    What the core of the program says in words of its own has its shapes in the catalogue.
    """
    imperial = is_imperial(revision)
    state: dict[str, Any] = {
        "units": {"length": "in" if imperial else "cm", "weight": "oz" if imperial else "g"},
        "yarns": weft_names(revision.tree),
        "cores": [
            name for row in rows(revision.tree, ("core",)) if isinstance(name := at(row, ("name",)), str) and name
        ],
        "log": [],
        "forecast": None,
        "ways": [],
        "why": "",
    }
    try:
        document = planned.document(revision)
    except ProblemsFound as wrong:
        return state | {"why": no_forecast_said(wrong.problems[0].sentence, says)}
    told, why = _forecast(revision, document, says)
    return (
        state
        | _how_far(document, revision, told, imperial)
        | {
            "log": _log(document, says),
            "forecast": _in_words(told, imperial, says) if told else None,
            "ways": _ways(told, imperial, says) if told else [],
            "why": why,
        }
    )


def weft_names(tree: Tree) -> list[str]:
    """The yarns that can be weft, as named; all of them where none can."""
    named = {
        name.strip(): at(row, ("use",))
        for row in rows(tree, ("yarn",))
        if isinstance(name := at(row, ("name",)), str) and name.strip()
    }
    return [name for name, use in named.items() if use != "warp"] or list(named)


def _how_far(document: Document, revision: Revision, told: LoomForecast | None, imperial: bool) -> dict[str, Any]:
    log = logged(document)
    woven_cm, end = log.woven_cm, told.to_weave_cm if told else end_cm(document, revision)
    return {
        "yarns": sorted(weft_names(revision.tree), key=lambda name: -_last_weighed_cm(log, name)),
        "woven_cm": woven_cm,
        "woven": _in_unit(woven_cm, imperial),
        "to_weave_cm": end,
        "marks_cm": marks_to_come(document, end, imperial=imperial),
    }


def _last_weighed_cm(log: Logged, name: str) -> float:
    return max((one.woven_cm for one in log.weighings.get(name, ())), default=-1.0)


def end_cm(document: Document, revision: Revision) -> float | None:
    """Where the weaving ends: as typed, else by the plan."""
    if document.on_loom and document.on_loom.to_weave:
        return document.on_loom.to_weave.cm
    plan = planned.answer(revision).plan
    return plan.weft.weave_to_cm if plan else None


def _in_unit(cm: float, imperial: bool) -> str:
    return f"{round(cm / CM_PER_INCH, 2):g} in" if imperial else f"{round(cm, 1):g} cm"


def _log(document: Document, says: Language) -> list[dict[str, Any]]:
    """Every entry of the log in words, with whether it counts and why not."""
    return [
        {
            "key": one.key,
            "when": one.part.when,
            "words": _line(
                says("{woven} woven", woven=one.part.woven) if one.part.woven else "", words.entry_words(one, says)
            ),
            "counts": one.counts,
            "takes_back": not one.part.told,
            "why": said_of_core(one.set_aside, says),
        }
        for one in entries(document.log)
    ]


def _line(*parts: str) -> str:
    return " · ".join(part for part in parts if part)


def _forecast(revision: Revision, document: Document, says: Language) -> tuple[LoomForecast | None, str]:
    """The forecast of a revision, or why there is none."""
    if not document.log:
        return None, ""
    try:
        return forecast_of_revision(revision, by_hand=False), ""
    except ProblemsFound as wrong:
        return None, no_forecast_said(wrong.problems[0].sentence, says)


def _ways(told: LoomForecast, imperial: bool, says: Language) -> list[dict[str, Any]]:
    """Ways out in words, drawn as wide as a phone, and as they are kept when one is taken."""
    return [
        {
            "words": words.way_sentence(one, imperial=imperial, says=says),
            "drawn": loom_strip_svg(told, way=one, imperial=imperial, across=_PHONE_ACROSS),
            "pieces": loom_garment_svg(told, one, across=_PHONE_ACROSS),
            "way": way_taken(one, told).model_dump(),
        }
        for one in told.ways_out
    ]


def _in_words(told: LoomForecast, imperial: bool, says: Language) -> list[str]:
    """The verdict first, then each weft, what is asked, when to weigh next and what to watch for."""
    return [
        words.headline(told, says),
        *([words.warning_sentence(told, says)] if told.warned else []),
        *(sentence for one in told.yarns for sentence in words.yarn_sentences(one, imperial=imperial, says=says)),
        *(said_of_core(one, says) for one in told.asked),
        *(said_of_core(one.words, says) for one in told.trends if one.change),
        words.weigh_next_sentence(told, imperial=imperial, says=says),
        *(words.stop_sentence(one, imperial=imperial, says=says) for one in told.stop_lines),
    ]
