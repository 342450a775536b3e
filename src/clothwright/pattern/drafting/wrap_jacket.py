"""The wrap jacket of straight lengths: cloth is cut across, from selvedge to selvedge, and never along a curve.

Let c be the width of the cloth, a the seam, w = c − 2 a a width as sewn, L the length from the shoulder. Two lengths of
2 (L + hem) run from the front hem over the shoulder to the back hem; they are sewn together down the middle of the back. At the
shoulder each is slit from the middle by n, the half width of the neck, n = neck base / 6 + 1 cm. From the end of that slit the
band's seam runs straight to the front edge, d below the shoulder; the corner beyond is turned into the band and not cut off. Sleeves
are two widths, their selvedges at armhole and cuff, 2 p long for a sleeve p deep.

With `overlap = panel` a panel down each front is cut beside the band from one width: lengths of L + hem − d, of which the band
takes 2 b + 2 a for a band b wide, and the panel the rest. The band's seam runs on across the panel in the same straight line, so it
meets the panel's edge at d (n + o) / n for a panel o wide. The band is as long as that length gives, and below it the edge is
hemmed; where that would hardly reach the panel's edge, the band runs to the hem and is cut longer.

All round, edge to edge, the jacket is 4 w + 2 o + 2 b. What that is more than body and ease is how far the fronts lap.

The way of one bolt: four times (height + 8 cm) for the body, twice (that less 15 cm) for panels and band, and sleeves take what
is left; with L + hem = height + 8 cm, d = 15 cm and `cloth_length` these are the lengths drafted here, and no cloth is left over.

*Source:* http://susanbriscoe.blogspot.com/2008/01/how-to-cut-out-kimono-and-other-things.html for the lengths; n from common practice,
no source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from clothwright.pattern.drafting.asking import DraftRefused, Figures
from clothwright.pattern.drafting.drafted import Finished
from clothwright.pattern.drafting.sewn import Garment, allowed
from clothwright.pattern.drafting.shaping import Part, drawn_inside, join_line, run, side, strip
from clothwright.pattern.piece import MAIN_CLOTH, Edge, Ring

LEAST_PANEL_CM: Final = 4.0
#: The least of a panel's edge below where the band's slope meets it, cm. Common practice, no source.
LEAST_BELOW_CM: Final = 5.0


@dataclass(frozen=True)
class _Jacket:
    """The lengths of a jacket, cm; `panel` is 0 without overlap panels, `band_edge` how far the band runs down an edge."""

    cloth: float
    length: float
    hem: float
    allowance: float
    neck: float
    drop: float
    band: float
    panel: float
    band_edge: float
    sleeve: float

    @property
    def width(self) -> float:
        """A width of cloth as sewn."""
        return self.cloth - 2 * self.allowance

    @property
    def band_cut(self) -> float:
        """The band's width as it is cut."""
        return 2 * self.band + 2 * self.allowance

    @property
    def meets(self) -> float:
        """How far below the shoulder the band's slope meets the panel's edge."""
        return self.drop * (self.neck + self.panel) / self.neck

    @property
    def slopes(self) -> tuple[float, float]:
        """The band's seam across the body's corner, and across the panel."""
        return math.hypot(self.neck, self.drop), math.hypot(self.panel, self.meets - self.drop)

    @property
    def round_about(self) -> float:
        """All round, the fronts laid edge to edge."""
        return 4 * self.width + 2 * self.panel + 2 * self.band


def wrap_jacket(figures: Figures) -> Garment:
    """The parts of the jacket, its finished measures and notes."""
    one = _measured(figures)
    parts = [_body(one), _sleeve(one)]
    if one.panel:
        parts.append(_panel(one))
    parts.append(_band(one, figures.options["band_cloth"]))
    return Garment(tuple(parts), _finished(figures, one), _notes(figures, one))


def _measured(figures: Figures) -> _Jacket:
    options, allowance = figures.options, figures.allowance_cm
    cloth, length, hem, drop, band = (options[name] for name in ("cloth_width", "length", "hem", "neck_drop", "band"))
    neck = figures.body["neck-base girth"] / 6 + 1.0
    width = cloth - 2 * allowance
    allowed(("options", "cloth_width"), "the cloth less its seams", width, neck + 5, "more than the neck takes")
    allowed(
        ("options", "length"), "length", length, drop + LEAST_BELOW_CM, "below where the band reaches the front edge"
    )
    panel = _panel_width(figures, neck) if options["overlap"] == "panel" else 0.0
    one = _Jacket(cloth, length, hem, allowance, neck, drop, band, panel, 0.0, 0.0)
    edge = _band_edge(one) if panel else length - drop
    one = _Jacket(cloth, length, hem, allowance, neck, drop, band, panel, edge, 0.0)
    sleeve = _sleeve_drop(figures, one)
    one = _Jacket(cloth, length, hem, allowance, neck, drop, band, panel, edge, sleeve)
    _laps_enough(figures, one)
    return one


