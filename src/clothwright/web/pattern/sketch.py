"""What is being drawn by hand: pieces as text, exactly as typed, with the states before, so that every step can be undone.

A sketch is a plain tree: `file` (the drawing's name), `piece` (tables as `read_hand_piece` takes them), `now` (the piece
on the board), and `before` and `after`, the states to go back and forward to. A step takes a sketch and gives
another; nothing here knows of requests or storage.
"""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Callable, Mapping
from typing import Any, Final

from clothwright.pattern import (
    LONGEST_TEXT,
    MOST_HAND_CORNERS,
    MOST_HAND_PIECES,
    HandPiece,
    HandRefused,
    bent,
    hand_table,
    in_unit,
    read_hand_piece,
    side_at,
    split,
)

Sketch = dict[str, Any]
Table = dict[str, Any]

MOST_BEFORE: Final = 60
LARGEST: Final = 1_500_000
_OF_PIECE: Final = ("name", "cut", "pair", "one_way", "grain", "line", "allowance", "material", "size", "version")
_OF_CORNER: Final = ("across", "down", "length", "side", "notches")


def blank_piece(name: str = "piece") -> Table:
    """A piece with no corner yet."""
    return {"name": name, "cut": "1", "grain": "y", "line": "cut", "corner": []}


def blank() -> Sketch:
    """A sketch with one piece to begin."""
    return {"file": "", "now": 0, "piece": [blank_piece()], "before": [], "after": []}


def read_sketch(content: bytes | None) -> Sketch:
    """The sketch that was kept; a blank one where there is none."""
    return blank() if content is None else json.loads(content)


