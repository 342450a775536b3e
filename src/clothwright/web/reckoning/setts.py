"""What the sett page asks, and the answer: candidates for a yarn, side by side.

A yarn is told of in one way: wraps round a ruler (its own, or those of warp and weft together), a yarn number, a yarn on hand,
or the sett of a pattern to be carried over. Heddles are typed, or a loom's, or both; without any, those commonly sold.
Everything else may be left out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final, TypeVar

from django.core.exceptions import ValidationError

from clothwright.cloth import (
    Firmness,
    Structure,
    Thickness,
    Threading,
    Wraps,
    firmness_bands,
    firmness_named,
    read_heddles,
    read_threading,
    read_threadings,
    read_wraps,
    read_wraps_taken,
    structure,
    usual_heddles,
)
from clothwright.evidence import fibre_group
from clothwright.library.models import OnHand
from clothwright.library.shelves import on_hand
from clothwright.library.shelves.on_hand import Kept, part_of
from clothwright.measure import Length, QuantityError, Ratio, ThreadsPerLength
from clothwright.planning.setts.side_by_side import SettQuestion
from clothwright.planning.setts.thickness_told import (
    by_number,
    by_pattern,
    by_wrapping_together,
    by_wraps,
    tex_with_folding,
    thickness_of_wraps,
)
from clothwright.planning.working import WorkingLine
from clothwright.project import Problem, ProblemsFound, read_project
from clothwright.project.domain import lots, touching_per_cm, wraps_per_cm
from clothwright.web.forms.field import CM, HEDDLE, THREADS, Field, Kind, Section
from clothwright.web.forms.fields import UNITS
from clothwright.web.forms.form import FieldTable, read_posted
from clothwright.web.forms.typed import Filled, Tree
from clothwright.yarn import DiameterRule, YarnNumber, diameter_rule, read_yarn

_T = TypeVar("_T")
_WAYS: Final = {
    "wraps": "wraps",
    "together": "wraps of both together",
    "number": "a yarn number",
    "on_hand": "a yarn on hand",
    "like": "a pattern's sett",
}


@dataclass(frozen=True)
class Told:
    """How thick the yarns are and the lines that say how; tex where known; fibre, and how it was told in a word."""

    thickness: Thickness
    told: str
    lines: tuple[WorkingLine, ...] = ()
    tex: float | None = None
    fibre: str = ""


def field_table(yarns: Iterable[OnHand], looms: Iterable[OnHand]) -> FieldTable:
    """The fields of the page, with what is on hand to choose from."""
    return FieldTable((_yarn_section(yarns), _cloth_section(looms)))


def _chosen(none: str, things: Iterable[OnHand]) -> tuple[tuple[str, str], ...]:
    return (("", none), *((str(one.pk), one.name) for one in things))


def _yarn_section(yarns: Iterable[OnHand]) -> Section:
    return Section(
        "told",
        "The yarn",
        "Told in one way; wraps of both together may have the warp's own beside them, and wraps a number, for the weight of the cloth.",
        (
            Field("wraps", "Wraps", unit=THREADS, help="round a ruler, just touching; of a mix, 2 x 18/in + 1 x 9/in"),
            Field("wraps_taken", "How they were counted", help="over 5 cm, just touching"),
            Field("weft_wraps", "Wraps of the weft", unit=THREADS, help="only where it is another yarn"),
            Field(
                "together",
                "or wrapped together",
                unit=THREADS,
                help="the warp's wraps, with the weft turn about between",
            ),
            Field("number", "or a yarn number", american="count", help="8/2 cotton, 2/17 Nm, 310 m/100 g"),
            Field("on_hand", "or a yarn on hand", Kind.CHOICE, choices=_chosen("none chosen", yarns)),
            Field("like", "or a pattern's sett", unit=THREADS, help="what its yarn is taken to have asked for"),
            Field("fibre", "Fibre", american="fiber", help="left out: as the number or the yarn on hand says"),
        ),
    )


def _cloth_section(looms: Iterable[OnHand]) -> Section:
    return Section(
        "wanted",
        "The cloth and the heddles",
        "",
        (
            Field("structure", "Structure", Kind.CHOICE),
            Field("firmness", "Firmness", Kind.CHOICE, choices=_firmnesses()),
            Field("finish", "Finish", help="how it will be washed, dried, pressed"),
            Field("heddles", "Heddles", Kind.SEVERAL, american="or reeds", unit=HEDDLE, help="30/10 cm; 7.5/in"),
            Field("loom", "or those of a loom on hand", Kind.CHOICE, choices=_chosen("none chosen", looms)),
            Field("width", "Finished width ↔", unit=CM, help="for ends and yarn"),
            Field("ends", "Ends of a pattern", Kind.COUNT, help="carried over to these heddles"),
            Field("ratio", "Finished width ÷ width in heddle", help="as 0.90, from a sample; left out: what is usual"),
            UNITS,
        ),
    )


def _firmnesses() -> tuple[tuple[str, str], ...]:
    return (("", "what the wraps advise"), *((band.name, band.name) for band in firmness_bands()))


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
    weave = _try(problems, "structure", lambda: _structure(tree))
    yarn = _try(problems, "wraps", lambda: _told(tree, weave or structure("plain")))
    sleyed = _try(problems, "heddles", lambda: _heddles(tree))
    loom_cm = _try(problems, "loom", lambda: _loom_cm(tree))
    wanted = _try(problems, "firmness", lambda: _firmness(tree))
    width = _try(problems, "width", lambda: _width(tree))
    ends = _try(problems, "ends", lambda: _ends(tree))
    ratio = _try(problems, "ratio", lambda: _ratio(tree))
    if problems or yarn is None or weave is None or sleyed is None:
        raise ProblemsFound(*problems)
    question = SettQuestion(
        structure=weave,
        thickness=yarn.thickness,
        heddles=tuple(dict.fromkeys(one.heddle for one in sleyed)) or read_heddles(usual_heddles()),
        fibre=str(tree.get("fibre") or yarn.fibre),
        finish=str(tree.get("finish") or ""),
        warp_tex=yarn.tex,
        weft_tex=yarn.tex if not _another_weft(tree) else None,
        wanted=wanted,
        finished_width_cm=width,
        loom_cm=loom_cm,
        width_ratio=ratio,
        pattern_ends=ends,
        told=yarn.lines,
        other_ways=bool(sleyed),
        typed=sleyed,
    )
    return question, yarn


def _another_weft(tree: Tree) -> bool:
    return bool(tree.get("weft_wraps") or tree.get("together"))


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


def _told(tree: Tree, weave: Structure) -> Told:
    way = _way(tree)
    if way == "like":
        sett = _read("like", lambda: ThreadsPerLength.read(str(tree["like"])))
        thickness, lines = by_pattern(sett, weave)
        return _weighed(tree, Told(thickness, f"as a pattern set at {sett}", lines))
    if way in ("wraps", "together"):
        return _weighed(tree, _wrapped(tree))
    told = _from_number(tree) if way == "number" else _from_shelf(str(tree["on_hand"]))
    weft = _wraps(tree, "weft_wraps")
    return replace(told, thickness=_with_weft(told.thickness, weft)) if weft else told


def _way(tree: Tree) -> str:
    """The one way the thickness is told of; beside it the warp's own wraps or a number may stand, which then only say more."""
    ways = [way for way in _WAYS if tree.get(way)]
    if ways[:2] == ["wraps", "together"]:
        ways.remove("wraps")
    if len(ways) == 2 and "number" in ways and "on_hand" not in ways:
        ways.remove("number")
    if len(ways) != 1:
        came = " and ".join(_WAYS[way] for way in ways) or "nothing"
        raise _wrong(ways[0] if ways else "wraps", f"{came} came; tell of the yarn in one way and leave the others out")
    if tree.get("weft_wraps") and ways[0] in ("like", "together"):
        raise _wrong("weft_wraps", f"{_WAYS[ways[0]]} came too; the weft's own wraps follow from that, leave them out")
    return ways[0]


