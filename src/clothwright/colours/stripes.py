"""Stripes told in finished centimetres become whole ends, or whole picks.

A stripe of w cm in the finished cloth takes w × d threads, d threads to a finished centimetre: the sett over the share of
the width that is left (finished ÷ in the heddle), or the picks. Threads come in whole turns (pairs of ends when wound
direct, pairs of picks where the shuttle is to come back to the side it left), so that a stripe finishes a little wider or
narrower than it was drawn, and is never left out: every stripe has one turn at least.

Repeats fill the cloth. Left as they fall they begin at the first selvedge and stop at the other. Balanced, the cloth is the
same from both sides: the repeat's first stripe stands in the middle, or its repeats do, and both edges end alike.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import groupby


class Balance(StrEnum):
    """How repeats of stripes lie across the cloth."""

    AS_THEY_FALL = "as they fall"
    STRIPE_IN_THE_MIDDLE = "first stripe in the middle"
    REPEATS_IN_THE_MIDDLE = "whole repeats in the middle"


@dataclass(frozen=True)
class Stripe:
    """One stripe as drawn: its yarn, and its width, or length, in the finished cloth."""

    yarn: str
    finished_cm: float


@dataclass(frozen=True)
class StripeThreads:
    """A stripe in whole threads, and what it then finishes at."""

    yarn: str
    threads: int
    finished_cm: float


def in_threads(stripes: Sequence[Stripe], threads_per_cm: float, *, step: int) -> tuple[StripeThreads, ...]:
    """Each stripe in the nearest whole number of steps of so many threads, one step at least.

    `threads_per_cm`: of the finished cloth.
    """
    return tuple(_in_threads(stripe, threads_per_cm, step) for stripe in stripes)


def _in_threads(stripe: Stripe, threads_per_cm: float, step: int) -> StripeThreads:
    threads = step * max(1, round(stripe.finished_cm * threads_per_cm / step))
    return StripeThreads(stripe.yarn, threads, threads / threads_per_cm)


def across(repeat: Sequence[StripeThreads], threads: int, *, step: int, balance: Balance) -> tuple[StripeThreads, ...]:
    """So many threads filled with repeats, stripe after stripe; a stripe at an edge may be cut short.

    ValueError where the threads are no whole number of steps.
    """
    if threads % step:
        raise ValueError(f"{threads} threads are no whole number of {step}")
    per_cm = repeat[0].threads / repeat[0].finished_cm
    turns = [stripe.yarn for stripe in repeat for _ in range(stripe.threads // step)]
    start = _start(repeat, turns, threads // step, step, balance)
    filled = [turns[(start + place) % len(turns)] for place in range(threads // step)]
    return tuple(
        StripeThreads(yarn, count * step, count * step / per_cm)
        for yarn, count in ((yarn, len(list(group))) for yarn, group in groupby(filled))
    )


def _start(repeat: Sequence[StripeThreads], turns: Sequence[str], filled: int, step: int, balance: Balance) -> int:
    """At which turn of the repeat the cloth begins."""
    if balance is Balance.AS_THEY_FALL:
        return 0
    middle = repeat[0].threads // step / 2 if balance is Balance.STRIPE_IN_THE_MIDDLE else len(turns) / 2
    return round(middle - filled / 2) % len(turns)


def is_symmetric(stripes: Sequence[StripeThreads]) -> bool:
    """Whether stripes read the same from both sides."""
    told = [(stripe.yarn, stripe.threads) for stripe in stripes]
    return told == told[::-1]


def is_even(repeat: Sequence[StripeThreads]) -> bool:
    """Whether a repeat reads the same from both ends wherever it begins, so that pieces may be turned end for end."""
    threads = [stripe.yarn for stripe in repeat for _ in range(stripe.threads)]
    backwards = threads[::-1]
    return any(threads[first:] + threads[:first] == backwards for first in range(len(threads)))


@dataclass(frozen=True)
class Repeats:
    """Whole repeats in a cloth: how many threads one takes, what it finishes at, how many there are, and what all finish at."""

    threads: int
    finished_cm: float
    number: int

    @property
    def all_finish_cm(self) -> float:
        """What the whole repeats finish at together."""
        return self.number * self.finished_cm


def repeats_in(repeat: Sequence[StripeThreads], finished_cm: float) -> Repeats:
    """The whole repeats nearest to so much finished cloth, one at least."""
    one_cm = sum(stripe.finished_cm for stripe in repeat)
    return Repeats(sum(stripe.threads for stripe in repeat), one_cm, max(1, round(finished_cm / one_cm)))
