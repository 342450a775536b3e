"""What to know of a yarn's numbers beside the numbers: what they leave out, and where they can be mistaken."""

from __future__ import annotations

from collections.abc import Iterator

from clothwright.measure import plainly
from clothwright.yarn.construction import USUAL_FOLDING_TAKE_UP, YarnNumber
from clothwright.yarn.numbering import system_named
from clothwright.yarn.weighing import beyond_standards


def yarn_notes(yarn: YarnNumber) -> tuple[str, ...]:
    """Every note of a yarn."""
    return (*_system(yarn), *_take_up(yarn), *beyond_standards(yarn.tex))


def _system(yarn: YarnNumber) -> Iterator[str]:
    system = system_named(yarn.system)
    if system and system.note:
        yield system.note


def usual_folding_words() -> str:
    """What folding usually takes up, in words."""
    usual = USUAL_FOLDING_TAKE_UP
    return f"by {plainly(100 * usual.low, 2)} to {plainly(100 * usual.high, 2)} %"


def _take_up(yarn: YarnNumber) -> Iterator[str]:
    if not yarn.is_folded:
        return
    if yarn.leaves_out_folding:
        yield (
            "Folding take-up is not in these numbers: twisting shortens the strands, so the folded yarn measures heavier, "
            f"{usual_folding_words()} (from memory of the trade). Measure it and write its own number after the strands, as ; R 69.3 tex, "
            "or state the take-up."
        )
    elif yarn.take_up is not None and yarn.take_up < 0:
        yield (
            f"The folded yarn is {plainly(-100 * yarn.take_up, 2)} % lighter than its strands; "
            "twisting makes it heavier. Was it measured stretched?"
        )
    elif yarn.take_up is not None and yarn.take_up_from == "measured":
        yield f"Folding took up {plainly(100 * yarn.take_up, 3)} % on the strands' tex, as measured."
