"""Rules that the page of colours asks yarn by yarn, and pairs of yarns kept apart: shown from the tree, and read back."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from clothwright.web.form import SHORE, with_unit
from clothwright.web.typed import Path, Tree, at, put, rows

_EDGES: Final[Path] = ("colours", "not_at_edges")
_USE_UP: Final[Path] = ("colours", "use_up")
_KEEP: Final[Path] = ("colours", "keep_for_weft")
_APART: Final[Path] = ("colours", "not_side_by_side")


@dataclass(frozen=True)
class YarnRules:
    """A yarn's own rules as the page shows them."""

    number: int
    yarn: str
    not_at_edges: bool
    use_up: bool
    keep: str


def yarn_names(tree: Tree) -> list[str]:
    """The yarns of a project that may go into the warp, each once, as typed."""
    names = (at(row, ("name",)) for row in rows(tree, ("yarn",)) if at(row, ("use",)) != "weft")
    return list(dict.fromkeys(name.strip() for name in names if isinstance(name, str) and name.strip()))


def yarn_colours(tree: Tree) -> dict[str, str]:
    """Each yarn's colour, as #rrggbb: the one typed, else the one the page of the project shows."""
    found = {}
    for number, row in enumerate(rows(tree, ("yarn",))):
        name = at(row, ("name",))
        if isinstance(name, str) and name.strip():
            found[name.strip()] = str(at(row, ("colour",)) or SHORE[number % len(SHORE)])
    return found


def yarn_rules(tree: Tree) -> list[YarnRules]:
    """The rules of each yarn."""
    edges, up, keep = _names(tree, _EDGES), _names(tree, _USE_UP), _kept(tree)
    return [
        YarnRules(number, yarn, yarn in edges, yarn in up, str(keep.get(yarn, "")))
        for number, yarn in enumerate(yarn_names(tree))
    ]


def pairs_apart(tree: Tree) -> list[tuple[str, str]]:
    """The pairs of yarns that may not lie side by side, and a blank one to fill in."""
    pairs = [[*map(str, pair), "", ""][:2] if isinstance(pair, list) else ["", ""] for pair in rows(tree, _APART)]
    return [*((one, other) for one, other in pairs), ("", "")]


def with_yarn_rules(tree: Tree, posted: Mapping[str, str]) -> Tree:
    """The tree with the rules that were posted; where the page did not post them, as it was."""
    if "yarn_rules" not in posted:
        return tree
    changed = copy.deepcopy(tree)
    shown = yarn_rules(tree)
    for path, field in ((_EDGES, "edge"), (_USE_UP, "use_up")):
        ticked = [one.yarn for one in shown if posted.get(f"{field}.{one.number}") == "yes"]
        others = [name for name in _names(tree, path) if name not in yarn_names(tree)]
        if set(ticked + others) != set(_names(tree, path)):
            put(changed, path, [*ticked, *others] or None)
    _put_kept(changed, shown, posted)
    put(changed, _APART, _pairs_posted(posted) or None)
    return changed


def _put_kept(tree: Tree, shown: list[YarnRules], posted: Mapping[str, str]) -> None:
    kept = dict(_kept(tree))
    for one in shown:
        text = posted.get(f"keep.{one.number}", one.keep).replace("\0", "").strip()
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
