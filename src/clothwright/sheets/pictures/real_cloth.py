"""The real cloth in a drawing: its picture, part by part, where it will lie.

The drawings know neither pixels nor files: whoever shows them says where the picture of a part is to be had, an address
on a page, the picture itself on paper.
"""

from __future__ import annotations

import base64
import io
from collections.abc import Callable
from dataclasses import dataclass

from clothwright.cloth import Pixels, Window
from clothwright.measure import CM_PER_INCH
from clothwright.sheets.pictures.drawing import Drawing
from clothwright.sheets.pictures.rows import Frame


@dataclass(frozen=True)
class RealCloth:
    """A cloth of some size, cm, and `href`: where the picture of a part of it is, as it lies on the table.

    `along_cm`, `across_cm`: where the drawing's own cloth begins on it, squaring and trim left out.
    """

    width_cm: float
    length_cm: float
    href: Callable[[Window], str]
    along_cm: float = 0.0
    across_cm: float = 0.0

    def draw(self, drawing: Drawing, frame: Frame) -> None:
        """The part that lies in a row, as far as the cloth reaches."""
        start, end = (along + self.along_cm for along in (frame.row.start, frame.row.end))
        far, wide = min(end, self.length_cm), min(frame.width + self.across_cm, self.width_cm)
        if far <= start or wide <= self.across_cm:
            return
        high = (wide - self.across_cm) * frame.scale
        drawing.add(
            "image",
            "real",
            {
                "x": frame.left,
                "y": frame.bottom - high,
                "width": (far - start) * frame.scale,
                "height": high,
                "preserveAspectRatio": "none",
                "href": self.href(Window((self.across_cm, wide), (start, far))),
            },
        )


def png_bytes(pixels: Pixels, dots_per_cm: float | None = None) -> bytes:
    """Pixels as a PNG file; with `dots_per_cm` it says how large it is meant to be."""
    made = io.BytesIO()
    inch = None if dots_per_cm is None else (dots_per_cm * CM_PER_INCH,) * 2
    from PIL import Image

    Image.fromarray(pixels).save(made, "PNG", compress_level=3, **({"dpi": inch} if inch else {}))
    return made.getvalue()


def as_address(png: bytes) -> str:
    """A PNG file as an address that holds all of it."""
    return f"data:image/png;base64,{base64.b64encode(png).decode()}"
