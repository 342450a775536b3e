"""Drafts in the open interchange format for weaving drafts, version 1.1.

A file is text in sections, `[THREADING]` and lines `1=4`, `2=3`. A section that we understand becomes part of a draft;
every section, understood or not, is kept as it came, in its order and with its remarks, so that a file that is read and
written again loses nothing. What the file says and a draft here cannot hold is named.

Files come from strangers: a file is read in time that grows with its size alone, and its size is bounded.

*Source:* the Weaving Information File specification, version 1.1 (20 April 1997, published for free use by its authors); from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Final

from clothwright.cloth.draft import MOST_SHAFTS, Draft, DraftError, Shafts, lifts_of

LARGEST_FILE: Final = 4_000_000
MOST_LINES: Final = 300_000
MOST_THREADS: Final = 20_000
#: Sentences told of one file; a file wrong in every line is told by its first.
_MOST_TOLD: Final = 20
#: Names of sections told in one sentence.
_MOST_NAMED: Final = 12
#: What stands in the place of a key for a remark.
REMARK: Final = ";"
_UNDERSTOOD: Final = {
    "WIF", "CONTENTS", "TEXT", "NOTES", "WEAVING", "WARP", "WEFT", "TIEUP", "THREADING", "TREADLING", "LIFTPLAN",
    "COLOR PALETTE", "COLOR TABLE", "WARP COLORS", "WEFT COLORS",
}  # fmt: skip
CM_OF_UNIT: Final = {"decipoints": 2.54 / 720, "inches": 2.54, "centimeters": 1.0}
_TRUE: Final = {"true", "yes", "on", "1"}
_FALSE: Final = {"false", "no", "off", "0"}


class WifRefused(ValueError):
    """A file that cannot be read as a draft. `sentences`: one for each problem."""

    def __init__(self, *sentences: str) -> None:
        super().__init__("; ".join(sentences))
        self.sentences = sentences


@dataclass(frozen=True)
class Section:
    """One section of a file, as it stands in it: its name, and its lines as key and value; remarks have the key `;`.

    What stands before the first section has no name.
    """

    name: str
    lines: tuple[tuple[str, str], ...]

    @property
    def entries(self) -> tuple[tuple[str, str], ...]:
        """The lines that are no remarks."""
        return tuple(line for line in self.lines if line[0] != REMARK)

    @property
    def remarks(self) -> tuple[tuple[str, str], ...]:
        """The lines that are remarks."""
        return tuple(line for line in self.lines if line[0] == REMARK)

    def get(self, key: str) -> str | None:
        """The value of a key, large or small letters alike; the last one given."""
        return next((value for name, value in reversed(self.lines) if name.lower() == key.lower()), None)


@dataclass(frozen=True)
class Thread:
    """How a set of threads is told of: colour as #rrggbb of each, and centimetres from thread to thread and across one.

    `unit`: what the file measures its threads in.
    """

    colours: tuple[str | None, ...]
    spacing_cm: float | None = None
    thickness_cm: float | None = None
    unit: str = "Centimeters"


@dataclass(frozen=True)
class WovenDraft:
    """A draft with its colours, title and notes; `notes_on` says what the file holds that a draft here does not.

    `kept`: every section of the file it came from, in order; empty for a draft of our own.
    """

    draft: Draft
    warp: Thread
    weft: Thread
    title: str = ""
    notes: tuple[str, ...] = ()
    kept: tuple[Section, ...] = ()
    notes_on: tuple[str, ...] = ()


# --- reading -----------------------------------------------------------------------------------------------------


def read_wif(data: bytes) -> WovenDraft:
    """The draft in a file's bytes; WifRefused, with a sentence for each problem, where it is none."""
    if len(data) > LARGEST_FILE:
        raise WifRefused(f"the file is larger than {LARGEST_FILE // 1_000_000} MB, the most that is read")
    return read_sections(sections_of(_text(data)))


def sections_of(text: str) -> tuple[Section, ...]:
    """The sections of a text, in their order, those of one name put together; WifRefused where it has too many lines."""
    lines = text.splitlines()
    if len(lines) > MOST_LINES:
        raise WifRefused(f"the file has {len(lines)} lines, and {MOST_LINES} are the most that are read")
    found: dict[str, tuple[str, list[tuple[str, str]]]] = {}
    for section in _sections(lines):
        found.setdefault(section.name.upper(), (section.name, []))[1].extend(section.lines)
    return tuple(Section(name, tuple(of_it)) for name, of_it in found.values())


