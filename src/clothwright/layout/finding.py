"""The front door of the room: a layout that keeps the rules, the length it can never beat, and what could not be kept.

Three ways to look, all by the same parts: for some seconds in processes of one's own that tell of every better layout
(`Searchers`); for some seconds through any executor, in tasks of seconds that a cluster may carry; or for so many rounds,
with no clock at all, which gives the same answer for the same seed on any machine.

A rule that no layout can keep is not kept in silence: rules are tried all together, then with one kind left out after the
other, and what was left out is said in words beside the layout. What is given out has no fault under the rules kept.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import Executor
from dataclasses import dataclass, replace

from clothwright.layout.area import refuse_too_wide
from clothwright.layout.arrangement import Copy, Layout
from clothwright.layout.bound import Bound, lower_bound
from clothwright.layout.first_guess import first_guess
from clothwright.layout.judge import faults
from clothwright.layout.rounds import in_round
from clothwright.layout.ruled import made_to_keep, ruled_guess
from clothwright.layout.rules import NO_RULES, Rules
from clothwright.layout.search import NO_EFFORT, Effort, Task, length, limit, seconds_to_search
from clothwright.layout.searchers import Searchers, all_answers, run, to_solve

LONGEST_TASK_S = 60.0
#: Kinds of rules in the order they are given up in, with the words for it.
GIVEN_UP = (
    ("matches", "stripes are not matched"),
    ("selvedges", "edges are not all laid on a selvedge"),
    ("selvedge_cm", "pieces lie nearer to the selvedges than asked"),
    ("lots", "pieces do not follow the order of the lots"),
    ("whole_width", "other pieces lie beside those over the whole width"),
    ("stripes", "stripes are not looked at, turned and mirrored pieces included"),
    ("flaws", "flaws are covered"),
    ("gap_cm", "the gap between pieces is not kept"),
    ("locked", "locked pieces are moved"),
)

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
    by: Searchers | Executor | None = None,
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
    unkept = tuple(_about_nothing(copies, rules))
    for kept, words in _fewer_and_fewer(rules):
        layout = quick_layout(copies, width_cm, kept, seed)
        if layout is not None and not faults(copies, layout, rules=kept):
            return layout, kept, (*unkept, *words)
    raise AssertionError("pieces laid down one behind the other have no faults")


@dataclass(frozen=True)
class Kept:
    """A layout without faults under the rules it `kept`, and in words those it could not."""

    layout: Layout
    kept: Rules
    unkept: tuple[str, ...]


def with_rules(copies: tuple[Copy, ...], layout: Layout, rules: Rules, *, tries: int = 2, seed: int = 1) -> Kept:
    """A layout found without rules, as it is where it keeps them, else laid again so that it keeps as many as can be.

    `tries`: how many orders are tried beside its own. The layout must have no fault without rules.
    """
    unheard = tuple(_about_nothing(copies, rules))
    if not faults(copies, layout, rules=rules):
        return Kept(layout, rules, unheard)
    for kept, words in _fewer_and_fewer(rules):
        again = (
            (layout,)
            if kept == NO_RULES
            else (
                layout,
                made_to_keep(copies, layout, kept),
                ruled_guess(copies, layout.width_cm, kept, seed=seed, tries=tries),
            )
        )
        sound = [one for one in again if one is not None and not faults(copies, one, rules=kept)]
        if sound:
            return Kept(min(sound, key=length), kept, (*unheard, *words))
    raise ValueError("a layout with faults of its own was to be made to keep rules")


def quick_layout(copies: tuple[Copy, ...], width_cm: float, rules: Rules, seed: int = 1) -> Layout | None:
    """A layout at once that keeps the rules; None if there is none to be had so."""
    if rules == NO_RULES:
        return first_guess(copies, width_cm, seed=seed)
    return ruled_guess(copies, width_cm, rules, seed=seed)


def _fewer_and_fewer(rules: Rules) -> Iterator[tuple[Rules, tuple[str, ...]]]:
    """All rules, then each kind left out alone, then one after the other as well as those before it."""
    yield rules, ()
    asked = [(name, words) for name, words in GIVEN_UP if getattr(rules, name) != getattr(NO_RULES, name)]
    for name, words in asked:
        yield _without(rules, name), (words,)
    left = rules
    for number, (name, _) in enumerate(asked):
        left = _without(left, name)
        if number:
            yield left, tuple(words for _, words in asked[: number + 1])
    yield NO_RULES, (*(words for _, words in asked), "pieces are turned end for end or off the grain as drawn")


def _without(rules: Rules, name: str) -> Rules:
    return replace(rules, **{name: getattr(NO_RULES, name)})


def _about_nothing(copies: tuple[Copy, ...], rules: Rules) -> Iterator[str]:
    """Rules that name a piece which is not cut."""
    pieces = {copy.piece for copy in copies}
    named = [
        *(p.piece for p in rules.locked),
        *(edge.piece for edge in rules.selvedges),
        *(point.piece for point in rules.matches),
        *rules.whole_width,
        *(piece for lot in rules.lots for piece in lot),
    ]
    yield from (
        f"a rule is about {name}, which is not among the pieces" for name in dict.fromkeys(named) if name not in pieces
    )


def _looked_for(
    copies: tuple[Copy, ...],
    width_cm: float,
    rules: Rules,
    effort: Effort,
    seed: int,
    by: Searchers | Executor | None,
    workers: int,
) -> Iterator[Layout | None]:
    """Layouts as they are found, whichever way."""
    if effort.rounds:
        yield from _in_rounds(copies, width_cm, rules, effort.rounds, seed, by)
    elif isinstance(by, Searchers) and effort.seconds > 0:
        yield from by.improved(tasks(copies, width_cm, rules, effort.seconds, seed, by.count), effort.seconds)
    elif isinstance(by, Executor) and effort.seconds > 0:
        yield from _by_executor(copies, width_cm, rules, effort.seconds, seed, by, workers)


def tasks(copies: tuple[Copy, ...], width_cm: float, rules: Rules, seconds: float, seed: int, cores: int) -> list[Task]:
    """One search with all cores: it was measured to come further than a search for each."""
    return [Task(copies, width_cm, seconds_to_search(seconds, len(copies)), seed, cores, rules)]


def _by_executor(
    copies: tuple[Copy, ...],
    width_cm: float,
    rules: Rules,
    seconds: float,
    seed: int,
    executor: Executor,
    workers: int,
) -> Iterator[Layout | None]:
    """Tasks of one thread each, a seed for each, again and again until the time is shared out."""
    turns = max(1, round(seconds / LONGEST_TASK_S))
    each = limit(seconds / turns, len(copies))
    shared = [to_solve(Task(copies, width_cm, each, seed + number, 1, rules)) for number in range(turns * workers)]
    yield from run(executor, shared)


def _in_rounds(
    copies: tuple[Copy, ...], width_cm: float, rules: Rules, rounds: int, seed: int, by: Searchers | Executor | None
) -> Iterator[Layout | None]:
    """What each round finds, in order; who works changes nothing of what comes out."""
    asked = [in_round(copies, width_cm, rules, seed + number) for number in range(rounds)]
    yield from all_answers(by, asked) if by else (each.do(*each.with_) for each in asked)
