"""What a pressed button does to an order of colours, run by run, and what the history calls it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from clothwright.colours import HandRun, run_changed, run_held, run_moved, run_split, run_taken_away
from clothwright.web.colours.colour_sides import Side


class Refused(ValueError):
    """What was asked of the order cannot be done; the message says why, in one sentence."""


@dataclass(frozen=True)
class Step:
    """A change of the order: the runs after it, what it is called in the history, and the run looked at then."""

    runs: Sequence[HandRun]
    what: str
    run: int | None = None


#: What a button asks of the runs: which run, on which side, with what was posted.
_Act = Callable[[Sequence[HandRun], int, Side, Mapping[str, str]], Step]


def stepped(verb: str, runs: Sequence[HandRun], number: int | None, side: Side, posted: Mapping[str, str]) -> Step:
    """The step of a pressed button; Refused where it cannot be done, KeyError where there is no such button."""
    if verb == KEEP:
        return Step(runs, f"kept the {side.order}")
    if number is None or number >= len(runs):
        raise Refused(f"There is no such run of {side.threads}; look at the order as it is now.")
    return STEPS[verb](runs, number, side, posted)


def _hold(runs: Sequence[HandRun], number: int, _side: Side, _posted: Mapping[str, str]) -> Step:
    return Step(run_held(runs, number, held=True), f"held run {number + 1}, {runs[number].yarn}")


def _let(runs: Sequence[HandRun], number: int, _side: Side, _posted: Mapping[str, str]) -> Step:
    return Step(run_held(runs, number, held=False), f"released run {number + 1}, {runs[number].yarn}")


def _change(runs: Sequence[HandRun], number: int, side: Side, posted: Mapping[str, str]) -> Step:
    was, yarn = runs[number], posted.get("yarn", "").strip() or runs[number].yarn
    many = _number_of(posted.get("ends", ""), "the run", side)
    if many < 1:
        raise Refused(f"0 {side.threads}: a run has one at least; take the run away instead.")
    return Step(
        run_changed(runs, number, yarn=yarn, ends=many),
        f"run {number + 1}: {was.ends} {was.yarn} → {many} {yarn}",
        number,
    )


def _split(runs: Sequence[HandRun], number: int, side: Side, posted: Mapping[str, str]) -> Step:
    after = _number_of(posted.get("after", ""), "the first part", side)
    try:
        split = run_split(runs, number, after)
    except ValueError as why:
        said = str(why).replace("ends", side.threads)
        raise Refused(f"{said[:1].upper()}{said[1:]}.") from None
    return Step(split, f"split run {number + 1}, {runs[number].yarn}", number)


def _move(by: int) -> _Act:
    def moved(runs: Sequence[HandRun], number: int, _side: Side, _posted: Mapping[str, str]) -> Step:
        after, to = run_moved(runs, number, by)
        return Step(after, f"moved {runs[number].yarn} from run {number + 1} to {to + 1}", to)

    return moved


def _take(runs: Sequence[HandRun], number: int, _side: Side, _posted: Mapping[str, str]) -> Step:
    return Step(run_taken_away(runs, number), f"took away run {number + 1}, {runs[number].yarn}")


KEEP: Final = "keep"
#: Buttons that look at no run.
WHOLE: Final = (KEEP, "draw", "loosen")
#: Buttons that change one run.
STEPS: Final[dict[str, _Act]] = {
    "hold": _hold,
    "release": _let,
    "change": _change,
    "split": _split,
    "earlier": _move(-1),
    "later": _move(1),
    "take": _take,
}


def _number_of(text: str, of: str, side: Side) -> int:
    if not text.strip().isdecimal() or len(text.strip()) > 5:
        raise Refused(f"“{text.strip()[:40]}”: how many {side.threads} has {of}? Write a whole number, as 4.")
    return int(text)
