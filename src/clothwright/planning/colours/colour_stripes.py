"""Stripes of a project's warp: from finished centimetres to whole ends of this cloth."""

from __future__ import annotations

import math
from collections.abc import Iterator

from clothwright.colours import Balance, Stripe, StripeThreads, across, in_threads, is_symmetric
from clothwright.planning.colours.colour_answer import StripeLine, Warped
from clothwright.planning.colours.colour_rules import Winding
from clothwright.project import Problem, ProblemsFound
from clothwright.project.parts.colour_parts import ColoursPart


def stripes_of(part: ColoursPart, warp: Warped, winding: Winding) -> tuple[StripeThreads, ...]:
    """The stripes from selvedge to selvedge, in ends, between the ends of the selvedges; empty where the project has none."""
    if not part.stripes:
        return ()
    edge = _selvedge(part, warp, winding)
    ends = winding.turns * winding.turn_ends - 2 * sum(one.threads for one in edge)
    if ends <= 0:
        raise ProblemsFound(Problem(("colours", "selvedge"), "the selvedges leave no end for the stripes between them"))
    return (*edge, *across(_repeat(part, warp, winding), ends, step=winding.turn_ends, balance=part.stripes_lie), *edge)


def _selvedge(part: ColoursPart, warp: Warped, winding: Winding) -> tuple[StripeThreads, ...]:
    """The ends of one selvedge, in whole turns."""
    if part.selvedge is None:
        return ()
    threads = math.ceil(part.selvedge.ends / winding.turn_ends) * winding.turn_ends
    return (StripeThreads(part.selvedge.yarn, threads, threads * (warp.finished_width_cm or 0.0) / warp.ends),)


def stripe_lines(part: ColoursPart, warp: Warped, winding: Winding) -> tuple[StripeLine, ...]:
    """Each stripe of the repeat: what was drawn, its ends, and what it finishes at."""
    if not part.stripes:
        return ()
    repeat = _repeat(part, warp, winding)
    return tuple(
        StripeLine(one.yarn, one.width.cm, made.threads, made.finished_cm)
        for one, made in zip(part.stripes, repeat, strict=True)
    )


def balance_note(part: ColoursPart, warp: Warped, winding: Winding) -> Iterator[str]:
    """What to say where stripes that were to be balanced are not quite."""
    if part.stripes_lie is Balance.AS_THEY_FALL or is_symmetric(stripes_of(part, warp, winding)):
        return
    yield (
        "The stripes do not read the same from both selvedges: the repeat itself has two ways round, or one "
        f"{winding.called} more or less would set it in the middle."
    )


def _repeat(part: ColoursPart, warp: Warped, winding: Winding) -> tuple[StripeThreads, ...]:
    if warp.finished_width_cm is None:
        sentence = (
            "how wide the cloth finishes is not known, so stripes in centimetres cannot become ends; say what is wanted"
        )
        raise ProblemsFound(Problem(("colours", "stripes"), sentence))
    drawn = [Stripe(stripe.yarn, stripe.width.cm) for stripe in part.stripes]
    return in_threads(drawn, warp.ends / warp.finished_width_cm, step=winding.turn_ends)
