"""What is written on a drawing: marks as attributes, and the same words in a label.

A mark stands in an attribute (`data-cut="2"`), or as words in the label: `back: cut 2, pair, fold left`. The label is the
`title` of a shape or group, or what the drawing program calls its object label. An attribute wins over the object
label, the object label over the title. A label without a colon is a name, unless every word of it is a mark
(`size M`, `grain`). On a layer it is no name: a layer is a folder, and only says which size or version lies in it.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from typing import Any
from xml.etree.ElementTree import Element

from clothwright.measure import Length, QuantityError
from clothwright.pattern.reading.findings import Findings, quoted
from clothwright.pattern.reading.safety import local_name

_INKSCAPE = "{http://www.inkscape.org/namespaces/inkscape}"
LAYER_LABEL = f"{_INKSCAPE}label"
LAYER_MODE = f"{_INKSCAPE}groupmode"
OBJECT_LABELS = (LAYER_LABEL, "data-name")
LONGEST_NAME = 120
LONGEST_LABEL = 1000
MOST_COPIES = 999
LONGEST_STATED_CM = 100.0


@dataclass(frozen=True)
class Marks:
    """The marks of one element; None where it says nothing.

    `grain` is in degrees anticlockwise from the right of the page. `named_surely`: the name is a `data-piece`, or stands
    before a colon, so that it can only mean a piece. `allowance`, `hem`, `ease`, `test` are in cm.
    """

    piece: str | None = None
    cut: int | None = None
    pair: bool | None = None
    fold: str | None = None
    grain: float | None = None
    line: str | None = None
    size: str | None = None
    version: str | None = None
    material: str | None = None
    one_way: bool | None = None
    allowance: float | None = None
    seam: str | None = None
    hem: float | None = None
    ease: float | None = None
    selvedge: bool | None = None
    match: str | None = None
    test: float | None = None
    named_surely: bool = False

    @property
    def is_edge(self) -> bool:
        """Whether these marks say something of an edge, rather than of a whole piece."""
        return self.line == "edge" or any(mark is not None for mark in (self.seam, self.hem, self.ease, self.selvedge))

    def over(self, outer: Marks) -> Marks:
        """These marks, and the outer ones where these say nothing."""
        stated = {f.name: getattr(self, f.name) for f in fields(self) if getattr(self, f.name) is not None}
        return replace(outer, **stated)


# --- values ------------------------------------------------------------------------------------------------------


def _name(text: str) -> str:
    name = " ".join(text.split())
    if not name or len(name) > LONGEST_NAME or not name.isprintable():
        raise ValueError
    return name


def _count(text: str) -> int:
    if not re.fullmatch(r"[0-9]{1,3}", text) or not 1 <= int(text) <= MOST_COPIES:
        raise ValueError
    return int(text)


def _yes_or_no(text: str) -> bool:
    return {"true": True, "yes": True, "false": False, "no": False}[text.lower()]


def _one_of(*words: str) -> Callable[[str], str]:
    return lambda text: {word: word for word in words}[text.lower()]


def _angle(text: str) -> float:
    named = {"x": 0.0, "y": 90.0}.get(text.lower())
    if named is not None:
        return named
    match = re.fullmatch(r"([+-]?[0-9]{1,3}(?:\.[0-9]{1,9})?)\s*(?:°|deg|degrees?)?", text, re.IGNORECASE)
    if match is None:
        raise ValueError
    return float(match[1]) % 360


def _length(text: str) -> float:
    try:
        length = Length.read(text)
    except QuantityError:
        raise ValueError from None
    if not 0 <= length.cm <= LONGEST_STATED_CM or length.has_spread:
        raise ValueError
    return length.cm


@dataclass(frozen=True)
class _Mark:
    """How a mark's value is read, and the sentence that says what is accepted."""

    read: Callable[[str], object]
    accepted: str


_NAMED = f"a name of 1 to {LONGEST_NAME} letters"
_TRUTH = "“true” or “false”"
_LENGTH = f"a length with its unit, as 15 mm, from 0 to {LONGEST_STATED_CM:g} cm"
LINES = ("cut", "stitch", "grain", "fold", "join", "notch", "edge", "inside")

