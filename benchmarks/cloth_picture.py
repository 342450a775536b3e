"""Time to draw a cloth of 400 ends and 400 picks, from threads to pixels, and on to a file.

Run: python benchmarks/cloth_picture.py. Every end and pick has a colour of its own. Each time is the least of five, beside
the limit of 0.2 s for the drawing; a file (PNG) is written for the smaller ones only.
"""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np

from clothwright.cloth import Face, drawn, structure, whole
from clothwright.sheets import png_bytes

LIMIT_S = 0.2
THREADS = 400
#: Threads per cm, dots per cm, and what that is.
SCALES = (
    (10.0, 10.0, "whole cloth, a dot to a thread"),
    (10.0, 37.8, "fine cloth, true size on a screen of 96 dots to the inch"),
    (4.0, 37.8, "open cloth, true size on the same"),
    (10.0, 59.1, "fine cloth, true size on paper at 150 dots to the inch"),
)


def main() -> None:
    """Draw plain weave and a 2/2 twill at every scale and print the times."""
    for name in ("plain", "twill 2/2"):
        for per_cm, dots, what in SCALES:
            face = cloth(name, per_cm)
            window = whole(face)
            shape = window.pixels(dots)
            took = least(lambda face=face, window=window, shape=shape: drawn(face, window, shape))  # type: ignore[misc]
            written = least(lambda face=face, window=window, shape=shape: png_bytes(drawn(face, window, shape)))  # type: ignore[misc]
            print(
                f"{name:<10} {what:<58} {shape[1]:>5} × {shape[0]:<5} {took:.3f} s, {took / LIMIT_S:.2f} of the limit; "
                f"as a file {written:.3f} s"
            )


def cloth(name: str, per_cm: float) -> Face:
    """Plain or twill, 400 by 400, every thread of another colour."""
    rng = np.random.default_rng(1)
    draft = np.array([[up == "1" for up in pick] for pick in structure(name).draft])
    up = np.tile(draft, (THREADS // len(draft), THREADS // draft.shape[1]))
    thick = np.full(THREADS, 7 / per_cm, np.float32)
    warp, weft = rng.random((2, THREADS, 3)).astype(np.float32)
    return Face(up, per_cm, per_cm, thick, thick, warp, weft)


def least(once: Callable[[], object]) -> float:
    """The least time of five, in seconds."""
    took = []
    for _ in range(5):
        start = time.perf_counter()
        once()
        took.append(time.perf_counter() - start)
    return min(took)


if __name__ == "__main__":
    main()
