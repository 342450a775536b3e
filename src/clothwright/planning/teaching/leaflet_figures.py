"""The figures of a leaflet: ends, warp length and metres of every cloth at every heddle, known before or reckoned now."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from itertools import groupby
from typing import Final

import numpy as np

from clothwright.layout.searchers import Asked
from clothwright.measure import Draws, Interval
from clothwright.planning.job import Heddle, Job, Wanted
from clothwright.planning.sums import Sheet, figures, work_out
from clothwright.planning.teaching.leaflet_working import PATIENT_S, Answer, Working, answers_of, counter, digest
from clothwright.planning.weighing_up import WeighedUp, weigh_up

FIGURES_VERSION: Final = 1
#: So many cloths are reckoned in one task: a task of a few milliseconds costs more to hand out than to do.
_AT_ONCE: Final = 24
#: What a change of these in a project leaves as it was in every figure.
_NOT_IN_FIGURES: Final = {"leaflet", "want", "pattern", "name"}
Metres = tuple[float, float, float]


@dataclass(frozen=True)
class Figured:
    """Ends, warp length and metres (needed, low, high) of one cloth."""

    ends: int
    warp_cm: float
    warp_m: Metres
    weft_m: Metres


def figured(
    base: Job, heddles: Sequence[Heddle], cloths: Sequence[Wanted], by_hand: bool, working: Working
) -> dict[tuple[Heddle, Wanted], Figured]:
    """The figures of every cloth at every heddle: known before, or reckoned now."""
    stands_on = _stands_on(base, by_hand)
    cells = {
        (heddle, cloth): digest(stands_on, asdict(heddle), asdict(cloth)) for heddle in heddles for cloth in cloths
    }
    found = {cell: known for cell, key in cells.items() if (known := _figured(working.kept.get(key)))}
    missing = [cell for cell in cells if cell not in found]
    done = counter(working, len(cells), len(found), figures=True)
    for cell, answer in _reckoned(base, missing, by_hand, working):
        working.kept.put(cells[cell], answer)
        now = _figured(answer)
        assert now is not None  # made by the task below
        found[cell] = now
        done(1)
    return found


def reckon(base: Job, heddle: Heddle, cloths: Sequence[Wanted], by_hand: bool) -> list[Answer]:
    """The task: the figures of some cloths at a heddle, as plain data; each is the same whichever stand beside it."""
    job, like = base.at(heddle), None
    answers = []
    for cloth in cloths:
        asked = job.asking(cloth)
        if by_hand:
            answers.append(asdict(_by_hand(asked)))
        else:
            like = weigh_up(asked, like=like)
            answers.append(asdict(_at_the_trust(like)))
    return answers


def _reckoned(
    base: Job, cells: Sequence[tuple[Heddle, Wanted]], by_hand: bool, working: Working
) -> Iterator[tuple[tuple[Heddle, Wanted], Answer]]:
    batches: list[tuple[Heddle, list[Wanted]]] = []
    for heddle, group in groupby(cells, key=lambda cell: cell[0]):
        cloths = [cloth for _, cloth in group]
        batches += [(heddle, cloths[at : at + _AT_ONCE]) for at in range(0, len(cloths), _AT_ONCE)]
    work = [Asked(reckon, (base, heddle, cloths, by_hand), seconds=PATIENT_S) for heddle, cloths in batches]
    for number, answers in answers_of(work, working):
        heddle, cloths = batches[number]
        yield from (((heddle, cloth), answer) for cloth, answer in zip(cloths, answers, strict=True))


def _stands_on(base: Job, by_hand: bool) -> str:
    """A digest of all in the project that a figure may depend on."""
    project = base.project.model_dump(mode="json", exclude=_NOT_IN_FIGURES)
    return digest("figures", FIGURES_VERSION, by_hand, project, base.on_warp_sample_cm, repr(base.history))


def _figured(answer: Answer | None) -> Figured | None:
    try:
        return answer and Figured(  # type: ignore[return-value]
            int(answer["ends"]), float(answer["warp_cm"]), _three(answer["warp_m"]), _three(answer["weft_m"])
        )
    except (KeyError, TypeError, ValueError):
        return None


def _three(values: Sequence[float]) -> Metres:
    needed, low, high = map(float, values)
    return needed, low, high


def _by_hand(job: Job) -> Figured:
    """Ends, warp length and metres by sums that a reader can check."""
    assert job.wanted is not None  # a cell is a cloth wanted
    sums = work_out(job, figures(job), job.wanted, Sheet())
    weft = sums.weft_m
    return Figured(sums.ends, sums.warp_cm, (sums.warp_m,) * 3, (weft.expected, weft.low, weft.high))


def _at_the_trust(weighed: WeighedUp) -> Figured:
    """The same at the chances asked: the cloth is large enough, and the yarn lasts."""
    warp, weft = (_trusted(metres, weighed.trust) for metres in (weighed.outcome.warp_m, weighed.outcome.weft_m))
    return Figured(weighed.decision.ends, weighed.decision.warp_cm, warp, weft)


def _trusted(metres: Draws, trust: float) -> Metres:
    """What is enough with the chance asked, and the ends of nine cloths in ten."""
    spread = Interval.of_draws(metres)
    return round(float(np.quantile(metres, trust)), 2), round(spread.low, 2), round(spread.high, 2)
