"""A project's draft from an interchange file, and written out as one.

What a file says of threading, tie-up, treadling, lifts and number of ends becomes fields of the draft. All its sections, with
their remarks, are kept in the project as they came, so that what is written out again loses nothing that still fits: lines
for single ends of a warp that has another number of ends now do not, and are named.

Ends keep their numbers. Drafts on paper count from the right edge, so a draft that is read has its first end at the right.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from clothwright.cloth import (
    LONGEST_TEXT,
    Draft,
    Thread,
    WifRefused,
    WifSection,
    WovenDraft,
    read_wif,
    sections_of,
    sections_written,
    sets_out,
    sides_of,
    write_wif,
    written_out,
)
from clothwright.planning.cloth.threading_answer import ThreadingPlan
from clothwright.planning.cloth.threading_plan import yarns_in
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.parts.threading_parts import LONGEST_KEPT, ThreadingPart

#: Sections with a line for each end, or each pick; on a warp of another number of ends they would speak of other ends.
_BY_THREAD: Final = ("COLORS", "SPACING", "SPACING ZOOM", "THICKNESS", "THICKNESS ZOOM", "SYMBOLS")
#: Sections that fields of the draft tell.
_TOLD: Final = ("THREADING", "TIEUP", "TREADLING", "LIFTPLAN")


@dataclass(frozen=True)
class DraftRead:
    """A file read: the fields of the draft it becomes, its ends, picks and shafts, and what is to be said of it.

    `floating`: its first and its last end are on no shaft, as floating selvedges are; the draft is of those between.
    """

    fields: Mapping[str, Any]
    ends: int
    picks: int
    shafts: int
    title: str
    floating: bool
    told: tuple[str, ...]


def draft_from_file(data: bytes) -> DraftRead:
    """The draft in the bytes of an interchange file; ProblemsFound with a sentence for each problem."""
    try:
        woven = read_wif(data)
    except WifRefused as refused:
        raise ProblemsFound(*(Problem((), sentence) for sentence in refused.sentences)) from None
    draft = woven.draft
    kept, left_out = _kept(woven.kept)
    floating = _floats(draft)
    fields = {
        "threading": written_out(draft.threading[1:-1] if floating else draft.threading),
        "shafts": draft.shafts,
        **_lifting(draft),
        "ends": len(draft.threading),
        "first_end": "right",
        "other_sections": kept,
    }
    _check_lengths(fields)
    told = (*woven.notes_on, *_told(woven, floating), *left_out)
    return DraftRead(fields, len(draft.threading), len(draft.lifts), draft.shafts, woven.title, floating, told)


def _floats(draft: Draft) -> bool:
    ends = draft.threading
    return len(ends) > 2 and not ends[0] and not ends[-1] and all(ends[1:-1])


def _lifting(draft: Draft) -> dict[str, Any]:
    """Tie-up and treadling where the file has them, else the lifts; nothing where it has neither."""
    if draft.treadling:
        tied = {"tie_up": sets_out(draft.tie_up), "treadling": written_out(draft.treadling, whole=True)}
        return tied | ({} if draft.rising else {"sheds": "sinking"})
    return {"lifting": sets_out(draft.lifts)} if any(draft.lifts) else {}


def _check_lengths(fields: Mapping[str, Any]) -> None:
    """Refuse what is longer than a project keeps, rather than keep a part of it."""
    for name in ("threading", "tie_up", "treadling", "lifting"):
        if len(text := str(fields.get(name, ""))) > LONGEST_TEXT:
            sentence = f"its {name.replace('_', '-')} repeats nowhere: it takes {len(text)} letters to write, and a project keeps {LONGEST_TEXT}"
            raise ProblemsFound(Problem((), sentence))


def _kept(sections: tuple[WifSection, ...]) -> tuple[str, tuple[str, ...]]:
    """The sections as text, the longest of them left out and named where all are more than a project keeps.

    Of those that the fields of the draft tell, only their place and their remarks.
    """
    left, gone = [WifSection(one.name, one.remarks) if one.name.upper() in _TOLD else one for one in sections], []
    while len(text := sections_written(left)) > LONGEST_KEPT:
        longest = max((one for one in left if one.name.upper() != "WIF"), key=lambda one: len(sections_written([one])))
        left.remove(longest)
        gone.append(longest.name[:40])
    if not gone:
        return text, ()
    return text, (f"Too long to be kept in a project, and left out: {', '.join(f'[{name}]' for name in gone)}.",)


def _told(woven: WovenDraft, floating: bool) -> Iterator[str]:
    if floating:
        yield "Its first and its last end are on no shaft: they are taken as floating selvedges (selvages) of the cloth."
    coloured = {colour for colour in woven.warp.colours if colour}
    if coloured:
        many = f"{len(coloured)} colours" if len(coloured) > 1 else "1 colour"
        yield f"The file colours its ends in {many}; they are kept with it, and become no yarns of the project."
    if woven.notes:
        yield f"{len(woven.notes)} notes are kept with the file."


# --- out ---------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class DraftWritten:
    """A file's bytes, and what of the project, or of the file it came from, it could not carry."""

    data: bytes
    not_carried: tuple[str, ...]


