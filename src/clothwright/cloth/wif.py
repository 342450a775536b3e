"""Drafts in the open interchange format for weaving drafts, version 1.1.

A file is text in sections, `[THREADING]` and lines `1=4`, `2=3`. A section that we understand becomes part of a draft;
every section, understood or not, is kept as it came, in its order, so that a file that is read and written again loses nothing.
What the file says and a draft here cannot hold is named.

*Source:* the Weaving Information File specification, version 1.1 (20 April 1997, published for free use by its authors); from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from clothwright.cloth.draft import Draft, DraftError, Shafts, lifts_of

LARGEST_FILE: Final = 4_000_000
MOST_THREADS: Final = 20_000
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
    """One section of a file, as it stands in it: its name, and its lines as key and value."""

    name: str
    lines: tuple[tuple[str, str], ...]

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
    sections = tuple(_sections(_text(data)))
    file = {section.name.upper(): section for section in sections}
    if "WIF" not in file:
        raise WifRefused("the file does not begin with a section [WIF]; it is no draft in the interchange format")
    try:
        return WifReading(file).woven(sections)
    except DraftError as error:
        raise WifRefused(str(error)) from None


def _text(data: bytes) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("latin-1")


def _sections(text: str) -> Iterable[Section]:
    """The sections in their order; lines before the first are no part of the format and are passed over."""
    name: str | None = None
    lines: list[tuple[str, str]] = []
    for line in text.splitlines():
        heading = re.fullmatch(r"\s*\[([^\]]*)\]\s*(?:;.*)?", line)
        if heading is None:
            lines += _line(line)
            continue
        if name is not None:
            yield Section(name, tuple(lines))
        name, lines = heading[1].strip(), []
    if name is not None:
        yield Section(name, tuple(lines))


def _line(line: str) -> list[tuple[str, str]]:
    if not line.strip() or line.lstrip().startswith(";"):
        return []
    key, _, value = line.partition("=")
    return [(key.strip(), value.strip())]


class WifReading:
    """One file's sections, read into a draft; what is wrong is collected, so that all of it is told at once."""

    def __init__(self, file: Mapping[str, Section]) -> None:
        self._file = file
        self._problems: list[str] = []
        self._told: list[str] = []

    def woven(self, sections: tuple[Section, ...]) -> WovenDraft:
        """The draft that the sections tell, with all of them kept."""
        shafts, treadles = self._count("WEAVING", "Shafts"), self._count("WEAVING", "Treadles")
        ends, picks = self._count("WARP", "Threads"), self._count("WEFT", "Threads")
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
        if most > shafts:
            self._told.append(f"The file says {shafts} shafts and uses {most}; {most} are taken.")
        trodden = lifts_of(tie_up, treadling, most, rising=rising) if any(treadling) else ()
        if any(lifts) and trodden and trodden != lifts:
            self._told.append("The lift plan and the treadling do not agree; the lift plan is taken.")
        return Draft(
            most, threading, lifts if any(lifts) else trodden, tie_up, treadling if any(treadling) else (), rising
        )

    # --- one value ---------------------------------------------------------------------------------------------

    def _get(self, section: str, key: str) -> str | None:
        return self._file[section].get(key) if section in self._file else None

    def _count(self, section: str, key: str) -> int:
        text = self._get(section, key)
        if text is None or text == "":
            return 0
        if not re.fullmatch(r"\d{1,5}", text) or int(text) > MOST_THREADS:
            self._problems.append(f"[{section}] {key}={text[:40]}: a whole number up to {MOST_THREADS} stands there")
            return 0
        return int(text)

    def _yes(self, section: str, key: str, *, default: bool) -> bool:
        text = (self._get(section, key) or "").lower()
        if text and text not in _TRUE | _FALSE:
            self._problems.append(f"[{section}] {key}={text[:40]}: true or false stands there")
        return text in _TRUE if text else default

    def _rows(self, section: str, count: int) -> tuple[Shafts, ...]:
        """The numbers of each thread, or treadle; a line that is not there names none."""
        rows = [frozenset[int]()] * count
        for key, value in self._file[section].lines if section in self._file else ():
            numbers = re.fullmatch(r"\s*\d{1,5}\s*(,\s*\d{1,5}\s*)*", value)
            if not re.fullmatch(r"\d{1,5}", key) or (value and numbers is None):
                self._problems.append(f"[{section}] {key[:20]}={value[:40]}: numbers stand there, as 3=1,4")
            elif not 1 <= int(key) <= count:
                self._problems.append(f"[{section}] {key}: there are {count}, by what the file says of itself")
            else:
                rows[int(key) - 1] = frozenset(int(one) for one in value.split(",") if one.strip() and int(one))
        return tuple(rows)

    # --- colours and sizes --------------------------------------------------------------------------------------

    def _threads(self, side: str, count: int) -> Thread:
        palette = self.palette()
        usual = self._colour_number(side, "Color")
        colours = [palette.get(usual) if usual is not None else None] * count
        section = self._file.get(f"{side} COLORS")
        for key, value in section.lines if section else ():
            if re.fullmatch(r"\d{1,5}", key) and 1 <= int(key) <= count and re.fullmatch(r"\d{1,5}", value):
                colours[int(key) - 1] = palette.get(int(value))
            else:
                self._problems.append(
                    f"[{side} COLORS] {key[:20]}={value[:40]}: a number of the colour table stands there"
                )
        named = (self._get(side, "Units") or "").lower()
        unit = CM_OF_UNIT.get(named)
        spacing, thickness = (self._size(side, key, unit) for key in ("Spacing", "Thickness"))
        return Thread(tuple(colours), spacing, thickness, named.capitalize() if unit else "Centimeters")

    def _colour_number(self, side: str, key: str) -> int | None:
        """The number of the side's own colour: the first of a list, the rest being its shades in other palettes."""
        found = re.match(r"\d{1,5}", self._get(side, key) or "")
        return int(found[0]) if found else None

    def palette(self) -> dict[int, str]:
        """The file's colours as #rrggbb, by their number."""
        form = (self._get("COLOR PALETTE", "Form") or "RGB").strip()
        if form.upper() != "RGB":
            self._told.append(f"Colours are told as {form[:20]}, which is not read; they are kept as they came.")
            return {}
        low, high = self.shades()
        section = self._file.get("COLOR TABLE")
        found: dict[int, str] = {}
        for key, value in section.lines if section else ():
            numbers = re.fullmatch(r"\s*(\d{1,6})\s*,\s*(\d{1,6})\s*,\s*(\d{1,6})\s*", value)
            if numbers and re.fullmatch(r"\d{1,5}", key):
                shares = [(min(max(int(one), low), high) - low) / (high - low) for one in numbers.groups()]
                found[int(key)] = "#" + "".join(f"{round(share * 255):02x}" for share in shares)
        return found

    def shades(self) -> tuple[int, int]:
        """The least and the most that a shade of a colour may be."""
        text = self._get("COLOR PALETTE", "Range") or "0,255"
        found = re.fullmatch(r"\s*(\d{1,6})\s*,\s*(\d{1,6})\s*", text)
        if found is None or int(found[1]) >= int(found[2]):
            self._problems.append(f"[COLOR PALETTE] Range={text[:40]}: two numbers stand there, as 0,255")
            return 0, 255
        return int(found[1]), int(found[2])

    def _size(self, side: str, key: str, unit_cm: float | None) -> float | None:
        text = self._get(side, key)
        found = re.fullmatch(r"\s*(\d{1,6}(?:\.\d{1,6})?)\s*", text or "")
        if text and (found is None or unit_cm is None):
            self._told.append(f"[{side}] {key}={text[:40]} is in no unit that is known, and is kept as it came.")
        return float(found[1]) * unit_cm if found and unit_cm and float(found[1]) else None

    # --- words -------------------------------------------------------------------------------------------------

    def _title(self) -> str:
        return self._get("TEXT", "Title") or ""

    def _notes(self) -> tuple[str, ...]:
        section = self._file.get("NOTES")
        return tuple(value for _, value in section.lines) if section else ()

    def _left(self) -> Iterable[str]:
        yield from self._told
        other = [section.name for name, section in self._file.items() if name not in _UNDERSTOOD]
        if other:
            yield f"Kept as they came and not used here: {', '.join(f'[{name}]' for name in other)}."

    def _check_contents(self) -> None:
        """A section that the contents promise and that is not there is told."""
        section = self._file.get("CONTENTS")
        for name, value in section.lines if section else ():
            if value.lower() in _TRUE and name.upper() not in self._file:
                self._told.append(f"[{name}] is in the contents, and the file has no such section.")

    def _refuse_if_any(self) -> None:
        if self._problems:
            raise WifRefused(*self._problems[:20])
