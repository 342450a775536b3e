"""The face of a cloth as pixels: which thread lies on top at each crossing, as wide as it is, in its colour.

Ends stand at even spacing across, picks along. Where an end lies over the weft it hides it; between two ends that do not
touch, the weft is seen, and where neither is, what lies behind. A thread thicker than its room is cut off where it meets
a neighbour on the same face, and lies over a neighbour that is down. So every place of the cloth belongs to one thread, or to the
gap, and the picture is a sum of products: of what a pixel's column sees of each end, which ends are up, and what its
row sees of each pick,

    pixel = Σ column share × up × row share × colour,

worked out exactly for the area of the pixel and not by looking at its middle, so that no scale beats against the
threads. Where threads are finer than pixels a pixel takes its share of its neighbours too (a quadratic spline, three pixels wide), since
an average of its own area alone still lets a fine pattern beat.

Colours are mixed as light is (linear sRGB). The shading is our own: a thread is darker at its sides and where it dives under,
lit from one side; `relief` 0 leaves it out and gives the colours their true share.

Rows of pixels begin with the first pick and columns with the first end; `as_woven` and `as_laid` turn them to be looked at.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from scipy import sparse

Floats = NDArray[np.float32]
Pixels = NDArray[np.uint8]

#: How dark a thread is where it dives under, and how its light falls off from the middle and to one side. Our own choice.
_UNDER: Final = 0.6
_TOP, _FALL, _SIDE = 0.988, 0.30, 0.12
#: Below so many pixels to a thread, pixels take their share of their neighbours too.
_FINE: Final = 3.0
_PARTS_OF_A_PIXEL: Final = 4
#: Steps of the table from light to the sRGB number.
_STEPS: Final = 4096
#: A cloth of more crossings is drawn in strips, with rows beyond them so that no seam is seen.
_CROSSINGS_AT_ONCE: Final = 400_000
_BEYOND: Final = 3
#: The most pixels of one picture.
MOST_PIXELS: Final = 40_000_000
#: What is seen between the threads, as light: a grey paper.
GROUND: Final = "#d5d3cf"


class PictureError(ValueError):
    """A picture that cannot be drawn; the message says why, in one sentence."""


@dataclass(frozen=True, eq=False)
class Face:
    """A cloth as it is seen: `up` (picks, ends), threads per cm, thickness of each thread in mm, colour of each as light.

    `warp_light`, `weft_light`: (threads, 3), linear sRGB from 0 to 1.
    """

    up: NDArray[np.bool_]
    ends_per_cm: float
    picks_per_cm: float
    warp_mm: Floats
    weft_mm: Floats
    warp_light: Floats
    weft_light: Floats

    def __post_init__(self) -> None:
        """Check once that every thread has a thickness and a colour, and the cloth some size."""
        picks, ends = self.up.shape
        sides = ((ends, self.warp_mm, self.warp_light, "end"), (picks, self.weft_mm, self.weft_light, "pick"))
        for count, mm, light, what in sides:
            if count < 1 or len(mm) != count or light.shape != (count, 3):
                raise PictureError(
                    f"{count} {what}s, {len(mm)} thicknesses and {len(light)} colours: one each is wanted"
                )
        if not (self.ends_per_cm > 0 and self.picks_per_cm > 0):
            raise PictureError(f"{self.ends_per_cm:g} ends and {self.picks_per_cm:g} picks per cm: both are above 0")

    @property
    def width_cm(self) -> float:
        """From selvedge to selvedge."""
        return float(self.up.shape[1] / self.ends_per_cm)

    @property
    def length_cm(self) -> float:
        """From the first pick to the last."""
        return float(self.up.shape[0] / self.picks_per_cm)


@dataclass(frozen=True)
class Window:
    """A part of a cloth, cm: across from the first selvedge, along from the first pick."""

    across: tuple[float, float]
    along: tuple[float, float]

    def pixels(self, dots_per_cm: float) -> tuple[int, int]:
        """Rows and columns that draw it at a scale, one each at least; PictureError where they are too many."""
        high, wide = (max(1, round((end - start) * dots_per_cm)) for start, end in (self.along, self.across))
        if high * wide > MOST_PIXELS:
            raise PictureError(
                f"{high} by {wide} pixels are more than {MOST_PIXELS // 1_000_000} million; draw a part, or fewer dots per cm"
            )
        return high, wide


def whole(face: Face) -> Window:
    """All of a cloth."""
    return Window((0.0, face.width_cm), (0.0, face.length_cm))


def drawn(face: Face, window: Window, shape: tuple[int, int], *, relief: float = 1.0, ground: str = GROUND) -> Pixels:
    """The window as `shape` rows and columns of sRGB pixels, (rows, columns, 3)."""
    pixels = np.empty((*shape, 3), np.uint8)
    for first, last, strip, beyond in _strips(face, window, shape[0]):
        for channel, plane in enumerate(_planes(face, strip, (sum(beyond) + last - first, shape[1]), relief, ground)):
            pixels[first:last, :, channel] = _as_bytes(plane[beyond[0] : beyond[0] + last - first])
    return pixels


def _strips(face: Face, window: Window, rows: int) -> Iterator[tuple[int, int, Window, tuple[int, int]]]:
    """A long cloth in strips, to spare memory: first and last row, the window drawn, and the rows drawn beyond both."""
    (start, end), across = window.along, window.across
    crossings = (across[1] - across[0]) * face.ends_per_cm * (end - start) * face.picks_per_cm
    high = max(_BEYOND, -(-rows // max(1, round(crossings / _CROSSINGS_AT_ONCE))))
    row_cm = (end - start) / rows
    for first in range(0, rows, high):
        last = min(rows, first + high)
        beyond = min(_BEYOND, first), min(_BEYOND, rows - last)
        along = start + (first - beyond[0]) * row_cm, min(end, start + (last + beyond[1]) * row_cm)
        yield first, last, Window(across, along), beyond


def light_of(
    face: Face, window: Window, shape: tuple[int, int], *, relief: float = 1.0, ground: str = GROUND
) -> Floats:
    """The same as light, (rows, columns, 3) from 0 to 1."""
    return np.stack(list(_planes(face, window, shape, relief, ground)), axis=2)


def _planes(face: Face, window: Window, shape: tuple[int, int], relief: float, ground: str) -> Iterator[Floats]:
    """Red, green and blue, one after another."""
    from scipy import sparse

    ends, picks = _Threads.of(face, window, across=True), _Threads.of(face, window, across=False)
    up = np.pad(face.up[picks.taken, ends.taken], 1, mode="edge")
    columns, rows = _Axis(ends, shape[1], relief), _Axis(picks, shape[0], relief)
    over_warp, over_weft = _visible(up, rows, columns), _visible(~up.T, columns, rows)
    weft_and_gap = np.concatenate([over_weft, columns.gap[None, :]])
    gap_of_rows = sparse.csr_matrix(rows.gap[:, None])
    for channel, behind in enumerate(light_of_colours([ground])[0]):
        warp = columns.side(ends.light[:, channel]) @ over_warp
        weft = sparse.hstack([rows.side(picks.light[:, channel]), gap_of_rows * behind], format="csr") @ weft_and_gap
        weft += warp.T
        yield weft


def as_woven(pixels: Pixels, *, first_end_left: bool) -> Pixels:
    """As the weaver sees it at the loom: the first pick at the bottom, the first end at that edge."""
    return np.ascontiguousarray(pixels[::-1] if first_end_left else pixels[::-1, ::-1])


def as_laid(pixels: Pixels, *, first_end_left: bool) -> Pixels:
    """As it lies on the table, right side up: the same view, a quarter turn clockwise, so the first pick is at the left."""
    turned = pixels.transpose(1, 0, 2)
    return np.ascontiguousarray(turned if first_end_left else turned[::-1])


# --- colours as light --------------------------------------------------------------------------------------------


def light_of_colours(colours: Sequence[str]) -> Floats:
    """Colours as #rrggbb, as light from 0 to 1. *Source*: sRGB, IEC 61966-2-1."""
    numbers = np.array([[int(one[at : at + 2], 16) for at in (1, 3, 5)] for one in colours], float).reshape(-1, 3) / 255
    return np.asarray(np.where(numbers <= 0.04045, numbers / 12.92, ((numbers + 0.055) / 1.055) ** 2.4), np.float32)


