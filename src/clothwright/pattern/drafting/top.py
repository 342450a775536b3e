"""The shaped top, pulled over the head: the shaped body, a neck the head goes through, and sleeves that fit the armhole.

Neck. Half openings of front and back, measured along their lines, make the whole opening O = 2 (front + back). The neck is widened
along the shoulder by the least t ≥ 0 with O(t) = head + ease, its depth growing with it; O rises with t, so t is found by halving.
A close neck stays where the neck is, and a slit down the back of length s lets the head through: O + 2 s = head + ease.

Sleeve. The top of the sleeve is two S-curves, level at the underarm and at the crown, h high, with half widths f (front) and r
(back). They are drawn so that front = front armhole + e / 2, back = back armhole + e / 2 and f + r = upper arm + ease, for a cap ease
e; these three fix f, r and h. A length along an S-curve rises with its height and with its width, so for each h the widths
are found by halving, and h by halving on their sum. Below, both underarm edges lean in by the same amount, so they are equal.

*Source:* see `bodice.py`; the S-curve with handles of half its width: common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any, Final

import numpy as np

from clothwright.pattern.drafting.asking import DraftRefused, Figures
from clothwright.pattern.drafting.bodice import (
    Bodice,
    back_neck,
    bodice,
    most_wider,
    neck_point,
    neck_side,
    round_neck,
    v_neck,
)
from clothwright.pattern.drafting.curves import STEPS, cubic, point_at, solved
from clothwright.pattern.drafting.drafted import Finished
from clothwright.pattern.drafting.sewn import BINDING_CM, BINDING_TURNED_CM, Garment, allowed, arm_share
from clothwright.pattern.drafting.shaping import Part, drawn_inside, notch, run, side, strip
from clothwright.pattern.drafting.waistcoat import armhole_binding, back_sides, body_finished, middle_join
from clothwright.pattern.piece import Edge, PieceMark, Point, Ring, line_length

#: Depth of a front neck below its side where it is not widened, beyond the neck's half width, and how that grows with
#: widening. Common practice, no source.
_DEPTHS: Final = {"round": (1.5, 1.0), "v": (7.0, 1.5), "close": (1.5, 0.0)}
_BOAT_CM: Final = 5.0
_HANDLE: Final = 0.5
_LEAST_CAP_CM: Final = 2.0
#: Where front and back armhole are matched with the sleeve, of the way from the underarm. Common practice, no source.
_MATCH_AT: Final = 0.4
#: How wide a sleeve that does not reach the wrist is at its end, of its width at the underarm. Common practice, no source.
_END_SHARES: Final = {"short": 0.94, "elbow": 0.85}
_HAND_CM: Final = 1.0
FACING_BEYOND_CM: Final = 5.0


@dataclass(frozen=True)
class _Neck:
    at: Point
    front: Ring
    slit: float = 0.0

    @property
    def opening(self) -> float:
        """All round, cm, without a slit."""
        return 2 * (line_length(self.front) + line_length(back_neck(self.at)))


@dataclass(frozen=True)
class Cap:
    """The top of a sleeve: half widths at front and back, and its height, cm."""

    front: float
    back: float
    height: float

    def line(self, half: float) -> Ring:
        """From the crown down to the underarm on the right."""
        inner = (half * _HANDLE, self.height)
        return cubic((0.0, self.height), inner, (half * (1 - _HANDLE), 0.0), (half, 0.0))


def top(figures: Figures) -> Garment:
    """The parts of the top, its finished measures and notes."""
    options = figures.options
    neck = _neck(figures)
    body = bodice(figures, neck.at, neck.front, shaped=options["waist"] == "shaped")
    if -neck.front[0][1] > -body.armhole_front[-1][1] + 5:
        raise DraftRefused.at(
            ("options", "neck"),
            "the neck the head needs reaches more than 5 cm below the armhole; take the close neck with its slit",
        )
    parts = [_front(body, neck, options), _back(body, neck, options), _neck_binding(figures, neck)]
    finished = [*body_finished(figures, body), _neck_finished(figures, neck)]
    if neck.slit:
        parts.append(_slit_facing(neck, options["binding_cloth"]))
    if options["sleeve"] == "none":
        parts.append(armhole_binding(body, options["binding_cloth"]))
    else:
        sleeve, more = _sleeve(figures, body)
        parts.append(sleeve)
        finished += more
    return Garment(tuple(parts), tuple(finished), ())


# --- the neck ----------------------------------------------------------------------------------------------------


def _neck(figures: Figures) -> _Neck:
    wanted, most = figures.with_ease("head girth"), most_wider(figures)
    if figures.options["neck"] == "close":
        close = _neck_of(figures, 0.0)
        return _Neck(close.at, close.front, max((wanted - close.opening) / 2, 0.0))
    if _neck_of(figures, 0.0).opening >= wanted:
        return _neck_of(figures, 0.0)
    wider = solved(lambda t: _neck_of(figures, t).opening, wanted, 0.0, most)
    if wider is None:
        raise DraftRefused.at(
            ("options", "neck"),
            f"a {figures.options['neck']} neck as wide as the shoulders allow opens to {_neck_of(figures, most).opening:.1f} cm, and the "
            f"head with its ease is {wanted:.1f} cm; take a deeper neck (round or v), or the close neck with its slit",
        )
    return _neck_of(figures, wider)


def _neck_of(figures: Figures, wider: float) -> _Neck:
    at, kind = neck_point(figures, wider), figures.options["neck"]
    if kind == "boat":
        return _Neck(at, round_neck(at, _BOAT_CM - at[1]))
    more, growing = _DEPTHS[kind]
    deep = neck_side(figures) + more + growing * wider - at[1]
    return _Neck(at, v_neck(at, (0.0, -deep)) if kind == "v" else round_neck(at, deep))


def _neck_finished(figures: Figures, neck: _Neck) -> Finished:
    opens = neck.opening + 2 * neck.slit
    return Finished("neck opening, all round", opens, figures.body["head girth"], figures.ease["head girth"])


def _neck_binding(figures: Figures, neck: _Neck) -> Part:
    """A strip on the bias as long as the neck, from the middle of the back round to it again."""
    turned = BINDING_TURNED_CM
    back, front = (
        run(line_length(line), seam, allowance=turned)
        for line, seam in ((back_neck(neck.at), "neck back"), (neck.front, "neck front"))
    )
    return strip(
        "neck binding",
        (back, front, front, back),
        BINDING_CM,
        ends=("neck binding ends",) * 2,
        inner=Edge((), allowance_cm=turned),
        bias=True,
        material=figures.options["binding_cloth"],
    )


def _slit_facing(neck: _Neck, cloth: str) -> Part:
    half, deep = FACING_BEYOND_CM, neck.slit + FACING_BEYOND_CM
    sides = (
        side((0, 0), (half, 0)),
        side((half, 0), (half, -deep), allowance=0.0),
        side((half, -deep), (0, -deep), allowance=0.0),
    )
    return Part("slit facing", sides, fold=True, material=cloth, marks=(drawn_inside((0, 0), (0, -neck.slit)),))


# --- front and back ----------------------------------------------------------------------------------------------


def _front(body: Bodice, neck: _Neck, options: Any) -> Part:
    foot = body.side[-1]
    sides = (
        side(*neck.front, seam="neck front"),
        side(*body.shoulder, seam="shoulder"),
        side(*body.armhole_front, seam="armhole front"),
        side(*body.side, seam="side"),
        side(foot, (0.0, foot[1]), hem=options["hem"]),
    )
    return Part(
        "front",
        sides,
        fold=True,
        marks=(*_matched(body.armhole_front, "front", options), middle_join(body, neck.front[0])),
    )


def _back(body: Bodice, neck: _Neck, options: Any) -> Part:
    nape = body.neck_back[0]
    slit = (drawn_inside(nape, (0.0, nape[1] - neck.slit)),) if neck.slit else ()
    marks = (*_matched(body.armhole_back, "back", options), *slit, middle_join(body, nape))
    return Part("back", back_sides(body, options["hem"]), fold=True, marks=marks)


def _matched(armhole: Ring, name: str, options: Any) -> tuple[PieceMark, ...]:
    if options["sleeve"] == "none":
        return ()
    at, _ = point_at(armhole[::-1], _MATCH_AT * line_length(armhole))
    return (notch(at, (-1.0, 0.0), f"{name} armhole"),)


# --- the sleeve --------------------------------------------------------------------------------------------------


@cache
def _steps() -> tuple[Any, Any]:
    """How far each step of a cap's curve goes across and down, for a width and a height of one."""
    t = np.linspace(0.0, 1.0, STEPS + 1)
    s = 1 - t
    across = 3 * s * s * t * _HANDLE + 3 * s * t * t * (1 - _HANDLE) + t**3
    down = 3 * s * t * t + t**3
    return np.diff(across), np.diff(down)


