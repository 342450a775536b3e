"""From a project file to its sheets, as PDFs in a folder."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, partial
from pathlib import Path
from typing import Any

from clothwright.cli.planned import planned, project_in
from clothwright.library.files import read_project_file
from clothwright.library.record.label_address import label_address
from clothwright.planning import Plan
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.pattern.garment import pieces_to_print
from clothwright.project.pattern.pattern_state import pattern_state
from clothwright.sheets.registry import BY_KIND, SHEETS, How, Need, Sheet, draw


@dataclass(frozen=True)
class Asked:
    """What the command was asked: how long and by what seed to plan, what is learned from, and how pieces are printed."""

    seconds: float
    seed: int | None = None
    past: Sequence[Path] = ()
    paper: str | None = None
    show_before: bool = False


@dataclass
class Given:
    """What the sheets of one project file are drawn from, each worked out once and only where a sheet needs it."""

    file: Path
    asked: Asked
    wanted: frozenset[Need]
    known: Mapping[Need, Any] = field(default_factory=dict)

    def __call__(self, need: Need) -> Any:
        """What is needed, as already known or worked out now."""
        return self.known[need] if need in self.known else SUPPLIES[need](self)

    @cached_property
    def project(self) -> Project:
        """The project as the file has it."""
        return project_in(self.file)[0]

    @cached_property
    def plan(self) -> Plan:
        """Its plan."""
        if Need.PLAN in self.known:
            found: Plan = self.known[Need.PLAN]
            return found
        return planned(self.file, seconds=self.asked.seconds, seed=self.asked.seed, past=self.asked.past)[1]

    @cached_property
    def colours(self) -> Any:
        """Its colour orders; the weft's too where a sheet wants it."""
        from clothwright.cli.colours.coloured import coloured

        weft = Need.WEFT_ORDER in self.wanted
        return coloured(self.file, seed=None, redraw=False, seconds=self.asked.seconds, weft=weft)[1]


def _threading(given: Given) -> Any:
    from clothwright.cli.cloth.threaded import threaded

    return threaded(given.file, seconds=given.asked.seconds)[1]


def _two_leaflets(given: Given) -> Any:
    from clothwright.cli.teaching.leaflet_versions import published_beside
    from clothwright.planning.teaching.leaflet_versions import last_two

    return last_two(published_beside(given.file))


def _leaflet(given: Given) -> Any:
    from clothwright.cli.teaching.leaflets import LeafletEffort, leaflet_in

    return leaflet_in(given.file, LeafletEffort(given.asked.seconds, seed=given.asked.seed))[1]


def _weaving_end(given: Given) -> float:
    """Where the weaving ends, cm; planned only where the project does not say it."""
    typed = given.project.on_loom.to_weave if given.project.on_loom else None
    return typed.cm if typed else given.plan.weft.weave_to_cm


def _loom_forecast(given: Given) -> Any:
    """The forecast at the loom; None where plan and log do not say enough for one."""
    from clothwright.cli.loom.at_loom import forecast_where_told

    return forecast_where_told(given.file, past=given.asked.past, seconds=given.asked.seconds, seed=given.asked.seed)


def _cloth(given: Given) -> Any:
    from clothwright.planning import picture_of_cloth

    return picture_of_cloth(given.project, given.plan)


def _cut_pieces(given: Given) -> Any:
    from clothwright.planning.cloth.cloth_on_pieces import cut_pieces

    return cut_pieces(given.project, project_in(given.file)[1], given.plan)


def _pieces(given: Given) -> Any:
    """The pieces of the project's size and version, and the state of their pattern."""
    from clothwright.sheets.pieces.piece_sheets import OfPattern, ToPrint

    drawings = read_project_file(given.file)[1]
    printed, state = pieces_to_print(given.project, drawings), pattern_state(given.project, drawings)
    said = OfPattern(state.words if state else "", printed.was if given.asked.show_before else ())
    return ToPrint(tuple(printed.pieces), given.project.name, said, given.asked.paper)


