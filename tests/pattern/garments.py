"""The published outlines of garments as drawings, written by general drawing libraries.

*Source:* the outlines of tests/published/nesting (CC0), brought to cloth 60 cm wide. The libraries are svgwrite and drawsvg for
SVG, ezdxf for DXF, reportlab and fpdf2 for PDF.
"""

from __future__ import annotations

import io
import json
import math
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import drawsvg
import ezdxf
import fpdf
import svgwrite
from reportlab.pdfgen.canvas import Canvas
from shapely.geometry import Polygon

NESTING = Path(__file__).parents[1] / "published" / "nesting"
NAMES = ("albano", "dagli", "mao", "marques", "shirts", "swim", "trousers", "synthetic_jacket")
GAP_CM = 2.0


@dataclass(frozen=True)
class Outline:
    """An outline on the page, cm, y downwards, as it is drawn; `around_cm` once round it."""

    name: str
    points: tuple[tuple[float, float], ...]

    @property
    def polygon(self) -> Polygon:
        return Polygon(self.points)


def garment(name: str, largest_cm: float = 60) -> list[Outline]:
    """The outlines of a file side by side, the largest side as long as that."""
    case = json.loads((NESTING / f"{name}.json").read_text())
    rings = [piece["polygon"] for piece in case["pieces"]]
    scale = largest_cm / max(value for ring in rings for point in ring for value in point)
    placed, left = [], GAP_CM
    for number, ring in enumerate(rings):
        points = tuple((left + x * scale, GAP_CM + y * scale) for x, y in ring)
        placed.append(Outline(f"piece {number + 1}", points))
        left += max(x for x, _ in ring) * scale + GAP_CM
    return placed


def page_size(outlines: list[Outline]) -> tuple[float, float]:
    xs, ys = zip(*(point for one in outlines for point in one.points), strict=True)
    return math.ceil(max(xs) + GAP_CM), math.ceil(max(ys) + GAP_CM)


def svg_by_svgwrite(outlines: list[Outline]) -> bytes:
    width, height = page_size(outlines)
    drawing = svgwrite.Drawing(size=(f"{width * 10}mm", f"{height * 10}mm"), viewBox=f"0 0 {width * 10} {height * 10}")
    for one in outlines:
        group = drawing.g()
        group.set_desc(title=f"{one.name}: cut 1")
        group.add(drawing.polygon([(x * 10, y * 10) for x, y in one.points]))
        drawing.add(group)
    return drawing.tostring().encode()


def svg_by_drawsvg(outlines: list[Outline]) -> bytes:
    width, height = page_size(outlines)
    drawing = drawsvg.Drawing(width, height, origin=(0, 0))
    drawing.set_render_size(f"{width / 2.54}in", f"{height / 2.54}in")
    for one in outlines:
        path = drawsvg.Path(fill="none", stroke="black", data_piece=one.name)
        path.M(*one.points[0])
        for point in one.points[1:]:
            path.L(*point)
        path.Z()
        drawing.append(path)
    return drawing.as_svg().encode()


def dxf_plain(outlines: list[Outline]) -> bytes:
    """Single lines, in inches, with the name as text inside."""
    document = ezdxf.new("R2010")
    document.header["$INSUNITS"] = 1
    space = document.modelspace()
    for one in outlines:
        points = [(x / 2.54, -y / 2.54) for x, y in one.points]
        for start, end in zip(points, (*points[1:], points[0]), strict=True):
            space.add_line(start, end)
        space.add_text(f"{one.name}: cut 1", dxfattribs={"insert": _within(one, 1 / 2.54)})
    return _written(document)


def dxf_apparel(outlines: list[Outline]) -> bytes:
    """Blocks as the apparel exchange standard has them, in mm."""
    document = ezdxf.new("R12")
    space = document.modelspace()
    space.add_text("Units: METRIC", dxfattribs={"layer": "1"})
    for number, one in enumerate(outlines):
        block = document.blocks.new(f"P{number}")
        block.add_polyline2d([(x * 10, -y * 10) for x, y in one.points], close=True, dxfattribs={"layer": "1"})
        for line in (f"Piece Name: {one.name}", "Size: M", "Quantity: 1"):
            block.add_text(line, dxfattribs={"layer": "1", "insert": _within(one, 10)})
        x, y = _within(one, 10)
        block.add_line((x, y), (x, y + 10), dxfattribs={"layer": "7"})
        space.add_blockref(f"P{number}", (0, 0))
    return _written(document)


def _written(document: ezdxf.document.Drawing) -> bytes:
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode()


def _within(one: Outline, scale: float) -> tuple[float, float]:
    point = one.polygon.representative_point()
    return point.x * scale, -point.y * scale


def pdf_by_reportlab(outlines: list[Outline]) -> bytes:
    width, height = page_size(outlines)
    to_points = 72 / 2.54
    whole = io.BytesIO()
    canvas = Canvas(whole, pagesize=(width * to_points, height * to_points))
    canvas.translate(0, height * to_points)
    canvas.scale(to_points, -to_points)
    canvas.setLineWidth(0.02)
    for one in outlines:
        path = canvas.beginPath()
        path.moveTo(*one.points[0])
        for point in one.points[1:]:
            path.lineTo(*point)
        path.close()
        canvas.drawPath(path)
    canvas.showPage()
    canvas.save()
    return whole.getvalue()


def pdf_by_fpdf(outlines: list[Outline]) -> bytes:
    width, height = page_size(outlines)
    pdf = fpdf.FPDF(
        unit="cm", format=(min(width, height), max(width, height)), orientation="L" if width > height else "P"
    )
    pdf.add_page()
    pdf.set_line_width(0.02)
    for one in outlines:
        pdf.polygon(list(one.points), style="DF")
    return bytes(pdf.output())


WRITERS: dict[str, Callable[[list[Outline]], bytes]] = {
    "SVG by svgwrite": svg_by_svgwrite,
    "SVG by drawsvg": svg_by_drawsvg,
    "plain DXF by ezdxf": dxf_plain,
    "apparel DXF by ezdxf": dxf_apparel,
    "PDF by reportlab": pdf_by_reportlab,
    "PDF by fpdf2": pdf_by_fpdf,
}