def _cap_length(half: float, height: float) -> float:
    across, down = _steps()
    return float(np.hypot(across * half, down * height).sum())


def fitted_cap(front_cm: float, back_cm: float, width_cm: float) -> Cap | None:
    """The cap whose halves are so long and whose widths together are so wide; None where there is none."""

    def halves(height: float) -> tuple[float, float]:
        found = [solved(lambda half: _cap_length(half, height), long, 0.0, long) for long in (front_cm, back_cm)]
        return found[0] or 0.0, found[1] or 0.0

    highest = min(front_cm, back_cm) * 0.97
    height = solved(lambda h: -sum(halves(h)), -width_cm, _LEAST_CAP_CM, highest)
    return None if height is None else Cap(*halves(height), height)


def _sleeve(figures: Figures, body: Bodice) -> tuple[Part, tuple[Finished, ...]]:
    options, ease = figures.options, figures.options["cap_ease"] / 2
    long = [line_length(line) + ease for line in (body.armhole_front, body.armhole_back)]
    width = figures.with_ease("upper arm girth")
    cap = fitted_cap(long[0], long[1], width)
    if cap is None:
        raise DraftRefused.at(*_no_cap(figures, body, width))
    reach = figures.body["arm length"] * arm_share(options["sleeve"])
    length = reach - cap.height
    why = "below the top of the sleeve; take a longer sleeve, or more ease at the upper arm for a lower top"
    allowed(("options", "sleeve"), f"a sleeve to {options['sleeve']}", length, 2.0, why)
    end = _end_width(figures, width)
    part = _sleeve_part(cap, length, end, options)
    return part, (
        Finished("sleeve girth", width, figures.body["upper arm girth"], figures.ease["upper arm girth"]),
        _end_finished(figures, end),
        Finished(
            "sleeve from the shoulder's point",
            reach,
            figures.body["arm length"] if options["sleeve"] == "long" else None,
        ),
    )


