"""Length by turns: of a warping mill or board, a reel or a niddy-noddy, whose turn is seldom what it is called.

Wind some turns with a thread that does not stretch, lay the thread out and measure it: its length ÷ turns is the true
turn. "48 turns of the niddy-noddy" is then a length, known as well as the turn, the counting and the tension are.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Final

from clothwright.measure import plainly
from clothwright.measure.numbers import NUMBER, NumberError, read_number
from clothwright.yarn.weighing import HAND_MEASURED_LENGTH_LOG_SD, RULER_M

#: A turn nobody measured: how far it may be from what the tool is called. Common practice, no source.
UNMEASURED_TURN_LOG_SD: Final = 0.03
#: Turns are counted to half a turn either way. Common practice, no source.
_COUNTED_TURNS_SD: Final = 1 / 12**0.5


@dataclass(frozen=True)
class Winder:
    """A tool that yarn is wound on: metres of one turn, how well that is known, and what the tool is called."""

    name: str
    turn_m: float
    log_sd: float
    nominal_m: float | None = None

    @property
    def measured(self) -> bool:
        """Whether somebody measured its turn."""
        return self.log_sd < UNMEASURED_TURN_LOG_SD

    @property
    def told(self) -> str:
        """The true turn against the nominal one, in words."""
        said = f"One turn of the {self.name} is {plainly(self.turn_m, 4)} m"
        if self.nominal_m is None or math.isclose(self.nominal_m, self.turn_m, rel_tol=5e-4):
            return f"{said}."
        change = self.turn_m / self.nominal_m - 1
        word = "longer" if change > 0 else "shorter"
        return f"{said}, {plainly(abs(100 * change), 2)} % {word} than the {plainly(self.nominal_m, 4)} m it is called."


@dataclass(frozen=True)
class Turns:
    """So many turns on a named tool, as typed."""

    typed: str
    turns: float
    winder: str

    def __str__(self) -> str:
        return self.typed


def true_winder(name: str, *, nominal_m: float | None, turns: float | None, measured_m: float | None) -> Winder:
    """The winder with the turn that was measured, else the one it is called by."""
    if measured_m is not None:
        turn_m = measured_m / (turns or 1.0)
        return Winder(name, turn_m, math.hypot(RULER_M / measured_m, HAND_MEASURED_LENGTH_LOG_SD), nominal_m)
    if nominal_m is None:
        raise ValueError(f"{name}: how long is a turn? Give nominal, or turns and the length they measured")
    return Winder(name, nominal_m, UNMEASURED_TURN_LOG_SD, nominal_m)


def read_turns(text: str) -> Turns | None:
    """Turns of a tool, as "48 turns of the niddy-noddy"; None where the text says nothing of turns."""
    found = re.fullmatch(
        rf"({NUMBER})\s*turns?\s+(?:of|on|round)\s+(?:the\s+|my\s+)?(\S.*)", text.strip(), re.IGNORECASE
    )
    if not found:
        return None
    number = read_number(found[1])
    if number <= 0:
        raise NumberError("it must be more than no turn")
    return Turns(text.strip(), number, found[2].strip())


def wound(turns: float, winder: Winder) -> tuple[float, float]:
    """Metres of so many turns, and their relative error: turn, tension and counting."""
    return turns * winder.turn_m, math.hypot(winder.log_sd, _COUNTED_TURNS_SD / turns)
