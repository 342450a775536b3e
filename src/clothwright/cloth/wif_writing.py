"""Drafts written in the open interchange format for weaving drafts, version 1.1.

What is ours is written anew. Of a draft that came from a file, every other section and line stays as it was, and so do the
numbers of its colours, which other lines of it may refer to.

*Source:* the Weaving Information File specification, version 1.1 (20 April 1997); from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from clothwright.cloth.draft import Shafts
from clothwright.cloth.wif import CM_OF_UNIT, REMARK, Section, Thread, WifReading, WovenDraft

VERSION: Final = "1.1"
#: The day of the specification, which every file states.
DATED: Final = "April 20, 1997"
#: Sections that are wholly ours when a draft is written.
_WHOLE: Final = {
    "TIEUP", "THREADING", "TREADLING", "LIFTPLAN", "WARP COLORS", "WEFT COLORS", "COLOR TABLE", "NOTES",
}  # fmt: skip

Lines = tuple[tuple[str, str], ...]


def write_wif(woven: WovenDraft, *, program: str, program_version: str) -> bytes:
    """The draft as a file's bytes, said to come from a program and its version."""
    before = {section.name.upper(): section for section in woven.kept}
    made = {
        section.name: section for section in (*_head(program, program_version), *_words(woven), *_weave(woven, before))
    }
    made |= {section.name: section for section in _colours(woven, before)}
    names = list(dict.fromkeys([*before, *made]))
    sections = [_merged(made[name], before.get(name)) if name in made else before[name] for name in names]
    body = [section for section in sections if section.lines or section.name.upper() in before]
    listed = tuple((one.name, "true") for one in body if one.name.upper() not in ("", "WIF", "CONTENTS"))
    remarks = before["CONTENTS"].remarks if "CONTENTS" in before else ()
    contents = Section("CONTENTS", (*remarks, *listed))
    told = [contents if section.name.upper() == "CONTENTS" else section for section in body]
    return sections_written(told).encode("utf-8")


def sections_written(sections: Iterable[Section]) -> str:
    """Sections as the text of a file."""
    return "".join(map(_written, sections))


def _merged(ours: Section, theirs: Section | None) -> Section:
    """Our lines, and those of the file that we have no word for."""
    if theirs is None:
        return ours
    if ours.name in _WHOLE:
        return replace(ours, lines=(*theirs.remarks, *ours.lines))
    known = {key.lower() for key, _ in ours.lines}
    return replace(ours, lines=(*ours.lines, *(line for line in theirs.lines if line[0].lower() not in known)))


def _written(section: Section) -> str:
    lines = "".join(f"{_of_one_line(_line(*line))}\n" for line in section.lines)
    return f"[{section.name}]\n{lines}\n" if section.name else f"{lines}\n"


def _line(key: str, value: str) -> str:
    return f"{REMARK}{value}" if key == REMARK else f"{key}={value}"


def _of_one_line(text: str) -> str:
    """Text without line ends, so that a title cannot become a section."""
    return " ".join(text.splitlines())


# --- words -------------------------------------------------------------------------------------------------------


def _head(program: str, version: str) -> Iterable[Section]:
    source = ("Source Program", program), ("Source Version", version)
    yield Section("WIF", (("Version", VERSION), ("Date", DATED), *source))
    yield Section("CONTENTS", (("WEAVING", "true"),))


def _words(woven: WovenDraft) -> Iterable[Section]:
    yield Section("TEXT", (("Title", woven.title),) if woven.title else ())
    notes = [line for note in woven.notes for line in note.splitlines() or [""]]
    yield Section("NOTES", tuple((str(number), note) for number, note in enumerate(notes, 1)))


# --- the weave ---------------------------------------------------------------------------------------------------


