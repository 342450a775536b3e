"""What is seen in a photograph: the picture itself, marker strips, a sheet of paper, and the paper piece.

The piece is what differs from the table it lies on. Uneven light is taken out first: the table's brightness is fitted by a
smooth surface (degree two, in logarithms, so that light multiplies), to what is likely table, three times over. What
differs from it by more than half of what the piece does is the piece; its edge is then found to a part of a pixel, where the
brightness changes fastest.

Uses OpenCV, which is an extra: it is imported when a photograph comes.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from clothwright.pattern.photographs.markers import markers
from clothwright.pattern.reading.findings import DrawingRefused

Array = NDArray[np.float64]

MAX_BYTES: Final = 30_000_000
MAX_PIXELS: Final = 60_000_000
LEAST_SIDE: Final = 800
#: The longer side of the picture that the piece is looked for in; its edge is then found in the whole one.
_LOOKED_AT: Final = 1000
LEAST_CONTRAST: Final = 0.05
LEAST_CONTRAST_TO_NOISE: Final = 4.0
_EDGE_REACH: Final = 5
NEEDS_OPENCV: Final = (
    'Reading photographs needs OpenCV, which is not installed; install it with: pip install "clothwright[photo]"'
)


def opencv() -> Any:
    """The library; DrawingRefused where it is not installed."""
    try:
        import cv2
    except ImportError:
        raise DrawingRefused([NEEDS_OPENCV]) from None
    return cv2


@dataclass(frozen=True, eq=False)
class Photo:
    """A photograph: its colours (blue, green, red) as stored, and its size in pixels."""

    colours: NDArray[np.uint8]

    @property
    def size(self) -> tuple[int, int]:
        """Width and height."""
        return int(self.colours.shape[1]), int(self.colours.shape[0])


def read_photo(data: bytes) -> Photo:
    """The photograph, turned as the camera says; DrawingRefused if it is none that is read."""
    if len(data) > MAX_BYTES:
        raise DrawingRefused(
            [f"The photograph is {len(data) / 1e6:.0f} MB; at most {MAX_BYTES // 1_000_000} MB is accepted."]
        )
    size = _jpeg_size(data) or _png_size(data)
    if size is None:
        raise DrawingRefused(["The file is no photograph in JPEG or PNG; save or share it as JPEG and try again."])
    if size[0] * size[1] > MAX_PIXELS:
        raise DrawingRefused(
            [
                f"The photograph has {size[0]} x {size[1]} pixels; at most {MAX_PIXELS // 1_000_000} million are accepted."
            ]
        )
    if min(size) < LEAST_SIDE:
        raise DrawingRefused(
            [f"The photograph has only {size[0]} x {size[1]} pixels; at least {LEAST_SIDE} each way are needed."]
        )
    cv2 = opencv()
    try:
        colours = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR)
    except cv2.error:
        colours = None
    if colours is None:
        raise DrawingRefused(["The photograph is damaged and cannot be read; take it again or save it anew as JPEG."])
    return Photo(colours)


def _png_size(data: bytes) -> tuple[int, int] | None:
    """Source: PNG specification, IHDR."""
    if not data.startswith(b"\x89PNG\r\n\x1a\n") or len(data) < 24:
        return None
    width, height = struct.unpack(">II", data[16:24])
    return int(width), int(height)


def _jpeg_size(data: bytes) -> tuple[int, int] | None:
    """Source: ITU-T T.81, B.2.2: the frame header, found by stepping from segment to segment."""
    if not data.startswith(b"\xff\xd8"):
        return None
    at = 2
    while at + 9 < len(data):
        if data[at] != 0xFF:
            return None
        kind = data[at + 1]
        if 0xC0 <= kind <= 0xCF and kind not in (0xC4, 0xC8, 0xCC):
            height, width = struct.unpack(">HH", data[at + 5 : at + 9])
            return int(width), int(height)
        at += 1 if kind == 0xFF else 2 + struct.unpack(">H", data[at + 2 : at + 4])[0]
    return None


# --- markers and sheet -------------------------------------------------------------------------------------------


def see_markers(photo: Photo) -> dict[int, Array]:
    """The four corners of every marker of ours that is seen, pixels, to a part of a pixel; one seen twice is left out."""
    cv2 = opencv()
    grey = cv2.cvtColor(photo.colours, cv2.COLOR_BGR2GRAY)
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    settings.cornerRefinementWinSize = 5
    kind = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    corners, numbers, _ = cv2.aruco.ArucoDetector(kind, settings).detectMarkers(grey)
    seen: dict[int, list[Array]] = {}
    for number, found in zip([] if numbers is None else numbers.ravel(), corners, strict=True):
        if int(number) in markers():
            seen.setdefault(int(number), []).append(_by_lines(grey, np.asarray(found, np.float64).reshape(4, 2)))
    return {number: found[0] for number, found in seen.items() if len(found) == 1}


def _by_lines(grey: NDArray[np.uint8], corners: Array, reaches: tuple[int, ...] = (3,)) -> Array:
    """Corners where the sides' lines cross: steadier than the corners by themselves. Each reach, in pixels, is a round."""
    for reach in reaches:
        sides = []
        for start, end in zip(corners, np.roll(corners, -1, axis=0), strict=True):
            count = max(40, int(np.linalg.norm(end - start)))
            along = start + (end - start) * np.linspace(0.08, 0.92, count)[:, None]
            sides.append(fitted_line(at_edge(grey, along, _across(start, end), reach)))
        corners = np.array([crossing(sides[i - 1], sides[i]) for i in range(4)])
    return corners