def _with_weft(of: Thickness, weft: Wraps) -> Thickness:
    return replace(of, weft_wraps=weft.per_cm, weft_touching=of.warp_touching * weft.per_cm / of.warp_wraps)


def _wrapped(tree: Tree) -> Told:
    both, warp = _wraps(tree, "together"), _wraps(tree, "wraps")
    taken = _taken(tree)
    if both is None:
        assert warp is not None  # the way asked
        number = _number(tree)
        numbers, rule = ((number, number), _rule(str(tree["number"]))) if number else (None, None)
        thickness, lines = by_wraps(warp, _wraps(tree, "weft_wraps"), taken=taken, numbers=numbers, rule=rule)
        return Told(thickness, f"{tree['wraps']} wraps", lines)
    try:
        thickness, lines = by_wrapping_together(both, warp, taken=taken)
    except ValueError as error:
        raise _wrong("together", f"{error}; count again") from None
    return Told(thickness, f"{tree['together']} of the warp, wrapped with the weft", lines)


def _wraps(tree: Tree, field: str) -> Wraps | None:
    text = tree.get(field)
    return _read(field, lambda: read_wraps(str(text))) if text else None


def _taken(tree: Tree) -> str | None:
    text = str(tree.get("wraps_taken") or "")
    return _read("wraps_taken", lambda: read_wraps_taken(text).typed) if text else None


