"""A patch of the cloth at true size, as large as a bank card, so that there is something in every pocket to hold to it."""

from __future__ import annotations

from typing import Final
from xml.etree import ElementTree

from clothwright.sheets.pictures.drawing import coordinate
from clothwright.sheets.wording import literal

#: The size of bank cards. *Source*: ISO/IEC 7810, size ID-1.
CARD_MM: Final = (85.60, 53.98)


def patch_svg(
    href: str, size_mm: tuple[float, float], desc: str, *, shown_mm: tuple[float, float] | None = None
) -> str:
    """A picture of the cloth, `size_mm` wide and high, at true size; `shown_mm` where a screen is known to differ."""
    (wide, high), shown = size_mm, shown_mm or size_mm
    root = ElementTree.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "role": "img",
            "class": "cw-picture cw-patch",
            "viewBox": f"0 0 {coordinate(wide)} {coordinate(high)}",
            "width": f"{coordinate(shown[0])}mm",
            "height": f"{coordinate(shown[1])}mm",
        },
    )
    ElementTree.SubElement(root, "title").text = "The cloth at true size"
    ElementTree.SubElement(root, "desc").text = literal(desc)
    whole = {"x": "0", "y": "0", "width": coordinate(wide), "height": coordinate(high), "preserveAspectRatio": "none"}
    ElementTree.SubElement(root, "image", {**whole, "href": href})
    return ElementTree.tostring(root, encoding="unicode")
