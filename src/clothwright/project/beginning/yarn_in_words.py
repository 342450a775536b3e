"""A yarn in hand as a weaver would say it, a yarn to a line, and what of it stands in a project.

    8/2 cotton, 250 g                      a count or a length per weight, and how much of it
    250 g of 400 m/100 g wool
    3 balls of 50 g, 160 m each            balls alike: what each holds, and its length per weight
    a handspun skein, 92 g, 310 m          one skein, metered and weighed

The quantities are read by the readers of quantities and of yarn numbers; here it is only found where they stand, and what they
are said of. What can be read in two ways is a question, each answer to which is a line that can be read in one. What is left
over is the yarn's name; a number left over is asked about, so that none is dropped.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any, Final

from clothwright.evidence import fibre_words
from clothwright.measure import Length, QuantityError, Weight, plainly
from clothwright.yarn import possible_answers, read_grist, read_yarn

MOST_LINES: Final = 20
_LONGEST: Final = 300
#: A quantity is written in no more words than these: about 2 lb 3 oz; 400 m per 100 g; R 69.3 tex / 2.
_MOST_WORDS: Final = 9
#: Systems in which a folded yarn is written with a stroke.
_SYSTEMS: Final = ("cotton count", "worsted count", "Nm", "lea")
_ONES: Final = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_NUMBERS: Final = {"a": 1, "an": 1, **{word: place for place, word in enumerate(_ONES, 1)}}
_PUT_UP: Final = r"balls?|skeins?|hanks?|cones?|cops?|cakes?|spools?|bobbins?"
#: Put up on something that is weighed along with it.
_ON_A_CORE: Final = r"cones?|cops?|spools?|bobbins?"
_COUNTED: Final = re.compile(rf"\b(\d{{1,3}}|{'|'.join(_NUMBERS)})\s+(?:(handspun|\w+spun)\s+)?({_PUT_UP})\b", re.I)
#: 3 x 50 g.
_TIMES: Final = re.compile(r"\b(\d{1,3})\s*[x×]\s*(?=[\d.½¼¾])", re.I)
#: What a quantity or a yarn number can begin with.
_BEGINS: Final = re.compile(r"(?:about|around|ca\.?|~|≈|R|Nm|Ne|NeL)?\s*[(\d.,½¼¾⅓⅔⅛⅜⅝⅞]", re.I)
_EACH: Final = re.compile(rf"\s*,?\s*(?:each|apiece|to (?:a|the) (?:{_PUT_UP})|(?:/|per|a)\s*(?:{_PUT_UP}))\b", re.I)
_IN_ALL: Final = re.compile(r"\s*,?\s*(?:in all|altogether|all together|in total|total)\b", re.I)
_OF_EACH: Final = re.compile(rf"(?:{_PUT_UP})\s+(?:of|at|with|x|×)\s*$", re.I)
_WITHOUT_CORE: Final = re.compile(r"\b(?:net(?: weight)?|without (?:its |the |their )?cores?|of yarn)\b", re.I)
_WITH_CORE: Final = re.compile(r"\b(?:gross|with (?:its |the |their )?cores?)\b", re.I)
_HANDSPUN: Final = re.compile(r"\b(?:hand-?spun|spun by (?:me|hand)|my own spinning)\b", re.I)
_MILL: Final = re.compile(r"\b(?:mill-?spun|commercial|from (?:a|the) mill|mill)\b", re.I)
_UNWASHED: Final = re.compile(r"\b(?:unwashed|not (?:yet )?washed|before washing)\b", re.I)
_FILLERS: Final = (
    "a",
    "an",
    "and",
    "at",
    "each",
    "in",
    "is",
    "it",
    "my",
    "of",
    "some",
    "the",
    "with",
    "yarn",
    "i",
    "have",
)


@dataclass(frozen=True)
class Question:
    """What has to be settled about a line: in a sentence, and lines that settle it, where there are some to choose from."""

    sentence: str
    choices: tuple[str, ...] = ()


@dataclass(frozen=True)
class YarnInWords:
    """One line: what of it stands in a project, or the question it leaves open. `taken` are fields nobody said, with why."""

    line: str
    row: dict[str, Any] = field(default_factory=dict)
    question: Question | None = None
    taken: tuple[tuple[str, str], ...] = ()


def yarns_in_words(text: str) -> tuple[YarnInWords, ...]:
    """Every line of a text, in order; two yarns of one name are told apart by a number."""
    lines = [" ".join(line.split()) for line in lines_of(text)]
    found = [yarn_in_words(line) for line in lines]
    names: list[str] = []
    for one in found[:MOST_LINES]:
        if one.row:
            one.row["name"] = _another_name(one.row["name"], names)
            names.append(one.row["name"])
    over = (YarnInWords(lines[MOST_LINES], question=Question(_TOO_MANY)),) if len(found) > MOST_LINES else ()
    return (*found[:MOST_LINES], *over)


_TOO_MANY: Final = f"{MOST_LINES} yarns can be begun with; add the others on the project's own page"


def _another_name(name: str, taken: list[str]) -> str:
    return next(one for one in (name, *(f"{name} {n}" for n in range(2, 99))) if one not in taken)


def lines_of(text: str) -> list[str]:
    """The lines of a text that hold something; a semicolon belongs to a number that holds its resultant."""
    return [line for line in re.split(r"[\n\r]+", text.replace("\0", "")) if line.strip()]


def yarn_in_words(line: str) -> YarnInWords:
    """One line read."""
    if len(line) > _LONGEST:
        sentence = f"the line has {len(line)} letters, and {_LONGEST} are read; write a yarn to a line"
        return YarnInWords(line, question=Question(sentence))
    try:
        said = _Said(line)
        return YarnInWords(line, said.row, taken=said.taken)
    except _Asks as asks:
        return YarnInWords(line, question=asks.question)


class _Asks(Exception):
    """The line leaves a question open."""

    def __init__(self, sentence: str, *choices: str) -> None:
        self.question = Question(sentence, tuple(dict.fromkeys(choices)))
        super().__init__(sentence)


@dataclass(frozen=True)
class _Found:
    """A quantity in a line: its text, from where to where, what it is of ("each", "all" or ""), and what it comes to."""

    text: str
    begin: int
    end: int
    of: str
    value: Any


_READERS: Final[tuple[tuple[str, Callable[[str], Any]], ...]] = (
    ("grist", read_grist),
    ("weight", Weight.read),
    ("length", Length.read),
)


class _Said:
    """What one line says, taken apart; `_Asks` where that is not clear."""

    def __init__(self, line: str) -> None:
        self.line = line
        counted = list(_COUNTED.finditer(line))
        if len(counted) > 1 and len({one[3].lower().rstrip("s") for one in counted}) > 1:
            raise _Asks("more than one kind of thing stands in this line; write each on a line of its own")
        self.times = _TIMES.search(line) if not counted else None
        self.counted = counted[0] if len(counted) == 1 else self.times
        self.count = _number(self.counted[1]) if self.counted else 1
        if self.count < 1:
            raise _Asks("that is nothing; write how many there are, as 3 balls of 50 g")
        self.found: dict[str, list[_Found]] = {"grist": [], "weight": [], "length": []}
        self._find()
        self._ask_what_is_left()
        self.grist = self._grist()
        self.row = self._row()

    # --- finding ---------------------------------------------------------------------------------------------------

    def _find(self) -> None:
        words = [(one.start(), one.end()) for one in re.finditer(r"[^\s,;()]+(?:,\d[^\s,;()]*)?", self.line)]
        place = 0
        while place < len(words):
            place = self._found_at(words, place) or place + 1

    def _found_at(self, words: list[tuple[int, int]], place: int) -> int:
        """The place after the longest quantity that begins here; nothing where none does."""
        begin = words[place][0]
        if not _BEGINS.match(self.line[begin:]):
            return 0
        if self.counted and self.counted.start() <= begin < self.counted.end():
            return 0
        for last in range(min(len(words), place + _MOST_WORDS) - 1, place - 1, -1):
            text = self.line[begin : words[last][1]].rstrip(".")
            for kind, read in _READERS:
                if (value := _read(text, read)) is not None:
                    self.found[kind].append(self._one(text, begin, words[last][1], value))
                    return last + 1
        return 0

    def _one(self, text: str, begin: int, end: int, value: Any) -> _Found:
        before, after = self.line[:begin], self.line[end:]
        if _EACH.match(after):
            return _Found(text, begin, end, "each", value)
        if _IN_ALL.match(after):
            return _Found(text, begin, end, "all", value)
        of_each = _OF_EACH.search(before) or (self.times and self.times.end() == begin)
        return _Found(text, begin, end, "each" if of_each else "", value)

    def _every(self) -> Iterator[_Found]:
        for kind in self.found.values():
            yield from kind

    @property
    def rest(self) -> str:
        """The line without its quantities and what they are said of."""
        spans = [(one.begin, one.end) for one in self._every()] + ([self.counted.span()] if self.counted else [])
        text = "".join(" " if any(a <= n < b for a, b in spans) else sign for n, sign in enumerate(self.line))
        for said in (_EACH, _IN_ALL, _WITHOUT_CORE, _WITH_CORE, _HANDSPUN, _UNWASHED):
            text = said.sub(" ", text)
        return text

    def _ask_what_is_left(self) -> None:
        """A number that nobody read is a question, with what it may mean to choose from."""
        left = re.search(r"[-−]?[^\s,;]*\d[^\s;]*(?:\s+[A-Za-z%][^\s,;]*)?", self.rest)
        if left is None:
            return
        text = left[0].strip(" ,.")
        if grains := re.fullmatch(r"(.*\d)\s*gr", text, re.I):
            self._ask(f"is “{text}” in grams or in grains?", text, f"{grains[1]} g", f"{grains[1]} grains")
        if not self.found["grist"]:
            self._ask_for_system(text)
        raise _Asks(f"what is “{text}”? Write a weight as 250 g, a length as 310 m, a count as 8/2 cotton")

    def _ask(self, sentence: str, said: str, *answers: str) -> None:
        raise _Asks(sentence, *(self.line.replace(said, one, 1) for one in answers))

    def _ask_for_system(self, text: str) -> None:
        """A number that may be a yarn's asks for its system, or which of two numbers it is."""
        found = re.match(r"[\d.,]+(?:/\d+)?", text)
        if found is None:
            return
        number, word = found[0], text[found.end() :].strip().lower()
        for said in (text, number):
            if "," in said and (either := _either(said)):
                self._ask(f"is “{said}” {' or '.join(either)}?", said, *either)
        if "/" in number:
            silk = word == "silk"
            systems = [*(("spun silk",) if silk else ()), *(f"{one}{' silk' * silk}" for one in _SYSTEMS)]
            said = text if silk else number
            sentence = (
                f"“{number}” is a number without its system, and the same figures mean different yarns: which is it?"
            )
            self._ask(sentence, said, *(f"{number} {one}" for one in systems))

    @property
    def _said_how_much(self) -> bool:
        return bool(self.found["weight"] or self.found["length"])

    # --- what it comes to ------------------------------------------------------------------------------------------

    def _grist(self) -> str:
        """The length per weight as said, else of what was weighed and metered."""
        grists, weights, lengths = (self.found[kind] for kind in ("grist", "weight", "length"))
        if len(grists) > 1:
            raise _Asks("two lengths per weight came: which is right?", *(self._without(one) for one in grists))
        if len(weights) > 1 or len(lengths) > 1:
            raise _Asks(
                "more than one ball stands in this line; write each kind on a line of its own, or 3 balls of 50 g, 160 m each"
            )
        self._ask_of_which(weights, lengths, grists)
        if grists and weights and lengths:
            raise _Asks(
                "its weight, its length and its length per weight came: which two are to count?",
                self._without(lengths[0]),
                self._without(weights[0]),
            )
        if grists:
            if not self._said_how_much:
                raise _Asks(f"how much of it have you? Write it behind, as {self.line.strip(' ,')}, 250 g")
            return grists[0].text
        if not self._said_how_much:
            raise _Asks(
                f"no quantity was found in “{self.line}”; write it as 250 g of 400 m/100 g wool, or 8/2 cotton, 250 g"
            )
        if not lengths:
            raise _Asks(_HOW_LONG.format(of=weights[0].text))
        if not weights:
            raise _Asks(_HOW_HEAVY.format(of=lengths[0].text))
        length, weight = lengths[0], weights[0]
        return f"{self._per(length, weight)}/{self._per(weight, length)}"

    def _ask_of_which(self, *kinds: list[_Found]) -> None:
        """Of several balls a figure is of each or of all of them."""
        if self.count == 1:
            return
        for one in (one for kind in kinds[:2] for one in kind if not one.of):
            raise _Asks(
                f"is {one.text} on each of the {self.count}, or on all of them together?",
                self._with(one, f"{one.text} each"),
                self._with(one, f"{one.text} in all"),
            )
        if not kinds[0] and not kinds[1] and kinds[2]:
            put_up = self._put_up(plural=False)
            raise _Asks(
                f"how much is on each {put_up}? Write it as {self.count} {self._put_up()} of 50 g, {kinds[2][0].text}"
            )

    def _per(self, one: _Found, other: _Found) -> str:
        """A figure as the length per weight says it: as typed, of each made into that of all where the other is of all."""
        if one.of != "each" or other.of != "all":
            return one.text
        unit, per_unit = ("m", 100.0) if isinstance(one.value, Length) else ("g", 1.0)
        return f"{plainly(one.value.expected / per_unit * self.count, 6)} {unit}"

    def _with(self, one: _Found, text: str) -> str:
        return self.line[: one.begin] + text + self.line[one.end :]

    def _without(self, one: _Found) -> str:
        before, after = self.line[: one.begin].rstrip(" ,"), self.line[one.end :].lstrip(" ,")
        before = re.sub(r"\s+of$", "", before)
        return " ".join(filter(None, (before + "," if before and after else before, after)))

    def _put_up(self, *, plural: bool = True) -> str:
        word = self.counted[3].lower() if self.counted and not self.times else "balls"
        return word if plural else word.rstrip("s")

    def _balls(self) -> list[dict[str, str]]:
        weights, lengths = self.found["weight"], self.found["length"]
        one = (weights or lengths)[0]
        kind = self._weighed() if weights else "length"
        if one.of == "all":
            return [{kind: one.text}]
        return [{kind: one.text} for _ in range(self.count)]

    def _weighed(self) -> str:
        """Whether a weight is of the yarn alone, or holds a core; what stands on one is asked about."""
        if _WITH_CORE.search(self.line):
            return "gross"
        on_a_core = self.counted is not None and not self.times and re.fullmatch(_ON_A_CORE, self.counted[3], re.I)
        if on_a_core and not _WITHOUT_CORE.search(self.line):
            weight = self.found["weight"][0]
            raise _Asks(
                f"is {weight.text} the yarn alone, as a label says it, or was it weighed with the core it is wound on?",
                self._with(weight, f"{weight.text} net"),
                self._with(weight, f"{weight.text} with core"),
            )
        return "net"

    def _row(self) -> dict[str, Any]:
        line = self.line.replace("cotton count", "")
        fibres = [word for word in fibre_words() if re.search(rf"\b{word}", line, re.I)]
        row: dict[str, Any] = {"name": self._name(fibres), "grist": self.grist, "balls": self._balls()}
        if fibres:
            row["fibre"] = " and ".join(sorted(fibres, key=self.line.lower().index))
        self.taken: tuple[tuple[str, str], ...] = ()
        if _HANDSPUN.search(self.line):
            row["made"] = "handspun"
        elif _MILL.search(self.line):
            row["made"] = "mill"
        elif _is_count(self.grist):
            row["made"] = "mill"
            self.taken = (("made", f"{self.grist} is a number mills give"),)
        if _UNWASHED.search(self.line):
            row["state"] = "unwashed"
        return row

    def _name(self, fibres: list[str]) -> str:
        words = re.findall(r"[^\s,;.()=:]+", self.rest)
        left = " ".join(word for word in words if word.lower() not in _FILLERS).strip()
        if left and left.lower() not in fibres:
            return left[:60]
        if _is_count(self.grist):
            return self.grist[:60]
        kind = "handspun" if _HANDSPUN.search(self.line) else ""
        return " ".join(filter(None, (kind, *fibres[:1]))) or "yarn"


_HOW_LONG: Final = (
    "how long is {of} of it? The label says metres for a weight, as 400 m/100 g; or weigh 10 m and write 10 m/3.1 g"
)
_HOW_HEAVY: Final = (
    "what does {of} of it weigh? Write a weight behind it, as 92 g, or its length per weight, as 400 m/100 g"
)


def _number(text: str) -> int:
    return _NUMBERS.get(text.lower()) or int(text)


def _read(text: str, read: Callable[[str], Any]) -> Any:
    """The quantity a text is, or None; a question of its reader's is asked later, about what nobody read."""
    if not re.search(r"\d|[½¼¾⅓⅔⅛⅜⅝⅞]", text):
        return None
    try:
        return read(text)
    except QuantityError:
        return None


def _either(text: str) -> list[str]:
    """Both readings of a number such as 1,700, where either is understood with what follows it."""
    try:
        read_yarn(text)
    except QuantityError as error:
        return list(possible_answers(text, error))
    return []


def _is_count(grist: str) -> bool:
    """Whether it is a number in a system of counts, and no length per weight."""
    try:
        return read_yarn(grist).system != "length per weight"
    except QuantityError:
        return False
