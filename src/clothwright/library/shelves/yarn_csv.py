"""Yarn on hand as a table: CSV in and out, one row for each yarn.

A row becomes the same tree as a `[[yarn]]` of the project file, every cell kept as typed. A row that cannot be a yarn is
left out and told of, with its line, its column, what came and what is accepted; the other rows are kept.

What stands in a cell of more than one quantity is told in `yarn_cells.py`. The cores and winders that balls are told by
stand in columns of their own, and each yarn keeps those it came with.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from clothwright.library.shelves.yarn_cells import READERS, WRITERS, read_balls, read_weighings
from clothwright.measure import as_text_cell, of_text_cell
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
    "wash_test": "a test skein before and after: 100 m became 82 m; or by weight, 3.1 g became 3.6 g of 10 m",
    "heddle_trial": "tried in a heddle: heddle 30/10 cm; hole rubs; slot passes freely; strokes 50; rub fuzzes; overnight holds; knot passes",
    "cores": "cores its balls are on: tall cone = 18 g; card = 12 g",
    "winders": "what it was wound on: niddy-noddy nominal 1.5 m turns 10 measured 14.8 m; mill nominal 2 m",
}
_AS_TEXT: Final = ("name", "fibre", "made", "use", "colour", "wraps", "wraps_taken", "state", "grist", "scale_step")
_YES, _NO = ("yes", "true"), ("no", "false")
#: Columns of what goes with a yarn and is kept beside it, and the lists they fill.
_TOOL_COLUMNS: Final = {"core": "cores", "winder": "winders"}


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
    told = ((name, of_text_cell(cell.replace("\0", "").strip())) for name, cell in zip(names, cells, strict=False))
    row = {name: cell.strip() for name, cell in told if cell.strip()}
    tree, wrong = _tree(row)
    try:
        read_project(kept_tree(tree))
    except ProblemsFound as found:
        wrong += _told(found, row, {column for column, _, _ in wrong})
    if wrong:
        raise _BadRow(*wrong)
    return tree


def _told(found: ProblemsFound, row: Mapping[str, str], told: set[str]) -> list[tuple[str, str, str]]:
    """Problems of the document as cells of the row; each column is told of once."""
    cells: dict[str, tuple[str, str, str]] = {}
    for problem in found.problems:
        column = _column(problem, row)
        if column not in told:
            cells.setdefault(column, (column, row.get(column, "nothing"), _accepted(problem.sentence)))
    return list(cells.values())


def _column(problem: Problem, row: Mapping[str, str]) -> str:
    """The column that a problem of the document stands in."""
    kind = str(problem.path[0]) if problem.path else ""
    if kind in _TOOL_COLUMNS:
        return _TOOL_COLUMNS[kind]
    field = str(problem.path[2]) if len(problem.path) > 2 else "name"
    return "weighings" if field == "grist" and "weighings" in row else field


def kept_tree(row: Tree) -> Tree:
    """The tree to keep of a row: its yarn, and the cores and winders that go with it."""
    tools = {kind: row[kind] for kind in _TOOL_COLUMNS if kind in row}
    return tools | {"yarn": [{key: value for key, value in row.items() if key not in tools}]}


def row_of(tree: Tree) -> Tree:
    """The row of a tree kept on hand: its yarn, with the cores and winders beside it; what is blank is left out."""
    yarns = tree.get("yarn")
    part = yarns[0] if isinstance(yarns, list) and yarns and isinstance(yarns[0], dict) else {}
    return {**part, **{kind: tree[kind] for kind in _TOOL_COLUMNS if tree.get(kind)}}


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
    for column, read in READERS.items():
        if column in row:
            _put_part(tree, column, row[column], read, wrong)
    return tree, wrong


def _put_part(
    tree: Tree, column: str, cell: str, read: Callable[[str], Any], wrong: list[tuple[str, str, str]]
) -> None:
    """What a cell of words and quantities says, or that it has not that form."""
    try:
        tree[next((kind for kind, named in _TOOL_COLUMNS.items() if named == column), column)] = read(cell)
    except ValueError:
        wrong.append((column, cell, COLUMNS[column]))


def _balls(cell: str, wrong: list[tuple[str, str, str]]) -> list[Tree]:
    balls = read_balls(cell)
    if None in balls:
        wrong.append(("balls", cell, "104 g, or gross 118 g core 6 g, or length 85 m; a semicolon between balls"))
    return [ball for ball in balls if ball]


def _put_weighings(tree: Tree, row: Mapping[str, str], wrong: list[tuple[str, str, str]]) -> None:
    if "grist" in row:
        wrong.append(("weighings", row["weighings"], "either grist or weighings, not both"))
        return
    pairs = read_weighings(row["weighings"])
    if not pairs or None in pairs:
        wrong.append(("weighings", row["weighings"], "a length, = and what it weighs: 10 m = 3.1 g; 10 m = 3.4 g"))
    else:
        tree["grist"] = pairs


def yarn_table(trees: Iterable[Tree]) -> str:
    """Yarns as a table that reads back as the same yarns."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for tree in trees:
        writer.writerow([as_text_cell(_cell(tree, column)) for column in COLUMNS])
    return out.getvalue()


def _cell(tree: Tree, column: str) -> str:
    value = tree.get(_KEYS.get(column, column))
    if column in WRITERS:
        return WRITERS[column](value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else str(value)


#: The keys of columns that are not called as the document calls them.
_KEYS: Final = {"weighings": "grist", "cores": "core", "winders": "winder"}


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
        "balls": [{"gross": "118 g", "core": "6 g"}, {"net": "104 g"}, {"length": "48 turns of the niddy-noddy"}],
        "scale_step": "1 g",
        "wash_test": {"before": "3.1 g", "after": "3.4 g", "of": "10 m"},
        "heddle_trial": {
            "heddle": "30/10 cm",
            "hole": "passes freely",
            "slot": "passes freely",
            "rub_strokes": 50,
            "rub": "unchanged",
            "tension_overnight": "holds",
            "knot": "catches",
        },
        "winder": [{"name": "niddy-noddy", "nominal": "1.5 m", "turns": 10, "measured": "14.8 m"}],
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
        "balls": [{"gross": "486 g", "core": "tall cone"}],
        "core": [{"name": "tall cone", "weight": "25 g"}],
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
