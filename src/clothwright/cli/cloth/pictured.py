"""The picture of a project's cloth as a file, and what was drawn in words and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

import numpy as np
from rich.console import Console
from shapely import contains_xy
from shapely.geometry import Polygon

from clothwright.cli.planned import planned, project_in
from clothwright.cloth import PictureError, Pixels, Window
from clothwright.colours import Sight
from clothwright.measure import Length, QuantityError, Ratio, ThreadsPerLength
from clothwright.planning import ClothPicture, ClothState, Plan, Tried, picture_of_cloth
from clothwright.planning.cloth.cloth_on_pieces import CutPiece, copies_named, cut_pieces, meetings
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.sheets import cloth_words as words
from clothwright.sheets import png_bytes
from clothwright.sheets.cloth.cloth_views import ON_PAPER, View, flat_view

_console = Console(highlight=False, soft_wrap=True, markup=False)
SIGHTS: Final = tuple(str(one) for one in Sight)
STATES: Final = tuple(str(one) for one in ClothState)
_PART: Final = "write it as 10 cm x 8 cm, across the cloth and along it"


@dataclass(frozen=True)
class Pictured:
    """What was asked for and drawn: the cloth, the pixels, the view they show, and what meets where pieces are sewn."""

    picture: ClothPicture
    pixels: Pixels
    view: View
    piece: str
    pieces: tuple[CutPiece, ...]
    imperial: bool

    def as_json(self, written: Path | None) -> dict[str, Any]:
        """What was drawn, and the contrasts."""
        high, wide = self.pixels.shape[:2]
        return self.picture.as_json() | {
            "drawn": {
                "across_cm": [round(one, 4) for one in self.view.window.across],
                "along_cm": [round(one, 4) for one in self.view.window.along],
                "dots_per_cm": round(self.view.dots_per_cm, 4),
                "pixels": [wide, high],
                "seen_by": str(self.view.sight),
                "piece": self.piece or None,
                "lies": _lies(self.view, self.picture),
            },
            "in_words": words.alt(self.picture, self.view.sight, imperial=self.imperial),
            "alike": words.contrast_sentences(self.picture.contrasts, self.picture.stand_ins),
            "meetings": [one.as_json() for one in meetings(self.pieces, self.picture)],
            "written": str(written) if written else None,
        }


@dataclass(frozen=True)
class PictureAsked:
    """How the picture was asked for, as typed: `part` and `piece` say what of the cloth; neither, all of it."""

    dots_per_cm: float | None = None
    seen_by: str = str(Sight.ALL_CONES)
    state: str = str(ClothState.FINISHED)
    part: str = ""
    begins: str = ""
    piece: str = ""
    structure: str | None = None
    ends: str | None = None
    picks: str | None = None
    thickness: str | None = None
    colours: tuple[str, ...] = ()


def pictured(file: Path, asked: PictureAsked, *, seconds: float, past: Sequence[Path] = ()) -> Pictured:
    """The picture of the cloth of the project in a file; ProblemsFound where what was asked cannot be drawn."""
    project, plan = planned(file, seconds=seconds, seed=None, past=past)
    picture = picture_of_cloth(project, plan, state=ClothState(asked.state), tried=tried_of(asked))
    pieces = cut_pieces(project, project_in(file)[1], plan)
    try:
        view, cut = _view(asked, picture, plan, pieces)
        pixels = view.pixels(picture)
    except PictureError as error:
        raise ProblemsFound(Problem((), str(error))) from None
    return Pictured(
        picture,
        _cut_out(pixels, view, cut, picture) if cut else pixels,
        view,
        cut.name if cut else "",
        pieces,
        _imperial(project),
    )


def _imperial(project: Project) -> bool:
    return project.units == "imperial"


def tried_of(asked: PictureAsked) -> Tried:
    """What is tried instead of the plan's; ProblemsFound, with every problem, where it cannot be read."""
    problems: list[Problem] = []
    setts: dict[str, float | None] = {}
    for name, text in (("ends", asked.ends), ("picks", asked.picks)):
        try:
            setts[name] = ThreadsPerLength.read(text).per_cm if text else None
        except QuantityError as error:
            problems.append(Problem((f"--{name}",), str(error)))
    thickness = 1.0
    try:
        thickness = Ratio.read(asked.thickness).expected if asked.thickness else 1.0
    except QuantityError as error:
        problems.append(Problem(("--thickness",), str(error)))
    colours = {}
    for text in asked.colours:
        yarn, equals, colour = (part.strip() for part in text.rpartition("="))
        if not equals or not yarn:
            problems.append(Problem(("--colour",), f"“{text}”: write a yarn and its colour, as marram = #7f8f4e"))
        colours[yarn] = colour
    if problems:
        raise ProblemsFound(*problems)
    return Tried(asked.structure, setts["ends"], setts["picks"], colours, thickness)


