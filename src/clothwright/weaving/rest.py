"""The rest of the cloth in every drawn cloth: how a way to finish fares, and which pieces a stretch falls on."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from clothwright.measure import Draws
from clothwright.pattern import Ring
from clothwright.planning import PlacedOutline
from clothwright.planning.job import Garment
from clothwright.planning.pieces.fitting import Fitted
from clothwright.weaving.answer import YarnAtLoom
from clothwright.weaving.reckoned import Reckoned
from clothwright.weaving.standing import Standing

HAIR: Final = 1e-9
#: How much lighter the rest may be beaten before it shows as another cloth. Common practice, no source.
MOST_LIGHTER: Final = 0.10
_LEAST_LIGHTER_PERCENT: Final = 2


@dataclass(frozen=True)
class Rest:
    """The rest of the cloth in every drawn cloth (by hand in one): of the yarn that is short first.

    `from_cm`: where it was weighed; `per_cm`: grams that a cm takes; `could_cm`: how far the warp reaches, None where it is not in doubt.
    """

    stands: Standing
    yarn: YarnAtLoom
    left_g: Draws
    per_cm: Draws
    from_cm: float
    woven_cm: float
    end_cm: float
    trust: float
    trust_size: float
    by_hand: bool
    length_ratio: Draws | None
    finished_width: Draws | None
    could_cm: Draws | None

    def fares(
        self, stop_cm: float, *, takes: float = 1.0, banded_cm: float = 0.0, more_g: float = 0.0
    ) -> tuple[float | None, float]:
        """Chance that yarn (and warp) last to a stop: with so much of the weft a cm, so much of the way in another yarn, and more of it."""
        rest = self.stands.rest_cm(self.yarn.name, self.from_cm, stop_cm)
        spare = self.left_g + more_g - self.per_cm * takes * max(0.0, rest - banded_cm)
        lasts = spare >= -HAIR
        if self.could_cm is not None:
            lasts = lasts & (self.could_cm >= stop_cm - HAIR)
        return (None if self.by_hand else float(np.mean(lasts))), float(np.median(spare))

    def is_enough(self, chance: float | None, spare_g: float) -> bool:
        """Whether that is as sure as is trusted; by hand, whether it is to spare."""
        return spare_g >= 0 if chance is None else chance >= self.trust

    def least_lighter(self, stop_cm: float) -> float | None:
        """The least share by which the rest has to be beaten lighter for the yarn to last to a stop; None where a tenth is too little."""
        shares = [number / 100 for number in range(_LEAST_LIGHTER_PERCENT, round(MOST_LIGHTER * 100) + 1)]
        return self.least(shares, (self.is_enough(*self.fares(stop_cm, takes=1 - share)) for share in shares))

    def taken_from_it(self, bands: Iterable[tuple[float, float]]) -> float:
        """How many cm, of stretches in another yarn, would else be of this one: none where another is to be woven already."""
        return sum(
            self.stands.rest_cm(self.yarn.name, max(start, self.from_cm), end)
            for start, end in bands
            if end > self.from_cm
        )

    @property
    def its_end_cm(self) -> float:
        """Where this yarn is woven last: the end of the cloth, or where the bands of others begin that reach to it."""
        end = self.end_cm
        while (whole := self.stands.rest_cm(self.yarn.name, self.woven_cm, end)) and not self.taken_from_it(
            [(end - 1.0, end)]
        ):
            end -= 1.0
        return end if whole else self.end_cm

    def beaten_lighter(self, share: float) -> Rest:
        """The same with every cm to come taking so much less."""
        return replace(self, per_cm=self.per_cm * (1 - share))

    def least(self, values: Sequence[float], enough: Iterable[bool]) -> float | None:
        """The first of some values that is enough."""
        return next((value for value, sure in zip(values, enough, strict=True) if sure), None)


def rest_of(stands: Standing, reckoned: Reckoned, *, warp_short: bool) -> Rest:
    """The rest of the cloth, of the yarn that is short first; how far the warp reaches counts where it is short."""
    yarn = min(reckoned.yarns, key=lambda one: one.spare_g.expected / max(one.need_g.expected, 1e-6))
    made = reckoned.cloth
    drawn = reckoned.drawn
    return Rest(
        stands=stands,
        yarn=yarn,
        left_g=drawn.left_g[yarn.name] if drawn else np.array([yarn.left_g]),
        per_cm=np.exp(drawn.log_g_per_cm[yarn.name]) if drawn else np.array([_by_hand_rate(yarn)]),
        from_cm=yarn.weighed_at_cm,
        woven_cm=stands.log.woven_cm,
        end_cm=stands.to_weave_cm,
        trust=stands.project.trust.yarn.expected,
        trust_size=stands.project.trust.size.expected,
        by_hand=reckoned.by_hand,
        length_ratio=made.length_ratio if made else None,
        finished_width=made.finished_width if made else None,
        could_cm=made.could_weave if made and warp_short else None,
    )


def _by_hand_rate(yarn: YarnAtLoom) -> float:
    return yarn.g_per_cm.expected if yarn.g_per_cm else 0.0


def grams_of_other(rest: Rest, banded_cm: float) -> str:
    """What a band takes of another yarn, in words: as much as of this one."""
    grams = math.ceil(float(np.quantile(rest.per_cm, rest.trust)) * banded_cm)
    return f"about {grams} g of another yarn, washed with a piece of this cloth first"


def falls_on(stands: Standing, rest: Rest, bands: Sequence[tuple[float, float]]) -> dict[str, int] | None:
    """The pieces that bands fall on, each with how many of its copies; None without a layout."""
    fitted = stands.warped.weighed.fitted if stands.warped else None
    if fitted is None or rest.length_ratio is None or stands.warped is None or stands.warped.job.garment is None:
        return None
    ratio, squaring = float(np.median(rest.length_ratio)), stands.warped.job.garment.squaring_cm
    names: dict[str, int] = {}
    for one in fitted.outlines:
        low, high = min(x for x, _ in one.outline) + squaring, max(x for x, _ in one.outline) + squaring
        if any(low < to * ratio - 0.1 and high > start * ratio + 0.1 for start, to in bands):
            names[one.piece] = names.get(one.piece, 0) + 1
    return names


def in_words(pieces: Mapping[str, int]) -> str:
    """Pieces with how many of each."""
    return ", ".join(f"{name} ({count})" if count > 1 else name for name, count in pieces.items()) or "no piece"


def on_loom(fitted: Fitted, garment: Garment, length_ratio: float) -> tuple[PlacedOutline, ...]:
    """The pieces where the weaver meets them: along the cloth under tension, across as finished, cm."""

    def moved(ring: Ring) -> Ring:
        return tuple(((x + garment.squaring_cm) / length_ratio, y + garment.trim_cm) for x, y in ring)

    return tuple(replace(one, outline=moved(one.outline)) for one in fitted.outlines)


def turned(fitted: Fitted) -> frozenset[tuple[str, int]]:
    """The pieces that lie end for end."""
    return frozenset((one.piece, one.copy) for one in fitted.layout.placed if one.rotation_deg % 360 == 180)
