"""The plan beside what came of it: each figure of the record with what was planned, in the units chosen."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass

from clothwright.library.models import Revision
from clothwright.measure import Interval
from clothwright.planning import Plan
from clothwright.project import ProblemsFound
from clothwright.project import Project as Document
from clothwright.project.document import RecordPart
from clothwright.project.domain import yarns_sampled
from clothwright.project.past import record_cloth
from clothwright.sheets.wording import LENGTH, THREADS, YARN, Kind
from clothwright.web import planned
from clothwright.web.planned import Answer
from clothwright.web.showing import is_imperial
from clothwright.web.typed import at


@dataclass(frozen=True)
class Came:
    """One figure: what was planned, what came, and in words whether the forecast held."""

    what: str
    planned: str
    came: str
    word: str = ""


def finished_on(revision: Revision) -> str:
    """The day a project was finished, in words; empty where it is not."""
    typed = at(revision.tree, ("record", "date"))
    try:
        day = datetime.date.fromisoformat(str(typed or ""))
    except ValueError:
        return ""
    return f"{day.day} {day:%B %Y}"


def came(answer: Answer, revision: Revision) -> tuple[Came, ...]:
    """Every figure of the record beside the plan's; none while there is no plan or the record cannot be read."""
    try:
        document = planned.document(revision)
    except ProblemsFound:
        return ()
    if answer.plan is None or document.record is None:
        return ()
    return tuple(_lines(answer.plan, document, document.record, is_imperial(revision)))


def _lines(plan: Plan, document: Document, record: RecordPart, imperial: bool) -> Iterator[Came]:
    if record.ends:
        yield Came("Ends", str(plan.warp.ends), str(record.ends))
    lengths = {
        "Warp length ↕": (Interval.exactly(plan.warp.length_cm), record.warp_wound),
        "Loom waste ↕": (plan.warp.waste_cm, record.waste),
        "Woven, under tension ↕": (Interval.exactly(plan.weft.weave_to_cm), record.length.on_loom),
        "Finished length ↕": (plan.cloth.finished_length_cm, record.length.finished),
    }
    for what, (forecast, length) in lengths.items():
        if length is not None:
            yield _one(what, forecast, length.cm, LENGTH, imperial)
    yield from _width(plan, record, imperial)
    if record.picks and record.picks.where == "on loom":
        per_cm = record.picks.count / record.picks.over.cm
        yield _one("Picks on the loom", plan.weft.picks_per_cm_on_loom, per_cm, THREADS, imperial)
    yield from _weft(plan, document, record, imperial)


def _width(plan: Plan, record: RecordPart, imperial: bool) -> Iterator[Came]:
    places = [one.cm for one in record.width.finished.lengths]
    if places:
        mean = sum(places) / len(places)
        yield _one("Finished width ↔", plan.cloth.finished_width_cm, mean, LENGTH, imperial)
    if len(places) > 1:
        asked = Interval.exactly(plan.cloth.asked_width_cm)
        least = min(places)
        word = "wide enough" if least >= plan.cloth.asked_width_cm else "narrower than asked"
        yield Came(
            "Least width, which can be used ↔",
            f"{LENGTH.range(asked, imperial=imperial)} asked",
            LENGTH.text(least, imperial=imperial),
            word,
        )


def _weft(plan: Plan, document: Document, record: RecordPart, imperial: bool) -> Iterator[Came]:
    """Weft of the cloth alone, without what a sample woven first took."""
    used = record_cloth(document, record, yarns_sampled(document), "", "").weft_used_m if document.yarn else None
    if used:
        woven = plan.weft.weave_to_cm
        share = woven / (woven + plan.warp.on_warp_sample_cm)
        yield _one("Weft of the cloth", plan.weft.yarn_m.scaled(share), used, YARN, imperial)


def _one(what: str, forecast: Interval, value: float, kind: Kind, imperial: bool) -> Came:
    word = ""
    if forecast.low < forecast.high:
        word = "within the forecast"
        if not forecast.low <= value <= forecast.high:
            word = "more than forecast" if value > forecast.high else "less than forecast"
    return Came(what, kind.range(forecast, imperial=imperial), kind.text(value, imperial=imperial), word)