def see_sheet(photo: Photo, apart: NDArray[np.uint8]) -> Array:
    """The corners of the whitest four-cornered thing among what lies on the table, pixels."""
    cv2 = opencv()
    scale = max(photo.size) / max(apart.shape)
    small = cv2.resize(photo.colours, (apart.shape[1], apart.shape[0]), interpolation=cv2.INTER_AREA).astype(np.float64)
    found = []
    for shape in _shapes(apart):
        corners = cv2.approxPolyDP(shape, 0.02 * cv2.arcLength(shape, True), True)
        hull = cv2.contourArea(cv2.convexHull(shape))
        if len(corners) == 4 and cv2.contourArea(corners) > 0.95 * hull > 0:
            found.append((_whiteness(small, shape), corners.reshape(4, 2).astype(np.float64) * scale))
    found.sort(key=lambda one: -one[0])
    if not found:
        raise DrawingRefused(
            [
                "No whole sheet of paper was seen; lay a white one flat beside the piece, all four corners in the picture, on a darker table."
            ]
        )
    if len(found) > 1 and found[0][0] - found[1][0] < 12:
        raise DrawingRefused(
            [
                "Two four-cornered sheets of like whiteness were seen, and which is the paper is not known; use white paper for one only."
            ]
        )
    grey = cv2.cvtColor(photo.colours, cv2.COLOR_BGR2GRAY)
    corners = found[0][1]
    return _by_lines(grey, corners if _clockwise(corners) else corners[::-1], reaches=(14, 7, 4))


def _clockwise(corners: Array) -> bool:
    x, y = corners[:, 0], corners[:, 1]
    return float((x * np.roll(y, -1) - y * np.roll(x, -1)).sum()) > 0


def _whiteness(small: Array, shape: Any) -> float:
    """Brightness less colour, of the inside of a shape."""
    mask = np.zeros(small.shape[:2], np.uint8)
    opencv().drawContours(mask, [shape], -1, 255, -1)
    inside = small[mask > 0]
    return float(inside.min(axis=1).mean() - (inside.max(axis=1) - inside.min(axis=1)).mean())


# --- the piece ---------------------------------------------------------------------------------------------------