@cache
def _bytes_of_light() -> Pixels:
    light = np.linspace(0, 1, _STEPS)
    numbers = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.asarray(np.rint(255 * numbers), np.uint8)


def _as_bytes(light: Floats) -> Pixels:
    """One plane of light as sRGB numbers; the light is used up."""
    np.multiply(light, _STEPS - 1, out=light)
    np.clip(light, 0, _STEPS - 1, out=light)
    return _bytes_of_light()[(light + 0.5).astype(np.uint16)]


# --- threads side by side ----------------------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class _Threads:
    """The threads of one set that a window sees, one more on either side so that each has neighbours.

    `taken`: which of the cloth's; `spacing`, `middles`, `halves` (half their thickness), `start` and `end` of the window: cm.
    """

    taken: slice
    spacing: float
    middles: NDArray[np.float64]
    halves: NDArray[np.float64]
    light: Floats
    start: float
    end: float

    @classmethod
    def of(cls, face: Face, window: Window, *, across: bool) -> _Threads:
        """Ends across, or picks along."""
        per_cm, mm, light = (
            (face.ends_per_cm, face.warp_mm, face.warp_light)
            if across
            else (face.picks_per_cm, face.weft_mm, face.weft_light)
        )
        start, end = window.across if across else window.along
        if not (0 <= start < end <= len(mm) / per_cm + 1e-6):
            where, size = ("across", len(mm) / per_cm) if across else ("along", len(mm) / per_cm)
            raise PictureError(f"{start:g} to {end:g} cm {where}: the cloth is {size:.1f} cm there")
        first = max(0, int(start * per_cm) - 2)
        last = min(len(mm), int(end * per_cm) + 3)
        middles = np.arange(first - 0.5, last + 1, dtype=np.float64) / per_cm
        halves: NDArray[np.float64] = np.pad(mm[first:last], 1, mode="edge").astype(np.float64) / 20.0
        return cls(slice(first, last), 1 / per_cm, middles, halves, light[first:last], start, end)

    @property
    def to_next(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """For each thread and the next, how far each is seen towards the other where both lie on the face."""
        one, other = self.halves[:-1], self.halves[1:]
        both = one + other
        crowded = both > self.spacing
        mine = np.where(crowded, self.spacing * one / np.where(crowded, both, 1), one)
        return mine, np.where(crowded, self.spacing - mine, other)

    @property
    def reach(self) -> NDArray[np.float64]:
        """How far a thread is seen over a neighbour that is down: half its thickness, up to the neighbour's middle."""
        return np.minimum(self.halves, self.spacing)


_Integral = Callable[[NDArray[np.float64], NDArray[np.intp]], NDArray[np.float64]]


class _Axis:
    """What the pixels of one direction see of one set of threads."""

    def __init__(self, threads: _Threads, pixels: int, relief: float) -> None:
        self.threads, self.pixels, self._relief = threads, pixels, relief
        fine = threads.spacing / (threads.end - threads.start) * pixels < _FINE
        self._parts = _PARTS_OF_A_PIXEL if fine else 1
        mine, other = threads.to_next
        self._low, self._high = np.append(threads.halves[0], other), np.append(mine, threads.halves[-1])

    @property
    def gap(self) -> Floats:
        """The share of each pixel that no thread of the set covers."""
        threads = self.threads
        flat = self._seen(threads.middles - self._low, threads.middles + self._high, _length)
        return np.asarray(np.maximum(0, 1 - np.asarray(flat.sum(axis=0)).ravel()), np.float32)

    @property
    def core(self) -> sparse.csr_matrix:
        """(pixels, threads): the share that each covers where it lies on the face, flat."""
        middles = self.threads.middles
        return self._inner(self._seen(middles - self._low, middles + self._high, _length)).T.tocsr()

    def side(self, light: Floats) -> sparse.csr_matrix:
        """(pixels, threads and overlaps): what is seen of each across its thickness, shaded, times its light."""
        from scipy import sparse

        times = self._sides_stacked.shape[0] // len(light)
        return sparse.diags(np.tile(light, times)).dot(self._sides_stacked).T.tocsr()

    @cached_property
    def _sides_stacked(self) -> sparse.csr_matrix:
        from scipy import sparse

        middles, reach, shade = self.threads.middles, self.threads.reach, self._across
        parts = [(middles - self._low, middles + self._high)]
        if self.crowded:
            parts += [(middles + self._high, middles + reach), (middles - reach, middles - self._low)]
        return sparse.vstack([self._inner(self._seen(*part, shade)) for part in parts]).tocsr().astype(np.float32)

    @property
    def crowded(self) -> bool:
        """Whether some thread is thicker than its room."""
        return bool(np.any(self.threads.reach > self._high + 1e-9) or np.any(self.threads.reach > self._low + 1e-9))

    def along(self) -> sparse.csr_matrix:
        """(pixels, 4 × stretches): what a thread crossing these shows between one and the next, over or under each.

        The four, by whether it is over the one and over the next: under both, over the next, over the one, over both.
        """
        from scipy import sparse

        threads, relief = self.threads, self._relief
        here, there = threads.middles[:-1], threads.middles[1:]
        mine, other = threads.to_next
        reach, dark = threads.reach, relief * (1 - _UNDER)
        starts = (here + mine, here + reach[:-1], here, here)
        ends = (there - other, there, there - reach[1:], there)
        tones = (_even(1 - dark), _rising(here, threads.spacing, dark), _falling(here, threads.spacing, dark), _even(1))
        seen = [self._seen(a, b, tone) for a, b, tone in zip(starts, ends, tones, strict=True)]
        return sparse.vstack(seen).T.tocsr().astype(np.float32)

    def _across(self, x: NDArray[np.float64], row: NDArray[np.intp]) -> NDArray[np.float64]:
        """Area under the shading across a thread, up to x."""
        half = self.threads.halves[row]
        u = (x - self.threads.middles[row]) / half
        shaded = _TOP * u - _FALL * u**3 / 3 + _SIDE * u**2 / 2
        return half * (self._relief * shaded + (1 - self._relief) * u)

    def _inner(self, of_all: sparse.csr_matrix) -> sparse.csr_matrix:
        """Without the two threads that only stand for neighbours."""
        return of_all[1:-1]

    def _seen(self, starts: NDArray[np.float64], ends: NDArray[np.float64], integral: _Integral) -> sparse.csr_matrix:
        """(stretches, pixels): the integral of each stretch over each pixel, as a share of the pixel."""
        from scipy import sparse

        count, origin = self.pixels * self._parts, self.threads.start
        step = (self.threads.end - origin) / count
        low, high = (np.clip((side - origin) / step, 0, count) for side in (starts, ends))
        first = np.minimum(low.astype(np.intp), count - 1)
        touched = int(max(1, np.max(np.ceil(high) - first, initial=1)))
        pixel = first[:, None] + np.arange(touched)[None, :]
        left, right = np.maximum(low[:, None], pixel), np.minimum(high[:, None], pixel + 1)
        stretch, place = np.nonzero(right > left)
        rows = np.asarray(stretch, np.intp)
        upto, since = (origin + side[stretch, place] * step for side in (right, left))
        share = (integral(upto, rows) - integral(since, rows)) / step
        fine = sparse.csr_matrix((share, (rows, pixel[stretch, place])), shape=(len(starts), count))
        return fine if self._parts == 1 else (fine @ self._spline(count)).tocsr()

    def _spline(self, count: int) -> sparse.csr_matrix:
        """(parts of pixels, pixels): each pixel's share of the parts around it; at an edge the last part stands for what is beyond."""
        from scipy import sparse

        parts = self._parts
        offsets = np.arange(-parts, 2 * parts)
        weights = _spline_share((offsets + 1) / parts - 0.5) - _spline_share(offsets / parts - 0.5)
        pixel = np.repeat(np.arange(self.pixels), len(offsets))
        part = np.clip(pixel.reshape(-1, len(offsets)) * parts + offsets, 0, count - 1)
        values = np.tile(weights, self.pixels)
        return sparse.csr_matrix((values, (part.ravel(), pixel)), shape=(count, self.pixels))


def _visible(up: NDArray[np.bool_], along: _Axis, across: _Axis) -> Floats:
    """(threads and overlaps, pixels along): how bright each thread is seen, from where it lies over the other set.

    `up` with a neighbour on every side; its rows are the threads crossed. Times `across.side` it is the picture of the set.
    """
    state = 2 * up[:-1, 1:-1].astype(np.int8) + up[1:, 1:-1]
    states = np.concatenate([state == one for one in range(4)]).astype(np.float32)
    parts = [along.along() @ states]
    if across.crowded:
        inner, core = up[1:-1], along.core.astype(np.float32)
        over_next = (inner[:, 1:-1] & ~inner[:, 2:]).astype(np.float32)
        over_last = (inner[:, 1:-1] & ~inner[:, :-2]).astype(np.float32)
        parts += [core @ over_next, core @ over_last]
    return np.ascontiguousarray(np.concatenate(parts, axis=1).T, np.float32)


# --- shading -----------------------------------------------------------------------------------------------------


def _length(x: NDArray[np.float64], _row: NDArray[np.intp]) -> NDArray[np.float64]:
    return x


def _even(tone: float) -> _Integral:
    return lambda x, _row: tone * x


def _rising(starts: NDArray[np.float64], long: float, dark: float) -> _Integral:
    """From dark to light over a stretch, with a soft start and end: 3t² − 2t³."""
    return lambda x, row: (1 - dark) * x + dark * long * _soft((x - starts[row]) / long)


def _falling(starts: NDArray[np.float64], long: float, dark: float) -> _Integral:
    return lambda x, row: x - dark * long * _soft((x - starts[row]) / long)


def _soft(t: NDArray[np.float64]) -> NDArray[np.float64]:
    return t**3 - t**4 / 2


def _spline_share(x: NDArray[np.float64]) -> NDArray[np.float64]:
    """The share of a quadratic spline about 0 that lies left of x, in pixels: three boxes folded."""
    x = np.clip(x, -1.5, 1.5)
    middle = 0.5 + 0.75 * x - x**3 / 3
    left, right = (x + 1.5) ** 3 / 6, 1 - (1.5 - x) ** 3 / 6
    return np.where(x < -0.5, left, np.where(x > 0.5, right, middle))
