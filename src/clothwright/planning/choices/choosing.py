"""Everything a weaver can choose at once, each choice planned anew: yarn against what is given up of the garment.

The theory. To fix the width and then pack the pieces leaves yarn on the loom: the heddle, the finished width, a join, one-way
cloth and the number of warps act on each other. So each combination is a job of its own, weighed up as any plan is at the
trust asked: its width chosen among the steps its pieces make, its ends and warp decided on the draws, its yarn held against the
stock. Nothing here plans by itself.

What is given up: nothing; one-way (pieces may be turned, if the cloth looks the same both ways up); a join; pieces from another
cloth; one warp (two are wound, or three, each with its waste and its sample, for the wide pieces and the narrow ones); the loom
(another that is owned, where it has a heddle of the same sett). Each is planned at the heddle of the plan, and the best of
each kind at the other heddles owned. At most `MOST_PLANS` are made, and how many is told.

Pieces are shared out among warps by their width: a narrow piece on a wide warp is what leaves waste beside it. Two warps are divided
at every width there is; three at two of the `CUTS_KEPT` divisions that did best for two. Each warp is woven on the loom
that takes least for it, so warps may be of different widths on different looms. Pieces on a warp are planned once, however
many ways have that warp.

Warps of one yarn draw on the same balls: the chance that the yarn lasts is reckoned of all needs together in each drawn cloth.
"""

from __future__ import annotations

import logging
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations, pairwise
from types import MappingProxyType
from typing import Any, Final

import numpy as np

from clothwright.evidence import NO_HISTORY, History
from clothwright.pattern import MAIN_CLOTH, Piece, often_of_other_cloth
from clothwright.planning.choices.narrow_cloth import SAME_SHARE, joined_job, takes
from clothwright.planning.forecast import share_out
from clothwright.planning.job import Garment, Job, job_of, on_other_looms, sett_candidates
from clothwright.planning.pieces.join_options import options_for
from clothwright.planning.weighing_up import WeighedUp, weigh_up
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.pattern.garment import every_piece

MOST_PLANS: Final = 40
CUTS_KEPT: Final = 4
_log = logging.getLogger(__name__)
_MOST_JOINS: Final = 6
_NO_DRAWINGS: Final[Mapping[str, bytes]] = MappingProxyType({})


@dataclass(frozen=True)
class ChosenWarp:
    """One warp of a choice: its ends, its length, and the finished cloth it gives, cm; `pieces`: what is cut from it.

    `loom`: the name of the loom it is woven on, where that is not the project's.
    """

    ends: int
    warp_cm: float
    cloth_width_cm: float
    cloth_length_cm: float
    pieces: tuple[str, ...]
    loom: str = ""


@dataclass(frozen=True)
class Choice:
    """A combination, planned: what is given up for it (nothing: empty), the heddle, the warps, and what it takes.

    `saves_m`: yarn against the plan as it stands. `as_good`: within 2 % of the least that gives up no more kinds of things.
    """

    given_up: tuple[str, ...]
    how: str
    heddle: str
    warps: tuple[ChosenWarp, ...]
    yarn_m: float
    chance_enough: float
    spare_m: float
    saves_m: float = 0.0
    as_good: bool = False

    def as_json(self) -> dict[str, Any]:
        """The choice as plain data."""
        return {
            "given_up": list(self.given_up),
            "how": self.how,
            "heddle": self.heddle,
            "warps": [{**vars(warp), "pieces": list(warp.pieces)} for warp in self.warps],
            "yarn_m": self.yarn_m,
            "saves_m": self.saves_m,
            "chance_enough": self.chance_enough,
            "spare_m": self.spare_m,
            "as_good_as_the_best": self.as_good,
        }