def what_lies_apart(photo: Photo) -> NDArray[np.uint8]:
    """A mask, on a smaller picture, of what differs from the table; DrawingRefused where nothing clearly does."""
    cv2 = opencv()
    scale = min(1.0, _LOOKED_AT / max(photo.size))
    size = (round(photo.size[0] * scale), round(photo.size[1] * scale))
    small = cv2.GaussianBlur(cv2.resize(photo.colours, size, interpolation=cv2.INTER_AREA), (5, 5), 0)
    logs = np.log(small.astype(np.float64) + 8.0)
    differs = _without_light(logs)
    level, _ = cv2.threshold(_as_bytes(differs), 0, 255, cv2.THRESH_BINARY + cv2.THRESH_OTSU)
    level = level / 255 * float(np.percentile(differs, 99.5))
    table = differs < level
    here, there = float(np.median(differs[table])), float(np.median(differs[~table])) if (~table).any() else 0.0
    noise = float(np.median(np.abs(differs[table] - here))) * 1.4826 + 1e-6
    if there - here < LEAST_CONTRAST or there - here < LEAST_CONTRAST_TO_NOISE * noise:
        raise DrawingRefused(
            [
                f"The piece hardly differs from what it lies on (contrast {max(there - here, 0):.0%}, and {LEAST_CONTRAST:.0%} "
                f"or {LEAST_CONTRAST_TO_NOISE:g} times the noise is needed); lay it on a plain table of another brightness, in even light."
            ]
        )
    mask = np.where(differs > (here + there) / 2, 255, 0).astype(np.uint8)
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (5, 5))
    return np.asarray(cv2.morphologyEx(cv2.morphologyEx(mask, cv2.MORPH_OPEN, kernel), cv2.MORPH_CLOSE, kernel))


def _as_bytes(values: Array) -> NDArray[np.uint8]:
    top = float(np.percentile(values, 99.5)) or 1.0
    return np.clip(values / top * 255, 0, 255).astype(np.uint8)


