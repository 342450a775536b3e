"""The threading on a loom with shafts: as it is written, else straight through the kinds of end of the structure.

A lifting that is left out is the structure's: shaft 1 does what its first kind of end does, and so on; on more shafts the
kinds come again, so that plain weave straight on four shafts lifts 1 and 3 against 2 and 4.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from clothwright.cloth import (
    MOST_SHAFTS,
    Draft,
    Shafts,
    Structure,
    WrittenError,
    draft_of,
    lifts_of,
    read_sets,
    read_written,
    written_out,
)
from clothwright.planning.cloth.threading_answer import ShedWoven
from clothwright.planning.cloth.threading_woven import Woven, numbered, told_at
from clothwright.project import Problem, ProblemsFound
from clothwright.project.parts.threading_parts import ThreadingPart

#: Kinds of end times kinds of lift that are looked at for ends that never weave in.
_MOST_CROSSINGS: Final = 1_000_000


def woven_on_shafts(asked: Structure, part: ThreadingPart, ends: int) -> Woven:
    """The ends on their shafts and what each pick lifts; ProblemsFound where threading, tie-up and shafts do not agree."""
    own = draft_of(asked, ends=ends, picks=asked.picks)
    with told_at("threading"):
        threading = read_written(part.threading).filled(ends) if part.threading else _straight(own, part, ends)
    highest = max((shaft for end in threading for shaft in end), default=1)
    tie_up, treadling, typed = _typed_lifts(part)
    named = [shaft for rows in (tie_up, typed or ()) for row in rows for shaft in row]
    shafts = max([highest, part.shafts or 0, *named])
    if shafts > MOST_SHAFTS:
        raise ProblemsFound(Problem(("draft", "threading"), f"{shafts} shafts: a loom has 1 to {MOST_SHAFTS}"))
    if part.shafts and shafts > part.shafts:
        sentence = f"shaft {shafts} is named, and there are {part.shafts}; say how many the loom has"
        raise ProblemsFound(Problem(("draft", "shafts"), sentence))
    with told_at("treadling" if part.treadling else "tie_up"):
        trodden = lifts_of(tie_up, treadling, shafts, rising=part.sheds == "rising") if tie_up else None
    lifts = typed or trodden or tuple(_as_kinds(row, own.shafts, shafts) for row in own.lifts)
    draft = Draft(shafts, threading, lifts, tie_up, treadling, part.sheds == "rising")
    words = tuple(_lift_words(draft, number) for number in range(len(lifts)))
    return Woven(
        draft=draft,
        written=written_out(threading),
        shaft_words=tuple(f"shaft {number}" for number in range(1, shafts + 1)),
        shorts=tuple("+".join(map(str, sorted(end))) or "none" for end in threading),
        sticks=(),
        sheds=tuple(ShedWoven(*one) for one in zip(words, lifts, strict=True)),
        notes=tuple(_shaft_notes(draft, part)),
    )


def _straight(own: Draft, part: ThreadingPart, ends: int) -> tuple[Shafts, ...]:
    """The structure's own threading; straight on more shafts where the loom is to use a multiple of its kinds."""
    kinds = [next(iter(end)) for end in own.threading]
    straight = kinds == [n % own.shafts + 1 for n in range(ends)]
    if not part.shafts or part.shafts == own.shafts or not straight:
        return own.threading
    if part.shafts < own.shafts:
        raise WrittenError(f"the structure asks for {own.shafts} shafts, and the draft says {part.shafts}")
    if part.shafts % own.shafts:
        raise WrittenError(
            f"the structure lifts its ends in {own.shafts} ways, which {part.shafts} shafts do not divide evenly"
        )
    return read_written(f"straight on {part.shafts}").filled(ends)


def _typed_lifts(part: ThreadingPart) -> tuple[tuple[Shafts, ...], tuple[Shafts, ...], tuple[Shafts, ...] | None]:
    """Tie-up, treadles trodden pick by pick, and lifts, as far as they are typed."""
    tie_up = read_sets(part.tie_up) if part.tie_up else ()
    if part.treadling and not tie_up:
        raise ProblemsFound(
            Problem(("draft", "tie_up"), "treadles are trodden, and nothing is tied to them; write the tie-up")
        )
    with told_at("treadling"):
        written = (
            read_written(part.treadling or "-".join(str(n) for n in range(1, len(tie_up) + 1))) if tie_up else None
        )
        treadling = written.filled(written.counted) if written else ()
    with told_at("lifting"):
        typed = read_sets(part.lifting) if part.lifting else None
    return tie_up, treadling, typed


def _as_kinds(row: Shafts, kinds: int, shafts: int) -> Shafts:
    """A lift of the structure's kinds of end, on shafts that do what the kinds do over and over."""
    return frozenset(shaft for shaft in range(1, shafts + 1) if (shaft - 1) % kinds + 1 in row)


def _lift_words(draft: Draft, pick: int) -> str:
    raised = numbered("shaft", draft.lifts[pick]) + " up" if draft.lifts[pick] else "no shaft up"
    if not draft.treadling:
        return raised
    return f"{numbered('treadle', draft.treadling[pick])}: {raised}"


def _shaft_notes(draft: Draft, part: ThreadingPart) -> Iterator[str]:
    bare = [number for number in range(1, draft.shafts + 1) if not any(number in end for end in draft.threading)]
    if bare:
        yield f"No end is on {numbered('shaft', frozenset(bare))}."
    if part.lifting and part.tie_up:
        yield "A lifting and a tie-up are both written; the lifting is taken."
    stays = _never_woven(draft)
    if stays and len(draft.lifts) > 1:
        yield f"{len(stays)} ends never weave in, the first of them end {stays[0]}: they stay up or down with every pick."
    if part.sticks:
        yield "Pick-up sticks are for a rigid heddle; those written are kept and not used."


def _never_woven(draft: Draft) -> list[int]:
    """Ends that stay up, or down, with every pick, counted from 1; none told where there are too many kinds to look at."""
    ends, lifts = set(draft.threading), set(draft.lifts)
    if len(ends) * len(lifts) > _MOST_CROSSINGS:
        return []
    still = {end for end in ends if len({bool(end & lift) for lift in lifts}) < 2}
    return [number for number, end in enumerate(draft.threading, 1) if end in still]
