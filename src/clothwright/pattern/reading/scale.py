"""How large a drawing really is: its width and height, its viewBox, or the scale that the person states.

*Source:* CSS Values and Units (W3C): 1 in = 2.54 cm = 96 px = 72 pt = 6 pc, 1 Q = 1/40 cm; SVG 1.1, 7.7 (viewBox) and 7.8
(preserveAspectRatio). A width in px, or without a unit, is a size on a screen and not of cloth: it is refused.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from clothwright.pattern.geometry import Affine, NotUnderstood, read_numbers, sensible
from clothwright.pattern.reading.findings import Findings, quoted

CM_PER_INCH = 2.54
CM_PER: dict[str, float] = {
    "cm": 1.0,
    "mm": 0.1,
    "q": 0.025,
    "in": CM_PER_INCH,
    "pt": CM_PER_INCH / 72,
    "pc": CM_PER_INCH / 6,
}
CM_PER_PX = CM_PER_INCH / 96

_LENGTH = re.compile(r"([+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:e[+-]?[0-9]+)?)\s*([a-z]*|%)", re.IGNORECASE)
_LONGEST_LENGTH = 80
_SAME_WITHIN = 0.001

NO_SIZE = (
    "The drawing gives no real size: set its width and height in mm or cm (document properties in the drawing program), "
    "or state the scale."
)


@dataclass(frozen=True)
class DrawingScale:
    """What one unit of the drawing (of its viewBox, if it has one) is in reality, cm."""

    cm_per_unit: float

    def __post_init__(self) -> None:
        if not 0 < self.cm_per_unit <= 1000:
            raise ValueError(f"a scale of {self.cm_per_unit} cm per unit makes no sense; more than 0, at most 1000 cm")


@dataclass(frozen=True)
class Page:
    """The transform from the drawing's units to cm, and its width and height in units, which percentages are of."""

    to_cm: Affine
    viewport: tuple[float, float]

    @classmethod
    def unknown(cls) -> Page:
        """A stand-in for looking through a drawing without a size, to report whatever else is wrong with it."""
        return cls(Affine(a=CM_PER_PX, d=CM_PER_PX), (0.0, 0.0))


@dataclass(frozen=True)
class ViewBox:
    """The part of the drawing's plane that fills its width and height."""

    x: float
    y: float
    width: float
    height: float


def read_page(root: Element, scale: DrawingScale | None, findings: Findings) -> Page | None:
    """The page's true scale; None, with the problem kept, if the drawing gives none and nobody states it."""
    try:
        box = read_view_box(root)
        own = _own_page(root, box, findings)
    except NotUnderstood as error:
        findings.problem(f"The drawing's size cannot be read: {error}.")
        return None
    if scale is None:
        if own is None and not findings.problems.keys() & {_UNEVEN}:
            findings.problem(_no_size(root))
        return own
    return _stated_page(root, box, own, scale, findings)


def _stated_page(root: Element, box: ViewBox | None, own: Page | None, scale: DrawingScale, findings: Findings) -> Page:
    stated = scale.cm_per_unit
    if own is not None and not math.isclose(own.to_cm.a, stated, rel_tol=_SAME_WITHIN):
        findings.note(
            f"One unit is taken as {stated:g} cm, as stated; by its own width and height it would be {own.to_cm.a:g} cm."
        )
    viewport = (box.width, box.height) if box else (_px(root, "width"), _px(root, "height"))
    return Page(Affine(a=stated, d=stated), viewport)


def _no_size(root: Element) -> str:
    came = [f'{key}="{root.get(key, "")[:20]}"' for key in ("width", "height") if root.get(key)]
    return f"{NO_SIZE} What came: {' '.join(came) or 'no width and height'}."


_UNEVEN = (
    "The drawing is stretched more one way than the other (its width and height do not fit its viewBox, and "
    "preserveAspectRatio is none); set width and height in the same proportion as the viewBox."
)


def _own_page(root: Element, box: ViewBox | None, findings: Findings) -> Page | None:
    width, height = _real_cm(root, "width"), _real_cm(root, "height")
    if box is None:
        return _page_without_box(width, height, findings)
    for key, cm in (("width", width), ("height", height)):
        if cm is None and root.get(key, "auto").strip().lower() not in ("", "auto", "100%"):
            return None
    if width is None and height is None:
        return None
    return _page_with_box(root, box, width or height_fits(box, height), height or width_fits(box, width), findings)


