"""From a photograph or scan of one paper piece to its outline at true size: bytes in, outline out.

The camera is corrected by marker strips laid around the piece, or by a sheet of known size lying beside it; the outline is
found, cleaned of noise with its corners and straight sides kept, and measured. The picture's upwards is the page's upwards,
which is the grain's direction unless something else is said.
"""

from __future__ import annotations

import base64
import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final
from xml.sax.saxutils import quoteattr

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import Polygon

from clothwright.pattern.photographs.camera import Camera, by_sheet, by_strips
from clothwright.pattern.photographs.markers import PITCH_CM, SIDE_CM, STRIPS, markers
from clothwright.pattern.photographs.seeing import (
    crossing,
    evenly,
    fitted_line,
    opencv,
    read_photo,
    see_markers,
    see_piece,
    see_sheet,
    what_lies_apart,
)
from clothwright.pattern.piece import Point, Ring
from clothwright.pattern.reading.findings import DrawingRefused

Array = NDArray[np.float64]


class TracedBy(StrEnum):
    """What lies beside the piece to correct the camera by."""

    MARKERS = "markers"
    A4 = "A4"
    A3 = "A3"
    LETTER = "letter"

    @property
    def words(self) -> str:
        """What a page calls it."""
        return "printed marker strips" if self is TracedBy.MARKERS else f"a white sheet of {self} paper"

    @classmethod
    def read(cls, text: str) -> TracedBy:
        """The way of that name; DrawingRefused if there is none."""
        try:
            return cls(text)
        except ValueError:
            raise DrawingRefused([f"“{text[:20]}” came; accepted are {', '.join(cls)}."]) from None


#: Short and long side, cm. Source: ISO 216 (A sizes); ANSI/ASME Y14.1 (letter, 8.5 x 11 in).
SHEETS: Final = {"A4": (21.0, 29.7), "A3": (29.7, 42.0), "letter": (21.59, 27.94)}
MOST_RESIDUAL_MM: Final = 1.0
LEAST_STRIPS: Final = 2
#: How far a sheet may look from any that a camera could see, as a share of a side.
MOST_UNLIKE: Final = 0.012
#: A turn within a centimetre either way that makes a corner.
CORNER_DEG: Final = 22.0
STRAIGHT_WITHIN_CM: Final = 0.07
_STEP_CM: Final = 0.1
#: How many steps to either side of a corner the picture rounds it.
_ROUNDED: Final = 3
_SIMPLER_WITHIN_CM: Final = 0.025
_PICTURE_PX: Final = 900


@dataclass(frozen=True, eq=False)
class Tracing:
    """What came of a photograph.

    `outline`: the piece on the page, cm, y downwards. `residual_mm`: what the markers leave, root mean square; None for a
    sheet, whose four corners leave nothing. `flat`: the photograph corrected, as JPEG, which covers `flat_cm` (left, top,
    width, height) of the same page.
    """

    outline: Ring
    residual_mm: float | None
    strips: int
    flat: bytes
    flat_cm: tuple[float, float, float, float]
    notes: tuple[str, ...]

    @property
    def size_cm(self) -> tuple[float, float]:
        """Width and height of the outline's box, cm."""
        left, top, right, low = Polygon(self.outline).bounds
        return right - left, low - top

    @property
    def area_cm2(self) -> float:
        """Area inside the outline, cm²."""
        return float(Polygon(self.outline).area)

    @property
    def around_cm(self) -> float:
        """Length once round the outline, cm."""
        return float(Polygon(self.outline).length)

    @property
    def flat_uri(self) -> str:
        """The corrected photograph as an address that holds it."""
        return "data:image/jpeg;base64," + base64.b64encode(self.flat).decode()


def trace(data: bytes, *, sheet: str) -> Tracing:
    """The outline of the paper piece in a photograph (JPEG or PNG), corrected by `sheet`: A4, A3, letter or markers.

    DrawingRefused where the picture, the markers or the contrast are not good enough.
    """
    photo = read_photo(data)
    if sheet == TracedBy.MARKERS:
        seen = see_markers(photo)
        camera, strips, covered = _by_markers(seen)
        apart = what_lies_apart(photo)
    else:
        apart = what_lies_apart(photo)
        corners = see_sheet(photo, apart)
        camera, strips, covered = _by_paper(corners, sheet, photo.size), 0, [_larger(corners, 1.03)]
    upright = _upright(camera, photo.size)
    outline = cleaned(upright.table(see_piece(photo, apart, covered)))
    left, top = outline.min(axis=0) - 2.0
    moved = upright.turned(0.0, -np.array([left, top]))
    ring = tuple((float(x), float(y)) for x, y in outline - np.array([left, top]))
    flat, flat_cm = _flattened(photo.colours, moved, ring)
    residual = camera.residual_mm if strips else None
    return Tracing(ring, residual, strips, flat, flat_cm, _notes(residual, sheet))


