"""The help sheet “finding the sett”: from wraps to the heddles worth a sample; blank, or with a project's yarn and heddles.

Each figure is rounded where it is written, so that re-adding what is printed gives what is printed.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from clothwright.cloth import Structure, firmness, firmness_bands, structure, structures, usual_heddles
from clothwright.evidence import WIDTH_STEPS, ratio_prior
from clothwright.measure import CM_PER_INCH
from clothwright.project import Project
from clothwright.project.domain import touching_per_cm, wraps_per_cm, yarns
from clothwright.sheets.page import sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.pictures.drawing import EDGE
from clothwright.sheets.pictures.sett import ACROSS_MM, UNIT_MM, sett_svg
from clothwright.sheets.setts import ends_for
from clothwright.sheets.wording import literal, percent, plain_number, shortened
from clothwright.yarn import RULER_WRAPS_PER_DIAMETER

TITLE: Final = "Finding the sett"
_LONGEST_NAME: Final = 40
_BLANK_ROWS: Final = 6
_MOST_DRAWN: Final = 4

_HEADS: Final = {
    "wraps": "1. By the wraps",
    "closest": "2. The closest the threads can lie",
    "heddles": "3. Your heddles (or reeds)",
    "width": "4. Ends for a width",
    "true": "The threads at true size",
    "sample": "5. What the samples were like",
    "cautions": "Take care",
}
_INTRO: Final = [
    "There is never one right sett (set): these sums say which heddles to sample.",
    "Start from wraps per cm, counted as on the sheet “Measuring your yarn”.",
]
CAUTIONS: Final = [
    "Weave and wash a sample at two neighbouring setts before the real warp.",
    "Wraps round a ruler and threads that touch are two scales: wraps are about 0.7 of what touches. Do not mix them.",
    "Closer to be sewn; opener to be fulled, brushed, or to drape.",
    "A heddle is what is printed on it: 30/10 cm is 7.62 to the inch, not 8.",
    "For a warp of several yarns, wrap them together in the proportion in which they will lie.",
]


@dataclass(frozen=True)
class SettSums:
    """What the sheet reckons with; figures are those written, rounded."""

    yarn: str
    wraps: float
    touching: float
    weave: Structure
    heddles: Mapping[str, float]
    finished_cm: float | None
    ratio: float
    ratio_from: str

    @property
    def advised(self) -> float:
        """Ends per cm by the wraps."""
        return round(self.wraps * round(self.weave.wraps_share, 3), 2)

    @property
    def closest(self) -> float:
        """Ends per cm at which the threads touch."""
        return round(self.touching * round(self.weave.weave_factor, 3), 2)

    def share(self, ends_per_cm: float) -> float:
        """A heddle as a share of the closest, to a hundredth."""
        return round(round(ends_per_cm, 2) / self.closest, 2)


def _example() -> SettSums:
    """The worked example of the blank sheet: the yarn of 6 wraps per cm, in plain weave, 44 cm wide."""
    heddles = {"30/10 cm": 3.0, "40/10 cm": 4.0, "7.5/in": 7.5 / CM_PER_INCH}
    touching = round(6 / RULER_WRAPS_PER_DIAMETER, 2)
    return SettSums("Example", 6.0, touching, structure("plain"), heddles, 44.0, 0.9, "as a sample gave it")


def sett_sums(project: Project) -> SettSums:
    """The sums for a project's warp yarn, weave, heddles and width; ProblemsFound where a yarn is not settled."""
    warp = yarns(project).warp[0]
    wraps, touching = round(wraps_per_cm(warp), 2), round(touching_per_cm(warp), 2)
    owned = {str(one): one.heddle.per_cm for one in project.loom.heddles} or usual_heddles()
    width = project.want.width.cm if project.want else None
    ratio, ratio_from = _ratio(project, warp.fibre)
    name = shortened(literal(warp.name), _LONGEST_NAME)
    return SettSums(name, wraps, touching, structure(project.cloth.structure), owned, width, ratio, ratio_from)


def _ratio(project: Project, fibre: str) -> tuple[float, str]:
    if project.cloth.width_ratio:
        return round(project.cloth.width_ratio.expected, 4), "as typed"
    for sample in project.sample:
        if sample.width.finished and sample.width.in_heddle:
            found = round(sample.width.finished.cm / sample.width.in_heddle.cm, 4)
            return found, f"of the sample {shortened(literal(sample.name), _LONGEST_NAME)}"
    usual = sum(mean for step, mean in ratio_prior(fibre, project.cloth.finish).mean.items() if step in WIDTH_STEPS)
    return round(math.exp(usual), 2), "a rule of thumb; no sample says"


def sett_sheet_pdf(
    project: Project | None, *, imperial: bool = False, made_on: datetime.date, large_print: bool = False
) -> bytes:
    """The sheet as PDF: for a project's warp yarn and heddles, or blank for None. ProblemsFound where a yarn is not settled."""
    kind = "Help sheet to fill in" if project is None else "Help sheet"
    more = "" if project is None else f", for {shortened(literal(project.name), _LONGEST_NAME)}"
    page = sheet_page(TITLE, kind, made_on, imperial=imperial, large_print=large_print, more=more)
    data, pictures = sett_data(project)
    return typeset("finding-sett.typ", page | data, pictures, made_on)