@dataclass(frozen=True)
class Choices:
    """Every choice planned, the least given up first and the least yarn within; `front`: those no other beats at both."""

    choices: tuple[Choice, ...]
    planned: int
    left_out: int
    not_laid: tuple[str, ...]

    @property
    def front(self) -> tuple[Choice, ...]:
        """The choices that take less yarn than all that give up no more."""
        kept: list[Choice] = []
        for one in sorted(self.choices, key=lambda c: (len(c.given_up), c.yarn_m)):
            if not kept or one.yarn_m < min(c.yarn_m for c in kept) - 1e-9:
                kept.append(one)
        return tuple(kept)

    def as_json(self) -> dict[str, Any]:
        """The answer as plain data: cm, m, shares."""
        return {
            "front": [one.as_json() for one in self.front],
            "choices": [one.as_json() for one in self.choices],
            "plans_made": self.planned,
            "ways_left_out": self.left_out,
            "not_laid": list(self.not_laid),
        }


@dataclass(frozen=True)
class _Way:
    """Something to be planned: one job, or one for each of several warps."""

    given_up: tuple[str, ...]
    how: str
    jobs: tuple[Job, ...]

    def at(self, job: Job) -> _Way:
        """The same at another job's heddle."""
        return replace(self, jobs=tuple(one.at(job.heddle) for one in self.jobs))


def choose(project: Project, *, drawings: Mapping[str, bytes] = _NO_DRAWINGS, history: History = NO_HISTORY) -> Choices:
    """Every choice for a project's garment that could be planned; ProblemsFound where there is no garment, or none could."""
    job = job_of(project, drawings, history)
    if job.garment is None:
        raise ProblemsFound(
            Problem(("pattern",), "no pattern is given, so there is nothing to choose between but its size")
        )
    pieces, _ = every_piece(job.as_typed, drawings)
    return _Choosing(job, pieces).answer()