def _by_markers(seen: dict[int, Array]) -> tuple[Camera, int, list[Array]]:
    strips = {markers()[number].strip for number in seen}
    if len(strips) < LEAST_STRIPS:
        raise DrawingRefused(
            [
                f"Markers of {len(strips)} of the {STRIPS} strips were seen, and at least {LEAST_STRIPS} are needed, better all: lay them flat "
                "around the piece, whole and sharp in the picture, without shadows or glare."
            ]
        )
    camera = by_strips(seen)
    if not camera.residual_mm <= MOST_RESIDUAL_MM:
        raise DrawingRefused(
            [
                f"The markers do not fit together: {camera.residual_mm:.1f} mm are left, and at most {MOST_RESIDUAL_MM:g} mm are accepted; print "
                "them at 100 %, lay them flat, and photograph from further away, the piece in the middle."
            ]
        )
    return camera, len(strips), [_strip_area(camera, seen, strip) for strip in strips]


def _by_paper(corners: Array, sheet: str, size: tuple[int, int]) -> Camera:
    camera, unlike = by_sheet(corners, *SHEETS[sheet], size)
    if unlike > MOST_UNLIKE:
        raise DrawingRefused(
            [
                f"The whitest four-cornered thing seen has not the sides of {sheet} paper (off by {unlike:.0%}); lay one beside the piece, "
                "flat, whole in the picture, or say which sheet it is. A photograph that was cropped cannot be used."
            ]
        )
    return camera


def _strip_area(camera: Camera, seen: dict[int, Array], strip: int) -> Array:
    """All the paper a strip covers, in pixels, by the markers of it that were seen."""
    of_strip = [n for n in seen if markers()[n].strip == strip]
    known = np.vstack([np.array(markers()[n].corners) for n in of_strip])
    at = camera.table(np.vstack([seen[n] for n in of_strip]))
    middle, there = known.mean(axis=0), at.mean(axis=0)
    a, b = known - middle, at - there
    angle = math.atan2(float((a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum()), float((a * b).sum()))
    c, s = math.cos(angle), math.sin(angle)
    margin, across = 1.6, 3 * PITCH_CM + SIDE_CM
    box = np.array(
        [
            (-margin, -margin),
            (across + margin, -margin),
            (across + margin, SIDE_CM + margin),
            (-margin, SIDE_CM + margin),
        ]
    )
    return camera.photo((box - middle) @ np.array([[c, s], [-s, c]]) + there)


def _larger(area: Array, times: float) -> Array:
    middle = area.mean(axis=0)
    return np.asarray(middle + (area - middle) * times)


def _upright(camera: Camera, size: tuple[int, int]) -> Camera:
    """The camera with the table turned so that upwards in the middle of the picture is upwards on the page."""
    middle = np.array([size[0] / 2, size[1] / 2])
    here, above = camera.table(np.array([middle, middle - (0, size[1] / 20)]))
    up = above - here
    return camera.turned(-math.pi / 2 - math.atan2(up[1], up[0]), np.zeros(2))


def _notes(residual: float | None, sheet: str) -> tuple[str, ...]:
    if residual is not None:
        return (
            f"The markers leave {residual:.2f} mm; reckon with two to three times that, and half a millimetre for finding the paper's edge. "
            "Bending of straight lines by the lens is not corrected: photograph from far, the piece in the middle.",
        )
    return (
        f"Corrected by the four corners of the {sheet} sheet, which leave nothing to check by: measure one length of the piece "
        "and compare. Marker strips around the piece are truer.",
    )


def _flattened(
    colours: NDArray[np.uint8], camera: Camera, ring: Ring
) -> tuple[bytes, tuple[float, float, float, float]]:
    """The photograph as it would look from straight above, around the piece."""
    cv2 = opencv()
    _, _, right, low = Polygon(ring).bounds
    width, height = right + 2.0, low + 2.0
    per_cm = _PICTURE_PX / max(width, height)
    to_cm = np.array([[1 / per_cm, 0, 0], [0, 1 / per_cm, 0], [0, 0, 1.0]])
    size = (round(width * per_cm), round(height * per_cm))
    flat = cv2.warpPerspective(colours, camera.to_photo @ to_cm, size, flags=cv2.INTER_AREA | cv2.WARP_INVERSE_MAP)
    _, packed = cv2.imencode(".jpg", flat, [cv2.IMWRITE_JPEG_QUALITY, 80])
    return packed.tobytes(), (0.0, 0.0, size[0] / per_cm, size[1] / per_cm)


# --- from a noisy outline to a clean one -------------------------------------------------------------------------


def cleaned(noisy: Array) -> Array:
    """The outline with its corners, straight sides straight and curves smooth; cm."""
    ring = evenly(noisy, _STEP_CM)
    corners = _corners(ring)
    if len(corners) < 2:
        return _simplified(_smoothed(ring, closed=True))
    runs = [_run(ring, a, b) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)]
    lines = [_straight(run) for run in runs]
    points: list[Array] = []
    for i, run in enumerate(runs):
        start = _corner(run[0], lines[i - 1] or _near_end(runs[i - 1]), lines[i] or _near_end(run[::-1]))
        points.append(start[None, :])
        if lines[i] is None:
            points.append(_smoothed(run, closed=False)[_ROUNDED:-_ROUNDED])
    return _simplified(np.vstack(points))


