"""Yarn on hand as a table: CSV in and out, one row for each yarn.

A row becomes the same tree as a `[[yarn]]` of the project file, every cell kept as typed. A row that cannot be a yarn is
left out and told of, with its line, its column, what came and what is accepted; the other rows are kept.

In the column `balls` a semicolon stands between balls. A ball is words and quantities: `104 g`, `gross 118 g core 6 g`,
`length 85 m`, and where it was weighed by itself `net 96 g weighed 10 m = 3.1 g`. In `weighings` it is `10 m = 3.1 g`.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from clothwright.project import Problem, ProblemsFound, read_project

Tree = dict[str, Any]

LARGEST_TABLE: Final = 2_000_000
MOST_ROWS: Final = 5_000

#: Every column, and what stands in it.
COLUMNS: Final = {
    "name": "what you call it; the only one that is needed",
    "fibre": "wool, cotton, linen, …",
    "made": "handspun or mill",
    "plies": "a whole number",
    "use": "warp, weft, or warp and weft",
    "replaceable": "yes or no: whether more of it can be had",
    "colour": "a word, or #rrggbb to have it drawn",
    "wraps": "15/in or 6/cm",
    "wraps_taken": "how they were counted: over 5 cm, just touching",
    "state": "washed or unwashed, when it was measured",
    "grist": "length per weight: 310 m/100 g, 1700 yd/lb, 8/2 cotton",
    "weighings": "instead of grist, lengths that were weighed: 10 m = 3.1 g; 10 m = 3.4 g",
    "balls": "each ball, a semicolon between: 104 g; gross 118 g core 6 g; length 85 m",
    "scale_step": "the step the scale shows: 1 g",
}
_AS_TEXT: Final = ("name", "fibre", "made", "use", "colour", "wraps", "wraps_taken", "state", "grist", "scale_step")
_YES, _NO = ("yes", "true"), ("no", "false")
_BALL_WORD: Final = re.compile(r"\b(gross|core|net|length|grist|weighed)\b", re.IGNORECASE)


@dataclass(frozen=True)
class BadCell:
    """What is wrong with a row: its line in the file, the column, what came, and what is accepted."""

    line: int
    column: str
    came: str
    accepted: str


@dataclass(frozen=True)
class YarnTable:
    """The yarns of a table, each with its line, and what was left out."""

    yarns: tuple[tuple[int, Tree], ...]
    bad: tuple[BadCell, ...]

    @property
    def bad_rows(self) -> int:
        """How many rows were left out."""
        return len({one.line for one in self.bad})


def read_yarn_table(content: bytes) -> YarnTable:
    """The yarns of a CSV file with a head; ProblemsFound where it is no such table at all."""
    text = _text(content)
    rows = _rows(text)
    line, head = next(rows, (1, []))
    names = [cell.strip().lower().replace(" ", "_") for cell in head]
    _check_head(names, line)
    yarns: list[tuple[int, Tree]] = []
    bad: list[BadCell] = []
    for count, (line, cells) in enumerate(rows):
        if count >= MOST_ROWS:
            raise _no_table(f"it has more than {MOST_ROWS} rows; bring it in as several files")
        try:
            yarns.append((line, _yarn(names, cells)))
        except _BadRow as row:
            bad += (BadCell(line, *cell) for cell in row.cells)
    return YarnTable(tuple(yarns), tuple(bad))


class _BadRow(Exception):
    def __init__(self, *cells: tuple[str, str, str]) -> None:
        self.cells = cells
        super().__init__(cells)


def _no_table(sentence: str) -> ProblemsFound:
    return ProblemsFound(Problem((), sentence))


def _text(content: bytes) -> str:
    if len(content) > LARGEST_TABLE:
        raise _no_table(f"it is larger than {LARGEST_TABLE // 1_000_000} MB, the most this program reads")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise _no_table("it is not text in UTF-8; save it as “CSV UTF-8”") from None


def _rows(text: str) -> Iterator[tuple[int, list[str]]]:
    """Each row that holds anything, with the line it begins on; commas, semicolons or tabs, as the head has them."""
    head = text.lstrip("\r\n").splitlines()[0] if text.strip() else ""
    between = max((",", ";", "\t"), key=head.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=between, strict=True)
    begins = 1
    try:
        for row in reader:
            if any(cell.strip() for cell in row):
                yield begins, row
            begins = reader.line_num + 1
    except csv.Error as error:
        raise _no_table(f"line {begins} is no row of a table: {error}") from None


def _check_head(names: list[str], line: int) -> None:
    known = ", ".join(COLUMNS)
    if "name" not in names:
        came = ", ".join(filter(None, names)) or "nothing"
        raise _no_table(f"line {line} must name the columns, with name among them; {came} came; columns are {known}")
    odd = [name or "a column without a name" for name in names if name not in COLUMNS]
    twice = sorted({name for name in names if name and names.count(name) > 1})
    if odd:
        raise _no_table(f"line {line}: {', '.join(odd)} came, which is no column here; columns are {known}")
    if twice:
        raise _no_table(f"line {line}: {', '.join(twice)} came twice")


def _yarn(names: list[str], cells: list[str]) -> Tree:
    if any(cell.strip() for cell in cells[len(names) :]):
        came = "; ".join(cell for cell in cells[len(names) :] if cell.strip())
        raise _BadRow(("after the last", came, f"{len(names)} cells; put a cell that holds the separator in quotes"))
    row = {name: cell.replace("\0", "").strip() for name, cell in zip(names, cells, strict=False) if cell.strip()}
    tree, wrong = _tree(row)
    try:
        read_project({"yarn": [tree]})
    except ProblemsFound as found:
        wrong += _told(found, row, {column for column, _, _ in wrong})
    if wrong:
        raise _BadRow(*wrong)
    return tree


def _told(found: ProblemsFound, row: Mapping[str, str], told: set[str]) -> list[tuple[str, str, str]]:
    """Problems of the document as cells of the row; each column is told of once."""
    cells: dict[str, tuple[str, str, str]] = {}
    for problem in found.problems:
        field = str(problem.path[2]) if len(problem.path) > 2 else "name"
        column = "weighings" if field == "grist" and "weighings" in row else field
        if column not in told:
            cells.setdefault(column, (column, row.get(column, "nothing"), _accepted(problem.sentence)))
    return list(cells.values())


def _accepted(sentence: str) -> str:
    """The sentence without what came, which stands beside it."""
    return re.sub(r"^“[^”]*”(?: came;|:) ", "", sentence)


def _tree(row: Mapping[str, str]) -> tuple[Tree, list[tuple[str, str, str]]]:
    """The tree of a row, in the shape the pages show, and cells that have not the form of their column."""
    tree: Tree = {name: row[name] for name in _AS_TEXT if name in row}
    wrong: list[tuple[str, str, str]] = []
    if "plies" in row:
        tree["plies"] = int(row["plies"]) if re.fullmatch(r"\d{1,9}", row["plies"]) else row["plies"]
    if word := row.get("replaceable", "").lower():
        tree["replaceable"] = word in _YES
        if word not in (*_YES, *_NO):
            wrong.append(("replaceable", row["replaceable"], "yes or no"))
    if "weighings" in row:
        _put_weighings(tree, row, wrong)
    if "balls" in row:
        tree["balls"] = _balls(row["balls"], wrong)
    return tree, wrong


def _balls(cell: str, wrong: list[tuple[str, str, str]]) -> list[Tree]:
    balls = [_ball(text.strip()) for text in cell.split(";") if text.strip()]
    if None in balls:
        wrong.append(("balls", cell, "104 g, or gross 118 g core 6 g, or length 85 m; a semicolon between balls"))
    return [ball for ball in balls if ball]


def _put_weighings(tree: Tree, row: Mapping[str, str], wrong: list[tuple[str, str, str]]) -> None:
    if "grist" in row:
        wrong.append(("weighings", row["weighings"], "either grist or weighings, not both"))
        return
    pairs = [_weighing(text) for text in row["weighings"].split(";") if text.strip()]
    if not pairs or None in pairs:
        wrong.append(("weighings", row["weighings"], "a length, = and what it weighs: 10 m = 3.1 g; 10 m = 3.4 g"))
    else:
        tree["grist"] = pairs


def _weighing(text: str) -> Tree | None:
    length, equals, weight = text.partition("=")
    return {"length": length.strip(), "weight": weight.strip()} if equals and length.strip() else None


def _ball(text: str) -> Tree | None:
    """A ball from its words and quantities, a quantity alone being its net weight; None where it has not that form."""
    first, *pairs = _BALL_WORD.split(text)
    ball: Tree = {"net": first.strip(" ,")} if first.strip(" ,") else {}
    for word, value in zip(pairs[::2], (part.strip(" ,") for part in pairs[1::2]), strict=True):
        key, kept = ("grist", _weighing(value)) if word.lower() == "weighed" else (word.lower(), value)
        if key in ball or not kept:
            return None
        ball[key] = kept
    return ball


def yarn_table(trees: Iterable[Tree]) -> str:
    """Yarns as a table that reads back as the same yarns."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for tree in trees:
        writer.writerow([_cell(tree, column) for column in COLUMNS])
    return out.getvalue()


