"""What the page of the cloth's picture asks: what to try instead of the plan's, in whose eyes, and where the patch lies."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from clothwright.cloth import structures
from clothwright.colours import Sight
from clothwright.measure import Length, QuantityError, Ratio, ThreadsPerLength
from clothwright.planning import ClothPicture, ClothState, Tried
from clothwright.project import Problem, ProblemsFound
from clothwright.sheets.wording import THREADS as PER_CM
from clothwright.web.forms.field import CM, MM, PERCENT, THREADS, Field, Kind, Section
from clothwright.web.forms.form import FieldTable, Form, read_posted
from clothwright.web.forms.typed import Tree, at, put, rows

_SIGHTS: Final = (
    (str(Sight.ALL_CONES), "most people"),
    (str(Sight.PROTAN), "without red cones (protan)"),
    (str(Sight.DEUTAN), "without green cones (deutan)"),
    (str(Sight.TRITAN), "without blue cones (tritan)"),
)
_STATES: Final = ((str(ClothState.FINISHED), "finished"), (str(ClothState.ON_LOOM), "on the loom"))
#: What a patch may measure on a screen, mm: outside it, something else was measured.
_LEAST_MM, _MOST_MM = 20.0, 400.0


@dataclass(frozen=True)
class ClothAsked:
    """What was typed, and what it means. `measured_mm`: how wide the patch came out on the screen, None where not measured."""

    tree: Tree
    state: ClothState
    sight: Sight
    tried: Tried
    across_cm: float
    along_cm: float
    measured_mm: float | None
    problems: tuple[Problem, ...]


def planned_tree(picture: ClothPicture, units: str) -> Tree:
    """The page as it stands with nothing tried: the plan's structure and colours."""
    return {"units": units, "structure": picture.structure.name, "colour": _colours(picture)}


def _colours(picture: ClothPicture) -> dict[str, str]:
    return {f"y{number}": picture.threads.hex_of[name] for number, name in enumerate(picture.threads.yarns)}


def field_table(picture: ClothPicture, *, imperial: bool) -> FieldTable:
    """The fields, with what is planned beside those left empty."""
    ends, picks = (PER_CM.text(one, imperial=imperial) for one in (picture.ends_per_cm, picture.picks_per_cm))
    colours = (
        Field(f"colour.y{number}", name, Kind.COLOUR, american="color" if number == 0 else "")
        for number, name in enumerate(picture.threads.yarns)
    )
    return FieldTable(
        (
            Section(
                "look",
                "How it is looked at",
                "",
                (
                    Field("seen", "Seen by", Kind.CHOICE, choices=_SIGHTS),
                    Field("state", "When", Kind.CHOICE, choices=_STATES),
                    Field("across", "Patch begins, from the first selvedge", unit=CM, american="selvage"),
                    Field("along", "and from the first pick", unit=CM),
                    Field(
                        "measured",
                        "The patch on this screen is so wide",
                        unit=MM,
                        help="held to a ruler; left empty, as it comes",
                    ),
                ),
            ),
            Section(
                "try",
                "What is tried",
                "Nothing here changes the plan until you keep it.",
                (
                    Field("structure", "Structure", Kind.CHOICE),
                    Field("ends", "Ends", unit=THREADS, american="sett", help=f"as planned: {ends}"),
                    Field("picks", "Picks", unit=THREADS, help=f"as planned: {picks}"),
                    Field(
                        "thickness",
                        "Yarn, of its width as wrapped",
                        unit=PERCENT,
                        help="more where it blooms or is fulled",
                    ),
                    *colours,
                ),
            ),
        )
    )


def read_asked(given: Mapping[str, str], planned: ClothPicture, *, imperial: bool) -> ClothAsked:
    """What the address asks, every problem told; what cannot be read is left as planned."""
    base = planned_tree(planned, "imperial" if imperial else "metric")
    tree = read_posted(base, given, field_table(planned, imperial=imperial))
    problems: list[Problem] = []
    state = _choice(problems, tree, "state", _STATES)
    sight = _choice(problems, tree, "seen", _SIGHTS)
    across, along = (_length(problems, tree, name, 0.0) for name in ("across", "along"))
    measured = _measured(problems, tree)
    tried = _tried(problems, tree, base, planned)
    return ClothAsked(tree, ClothState(state), Sight(sight), tried, across, along, measured, tuple(problems))


