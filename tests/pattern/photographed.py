"""Photographs that are reckoned: paper on a table, seen by a camera with no bending lens, in uneven light and with noise.

Markers are drawn by OpenCV from its own dictionary, not from ours.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

cv2 = __import__("pytest").importorskip(
    "cv2", reason="photographs need the extra “photo” (OpenCV), which is not installed"
)

PER_CM = 26
TABLE_CM = 96.0
PAPER = (232, 236, 238)
BROWN = (104, 148, 182)
WOOD = (62, 74, 84)
Corners = list[tuple[float, float]]


@dataclass(frozen=True)
class Shot:
    """How a photograph is taken: tilt of the camera and which way, light falling off, noise, pixels."""

    tilt_deg: float = 0.0
    towards_deg: float = 90.0
    roll_deg: float = 0.0
    darker: float = 0.0
    noise: float = 0.0
    width: int = 3000
    height: int = 2250
    blur: float = 0.6


def table(colour: tuple[int, int, int] = WOOD) -> np.ndarray:
    side = round(TABLE_CM * PER_CM)
    return np.full((side, side, 3), colour, np.uint8)


def lay(picture: np.ndarray, outline: Corners, colour: tuple[int, int, int]) -> None:
    """Paper of an outline (cm): each pixel covered by the share of it that lies inside, by eight times finer squares."""
    points = np.array(outline) * PER_CM
    left, top = np.floor(points.min(axis=0)).astype(int)
    right, low = np.ceil(points.max(axis=0)).astype(int)
    fine = np.zeros(((low - top) * 8, (right - left) * 8), np.uint8)
    cv2.fillPoly(fine, [np.round(((points - (left, top)) * 8 - 0.5) * 16).astype(np.int32)], 255, shift=4)
    share = cv2.resize(fine, (right - left, low - top), interpolation=cv2.INTER_AREA)[..., None] / 255.0
    part = picture[top:low, left:right]
    part[:] = np.round(part * (1 - share) + np.array(colour) * share).astype(np.uint8)


def turned(points: Corners, degrees: float, at: tuple[float, float]) -> Corners:
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return [(at[0] + c * x - s * y, at[1] + s * x + c * y) for x, y in points]


def lay_strip(picture: np.ndarray, strip: int, at: tuple[float, float], degrees: float, scale: float = 1.0) -> None:
    """A marker strip, 3.6 cm markers 4.4 cm apart, with white paper 0.8 cm around."""
    box = [(-0.8, -0.8), (17.6, -0.8), (17.6, 4.4), (-0.8, 4.4)]
    lay(picture, turned([(x * scale, y * scale) for x, y in box], degrees, at), PAPER)
    kind = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    for place in range(4):
        squares = cv2.aruco.generateImageMarker(kind, 4 * strip + place, 6, borderBits=1)
        for row in range(6):
            for column in range(6):
                if not squares[row, column]:
                    x, y, s = (4.4 * place + 0.6 * column) * scale, 0.6 * row * scale, 0.6 * scale
                    lay(picture, turned([(x, y), (x + s, y), (x + s, y + s), (x, y + s)], degrees, at), (20, 20, 20))


def lay_sheet(picture: np.ndarray, at: tuple[float, float], degrees: float, size: tuple[float, float]) -> None:
    lay(picture, turned([(0, 0), (size[0], 0), size, (0, size[1])], degrees, at), PAPER)


def photograph(picture: np.ndarray, shot: Shot, *, seed: int = 1) -> bytes:
    """The table as the camera sees it, as JPEG."""
    focal, middle = 1.05 * shot.width, TABLE_CM / 2
    tilt, towards, roll = (math.radians(a) for a in (shot.tilt_deg, shot.towards_deg, shot.roll_deg))
    away = TABLE_CM * 1.05 * (1 + 0.35 * math.sin(tilt))
    eye = np.array([math.cos(towards) * math.sin(tilt), math.sin(towards) * math.sin(tilt), -math.cos(tilt)]) * away
    forward = -eye / away
    right = np.cross(np.array([0, 1.0, 0]), forward) if abs(forward[1]) < 0.9 else np.array([1.0, 0, 0])
    right = np.cross(forward, np.cross(right, forward))
    right /= np.linalg.norm(right)
    down = np.cross(forward, right)
    c, s = math.cos(roll), math.sin(roll)
    axes = np.array([c * right + s * down, -s * right + c * down, forward])
    inner = np.array([[focal, 0, shot.width / 2], [0, focal, shot.height / 2], [0, 0, 1]])
    shift = -axes @ (eye + np.array([middle, middle, 0]))
    to_photo = inner @ np.column_stack([axes[:, 0], axes[:, 1], shift])
    to_cm = np.array([[1 / PER_CM, 0, 0.5 / PER_CM], [0, 1 / PER_CM, 0.5 / PER_CM], [0, 0, 1]])
    soft = cv2.GaussianBlur(picture, (0, 0), 0.45 * PER_CM * away / focal)
    seen = cv2.warpPerspective(soft, to_photo @ to_cm, (shot.width, shot.height), borderMode=cv2.BORDER_REPLICATE)
    seen = cv2.GaussianBlur(seen, (0, 0), shot.blur).astype(np.float64)
    x = np.linspace(0, 1, shot.width)[None, :, None]
    y = np.linspace(0, 1, shot.height)[:, None, None]
    seen *= 1 - shot.darker * (0.65 * x + 0.35 * y * y)
    seen += np.random.default_rng(seed).normal(0, shot.noise, seen.shape)
    return bytes(cv2.imencode(".jpg", np.clip(seen, 0, 255).astype(np.uint8), [cv2.IMWRITE_JPEG_QUALITY, 92])[1])