def written(sketch: Sketch) -> bytes:
    """The sketch to keep; the oldest states to go back to are dropped once it is large."""
    sketch = {**sketch, "before": sketch["before"][-MOST_BEFORE:]}
    content = json.dumps(sketch, ensure_ascii=False).encode()
    while len(content) > LARGEST and sketch["before"]:
        sketch["before"] = sketch["before"][len(sketch["before"]) // 2 + 1 :]
        content = json.dumps(sketch, ensure_ascii=False).encode()
    return content


def table_now(sketch: Sketch) -> Table:
    """The piece on the board."""
    return sketch["piece"][sketch["now"]]  # type: ignore[no-any-return]


def _state(sketch: Sketch) -> dict[str, Any]:
    return copy.deepcopy({"piece": sketch["piece"], "now": sketch["now"]})


def stepped(before: Sketch, after: Sketch) -> Sketch:
    """The sketch after a step, with what it was before to go back to; a step that changes nothing is none."""
    if _state(before)["piece"] == _state(after)["piece"]:
        return after
    return {**after, "before": [*before["before"], _state(before)], "after": []}


def undone(sketch: Sketch) -> Sketch:
    """One step back."""
    if not sketch["before"]:
        return sketch
    *before, last = sketch["before"]
    return {**sketch, **last, "before": before, "after": [*sketch["after"], _state(sketch)]}


def redone(sketch: Sketch) -> Sketch:
    """One step forward again."""
    if not sketch["after"]:
        return sketch
    *after, last = sketch["after"]
    return {**sketch, **last, "after": after, "before": [*sketch["before"], _state(sketch)]}


# --- what was posted ---------------------------------------------------------------------------------------------


def typed(sketch: Sketch, posted: Mapping[str, str], unit: str) -> Sketch:
    """The sketch with the piece on the board as it was typed, lengths carried out, curves bent or made straight."""
    changed = copy.deepcopy(sketch)
    changed["file"] = _clean(posted.get("file", changed["file"]))
    changed["snap"] = posted.get("snap") == "on"
    table = changed["piece"][changed["now"]]
    for key in _OF_PIECE:
        if key in posted and _clean(posted[key]) != table.get(key, ""):
            table[key] = _clean(posted[key])
    if "corners" in posted:
        table["corner"] = _corners(posted)
    changed["piece"][changed["now"]] = settled(table, unit)
    return changed


def _corners(posted: Mapping[str, str]) -> list[Table]:
    rows: list[Table] = []
    while f"corner.{len(rows)}.across" in posted and len(rows) <= MOST_HAND_CORNERS:
        rows.append(_corner(posted, f"corner.{len(rows)}"))
    return rows


def _corner(posted: Mapping[str, str], at: str) -> Table:
    row: Table = {key: text for key in _OF_CORNER if (text := _clean(posted.get(f"{at}.{key}", "")))}
    curve = [_clean(posted.get(f"{at}.curve.{number}", "")) for number in range(4)]
    if posted.get(f"{at}.bend") == "curved":
        row["curve"] = curve if any(curve) else []
    return row


def _clean(text: str) -> str:
    return " ".join(text.replace("\0", "").split())[: 2 * LONGEST_TEXT]


def settled(table: Table, unit: str) -> Table:
    """The table with typed lengths carried out and new curves given handles, where it can be read; else as it is."""
    bends = [number for number, row in enumerate(table["corner"]) if row.get("curve") == []]
    lengths = any(row.get("length") for row in table["corner"])
    if not bends and not lengths:
        return table
    try:
        piece = read_hand_piece(table, unit=unit, whole=False)
    except HandRefused:
        return table
    for number in bends:
        table["corner"][number]["curve"] = [in_unit(cm, unit) for handle in bent(piece, number) for cm in handle]
    return moved(table, piece, unit) if lengths else table


def moved(table: Table, piece: HandPiece, unit: str) -> Table:
    """The table with its places as those of the piece, every other text as typed; lengths are carried out."""
    there = hand_table(piece, unit=unit)["corner"]
    was = hand_table(
        read_hand_piece({**table, "corner": [_without(row) for row in table["corner"]]}, unit=unit, whole=False),
        unit=unit,
    )["corner"]
    rows = [_moved_row(row, old, new) for row, old, new in zip(table["corner"], was, there, strict=True)]
    return {**table, "corner": rows}


def _without(row: Table) -> Table:
    return {key: value for key, value in row.items() if key != "length" and (key, value) != ("curve", [])}


def _moved_row(row: Table, old: Table, new: Table) -> Table:
    changed = {key: value for key, value in row.items() if key != "length"}
    for key in ("across", "down", "curve"):
        if old.get(key) != new.get(key) and key in new and row.get(key) != []:
            changed[key] = new[key]
    return changed


# --- steps -------------------------------------------------------------------------------------------------------


def with_corner(sketch: Sketch, across: str, down: str, unit: str) -> Sketch:
    """The sketch with a corner at a place: on the side it lies on, else after the last; where none is said, between."""
    table = copy.deepcopy(table_now(sketch))
    if len(table["corner"]) >= MOST_HAND_CORNERS:
        return sketch
    piece = _readable(table, unit)
    if not (across or down):
        return _split(sketch, len(table["corner"]) - 1, unit) if table["corner"] else _added(sketch, table, "5", "5")
    try:
        place = read_hand_piece({"corner": [{"across": across, "down": down}]}, unit=unit, whole=False).corners[0]
    except HandRefused:
        return _added(sketch, table, across, down)
    on = side_at(piece, place) if piece is not None and len(piece.corners) >= 3 else None
    if piece is None or on is None:
        return _added(sketch, table, across, down)
    return _split(sketch, on[0], unit, on[1], None if piece.sides[on[0]].handles else (across, down))


def _added(sketch: Sketch, table: Table, across: str, down: str) -> Sketch:
    table["corner"].append({"across": across, "down": down})
    return _with(sketch, table)


def _split(sketch: Sketch, side: int, unit: str, share: float = 0.5, place: tuple[str, str] | None = None) -> Sketch:
    """The sketch with a corner on a side: what is said of the side holds for both halves."""
    table = copy.deepcopy(table_now(sketch))
    piece = _readable(table, unit)
    if piece is None or not 0 <= side < len(piece.corners) < MOST_HAND_CORNERS:
        return sketch
    if len(piece.corners) < 2:
        x, y = piece.corners[0]
        return _added(sketch, table, in_unit(x, unit), in_unit(y + 20, unit))
    rows = hand_table(split(piece, side, share), unit=unit)["corner"]
    first, second = ({key: value for key, value in row.items() if value} for row in rows[side : side + 2])
    kept = {key: table["corner"][side].get(key, "") for key in ("across", "down")}
    if place is not None:
        second |= dict(zip(("across", "down"), place, strict=True))
    said = table["corner"][side].get("side", "")
    halves = ({**first, **kept, "side": said}, {**second, "side": "" if said == "fold" else said})
    table["corner"][side : side + 1] = [{key: value for key, value in half.items() if value} for half in halves]
    return _with(sketch, table)


def _readable(table: Table, unit: str) -> HandPiece | None:
    try:
        return read_hand_piece(table, unit=unit, whole=False)
    except HandRefused:
        return None


def _with(sketch: Sketch, table: Table) -> Sketch:
    pieces = [table if number == sketch["now"] else one for number, one in enumerate(sketch["piece"])]
    return {**sketch, "piece": pieces}


def without_corner(sketch: Sketch, number: int) -> Sketch:
    """The sketch without a corner; the side before it goes on to the next one."""
    table = copy.deepcopy(table_now(sketch))
    if 0 <= number < len(table["corner"]):
        del table["corner"][number]
    return _with(sketch, table)


def swapped(sketch: Sketch, number: int, by: int) -> Sketch:
    """The sketch with a corner earlier or later in the order round the piece."""
    table = copy.deepcopy(table_now(sketch))
    rows, other = table["corner"], number + by
    if 0 <= number < len(rows) and 0 <= other < len(rows):
        rows[number], rows[other] = rows[other], rows[number]
    return _with(sketch, table)


def with_piece(sketch: Sketch) -> Sketch:
    """The sketch with a new piece, which comes on the board."""
    if len(sketch["piece"]) >= MOST_HAND_PIECES:
        return sketch
    pieces = [*sketch["piece"], blank_piece(f"piece {len(sketch['piece']) + 1}")]
    return {**sketch, "piece": pieces, "now": len(pieces) - 1}


def without_piece(sketch: Sketch, number: int) -> Sketch:
    """The sketch without a piece; there is always one left to draw."""
    kept = [one for place, one in enumerate(sketch["piece"]) if place != number] or [blank_piece()]
    return {**sketch, "piece": kept, "now": min(sketch["now"], len(kept) - 1)}


def chosen(sketch: Sketch, number: int) -> Sketch:
    """The sketch with another of its pieces on the board."""
    return {**sketch, "now": number} if 0 <= number < len(sketch["piece"]) else sketch


#: What a button does: its word, and the step it takes with the number behind the word.
STEPS: Final[dict[str, Callable[[Sketch, int, str], Sketch]]] = {
    "undo": lambda sketch, _n, _u: undone(sketch),
    "redo": lambda sketch, _n, _u: redone(sketch),
    "split": lambda sketch, n, unit: _split(sketch, n, unit),
    "remove": lambda sketch, n, _u: without_corner(sketch, n),
    "earlier": lambda sketch, n, _u: swapped(sketch, n, -1),
    "later": lambda sketch, n, _u: swapped(sketch, n, 1),
    "another": lambda sketch, _n, _u: with_piece(sketch),
    "drop": lambda sketch, n, _u: without_piece(sketch, n),
    "choose": lambda sketch, n, _u: chosen(sketch, n),
}


def step(sketch: Sketch, pressed: str, posted: Mapping[str, str], unit: str) -> Sketch:
    """The sketch after a button; an unknown one does nothing."""
    word, _, number = pressed.partition(" ")
    if word == "corner":
        return with_corner(sketch, _clean(posted.get("at.across", "")), _clean(posted.get("at.down", "")), unit)
    if word not in STEPS or not re.fullmatch(r"\d{0,4}", number):
        return sketch
    return STEPS[word](sketch, int(number or 0), unit)