def sett_data(project: Project | None) -> tuple[dict[str, Any], dict[str, str]]:
    """Every word and figure of the sheet, as the template places them, and its drawings."""
    sums = sett_sums(project) if project else _example()
    blank = project is None
    drawn = nearest(sums)
    data = {
        "heads": _HEADS,
        "intro": _INTRO,
        "says": "Example" if blank else sums.yarn,
        "blank": blank,
        "wraps_sum": wraps_sum(sums),
        "wraps_head": ["Yarn", "Wraps per cm", "× share", "= ends per cm"],
        "shares": "; ".join(f"{one.name} {plain_number(round(one.wraps_share, 3))}" for one in structures()),
        "closest_sums": closest_sums(sums),
        "closest_head": ["Yarn", "Touching per cm", "× factor", "= closest, ends per cm"],
        "factors": "; ".join(f"{one.name} {plain_number(round(one.weave_factor, 3))}" for one in structures()),
        "heddles_head": ["Heddle, as printed", "Ends per cm", "per inch", "÷ closest = share", "Cloth", "Sample it?"],
        "heddles": [_heddle_row(sums, name) for name in by_nearness(sums)],
        "exact_says": "What the heddles commonly sold are, exactly:",
        "exact": _exact(),
        "bands": [[_band_words(one.least_share, one.most_share), one.name] for one in firmness_bands()],
        "bands_head": ["Share of the closest", "Cloth"],
        "width_sums": width_sums(sums),
        "width_head": ["Finished width", "÷ ratio", "= in the heddle", "× ends per cm", "Ends, up to pairs"],
        "true_says": "Plain weave at the spacing of each heddle, as sleyed, with the yarn as thick as it is calculated.",
        "drawn": [{"name": name, "picture": f"sett{number}"} for number, name in enumerate(drawn)],
        "alts": {f"sett{number}": _alt(sums, name) for number, name in enumerate(drawn)},
        "picture_mm": ACROSS_MM + 2 * EDGE * UNIT_MM,
        "edge_mm": EDGE * UNIT_MM,
        "sample_head": [
            "Heddle",
            "Ends",
            "Width in heddle",
            "Picks per cm",
            "Finished width",
            "Too open, right, too firm?",
        ],
        "rows": _BLANK_ROWS,
        "cautions": CAUTIONS,
    }
    pictures = {
        f"sett{n}": sett_svg(sums.heddles[name], warp_mm=10 / sums.touching, name=name) for n, name in enumerate(drawn)
    }
    return data, pictures


def by_nearness(sums: SettSums) -> list[str]:
    """The heddles, nearest to the advised sett first."""
    return sorted(sums.heddles, key=lambda name: abs(math.log(sums.heddles[name] / sums.advised)))


def nearest(sums: SettSums) -> list[str]:
    """The heddles to draw."""
    return by_nearness(sums)[:_MOST_DRAWN]


def _alt(sums: SettSums, name: str) -> str:
    return f"Threads of 3 cm of plain weave at {name}: {plain_number(round(sums.heddles[name], 2))} ends to the cm."


def wraps_sum(sums: SettSums) -> str:
    """Wraps times the share of the weave."""
    share = round(sums.weave.wraps_share, 3)
    return (
        f"{plain_number(sums.wraps)} wraps per cm × {plain_number(share)} ({sums.weave.name}) = "
        f"{plain_number(sums.advised)} ends per cm, that is {plain_number(round(sums.advised * CM_PER_INCH, 2))} per inch"
    )


def closest_sums(sums: SettSums) -> list[str]:
    """Threads that touch, and how close they can lie in the weave."""
    factor = round(sums.weave.weave_factor, 3)
    told = round(sums.wraps / RULER_WRAPS_PER_DIAMETER, 2) == sums.touching
    first = f"{plain_number(sums.wraps)} wraps ÷ 0.7 = {plain_number(sums.touching)} threads that touch per cm"
    calculated = f"{plain_number(sums.touching)} threads that touch per cm, calculated from length and weight"
    return [
        first if told else calculated,
        f"{plain_number(sums.touching)} × {plain_number(factor)} ({sums.weave.name}) = {plain_number(sums.closest)} ends per cm at the closest",
    ]


def width_sums(sums: SettSums) -> list[str]:
    """From the finished width to ends and back, for the nearest heddle; nothing where no width is known."""
    if sums.finished_cm is None:
        return []
    name = by_nearness(sums)[0]
    per_cm = round(sums.heddles[name], 3)
    across = round(sums.finished_cm / sums.ratio, 1)
    raw = round(across * per_cm, 1)
    ends = ends_for(across, per_cm)
    return [
        f"{plain_number(sums.finished_cm)} cm finished ÷ {plain_number(sums.ratio)} = {plain_number(across)} cm in the heddle "
        f"(finished ÷ in the heddle, {sums.ratio_from})",
        f"{plain_number(across)} cm × {plain_number(per_cm)} per cm ({name}) = {plain_number(raw)}, up to pairs: {ends} ends",
        f"{ends} ÷ {plain_number(per_cm)} = {plain_number(round(ends / per_cm, 1))} cm in the heddle",
    ]


def _heddle_row(sums: SettSums, name: str) -> list[str]:
    per_cm = sums.heddles[name]
    share = sums.share(per_cm)
    return [
        shortened(literal(name), _LONGEST_NAME),
        plain_number(round(per_cm, 2)),
        plain_number(round(per_cm * CM_PER_INCH, 2)),
        f"{plain_number(round(per_cm, 2))} ÷ {plain_number(sums.closest)} = {percent(share)}",
        firmness(share),
        "",
    ]


def _exact() -> list[str]:
    """What the heddles commonly sold are, exactly."""
    return [
        f"{name}: {plain_number(round(per_cm, 2))} per cm, {plain_number(round(per_cm * CM_PER_INCH, 2))} per in"
        for name, per_cm in usual_heddles().items()
    ]


def _band_words(least: float, most: float) -> str:
    if least <= 0:
        return f"below {percent(most)}"
    return f"{percent(least)} and more" if most > 2 else f"{percent(least)} to {percent(most)}"
