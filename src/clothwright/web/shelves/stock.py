"""What there is of a yarn on hand, and what a loom offers, in words.

Metres come from the evidence room: low, expected and high, nine times in ten. What was typed is read as a project of that
one part, so that every sentence about it is the one the project page would say.
"""

from __future__ import annotations

import colorsys
import json
import logging
import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

from clothwright.evidence import metres_of_balls, stock_belief
from clothwright.library.shelves import on_hand
from clothwright.library.shelves.on_hand import Kept, part_of
from clothwright.measure import Interval
from clothwright.planning import tell_samples
from clothwright.project import Problem, ProblemsFound, Project, read_project
from clothwright.project.domain import lots, touching_per_cm
from clothwright.sheets.wording import LENGTH, THREADS, WEIGHT, YARN, Rounding, counted, plain_number
from clothwright.web.forms.typed import Filled, Tree
from clothwright.web.samples import ShownSample, shown_sample
from clothwright.yarn import Lot, usual_folding_words, verdict

_log = logging.getLogger(__name__)
_OURS: Final = (
    "this could not be reckoned: the fault is the program's and has been written down; what you typed is kept"
)
_HEX: Final = re.compile(r"#[0-9a-fA-F]{6}")


@dataclass(frozen=True)
class Figure:
    """A figure with its name."""

    name: str
    text: str


@dataclass(frozen=True)
class Reckoned:
    """What comes of what was typed: a headline and figures, or the problems why not."""

    headline: str = ""
    figures: tuple[Figure, ...] = ()
    problems: tuple[Problem, ...] = ()
    sample: ShownSample | None = None


@dataclass(frozen=True)
class Swatch:
    """A colour as it can be drawn, if it can, and in words."""

    fill: str
    words: str


def reckoned(tree: Tree, kind: Kept | str) -> Reckoned:
    """What comes of a tree as typed; the same tree is reckoned once."""
    yarn = ("yarn",) if kind == Kept.SAMPLE else ()
    part = {key: tree[key] for key in (str(kind), *yarn, *on_hand.TOOLS) if key in tree}
    return _reckoned(json.dumps(part, sort_keys=True), str(kind), tree.get("units") == "imperial")


@lru_cache(maxsize=2048)
def _reckoned(text: str, kind: str, imperial: bool) -> Reckoned:
    filled = Filled.of(json.loads(text))
    try:
        project = read_project(filled.tree)
        return _RECKONERS[Kept(kind)](project, imperial)
    except ProblemsFound as wrong:
        return Reckoned(problems=filled.problems(wrong.problems))
    except Exception:  # noqa: BLE001 - what was typed must stay reachable whatever goes wrong in reckoning
        _log.exception("what is on hand of a %s", kind)
        return Reckoned(problems=(Problem((), _OURS),))


def metres_of(lot: Lot) -> Interval:
    """Washed metres of a yarn, with their spread."""
    draws = stock_belief((lot,)).draws()
    return Interval.of_draws(metres_of_balls(lot, draws).sum(axis=0))


def _of_yarn(project: Project, imperial: bool) -> Reckoned:
    if not project.yarn:
        raise ProblemsFound(Problem(("yarn", 0, "name"), "give it a name"))
    lot = lots(project)[0]
    if not lot.has_grist:
        raise ProblemsFound(Problem(("yarn", 0, "grist"), f"{lot.name}: how many metres has a gram?"))
    metres = metres_of(lot)
    expected = YARN.text(metres.expected, imperial=imperial, rounding=Rounding.DOWN)
    figures = [
        Figure("Nine times in ten", YARN.range(metres, imperial=imperial)),
        Figure("Weight", f"{WEIGHT.text(lot.grams, imperial=imperial, rounding=Rounding.DOWN)}{_in_balls(lot)}"),
        Figure("Length per weight", f"{plain_number(round(lot.m_per_g * 100, 1))} m/100 g"),
        Figure("Threads that touch", f"{THREADS.text(touching_per_cm(lot), imperial=imperial)}"),
    ]
    if lot.folding_left_out:
        said = f"{', '.join(lot.folding_left_out)} is of the strands; what folding takes up, {usual_folding_words()}, is off the metres"
        figures.append(Figure("Folding", said))
    if lot.heddle_trial and lot.heddle_trial.findings:
        figures.append(Figure("In the heddle", verdict(lot.heddle_trial).told))
    return Reckoned(f"About {expected}", tuple(figures))


