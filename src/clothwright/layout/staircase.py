"""Which width costs the least yarn: layouts over many widths, and the time shared out among them.

The theory. A shorter layout on wider cloth is not less yarn. Yarn grows with width times length, and with
the waste of the loom for every end, while the length falls in steps: where one more piece fits beside
another, a centimetre of width can save half a metre of cloth, and the centimetres after it save nothing. So
yarn against width is a saw, the best widths lie just past a step, and the way to find them is to make
layouts at many widths.

Time goes where it may matter. Every width gets a hasty guess; then every width a short slice of search;
then the best six, or a quarter of them if that is more, a longer slice; and the rest goes to the best one,
on every worker with a seed of its own. Short slices flatter narrow cloth, which is why six are kept, not
two. A width is left out only if even cloth without waste (area ÷ width) would take more yarn there than the
best so far. A layout for one width is a layout for every wider one, so no step is ever longer than the one
before it.

What a slice takes is reckoned beforehand, from its limit and from what the solver was measured to overrun. So the
whole may end early, and late by a second at most for a dozen pieces.

Given `rounds` instead of seconds, no clock is read and no slice is cut: the same seed and rounds give the same
staircase on any machine. The first round goes over all widths, every second round after it to the best six or a
quarter, the others to the best one with as many seeds.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate

from clothwright.layout.area import least_length_cm, measured, narrowest_cm, refuse_too_wide
from clothwright.layout.arrangement import Copy, Layout
from clothwright.layout.first_guess import first_guess, tries_for
from clothwright.layout.on_executor import By, OnExecutor, all_answers, asked_of
from clothwright.layout.rounds import in_round
from clothwright.layout.rules import NO_RULES, Rules
from clothwright.layout.search import NO_EFFORT, Effort, Task, limit
from clothwright.layout.searchers import Asked, Searchers, to_solve
from clothwright.layout.squeezing import squeeze
from clothwright.layout.standing_in import stand_ins

YarnMetres = Callable[[float, float], float]

TIE = 0.001
ALL_SHARE, SIX_SHARE, ONE_SHARE = 0.35, 0.40, 0.25
REFINED, HASTY_TRIES = 2, 3
SHAPED_SHARE, LIKELY = 0.6, 6
HASTY_S, LEAST_TASK_S = 0.04, 0.16


@dataclass(frozen=True)
class Step:
    """One width of the staircase: the usable width, the shortest layout known for it, and the yarn, m."""

    width_cm: float
    layout: Layout
    yarn_m: float


Progress = Callable[[float, Step], None]


def staircase(
    copies: tuple[Copy, ...],
    widths_cm: Sequence[float],
    *,
    effort: Effort = NO_EFFORT,
    yarn_m: YarnMetres,
    rules: Rules = NO_RULES,
    seed: int = 1,
    by: By | None = None,
    workers: int = 2,
    progress: Progress | None = None,
) -> tuple[Step, ...]:
    """The best layout found at every width, narrowest first, after about `effort.seconds`, or so many rounds.

    `yarn_m(usable width cm, layout length cm)` gives metres of yarn, and must not fall as length grows.
    `by`: who searches; `workers`: how many tasks an executor runs at once. Without anybody, or with no effort, each
    layout is a hasty first guess, the likeliest two are less hasty, and the answer is always the same. `progress(share
    done, best step so far)` is called with whatever comes; what it raises ends the search. `TooWide` is raised if a
    piece does not fit on the narrowest cloth.

    Every layout keeps the `rules` that shapes can tell of. Where others are asked, those at the likeliest widths are made
    to keep as many as can be and squeezed in the last two fifths of the time; elsewhere nothing is done about them.
    """
    refuse_too_wide(copies, min(widths_cm))
    widths = sorted(set(widths_cm))
    tell = progress or (lambda _share, _step: None)
    searchers = asked_of(by, workers) if by is not None and (effort.seconds > 0 or effort.rounds > 0) else None
    if searchers:
        searchers.begin()
    tries = _hasty_tries(len(copies)) if searchers else HASTY_TRIES
    climb = _Climb(copies, yarn_m, _guesses(copies, widths, rules.in_shapes, seed, tries, searchers), rules.in_shapes)
    tell(0.0, best(climb.steps()))
    shaped = effort.part(SHAPED_SHARE) if rules.more_than_shapes else effort
    if searchers and effort.rounds > 0:
        _search_in_rounds(climb, shaped.rounds, seed, searchers, tell)
    elif searchers:
        left_s = max(0.0, shaped.seconds - HASTY_S * len(widths))
        _search_in_slices(climb, left_s, seed, searchers, tell)
    else:
        for width in climb.promising()[:REFINED]:
            climb.take(_guess(copies, width, climb.shaped, seed, max(1, tries_for(len(copies)) // 3)))
    steps = climb.steps()
    if searchers and rules.more_than_shapes:
        steps = _squeezed(climb, rules, effort.part(1 - SHAPED_SHARE), seed, searchers, tell)
    tell(1.0, best(steps))
    return steps


def _squeezed(
    climb: _Climb,
    rules: Rules,
    effort: Effort,
    seed: int,
    by: Searchers | OnExecutor,
    tell: Progress,
) -> tuple[Step, ...]:
    """The steps, those of the likeliest widths squeezed under all rules: some widths, then the best of them with more seeds."""
    steps = {step.width_cm: step for step in climb.steps()}
    ruled: dict[float, Step] = {}
    likely = sorted(steps.values(), key=lambda step: step.yarn_m)[:LIKELY]
    for times in (1, by.count):
        each_s = effort.seconds / 2 * by.count / (len(likely) * times)
        turns = [(step, seed + n) for n in range(times) for step in likely]
        asked = [
            Asked(squeeze, (climb.copies, step.layout, rules, each_s, number), telling=True, seconds=each_s)
            for step, number in turns
        ]
        for told in by.told(asked):
            if told.found is not None:
                _keep_shorter(climb, ruled, told.found)
                tell(SHAPED_SHARE, best(list(ruled.values())))
        likely = [steps[best(list(ruled.values())).width_cm]] if ruled else likely[:1]
    return tuple((steps | ruled)[width] for width in sorted(steps))


def _keep_shorter(climb: _Climb, ruled: dict[float, Step], layout: Layout) -> None:
    known = ruled.get(layout.width_cm)
    if known is None or layout.length_cm < known.layout.length_cm:
        yarn = climb.yarn_m(layout.width_cm, layout.length_cm)
        ruled[layout.width_cm] = Step(layout.width_cm, layout, yarn)


def _guesses(
    copies: tuple[Copy, ...],
    widths: Sequence[float],
    shaped: Rules,
    seed: int,
    tries: int,
    by: Searchers | OnExecutor | None,
) -> Iterator[Layout]:
    """A guess at each width, made here while the processes start; between two of them a search may be stopped."""
    for width in widths:
        if by:
            by.pulse()
        yield _guess(copies, width, shaped, seed, tries)


def _guess(copies: tuple[Copy, ...], width_cm: float, shaped: Rules, seed: int, tries: int) -> Layout:
    """A first guess of the shapes that stand in for the copies where a gap or a tolerance is asked, and they fit."""
    standing = stand_ins(copies, width_cm, shaped)
    if shaped == NO_RULES or narrowest_cm(standing.copies) > standing.width_cm:
        return first_guess(copies, width_cm, seed=seed, tries=tries)
    return standing.back(first_guess(standing.copies, standing.width_cm, seed=seed, tries=tries))


def best(steps: Sequence[Step]) -> Step:
    """The step that takes the least yarn; of those within 0.1 % of it, the narrowest."""
    least = min(step.yarn_m for step in steps)
    close = [step for step in steps if step.yarn_m <= least * (1 + TIE)]
    return min(close, key=lambda step: step.width_cm)


def _hasty_tries(count: int) -> int:
    """A quarter of the tries of a first guess: something to stand on until the search has been there."""
    return max(1, tries_for(count) // 4)


class _Climb:
    """The layouts known so far, one for each width."""

    def __init__(self, copies: tuple[Copy, ...], yarn_m: YarnMetres, layouts: Iterable[Layout], shaped: Rules) -> None:
        self.copies, self.yarn_m, self.shaped = copies, yarn_m, shaped
        self.found = {layout.width_cm: layout for layout in layouts}

    def take(self, layout: Layout) -> None:
        """Keep a layout if it is shorter than the one known for its width."""
        if layout.length_cm < self.found[layout.width_cm].length_cm:
            self.found[layout.width_cm] = layout

    def steps(self) -> tuple[Step, ...]:
        """The staircase as it stands, narrowest first; a layout serves wider cloth until one is shorter."""
        kept = accumulate((self.found[width] for width in sorted(self.found)), self._shorter)
        return tuple(Step(each.width_cm, each, self.yarn_m(each.width_cm, each.length_cm)) for each in kept)

    def _shorter(self, narrower: Layout, wider: Layout) -> Layout:
        """The layout for the wider cloth, or the other one laid on it if that is shorter."""
        if wider.length_cm <= narrower.length_cm:
            return wider
        return measured(self.copies, wider.width_cm, narrower.placed)

    def promising(self) -> list[float]:
        """The widths that could still be best, likeliest first; those with no step of their own last."""
        steps = self.steps()
        least = min(step.yarn_m for step in steps)
        hopeful = [step for step in steps if self._never_less_m(step.width_cm) < least]
        own = {step.width_cm for step in hopeful if step.layout is self.found[step.width_cm]}
        return [s.width_cm for s in sorted(hopeful, key=lambda s: (s.width_cm not in own, s.yarn_m))]

    def _never_less_m(self, width_cm: float) -> float:
        return self.yarn_m(width_cm, least_length_cm(self.copies, width_cm))


def _search_in_slices(climb: _Climb, seconds: float, seed: int, by: Searchers | OnExecutor, tell: Progress) -> None:
    """Search at all widths, then at the best six or a quarter, then at the best one only."""
    count = len(climb.found)
    begun = 0.0
    for share, kept, times in (
        (ALL_SHARE, count, 1),
        (SIX_SHARE, _close(count), 1),
        (ONE_SHARE, 1, by.count),
    ):
        widths = climb.promising()[:kept] * times
        tasks = _tasks(climb.copies, widths, share * seconds, by, seed, climb.shaped)
        done = 0
        for told in by.told([to_solve(task) for task in tasks]):
            done += told.ended
            if told.found:
                climb.take(told.found)
            tell(begun + share * done / len(tasks), best(climb.steps()))
        begun, seed = begun + share, seed + count


def _close(count: int) -> int:
    """How many widths are close enough to the best to be searched longer."""
    return max(6, count // 4)


def _search_in_rounds(climb: _Climb, rounds: int, seed: int, by: Searchers | OnExecutor, tell: Progress) -> None:
    """Search all widths, then by turns the best six or a quarter and the best one; in each round as much comes of every task."""
    count = len(climb.found)
    for number in range(rounds):
        kept = count if number == 0 else _close(count) if number % 2 else 1
        widths = climb.promising()[:kept] * (_close(count) if kept == 1 else 1)
        asked = [in_round(climb.copies, width, climb.shaped, seed + i) for i, width in enumerate(widths)]
        for layout in filter(None, all_answers(by, asked)):
            climb.take(layout)
        tell((number + 1) / rounds, best(climb.steps()))
        seed += len(widths)


def _tasks(
    copies: tuple[Copy, ...], widths: list[float], seconds: float, by: Searchers | OnExecutor, seed: int, shaped: Rules
) -> list[Task]:
    """A task for each width, as many as there is time for, to take `seconds` together on so many workers."""
    affordable = widths[: by.count * int(seconds / max(LEAST_TASK_S, by.least_task_s))]
    batches = max(1, math.ceil(len(affordable) / by.count))
    each_s = limit(seconds / batches, len(copies))
    return [Task(copies, w, each_s, seed + i, 1, shaped) for i, w in enumerate(affordable)]