def draft_to_file(answer: ThreadingPlan, project: Project, *, program_version: str) -> DraftWritten:
    """The threading of a project as an interchange file."""
    sections = sections_of((project.draft or ThreadingPart()).other_sections)
    kept, dropped = _fitting(sections, len(answer.threads), len(answer.draft.lifts))
    weft_colour = _one_colour([yarn.colour for yarn in yarns_in(project, "weft")])
    warp_colours = tuple(_rgb(answer.colours.get(end.yarn or "", "")) for end in answer.threads)
    warp, weft = sides_of(kept, len(warp_colours), len(answer.draft.lifts))
    text, notes = _words(kept)
    woven = WovenDraft(
        draft=answer.draft,
        warp=_side(warp_colours, warp, 1 / answer.ends_per_cm),
        weft=_side((weft_colour,) * len(answer.draft.lifts), weft, None),
        title=text or project.name,
        notes=notes if kept else tuple(_notes(answer)),
        kept=kept,
    )
    data = write_wif(woven, program="Clothwright", program_version=program_version)
    return DraftWritten(data, (*dropped, *_not_carried(answer)))


def _fitting(sections: tuple[WifSection, ...], ends: int, picks: int) -> tuple[tuple[WifSection, ...], tuple[str, ...]]:
    """The sections that still fit so many ends and picks, and words for those that do not."""
    told = {one.name.upper(): one for one in sections}
    of_sides = (("WARP", ends, "ends"), ("WEFT", picks, "picks"))
    others = {side: word for side, many, word in of_sides if side in told and told[side].get("Threads") != str(many)}
    kept: list[WifSection] = []
    dropped: list[str] = []
    for one in sections:
        side, _, what = one.name.upper().partition(" ")
        if side in others and what in _BY_THREAD:
            dropped.append(
                f"[{one.name}] of the file tells of other {others[side]} than this draft has; it is left out."
            )
        else:
            kept.append(one)
    return tuple(kept), tuple(dropped)


def _words(kept: tuple[WifSection, ...]) -> tuple[str, tuple[str, ...]]:
    """The title and the notes of the file."""
    told = {one.name.upper(): one for one in kept}
    title = told["TEXT"].get("Title") if "TEXT" in told else None
    notes = told["NOTES"].entries if "NOTES" in told else ()
    return title or "", tuple(note for _, note in notes)


def _side(colours: tuple[str | None, ...], came: Thread, spacing_cm: float | None) -> Thread:
    """Our colours where there are any, else those of the file; sizes of the file where it gave any."""
    return replace(came, colours=colours if any(colours) else came.colours, spacing_cm=came.spacing_cm or spacing_cm)


def _one_colour(colours: list[str]) -> str | None:
    found = {_rgb(colour) for colour in colours}
    return found.pop() if len(found) == 1 else None


def _rgb(colour: str) -> str | None:
    bare = colour.lower()
    return bare if len(bare) == 7 and bare[0] == "#" and all(c in "0123456789abcdef" for c in bare[1:]) else None


def _notes(answer: ThreadingPlan) -> Iterator[str]:
    """In words, what a file has no section for."""
    stands = answer.in_heddle
    yield f"Heddle or reed: {stands.heddle}, sleyed {stands.sleying}."
    if stands.standing:
        yield f"First {stands.word} {stands.standing.first} of {stands.count}, counted from the left edge."
    if answer.loom == "rigid heddle":
        called = ", ".join(f"{number} {words}" for number, words in enumerate(answer.shaft_words, 1))
        yield f"Rigid heddle; shafts stand for: {called}."
        yield f"Sheds: {'; '.join(shed.words for shed in answer.sheds) or 'not told'}."


def _not_carried(answer: ThreadingPlan) -> Iterator[str]:
    yield "A file of this kind has no place for heddle, sleying and the place in the heddle; they stand in its notes where it has none of its own."
    if answer.loom == "rigid heddle":
        yield "It knows shafts only: holes and each kind of slot are written as shafts."
    if answer.floating:
        yield "Floating selvedges are written as ends on no shaft."
    if answer.first_edge == "left":
        yield "It does not say from which edge ends are counted; drafts on paper count from the right, and end 1 here is at the left."