def _view(
    asked: PictureAsked, picture: ClothPicture, plan: Plan, pieces: tuple[CutPiece, ...]
) -> tuple[View, CutPiece | None]:
    """The view asked for, and the piece it is cut to."""
    sight = Sight(asked.seen_by)
    if asked.part and asked.piece:
        raise ProblemsFound(
            Problem((), f"{asked.part} and {asked.piece} came; ask for a part of the cloth or for a piece")
        )
    if asked.piece:
        cut = _piece(asked.piece, plan, pieces)
        xs, ys = [x for x, _ in cut.outline], [y for _, y in cut.outline]
        along, across = picture.squaring_cm, picture.trim_cm
        near = (min(ys) + across, min(max(ys) + across, picture.face.width_cm))
        window = _within(Window(picture.across_from_near(near), (min(xs) + along, max(xs) + along)), picture)
        return View(window, asked.dots_per_cm or ON_PAPER / 2, laid=True, sight=sight), cut
    if asked.part:
        return View(_part(asked, picture), asked.dots_per_cm or ON_PAPER, laid=False, sight=sight), None
    whole = flat_view(picture, Window((0.0, picture.face.width_cm), (0.0, picture.face.length_cm)), sight)
    return (replace(whole, dots_per_cm=asked.dots_per_cm) if asked.dots_per_cm else whole), None


def _piece(wanted: str, plan: Plan, pieces: tuple[CutPiece, ...]) -> CutPiece:
    found = list(copies_named(pieces, wanted))
    if found:
        return found[0]
    if plan.layout is None:
        raise ProblemsFound(Problem((), f"{wanted}: this project has no pieces, only a cloth wanted"))
    raise ProblemsFound(
        Problem((), f"{wanted}: there is no such piece; there are {', '.join(one.name for one in pieces)}")
    )


def _part(asked: PictureAsked, picture: ClothPicture) -> Window:
    """A part from where it begins on, as far as the cloth reaches."""
    (across, along), (left, start) = _sides("--part", asked.part), (0.0, 0.0)
    if asked.begins:
        left, start = _sides("--begins", asked.begins)
    if across <= 0 or along <= 0:
        raise ProblemsFound(Problem(("--part",), f"“{asked.part}”: a part has some size; {_PART}"))
    if left >= picture.face.width_cm or start >= picture.face.length_cm:
        size = f"{picture.face.width_cm:.1f} cm wide and {picture.face.length_cm:.1f} cm long"
        raise ProblemsFound(Problem(("--begins",), f"“{asked.begins}”: the cloth is {size}; begin within it"))
    return _within(Window((left, left + across), (start, start + along)), picture)


def _sides(option: str, text: str) -> tuple[float, float]:
    """Two lengths, across and along, cm."""
    sides = [side.strip() for side in text.replace("×", "x").split("x")]
    if len(sides) != 2:
        raise ProblemsFound(Problem((option,), f"“{text}”: {_PART}"))
    try:
        across, along = (Length.read(side).cm for side in sides)
    except QuantityError as error:
        raise ProblemsFound(Problem((option,), str(error))) from None
    return across, along


def _within(window: Window, picture: ClothPicture) -> Window:
    """What of a window the cloth reaches."""
    (left, right), (start, end) = window.across, window.along
    return Window((left, min(right, picture.face.width_cm)), (start, min(end, picture.face.length_cm)))


def _cut_out(pixels: Pixels, view: View, cut: CutPiece, picture: ClothPicture) -> Pixels:
    """The pixels with what is not the piece seen through."""
    high, wide = pixels.shape[:2]
    (low, top), (start, end) = picture.across_from_near(view.window.across), view.window.along
    x = start + (np.arange(wide) + 0.5) * (end - start) / wide - picture.squaring_cm
    y = top - (np.arange(high) + 0.5) * (top - low) / high - picture.trim_cm
    inside = contains_xy(Polygon(cut.outline), *np.meshgrid(x, y))
    return np.dstack([pixels, np.where(inside, 255, 0).astype(np.uint8)])


def write_picture(drawn: Pictured, out: Path) -> None:
    """The picture as a PNG file that says how large it is meant to be."""
    if out.suffix.lower() != ".png":
        raise ProblemsFound(Problem((), f"{out}: the picture is a PNG; give the file a name that ends in .png"))
    out.write_bytes(png_bytes(drawn.pixels, drawn.view.dots_per_cm))


def show_picture(drawn: Pictured, out: Path) -> None:
    """Print what was drawn, what looks alike to whom, and what meets at notches."""
    high, wide = drawn.pixels.shape[:2]
    _console.print(f"Written: {out}, {wide} by {high} pixels, {drawn.view.dots_per_cm:.4g} to the cm.")
    _console.print(words.alt(drawn.picture, drawn.view.sight, imperial=drawn.imperial))
    _console.print(_lies(drawn.view, drawn.picture))
    for sentence in (
        *words.contrast_sentences(drawn.picture.contrasts, drawn.picture.stand_ins),
        *words.meeting_sentences(meetings(drawn.pieces, drawn.picture)),
        *drawn.picture.notes,
    ):
        _console.print(sentence)


def _lies(view: View, picture: ClothPicture) -> str:
    return words.lies_on_the_table(picture) if view.laid else words.lies_as_woven(picture)
