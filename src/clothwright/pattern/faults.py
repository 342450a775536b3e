"""What keeps a drawing from being laid out, though it can be looked at: each told as a check with its mend.

A plan refuses a pattern with a fault, in the fault's own sentence. Who only looks at the pieces is shown the line as it
is drawn, what is wrong with it, and, where there is one certain mend, that mend to take: the scale that makes a test
square true, or the straight side that closes an open outline.
"""

from __future__ import annotations

from dataclasses import dataclass

from clothwright.pattern.checks import Check, CheckKind
from clothwright.pattern.piece import Point, Ring


@dataclass(frozen=True)
class Fault:
    """A fault of a drawing: the piece, or "" of the whole drawing; `refusal` is what a plan says of it.

    `line`: what is drawn, cm on its page, y downwards; empty of the whole drawing. `at`: the place where it is wrong.
    `scale_cm`: what one unit of the drawing is once mended, where that is certain. `may_close`: whether a straight side
    from its end to its beginning makes it a piece.
    """

    kind: CheckKind
    piece: str
    refusal: str
    sentence: str
    mend: str
    line: Ring = ()
    closed: bool = True
    at: Point | None = None
    scale_cm: float | None = None
    may_close: bool = False

    @property
    def check(self) -> Check:
        """The fault as it is told among the checks."""
        return Check(self.kind, (self.piece,) if self.piece else (), self.sentence, self.mend)


def crossed(name: str, refusal: str, line: Ring, at: Point | None) -> Fault:
    """An outline that crosses itself."""
    where = "" if at is None else f" near {at[0]:.1f} cm across, {at[1]:.1f} cm down on its page"
    return Fault(
        CheckKind.OUTLINE,
        name,
        refusal,
        f"The outline of {name} crosses itself or encloses nothing{where}, so there is not one line to cut along.",
        "Move the corner that lies on the wrong side, or take the loop away; a drawing of lines and curves can be opened on the page “Draw a piece”.",
        line,
        at=at,
    )


def left_open(name: str, refusal: str, line: Ring, gap_cm: float) -> Fault:
    """A named outline whose ends do not meet."""
    return Fault(
        CheckKind.OPEN,
        name,
        refusal,
        f"The outline of {name} is open: its ends lie {gap_cm:.1f} cm apart.",
        f"Close it in the drawing, or have it closed here with a straight side of {gap_cm:.1f} cm.",
        line,
        closed=False,
        may_close=True,
    )


def off_scale(refusal: str, what: str, said_cm: float, measured_cm: float, scale_cm: float | None) -> Fault:
    """A test square or line that does not measure what it says."""
    factor = said_cm / measured_cm
    state = (
        f" or state the scale: one unit of the drawing is {scale_cm:.6g} cm." if scale_cm else " or state the scale so."
    )
    return Fault(
        CheckKind.SCALE,
        "",
        refusal,
        f"The {what} of {said_cm:g} cm measures {measured_cm:.2f} cm, so everything is drawn at {1 / factor:.4g} times its size.",
        f"Save the drawing at {factor:.4g} times its size,{state}",
        scale_cm=scale_cm,
    )
