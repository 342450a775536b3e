"""Which widths are worth a layout: those at which one more piece may fit beside another, and some between.

A step of the staircase can only be at a sum of widths of pieces lying side by side; for rectangles it is
exactly there, while curved pieces reach into each other and move it to somewhat less. So the sums come
first, those of the fewest pieces before others, and an even spread of widths fills the gaps between them.
"""

from __future__ import annotations

from itertools import combinations, pairwise

from clothwright.layout.area import narrowest_cm, refuse_too_wide, width_across_cm
from clothwright.layout.arrangement import Copy

SIDE_BY_SIDE = 4
SUMS_SHARE = 2 / 3
CLOSE = 0.25


def candidate_widths(copies: tuple[Copy, ...], *, least_cm: float, most_cm: float, most: int = 24) -> tuple[float, ...]:
    """At most `most` usable widths from `least_cm` to `most_cm` to look for a layout at, narrowest first.

    The narrowest cloth on which every piece fits (or `least_cm`, if that is more) and `most_cm` are among
    them. Raises `TooWide` if a piece does not fit on cloth of `most_cm`.
    """
    if most < 2 or least_cm > most_cm:
        raise ValueError(f"no widths to try: at most {most}, from {least_cm} to {most_cm} cm")
    refuse_too_wide(copies, most_cm)
    narrowest = min(most_cm, max(least_cm, narrowest_cm(copies)))
    chosen = {narrowest, most_cm}
    room = round(SUMS_SHARE * (most - 2))
    apart = CLOSE * (most_cm - narrowest) / (most - 1)
    for width in _sums(copies, narrowest, most_cm):
        if len(chosen) < 2 + room and min(abs(width - other) for other in chosen) >= apart:
            chosen.add(width)
    while len(chosen) < most and most_cm > narrowest:
        chosen.add(_middle_of_widest_gap(sorted(chosen)))
    return tuple(sorted(chosen))


def _sums(copies: tuple[Copy, ...], least_cm: float, most_cm: float) -> list[float]:
    """Widths of two, then three, then four copies side by side, from `least_cm` to `most_cm`, each once."""
    widths = sorted((round(width_across_cm(copy), 6) for copy in copies), reverse=True)
    found: dict[float, None] = {}
    for count in range(2, SIDE_BY_SIDE + 1):
        sums = {round(sum(some), 6) for some in combinations(widths, count)}
        found |= dict.fromkeys(sorted(each for each in sums if least_cm < each < most_cm))
    return list(found)


def _middle_of_widest_gap(widths: list[float]) -> float:
    """Half-way between the two neighbours that lie furthest apart."""
    low, high = max(pairwise(widths), key=lambda pair: pair[1] - pair[0])
    return (low + high) / 2
