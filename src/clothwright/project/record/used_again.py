"""A new project that starts from a record: what was made is kept, what happened to it once is not, sizes may differ.

It is a new garment on a new warp, so log, record, flaws, what stood on the loom and what was cut are left out. Nothing is
multiplied: the plan of the new project is made anew, and learns its ratios from the record it came from, which is evidence
like any other. What is left out, and what was taken as it really was instead of as planned, is told.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final, Literal

Tree = dict[str, Any]
#: The yarn there is for it: as much as there was for the last, what was left over of that, or none written down yet.
STOCKS: Final = ("as last time", "what was left", "not yet")
Stock = Literal["as last time", "what was left", "not yet"]
#: What belongs to the one garment that was made, and to no other.
_ONCE: Final = (
    "record",
    "log",
    "on_loom",
    "off_loom",
    "finishing",
    "real_cloth",
    "checked",
    "cloth_in_hand",
)


@dataclass(frozen=True)
class Again:
    """What is to be made from a record: its name, what is wanted where that differs, and the yarn there is."""

    name: str = ""
    width: str = ""
    length: str = ""
    size: str = ""
    version: str = ""
    stock: str = "as last time"


@dataclass(frozen=True)
class Started:
    """The tree of the new project, and what was changed in it, a sentence each."""

    tree: Tree
    told: tuple[str, ...] = field(default=())


def used_again(tree: Tree, again: Again) -> Started:
    """The tree of a project to be made from the one that a record is of; ValueError where what is asked is not of its kind."""
    if again.stock not in STOCKS:
        raise ValueError(f"“{again.stock}” came for the yarn; accepted are {', '.join(STOCKS)}")
    new, record = copy.deepcopy(tree), _table(tree.get("record"))
    told: list[str] = []
    for part in _ONCE:
        new.pop(part, None)
    new["name"] = again.name or f"{tree.get('name') or 'untitled'}, again"
    if number := record.get("number"):
        new["from_record"] = number
    told += _as_it_was(new, record)
    told += _wanted(new, again)
    told += _yarn(new, record, again.stock)
    told += _colours(new, again)
    if _table(new.get("layout")).pop("flaw", None):
        told.append("The flaws were those of the other cloth and are left out.")
    if not new.get("layout"):
        new.pop("layout", None)
    return Started(new, tuple(told))


def _as_it_was(new: Tree, record: Mapping[str, Any]) -> list[str]:
    """Heddle and finish as they really were; no sample first, for the record tells more than one."""
    told, cloth = [], _table(new.get("cloth"))
    for name, what in (("heddle", "heddle"), ("finish", "finish")):
        if record.get(name) and record[name] != cloth.get(name):
            told.append(f"The {what} is the one really used, {record[name]}.")
            cloth[name] = record[name]
    if cloth.pop("on_warp_sample", None):
        told.append(
            "No sample is woven first on this warp: the record of a whole cloth tells more. Add one if you wish."
        )
    new["cloth"] = cloth
    if not cloth:
        del new["cloth"]
    return told


def _wanted(new: Tree, again: Again) -> list[str]:
    """The sizes asked: of a cloth wanted its width and length, of a pattern its size and version."""
    told = []
    wants, pattern = _table(new.get("want")), _table(new.get("pattern"))
    for name, text in (("width", again.width), ("length", again.length)):
        if text and not wants:
            raise ValueError(
                f"{name} {text}: this garment is cut from a pattern, which says how large its cloth must be"
            )
        if text:
            new["want"] = {**_table(new.get("want")), name: text}
            told.append(f"Finished {name} {text}; last time {wants.get(name, 'it was not said')}.")
    for name, text in (("size", again.size), ("version", again.version)):
        if text and not pattern:
            raise ValueError(f"{name} {text}: this cloth has no pattern; give its width and length")
        if text:
            new["pattern"] = {**_table(new.get("pattern")), name: text}
            told.append(f"In {name} {text}; last time {pattern.get(name) or 'it was not said'}.")
    return told


def _colours(new: Tree, again: Again) -> list[str]:
    """A colour order is of so many ends and picks: for another size it is drawn anew."""
    if not any((again.width, again.length, again.size, again.version)):
        return []
    colours = _table(new.get("colours"))
    sides = {"warp": colours, "weft": _table(colours.get("weft"))}
    gone = [side for side, of in sides.items() if of.pop("order", None)]
    return [f"The colour order of the {side} was of the other size and is to be drawn anew." for side in gone]


def _yarn(new: Tree, record: Mapping[str, Any], stock: str) -> list[str]:
    """The balls of every yarn: those there were, what was left of them, or none."""
    yarns = [one for one in new.get("yarn", []) if isinstance(one, dict)]
    if stock == "as last time":
        return ["As much yarn as there was for the last is reckoned with; weigh what there is now."] if yarns else []
    left = _left(record) if stock == "what was left" else {}
    told = []
    for one in yarns:
        weights = left.get(str(one.get("name")), [])
        one["balls"] = [{"net": weight} for weight in weights]
        if not weights:
            one.pop("balls")
            told.append(
                f"{one.get('name') or 'A yarn'} has no balls written down: what there is of it now is asked for."
            )
    return told


def _left(record: Mapping[str, Any]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    rows = record.get("left")
    for one in rows if isinstance(rows, list) else []:
        if isinstance(one, dict) and one.get("weight"):
            found.setdefault(str(one.get("yarn")), []).append(str(one["weight"]))
    return found


def _table(value: object) -> dict[str, Any]:
    return value if isinstance(value, dict) else {}