def _read(field: str, read: Callable[[], _T]) -> _T:
    """What a field holds, its sentence beside it where it cannot be read."""
    try:
        return read()
    except ValueError as error:
        raise _wrong(field, str(error)) from None


def _from_number(tree: Tree) -> Told:
    yarn, text = _number(tree), str(tree["number"])
    assert yarn is not None  # the way asked
    thickness, lines = by_number(yarn, yarn, _rule(text))
    return _weighed(tree, Told(thickness, text, lines))


def _weighed(tree: Tree, told: Told) -> Told:
    """The same with what a yarn number says of weight and fibre, where one was typed."""
    yarn, text = _number(tree), str(tree.get("number"))
    if yarn is None:
        return told
    tex, lines = tex_with_folding(text, yarn.tex, yarn.leaves_out_folding)
    return replace(told, lines=(*told.lines, *lines), tex=tex, fibre=_fibre(text))


def _number(tree: Tree) -> YarnNumber | None:
    text = tree.get("number")
    return _read("number", lambda: read_yarn(str(text))) if text else None


def _fibre(text: str) -> str:
    """The fibre that a yarn's number names, as 8/2 cotton does."""
    group = fibre_group(text)
    return "" if group == "unknown" else group


def _rule(text: str) -> DiameterRule:
    return diameter_rule(_fibre(text), "mill")


def _from_shelf(key: str) -> Told:
    tree = _tree_on_hand(Kept.YARN, key, "on_hand")
    part, tools = part_of(tree, Kept.YARN), {kind: tree[kind] for kind in on_hand.TOOLS if kind in tree}
    balls = part.get("balls")
    part = part | ({} if Filled.of({"balls": balls}).tree else {"balls": [{"net": "1 g"}]})
    try:
        project = read_project(Filled.of(tools | {"yarn": [part]}).tree)
        yarn = project.yarn[0]
        if yarn.wraps and yarn.grist is None:
            thickness = thickness_of_wraps(yarn.wraps.per_cm, yarn.wraps.per_cm)
            return Told(thickness, f"{yarn.name}, {yarn.wraps} wraps", fibre=yarn.fibre)
        lot = lots(project)[0]
    except ProblemsFound as wrong:
        raise _wrong("on_hand", f"this yarn has still to be settled: {wrong.problems[0].sentence}") from None
    wraps, touching = wraps_per_cm(lot), touching_per_cm(lot)
    tex, lines = tex_with_folding(lot.name, 1000 / lot.m_per_g, bool(lot.folding_left_out))
    return Told(Thickness(wraps, wraps, touching, touching), lot.name, lines, tex, lot.fibre)


def _tree_on_hand(kind: Kept, key: str, field: str) -> Tree:
    try:
        tree: Tree = on_hand.head(on_hand.find(kind, key)).tree
    except (OnHand.DoesNotExist, ValidationError):
        raise _wrong(field, "that is not on hand; choose one of the list") from None
    return tree


def _firmness(tree: Tree) -> Firmness | None:
    text = str(tree.get("firmness") or "")
    try:
        return firmness_named(text) if text else None
    except KeyError as error:
        raise _wrong("firmness", str(error.args[0])) from None


def _ends(tree: Tree) -> int | None:
    """A pattern's ends: a whole number of them, or nothing."""
    ends = tree.get("ends")
    if ends in (None, ""):
        return None
    if not isinstance(ends, int) or ends < 1:
        raise _wrong("ends", f"“{ends}”: how many ends? Write a whole number, as 160")
    return ends


def _structure(tree: Tree) -> Structure:
    try:
        return structure(str(tree.get("structure") or "plain"))
    except KeyError as error:
        raise _wrong("structure", str(error.args[0])) from None


def _heddles(tree: Tree) -> tuple[Threading, ...]:
    """The heddles typed and those of the loom chosen, each with its order."""
    typed = [str(one) for one in tree.get("heddles") or []]
    if tree.get("loom"):
        owned = _loom(tree).get("heddles")
        if not typed and not owned:
            raise _wrong("loom", "this loom has no heddles yet; type them, or leave the loom out")
        return (*read_threadings(typed), *_owned(owned))
    return read_threadings(typed)


def _owned(typed: object) -> tuple[Threading, ...]:
    """The heddles of a loom on hand, sleyed as it says."""
    found = [str(one) for one in typed] if isinstance(typed, list) else []
    return _read("loom", lambda: tuple(map(read_threading, found)))


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