def _panel_width(figures: Figures, neck: float) -> float:
    options, allowance = figures.options, figures.allowance_cm
    panel = options["cloth_width"] - (2 * options["band"] + 2 * allowance) - 2 * allowance
    allowed(
        ("options", "overlap"), "the overlap panel beside the band", panel, LEAST_PANEL_CM, "or it is too narrow to sew"
    )
    most = (options["length"] - LEAST_BELOW_CM) * neck / (neck + panel)
    if options["neck_drop"] > most:
        raise DraftRefused.at(
            ("options", "neck_drop"),
            f"neck_drop: {options['neck_drop']:g} cm with a panel {panel:.1f} cm wide brings the band to the panel's edge below the "
            f"hem; at most {most:.1f} cm is accepted at a length of {options['length']:g} cm, or take no overlap panel",
        )
    return float(panel)


def _band_edge(one: _Jacket) -> float:
    """How far the band, as long as the panel is cut, runs down the panel's edge; to the hem where it would end above it."""
    left = one.length + one.hem - one.drop - 2 * one.allowance - one.neck - sum(one.slopes)
    whole = one.length - one.meets
    return whole if left < LEAST_BELOW_CM else min(left, whole)


def _sleeve_drop(figures: Figures, one: _Jacket) -> float:
    options = figures.options
    least = figures.with_ease("upper arm girth") / 2
    cut = options.get("cloth_length")
    drop = options.get("sleeve_drop", least)
    where = ("options", "sleeve_drop")
    if cut is not None:
        drop, where = _left_for_sleeves(one, cut), ("options", "cloth_length")
    allowed(where, "the sleeve's depth", drop, least, "half the upper arm and its ease")
    if drop > one.length - LEAST_BELOW_CM:
        raise DraftRefused.at(
            where, f"a sleeve {drop:.1f} cm deep leaves no side seam on a jacket {one.length:g} cm long; "
            f"at most {one.length - LEAST_BELOW_CM:.1f} cm is accepted"
        )  # fmt: skip
    return float(drop)


def _left_for_sleeves(one: _Jacket, cloth_length: float) -> float:
    """The depth of sleeves that take what body, panels and band leave of a length of cloth."""
    panels = 2 * (one.length + one.hem - one.drop) if one.panel else 0.0
    beside = math.floor(one.cloth / one.band_cut + 1e-9)
    bands = 0.0 if _beside_the_panel(one) else (1 if beside >= 2 else 2) * _band_cut_length(one)
    return (cloth_length - 4 * (one.length + one.hem) - panels - bands) / 4 - one.allowance


def _band_cut_length(one: _Jacket) -> float:
    return _band_length(one) + 2 * one.allowance


def _beside_the_panel(one: _Jacket) -> bool:
    """Whether the band is no longer than the panel it is cut beside."""
    return one.panel > 0 and _band_cut_length(one) <= one.length + one.hem - one.drop + 1e-9


def _band_length(one: _Jacket) -> float:
    """Half of the band as sewn, from the middle of the back to its end."""
    first, second = one.slopes
    return one.neck + first + (second if one.panel else 0.0) + one.band_edge


def _laps_enough(figures: Figures, one: _Jacket) -> None:
    for girth in ("bust girth", "hip girth"):
        lap = one.round_about - figures.with_ease(girth)
        short = figures.options["wrap"] - lap
        if short > 1e-9:
            wider = one.cloth + short / (6 if one.panel else 4)
            raise DraftRefused.at(
                ("options", "cloth_width"),
                f"cloth_width: widths of {one.cloth:g} cm make a jacket of {one.round_about:.1f} cm all round; {girth}, its ease and the "
                f"wrap asked for are {one.round_about + short:.1f} cm: weave {wider:.1f} cm or wider, or ask for less wrap or ease",
            )


def _rectangle(left: float, low: float, right: float, high: float) -> Ring:
    return ((left, low), (right, low), (right, high), (left, high))


