"""Make the letters of the sheets from the npm package @fontsource/atkinson-hyperlegible-next.

    npm pack @fontsource/atkinson-hyperlegible-next && tar xzf *.tgz
    python tools/make_letters.py package/files src/clothwright/sheets/fonts

Needs `fonttools[woff]`, which nothing else here does. The subsets have no eighths: ⅛ ⅜ ⅝ ⅞ are composed of
small digits, taken from a heavier weight so that their strokes match, and the font's own fraction bar.
"""

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from fontTools.merge import Merger
from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.transformPen import TransformPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont

FILE = "atkinson-hyperlegible-next-{subset}-{weight}-normal.woff2"
STYLES = {"Regular": (400, 600), "Bold": (700, 800)}  # weight, and the weight small digits are taken from
SMALL, BEARING, BAR_ROOM = 0.57, 53, 150


def joined(files: Path, weight: int) -> TTFont:
    """Both subsets of a weight as one font."""
    with TemporaryDirectory() as folder:
        parts = [Path(folder) / f"{subset}.ttf" for subset in ("latin", "latin-ext")]
        for part in parts:
            font = TTFont(files / FILE.format(subset=part.stem, weight=weight))
            font.flavor = None
            font.save(part)
        return Merger().merge(list(map(str, parts)))


def add_eighths(font: TTFont, heavier: TTFont) -> None:
    """Compose ⅛ ⅜ ⅝ ⅞."""
    for character, numerator in zip("⅛⅜⅝⅞", "1357", strict=True):
        name = f"uni{ord(character):04X}"
        font.setGlyphOrder([*font.getGlyphOrder(), name])
        font["glyf"][name], width = eighth(font, heavier, numerator)
        font["glyf"][name].recalcBounds(font["glyf"])
        font["hmtx"][name] = (width, BEARING)
        for table in font["cmap"].tables:
            if table.isUnicode():
                table.cmap[ord(character)] = name


def eighth(font: TTFont, heavier: TTFont, numerator: str) -> tuple[object, int]:
    """One fraction as a glyph, and its width."""
    pen = TTGlyphPen(None)
    top = bounds(font, "½")[3]
    left, _, right, high = bounds(heavier, numerator)
    draw(heavier, numerator, TransformPen(pen, (SMALL, 0, 0, SMALL, BEARING - SMALL * left, top - SMALL * high)))
    after = SMALL * (right - left) + BEARING + 20
    bar_left, _, bar_right, _ = bounds(font, "⁄")
    draw(font, "⁄", TransformPen(pen, (1, 0, 0, 1, after + BAR_ROOM / 2 - (bar_left + bar_right) / 2, 0)))
    left, low, right, _ = bounds(heavier, "8")
    start = after + BAR_ROOM
    draw(heavier, "8", TransformPen(pen, (SMALL, 0, 0, SMALL, start - SMALL * left, -SMALL * low)))
    return pen.glyph(), int(start + SMALL * (right - left) + 40)


def draw(font: TTFont, character: str, pen: object) -> None:
    """Draw a character's glyph with a pen."""
    font.getGlyphSet()[font.getBestCmap()[ord(character)]].draw(pen)


def bounds(font: TTFont, character: str) -> tuple[float, float, float, float]:
    """Left, low, right and high of a character's glyph."""
    pen = BoundsPen(font.getGlyphSet())
    draw(font, character, pen)
    return pen.bounds


def main(files: Path, fonts: Path) -> None:
    """Make both styles."""
    for style, (weight, heavier) in STYLES.items():
        font = joined(files, weight)
        add_eighths(font, TTFont(files / FILE.format(subset="latin", weight=heavier)))
        font.save(fonts / f"AtkinsonHyperlegibleNext-{style}.ttf")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
