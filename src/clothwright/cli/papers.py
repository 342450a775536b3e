"""From a project file to its sheets, as PDFs in a folder."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any

from clothwright.cli.planned import planned, project_in
from clothwright.library.files import read_project_file
from clothwright.planning import Plan
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.garment import pieces_to_print
from clothwright.project.pattern_state import pattern_state

#: The help sheets, by the name they are asked for.
_HELP_SHEETS = ("measuring-yarn", "finding-sett", "sample-card", "sett-comparison", "photo-markers")
#: Printed only where they are asked for by name.
_COLOUR_SHEETS = ("colour-order", "balls", "warping", "weft-order")
_THREADING = "threading"
_ONLY_BY_NAME = {
    "cutting",
    "photo-markers",
    "pieces",
    "pieces-copyshop",
    _THREADING,
    "loom-log",
    "loom-marks",
    *_COLOUR_SHEETS,
}
_LEAFLET = "leaflet"
_LOOM_LOG, _LOOM_MARKS = "loom-log", "loom-marks"
_CLOTH_SHEET = "cloth"
_PIECE_SHEETS = ("pieces", "pieces-copyshop")


def print_sheets_of(
    file: Path | None,
    out: Path,
    *,
    only: tuple[str, ...],
    large_print: bool,
    seconds: float,
    seed: int | None,
    paper: str | None = None,
    past: Sequence[Path] = (),
    show_before: bool = False,
) -> list[Path]:
    """Write the sheets asked for of the project in a file; it is planned only where its plan is asked for."""
    if file is None:
        raise ProblemsFound(Problem((), "nothing came; give a project file, or --blank for help sheets to fill in"))
    colours = (
        _colour_printers(file, seconds, large_print, weft="weft-order" in only)
        if set(only) & set(_COLOUR_SHEETS)
        else {}
    )
    if _THREADING in only:
        colours |= _threading_printer(file, seconds, large_print)
    if _LEAFLET in only:
        colours |= _leaflet_printer(file, seconds, seed, large_print)
    if {_LOOM_LOG, _LOOM_MARKS} & set(only):
        colours |= _loom_printers(file, seconds, seed, past, large_print)
    if (
        set(only) - {*_HELP_SHEETS, *_PIECE_SHEETS, *_COLOUR_SHEETS, _THREADING, _LEAFLET, _LOOM_LOG, _LOOM_MARKS}
        or not only
    ):
        project, answer = planned(file, seconds=seconds, seed=seed, past=past)
        pieces = _piece_printers(file, project, paper, show_before) if set(only) & set(_PIECE_SHEETS) else {}
        cloth = _cloth_printer(file, project, answer, large_print) if _CLOTH_SHEET in only else {}
        more = pieces | colours | cloth
        return print_sheets(project, answer, out, file.stem, only=only, large_print=large_print, more=more)
    project, _ = project_in(file)
    printers = _help_printers(project, large_print) | _piece_printers(file, project, paper, show_before) | colours
    return _written({kind: printers[kind] for kind in only}, out, file.stem)


def print_blank_sheets(out: Path, *, only: tuple[str, ...], large_print: bool) -> list[Path]:
    """Write the help sheets asked for (all, when none is named), blank."""
    if {"plan", "cutting", _CLOTH_SHEET, _LEAFLET, *_PIECE_SHEETS, *_COLOUR_SHEETS} & set(only):
        raise ProblemsFound(
            Problem(
                (),
                "a plan, a cloth, pieces, colours or a leaflet cannot be blank; "
                f"--blank goes with {' or '.join((*_HELP_SHEETS, _THREADING, _LOOM_LOG, _LOOM_MARKS))}",
            )
        )
    printers = _help_printers(None, large_print) | {
        _THREADING: partial(_blank_threading, large_print),
        _LOOM_LOG: partial(_blank_log, large_print),
        _LOOM_MARKS: partial(_blank_marks, large_print),
    }
    usual = [kind for kind in printers if kind not in _ONLY_BY_NAME]
    return _written({kind: printers[kind] for kind in only or usual}, out, "blank")


def print_sheets(
    project: Project,
    answer: Plan,
    out: Path,
    stem: str,
    *,
    only: tuple[str, ...] = (),
    large_print: bool = False,
    more: Mapping[str, Callable[[], bytes]] | None = None,
) -> list[Path]:
    """Write the sheets asked for (all, when none is named) under a folder and say which."""
    from clothwright.sheets import cutting_sheet_pdf, plan_sheet_pdf

    imperial = project.units == "imperial"
    printers: dict[str, Callable[[], bytes]] = {
        kind: partial(make, answer, project, imperial=imperial, made_on=_today(), large_print=large_print)
        for kind, make in (("plan", plan_sheet_pdf), ("cutting", cutting_sheet_pdf))
    }
    printers |= _help_printers(project, large_print) | dict(more or {})
    usual = [kind for kind in printers if kind not in _ONLY_BY_NAME]
    return _written({kind: printers[kind] for kind in only or usual}, out, stem)


def _help_printers(project: Project | None, large_print: bool) -> dict[str, Callable[[], bytes]]:
    from clothwright.sheets import (
        marker_sheet_pdf,
        measuring_sheet_pdf,
        sample_card_pdf,
        sett_comparison_pdf,
        sett_sheet_pdf,
    )

    imperial = project is not None and project.units == "imperial"
    sheets = (measuring_sheet_pdf, sett_sheet_pdf, sample_card_pdf, sett_comparison_pdf, marker_sheet_pdf)
    makers = dict(zip(_HELP_SHEETS, sheets, strict=True))
    return {
        kind: partial(make, project, imperial=imperial, made_on=_today(), large_print=large_print)
        for kind, make in makers.items()
    }


def _colour_printers(file: Path, seconds: float, large_print: bool, *, weft: bool) -> dict[str, Callable[[], bytes]]:
    """The colour order, the balls, the warping and the weft order of a project; `weft`: the last is wanted."""
    from clothwright.cli.coloured import coloured
    from clothwright.sheets import balls_pdf, colour_order_pdf, warping_pdf, weft_order_pdf

    project, answer = coloured(file, seed=None, redraw=False, seconds=seconds, weft=weft)
    imperial = project.units == "imperial"
    makers = (colour_order_pdf, balls_pdf, warping_pdf, weft_order_pdf)
    return {
        kind: partial(make, answer, project, imperial=imperial, made_on=_today(), large_print=large_print)
        for kind, make in zip(_COLOUR_SHEETS, makers, strict=True)
    }


def _cloth_printer(file: Path, project: Project, answer: Plan, large_print: bool) -> dict[str, Callable[[], bytes]]:
    """The picture of the cloth, with its pieces cut from it."""
    from clothwright.planning import picture_of_cloth
    from clothwright.planning.cloth_on_pieces import cut_pieces
    from clothwright.sheets import cloth_sheet_pdf

    pieces = cut_pieces(project, project_in(file)[1], answer)
    how: dict[str, Any] = {"imperial": project.units == "imperial", "made_on": _today(), "large_print": large_print}
    return {_CLOTH_SHEET: partial(cloth_sheet_pdf, picture_of_cloth(project, answer), answer, pieces, **how)}


def _threading_printer(file: Path, seconds: float, large_print: bool) -> dict[str, Callable[[], bytes]]:
    """The threading of a project."""
    from clothwright.cli.threaded import threaded
    from clothwright.sheets import threading_pdf

    project, answer = threaded(file, seconds=seconds)
    imperial = project.units == "imperial"
    return {
        _THREADING: partial(
            threading_pdf, answer, project, imperial=imperial, made_on=_today(), large_print=large_print
        )
    }


def _blank_threading(large_print: bool) -> bytes:
    from clothwright.sheets import blank_threading_pdf

    return blank_threading_pdf(made_on=_today(), large_print=large_print)


def _loom_printers(
    file: Path, seconds: float, seed: int | None, past: Sequence[Path], large_print: bool
) -> dict[str, Callable[[], bytes]]:
    """The log to write in at the loom, and marks along the cloth; the plan is asked only where nothing else says where the weaving ends."""
    from clothwright.cli.at_loom import forecast_where_told
    from clothwright.sheets import loom_log_pdf, loom_marks_pdf

    project, told = forecast_where_told(file, past=past, seconds=seconds, seed=seed)
    typed = project.on_loom.to_weave if project.on_loom else None
    end_cm = told.to_weave_cm if told else typed.cm if typed else None
    if end_cm is None:
        end_cm = planned(file, seconds=seconds, seed=seed)[1].weft.weave_to_cm
    how: dict[str, Any] = {
        "imperial": project.units == "imperial",
        "made_on": _today(),
        "large_print": large_print,
    }
    return {
        _LOOM_LOG: partial(loom_log_pdf, project, end_cm, told, **how),
        _LOOM_MARKS: partial(loom_marks_pdf, project, told, end_cm, **how),
    }


def _blank_log(large_print: bool) -> bytes:
    from clothwright.sheets import loom_log_pdf

    return loom_log_pdf(None, made_on=_today(), large_print=large_print)


def _blank_marks(large_print: bool) -> bytes:
    from clothwright.sheets import loom_marks_pdf

    return loom_marks_pdf(None, made_on=_today(), large_print=large_print)


def _leaflet_printer(file: Path, seconds: float, seed: int | None, large_print: bool) -> dict[str, Callable[[], bytes]]:
    """What readers of the pattern need."""
    from clothwright.cli.leaflets import leaflet_in
    from clothwright.sheets import leaflet_pdf

    project, answer = leaflet_in(file, seconds=seconds, seed=seed)
    imperial = project.units == "imperial"
    return {_LEAFLET: partial(leaflet_pdf, answer, imperial=imperial, made_on=_today(), large_print=large_print)}


def _piece_printers(
    file: Path, project: Project, paper: str | None, show_before: bool
) -> dict[str, Callable[[], bytes]]:
    """The pieces at true size, tiled and on one page."""
    from clothwright.sheets import OfPattern, piece_page_pdf, piece_tiles_pdf

    imperial = project.units == "imperial"
    on = paper or ("letter" if imperial else "A4")

    def made(make: Callable[..., bytes], **how: str) -> bytes:
        drawings = read_project_file(file)[1]
        printed, state = pieces_to_print(project, drawings), pattern_state(project, drawings)
        said = OfPattern(state.words if state else "", printed.was if show_before else ())
        return make(printed.pieces, project.name, made_on=_today(), imperial=imperial, pattern=said, **how)

    return {"pieces": partial(made, piece_tiles_pdf, paper=on), "pieces-copyshop": partial(made, piece_page_pdf)}


def _today() -> datetime.date:
    return datetime.datetime.now(tz=datetime.UTC).date()


def _written(printers: Mapping[str, Callable[[], bytes]], out: Path, stem: str) -> list[Path]:
    """Every sheet made before the first is written, so that a refusal leaves none behind."""
    made = {out / f"{stem}-{kind}.pdf": printer() for kind, printer in printers.items()}
    out.mkdir(parents=True, exist_ok=True)
    for path, content in made.items():
        path.write_bytes(content)
    return list(made)
