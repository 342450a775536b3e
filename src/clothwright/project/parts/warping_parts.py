"""The part of the project document that tells how the warp is stretched: how far the peg is, and how many stand side by side."""

from __future__ import annotations

from clothwright.project.fields import SomeLengthField
from clothwright.project.parts.part import Part, Positive


class WarpingPart(Part):
    """Winding direct: `peg_distance` from the back rod to the first peg, left out where it is the warp's length; pegs side by side."""

    peg_distance: SomeLengthField | None = None
    pegs: Positive = 1
