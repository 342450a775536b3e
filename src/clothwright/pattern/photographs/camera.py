"""From the photograph's pixels to centimetres on the table: by marker strips, or by a sheet of paper of known size.

The table is flat, so one projective map G takes it to the photograph. It is found with what is known to be true on the table:

- *Strips.* Strip k lies at an unknown place and angle p_k. G (8 numbers) and all p_k but the first (3 each) are those for which
  the marker corners G(p_k(corner)) lie nearest to where they were seen: least squares by Gauss and Newton, begun from the
  strip whose markers are seen largest.
- *Sheet.* The four corners of a sheet whose sides are known give G directly. Which of its sides is the long one is the way
  round for which a camera with square pixels, looking through the middle of the picture, could have taken it.

What is left between seen and expected corners is the *residual*, mm on the table. Bending of straight lines by the lens is
not corrected: the residual shows a part of it.

*Source:* Hartley and Zisserman, Multiple View Geometry (2nd ed. 2004), 4.1 (direct linear transformation), 4.5 (minimising the
error in the picture), 8.8 (planes seen by one camera).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from clothwright.pattern.photographs.markers import markers

Array = NDArray[np.float64]

_ROUNDS: Final = 40
_STEP: Final = 1e-6
#: Focal lengths of cameras at hand, by the longer side of the picture: fields of view of 20 to 85 degrees.
FOCAL: Final = (0.55, 2.8)


@dataclass(frozen=True, eq=False)
class Camera:
    """`to_photo`: the 3 x 3 map from cm on the table to pixels; `residuals_mm`: what it leaves at each known corner."""

    to_photo: Array
    residuals_mm: tuple[float, ...]

    def table(self, pixels: Array) -> Array:
        """Where pixels lie on the table, cm, y downwards."""
        return apply(np.asarray(np.linalg.inv(self.to_photo)), pixels)

    def photo(self, cm: Array) -> Array:
        """Where points of the table are seen, pixels."""
        return apply(self.to_photo, cm)

    def turned(self, angle: float, shift: Array) -> Camera:
        """The same camera with the table's axes turned by `angle` (radians) and then moved by `shift`."""
        c, s = math.cos(angle), math.sin(angle)
        motion = np.array([[c, -s, shift[0]], [s, c, shift[1]], [0, 0, 1]])
        return Camera(self.to_photo @ np.linalg.inv(motion), self.residuals_mm)

    @property
    def residual_mm(self) -> float:
        """Root mean square of the residuals, mm."""
        return math.sqrt(sum(r * r for r in self.residuals_mm) / max(len(self.residuals_mm), 1))


def apply(matrix: Array, points: Array) -> Array:
    """The points mapped by a projective map."""
    mapped = np.column_stack([points, np.ones(len(points))]) @ matrix.T
    return np.asarray(mapped[:, :2] / mapped[:, 2:])


def direct(cm: Array, pixels: Array) -> Array:
    """The map that takes four or more points of the table to pixels: direct linear transformation, normalised."""
    from_cm, from_px = _normalising(cm), _normalising(pixels)
    a, b = apply(from_cm, cm), apply(from_px, pixels)
    rows = []
    for (x, y), (u, v) in zip(a, b, strict=True):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y, -u])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y, -v])
    h = np.linalg.svd(np.array(rows))[2][-1].reshape(3, 3)
    whole = np.linalg.inv(from_px) @ h @ from_cm
    return np.asarray(whole / whole[2, 2])


def _normalising(points: Array) -> Array:
    middle = points.mean(axis=0)
    spread = float(np.abs(points - middle).mean()) or 1.0
    return np.array([[1 / spread, 0, -middle[0] / spread], [0, 1 / spread, -middle[1] / spread], [0, 0, 1]])


# --- strips ------------------------------------------------------------------------------------------------------


def by_strips(seen: Mapping[int, Array]) -> Camera:
    """The camera from markers seen: their numbers, and four corners each in pixels; markers of two strips or more."""
    strips = _by_strip(seen)
    first = max(strips, key=lambda k: sum(_size(pixels) for _, pixels in strips[k]))
    order = [first, *(k for k in strips if k != first)]
    known = [np.vstack([np.array(markers()[n].corners) for n, _ in strips[k]]) for k in order]
    pixels = [np.vstack([corners for _, corners in strips[k]]) for k in order]
    start = direct(known[0], pixels[0])
    poses = [
        _pose(corners, apply(np.asarray(np.linalg.inv(start)), at))
        for corners, at in zip(known[1:], pixels[1:], strict=True)
    ]
    values = np.concatenate([(start / start[2, 2]).ravel()[:8], *poses])
    values = _least_squares(values, known, pixels)
    to_photo = np.append(values[:8], 1.0).reshape(3, 3)
    placed = np.vstack(_placed(values, known))
    apart = apply(np.linalg.inv(to_photo), np.vstack(pixels)) - placed
    return Camera(to_photo, tuple(float(10 * math.hypot(*one)) for one in apart))


