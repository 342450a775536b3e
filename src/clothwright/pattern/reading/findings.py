"""What reading a drawing turned up: problems, which refuse it, and notes, which only tell.

Problems and notes are gathered while reading goes on, so that a drawing with twenty faults is sent back once.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from clothwright.pattern.faults import Fault

MOST_SENTENCES = 50
MOST_NAMED = 8
LONGEST_QUOTE = 60


class DrawingRefused(ValueError):
    """A drawing that cannot be read as it is; `problems` holds one sentence for each fault found."""

    def __init__(self, problems: Iterable[str]) -> None:
        self.problems = tuple(one_line(problem) for problem in problems)
        super().__init__(" ".join(self.problems))


@dataclass
class Findings:
    """The problems and notes of one reading, each kept once and in order.

    `left_out` collects the labels of what was not used, under the reason, so that many make one sentence. `units_cm` is
    what readers took one unit of the drawing as.
    """

    problems: dict[str, None] = field(default_factory=dict)
    notes: dict[str, None] = field(default_factory=dict)
    left_out: dict[str, dict[str, None]] = field(default_factory=dict)
    #: Whether the pieces are only looked at: a fault is then kept to be told, and refuses nothing.
    looking: bool = False
    faults: dict[Fault, None] = field(default_factory=dict)
    units_cm: set[float] = field(default_factory=set)

    def problem(self, sentence: str) -> None:
        """Keep a fault that refuses the drawing."""
        self.problems[sentence] = None

    def fault(self, fault: Fault) -> None:
        """Keep a fault of which the drawing can still be looked at; where it is to be laid out it is a problem."""
        if self.looking:
            self.faults[fault] = None
        else:
            self.problem(fault.refusal)

    @property
    def unit_cm(self) -> float | None:
        """What one unit of the drawing was taken as, cm; None where that differs from page to page, or is not known."""
        return next(iter(self.units_cm)) if len(self.units_cm) == 1 else None

    def note(self, sentence: str) -> None:
        """Keep something the weaver should know, though the drawing can be read."""
        self.notes[sentence] = None

    def leave_out(self, reason: str, what: str) -> None:
        """Keep that `what` was not used, for this reason."""
        self.left_out.setdefault(reason, {})[what] = None

    def refuse_if_any(self) -> None:
        """Raise DrawingRefused with every problem so far, if there is one."""
        if self.problems:
            raise DrawingRefused(_shortened(tuple(self.problems), "problems"))

    def as_notes(self) -> tuple[str, ...]:
        """Every note, then one sentence for each reason for which something was left out."""
        left = (f"{reason}: {listed(tuple(names))}." for reason, names in self.left_out.items())
        return tuple(one_line(note) for note in _shortened((*self.notes, *left), "notes"))


def _shortened(sentences: tuple[str, ...], kind: str) -> tuple[str, ...]:
    more = len(sentences) - MOST_SENTENCES
    return sentences if more <= 0 else (*sentences[:MOST_SENTENCES], f"And {more} more {kind} of the same drawing.")


def listed(names: tuple[str, ...]) -> str:
    """The names with commas; a long list ends in how many more there are."""
    more = len(names) - MOST_NAMED
    return ", ".join(names[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")


def one_line(text: str) -> str:
    """The text on one line, without control characters, which somebody else's file may hold."""
    return " ".join("".join(letter if letter.isprintable() else " " for letter in text).split())


def quoted(text: str) -> str:
    """What somebody typed, in quotation marks, on one line, shortened, without control characters."""
    line = one_line(text)
    return f"“{line if len(line) <= LONGEST_QUOTE else line[: LONGEST_QUOTE - 1] + '…'}”"
