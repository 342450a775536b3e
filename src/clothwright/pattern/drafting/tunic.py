"""The tunic of rectangles: nothing is cut on a curve, so nothing is wasted and a small loom will do.

Front and back are rectangles as wide as half the girth, G = max(bust + ease, hip + ease). They are sewn together along the top
from each side inwards; what is left open is the neck. A boat neck is left open as far as the head needs, 2 N = head + ease;
a slit neck as far as the neck does, 2 N = neck base + ease, and its slit of length s lets the head through: 2 N + 2 s =
head + ease. The shoulder falls where the side is, half of G / 2 from the middle, so the sleeve is what the arm is longer than
that: shoulder width / 2 + share of the arm − G / 4. A sleeve is a rectangle 2 w wide, 2 w = upper arm + ease, and is
sewn to w of front and back. A square gusset of side g under the arm gives the reach that a flat sleeve lacks: two of its
sides lie along the sleeve's underarm, two along front and back below the sleeve.

With a cloth width, front and back are one or two whole widths, selvedge to selvedge; the girth then follows from the loom, and
is told.

*Source:* construction common practice, no source; figures in `garments.toml`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from clothwright.pattern.drafting.asking import DraftRefused, Figures
from clothwright.pattern.drafting.drafted import Finished
from clothwright.pattern.drafting.sewn import Garment, allowed, arm_share
from clothwright.pattern.drafting.shaping import Part, drawn_inside, join_line, side
from clothwright.pattern.piece import Edge, PieceMark

#: The least of a shoulder that holds a garment up, cm. Common practice, no source.
LEAST_SHOULDER_CM: Final = 5.0
FACING_BEYOND_CM: Final = 5.0
MOST_WIDTHS: Final = 2


@dataclass(frozen=True)
class _Tunic:
    """The lengths of a tunic, cm."""

    width: float
    widths: int
    neck: float
    slit: float
    length: float
    armhole: float
    gusset: float
    sleeve: float | None
    hem: float
    allowance: float


def tunic(figures: Figures) -> Garment:
    """The parts of the tunic, its finished measures and notes."""
    one = _measured(figures)
    parts = [_body("front", one), _body("back", one)]
    if one.sleeve is not None:
        parts += [_sleeve(one, one.sleeve), _gusset(one)]
    if one.slit > 0:
        parts.append(_slit_facing(one, figures.options["facing_cloth"]))
    return Garment(tuple(parts), _finished(figures, one), _notes(figures, one))


def _measured(figures: Figures) -> _Tunic:
    girth = max(figures.with_ease("bust girth"), figures.with_ease("hip girth"))
    allowance, options = figures.allowance_cm, figures.options
    width, widths = _widths(girth / 2, options.get("cloth_width"), allowance)
    neck, slit = _neck(figures)
    if (width - neck) / 2 < LEAST_SHOULDER_CM:
        raise DraftRefused.at(
            ("options", "neck"),
            f"a neck {neck:.1f} cm wide leaves {max((width - neck) / 2, 0):.1f} cm of shoulder on a tunic {width:.1f} cm wide; "
            f"at least {LEAST_SHOULDER_CM:g} cm is accepted: take the slit neck, or more ease at the bust",
        )
    armhole = figures.with_ease("upper arm girth") / 2
    bare = options["sleeve"] == "none"
    gusset = 0.0 if bare else options["gusset"]
    allowed(("options", "length"), "length", options["length"], armhole + gusset + 5, "below the armhole")
    if slit:
        allowed(("options", "length"), "length", options["length"], slit + 5, "below the slit")
    sleeve = None if bare else _sleeve_length(figures, width, gusset)
    _fits_the_cloth(2 * armhole, options.get("cloth_width"), allowance, bare)
    return _Tunic(
        width, widths, neck, slit, options["length"], armhole, gusset, sleeve, options["hem"], allowance
    )  # fmt: skip


def _widths(half_girth: float, cloth: float | None, allowance: float) -> tuple[float, int]:
    """How wide front and back are as sewn, and of how many widths of cloth; 0 widths where they are cut to measure."""
    if cloth is None:
        return half_girth, 0
    sewn = cloth - 2 * allowance
    for widths in range(1, MOST_WIDTHS + 1):
        if widths * sewn >= half_girth:
            return widths * sewn, widths
    raise DraftRefused.at(
        ("options", "cloth_width"),
        f"cloth_width: {MOST_WIDTHS} widths of {cloth:g} cm, less their seams, are {MOST_WIDTHS * sewn:.1f} cm, and half of the girth is "
        f"{half_girth:.1f} cm; weave {half_girth / MOST_WIDTHS + 2 * allowance:.1f} cm or wider, or leave it out and join",
    )


def _neck(figures: Figures) -> tuple[float, float]:
    """How wide the neck is, and how long its slit."""
    through = figures.with_ease("head girth") / 2
    if figures.options["neck"] == "boat":
        return through, 0.0
    wide = figures.with_ease("neck-base girth") / 2
    return wide, max(through - wide, 0.0)


def _sleeve_length(figures: Figures, width: float, gusset: float) -> float:
    arm = figures.body["arm length"] * arm_share(figures.options["sleeve"])
    length = figures.body["shoulder width"] / 2 + arm - width / 2
    allowed(
        ("options", "sleeve"),
        f"a sleeve to {figures.options['sleeve']}",
        length,
        gusset + 1,
        f"longer than the gusset, since the tunic's shoulder reaches {width / 2 - figures.body['shoulder width'] / 2:.1f} cm "
        "down the arm; take a longer sleeve or a smaller gusset",
    )
    return length


def _fits_the_cloth(sleeve: float, cloth: float | None, allowance: float, bare: bool) -> None:
    if cloth is not None and not bare and sleeve + 2 * allowance > cloth:
        raise DraftRefused.at(
            ("options", "cloth_width"),
            f"cloth_width: a sleeve is {sleeve + 2 * allowance:.1f} cm wide with its seams and the cloth {cloth:g} cm; "
            "take less ease at the upper arm, wider cloth, or leave cloth_width out",
        )


def _body(name: str, one: _Tunic) -> Part:
    """Front or back: whole on its fold, or the half that is one width of cloth."""
    wide, neck, selvedge = one.width / 2, one.neck / 2, one.widths > 0
    slit = one.slit if name == "front" else 0.0
    arm, under = -one.armhole, -one.armhole - one.gusset
    sides = [
        side((0, 0), (neck, 0), hem=one.allowance),
        side((neck, 0), (wide, 0), seam="shoulder"),
        *_armhole(name, one, wide, arm, under, selvedge),
        side((wide, under), (wide, -one.length), seam="side", selvedge=selvedge),
        side((wide, -one.length), (0, -one.length), hem=one.hem),
    ]
    marks: tuple[PieceMark, ...] = (drawn_inside((0, 0), (0, -slit)),) if slit else ()
    if one.widths == MOST_WIDTHS:
        sides += [side((0, -one.length), (0, -slit), seam=f"centre {name}", selvedge=True)]
        sides += [side((0, -slit), (0, 0), hem=one.allowance, selvedge=True)] if slit else []
        return Part(name, tuple(sides), count=2, pair=True)
    return Part(name, tuple(sides), fold=True, marks=(*marks, join_line((0, 0), (0, -one.length))))


def _armhole(name: str, one: _Tunic, wide: float, arm: float, under: float, selvedge: bool) -> list[Edge]:
    if one.sleeve is None:
        return [side((wide, 0), (wide, arm), hem=one.allowance, selvedge=selvedge)]
    return [
        side((wide, 0), (wide, arm), seam=f"armhole {name}", selvedge=selvedge),
        side((wide, arm), (wide, under), seam=f"gusset {name}", selvedge=selvedge),
    ]


def _sleeve(one: _Tunic, length: float) -> Part:
    w, g = one.armhole, one.gusset
    return Part(
        "sleeve",
        (
            side((-w, 0), (0, 0), seam="armhole back"),
            side((0, 0), (w, 0), seam="armhole front"),
            side((w, 0), (w, -g), seam="gusset sleeve front"),
            side((w, -g), (w, -length), seam="underarm"),
            side((w, -length), (-w, -length), hem=one.hem),
            side((-w, -length), (-w, -g), seam="underarm"),
            side((-w, -g), (-w, 0), seam="gusset sleeve back"),
        ),
        count=2,
        marks=(join_line((0, 0), (0, -length)),),
    )


def _gusset(one: _Tunic) -> Part:
    g = one.gusset
    return Part(
        "gusset",
        (
            side((0, 0), (g, 0), seam="gusset sleeve front"),
            side((g, 0), (g, g), seam="gusset sleeve back"),
            side((g, g), (0, g), seam="gusset back"),
            side((0, g), (0, 0), seam="gusset front"),
        ),
        count=2,
    )


def _slit_facing(one: _Tunic, cloth: str) -> Part:
    half, deep = one.neck / 2, one.slit + FACING_BEYOND_CM
    return Part(
        "slit facing",
        (
            side((0, 0), (half, 0)),
            side((half, 0), (half, -deep), allowance=0),
            side((half, -deep), (0, -deep), allowance=0),
        ),
        fold=True,
        material=cloth,
        marks=(drawn_inside((0, 0), (0, -one.slit)),),
    )


def _finished(figures: Figures, one: _Tunic) -> tuple[Finished, ...]:
    body, ease = figures.body, figures.ease
    found = [
        Finished("bust girth", 2 * one.width, body["bust girth"], ease["bust girth"]),
        Finished("hip girth", 2 * one.width, body["hip girth"], ease["hip girth"]),
        Finished("neck opening, all round", 2 * one.neck + 2 * one.slit, body["head girth"], ease["head girth"]),
        Finished("length from the shoulder", one.length),
    ]
    if one.sleeve is not None:
        whole = figures.options["sleeve"] == "long"
        reach = body["shoulder width"] / 2 + body["arm length"] if whole else None
        found.append(Finished("sleeve girth", 2 * one.armhole, body["upper arm girth"], ease["upper arm girth"]))
        found.append(Finished("middle of the back to sleeve end", one.width / 2 + one.sleeve, reach))
    return tuple(found)


def _notes(figures: Figures, one: _Tunic) -> tuple[str, ...]:
    if not one.widths:
        return ()
    asked = max(figures.with_ease("bust girth"), figures.with_ease("hip girth"))
    what = "one width" if one.widths == 1 else f"{one.widths} widths"
    return (
        f"Front and back are {what} of cloth each: the tunic is {2 * one.width - asked:.1f} cm larger round than was asked for.",
    )
