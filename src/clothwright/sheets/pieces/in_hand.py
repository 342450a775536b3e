"""How cutting from cloth in hand is said: on the page and by the command alike."""

from __future__ import annotations

from clothwright.planning import CutFrom, Cutting, InHandAnswer
from clothwright.planning.choices.cloth_in_hand import OtherCutting
from clothwright.sheets.wording import LENGTH, Rounding, counted, literal


def opening(cutting: Cutting) -> list[str]:
    """Whether all fits, what does not, and what can be said for certain."""
    if cutting.all_fits:
        return ["All pieces can be cut from this cloth."]
    said = [f"Not all pieces were made to fit. Left over: {uncut(cutting)}."]
    return said + [f"For certain: {literal(one)}." for one in cutting.because]


def uncut(cutting: Cutting) -> str:
    """What was not cut, each with how many."""
    return ", ".join(f"{literal(name)} × {count}" for name, count in cutting.uncut)


def cut_sentence(cut: CutFrom, *, imperial: bool) -> str:
    """What comes from one cloth, and what is left of it."""
    width, length = (LENGTH.text(cm, imperial=imperial) for cm in (cut.cloth.width_cm, cut.cloth.length_cm))
    flaws = f", with {counted(len(cut.cloth.flaws), 'flaw')}" if cut.cloth.flaws else ""
    cloth = f"{literal(cut.cloth.name)}, {width} by {length}{flaws}"
    if cut.layout is None:
        return f"{cloth}: nothing is cut from it."
    left = LENGTH.text(max(0.0, cut.left_cm), imperial=imperial, rounding=Rounding.DOWN)
    return f"{cloth}: {counted(len(cut.outlines), 'piece')}; {left} left at its end."


def places(cut: CutFrom, *, imperial: bool) -> list[str]:
    """Each piece with where it lies."""
    if cut.layout is None:
        return []
    far = {(one.piece, one.copy): max(y for _, y in one.outline) for one in cut.outlines}
    return [
        f"{literal(one.piece)} {one.copy}{', mirrored' if one.mirrored else ''}"
        f"{', turned end for end' if one.rotation_deg % 360 else ''}: "
        f"{LENGTH.text(one.x_cm, imperial=imperial)} along, "
        f"{LENGTH.text(max(0.0, cut.layout.width_cm - far[one.piece, one.copy]), imperial=imperial)} from the left"
        for one in sorted(cut.layout.placed, key=lambda one: (one.x_cm, one.y_cm))
    ]


def way_sentence(way: OtherCutting) -> str:
    """A way out and what comes of it."""
    outcome = "all fits" if way.cutting.all_fits else f"left over then: {uncut(way.cutting)}"
    return f"{literal(way.what)}: {literal(way.change)}. Then {outcome}."


def tried_sentence(answer: InHandAnswer) -> str:
    """How many ways were cut anew; empty where none had to be."""
    if not answer.tried:
        return ""
    more = f"; {answer.left_out} more were not tried, for time" if answer.left_out else ""
    return (
        f"{counted(answer.tried, 'way')} out {'was' if answer.tried == 1 else 'were'} cut anew, by first guesses of layouts{more}. "
        "What is told to fit does fit; what did not may yet fit in a layout nobody found."
    )
