"""A project begun with a few answers: yarn in the weaver's words, the loom, what is to be made; the rest is taken, and marked so.

What is taken stands in the project's own fields, so that the project is an ordinary one from its first answer. `begun.taken` says
which fields those are and what was taken; where something else stands in one by now, somebody has said so, and it is no default.
"""

from __future__ import annotations

import copy
import re
from typing import Any, Final

from clothwright.project.beginning.yarn_in_words import YarnInWords, lines_of, yarns_in_words

__all__ = [
    "CLOTH",
    "DRAWING",
    "HEDDLES",
    "begin",
    "lines_of",
    "making",
    "open_questions",
    "other_yarns",
    "says_heddle",
    "says_what_to_make",
    "still_taken",
    "with_heddle_taken",
    "with_making",
    "with_yarn",
    "yarn_told",
    "yarn_words",
    "yarns_in_words",
]
Tree = dict[str, Any]
#: A cloth of a size, and a pattern in a file; every other thing to make is a garment made from measures, by its name.
CLOTH: Final = "cloth"
DRAWING: Final = "drawing"
HEDDLES: Final = "loom.heddles"
_IMPERIAL: Final = re.compile(r"\d\s*(?:yd|yds|yards?|oz|ounces?|lbs?|pounds?|in|inch|inches)\b", re.I)
_METRIC: Final = re.compile(r"\d\s*(?:m|metres?|meters?|g|grams?|kg|cm)\b", re.I)


def begin(words: str) -> Tree:
    """A project that holds the yarn told in words, and nothing else yet."""
    tree: Tree = {"clothwright": 1, "name": "", "units": "metric"}
    begun: Tree = {"yarn": "", "taken": {}}
    if _IMPERIAL.search(words) and not _METRIC.search(words):
        tree["units"] = begun["taken"]["units"] = "imperial"
    tree = with_yarn(tree | {"begun": begun}, words)
    told = next((one["name"] for one in tree["yarn"] if one.get("name")), " ".join(words.split())[:40])
    return tree | {"name": f"Begun with {told}" if told else "Begun"}


def yarn_words(tree: Tree) -> str:
    """The words the yarn was told in, a yarn to a line."""
    return str(_begun(tree).get("yarn") or "")


def open_questions(tree: Tree) -> tuple[YarnInWords, ...]:
    """The lines that leave something open; a project without a yarn has its first question open, which is no line."""
    return tuple(one for one in yarn_told(tree) if one.question)


def yarn_told(tree: Tree) -> tuple[YarnInWords, ...]:
    """What the words a project was begun with say, line by line."""
    return yarns_in_words(yarn_words(tree))


def with_yarn(tree: Tree, words: str) -> Tree:
    """The tree with its yarns as the words tell them; lines that leave a question open give none yet.

    A yarn whose line stayed the same stays as it is, with all that was typed of it elsewhere; yarns that no line told of stay too.
    """
    changed, told = copy.deepcopy(tree), yarns_in_words(words)
    clear = [one for one in told if one.question is None]
    stayed, others = _rows_by_line(tree)
    rows = [stayed.get(one.line, [{}]).pop(0) if stayed.get(one.line) else one.row for one in clear]
    taken = {key: value for key, value in _taken(tree).items() if not key.startswith("yarn.")}
    taken |= {f"yarn.{n}.{field}": one.row[field] for n, one in enumerate(clear) for field, _ in one.taken}
    changed["begun"] = {**_begun(tree), "yarn": words, "taken": taken}
    changed["yarn"] = [*rows, *others] or [{"balls": [{}]}]
    return changed


def _rows_by_line(tree: Tree) -> tuple[dict[str, list[Tree]], list[Tree]]:
    """The yarns as they stand by the line that told of them, and those that none told of; blank ones are neither."""
    found = tree.get("yarn")
    rows = [copy.deepcopy(one) for one in found if isinstance(one, dict)] if isinstance(found, list) else []
    lines = [one.line for one in yarn_told(tree) if one.question is None]
    if len(rows) < len(lines):
        lines = [
            one.line for one in yarn_told(tree) if one.row and one.row["name"] in [row.get("name") for row in rows]
        ]
    stayed: dict[str, list[Tree]] = {}
    for line, row in zip(lines, rows, strict=False):
        stayed.setdefault(line, []).append(row)
    return stayed, [row for row in rows[len(lines) :] if not _blank(row)]