MARKS: dict[str, _Mark] = {
    "piece": _Mark(_name, _NAMED),
    "cut": _Mark(_count, f"a whole number from 1 to {MOST_COPIES}"),
    "pair": _Mark(_yes_or_no, _TRUTH),
    "fold": _Mark(_one_of("left", "right", "top", "bottom"), "“left”, “right”, “top” or “bottom”"),
    "grain": _Mark(_angle, "“y” (up the page), “x”, or degrees anticlockwise from x"),
    "line": _Mark(_one_of(*LINES), f"{', '.join(f'“{word}”' for word in LINES[:-1])} or “{LINES[-1]}”"),
    "size": _Mark(_name, _NAMED),
    "version": _Mark(_name, _NAMED),
    "material": _Mark(_name, _NAMED),
    "one-way": _Mark(_yes_or_no, _TRUTH),
    "allowance": _Mark(_length, _LENGTH),
    "seam": _Mark(_name, _NAMED),
    "hem": _Mark(_length, _LENGTH),
    "ease": _Mark(_length, _LENGTH),
    "selvedge": _Mark(_yes_or_no, _TRUTH),
    "match": _Mark(_name, _NAMED),
    "test": _Mark(_length, _LENGTH),
}

_WHOLE_WORDS: dict[str, tuple[str, str]] = {
    "pair": ("pair", "true"),
    "one way": ("one-way", "true"),
    "one-way": ("one-way", "true"),
    **dict.fromkeys(("selvedge", "selvage", "on selvedge", "on selvage"), ("selvedge", "true")),
    **{word: ("line", word) for word in LINES},
    **{f"{word} line": ("line", word) for word in ("cut", "stitch", "grain", "fold", "join")},
}
_WORDS_WITH_VALUE = (
    "cut", "fold", "grain", "material", "size", "version", "allowance", "seam", "hem", "ease", "match", "test",
)  # fmt: skip


def _read(mark: str, text: str) -> object:
    """The mark's value; ValueError if the text is none."""
    try:
        return MARKS[mark].read(text.strip())
    except KeyError:
        raise ValueError from None


def read_mark(mark: str, text: str) -> object:
    """A mark's value, as written on a drawing or beside it; ValueError with what is accepted if it is none."""
    try:
        return _read(mark, text)
    except ValueError:
        raise ValueError(f"“{text}”: accepted is {MARKS[mark].accepted}") from None


# --- labels ------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Label:
    """A label taken apart: a name (None if it has none), the marks it states, and what was not understood."""

    name: str | None
    surely: bool
    words: tuple[tuple[str, str], ...]
    unknown: tuple[str, ...] = ()
    doubtful: tuple[str, ...] = ()


def read_label(text: str) -> Label:
    """Take a label apart.

    `doubtful` are parts of a name without a colon that look like marks.
    """
    text = re.sub(r"^\s*(size|version)\s*:\s*", r"\1 ", text, flags=re.IGNORECASE)
    name, colon, rest = text.partition(":")
    parts = [part.strip() for part in re.split(r"[,;]", rest if colon else text) if part.strip()]
    pairs = [(part, word_mark(part)) for part in parts]
    words = tuple(pair for _, pair in pairs if pair is not None)
    if colon:
        return Label(name.strip() or None, bool(name.strip()), words, tuple(p for p, pair in pairs if pair is None))
    if parts and all(_is_readable(pair) for _, pair in pairs):
        return Label(None, False, words)
    doubtful = tuple(part for part, pair in pairs if pair is not None)
    return Label(text.strip() or None, False, (), doubtful=doubtful)


def word_mark(part: str) -> tuple[str, str] | None:
    """The mark and its value that a word of a label states; None for a word that is no mark."""
    words = part.split()
    whole = _WHOLE_WORDS.get(" ".join(words).lower())
    if whole is not None:
        return whole
    if [word.lower() for word in words[:2]] in (["test", "square"], ["test", "line"]):
        return "test", " ".join(words[2:])
    if words and words[0].lower() in _WORDS_WITH_VALUE:
        return words[0].lower(), " ".join(words[1:])
    return None