def _body(one: _Jacket) -> Part:
    w, length, a, p = one.width, one.length, one.allowance, one.sleeve
    front = "overlap" if one.panel else "band front edge"
    return Part(
        "body",
        (
            side((0, -length), (0, -one.drop), seam=front, selvedge=True),
            side((0, -one.drop), (one.neck, 0), seam="band neck front"),
            side((one.neck, 0), (0, 0), seam="band neck back"),
            side((0, 0), (0, length), seam="centre back", selvedge=True),
            side((0, length), (w, length), hem=one.hem),
            side((w, length), (w, p), seam="side", selvedge=True),
            side((w, p), (w, 0), seam="sleeve back", selvedge=True),
            side((w, 0), (w, -p), seam="sleeve front", selvedge=True),
            side((w, -p), (w, -length), seam="side", selvedge=True),
            side((w, -length), (0, -length), hem=one.hem),
        ),
        cut=_rectangle(-a, -length - one.hem, w + a, length + one.hem),
        count=2,
        pair=True,
        marks=(drawn_inside((-a, 0), (one.neck, 0)), join_line((0, 0), (w, 0))),
    )


def _sleeve(one: _Jacket) -> Part:
    across, p = one.cloth - one.allowance, one.sleeve
    return Part(
        "sleeve",
        (
            side((0, -p), (0, 0), seam="sleeve front", selvedge=True),
            side((0, 0), (0, p), seam="sleeve back", selvedge=True),
            side((0, p), (across, p), seam="sleeve underarm"),
            side((across, p), (across, -p), hem=0.0, selvedge=True),
            side((across, -p), (0, -p), seam="sleeve underarm"),
        ),
        count=2,
    )


def _panel(one: _Jacket) -> Part:
    o, length, a = one.panel, one.length, one.allowance
    end = -one.meets - one.band_edge
    below = () if end <= -length + 1e-9 else (side((-o, end), (-o, -length), hem=a, selvedge=False),)
    return Part(
        "overlap panel",
        (
            side((0, -length), (0, -one.drop), seam="overlap", selvedge=True),
            side((0, -one.drop), (-o, -one.meets), seam="band overlap slope"),
            side((-o, -one.meets), (-o, end), seam="band overlap edge"),
            *below,
            side((-o, -length), (0, -length), hem=one.hem),
        ),
        cut=_rectangle(-o - a, -length - one.hem, a, -one.drop),
        count=2,
        pair=True,
    )


def _band(one: _Jacket, cloth: str) -> Part:
    """Half of the band, from the middle of the back to its end."""
    first, second = one.slopes
    runs: list[Edge] = [run(one.neck, "band neck back"), run(first, "band neck front")]
    if one.panel:
        runs += [run(second, "band overlap slope"), run(one.band_edge, "band overlap edge")]
    else:
        runs.append(run(one.band_edge, "band front edge"))
    return strip("band", runs, 2 * one.band, ends=("band centre", None), count=2, pair=True, material=cloth)


def _finished(figures: Figures, one: _Jacket) -> tuple[Finished, ...]:
    body, ease = figures.body, figures.ease
    reach = body["shoulder width"] / 2 + body["arm length"]
    return (
        Finished("bust girth, edge to edge", one.round_about, body["bust girth"], ease["bust girth"]),
        Finished("hip girth, edge to edge", one.round_about, body["hip girth"], ease["hip girth"]),
        Finished("sleeve girth", 2 * one.sleeve, body["upper arm girth"], ease["upper arm girth"]),
        Finished("middle of the back to sleeve end", one.width + one.cloth - one.allowance, reach),
        Finished("length from the shoulder", one.length),
    )


def _notes(figures: Figures, one: _Jacket) -> tuple[str, ...]:
    fullest = max(figures.with_ease("bust girth"), figures.with_ease("hip girth"))
    notes = [
        f"The fronts lap {one.round_about - fullest:.1f} cm over each other round the fullest girth and its ease.",
        "A body length runs over the shoulder: in cloth that goes one way, its front is upside down.",
        "At the shoulder the neck is slit along the thread; the band takes it with a narrow seam.",
    ]
    if one.panel and not _beside_the_panel(one):
        notes.append("The band is longer than the panel: join it from the strip beside the panel, or cut it by itself.")
    if figures.options["band_cloth"] != MAIN_CLOTH and one.panel:
        notes.append("With the band from another cloth, the strip beside each panel is left over.")
    return tuple(notes)