@dataclass
class _Choosing:
    """Plans choices, counting them."""

    job: Job
    pieces: tuple[Piece, ...]
    planned: int = 0
    left_out: int = 0
    not_laid: list[str] = field(default_factory=list)
    forecasts: dict[tuple[str, str], WeighedUp] = field(default_factory=dict)
    warps: dict[tuple[str, ...], WeighedUp] = field(default_factory=dict)

    def answer(self) -> Choices:
        """Everything at the plan's heddle; then the best of each kind at the others."""
        found = [(way, one) for way in self._ways() for one in self._planned(way)]
        found += [(way, one) for way in self._three_warps(found) for one in self._planned(way)]
        best: dict[tuple[str, ...], tuple[_Way, Choice]] = {}
        for way, one in found:
            if one.given_up not in best or one.yarn_m < best[one.given_up][1].yarn_m:
                best[one.given_up] = (way, one)
        choices = [one for _, one in found]
        for heddle, _ in sett_candidates(self.job.as_typed, self.job.yarns):
            if heddle != self.job.heddle:
                other = self.job.at(heddle)
                choices += [one for way, _ in best.values() for one in self._planned(way.at(other))]
        if not choices:
            raise ProblemsFound(
                Problem(("pattern",), self.not_laid[0] if self.not_laid else "nothing could be planned")
            )
        as_it_is = next(
            (one.yarn_m for one in choices if not one.given_up and one.heddle == self.job.heddle.name), None
        )
        return Choices(_ranked(choices, as_it_is), self.planned, self.left_out, tuple(self.not_laid))

    @property
    def _garment(self) -> Garment:
        assert self.job.garment is not None  # asked only for a garment
        return self.job.garment

    def _ways(self) -> Iterator[_Way]:
        yield _Way((), "as it stands", (self.job,))
        if self._garment.one_way or any(piece.one_way for piece in self._garment.pieces):
            yield _Way(("one way",), "pieces turned end for end", (self._turned(self.job),))
        yield from self._joins()
        hidden = [p for p in self._garment.pieces if often_of_other_cloth(p.panel_of or p.name)]
        kept = tuple(p for p in self._garment.pieces if p not in hidden)
        if hidden and kept:
            names = ", ".join(dict.fromkeys(p.name for p in hidden))
            yield _Way(("other cloth",), f"{names} from other cloth", (_cutting(self.job, kept),))
        for other in on_other_looms(self.job):
            yield _Way(("this loom",), f"on the {other.loom.name}", (other,))
        yield from (self._divided((cut,)) for cut in self._cuts())

    def _turned(self, job: Job) -> Job:
        turned = tuple(replace(piece, one_way=False) for piece in self._garment.pieces)
        return replace(job, garment=replace(self._garment, one_way=False, pieces=turned))

    def _joins(self) -> Iterator[_Way]:
        """A join of each piece, the largest first, by the ways there are for cloth as wide as the loom gives."""
        widest = self._forecast_width() - 2 * self._garment.trim_cm
        wide = sorted(self._garment.pieces, key=lambda p: (p.width_cm <= widest, -p.area_cm2 * p.cut))
        left = _MOST_JOINS
        for piece in wide:
            for option in options_for(piece, widest) if piece.panel_of is None and left else ():
                if left:
                    left -= 1
                    job = joined_job(self.job, self.pieces, (option.part,))
                    yield _Way(("a join",), f"{piece.name} joined {option.what}", (job,))

    def _forecast_width(self) -> float:
        from clothwright.planning.forecast import Forecast

        return Forecast(self.job).widest_finished(self.job.project.trust.size.expected)

    def _by_width(self) -> list[Piece]:
        return sorted(self._garment.pieces, key=lambda piece: -piece.width_cm)

    def _cuts(self) -> list[int]:
        """After how many of the pieces, the widest first, there is a step in width at which warps may be divided."""
        wide_to_narrow = enumerate(pairwise(self._by_width()), start=1)
        return [count for count, (wide, narrow) in wide_to_narrow if narrow.width_cm < wide.width_cm - 0.5]

    def _divided(self, cuts: Sequence[int]) -> _Way:
        """The pieces from the widest on, divided among warps after so many of them."""
        pieces = self._by_width()
        groups = [tuple(pieces[begin:end]) for begin, end in pairwise((0, *cuts, len(pieces)))]
        words = ("on one warp", "on another", "on a third")
        how = ", ".join(
            f"{', '.join(p.name for p in group)} {word}" for group, word in zip(groups, words, strict=False)
        )
        given_up = ("one warp",) if len(cuts) == 1 else ("one warp", "two warps")
        return _Way(given_up, how, tuple(_cutting(self.job, group) for group in groups))

    def _three_warps(self, found: list[tuple[_Way, Choice]]) -> Iterator[_Way]:
        """Two of the divisions at once that did best for two warps."""
        yarn_m = {way.how: one.yarn_m for way, one in found if one.given_up == ("one warp",)}
        done = [cut for cut in self._cuts() if self._divided((cut,)).how in yarn_m]
        kept = sorted(done, key=lambda cut: yarn_m[self._divided((cut,)).how])[:CUTS_KEPT]
        yield from (self._divided(cuts) for cuts in combinations(sorted(kept), 2))

    def _planned(self, way: _Way) -> Iterator[Choice]:
        looms = 1 + len(self.job.as_typed.other_loom) if len(way.jobs) > 1 else 1
        new = [job for job in way.jobs if _warp_key(job) not in self.warps]
        if self.planned + len(new) * looms > MOST_PLANS:
            self.left_out += 1
            return
        self.planned += len(new) * looms
        try:
            weighed = [self._on_best_loom(job) if len(way.jobs) > 1 else self._weighed(job) for job in way.jobs]
        except ProblemsFound as wrong:
            self.not_laid.append(
                f"{way.how} ({way.jobs[0].heddle.name}): {wrong.problems[0].sentence.partition('. ')[0]}"
            )
            return
        except RuntimeError as fault:  # a layout that the judge refused: one way less, and the others stand
            _log.exception("choice %s", way.how)
            self.not_laid.append(f"{way.how}: the fault is the program's, {str(fault).partition(':')[0]}")
            return
        yield _choice(way, weighed, self.job.as_typed)

    def _weighed(self, job: Job) -> WeighedUp:
        """A job planned anew, the draws of its loom and heddle used again."""
        key = (job.loom.name, job.heddle.name)
        like = self.forecasts.get(key)
        found = weigh_up(job, like=like)
        self.forecasts.setdefault(key, replace(found, fitted=None))
        return found

    def _on_best_loom(self, job: Job) -> WeighedUp:
        """One of several warps on the loom that takes least yarn for it, planned once; ProblemsFound where none can."""
        key = _warp_key(job)
        if key not in self.warps:
            here, *others = (job, *on_other_looms(job))
            found = [one for other in others for one in self._if_it_can(other)]
            found = [*self._if_it_can(here), *found] or [self._weighed(here)]
            self.warps[key] = min(found, key=lambda one: takes(one).yarn_m)
        return self.warps[key]

    def _if_it_can(self, job: Job) -> Iterator[WeighedUp]:
        try:
            yield self._weighed(job)
        except ProblemsFound:
            return