def _is_readable(pair: tuple[str, str] | None) -> bool:
    if pair is None:
        return False
    try:
        _read(*pair)
    except ValueError:
        return False
    return True


# --- one element -------------------------------------------------------------------------------------------------


class MarkReader:
    """Reads the marks of one element, and reports each that is not understood."""

    def __init__(self, element: Element, findings: Findings) -> None:
        self._element = element
        self._findings = findings
        self._found: dict[str, Any] = {}
        self._surely = False
        self.where = _where(element)

    def read(self) -> Marks:
        """The element's own marks: from its attributes, then its object label, then its title."""
        self._attributes()
        for label in labels(self._element):
            self._label(label)
        values = {mark.replace("-", "_"): value for mark, value in self._found.items()}
        return replace(Marks(named_surely=self._surely), **values)

    def _attributes(self) -> None:
        for key, text in self._element.attrib.items():
            mark = key.removeprefix("data-")
            if mark == key or key in OBJECT_LABELS:
                continue
            if mark in MARKS:
                self._take(mark, text, f'{key}="{text[:40]}"')
            else:
                self._findings.leave_out("Not known as marks, so not used", quoted(key))
        self._surely = "piece" in self._found

    def _label(self, text: str) -> None:
        if len(text) > LONGEST_LABEL:
            self._findings.problem(f"{self.where}: its label is longer than {LONGEST_LABEL} letters; shorten it.")
            return
        label = read_label(text)
        for mark, value in label.words:
            self._take(mark, value, f"“{mark} {value[:40]}” in its label")
        for word in label.unknown:
            self._findings.note(f"{self.where}: {quoted(word)} in its label is not understood and is not used.")
        if is_layer(self._element) and not label.surely:
            self._folder(label)
        elif label.name is not None:
            self._name(label)

    def _folder(self, label: Label) -> None:
        if label.name is not None:
            self._findings.leave_out(
                "Layers taken as folders only (write “size M” or “version short” if they are that)",
                quoted(label.name),
            )

    def _name(self, label: Label) -> None:
        assert label.name is not None
        self._take("piece", label.name, f"the name {quoted(label.name)} in its label")
        self._surely = self._surely or label.surely
        for part in label.doubtful:
            self._doubt(label.name, part)

    def _doubt(self, name: str, part: str) -> None:
        meant = f"write the name, a colon and the words, as “back: {part}”"
        pair = word_mark(part)
        if _is_readable(pair):
            self._findings.problem(
                f"{self.where}: is {quoted(part)} a mark or part of the name {quoted(name)}? If a mark, {meant}."
            )
        else:
            self._findings.note(f"{self.where}: {quoted(name)} is taken as a name; if it holds a mark, {meant}.")

    def _take(self, mark: str, text: str, came: str) -> None:
        try:
            value = _read(mark, text)
        except ValueError:
            self._findings.problem(f"{self.where}: {came} is not understood; accepted is {MARKS[mark].accepted}.")
            return
        kept = self._found.setdefault(mark, value)
        if kept != value:
            self._findings.note(f"{self.where} says its {mark} twice; “{kept}” is used, not {came}.")


def labels(element: Element) -> list[str]:
    """The element's labels, the one that counts most first; the drawing's own title is none."""
    found = [element.get(key, "") for key in OBJECT_LABELS]
    if local_name(element) != "svg":
        found += [child.text or "" for child in element if local_name(child) == "title"]
    return [text for text in found if text.strip()]


def is_layer(element: Element) -> bool:
    """Whether a drawing program uses this group as a layer.

    Some programs do not tell a layer from a group, and write both their names as `data-name`: taken as layers.
    """
    unsure = local_name(element) == "g" and "data-name" in element.attrib
    return unsure or element.get(LAYER_MODE) == "layer"


def _where(element: Element) -> str:
    """What to call the element in a sentence: its name, its label, its id, or what it is."""
    for text in (element.get("data-piece", ""), *labels(element)):
        name = (read_label(text[:LONGEST_LABEL]).name or text).strip()
        if name:
            return quoted(name)
    number = element.get("id")
    what = {"g": "group", "rect": "rectangle"}.get(local_name(element), local_name(element))
    return f"{what} {quoted('#' + number)}" if number else f"a {what}"