def read_sections(sections: tuple[Section, ...]) -> WovenDraft:
    """The draft that sections tell; WifRefused, with a sentence for each problem, where they tell none."""
    file = {section.name.upper(): section for section in sections}
    if "WIF" not in file:
        raise WifRefused("the file does not begin with a section [WIF]; it is no draft in the interchange format")
    try:
        return WifReading(file).woven(sections)
    except DraftError as error:
        raise WifRefused(str(error)) from None


def sides_of(sections: Iterable[Section], ends: int, picks: int) -> tuple[Thread, Thread]:
    """What sections tell of so many ends and picks, whatever else is in them; a side of another number has no colours."""
    reading = WifReading({section.name.upper(): section for section in sections})
    return reading.side("WARP", ends), reading.side("WEFT", picks)


def _text(data: bytes) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("latin-1")


def _sections(text: Iterable[str]) -> Iterable[Section]:
    """The sections as they come; what stands before the first is a section without a name."""
    name = ""
    lines: list[tuple[str, str]] = []
    for line in text:
        heading = re.fullmatch(r"\s*\[([^\]]*)\]\s*(;.*)?", line)
        if heading is None:
            lines += _line(line)
            continue
        if name or lines:
            yield Section(name, tuple(lines))
        name, lines = heading[1].strip(), _line(heading[2] or "")
    if name or lines:
        yield Section(name, tuple(lines))


def _line(line: str) -> list[tuple[str, str]]:
    bare = line.strip()
    if not bare:
        return []
    if bare.startswith(REMARK):
        return [(REMARK, bare[1:])]
    key, _, value = line.partition("=")
    return [(key.strip(), value.strip())]


def _unremarked(value: str) -> str:
    """A number or a word of the format without a remark behind it."""
    return value.partition(REMARK)[0].strip()