def _weave(woven: WovenDraft, before: Mapping[str, Section]) -> Iterable[Section]:
    draft = woven.draft
    rising = "true" if draft.rising else "false"
    loom = ("Shafts", str(draft.shafts)), ("Treadles", str(len(draft.tie_up))), ("Rising Shed", rising)
    yield Section("WEAVING", loom)
    yield Section("WARP", (("Threads", str(len(draft.threading))), *_sizes(woven.warp)))
    yield Section("WEFT", (("Threads", str(len(draft.lifts))), *_sizes(woven.weft)))
    yield Section("THREADING", _numbered(draft.threading))
    yield Section("TIEUP", _numbered(draft.tie_up))
    yield Section("TREADLING", _numbered(draft.treadling))
    trodden = any(draft.treadling) and "LIFTPLAN" not in before
    yield Section("LIFTPLAN", () if trodden or not any(draft.lifts) else _numbered(draft.lifts))


def _sizes(side: Thread) -> Lines:
    unit_cm = CM_OF_UNIT[side.unit.lower()]
    sizes = ("Spacing", side.spacing_cm), ("Thickness", side.thickness_cm)
    told = tuple((key, f"{size / unit_cm:.6g}") for key, size in sizes if size)
    return (("Units", side.unit), *told) if told else ()


def _numbered(rows: Sequence[Shafts]) -> Lines:
    return tuple((str(number), ",".join(map(str, sorted(row))) or "0") for number, row in enumerate(rows, 1))


# --- colours -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Table:
    """A file's table of colours: its lines, each colour's number, and the least and most of a shade."""

    lines: Lines
    numbers: Mapping[str, int]
    shades: tuple[int, int]

    @classmethod
    def of(cls, reading: WifReading, file: Mapping[str, Section]) -> _Table:
        """The table of the file a draft came from; an empty one where there was none."""
        lines = file["COLOR TABLE"].entries if "COLOR TABLE" in file else ()
        return cls(lines, {colour: number for number, colour in reversed(reading.palette().items())}, reading.shades())

    def with_colours(self, colours: Iterable[str]) -> _Table:
        """The table with every one of the colours in it, the new ones at the end."""
        numbers, lines = dict(self.numbers), list(self.lines)
        free = max((0, *(int(key) for key, _ in lines if key.isdecimal()))) + 1
        for colour in colours:
            if colour not in numbers:
                numbers[colour] = free
                lines.append((str(free), _rgb(colour, self.shades)))
                free += 1
        return _Table(tuple(lines), numbers, self.shades)


def _colours(woven: WovenDraft, before: Mapping[str, Section]) -> Iterable[Section]:
    """The colours; left as they were where the file told them in a form that is not read."""
    reading = WifReading(before)
    if not reading.in_rgb:
        return
    known = _Table.of(reading, before)
    table = known.with_colours(colour for side in (woven.warp, woven.weft) for colour in side.colours if colour)
    shades = f"{table.shades[0]},{table.shades[1]}"
    palette = ("Entries", str(len(table.lines))), ("Form", "RGB"), ("Range", shades)
    yield Section("COLOR PALETTE", palette if table.lines else ())
    yield Section("COLOR TABLE", table.lines)
    for side, thread in (("WARP", woven.warp), ("WEFT", woven.weft)):
        yield Section(f"{side} COLORS", _of_threads(reading, side, thread, table))


def _of_threads(reading: WifReading, side: str, thread: Thread, table: _Table) -> Lines:
    """The number of each thread's colour: the one it had where that still is its colour, or is no colour that is read."""
    palette, had = reading.palette(), reading.colour_numbers(side, len(thread.colours))
    own = {key for key, _ in reading.entries(f"{side} COLORS")}
    lines = []
    for number, (colour, before) in enumerate(zip(thread.colours, had, strict=True), 1):
        kept = before is not None and (palette.get(before) == colour)
        if kept and (str(number) in own or colour):
            lines.append((str(number), str(before)))
        elif colour:
            lines.append((str(number), str(table.numbers[colour])))
    return tuple(lines)


def _rgb(colour: str, shades: tuple[int, int]) -> str:
    low, high = shades
    return ",".join(str(low + round(int(colour[at : at + 2], 16) / 255 * (high - low))) for at in (1, 3, 5))
