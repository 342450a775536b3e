"""What the sheets of a project are drawn from, as the pages have it: every answer is the one its page shows."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from clothwright.library import store
from clothwright.library.models import Revision
from clothwright.library.record.label_address import label_address
from clothwright.library.teaching.published import published
from clothwright.planning import Plan
from clothwright.planning.teaching.leaflet_versions import last_two
from clothwright.project import Problem, ProblemsFound
from clothwright.project import Project as Document
from clothwright.project.sampling import with_drawn_outlines
from clothwright.sheets import Need, Sheet
from clothwright.web import planned
from clothwright.web.cloth import cloth_picture, threading
from clothwright.web.colours import colour_answers
from clothwright.web.loom import off_loom
from clothwright.web.loom.loom_state import end_cm
from clothwright.web.loom.loom_told import forecast_of_revision
from clothwright.web.pattern import patterns
from clothwright.web.record.came import beside_revision
from clothwright.web.teaching import leaflets


@dataclass(frozen=True)
class Given:
    """A revision and what was asked beside it: `by_hand`, the paper, what is tried of the cloth."""

    revision: Revision
    asked: Mapping[str, str]

    def __call__(self, need: Need) -> Any:
        """What is needed; ProblemsFound where it is not settled."""
        return SUPPLIES[need](self)

    @property
    def document(self) -> Document:
        """The checked document, with the outlines its samples were drawn by."""
        return with_drawn_outlines(planned.document(self.revision), store.drawings_of(self.revision))

    @property
    def plan(self) -> Plan:
        """The plan of this revision, not of an earlier one."""
        answer = planned.answer(self.revision, by_hand="by_hand" in self.asked)
        if answer.plan is None or answer.problems:
            raise ProblemsFound(*(answer.problems or [_unsettled("plan")]))
        return answer.plan

    @property
    def shown_cloth(self) -> cloth_picture.Shown:
        """The cloth as asked for."""
        shown = cloth_picture.shown_cloth(self.revision, self.asked)
        if isinstance(shown, tuple):
            raise ProblemsFound(*(shown or [_unsettled("cloth")]))
        return shown


def _unsettled(what: str) -> Problem:
    return Problem((), f"the {what} is not settled yet")


def _settled(answer: Any, what: str) -> Any:
    if answer is None:
        raise ProblemsFound(_unsettled(what))
    return answer


def _weft(given: Given) -> Any:
    answer = _settled(colour_answers.answered(given.revision, weft=True).plan, "weft order")
    _settled(answer.weft, "weft order")
    return answer


def _pieces(given: Given) -> Any:
    paper = given.asked.get("paper")
    return patterns.to_print(given.revision, show_before="before" in given.asked, paper=paper)


def _loom_forecast(given: Given) -> Any:
    """The forecast at the loom; None where plan and log do not say enough for one."""
    try:
        return forecast_of_revision(given.revision, by_hand=False)
    except ProblemsFound:
        return None


#: How the pages have what a sheet is drawn from.
SUPPLIES: Final[dict[Need, Callable[[Given], Any]]] = {
    Need.PROJECT: lambda given: given.document,
    Need.PLAN: lambda given: given.plan,
    Need.COLOURS: lambda given: _settled(colour_answers.answered(given.revision).plan, "colour order"),
    Need.WEFT_ORDER: _weft,
    Need.THREADING: lambda given: _settled(threading.answered(given.revision).plan, "threading"),
    Need.WEAVING_END: lambda given: end_cm(given.document, given.revision),
    Need.LOOM_FORECAST: _loom_forecast,
    Need.CLOTH: lambda given: given.shown_cloth.picture,
    Need.CUT_PIECES: lambda given: cloth_picture.cut_of(given.shown_cloth),
    Need.PIECES: _pieces,
    Need.LEAFLET: lambda given: _settled(leaflets.answered(given.revision).leaflet, "leaflet"),
    Need.TWO_LEAFLETS: lambda given: last_two(published(given.revision.project)),
    Need.BESIDE: lambda given: beside_revision(planned.answer(given.revision), given.revision),
    Need.LABEL_ADDRESS: lambda _given: label_address(),
    Need.OFF_LOOM: lambda given: _settled(off_loom.answered(given.revision).found, "finishing"),
}

#: The page, by the name of its address, where a need is settled.
SETTLED_ON: Final[dict[Need, str]] = {
    Need.PROJECT: "project",
    Need.PLAN: "project",
    Need.COLOURS: "colours",
    Need.WEFT_ORDER: "weft_colours",
    Need.THREADING: "threading",
    Need.WEAVING_END: "project",
    Need.LOOM_FORECAST: "at_loom",
    Need.CLOTH: "cloth",
    Need.CUT_PIECES: "cloth",
    Need.PIECES: "pieces",
    Need.LEAFLET: "leaflet",
    Need.TWO_LEAFLETS: "leaflet",
    Need.BESIDE: "record",
    Need.LABEL_ADDRESS: "record",
    Need.OFF_LOOM: "off_loom",
}


def settled_on(sheet: Sheet) -> str:
    """The page where what a sheet is drawn from is settled, by the name of its address."""
    return SETTLED_ON[sheet.needs[0]] if sheet.needs else "project"