def _off_loom(given: Given) -> Any:
    """What is done off the loom, laid by first guesses."""
    from clothwright.cli.loom.finishing import finish_of

    return finish_of(given.file, past=given.asked.past, seconds=0.0, seed=given.asked.seed)[1]


def _beside(given: Given) -> Any:
    """The record beside the plan, from what was known before it."""
    from clothwright.cli.past import history_from
    from clothwright.planning.record.record_beside import beside

    history = history_from(given.asked.past, given.file, given.project, telling=False)
    return beside(given.project, given.plan, drawings=project_in(given.file)[1], history=history)


#: How the command line has what a sheet is drawn from.
SUPPLIES: dict[Need, Callable[[Given], Any]] = {
    Need.PROJECT: lambda given: given.project,
    Need.PLAN: lambda given: given.plan,
    Need.COLOURS: lambda given: given.colours,
    Need.WEFT_ORDER: lambda given: given.colours,
    Need.THREADING: _threading,
    Need.WEAVING_END: _weaving_end,
    Need.LOOM_FORECAST: _loom_forecast,
    Need.CLOTH: _cloth,
    Need.CUT_PIECES: _cut_pieces,
    Need.PIECES: _pieces,
    Need.LEAFLET: _leaflet,
    Need.TWO_LEAFLETS: _two_leaflets,
    Need.BESIDE: _beside,
    Need.LABEL_ADDRESS: lambda _given: label_address(),
    Need.OFF_LOOM: _off_loom,
}


def print_sheets_of(
    file: Path | None, out: Path, *, only: Sequence[str], large_print: bool, asked: Asked
) -> list[Path]:
    """Write the sheets asked for (the usual, when none is named) of the project in a file; it is planned only where one needs it."""
    if file is None:
        raise ProblemsFound(Problem((), "nothing came; give a project file, or --blank for sheets to fill in"))
    return _print(Given(file, asked, _wanted(_chosen(only))), only, out, large_print=large_print)


def print_blank_sheets(out: Path, *, only: Sequence[str], large_print: bool) -> list[Path]:
    """Write the sheets asked for (the usual, when none is named) to fill in."""
    if filled := [kind for kind in only if not BY_KIND[kind].blank]:
        can_be = ", ".join(sheet.kind for sheet in SHEETS if sheet.blank)
        raise ProblemsFound(
            Problem((), f"{' and '.join(filled)} cannot be blank; --blank goes with any of these: {can_be}")
        )
    chosen = [sheet for sheet in _chosen(only) if sheet.blank]
    how = How(_today(), large_print=large_print)
    return _written({sheet.kind: partial(draw, sheet, None, how) for sheet in chosen}, out, "blank")


def print_sheets(project: Project, answer: Plan, file: Path, out: Path) -> list[Path]:
    """Write the usual sheets of a project that is planned already."""
    known = {Need.PROJECT: project, Need.PLAN: answer}
    return _print(Given(file, Asked(0.0), frozenset(), known), (), out, large_print=False)


def _chosen(only: Sequence[str]) -> list[Sheet]:
    return [BY_KIND[kind] for kind in only] or [sheet for sheet in SHEETS if sheet.usual]


def _wanted(chosen: Sequence[Sheet]) -> frozenset[Need]:
    return frozenset(need for sheet in chosen for need in sheet.needs)


def _print(given: Given, only: Sequence[str], out: Path, *, large_print: bool) -> list[Path]:
    how = How(_today(), given(Need.PROJECT).units == "imperial", large_print)
    printers = {sheet.kind: partial(draw, sheet, given, how) for sheet in _chosen(only)}
    return _written(printers, out, given.file.stem)


def _today() -> datetime.date:
    return datetime.datetime.now(tz=datetime.UTC).date()


def _written(printers: Mapping[str, Callable[[], bytes]], out: Path, stem: str) -> list[Path]:
    """Every sheet made before the first is written, so that a refusal leaves none behind."""
    made = {out / f"{stem}-{kind}.pdf": printer() for kind, printer in printers.items()}
    out.mkdir(parents=True, exist_ok=True)
    for path, content in made.items():
        path.write_bytes(content)
    return list(made)
