"""Yarn that a warp and a weft take, by length and weight, and the square metre weighed from those lengths.

These are the sums of the old books and of any warping sheet: ends × length of warp, picks × width in the reed × length
woven. Weft is reckoned on the width in the reed, since each pick is laid there before it is drawn in; reckoned on the cloth's
width, the crimp must be added: one or the other, never both.

*Source*: C. P. Brooks, Cotton Manufacturing, Weight of a Piece; J. T. Taylor, Cotton Weaving and Designing, 1909, p. 245.
"""

from __future__ import annotations


def warp_metres(ends: float, warp_length_cm: float) -> float:
    """Metres of yarn in a warp."""
    return ends * warp_length_cm / 100


def weft_metres(picks_per_cm: float, pick_length_cm: float, woven_cm: float) -> float:
    """Metres of yarn in a weft, picks counted and length measured in one state of the cloth."""
    return picks_per_cm * woven_cm * pick_length_cm / 100


def grams(metres: float, tex: float) -> float:
    """Weight of a length of yarn."""
    return metres * tex / 1000


def grams_per_m2_of_lengths(
    *, warp_m: float, weft_m: float, warp_tex: float, weft_tex: float, width_cm: float, length_cm: float
) -> float:
    """Mass in g/m² from the metres that went into a cloth, its waste left out: weight ÷ area.

    With crimp = yarn ÷ cloth − 1 of each set it is `grams_per_m2` of the same cloth, to the last figure.
    """
    return (grams(warp_m, warp_tex) + grams(weft_m, weft_tex)) / (width_cm * length_cm / 10_000)


def taylor_take_up(crossings_per_inch: float, weft_cotton_count: float, weight: str) -> float:
    """Warp yarn beyond the cloth's length, as a share of it, by an old rule for cotton: m·crossings ÷ weft count ÷ 100.

    `weight` of the cloth: heavy 4, medium 3. It divides by the cotton count of the weft and by no other number, and reads
    well below the crimp of threads that wave alike, since the tension of a power loom straightens the warp; for a check of
    old figures, not for planning. *Source*: J. T. Taylor, Cotton Weaving and Designing, 1909, pp. 427-429 of the stored copy.
    """
    return {"heavy": 4, "medium": 3}[weight] * crossings_per_inch / weft_cotton_count / 100