class WifReading:
    """One file's sections, read into a draft; what is wrong is collected, so that all of it is told at once."""

    def __init__(self, file: Mapping[str, Section]) -> None:
        self._file = file
        self._problems: list[str] = []
        self._told: list[str] = []

    def woven(self, sections: tuple[Section, ...]) -> WovenDraft:
        """The draft that the sections tell, with all of them kept."""
        self._refuse_profile()
        shafts, treadles = self._count("WEAVING", "Shafts"), self._count("WEAVING", "Treadles", MOST_SHAFTS)
        ends, picks = self._threads_in("WARP", "THREADING"), self._threads_in("WEFT", "LIFTPLAN", "TREADLING")
        rising = self._yes("WEAVING", "Rising Shed", default=True)
        threading = self._rows("THREADING", ends)
        tie_up, treadling, lifts = (
            self._rows("TIEUP", treadles),
            self._rows("TREADLING", picks),
            self._rows("LIFTPLAN", picks),
        )
        self._check_contents()
        self._refuse_if_any()
        if not any(threading):
            raise WifRefused("the file has no [THREADING], so nothing says which shaft an end is on")
        draft = self._draft(shafts, threading, tie_up, treadling, lifts, rising=rising)
        warp, weft = self._threads("WARP", ends), self._threads("WEFT", picks)
        self._refuse_if_any()
        return WovenDraft(draft, warp, weft, self._title(), self._notes(), sections, tuple(self._left()))

    def _draft(
        self,
        shafts: int,
        threading: tuple[Shafts, ...],
        tie_up: tuple[Shafts, ...],
        treadling: tuple[Shafts, ...],
        lifts: tuple[Shafts, ...],
        *,
        rising: bool,
    ) -> Draft:
        most = max([shafts, *(shaft for rows in (threading, tie_up, lifts) for row in rows for shaft in row)])
        if most > MOST_SHAFTS:
            raise DraftError(f"{most} shafts: a loom has 1 to {MOST_SHAFTS}")
        if most > shafts:
            self._tell(f"The file says {shafts} shafts and uses {most}; {most} are taken.")
        unthreaded = sum(not shafts_of for shafts_of in threading)
        if unthreaded:
            self._tell(f"{unthreaded} of {len(threading)} ends are on no shaft; they stay down with every pick.")
        trodden = lifts_of(tie_up, treadling, most, rising=rising) if any(treadling) else ()
        if any(lifts) and trodden and trodden != lifts:
            self._tell("The lift plan and the treadling do not agree; the lift plan is taken.")
        if any(lifts) and not rising:
            self._tell("The file sinks shafts and has a lift plan; the lift plan is taken as the shafts raised.")
        raised = lifts if any(lifts) or not trodden else trodden
        return Draft(most, threading, raised, tie_up, treadling if any(treadling) else (), rising)

    # --- one value ---------------------------------------------------------------------------------------------

    def _get(self, section: str, key: str) -> str | None:
        return self._file[section].get(key) if section in self._file else None

    def _problem(self, sentence: str) -> None:
        if len(self._problems) < _MOST_TOLD:
            self._problems.append(sentence)

    def _tell(self, sentence: str) -> None:
        if len(self._told) < _MOST_TOLD:
            self._told.append(sentence)

    def entries(self, section: str) -> tuple[tuple[str, str], ...]:
        """The lines of a section that are no remarks; none where there is no such section."""
        return self._file[section].entries if section in self._file else ()

    def _count(self, section: str, key: str, most: int = MOST_THREADS) -> int:
        text = _unremarked(self._get(section, key) or "")
        if not text:
            return 0
        if not re.fullmatch(r"\d{1,5}", text) or int(text) > most:
            self._problem(f"[{section}] {key}={text[:40]}: a whole number up to {most} stands there")
            return 0
        return int(text)

    def _threads_in(self, side: str, *numbered: str) -> int:
        """The threads of a side; where the file does not say, as many as its numbered lines name."""
        if self._get(side, "Threads") is not None or not any(self.entries(one) for one in numbered):
            return self._count(side, "Threads")
        keys = [int(key) for one in numbered for key, _ in self.entries(one) if re.fullmatch(r"\d{1,5}", key)]
        count = max((key for key in keys if key <= MOST_THREADS), default=0)
        self._tell(f"[{side}] does not say how many Threads there are; {count} are numbered, and are taken.")
        return count

    def _yes(self, section: str, key: str, *, default: bool) -> bool:
        text = _unremarked(self._get(section, key) or "").lower()
        if text and text not in _TRUE | _FALSE:
            self._problem(f"[{section}] {key}={text[:40]}: true or false stands there")
        return text in _TRUE if text else default

    def _rows(self, section: str, count: int) -> tuple[Shafts, ...]:
        """The numbers of each thread, or treadle; a line that is not there names none."""
        rows: list[Shafts | None] = [None] * count
        for key, written in self.entries(section):
            value = _unremarked(written)
            numbers = re.fullmatch(r"\d{1,5}\s*(,\s*\d{1,5}\s*)*", value)
            if not re.fullmatch(r"\d{1,5}", key) or (value and numbers is None):
                self._problem(f"[{section}] {key[:20]}={value[:40]}: numbers stand there, as 3=1,4")
            elif not 1 <= int(key) <= count:
                self._problem(f"[{section}] {key}: there are {count}, by what the file says of itself")
            else:
                if rows[int(key) - 1] is not None:
                    self._tell(f"[{section}] {key} stands there twice; the last is taken.")
                rows[int(key) - 1] = frozenset(int(one) for one in value.split(",") if one.strip() and int(one))
        return tuple(row or frozenset() for row in rows)

    def side(self, side: str, count: int) -> Thread:
        """What is told of the threads of a side; no colours where it tells of another number of them."""
        told = self._threads(side, count)
        return told if self._count(side, "Threads") == count else replace(told, colours=(None,) * count)

    # --- colours and sizes --------------------------------------------------------------------------------------

    def _threads(self, side: str, count: int) -> Thread:
        palette = self.palette()
        numbers = self.colour_numbers(side, count)
        lost = sorted({number for number in numbers if number is not None and number not in palette})
        if lost and palette:
            named = ", ".join(map(str, lost[:_MOST_NAMED]))
            self._tell(
                f"[{side} COLORS] names colours that the colour table has not: {named}; they are kept as they came."
            )
        colours = tuple(palette.get(number) if number is not None else None for number in numbers)
        named = _unremarked(self._get(side, "Units") or "").lower()
        unit = CM_OF_UNIT.get(named)
        spacing, thickness = (self._size(side, key, unit) for key in ("Spacing", "Thickness"))
        return Thread(colours, spacing, thickness, named.capitalize() if unit else "Centimeters")

    def colour_numbers(self, side: str, count: int) -> list[int | None]:
        """The number in the colour table of each thread: its own, else the side's."""
        numbers = [self._colour_number(side, "Color")] * count
        for key, written in self.entries(f"{side} COLORS"):
            number = re.match(r"\d{1,5}(?=\s*(?:[,;]|$))", written)
            if re.fullmatch(r"\d{1,5}", key) and 1 <= int(key) <= count and number:
                numbers[int(key) - 1] = int(number[0])
            else:
                self._problem(f"[{side} COLORS] {key[:20]}={written[:40]}: a number of the colour table stands there")
        return numbers

    def _colour_number(self, side: str, key: str) -> int | None:
        """The number of the side's own colour: the first of a list, the rest being its shades in other palettes."""
        found = re.match(r"\d{1,5}", self._get(side, key) or "")
        return int(found[0]) if found else None

    def palette(self) -> dict[int, str]:
        """The file's colours as #rrggbb, by their number."""
        if not self.in_rgb:
            form = self._get("COLOR PALETTE", "Form") or ""
            self._tell(f"Colours are told as {form[:20]}, which is not read; they are kept as they came.")
            return {}
        low, high = self.shades()
        found: dict[int, str] = {}
        for key, written in self.entries("COLOR TABLE"):
            numbers = re.fullmatch(r"(\d{1,6})\s*,\s*(\d{1,6})\s*,\s*(\d{1,6})", _unremarked(written))
            if numbers and re.fullmatch(r"\d{1,5}", key):
                shares = [(min(max(int(one), low), high) - low) / (high - low) for one in numbers.groups()]
                found[int(key)] = "#" + "".join(f"{round(share * 255):02x}" for share in shares)
            else:
                self._tell(
                    f"[COLOR TABLE] {key[:20]}={written[:40]} is no colour that is read, and is kept as it came."
                )
        return found

    @property
    def in_rgb(self) -> bool:
        """Whether colours are told as red, green and blue."""
        return _unremarked(self._get("COLOR PALETTE", "Form") or "RGB").upper() == "RGB"

    def shades(self) -> tuple[int, int]:
        """The least and the most that a shade of a colour may be."""
        text = _unremarked(self._get("COLOR PALETTE", "Range") or "0,255")
        found = re.fullmatch(r"(\d{1,6})\s*,\s*(\d{1,6})", text)
        if found is None or int(found[1]) >= int(found[2]):
            self._problem(f"[COLOR PALETTE] Range={text[:40]}: two numbers stand there, as 0,255")
            return 0, 255
        return int(found[1]), int(found[2])

    def _size(self, side: str, key: str, unit_cm: float | None) -> float | None:
        text = _unremarked(self._get(side, key) or "")
        found = re.fullmatch(r"\d{1,6}(?:\.\d{1,12})?|\.\d{1,12}", text)
        if text and unit_cm is None:
            self._tell(f"[{side}] {key}={text[:40]} is in no unit that is known, and is kept as it came.")
        elif text and found is None:
            self._tell(f"[{side}] {key}={text[:40]} is no number that is read, and is kept as it came.")
        return float(found[0]) * unit_cm if found and unit_cm and float(found[0]) else None

    # --- words -------------------------------------------------------------------------------------------------

    def _title(self) -> str:
        return self._get("TEXT", "Title") or ""

    def _notes(self) -> tuple[str, ...]:
        return tuple(value for _, value in self.entries("NOTES"))

    def _left(self) -> Iterable[str]:
        yield from self._told
        other = [f"[{section.name[:40]}]" for name, section in self._file.items() if name and name not in _UNDERSTOOD]
        if other:
            more = f" and {len(other) - _MOST_NAMED} more" if len(other) > _MOST_NAMED else ""
            yield f"Kept as they came and not used here: {', '.join(other[:_MOST_NAMED])}{more}."

    def _check_contents(self) -> None:
        """A section that the contents promise and that is not there is told."""
        for name, value in self.entries("CONTENTS"):
            if _unremarked(value).lower() in _TRUE and name.upper() not in self._file:
                self._tell(f"[{name[:40]}] is in the contents, and the file has no such section.")

    def _refuse_profile(self) -> None:
        if self._yes("WEAVING", "Profile", default=False):
            raise WifRefused(
                "the file is a profile: its numbers are blocks, and nothing says on which shafts a block is threaded"
            )

    def _refuse_if_any(self) -> None:
        if self._problems:
            raise WifRefused(*self._problems)