def _end_finished(figures: Figures, end: float) -> Finished:
    if figures.options["sleeve"] == "long":
        return Finished("sleeve end", end, figures.body["wrist girth"], figures.ease["wrist girth"])
    return Finished("sleeve end", end)


def _no_cap(figures: Figures, body: Bodice, width: float) -> tuple[tuple[str, ...], str]:
    around = body.armhole_cm + figures.options["cap_ease"]
    wide = width > around / 2
    mend = "less ease at the upper arm, or scye_lower larger" if wide else "more ease at the upper arm"
    return (
        ("ease", "upper_arm_girth"),
        f"no sleeve {width:.1f} cm wide fits an armhole of {around:.1f} cm with its ease: its top would be too "
        f"{'flat' if wide else 'high'}; give {mend}",
    )


def _end_width(figures: Figures, width: float) -> float:
    if figures.options["sleeve"] == "long":
        return min(max(figures.with_ease("wrist girth"), figures.body["hand girth"] + _HAND_CM), width)
    return width * _END_SHARES[figures.options["sleeve"]]


def _sleeve_part(cap: Cap, length: float, end: float, options: Any) -> Part:
    apart = (cap.front - cap.back) / 2
    front, back = end / 2 + apart, end / 2 - apart
    allowed(("ease", "wrist_girth"), "half of the sleeve's end", min(front, back), 1.0, "give more ease at the wrist")
    ease = options["cap_ease"] / 2
    front_line = cap.line(cap.front)
    back_line = tuple((-u, v) for u, v in cap.line(cap.back))
    sides = (
        side(*back_line[::-1], seam="armhole back", ease=ease),
        side(*front_line, seam="armhole front", ease=ease),
        side((cap.front, 0.0), (front, -length), seam="underarm"),
        side((front, -length), (-back, -length), hem=options["hem"]),
        side((-back, -length), (-cap.back, 0.0), seam="underarm"),
    )
    marks = tuple(
        notch(point_at(line[::-1], _MATCH_AT * (line_length(line) - ease))[0], (0.0, -1.0), f"{name} armhole")
        for line, name in ((front_line, "front"), (back_line, "back"))
    )
    return Part("sleeve", sides, count=2, pair=True, marks=marks)