def _cell(tree: Tree, column: str) -> str:
    value = tree.get("grist" if column == "weighings" else column)
    if column == "weighings":
        return "; ".join(_weighed(one) for one in value if one) if isinstance(value, list) else ""
    if column == "grist":
        return (
            _weighed(value)
            if isinstance(value, dict)
            else ""
            if isinstance(value, list) or value is None
            else str(value)
        )
    if column == "balls":
        return "; ".join(filter(None, map(_ball_cell, value))) if isinstance(value, list) else str(value or "")
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else str(value)


def _weighed(one: object) -> str:
    return f"{one.get('length', '')} = {one.get('weight', '')}" if isinstance(one, dict) else str(one)


def _ball_cell(ball: object) -> str:
    if not isinstance(ball, dict):
        return str(ball)
    if list(ball) == ["net"]:
        return str(ball["net"])
    return " ".join(
        f"weighed {_weighed(value)}" if isinstance(value, dict) else f"{key} {value}"
        for key, value in ball.items()
        if value
    )


#: A filled example: the yarns of a weaver on a tidal island.
EXAMPLE: Final[tuple[Tree, ...]] = (
    {
        "name": "slate tide",
        "fibre": "wool",
        "made": "handspun",
        "plies": 2,
        "use": "warp and weft",
        "replaceable": False,
        "colour": "#5b7083",
        "wraps": "15/in",
        "wraps_taken": "over 5 cm, just touching",
        "state": "washed",
        "grist": [{"length": "10 m", "weight": "3.1 g"}, {"length": "10 m", "weight": "3.4 g"}],
        "balls": [{"gross": "118 g", "core": "6 g"}, {"net": "104 g"}, {"net": "96 g"}],
        "scale_step": "1 g",
    },
    {
        "name": "causeway cotton",
        "fibre": "cotton",
        "made": "mill",
        "plies": 2,
        "use": "warp",
        "replaceable": True,
        "colour": "unbleached",
        "grist": "8/2 cotton",
        "balls": [{"gross": "486 g"}],
    },
    {
        "name": "thrift pink ends",
        "fibre": "wool",
        "made": "mill",
        "use": "weft",
        "replaceable": False,
        "colour": "#a8665a",
        "grist": "1700 yd/lb",
        "balls": [{"length": "85 m"}, {"net": "1½ oz"}],
    },
)