def _tried(problems: list[Problem], tree: Tree, base: Tree, planned: ClothPicture) -> Tried:
    names = {f"y{number}": name for number, name in enumerate(planned.threads.yarns)}
    colours = {
        name: str(at(tree, ("colour", key)) or base["colour"][key]).lower()
        for key, name in names.items()
        if at(tree, ("colour", key)) not in (None, base["colour"][key])
    }
    woven = str(tree.get("structure") or base["structure"])
    known = {one.name for one in structures()}
    if woven not in known:
        problems.append(Problem(("structure",), f"“{woven[:60]}”: known structures are {'; '.join(sorted(known))}"))
        woven = str(base["structure"])
    return Tried(
        structure=woven if woven != base["structure"] else None,
        ends_per_cm=_threads(problems, tree, "ends"),
        picks_per_cm=_threads(problems, tree, "picks"),
        colours=colours,
        thickness=_thickness(problems, tree),
    )


def _choice(problems: list[Problem], tree: Tree, name: str, choices: tuple[tuple[str, str], ...]) -> str:
    said = str(tree.get(name) or choices[0][0])
    if said in dict(choices):
        return said
    problems.append(Problem((name,), f"“{said[:40]}”: choose one of {', '.join(words for _, words in choices)}"))
    return choices[0][0]


def _length(problems: list[Problem], tree: Tree, name: str, left_out: float) -> float:
    text = tree.get(name)
    try:
        return Length.read(str(text)).cm if text else left_out
    except QuantityError as error:
        problems.append(Problem((name,), str(error)))
        return left_out


def _measured(problems: list[Problem], tree: Tree) -> float | None:
    measured = 10 * _length(problems, tree, "measured", 0.0)
    if measured and not _LEAST_MM <= measured <= _MOST_MM:
        sentence = f"“{tree['measured']}”: a patch measures {_LEAST_MM:g} to {_MOST_MM:g} mm on a screen; measure the picture across"
        problems.append(Problem(("measured",), sentence))
        return None
    return measured or None


def _threads(problems: list[Problem], tree: Tree, name: str) -> float | None:
    text = tree.get(name)
    try:
        return ThreadsPerLength.read(str(text)).per_cm if text else None
    except QuantityError as error:
        problems.append(Problem((name,), str(error)))
        return None


def _thickness(problems: list[Problem], tree: Tree) -> float:
    text = tree.get("thickness")
    try:
        return Ratio.read(str(text)).expected if text else 1.0
    except QuantityError as error:
        problems.append(Problem(("thickness",), str(error)))
        return 1.0


def form_of(asked: ClothAsked, planned: ClothPicture, *, imperial: bool, more: ProblemsFound | None = None) -> Form:
    """The form as typed, with the sentences beside their fields."""
    names = {name: f"y{number}" for number, name in enumerate(planned.threads.yarns)}
    problems = [*asked.problems, *(_at_field(one, names) for one in (more.problems if more else ()))]
    return Form(asked.tree, problems, field_table(planned, imperial=imperial))


def _at_field(problem: Problem, names: Mapping[str, str]) -> Problem:
    """A problem of a yarn's colour, at the field that shows it."""
    if problem.path[:1] == ("colour",) and len(problem.path) == 2:
        return Problem(("colour", names.get(str(problem.path[1]), "")), problem.sentence)
    return problem


def kept_tree(tree: Tree, asked: ClothAsked, picture: ClothPicture) -> tuple[Tree, str]:
    """A project's tree with what was tried that can be kept, and that in words: colours, the structure, the picks."""
    changed, said = copy.deepcopy(tree), []
    tried = asked.tried
    for number, row in enumerate(rows(changed, ("yarn",))):
        name = str(at(row, ("name",)) or "").strip()
        if name in tried.colours:
            put(changed, ("yarn", number, "colour"), tried.colours[name])
            said.append(f"colour of {name}: {tried.colours[name]}")
    if tried.structure:
        put(changed, ("cloth", "structure"), tried.structure)
        said.append(f"structure: {tried.structure}")
    if tried.picks_per_cm:
        counted: dict[ClothState, Any] = {ClothState.FINISHED: "finished", ClothState.ON_LOOM: "on loom"}
        put(changed, ("cloth", "picks"), str(asked.tree["picks"]))
        put(changed, ("cloth", "picks_counted"), counted[picture.state])
        said.append(f"picks: {asked.tree['picks']}, counted {counted[picture.state]}")
    return changed, f"kept of the cloth’s picture: {'; '.join(said)}"


def can_be_kept(tried: Tried) -> bool:
    """Whether something is tried that a project holds: colours, the structure, the picks."""
    return bool(tried.colours or tried.structure or tried.picks_per_cm)
