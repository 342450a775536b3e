"""Views of a cloth as pictures: the patch at true size, the whole, and what is cut from it; for pages and paper alike.

A view is a window on the cloth, so many dots to the cm, in somebody's eyes. Whoever shows it says where its picture is to
be had: `paper_address` holds the picture itself.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from typing import Final

from clothwright.cloth import Pixels, Window, as_laid, as_woven, drawn
from clothwright.colours import Sight
from clothwright.planning.cloth.cloth_picture import ClothPicture
from clothwright.sheets.pictures.patch import CARD_MM
from clothwright.sheets.pictures.real_cloth import RealCloth, as_address, png_bytes

#: Dots per cm of a patch on paper (300 to the inch) and on a screen (two to a CSS pixel).
ON_PAPER: Final = 300 / 2.54
ON_SCREEN: Final = 2 * 96 / 2.54
#: The most dots across of a picture of a whole cloth, or of a row of it.
MOST_ACROSS: Final = 1800
#: The most dots to a thread of such a picture.
DOTS_TO_A_THREAD: Final = 2.0


@dataclass(frozen=True)
class View:
    """A part of a cloth as it is drawn: `laid` as on the table, else as at the loom; in relief, or flat with its true average colours."""

    window: Window
    dots_per_cm: float
    laid: bool
    sight: Sight = Sight.ALL_CONES
    relief: bool = True

    def pixels(self, picture: ClothPicture) -> Pixels:
        """The view of a cloth; PictureError where it cannot be drawn."""
        shape = self.window.pixels(self.dots_per_cm)
        pixels = drawn(picture.seen(self.sight), self.window, shape, relief=1.0 if self.relief else 0.0)
        turn = as_laid if self.laid else as_woven
        return turn(pixels, first_end_left=picture.first_end_left)

    def png(self, picture: ClothPicture) -> bytes:
        """The view as a file that says how large it is meant to be."""
        return png_bytes(self.pixels(picture), self.dots_per_cm)


def patch_view(
    picture: ClothPicture,
    dots_per_cm: float,
    sight: Sight = Sight.ALL_CONES,
    *,
    across_cm: float = 0.0,
    along_cm: float = 0.0,
) -> View:
    """A patch as large as a bank card, or as the cloth where that is smaller, from a place on; drawn as at the loom."""
    sides = []
    for start, long, size in (
        (across_cm, CARD_MM[0] / 10, picture.face.width_cm),
        (along_cm, CARD_MM[1] / 10, picture.face.length_cm),
    ):
        begins = min(max(0.0, start), max(0.0, size - long))
        sides.append((begins, min(size, begins + long)))
    return View(Window(sides[0], sides[1]), dots_per_cm, laid=False, sight=sight)


def size_mm(view: View) -> tuple[float, float]:
    """How wide and high a view is in truth, as at the loom."""
    (left, right), (start, end) = view.window.across, view.window.along
    return 10 * (right - left), 10 * (end - start)


def flat_view(picture: ClothPicture, window: Window, sight: Sight) -> View:
    """A long part of a cloth, laid, in its average colours: no finer than that threads blend, since it is shown smaller still."""
    start, end = window.along
    finest = DOTS_TO_A_THREAD * max(picture.ends_per_cm, picture.picks_per_cm)
    return View(window, min(finest, MOST_ACROSS / (end - start)), laid=True, sight=sight, relief=False)


def real_cloth(picture: ClothPicture, address: Callable[[View], str], sight: Sight = Sight.ALL_CONES) -> RealCloth:
    """The whole cloth, squaring and trim with it, for a drawing that lays it out; addresses are asked for flat views."""

    def href(near: Window) -> str:
        return address(flat_view(picture, Window(picture.across_from_near(near.across), near.along), sight))

    return RealCloth(picture.face.width_cm, picture.face.length_cm, href)


def usable(real: RealCloth, picture: ClothPicture) -> RealCloth:
    """The same from where the layout begins: squaring and trim left out."""
    return replace(real, along_cm=picture.squaring_cm, across_cm=picture.trim_cm)


def paper_address(picture: ClothPicture) -> Callable[[View], str]:
    """Addresses that hold the pictures themselves."""
    return partial(_held, picture)


def _held(picture: ClothPicture, view: View) -> str:
    return as_address(view.png(picture))