def other_yarns(tree: Tree) -> tuple[str, ...]:
    """The names of yarns that stand in the project and that no line told of."""
    return tuple(str(row.get("name") or "a yarn with no name") for row in _rows_by_line(tree)[1])


def _blank(value: object) -> bool:
    if isinstance(value, dict):
        return all(map(_blank, value.values()))
    return all(map(_blank, value)) if isinstance(value, list) else value in (None, "")


def with_heddle_taken(tree: Tree, heddle: str | None) -> Tree:
    """The tree with a heddle taken where nobody has said one; None takes nothing, and lets go of what was taken before."""
    changed = copy.deepcopy(tree)
    taken = {key: value for key, value in _taken(tree).items() if key != HEDDLES}
    loom = {**_table(tree, "loom")}
    if says_heddle(tree):
        heddle = None
    elif heddle:
        loom["heddles"], taken[HEDDLES] = [heddle], heddle
    else:
        loom.pop("heddles", None)
    changed["loom"] = loom
    changed["begun"] = {**_begun(tree), "taken": taken}
    return changed


def says_heddle(tree: Tree) -> bool:
    """Whether somebody said a heddle: for the cloth, or as owned."""
    owned = _table(tree, "loom").get("heddles")
    said = bool(owned) and HEDDLES not in still_taken(tree)
    return said or bool(_table(tree, "cloth").get("heddle"))


def making(tree: Tree) -> str:
    """What is to be made, as it was said or as it stands: `CLOTH`, `DRAWING`, the name of a garment, or nothing yet."""
    said = _begun(tree).get("making")
    if said:
        return str(said)
    pattern = _table(tree, "pattern")
    if pattern.get("file"):
        return DRAWING
    garment = _table(pattern, "from_measures").get("garment")
    return str(garment) if garment else CLOTH if _table(tree, "want") else ""


def says_what_to_make(tree: Tree) -> bool:
    """Whether so much was said of what is to be made that it is worth asking for the rest: a size, a measure, a drawing."""
    said = {
        "": (),
        CLOTH: tuple(_table(tree, "want").values()),
        DRAWING: (_table(tree, "pattern").get("file"),),
    }
    draft = _table(_table(tree, "pattern"), "from_measures")
    measured = (*_table(draft, "body").values(), *_table(draft, "options").values())
    return any(said.get(making(tree), measured))


def with_making(tree: Tree, what: str) -> Tree:
    """The tree for something else to be made; measures that a garment had stay for the next garment, and a cloth has none."""
    changed = copy.deepcopy(tree)
    changed["begun"] = {**_begun(tree), "making": what}
    pattern = {**_table(tree, "pattern")}
    if what in (CLOTH, DRAWING, ""):
        pattern.pop("from_measures", None)
    else:
        before = pattern.get("from_measures")
        pattern["from_measures"] = {**(before if isinstance(before, dict) else {}), "garment": what}
    changed["pattern"] = pattern
    return changed if pattern else {key: value for key, value in changed.items() if key != "pattern"}


def still_taken(tree: Tree) -> dict[str, str]:
    """The fields that hold what was taken for them, and that."""
    return {key: value for key, value in _taken(tree).items() if _stands(tree, key) == value}


def _stands(tree: Any, key: str) -> str:
    for step in key.split("."):
        if isinstance(tree, list):
            tree = tree[int(step)] if step.isdecimal() and int(step) < len(tree) else None
        else:
            tree = tree.get(step) if isinstance(tree, dict) else None
    return "; ".join(map(str, tree)) if isinstance(tree, list) else str(tree)


def _begun(tree: Tree) -> Tree:
    return _table(tree, "begun")


def _taken(tree: Tree) -> dict[str, str]:
    found = _begun(tree).get("taken")
    return {str(key): str(value) for key, value in found.items()} if isinstance(found, dict) else {}


def _table(tree: Tree, name: str) -> Tree:
    found = tree.get(name)
    return found if isinstance(found, dict) else {}