def _in_balls(lot: Lot) -> str:
    unknown = " with a core nobody weighed" if any(ball.core_unknown for ball in lot.balls) else ""
    return f", {counted(len(lot.balls), 'ball')}{unknown}"


def _of_loom(project: Project, imperial: bool) -> Reckoned:
    loom = project.loom
    if not loom.name:
        raise ProblemsFound(Problem(("loom", "name"), "give it a name"))
    wide = loom.weaving_width
    figures = [Figure("Weaving width ↔", LENGTH.text(wide.cm, imperial=imperial))] if wide else []
    if loom.waste:
        figures.append(Figure("Loom waste ↕", LENGTH.text(loom.waste.cm, imperial=imperial, rounding=Rounding.UP)))
    for heddle in loom.heddles:
        most = f", {int(wide.cm * heddle.per_cm + 1e-9)} ends at full width" if wide else ""
        figures.append(Figure(f"Heddle {heddle}", f"{THREADS.text(heddle.per_cm, imperial=imperial)}{most}"))
    return Reckoned(f"{counted(len(loom.heddles), 'heddle')}, {loom.kind} loom", tuple(figures))


def _of_sample(project: Project, imperial: bool) -> Reckoned:
    """What a sample of the library tells by itself; its yarn need not be in hand."""
    (told,) = tell_samples(project).samples[:1]
    shown = shown_sample(told, imperial=imperial)
    figures = (
        Figure("Yarn", ", ".join(dict.fromkeys(one.name for one in project.yarn))),
        Figure("Sett", f"{told.heddle}, {THREADS.text(told.ends_per_cm, imperial=imperial)}"),
        Figure("Structure", told.structure),
    )
    return Reckoned(shown.word, figures, sample=shown)


_RECKONERS: Final = {Kept.YARN: _of_yarn, Kept.LOOM: _of_loom, Kept.SAMPLE: _of_sample}


def swatch(tree: Tree) -> Swatch:
    """The colour of a yarn: drawn where it was given as one, and always in words."""
    typed = str(part_of(tree, Kept.YARN).get("colour") or "").strip()
    if _HEX.fullmatch(typed):
        return Swatch(typed, colour_in_words(typed))
    return Swatch("", typed or "no colour noted")


#: Where a hue ends, in degrees, and its word.
_HUES: Final = (
    (15, "red"), (40, "orange"), (65, "yellow"), (90, "yellow-green"), (155, "green"), (190, "blue-green"), (255, "blue"),
    (290, "violet"), (340, "pink"), (361, "red"),
)  # fmt: skip


def colour_in_words(colour: str) -> str:
    """A colour such as #8a8f96 in plain words: `grey`, `dark blue`, `pale yellow-green`."""
    red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    hue, light, strong = colorsys.rgb_to_hls(red, green, blue)
    if light > 0.94 or light < 0.08:
        return "white" if light > 0.5 else "black"
    depth = "dark " if light < 0.33 else "pale " if light > 0.72 else ""
    if strong < 0.13:
        return f"{depth}grey"
    word = next(word for end, word in _HUES if hue * 360 < end)
    if word == "orange" and (light < 0.45 or strong < 0.5):
        word = "brown"
    return f"{depth}{'greyish ' if strong < 0.28 and word != 'brown' else ''}{word}"


def typed_of(tree: Tree, kind: Kept | str, field: str) -> str:
    """A field as typed, for a list; empty where there is none or it is no text."""
    value: Any = part_of(tree, kind).get(field)
    return value.strip() if isinstance(value, str) else ""
