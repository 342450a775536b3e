"""Rules that the pages of colours ask yarn by yarn, and pairs of yarns kept apart: shown from the tree, and read back."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from clothwright.web.colours.colour_sides import WARP, Side
from clothwright.web.forms.bound import SHORE
from clothwright.web.forms.form import with_unit
from clothwright.web.forms.typed import Path, Tree, at, put, rows

_KEEP: Final[Path] = ("colours", "keep_for_weft")
#: What may be ticked of a yarn, by side: the field, how it is posted, and its words.
_TICKS: Final = {
    WARP.url: (
        ("not_at_edges", "edge", "not at the edges"),
        ("use_up", "use_up", "use it up"),
        ("spread", "spread", "spread evenly"),
    ),
    "weft_colours": (("not_at_ends", "edge", "not first and not last"), ("use_up", "use_up", "use it up")),
}


@dataclass(frozen=True)
class Tick:
    """One thing that may be ticked of a yarn: the name it is posted under, its words, and whether it is."""

    name: str
    words: str
    ticked: bool


@dataclass(frozen=True)
class YarnRules:
    """A yarn's own rules as the page shows them; `keep`: the share kept for the weft, None where that is not asked."""

    number: int
    yarn: str
    ticks: tuple[Tick, ...]
    keep: str | None


def yarn_names(tree: Tree, side: Side = WARP) -> list[str]:
    """The yarns of a project that may be in the order, each once, as typed; in the weft all may, by what the warp leaves."""
    told = rows(tree, ("yarn",))
    names = (at(row, ("name",)) for row in told if side is not WARP or at(row, ("use",)) != "weft")
    return list(dict.fromkeys(name.strip() for name in names if isinstance(name, str) and name.strip()))


def yarn_colours(tree: Tree) -> dict[str, str]:
    """Each yarn's colour, as #rrggbb: the one typed, else the one the page of the project shows."""
    found = {}
    for number, row in enumerate(rows(tree, ("yarn",))):
        name = at(row, ("name",))
        if isinstance(name, str) and name.strip():
            found[name.strip()] = str(at(row, ("colour",)) or SHORE[number % len(SHORE)])
    return found


def yarn_rules(tree: Tree, side: Side = WARP) -> list[YarnRules]:
    """The rules of each yarn."""
    keep = _kept(tree)
    ticked = {field: _names(tree, (*side.path, field)) for field, _, _ in _TICKS[side.url]}
    return [
        YarnRules(
            number,
            yarn,
            tuple(Tick(f"{name}.{number}", words, yarn in ticked[field]) for field, name, words in _TICKS[side.url]),
            str(keep.get(yarn, "")) if side is WARP else None,
        )
        for number, yarn in enumerate(yarn_names(tree, side))
    ]


def pairs_apart(tree: Tree, side: Side = WARP) -> list[tuple[str, str]]:
    """The pairs of yarns that may not lie side by side, and a blank one to fill in."""
    told = rows(tree, (*side.path, "not_side_by_side"))
    pairs = [[*map(str, pair), "", ""][:2] if isinstance(pair, list) else ["", ""] for pair in told]
    return [*((one, other) for one, other in pairs), ("", "")]


def with_yarn_rules(tree: Tree, posted: Mapping[str, str], side: Side = WARP) -> Tree:
    """The tree with the rules that were posted; where the page did not post them, as it was."""
    if "yarn_rules" not in posted:
        return tree
    changed = copy.deepcopy(tree)
    shown = yarn_rules(tree, side)
    for field, name, _ in _TICKS[side.url]:
        path = (*side.path, field)
        ticked = [one.yarn for one in shown if posted.get(f"{name}.{one.number}") == "yes"]
        others = [one for one in _names(tree, path) if one not in yarn_names(tree, side)]
        if set(ticked + others) != set(_names(tree, path)):
            put(changed, path, [*ticked, *others] or None)
    if side is WARP:
        _put_kept(changed, shown, posted)
    put(changed, (*side.path, "not_side_by_side"), _pairs_posted(posted) or None)
    return changed


def _put_kept(tree: Tree, shown: list[YarnRules], posted: Mapping[str, str]) -> None:
    kept = dict(_kept(tree))
    for one in shown:
        text = posted.get(f"keep.{one.number}", one.keep or "").replace("\0", "").strip()
        kept.pop(one.yarn, None)
        if text:
            kept[one.yarn] = with_unit(text, "%")
    put(tree, _KEEP, kept or None)


def _pairs_posted(posted: Mapping[str, str]) -> list[list[str]]:
    """The pairs as posted; one with only one name is kept, and is told of."""
    found, number = [], 0
    while f"pair.{number}.0" in posted:
        pair = [text for side in (0, 1) if (text := posted.get(f"pair.{number}.{side}", "").replace("\0", "").strip())]
        found += [pair] if pair else []
        number += 1
    return found


def _names(tree: Tree, path: Path) -> list[str]:
    return [str(name) for name in rows(tree, path)]


def _kept(tree: Tree) -> dict[str, object]:
    kept = at(tree, _KEEP)
    return dict(kept) if isinstance(kept, dict) else {}
