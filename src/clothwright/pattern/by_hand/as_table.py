"""A piece drawn by hand as text: a table of corners, each with the side that follows it; in and out.

One piece is a table; everything in it is text as a person writes it, and may be left out where it says so:

    name = "back"
    cut = 1                  # 1 if left out
    pair = true              # half of them mirrored
    one_way = true
    grain = "y"              # up the page; "x" or degrees anticlockwise from x
    line = "stitch"          # cut if left out
    allowance = "2 cm"       # its own, where drawn by its stitching line
    material = "lining"      # and size, version
    corner = [
      { across = "12 cm", down = "4 1/2 in", side = "seam side, ease 5 mm", notches = "10 cm; 20 cm a" },
      { across = "0 cm", down = "60 cm", length = "24 cm", curve = ["1 cm", "55 cm", "3 cm", "20 cm"] },
    ]

`across` and `down` are counted from the left and the top of the page; a handle may lie beyond it, as `-2 cm`. `side`
is what the side from this corner to the next is, `curve` its two handles (across, down, across, down), and `notches`
where its notches are, counted from this corner, each with its match point. A `length` moves the next corner along the
side's direction once all places are read, in the order of the corners.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from clothwright.measure import CM_PER_INCH, Length, QuantityError
from clothwright.pattern.by_hand.sides import FARTHEST_CM, MOST_CORNERS, HandPiece, Notch, Side, with_length
from clothwright.pattern.piece import MAIN_CLOTH, Point
from clothwright.pattern.reading.edge_words import EdgeWords, read_edge_words
from clothwright.pattern.reading.findings import listed, quoted
from clothwright.pattern.reading.marks import LONGEST_STATED_CM, read_mark

Path = tuple[str | int, ...]
LONGEST_TEXT: Final = 120
MOST_NOTCHES: Final = 20
_LONGEST_KEY: Final = 20

PIECE_KEYS: Final = (
    "name", "cut", "pair", "one_way", "grain", "line", "allowance", "material", "size", "version", "corner",
)  # fmt: skip
CORNER_KEYS: Final = ("across", "down", "length", "side", "curve", "notches")


class HandRefused(ValueError):
    """A table that is no piece; `problems` says where in it and why, one sentence each."""

    def __init__(self, problems: Mapping[Path, str]) -> None:
        self.problems = tuple(problems.items())
        super().__init__("; ".join(problems.values()))


def read_hand_piece(table: Mapping[str, Any], *, unit: str | None = None, whole: bool = True) -> HandPiece:
    """The piece a table holds; HandRefused with every problem.

    `unit` is that of bare numbers, where a page shows one. `whole` asks for a name and three corners; a piece that is
    still being drawn may lack them.
    """
    return _Reading(unit).piece(table, whole)


@dataclass
class _Reading:
    """Reads one table, and keeps what is wrong with it by its place."""

    unit: str | None
    problems: dict[Path, str] = field(default_factory=dict)

    def piece(self, table: Mapping[str, Any], whole: bool) -> HandPiece:
        self._known(table, PIECE_KEYS, ())
        rows = self._rows(table.get("corner", []))
        corners = tuple(self._corner(row, ("corner", i)) for i, row in enumerate(rows))
        sides = tuple(self._side(row, ("corner", i)) for i, row in enumerate(rows))
        marks = self._marks(table)
        if whole and not marks["name"]:
            self.problems.setdefault(("name",), "a piece needs a name")
        if whole and len(corners) < 3 and ("corner",) not in self.problems:
            self.problems["corner",] = f"{len(corners)} corners came; a piece has 3 or more"
        self._refuse_if_any()
        return self._stretched(HandPiece(corners=corners, sides=sides, **marks), rows)

    def _refuse_if_any(self) -> None:
        if self.problems:
            raise HandRefused(self.problems)

    def _known(self, table: Mapping[str, Any], keys: tuple[str, ...], path: Path) -> None:
        odd = [key for key in table if key not in keys]
        for key in odd[:3]:
            self.problems[(*path, key[:_LONGEST_KEY])] = (
                f"{quoted(key)} is not a field here; fields are {', '.join(keys)}"
            )
        for key in keys:
            if len(_text(table.get(key)) if key != "corner" else "") > LONGEST_TEXT:
                self.problems[(*path, key)] = f"it is longer than {LONGEST_TEXT} letters; shorten it"

    def _rows(self, rows: Any) -> list[Mapping[str, Any]]:
        if not isinstance(rows, list) or not all(isinstance(row, Mapping) for row in rows):
            self.problems["corner",] = "a list of corners is needed, each a table"
            return []
        if len(rows) > MOST_CORNERS:
            self.problems["corner",] = f"{len(rows)} corners came; a piece drawn by hand has at most {MOST_CORNERS}"
            return []
        return rows

    # --- the piece -----------------------------------------------------------------------------------------------

    def _marks(self, table: Mapping[str, Any]) -> dict[str, Any]:
        found = {
            "name": self._mark(table, "piece", key="name") or "",
            "cut": self._mark(table, "cut") or 1,
            "pair": self._mark(table, "pair", false=False),
            "one_way": self._mark(table, "one-way", key="one_way", false=False),
            "grain_deg": self._mark(table, "grain"),
            "stitch": self._line(table),
            "allowance_cm": self._given_cm(table, ("allowance",), LONGEST_STATED_CM),
            "material": self._mark(table, "material") or MAIN_CLOTH,
            "size": self._mark(table, "size"),
            "version": self._mark(table, "version"),
        }
        if found["pair"] and found["cut"] == 1:
            self.problems["cut",] = "a pair is cut 2, or another even number"
        if found["allowance_cm"] is not None and not found["stitch"]:
            self.problems["allowance",] = "it is added to a stitching line; say “stitch”, or leave it out"
        return found

    def _mark(self, table: Mapping[str, Any], mark: str, *, key: str = "", false: Any = None) -> Any:
        key = key or mark
        came = _text(table.get(key))
        try:
            return read_mark(mark, came) if came else false
        except ValueError as error:
            self.problems.setdefault((key,), _shortened(error))
            return false

    def _line(self, table: Mapping[str, Any]) -> bool:
        came = _text(table.get("line")) or "cut"
        if came not in ("cut", "stitch"):
            self.problems["line",] = f"{quoted(came)}: accepted is “cut” or “stitch”"
        return came == "stitch"

    # --- corners and sides ---------------------------------------------------------------------------------------

    def _corner(self, row: Mapping[str, Any], path: Path) -> Point:
        self._known(row, CORNER_KEYS, path)
        return self._place(row.get("across"), (*path, "across")), self._place(row.get("down"), (*path, "down"))

    def _place(self, came: Any, path: Path) -> float:
        """A place on the page, cm; below nought is beyond its left or top edge."""
        text = _text(came)
        sign, amount = (-1, text[1:].strip()) if text[:1] in ("-", "−") else (1, text)
        return sign * self._cm(amount, path, FARTHEST_CM)

    def _cm(self, text: str, path: Path, most: float) -> float:
        try:
            if not text:
                raise ValueError("it is needed, as “24 cm”")
            length = Length.read(text, bare_unit=self.unit)
            if length.has_spread or length.cm > most:
                raise ValueError(f"{quoted(text)}: one length of at most {most:g} cm is accepted")
        except (QuantityError, ValueError) as error:
            self.problems.setdefault(path, _shortened(error))
            return 0.0
        return length.cm

    def _given_cm(self, table: Mapping[str, Any], path: Path, most: float) -> float | None:
        text = _text(table.get(str(path[-1])))
        return self._cm(text, path, most) if text else None

    def _side(self, row: Mapping[str, Any], path: Path) -> Side:
        try:
            words = read_edge_words(_text(row.get("side")))
        except ValueError as error:
            self.problems.setdefault((*path, "side"), _shortened(error))
            words = EdgeWords()
        return Side(self._handles(row.get("curve"), path), words, self._notches(_text(row.get("notches")), path))

    def _handles(self, came: Any, path: Path) -> tuple[Point, Point] | None:
        if not came:
            return None
        if not isinstance(came, list) or len(came) != 4:
            self.problems[(*path, "curve")] = "four lengths are needed: both handles, each across and down"
            return None
        a, b, c, d = (self._place(one, (*path, "curve", i)) for i, one in enumerate(came))
        return (a, b), (c, d)

    def _notches(self, text: str, path: Path) -> tuple[Notch, ...]:
        parts = [part.strip() for part in text.split(";") if part.strip()]
        if (*path, "notches") in self.problems:
            return ()
        if len(parts) > MOST_NOTCHES:
            self.problems[(*path, "notches")] = f"{len(parts)} notches came; a side has at most {MOST_NOTCHES}"
            return ()
        found = (_NOTCH.fullmatch(part) for part in parts)
        return tuple(self._notch(one, part, (*path, "notches")) for one, part in zip(found, parts, strict=True))

    def _notch(self, found: re.Match[str] | None, part: str, path: Path) -> Notch:
        if found is None:
            self.problems[path] = (
                f"{quoted(part)} is no notch; write how far along the side it is, as “10 cm”, or “10 cm a” to name its match point"
            )
            return Notch(0.0)
        return Notch(self._cm(found[1], path, FARTHEST_CM), found[2] and found[2].strip())

    # --- lengths -------------------------------------------------------------------------------------------------

    def _stretched(self, piece: HandPiece, rows: list[Mapping[str, Any]]) -> HandPiece:
        for number, row in enumerate(rows):
            path: Path = ("corner", number, "length")
            wanted = self._given_cm(row, path, FARTHEST_CM)
            if wanted:
                piece = self._with_length(piece, number, wanted, path)
            elif wanted is not None and path not in self.problems:
                self.problems[path] = "a side is longer than nothing"
        for number, side in enumerate(piece.sides):
            far = [one.along_cm for one in side.notches if one.along_cm > piece.length_cm(number) + 0.05]
            if far:
                self.problems["corner", number, "notches"] = (
                    f"a notch at {far[0]:g} cm lies beyond the end of the side, which is {piece.length_cm(number):.1f} cm long"
                )
        self._refuse_if_any()
        return piece

    def _with_length(self, piece: HandPiece, side: int, wanted: float, path: Path) -> HandPiece:
        try:
            return with_length(piece, side, wanted)
        except ValueError as error:
            self.problems[path] = str(error)
            return piece


#: A length, and behind it the name of a match point: the last word, where it is not a unit or a part of the length.
_NOTCH: Final = re.compile(
    r"(.*?\d\s*(?:cm|mm|m|in|inch|inches|ft|yd|\"|”|″)?)(?:\s+(?:match\s+)?([^\W\d].{0,40}))?", re.IGNORECASE
)


def _text(came: Any) -> str:
    """What came, as text; a table or a list is no text and is told as what it is."""
    if isinstance(came, bool):
        return "true" if came else "false"
    return "" if came is None else " ".join(str(came)[: 2 * LONGEST_TEXT].split())


def _shortened(error: Exception) -> str:
    return str(error)[:300]


# --- out ---------------------------------------------------------------------------------------------------------


def hand_table(piece: HandPiece, *, unit: str = "cm") -> dict[str, Any]:
    """The table of a piece, as `read_hand_piece` takes it, every length in one unit: cm or in."""
    given = {
        "name": piece.name,
        "cut": str(piece.cut),
        "pair": "true" if piece.pair else "",
        "one_way": "true" if piece.one_way else "",
        "grain": "" if piece.grain_deg is None else _direction(piece.grain_deg),
        "line": "stitch" if piece.stitch else "cut",
        "allowance": "" if piece.allowance_cm is None else in_unit(piece.allowance_cm, unit),
        "material": "" if piece.material == MAIN_CLOTH else piece.material,
        "size": piece.size or "",
        "version": piece.version or "",
    }
    rows = [_row(piece, corner, unit) for corner in range(len(piece.corners))]
    return {key: value for key, value in given.items() if value} | {"corner": rows}


def _direction(degrees: float) -> str:
    return {0.0: "x", 90.0: "y"}.get(degrees, f"{degrees:g}")


def _row(piece: HandPiece, number: int, unit: str) -> dict[str, Any]:
    across, down = piece.corners[number]
    row: dict[str, Any] = {"across": in_unit(across, unit), "down": in_unit(down, unit)}
    side = piece.sides[number]
    if side.handles is not None:
        row["curve"] = [in_unit(cm, unit) for handle in side.handles for cm in handle]
    if str(side.words):
        row["side"] = str(side.words)
    if side.notches:
        row["notches"] = "; ".join(" ".join(filter(None, (in_unit(n.along_cm, unit), n.match))) for n in side.notches)
    return row


def in_unit(cm: float, unit: str = "cm") -> str:
    """A length as text, to a hundredth of a millimetre or a thousandth of an inch."""
    amount = cm / (CM_PER_INCH if unit == "in" else 1.0)
    text = f"{amount:.3f}".rstrip("0").rstrip(".")
    return f"{'0' if text in ('-0', '') else text} {unit}"


def told(problems: tuple[tuple[Path, str], ...]) -> tuple[str, ...]:
    """Problems as sentences that say where they are: corner 3, across: ….."""
    return tuple(f"{_where(path)}: {sentence}" for path, sentence in problems)


def _where(path: Path) -> str:
    steps = (str(step + 1) if isinstance(step, int) else f", {step.replace('_', ' ')} " for step in path)
    return re.sub(r"\s+(,|$)", r"\1", "".join(steps).lstrip(", "))


def names_of(pieces: tuple[HandPiece, ...]) -> str:
    """The names of pieces, with commas."""
    return listed(tuple(piece.name for piece in pieces))
