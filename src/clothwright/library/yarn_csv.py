"""Yarn on hand as a table: CSV in and out, one row for each yarn.

A row becomes the same tree as a `[[yarn]]` of the project file, every cell kept as typed. A row that cannot be a yarn is
left out and told of, with its line, its column, what came and what is accepted; the other rows are kept.

In the column `balls` a semicolon stands between balls. A ball is words and quantities: `104 g`, `gross 118 g core 6 g`,
`length 85 m`, and where it was weighed by itself `net 96 g weighed 10 m = 3.1 g`. In `weighings` it is `10 m = 3.1 g`.
The cores and winders that balls are told by stand in columns of their own, and each yarn keeps those it came with. A name
that holds one of those words, a semicolon or an equals sign stands in quotation marks: `core “gross; tall”`.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
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
    "wash_test": "a test skein before and after: 100 m became 82 m; or by weight, 3.1 g became 3.6 g of 10 m",
    "heddle_trial": "tried in a heddle: heddle 30/10 cm; hole rubs; slot passes freely; strokes 50; rub fuzzes; overnight holds; knot passes",
    "cores": "cores its balls are on: tall cone = 18 g; card = 12 g",
    "winders": "what it was wound on: niddy-noddy nominal 1.5 m turns 10 measured 14.8 m; mill nominal 2 m",
}
_AS_TEXT: Final = ("name", "fibre", "made", "use", "colour", "wraps", "wraps_taken", "state", "grist", "scale_step")
_YES, _NO = ("yes", "true"), ("no", "false")
_BALL_WORD: Final = re.compile(r"\b(gross|core|net|length|grist|weighed)\b", re.IGNORECASE)
_WINDER_WORD: Final = re.compile(r"\b(nominal|turns|measured)\b", re.IGNORECASE)
#: The words of a trial in a heddle, and the fields they stand for.
_TRIAL_WORDS: Final = {
    "heddle": "heddle",
    "hole": "hole",
    "slot": "slot",
    "strokes": "rub_strokes",
    "rub": "rub",
    "overnight": "tension_overnight",
    "knot": "knot",
}
#: Columns of what goes with a yarn and is kept beside it, and the lists they fill.
_TOOL_COLUMNS: Final = {"core": "cores", "winder": "winders"}
_QUOTED: Final = re.compile("“((?:[^”]|””)*)”")
_NEEDS_QUOTES: Final = re.compile(rf"[;=“”]|became|{_BALL_WORD.pattern}|{_WINDER_WORD.pattern}", re.IGNORECASE)


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
    for column, read in _PARTS.items():
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


def _wash_test(cell: str) -> Tree:
    before, became, after = cell.partition(" became ")
    after, of, length = after.partition(" of ")
    if not became or not before.strip() or not after.strip() or (of and not length.strip()):
        raise ValueError(cell)
    test = {"before": before.strip(), "after": after.strip()}
    return test | ({"of": length.strip()} if of else {})


def _heddle_trial(cell: str) -> Tree:
    trial: Tree = {}
    for text in _split(cell):
        word, _, value = text.partition(" ")
        field = _TRIAL_WORDS.get(word.lower(), "")
        if not field or field in trial or not value.strip():
            raise ValueError(cell)
        trial[field] = _whole(value.strip()) if field == "rub_strokes" else _unquoted(value.strip())
    return trial


def _cores(cell: str) -> list[Tree]:
    cores = []
    for text in _split(cell):
        hidden, names = _hidden(text)
        name, equals, weight = hidden.rpartition("=")
        if not equals or not name.strip():
            raise ValueError(cell)
        cores.append({"name": _restored(name, names), "weight": _restored(weight, names)})
    return cores


def _winders(cell: str) -> list[Tree]:
    winders = []
    for text in _split(cell):
        hidden, names = _hidden(text)
        name, *pairs = _WINDER_WORD.split(hidden)
        told = {word.lower(): _restored(value, names) for word, value in zip(pairs[::2], pairs[1::2], strict=True)}
        if not name.strip(" ,") or len(told) * 2 != len(pairs) or not all(told.values()):
            raise ValueError(cell)
        turns = {"turns": _whole(told["turns"])} if "turns" in told else {}
        winders.append({"name": _restored(name, names)} | told | turns)
    return winders


#: How the cells of words and quantities are read; ValueError where one has not the form of its column.
_PARTS: Final[Mapping[str, Callable[[str], Any]]] = {
    "wash_test": _wash_test,
    "heddle_trial": _heddle_trial,
    "cores": _cores,
    "winders": _winders,
}


def _whole(text: str) -> int | str:
    return int(text) if re.fullmatch(r"\d{1,9}", text) else text


def _hidden(text: str) -> tuple[str, list[str]]:
    """The text with a mark for everything in quotation marks, and what they held."""
    names: list[str] = []

    def hide(found: re.Match[str]) -> str:
        names.append(found[1].replace("””", "”"))
        return f"\0{len(names) - 1}\0"

    return _QUOTED.sub(hide, text), names


def _restored(text: str, names: list[str]) -> str:
    """The text with what was in quotation marks put back, without the marks where it is nothing else."""
    text = text.strip(" ,")
    if whole := re.fullmatch("\0(\\d+)\0", text):
        return names[int(whole[1])]
    return re.sub("\0(\\d+)\0", lambda found: f"“{names[int(found[1])]}”", text)


def _unquoted(text: str) -> str:
    return _restored(*_hidden(text))


def _split(cell: str) -> list[str]:
    """The parts of a cell between semicolons, those in quotation marks not counted."""
    hidden, names = _hidden(cell)
    parts = (re.sub("\0(\\d+)\0", lambda found: _in_quotes(names[int(found[1])]), part) for part in hidden.split(";"))
    return [part.strip() for part in parts if part.strip()]


def _in_quotes(text: str) -> str:
    return f"“{text.replace('”', '””')}”"


def _written(value: object) -> str:
    """A value as it stands in a cell of words and quantities: in quotation marks where it could be mistaken."""
    text = str(value)
    return _in_quotes(text) if _NEEDS_QUOTES.search(text) or text.strip(" ,") != text else text


def _balls(cell: str, wrong: list[tuple[str, str, str]]) -> list[Tree]:
    balls = [_ball(text) for text in _split(cell)]
    if None in balls:
        wrong.append(("balls", cell, "104 g, or gross 118 g core 6 g, or length 85 m; a semicolon between balls"))
    return [ball for ball in balls if ball]


def _put_weighings(tree: Tree, row: Mapping[str, str], wrong: list[tuple[str, str, str]]) -> None:
    if "grist" in row:
        wrong.append(("weighings", row["weighings"], "either grist or weighings, not both"))
        return
    pairs = [_weighing(*_hidden(text)) for text in _split(row["weighings"])]
    if not pairs or None in pairs:
        wrong.append(("weighings", row["weighings"], "a length, = and what it weighs: 10 m = 3.1 g; 10 m = 3.4 g"))
    else:
        tree["grist"] = pairs


def _weighing(text: str, names: list[str]) -> Tree | None:
    length, equals, weight = text.partition("=")
    if not equals or not length.strip():
        return None
    return {"length": _restored(length, names), "weight": _restored(weight, names)}


def _ball(text: str) -> Tree | None:
    """A ball from its words and quantities, a quantity alone being its net weight; None where it has not that form."""
    hidden, names = _hidden(text)
    first, *pairs = _BALL_WORD.split(hidden)
    ball: Tree = {"net": _restored(first, names)} if first.strip(" ,") else {}
    for word, value in zip(pairs[::2], (part.strip(" ,") for part in pairs[1::2]), strict=True):
        weighed = word.lower() == "weighed"
        key, kept = ("grist", _weighing(value, names)) if weighed else (word.lower(), _restored(value, names))
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
    value = tree.get(_KEYS.get(column, column))
    if column in _WRITERS:
        return _WRITERS[column](value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else str(value)


#: The keys of columns that are not called as the document calls them.
_KEYS: Final = {"weighings": "grist", "cores": "core", "winders": "winder"}


def _grist_cell(value: object) -> str:
    if isinstance(value, list) or value is None:
        return ""
    return _weighed(value) if isinstance(value, dict) else str(value)


def _weighings_cell(value: object) -> str:
    return "; ".join(_weighed(one) for one in value if one) if isinstance(value, list) else ""


def _balls_cell(value: object) -> str:
    return "; ".join(filter(None, map(_ball_cell, value))) if isinstance(value, list) else str(value or "")


def _weighed(one: object) -> str:
    if not isinstance(one, dict):
        return str(one)
    return f"{_written(one.get('length', ''))} = {_written(one.get('weight', ''))}"


def _ball_cell(ball: object) -> str:
    if not isinstance(ball, dict):
        return str(ball)
    if list(ball) == ["net"]:
        return _written(ball["net"])
    return " ".join(
        f"weighed {_weighed(value)}" if isinstance(value, dict) else f"{key} {_written(value)}"
        for key, value in ball.items()
        if value
    )


def _wash_test_cell(value: object) -> str:
    if not isinstance(value, dict):
        return str(value or "")
    became = f"{value.get('before', '')} became {value.get('after', '')}"
    of = value.get("of")
    return f"{became} of {of}" if of else became if any(value.values()) else ""


def _heddle_trial_cell(value: object) -> str:
    if not isinstance(value, dict):
        return str(value or "")
    words = {field: word for word, field in _TRIAL_WORDS.items()}
    return "; ".join(f"{words.get(field, field)} {_written(seen)}" for field, seen in value.items() if seen)


def _cores_cell(value: object) -> str:
    return _tools_cell(value, lambda one: f"{_written(one.get('name', ''))} = {_written(one.get('weight', ''))}")


def _winders_cell(value: object) -> str:
    def written(one: Tree) -> str:
        told = (f"{word} {_written(one[word])}" for word in one if word != "name" and one[word])
        return " ".join((_written(one.get("name", "")), *told))

    return _tools_cell(value, written)


def _tools_cell(value: object, written: Callable[[Tree], str]) -> str:
    if not isinstance(value, list):
        return str(value or "")
    return "; ".join(written(one) for one in value if isinstance(one, dict) and any(one.values()))


#: How what is more than one quantity is written in its cell.
_WRITERS: Final[Mapping[str, Callable[[object], str]]] = {
    "grist": _grist_cell,
    "weighings": _weighings_cell,
    "balls": _balls_cell,
    "wash_test": _wash_test_cell,
    "heddle_trial": _heddle_trial_cell,
    "cores": _cores_cell,
    "winders": _winders_cell,
}


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