def height_fits(box: ViewBox, height: float | None) -> float:
    """The width that goes with this height by the viewBox's proportion."""
    return (height or 0.0) * box.width / box.height


def width_fits(box: ViewBox, width: float | None) -> float:
    """The height that goes with this width by the viewBox's proportion."""
    return (width or 0.0) * box.height / box.width


def _page_with_box(root: Element, box: ViewBox, width: float, height: float, findings: Findings) -> Page | None:
    across, down = width / box.width, height / box.height
    uneven = not math.isclose(across, down, rel_tol=_SAME_WITHIN)
    if uneven and _align(root) == "none":
        findings.problem(_UNEVEN)
        return None
    if uneven and not math.isclose(across, down, rel_tol=0.01):
        findings.note(
            "Width and height are not in the proportion of the viewBox; the scale is even all the same, as SVG says."
        )
    return Page(fit_view_box(root, box, width, height), (box.width, box.height))


def _page_without_box(width: float | None, height: float | None, findings: Findings) -> Page | None:
    if width is None or height is None:
        return None
    findings.note("The drawing has no viewBox; one unit is taken as 1/96 inch, as SVG says: check a size you know.")
    return Page(Affine(a=CM_PER_PX, d=CM_PER_PX), (width / CM_PER_PX, height / CM_PER_PX))


def _real_cm(root: Element, key: str) -> float | None:
    """The root's width or height if it is given in a unit of real length, cm; else None."""
    text = root.get(key)
    if text is None or text.strip().lower() in ("", "auto"):
        return None
    number, unit = split_length(text, key)
    if unit not in CM_PER:
        return None
    if number <= 0:
        raise NotUnderstood(f"{key} is {quoted(text)}; a length above 0 is accepted")
    return number * CM_PER[unit]


def _px(root: Element, key: str) -> float:
    """The root's width or height in px, for percentages; 0 where it has none."""
    number, unit = split_length(root.get(key, "0"), key)
    return 0.0 if unit == "%" else number * CM_PER.get(unit, CM_PER_PX) / CM_PER_PX


def split_length(text: str, key: str) -> tuple[float, str]:
    """A length's number and its unit in small letters ("" if it has none)."""
    match = _LENGTH.fullmatch(text.strip()[:_LONGEST_LENGTH])
    unit = match[2].lower() if match else "?"
    if match is None or unit not in ("", "px", "%", *CM_PER):
        raise NotUnderstood(f"{key} is {quoted(text)}; a number is accepted, alone or with mm, cm, in, pt, pc, px or %")
    return sensible(match[1]), unit


def read_view_box(element: Element) -> ViewBox | None:
    """The element's viewBox, if it has one; NotUnderstood if it is none."""
    text = element.get("viewBox")
    if text is None:
        return None
    numbers = read_numbers(text)
    if len(numbers) != 4 or numbers[2] <= 0 or numbers[3] <= 0:
        raise NotUnderstood(f"viewBox is {quoted(text)}; four numbers are accepted, the last two above 0")
    return ViewBox(*numbers)


def _align(element: Element) -> str:
    words = element.get("preserveAspectRatio", "").replace("defer", "").split()
    return words[0] if words else "xMidYMid"


def fit_view_box(element: Element, box: ViewBox, width: float, height: float) -> Affine:
    """The transform that fits the viewBox into the width and height as the element's preserveAspectRatio says."""
    across, down = width / box.width, height / box.height
    align = _align(element)
    if align == "none":
        return Affine(across, 0.0, 0.0, down, -across * box.x, -down * box.y)
    sliced = element.get("preserveAspectRatio", "").split()[-1:] == ["slice"]
    even = max(across, down) if sliced else min(across, down)
    left = _share(align, "x") * (width - even * box.width)
    top = _share(align, "Y") * (height - even * box.height)
    return Affine(even, 0.0, 0.0, even, left - even * box.x, top - even * box.y)


def _share(align: str, axis: str) -> float:
    return 0.0 if f"{axis}Min" in align else 1.0 if f"{axis}Max" in align else 0.5
