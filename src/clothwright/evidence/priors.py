"""The table of what is believed before anything of this cloth has been measured."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, lru_cache
from importlib import resources
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

#: The group of a fibre that is not known, or of a mixture: its row is of all fibres together.
POOLED: Final = "unknown"


class Step(StrEnum):
    """The unknowns of one cloth, all logarithms; design order: width states, length states, picks, pick length."""

    DRAW_IN = "draw_in"
    WIDTH_RELEASE = "width_release"
    WIDTH_FINISHING = "width_finishing"
    TAKE_UP = "take_up"
    LENGTH_RELEASE = "length_release"
    LENGTH_FINISHING = "length_finishing"
    PICKS = "picks"
    PICK_LENGTH = "pick_length"


STEPS: tuple[Step, ...] = tuple(Step)
WIDTH_STEPS: tuple[Step, ...] = (Step.DRAW_IN, Step.WIDTH_RELEASE, Step.WIDTH_FINISHING)
LENGTH_STEPS: tuple[Step, ...] = (Step.LENGTH_RELEASE, Step.LENGTH_FINISHING)


@dataclass(frozen=True)
class RatioPrior:
    """Means and spreads of the width and length steps for a fibre and a finish."""

    fibre: str
    finish: str
    mean: dict[Step, float]
    sd: dict[Step, float]
    source: str


@cache
def table() -> dict[str, Any]:
    """The prior table as data: what was fitted to reports, and what stands beside it."""
    folder = resources.files(__package__)
    fitted, beside = (
        tomllib.loads(folder.joinpath(name).read_text(encoding="utf-8")) for name in ("ratios.toml", "priors.toml")
    )
    return {**fitted, **beside}


@lru_cache(maxsize=4096)
def fibre_group(fibre: str) -> str:
    """The fibre whose row holds for a description such as "merino and silk"; mixtures and the unknown are pooled."""
    found = [group for group, words in table()["fibre_words"].items() if any(word in fibre.lower() for word in words)]
    return found[0] if len(found) == 1 else POOLED


def fibre_words() -> tuple[str, ...]:
    """Every word by which a fibre is known, the longer before the shorter."""
    return tuple(sorted((one for words in table()["fibre_words"].values() for one in words), key=len, reverse=True))


@lru_cache(maxsize=4096)
def finish_group(finish: str) -> str:
    """Gentle, machine or fulled, by the words of a finishing recipe; nothing said is taken as gentle."""
    words = table()["finish_words"]
    return next((how for how in words if any(word in finish.lower() for word in words[how])), "gentle")


@lru_cache(maxsize=4096)
def ratio_prior(fibre: str, finish: str) -> RatioPrior:
    """The row for a fibre and a finish; the pooled row where the table has none."""
    group, how = fibre_group(fibre), finish_group(finish)
    rows = {(row["fibre"], row["finish"]): row for row in table()["ratio"]}
    row = rows.get((group, how)) or rows[POOLED, how]
    steps = [step for step in STEPS if step in row]
    return RatioPrior(
        row["fibre"],
        row["finish"],
        {step: row[step]["mean"] for step in steps},
        {step: row[step]["sd"] for step in steps},
        row["source"],
    )


def step_spreads(prior: RatioPrior) -> NDArray[np.float64]:
    """Standard deviation of each step; the pick length's is what it adds to the draw-in."""
    rest = {
        Step.PICKS: table()["picks"]["sd"],
        Step.PICK_LENGTH: table()["pick_length"]["sd"],
    }
    return np.array([(prior.sd | rest)[step] for step in STEPS])


@cache
def step_correlation() -> NDArray[np.float64]:
    """Correlations of the steps of one cloth, the pick length taken free of the draw-in."""
    matrix = np.eye(len(STEPS))
    for row in table()["correlation"]:
        i, j = (STEPS.index(Step(name)) for name in row["of"])
        matrix[i, j] = matrix[j, i] = row["r"]
    return matrix


def step_covariance(prior: RatioPrior) -> NDArray[np.float64]:
    """Covariance of the steps of one cloth, (8, 8): weft yarn per pick follows the draw-in, plus its own crimp."""
    spreads = step_spreads(prior)
    covariance = spreads[:, None] * step_correlation() * spreads[None, :]
    follow = np.eye(len(STEPS))
    follow[STEPS.index(Step.PICK_LENGTH), STEPS.index(Step.DRAW_IN)] = 1.0
    return follow @ covariance @ follow.T