def _without_light(logs: Array) -> Array:
    """How far each pixel is from the table in its place, in logarithms of brightness, the largest of the three colours."""
    height, width = logs.shape[:2]
    y, x = np.mgrid[-1 : 1 : height * 1j, -1 : 1 : width * 1j]
    terms = np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=-1).reshape(-1, 6)
    flat = logs.reshape(-1, 3)
    edge = (np.abs(x) > 0.86) | (np.abs(y) > 0.86)
    table = edge.ravel()
    away = np.zeros(flat.shape[0])
    for _ in range(4):
        chosen = np.flatnonzero(table)[:: max(1, int(table.sum()) // 8_000)]
        surface = terms @ _fitted(terms[chosen], flat[chosen])
        away = np.abs(flat - surface).max(axis=1)
        spread = float(np.median(away[table])) * 1.4826 + 1e-3
        table = away < 3 * spread
    return away.reshape(height, width)


def _fitted(terms: Array, values: Array) -> Array:
    """Factors of the terms that come nearest to the values by the sum of distances, which a few strangers do not bend."""
    factors = np.linalg.lstsq(terms, values, rcond=None)[0]
    for _ in range(6):
        weights = 1 / np.sqrt(np.abs(terms @ factors - values).max(axis=1, keepdims=True) + 0.01)
        factors = np.linalg.lstsq(terms * weights, values * weights, rcond=None)[0]
    return np.asarray(factors)


def see_piece(photo: Photo, apart: NDArray[np.uint8], not_there: list[Array]) -> Array:
    """The outline of the one large thing apart from the table, to a part of a pixel, leaving out `not_there` (pixels)."""
    cv2 = opencv()
    scale = max(photo.size) / max(apart.shape)
    mask = apart.copy()
    for area in not_there:
        cv2.fillPoly(mask, [np.round(area / scale).astype(np.int32)], 0)
    shapes = sorted(_shapes(mask), key=cv2.contourArea, reverse=True)
    if not shapes or cv2.contourArea(shapes[0]) < 0.01 * mask.size:
        raise DrawingRefused(
            [
                "No piece was seen; lay one paper piece flat in the middle, not smaller than a tenth of the picture across."
            ]
        )
    if len(shapes) > 1 and cv2.contourArea(shapes[1]) > 0.15 * cv2.contourArea(shapes[0]):
        raise DrawingRefused(
            ["Two large things lie on the table, and which is the piece is not known; photograph one piece at a time."]
        )
    outline = shapes[0].reshape(-1, 2).astype(np.float64)
    if outline.min() < 2 or (outline.max(axis=0) > np.array(mask.shape[::-1]) - 3).any():
        raise DrawingRefused(["The piece runs over the edge of the picture; step back so that all of it is seen."])
    if any(_touches(area / scale, outline) for area in not_there):
        raise DrawingRefused(
            [
                "A marker strip, or the sheet, lies on the piece or against it; leave a finger's width of table between them."
            ]
        )
    return _on_the_edge(photo, (outline + 0.5) * scale - 0.5)


def _touches(area: Array, outline: Array) -> bool:
    """Whether an outline comes within three pixels of an area."""
    cv2 = opencv()
    around = area.astype(np.float32).reshape(-1, 1, 2)
    return any(cv2.pointPolygonTest(around, (float(x), float(y)), True) > -3 for x, y in outline)


def _shapes(mask: NDArray[np.uint8]) -> list[Any]:
    cv2 = opencv()
    found, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    return [shape for shape in found if cv2.contourArea(shape) > 400]


def _on_the_edge(photo: Photo, rough: Array) -> Array:
    """The outline moved, twice, to where brightness changes fastest."""
    cv2 = opencv()
    best = max(cv2.split(photo.colours), key=lambda one: _change(one, rough))
    outline = rough
    for reach in (2 * _EDGE_REACH, _EDGE_REACH):
        even = evenly(outline, 2.0)
        ahead, behind = np.roll(even, -3, axis=0), np.roll(even, 3, axis=0)
        along = ahead - behind
        across = np.column_stack([along[:, 1], -along[:, 0]]) / (np.linalg.norm(along, axis=1)[:, None] + 1e-9)
        outline = at_edge(best, even, across, reach)
    return outline


def _change(channel: NDArray[np.uint8], outline: Array) -> float:
    """How much a colour changes across a rough outline."""
    middle = outline.mean(axis=0)
    inner, outer = (middle + (outline - middle) * share for share in (0.95, 1.05))
    return abs(float(_read(channel, inner).mean() - _read(channel, outer).mean()))


# --- edges to a part of a pixel ----------------------------------------------------------------------------------


def _read(channel: NDArray[np.uint8], points: Array) -> Array:
    """Brightness at points between pixels."""
    cv2 = opencv()
    flat = points.reshape(-1, 1, 2).astype(np.float32)
    parts = [
        cv2.remap(channel, part[..., 0], part[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
        for part in np.array_split(flat, 1 + len(flat) // 30_000)
    ]
    return np.concatenate(parts).astype(np.float64).reshape(points.shape[:-1])


def at_edge(channel: NDArray[np.uint8], points: Array, across: Array, reach: int) -> Array:
    """Each point moved along `across` to the middle of the change of brightness within `reach` pixels."""
    steps = np.arange(-reach, reach + 0.25, 0.5)
    normals = np.broadcast_to(across, points.shape)
    places = points[:, None, :] + normals[:, None, :] * steps[None, :, None]
    profile = _read(channel, places)
    smooth = np.apply_along_axis(lambda row: np.convolve(row, (0.25, 0.5, 0.25), "same"), 1, profile)
    change = np.abs(np.diff(smooth, axis=1))[:, 1:-1]
    middles = (steps[:-1] + steps[1:])[1:-1] / 2
    change = np.where(change >= 0.4 * change.max(axis=1, keepdims=True), change, 0.0)
    shift = (change * middles).sum(axis=1) / (change.sum(axis=1) + 1e-9)
    return np.asarray(points + normals * shift[:, None])


def _across(start: Array, end: Array) -> Array:
    along = (end - start) / np.linalg.norm(end - start)
    return np.array([along[1], -along[0]])


def fitted_line(points: Array) -> tuple[Array, Array]:
    """A point of the line nearest to points, and its direction; what strays furthest is left out once."""
    for _ in range(2):
        middle = points.mean(axis=0)
        direction = np.linalg.svd(points - middle)[2][0]
        away = np.abs((points - middle) @ np.array([-direction[1], direction[0]]))
        points = points[away <= max(3 * float(np.median(away)), 0.05)]
    return middle, direction


def crossing(one: tuple[Array, Array], other: tuple[Array, Array]) -> Array:
    """Where two lines cross."""
    (p, d), (q, e) = one, other
    across = d[0] * e[1] - d[1] * e[0]
    return np.asarray(p + d * ((q - p)[0] * e[1] - (q - p)[1] * e[0]) / across)


def evenly(ring: Array, step: float) -> Array:
    """A closed line with its points a step apart."""
    closed = np.vstack([ring, ring[:1]])
    lengths = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(closed, axis=0), axis=1))])
    at = np.arange(0, lengths[-1], step)
    return np.column_stack([np.interp(at, lengths, closed[:, 0]), np.interp(at, lengths, closed[:, 1])])
