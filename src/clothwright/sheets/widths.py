"""How the staircase of widths, its advice and the bound of a layout are said: on the page, on paper and by the commands alike."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from clothwright.layout import Layout
from clothwright.planning import LeastLength, WidthAdvice, WidthStep
from clothwright.sheets.wording import LENGTH, YARN, Rounding, chances, literal

#: A step up is told where it lies no further beyond the width needed than this share of it.
_NEAR_SHARE: Final = 0.15
_NOTHING_CM: Final = 0.05
STAIRS_HEAD: Final = ["Usable width", "Length", "Yarn", "Chance that the cloth is as wide", "Step"]


def advice_sentence(advice: WidthAdvice, *, imperial: bool) -> str:
    """Where to aim, and what it costs to come out narrower, in one sentence."""
    aim = LENGTH.text(advice.aim_cm, imperial=imperial)
    needs = LENGTH.text(advice.needs_cm, imperial=imperial, rounding=Rounding.UP)
    return f"Finish at {aim}, not at {needs}: {_cost(advice, imperial)}{_luck(advice)}."


def _cost(advice: WidthAdvice, imperial: bool) -> str:
    if advice.longer_cm is None:
        return "on narrower cloth a piece no longer fits" if advice.certain else "no layout was tried on narrower cloth"
    longer = LENGTH.text(advice.longer_cm, imperial=imperial, rounding=Rounding.UP)
    now, then = (
        LENGTH.text(cm, imperial=imperial, rounding=Rounding.UP)
        for cm in (advice.length_cm, advice.length_cm + advice.longer_cm)
    )
    yarn = ""
    if advice.more_m is not None:
        yarn = f" and about {YARN.text(advice.more_m, imperial=imperial, rounding=Rounding.UP)} of yarn more"
    return f"narrower, the pieces take {then} instead of {now}, {longer} more cloth{yarn}"


def _luck(advice: WidthAdvice) -> str:
    if advice.chance_narrower is None:
        return ""
    return f"; {_risk(advice.chance_narrower)} that the cloth comes out so narrow"


def _risk(share: float) -> str:
    """A chance of what is not wanted, rounded up."""
    return chances(share if share < 0.01 else math.ceil(share * 100 - 1e-9) / 100)


def advice_sentences(advice: WidthAdvice, *, imperial: bool) -> list[str]:
    """The advice, how sure its step is, and the next step up where one is near."""
    said = [advice_sentence(advice, imperial=imperial)]
    if advice.longer_cm is not None:
        said.append(
            "No layout on narrower cloth avoids that."
            if advice.certain
            else "That is as far as layouts were looked for; a longer search may find a shorter one on narrower cloth."
        )
    near = advice.needs_cm * (1 + _NEAR_SHARE)
    if (
        advice.wider_cm is not None
        and advice.shorter_by_cm is not None
        and advice.wider_cm <= max(near, advice.aim_cm * (1 + _NEAR_SHARE))
    ):
        wider = LENGTH.text(advice.wider_cm, imperial=imperial, rounding=Rounding.UP)
        less = LENGTH.text(advice.shorter_by_cm, imperial=imperial, rounding=Rounding.DOWN)
        said.append(f"From {wider} of finished width on the pieces take {less} less.")
    return said


def bound_sentence(layout: Layout, least: LeastLength, *, imperial: bool) -> str:
    """How short a layout could be at most, why, and how much could still be saved."""
    bound = LENGTH.text(least.length_cm, imperial=imperial, rounding=Rounding.DOWN)
    left = layout.length_cm - least.length_cm
    saved = (
        "this one is as short"
        if left < _NOTHING_CM
        else f"at most {LENGTH.text(left, imperial=imperial, rounding=Rounding.UP)} could still be saved"
    )
    return f"No layout on cloth of this width can be shorter than {bound} ({literal(least.because)}): {saved}."


def stairs_rows(
    stairs: Sequence[WidthStep], taken_cm: float | None, *, imperial: bool, yarn: bool = True
) -> list[list[str]]:
    """Each width tried: width, length, yarn, the chance that the cloth is as wide as its layout needs, and what happens there."""
    return [
        [
            LENGTH.text(step.width_cm, imperial=imperial, rounding=Rounding.UP),
            LENGTH.text(step.length_cm, imperial=imperial, rounding=Rounding.UP),
            YARN.text(step.yarn_m, imperial=imperial, rounding=Rounding.UP) if yarn else "–",
            "–" if step.chance is None else chances(step.chance),
            _marked(step, taken_cm, imperial),
        ]
        for step in stairs
    ]


def _marked(step: WidthStep, taken_cm: float | None, imperial: bool) -> str:
    falls = (
        f"step: {LENGTH.text(step.falls_cm, imperial=imperial, rounding=Rounding.DOWN)} less" if step.falls_cm else ""
    )
    return ", ".join(filter(None, ("taken" if step.width_cm == taken_cm else "", falls)))
