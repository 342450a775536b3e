"""The fields of the page at the loom: what stands there, and an entry of its log, to a form and back."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from clothwright.project import Problem
from clothwright.web.forms.field import CM, GRAMS, Field, Group, Kind, Section, same_words
from clothwright.web.forms.form import FieldTable
from clothwright.web.forms.loom_fields import STANDS_SECTIONS
from clothwright.web.forms.typed import Path, Tree, at, rows

#: What stands on the loom: part of the project, changed like any other field of it.
STANDS: Final = FieldTable(STANDS_SECTIONS)

_WHATS: Final = (("", "nothing"), *same_words("knot", "break", "join", "floats", "other"))


def wefts(tree: Tree) -> list[str]:
    """The yarns that may be weighed at the loom: the wefts of the project, and those its log names already."""
    named = [
        str(one["name"])
        for one in rows(tree, ("yarn",))
        if isinstance(one, dict) and one.get("name") and one.get("use") not in ("warp", "only sampled")
    ]
    for entry in rows(tree, ("log",)):
        left = at(entry, ("weft_left",))
        named += list(map(str, left)) if isinstance(left, dict) else []
        named += [str(one["yarn"]) for one in _on_the_scale(entry) if one.get("yarn")]
    return list(dict.fromkeys(named)) or ["weft"]


def _on_the_scale(entry: object) -> list[Tree]:
    """What an entry has on the scale: one table, or several."""
    weighed = at(entry, ("weighed",))
    every = weighed if isinstance(weighed, list) else [weighed]
    return [one for one in every if isinstance(one, dict)]


_PICKS: Final = Group(
    "Picks and width",
    (
        Field("entry.picks.count", "Picks counted", Kind.COUNT),
        Field("entry.picks.over", "over ↕", unit=CM),
        Field("entry.width_at_fell", "Width at the fell ↔", unit=CM),
    ),
)
_REPEATS: Final = Group(
    "Repeats",
    (
        Field("entry.repeats", "Picks of each repeat", help="since the last entry: 36, 37, 35"),
        Field("entry.panel", "of the panel called"),
    ),
    folded=True,
)
_HAPPENED: Final = Group(
    "A knot, a break, a join, floats",
    (
        Field("entry.happened.0.what", "What", Kind.CHOICE, choices=_WHATS),
        Field("entry.happened.0.at", "at ↕", unit=CM, help="left out: here"),
        Field("entry.happened.0.end", "End, from the left", Kind.COUNT),
        Field("entry.happened.0.from_selvedge", "or from the selvedge ↔", unit=CM),
        Field("entry.happened.0.mended", "mended", Kind.YES, choices=same_words("no", "yes")),
        Field("entry.happened.0.note", "About it", wide=True),
    ),
    folded=True,
)
_WARP_AND_TIME: Final = Group(
    "Warp and time",
    (
        Field("entry.advances", "Wound on, times", Kind.COUNT),
        Field("entry.warp_left", "Warp left behind the heddle ↕", unit=CM),
        Field("entry.minutes", "Minutes since the last entry", Kind.COUNT),
    ),
    folded=True,
)
_OFF_LOOM: Final = Group(
    "Off the loom",
    (
        Field("entry.off_loom.length", "Length ↕", unit=CM),
        Field("entry.off_loom.width", "Width ↔", unit=CM),
        Field("entry.off_loom.rested", "Rested how long"),
    ),
    folded=True,
)


def entry_table(names: Sequence[str]) -> FieldTable:
    """The fields of one entry, with a row for each weft."""
    return FieldTable(
        (
            Section(
                "entry",
                "Add an entry",
                "Fill in what you measured and leave the rest. Nothing that is entered is changed afterwards; a later entry corrects.",
                (
                    Field("entry.woven", "Woven so far ↕", unit=CM, help="under tension, from the first pick"),
                    Field("entry.woven_back", "woven back to here", Kind.YES, choices=same_words("no", "yes")),
                    Field("entry.when", "When", help="as 2026-03-14 16:30; may be left out"),
                    *(_weft(number, name) for number, name in enumerate(names)),
                    _PICKS,
                    _REPEATS,
                    _HAPPENED,
                    _WARP_AND_TIME,
                    _OFF_LOOM,
                    Field("entry.note", "Note", wide=True),
                    Field("entry.changed_mind", "Changed my mind about", wide=True),
                    Field("entry.photo", "Name of a photo", only_where_given=True),
                ),
                holds=("entry",),
            ),
        )
    )


def _weft(number: int, name: str) -> Group:
    return Group(
        f"Left of {name}",
        (
            Field(f"entry.weft.{number}.left", "net, all of it", unit=GRAMS),
            Field(f"entry.weft.{number}.gross", "or on the scale", unit=GRAMS),
            Field(f"entry.weft.{number}.core", "with a core of", unit=GRAMS, help="its weight or name; 0 for none"),
            Field(f"entry.weft.{number}.beside", "and beside it", unit=GRAMS, help="what of it is not on the scale"),
        ),
    )


def form_tree(tree: Tree, names: Sequence[str], entry: Mapping[str, Any] | None = None) -> Tree:
    """What the form of an entry is bound to: blank, or an entry that is there."""
    filled: Tree = {key: value for key, value in (entry or {}).items() if key not in _NOT_TYPED}
    filled["weft"] = [_weft_row(entry or {}, name) for name in names]
    happened = filled.get("happened")
    filled["happened"] = [happened] if isinstance(happened, dict) else list(happened or [])[:1] or [{}]
    repeats = filled.get("repeats")
    if repeats is not None:
        filled["repeats"] = ", ".join(map(str, repeats)) if isinstance(repeats, list) else str(repeats)
    return {"units": tree.get("units"), "yarn": tree.get("yarn", []), "entry": filled}


_NOT_TYPED: Final = ("key", "corrects", "other_of", "weft_left", "weighed")


def _weft_row(entry: Mapping[str, Any], name: str) -> Tree:
    left = entry.get("weft_left")
    row: Tree = {"left": left[name]} if isinstance(left, dict) and name in left else {}
    for one in _on_the_scale(entry):
        if one.get("yarn") == name:
            row |= {key: value for key, value in one.items() if key != "yarn"}
    return row


def entry_of(bound: Tree, names: Sequence[str]) -> Tree:
    """The entry a form holds, as plain data that the log takes."""
    entry: Tree = dict(bound["entry"])
    weft, happened = entry.pop("weft", []), entry.pop("happened", [])
    left = {name: row["left"] for name, row in zip(names, weft, strict=False) if row.get("left")}
    weighed = [
        {"yarn": name, **{key: value for key, value in row.items() if key != "left"}}
        for name, row in zip(names, weft, strict=False)
        if any(row.get(key) for key in ("gross", "core", "beside"))
    ]
    told = [one for one in happened if any(value for key, value in one.items() if key != "mended")]
    if told:
        entry["happened"] = [{key: value for key, value in one.items() if value is not False} for one in told]
    if isinstance(entry.get("repeats"), str):
        entry["repeats"] = [one for one in re.split(r"[,;\s]+", entry["repeats"]) if one]
    if not entry.get("woven_back"):
        entry.pop("woven_back", None)
    return entry | ({"weft_left": left} if left else {}) | ({"weighed": weighed} if weighed else {})


def on_the_form(problems: Iterable[Problem], entry: Tree, names: Sequence[str]) -> tuple[Problem, ...]:
    """Problems of an entry at the places of its form."""
    return tuple(Problem(_place(one.path, entry, names), one.sentence) for one in problems)


def _place(path: Path, entry: Tree, names: Sequence[str]) -> Path:
    if path[:1] == ("weft_left",) and len(path) > 1 and path[1] in names:
        return ("entry", "weft", list(names).index(str(path[1])), "left")
    if path[:1] == ("weighed",) and len(path) > 1 and isinstance(path[1], int):
        yarn = entry["weighed"][path[1]]["yarn"]
        field = path[2] if len(path) > 2 and path[2] != "yarn" else "gross"
        return ("entry", "weft", list(names).index(yarn), field)
    return ("entry", *path)