def _warp_key(job: Job) -> tuple[str, ...]:
    return (job.heddle.name, *_names(job))


def _cutting(job: Job, pieces: tuple[Piece, ...]) -> Job:
    assert job.garment is not None  # asked only for a garment
    main = tuple(piece for piece in pieces if piece.material == MAIN_CLOTH)
    return replace(job, garment=replace(job.garment, pieces=main))


def _elsewhere(job: Job, project: Project) -> str:
    """The loom of a job, where it is not the project's."""
    return job.loom.name if job.loom != project.loom else ""


def _choice(way: _Way, weighed: Sequence[WeighedUp], project: Project) -> Choice:
    """What the warps of a way take together, of one stock."""
    took = [takes(one) for one in weighed]
    warps = tuple(
        ChosenWarp(
            t.ends, t.warp_cm, t.cloth_width_cm, t.cloth_length_cm, _names(one.job), _elsewhere(one.job, project)
        )
        for t, one in zip(took, weighed, strict=True)
    )
    slack = _slack(weighed)
    return Choice(
        given_up=way.given_up,
        how=way.how,
        heddle=way.jobs[0].heddle.name,
        warps=warps,
        yarn_m=sum(t.yarn_m for t in took),
        chance_enough=float(np.mean(slack >= 0)),
        spare_m=float(np.median(slack)),
    )


def _slack(weighed: Sequence[WeighedUp]) -> Any:
    """Metres to spare in each drawn cloth when all warps draw on the same balls."""
    first = weighed[0]
    if len(weighed) == 1:
        return first.stock.slack_m
    warp_m = sum((one.outcome.warp_m for one in weighed[1:]), first.outcome.warp_m)
    weft_m = sum((one.outcome.weft_m for one in weighed[1:]), first.outcome.weft_m)
    longest = max(weighed, key=lambda one: one.decision.warp_cm).decision
    return share_out(first.job, first.forecast.balls, longest, warp_m, weft_m).slack_m


def _names(job: Job) -> tuple[str, ...]:
    assert job.garment is not None  # asked only for a garment
    return tuple(piece.name for piece in job.garment.pieces)


def _ranked(choices: Sequence[Choice], as_it_is_m: float | None) -> tuple[Choice, ...]:
    """Least given up first, then least yarn; those within 2 % of the least of their kind told so."""
    least: dict[tuple[str, ...], float] = {}
    for one in choices:
        least[one.given_up] = min(one.yarn_m, least.get(one.given_up, np.inf))
    told = (
        replace(
            one,
            saves_m=0.0 if as_it_is_m is None else as_it_is_m - one.yarn_m,
            as_good=one.yarn_m <= least[one.given_up] * (1 + SAME_SHARE),
        )
        for one in choices
    )
    return tuple(sorted(told, key=lambda one: (len(one.given_up), one.given_up, one.yarn_m)))
