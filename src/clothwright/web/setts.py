"""What the sett page asks, and the answer: candidates for a yarn, side by side.

A yarn is told of in one way out of three: wraps round a ruler, a yarn number, or a yarn on hand. Heddles are typed, or a
loom's, or both; without any, those commonly sold. Everything else may be left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from django.core.exceptions import ValidationError

from clothwright.cloth import HeddleOwned, Structure, Thickness, read_heddles, read_wraps, structure, usual_heddles
from clothwright.evidence import fibre_group
from clothwright.library import on_hand
from clothwright.library.models import OnHand
from clothwright.library.on_hand import Kept, part_of
from clothwright.measure import Length, QuantityError, Ratio
from clothwright.planning.setts import SettQuestion
from clothwright.project import Problem, ProblemsFound, read_project
from clothwright.project.domain import lots, touching_per_cm, wraps_per_cm
from clothwright.web.fields import CM, HEDDLE, THREADS, UNITS, Field, Kind, Section
from clothwright.web.form import FieldTable, read_posted
from clothwright.web.typed import Filled, Tree
from clothwright.yarn import RULER_WRAPS_PER_DIAMETER, diameter_rule, read_yarn, ruler_wraps_per_cm

_WAYS: Final = {"wraps": "wraps", "number": "a yarn number", "on_hand": "a yarn on hand"}


@dataclass(frozen=True)
class Told:
    """How thick a yarn is, ruler wraps and threads that touch, per cm; tex where known; fibre, and how it was told."""

    wraps_per_cm: float
    touching_per_cm: float
    tex: float | None
    fibre: str
    told: str


def field_table(yarns: Iterable[OnHand], looms: Iterable[OnHand]) -> FieldTable:
    """The fields of the page, with what is on hand to choose from."""
    return FieldTable((_yarn_section(yarns), _cloth_section(looms)))


def _chosen(none: str, things: Iterable[OnHand]) -> tuple[tuple[str, str], ...]:
    return (("", none), *((str(one.pk), one.name) for one in things))


def _yarn_section(yarns: Iterable[OnHand]) -> Section:
    return Section(
        "told",
        "The yarn",
        "In one of three ways.",
        (
            Field("wraps", "Wraps", unit=THREADS, help="round a ruler, just touching, not pulled"),
            Field("number", "or a yarn number", american="count", help="8/2 cotton, 2/17 Nm, 310 m/100 g"),
            Field("on_hand", "or a yarn on hand", Kind.CHOICE, choices=_chosen("none chosen", yarns)),
            Field("weft_wraps", "Wraps of the weft", unit=THREADS, help="only where it is another yarn"),
        ),
    )


def _cloth_section(looms: Iterable[OnHand]) -> Section:
    return Section(
        "wanted",
        "The cloth and the heddles",
        "",
        (
            Field("structure", "Structure", Kind.CHOICE),
            Field("heddles", "Heddles", Kind.SEVERAL, american="or reeds", unit=HEDDLE, help="30/10 cm; 7.5/in"),
            Field("loom", "or those of a loom on hand", Kind.CHOICE, choices=_chosen("none chosen", looms)),
            Field("width", "Finished width ↔", unit=CM, help="for ends and yarn"),
            Field("ratio", "Finished width ÷ width in heddle", help="as 0.90, from a sample; left out: what is usual"),
            UNITS,
        ),
    )


def asked_tree(posted: Mapping[str, str], table: FieldTable) -> Tree:
    """What was typed, bare numbers with the unit of their field."""
    units = "imperial" if posted.get("units") == "imperial" else "metric"
    return read_posted({"units": units}, posted, table)


def anything_told(tree: Tree) -> bool:
    """Whether a yarn was told of in any way."""
    return any(tree.get(way) for way in (*_WAYS, "weft_wraps"))


def asked(tree: Tree) -> tuple[SettQuestion, Told]:
    """What is asked, and how the yarn was told; ProblemsFound with every problem at once."""
    problems: list[Problem] = []
    yarn = _try(problems, "wraps", lambda: _told(tree))
    weave = _try(problems, "structure", lambda: _structure(tree))
    weft = _try(problems, "weft_wraps", lambda: _weft_wraps(tree))
    heddles = _try(problems, "heddles", lambda: _heddles(tree))
    loom_cm = _try(problems, "loom", lambda: _loom_cm(tree))
    width = _try(problems, "width", lambda: _width(tree))
    ratio = _try(problems, "ratio", lambda: _ratio(tree))
    if problems or yarn is None or weave is None or heddles is None:
        raise ProblemsFound(*problems)
    question = SettQuestion(
        structure=weave,
        thickness=_thickness(yarn, weft),
        heddles=heddles or read_heddles(usual_heddles()),
        fibre=yarn.fibre,
        warp_tex=yarn.tex,
        weft_tex=yarn.tex if weft is None else None,
        finished_width_cm=width,
        loom_cm=loom_cm,
        width_ratio=ratio,
        other_ways=bool(heddles),
    )
    return question, yarn


def _thickness(yarn: Told, weft_wraps: float | None) -> Thickness:
    if weft_wraps is None:
        return Thickness(yarn.wraps_per_cm, yarn.wraps_per_cm, yarn.touching_per_cm, yarn.touching_per_cm)
    weft_touching = yarn.touching_per_cm * weft_wraps / yarn.wraps_per_cm
    return Thickness(yarn.wraps_per_cm, weft_wraps, yarn.touching_per_cm, weft_touching)


def _try(problems: list[Problem], field: str, read: Any) -> Any:
    """What a field says, or None with its sentence noted."""
    try:
        return read()
    except QuantityError as error:
        problems.append(Problem((field,), str(error)))
    except ProblemsFound as wrong:
        problems.extend(wrong.problems)
    return None


def _wrong(field: str, sentence: str) -> ProblemsFound:
    return ProblemsFound(Problem((field,), sentence))


def _told(tree: Tree) -> Told:
    ways = [way for way in _WAYS if tree.get(way)]
    if len(ways) != 1:
        came = " and ".join(_WAYS[way] for way in ways) or "nothing"
        raise _wrong(ways[0] if ways else "wraps", f"{came} came; tell of the yarn in one way and leave the others out")
    return {"wraps": _from_wraps, "number": _from_number, "on_hand": _from_shelf}[ways[0]](str(tree[ways[0]]))


def _of_wraps(per_cm: float, fibre: str, told: str, tex: float | None = None) -> Told:
    return Told(per_cm, per_cm / RULER_WRAPS_PER_DIAMETER, tex, fibre, told)


def _from_wraps(text: str) -> Told:
    return _of_wraps(read_wraps(text).per_cm, "", f"{text} wraps")


def _weft_wraps(tree: Tree) -> float | None:
    text = tree.get("weft_wraps")
    return read_wraps(str(text)).per_cm if text else None


def _from_number(text: str) -> Told:
    try:
        yarn = read_yarn(text)
    except QuantityError as error:
        raise _wrong("number", str(error)) from None
    group = fibre_group(text)
    fibre = "" if group == "unknown" else group
    rule = diameter_rule(fibre, "mill")
    return Told(ruler_wraps_per_cm(yarn.m_per_g, rule), rule.diameters_per_cm(yarn.m_per_g), yarn.tex, fibre, text)


def _from_shelf(key: str) -> Told:
    tree = _tree_on_hand(Kept.YARN, key, "on_hand")
    part, tools = part_of(tree, Kept.YARN), {kind: tree[kind] for kind in on_hand.TOOLS if kind in tree}
    balls = part.get("balls")
    part = part | ({} if Filled.of({"balls": balls}).tree else {"balls": [{"net": "1 g"}]})
    try:
        project = read_project(Filled.of(tools | {"yarn": [part]}).tree)
        yarn = project.yarn[0]
        if yarn.wraps and yarn.grist is None:
            return _of_wraps(yarn.wraps.per_cm, yarn.fibre, f"{yarn.name}, {yarn.wraps} wraps")
        lot = lots(project)[0]
    except ProblemsFound as wrong:
        raise _wrong("on_hand", f"this yarn has still to be settled: {wrong.problems[0].sentence}") from None
    return Told(wraps_per_cm(lot), touching_per_cm(lot), 1000 / lot.m_per_g, lot.fibre, lot.name)


def _tree_on_hand(kind: Kept, key: str, field: str) -> Tree:
    try:
        tree: Tree = on_hand.head(on_hand.find(kind, key)).tree
    except (OnHand.DoesNotExist, ValidationError):
        raise _wrong(field, "that is not on hand; choose one of the list") from None
    return tree


def _structure(tree: Tree) -> Structure:
    try:
        return structure(str(tree.get("structure") or "plain"))
    except KeyError as error:
        raise _wrong("structure", str(error.args[0])) from None


def _heddles(tree: Tree) -> tuple[HeddleOwned, ...]:
    typed = [str(one) for one in tree.get("heddles") or []]
    if tree.get("loom"):
        owned = _loom(tree).get("heddles")
        typed += [str(one) for one in owned] if isinstance(owned, list) else []
        if not typed:
            raise _wrong("loom", "this loom has no heddles yet; type them, or leave the loom out")
    return read_heddles(typed)


def _loom(tree: Tree) -> Tree:
    return part_of(_tree_on_hand(Kept.LOOM, str(tree["loom"]), "loom"), Kept.LOOM)


def _loom_cm(tree: Tree) -> float | None:
    """The weaving width of the loom chosen, where it can be read."""
    wide = _loom(tree).get("weaving_width") if tree.get("loom") else None
    return Length.read(str(wide)).cm or None if wide else None


def _width(tree: Tree) -> float | None:
    text = tree.get("width")
    if not text:
        return None
    width = Length.read(str(text))
    if width.cm <= 0:
        raise QuantityError(str(text), "it must be more than nothing", Length.accepted)
    return width.cm


def _ratio(tree: Tree) -> float | None:
    text = tree.get("ratio")
    return Ratio.read(str(text)).expected if text else None
