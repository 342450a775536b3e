"""The front door of the room: a layout that keeps the rules, the length it can never beat, and what could not be kept.

Three ways to look, all by the same parts: for some seconds in processes of one's own that tell of every better layout
(`Searchers`); for some seconds through any executor, in tasks of seconds that a cluster may carry; or for so many rounds,
with no clock at all, which gives the same answer for the same seed on any machine.

A rule that no layout can keep is not kept in silence: rules are tried all together, then with one kind left out after the
other, and what was left out is said in words beside the layout. What is given out has no fault under the rules kept.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from clothwright.layout.area import refuse_too_wide
from clothwright.layout.arrangement import Copy, Layout
from clothwright.layout.bound import Bound, lower_bound
from clothwright.layout.first_guess import first_guess
from clothwright.layout.judge import faults
from clothwright.layout.keeping_most import about_nothing, fewer_and_fewer
from clothwright.layout.on_executor import By, OnExecutor, all_answers, asked_of
from clothwright.layout.rounds import in_round
from clothwright.layout.ruled import ruled_guess
from clothwright.layout.rules import NO_RULES, Rules
from clothwright.layout.search import NO_EFFORT, Effort, Task, limit, seconds_to_search
from clothwright.layout.searchers import Searchers, to_solve

LONGEST_TASK_S = 60.0
Tell = Callable[[Layout], None]


@dataclass(frozen=True)
class Found:
    """A layout without faults under the rules that were `kept`, what was not, in words, and the length to hold it against."""

    layout: Layout
    kept: Rules
    unkept: tuple[str, ...]
    bound: Bound

    @property
    def over_bound(self) -> float:
        """Length over the bound: at 1 there is nothing shorter to be found."""
        return self.layout.length_cm / self.bound.length_cm if self.bound.length_cm else 1.0


def find(
    copies: tuple[Copy, ...],
    width_cm: float,
    *,
    rules: Rules = NO_RULES,
    effort: Effort = NO_EFFORT,
    seed: int = 1,
    by: By | None = None,
    workers: int = 2,
    tell: Tell | None = None,
) -> Found:
    """The shortest layout found; `TooWide` if a piece does not fit on cloth of `width_cm`.

    `by`: who looks, at `workers` tasks at once; rounds need nobody, and are the same with an executor. `tell` is called
    with each better layout as it comes, the first guess first; what it raises ends the search, and leaves what it was
    told.
    """
    refuse_too_wide(copies, width_cm)
    best, kept, unkept = _to_begin_with(copies, width_cm, rules, seed)
    say = tell or (lambda _layout: None)
    say(best)
    for layout in _looked_for(copies, width_cm, kept, effort, seed, by, workers):
        if layout is not None and layout.length_cm < best.length_cm:
            best = layout
            say(best)
    return Found(best, kept, unkept, lower_bound(copies, width_cm, kept))


def _to_begin_with(
    copies: tuple[Copy, ...], width_cm: float, rules: Rules, seed: int
) -> tuple[Layout, Rules, tuple[str, ...]]:
    """A first layout, with the most rules it can keep, and words for those it cannot and those that name no piece."""
    unkept = tuple(about_nothing(copies, rules))
    for kept, words in fewer_and_fewer(rules):
        layout = quick_layout(copies, width_cm, kept, seed)
        if layout is not None and not faults(copies, layout, rules=kept):
            return layout, kept, (*unkept, *words)
    raise AssertionError("pieces laid down one behind the other have no faults")


def quick_layout(copies: tuple[Copy, ...], width_cm: float, rules: Rules, seed: int = 1) -> Layout | None:
    """A layout at once that keeps the rules; None if there is none to be had so."""
    if rules == NO_RULES:
        return first_guess(copies, width_cm, seed=seed)
    return ruled_guess(copies, width_cm, rules, seed=seed)


def _looked_for(
    copies: tuple[Copy, ...],
    width_cm: float,
    rules: Rules,
    effort: Effort,
    seed: int,
    by: By | None,
    workers: int,
) -> Iterator[Layout | None]:
    """Layouts as they are found, whichever way."""
    if effort.rounds:
        yield from _in_rounds(copies, width_cm, rules, effort.rounds, seed, by)
    elif isinstance(by, Searchers) and effort.seconds > 0:
        yield from by.improved(tasks(copies, width_cm, rules, effort.seconds, seed, by.count), effort.seconds)
    elif by is not None and effort.seconds > 0:
        yield from _by_executor(copies, width_cm, rules, effort.seconds, seed, asked_of(by, workers))


def tasks(copies: tuple[Copy, ...], width_cm: float, rules: Rules, seconds: float, seed: int, cores: int) -> list[Task]:
    """One search with all cores: it was measured to come further than a search for each. Squeezing has one thread only."""
    if rules.more_than_shapes:
        return [Task(copies, width_cm, seconds, seed + number, 1, rules) for number in range(cores)]
    return [Task(copies, width_cm, seconds_to_search(seconds, len(copies)), seed, cores, rules)]


def _by_executor(
    copies: tuple[Copy, ...],
    width_cm: float,
    rules: Rules,
    seconds: float,
    seed: int,
    by: Searchers | OnExecutor,
) -> Iterator[Layout | None]:
    """Tasks of one thread each, a seed for each, again and again until the time is shared out."""
    turns = max(1, round(seconds / LONGEST_TASK_S))
    each = limit(seconds / turns, len(copies))
    shared = [to_solve(Task(copies, width_cm, each, seed + number, 1, rules)) for number in range(turns * by.count)]
    yield from (told.found for told in by.told(shared))


def _in_rounds(
    copies: tuple[Copy, ...], width_cm: float, rules: Rules, rounds: int, seed: int, by: By | None
) -> Iterator[Layout | None]:
    """What each round finds, in order; who works changes nothing of what comes out."""
    asked = [in_round(copies, width_cm, rules, seed + number) for number in range(rounds)]
    yield from all_answers(by, asked) if by else (each.do(*each.with_) for each in asked)