def _corners(ring: Array) -> list[int]:
    """Where the outline turns sharply: the places of the largest turn within a centimetre."""
    reach = round(1.0 / _STEP_CM)
    inner = max(2, reach // 3)
    before = np.roll(ring, inner, axis=0) - np.roll(ring, reach, axis=0)
    after = np.roll(ring, -reach, axis=0) - np.roll(ring, -inner, axis=0)
    turn = np.abs(
        np.degrees(np.arctan2(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0], (before * after).sum(axis=1)))
    )
    peaks = [
        i
        for i in range(len(ring))
        if turn[i] >= CORNER_DEG and turn[i] >= np.take(turn, range(i - reach, i + reach + 1), mode="wrap").max()
    ]
    return [i for n, i in enumerate(peaks) if n == 0 or i - peaks[n - 1] > reach // 2]


def _run(ring: Array, start: int, end: int) -> Array:
    indices = np.arange(start, end + 1 if end > start else end + 1 + len(ring)) % len(ring)
    return ring[indices]


def _straight(run: Array) -> tuple[Array, Array] | None:
    """The line a run of points lies on; None if it is a curve."""
    inner = run[3:-3] if len(run) > 12 else run
    line = fitted_line(inner)
    away = np.abs((inner - line[0]) @ np.array([-line[1][1], line[1][0]]))
    return line if len(run) > 5 and float(np.percentile(away, 98)) <= STRAIGHT_WITHIN_CM else None


def _near_end(run: Array) -> tuple[Array, Array]:
    """The line that a curve follows just before its end, short of where the corner is rounded in the picture."""
    return fitted_line(run[-10 - _ROUNDED : -_ROUNDED] if len(run) > 12 + _ROUNDED else run[-6:])


def _corner(seen: Array, before: tuple[Array, Array], after: tuple[Array, Array]) -> Array:
    """Where two sides meet: their crossing, if it is not far from the corner seen, which is rounded."""
    across = before[1][0] * after[1][1] - before[1][1] * after[1][0]
    if abs(across) > 0.2:
        at = crossing(before, after)
        if float(np.linalg.norm(at - seen)) < 0.6:
            return at
    return seen


def _smoothed(points: Array, *, closed: bool) -> Array:
    """Points averaged with their neighbours over 3 mm either way; the ends of an open line stay."""
    weights = np.exp(-0.5 * (np.arange(-6, 7) / 2.5) ** 2)
    weights /= weights.sum()
    if len(points) < 7:
        return points
    if closed:
        padded = np.vstack([points[-6:], points, points[:6]])
    else:
        padded = np.vstack([2 * points[0] - points[6:0:-1], points, 2 * points[-1] - points[-2:-8:-1]])
    smooth = np.column_stack([np.convolve(padded[:, k], weights, "valid") for k in (0, 1)])
    return smooth if closed else np.vstack([points[:1], smooth[1:-1], points[-1:]])


def _simplified(points: Array) -> Array:
    simple = Polygon(points).simplify(_SIMPLER_WITHIN_CM)
    if not simple.is_valid or simple.geom_type != "Polygon":
        raise DrawingRefused(
            ["The piece's edge cannot be followed; lay it flat on a plain table of another brightness."]
        )
    return np.array(simple.exterior.coords[:-1])


# --- as a drawing ------------------------------------------------------------------------------------------------


def outline_svg(outline: Sequence[Point], name: str) -> bytes:
    """A drawing of one piece at true size, as `read_drawing` reads it; the outline in cm, y downwards."""
    width, height = (math.ceil(max(point[axis] for point in outline) + 1) for axis in (0, 1))
    path = "M" + " L".join(f"{x:.3f} {y:.3f}" for x, y in outline) + " Z"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}cm" height="{height}cm" viewBox="0 0 {width} {height}">\n'
        f'<path data-piece={quoteattr(name)} d="{path}" fill="none" stroke="#000" stroke-width="0.05"/>\n</svg>\n'
    ).encode()
