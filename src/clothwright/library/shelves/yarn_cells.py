"""Cells of a table of yarns that hold more than one quantity: how they are read, and written so that they read back.

A cell is words and quantities, a semicolon between things of a kind: balls `gross 118 g core tall cone; 96 g`, weighings
`10 m = 3.1 g`, a washing test `100 m became 82 m`, a trial in a heddle `hole rubs; knot passes`, cores `tall cone = 18 g`,
winders `niddy-noddy nominal 1.5 m turns 10 measured 14.8 m`. A name that holds one of those words, a semicolon or an equals
sign stands in quotation marks, `core “gross; tall”`; a mark in it is doubled.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, Final

Tree = dict[str, Any]

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
_QUOTED: Final = re.compile("“((?:[^”]|””)*)”")
_NEEDS_QUOTES: Final = re.compile(rf"[;=“”]|became|{_BALL_WORD.pattern}|{_WINDER_WORD.pattern}", re.IGNORECASE)


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
READERS: Final[Mapping[str, Callable[[str], Any]]] = {
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


def read_balls(cell: str) -> list[Tree | None]:
    """Every ball of a cell, None for one that has not the form of a ball."""
    return [_ball(text) for text in _split(cell)]


def read_weighings(cell: str) -> list[Tree | None]:
    """Every weighing of a cell, None for what is not a length, an equals sign and a weight."""
    return [_weighing(*_hidden(text)) for text in _split(cell)]


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
WRITERS: Final[Mapping[str, Callable[[object], str]]] = {
    "grist": _grist_cell,
    "weighings": _weighings_cell,
    "balls": _balls_cell,
    "wash_test": _wash_test_cell,
    "heddle_trial": _heddle_trial_cell,
    "cores": _cores_cell,
    "winders": _winders_cell,
}