def _by_strip(seen: Mapping[int, Array]) -> dict[int, list[tuple[int, Array]]]:
    strips: dict[int, list[tuple[int, Array]]] = {}
    for number, corners in sorted(seen.items()):
        strips.setdefault(markers()[number].strip, []).append((number, corners))
    return strips


def _size(corners: Array) -> float:
    return float(np.ptp(corners[:, 0]) * np.ptp(corners[:, 1]))


def _pose(corners: Array, at: Array) -> Array:
    """Place and angle that bring a strip's corners nearest to where they lie (Procrustes)."""
    middle, there = corners.mean(axis=0), at.mean(axis=0)
    a, b = corners - middle, at - there
    angle = math.atan2(float((a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum()), float((a * b).sum()))
    c, s = math.cos(angle), math.sin(angle)
    return np.array([there[0] - c * middle[0] + s * middle[1], there[1] - s * middle[0] - c * middle[1], angle])


def _placed(values: Array, known: Sequence[Array]) -> list[Array]:
    """Every strip's corners on the table."""
    placed = [known[0]]
    for k, corners in enumerate(known[1:]):
        x, y, angle = values[8 + 3 * k : 11 + 3 * k]
        c, s = math.cos(angle), math.sin(angle)
        placed.append(corners @ np.array([[c, s], [-s, c]]) + np.array([x, y]))
    return placed


def _least_squares(values: Array, known: Sequence[Array], pixels: Sequence[Array]) -> Array:
    """Gauss and Newton, steps damped while they make things worse."""
    target = np.vstack(pixels)
    scale = np.maximum(np.abs(values), 1e-4)

    def left(at: Array) -> Array:
        matrix = np.append(at[:8], 1.0).reshape(3, 3)
        return np.asarray((apply(matrix, np.vstack(_placed(at, known))) - target).ravel())

    damping, now = 1e-3, left(values)
    for _ in range(_ROUNDS):
        columns = [(left(values + _STEP * scale * unit) - now) / _STEP for unit in np.eye(len(values))]
        jacobian = np.column_stack(columns)
        normal = jacobian.T @ jacobian
        step = np.linalg.solve(normal + damping * np.diag(np.diag(normal) + 1e-12), -jacobian.T @ now) * scale
        then = left(values + step)
        if then @ then < now @ now:
            done = now @ now - then @ then < 1e-10 * (now @ now)
            values, now, damping = values + step, then, damping / 5
            if done:
                break
        else:
            damping *= 10
    return values


# --- a sheet -----------------------------------------------------------------------------------------------------


def by_sheet(corners: Array, short_cm: float, long_cm: float, photo_size: tuple[int, int]) -> tuple[Camera, float]:
    """The camera from the four corners of a sheet, in pixels, one after the other round it.

    And how far from a true camera it is, as a share of a side: what a sheet of another shape would show.
    """
    ways = []
    for across, down in ((short_cm, long_cm), (long_cm, short_cm)):
        sheet = np.array([(0.0, 0.0), (across, 0.0), (across, down), (0.0, down)])
        matrix = direct(sheet, corners)
        ways.append((_unlike_a_camera(matrix, photo_size), matrix))
    unlike, matrix = min(ways, key=lambda way: way[0])
    return Camera(matrix, ()), unlike


def _unlike_a_camera(matrix: Array, photo_size: tuple[int, int]) -> float:
    """How far the map is from any that a camera with square pixels makes, looking through the picture's middle."""
    width, height = photo_size
    best = math.inf
    for focal in np.geomspace(*FOCAL, 60) * max(width, height):
        inverse = np.array([[1 / focal, 0, -width / 2 / focal], [0, 1 / focal, -height / 2 / focal], [0, 0, 1]])
        a, b = (inverse @ matrix)[:, 0], (inverse @ matrix)[:, 1]
        lengths = np.linalg.norm(a), np.linalg.norm(b)
        best = min(best, abs(float(a @ b)) / float(lengths[0] * lengths[1]) + abs(math.log(lengths[0] / lengths[1])))
    return best
