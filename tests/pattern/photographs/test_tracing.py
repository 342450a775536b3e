"""Photographs of paper pieces: the outline within 2 mm, and a plain refusal where that cannot be had.

The photographs are reckoned (tests/pattern/photographed.py), so the true outline is known.
"""

import math
import time

import numpy as np
import pytest
from pattern.photographed import BROWN, PAPER, WOOD, Corners, Shot, lay, lay_sheet, lay_strip, photograph, table, turned
from shapely.geometry import Point, Polygon

from clothwright.pattern import DrawingRefused, markers, read_drawing
from clothwright.pattern.photographs.tracing import SHEETS, outline_svg, trace

TILTED = Shot(tilt_deg=35, darker=0.5, noise=7)
TURNED = Shot(tilt_deg=35, towards_deg=200, roll_deg=20, darker=0.5, noise=9)
STRIPS = ((0, (22, 17), 4), (1, (82, 30), 88), (2, (34, 80), -3), (3, (15, 64), -93))


def front() -> Corners:
    """A front 41 cm long and 28 wide: neck and armhole curved, the rest straight, sharp corners between."""
    t = np.linspace(0, math.pi / 2, 40)
    neck = [(28 + 8 * (1 - math.cos(a)), 34 - 7 * math.sin(a)) for a in t]
    armhole = [(48 - 3 * math.sin(2 * a) + 6 * a / (math.pi / 2), 29 + 15 * a / (math.pi / 2)) for a in t]
    return [*neck, *armhole, (56, 68), (28, 68)]


def sleeve() -> Corners:
    t = np.linspace(0, math.pi, 80)
    return [(40 - 17 * math.cos(a), 45 - 12 * math.sin(a) ** 2) for a in t] + [(52, 74), (28, 74)]


def moved(outline: Corners, degrees: float) -> Corners:
    return [(x + 45, y + 48) for x, y in turned([(x - 45, y - 48) for x, y in outline], degrees, (0, 0))]


PIECES = {"front": front(), "sleeve": moved(sleeve(), 8), "yoke": moved([(25, 38), (65, 38), (65, 58), (25, 58)], 21)}


def shot_of(piece: Corners, shot: Shot, *, sheet: str = "markers", strips: int = 4, colour=BROWN, scale=1.0) -> bytes:
    picture = table()
    lay(picture, piece, colour)
    if sheet == "markers":
        for strip, at, degrees in STRIPS[:strips]:
            lay_strip(picture, strip, at, degrees)
    else:
        lay_sheet(picture, (69, 26), 5, SHEETS[sheet])
    return photograph(picture, shot)


def furthest_cm(traced: Corners, true: Corners) -> float:
    """How far the two outlines are from each other at most, laid onto each other as well as they go (no scaling)."""
    edge = Polygon(true).exterior
    points = np.array(Polygon(traced).exterior.segmentize(0.4).coords)[:-1]
    points += np.array(edge.segmentize(0.4).coords).mean(axis=0) - points.mean(axis=0)
    for _ in range(50):
        nearest = np.array([edge.interpolate(edge.project(Point(p))).coords[0] for p in points])
        a, b = points - points.mean(axis=0), nearest - nearest.mean(axis=0)
        angle = math.atan2((a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum(), (a * b).sum())
        c, s = math.cos(angle), math.sin(angle)
        points = a @ np.array([[c, s], [-s, c]]) + nearest.mean(axis=0)
    return float(edge.hausdorff_distance(Polygon(points).exterior))


@pytest.mark.parametrize(
    ("name", "shot"),
    [
        ("front", Shot()),
        ("front", TILTED),
        ("sleeve", TILTED),
        ("yoke", TURNED),
        ("sleeve", TURNED),
        ("front", Shot(tilt_deg=15, noise=12)),
    ],
)
def test_a_piece_of_40_cm_is_traced_within_2_mm_by_markers(name: str, shot: Shot) -> None:
    tracing = trace(shot_of(PIECES[name], shot), sheet="markers")
    assert furthest_cm(tracing.outline, PIECES[name]) < 0.12
    assert tracing.area_cm2 == pytest.approx(Polygon(PIECES[name]).area, rel=5e-3)
    assert tracing.residual_mm is not None
    assert tracing.residual_mm < 0.2


@pytest.mark.parametrize("sheet", ["A4", "letter"])
@pytest.mark.parametrize("shot", [Shot(tilt_deg=10), TILTED], ids=["10 degrees", "35 degrees"])
def test_a_piece_is_traced_within_2_mm_by_a_sheet_of_paper_beside_it(sheet: str, shot: Shot) -> None:
    tracing = trace(shot_of(PIECES["front"], shot, sheet=sheet), sheet=sheet)
    assert furthest_cm(tracing.outline, PIECES["front"]) < 0.2
    assert tracing.residual_mm is None
    assert "measure one length of the piece" in " ".join(tracing.notes)


def test_upwards_in_the_picture_is_upwards_on_the_page_and_corners_are_sharp() -> None:
    tracing = trace(shot_of(PIECES["front"], Shot()), sheet="markers")
    width, height = tracing.size_cm
    assert (width, height) == (pytest.approx(28, abs=0.1), pytest.approx(41, abs=0.1))
    corners = Polygon(tracing.outline)
    for x, y in ((0, 7), (28, 41), (0, 41)):
        assert corners.exterior.distance(Point(x + 2, y + 2)) < 0.05
    assert len(tracing.outline) < 80


def test_what_is_traced_is_read_back_as_a_drawing_at_true_size() -> None:
    tracing = trace(shot_of(PIECES["yoke"], TILTED), sheet="markers")
    (piece,) = read_drawing(outline_svg(tracing.outline, 'the "yoke" <1>')).pieces
    assert piece.name == 'the "yoke" <1>'
    assert piece.area_cm2 == pytest.approx(tracing.area_cm2, rel=1e-3)
    assert piece.area_cm2 == pytest.approx(800, rel=5e-3)


def test_two_strips_are_enough_and_one_is_not() -> None:
    assert trace(shot_of(PIECES["front"], Shot(tilt_deg=20), strips=2), sheet="markers").strips == 2
    with pytest.raises(DrawingRefused, match="Markers of 1 of the 4 strips were seen, and at least 2"):
        trace(shot_of(PIECES["front"], Shot(), strips=1), sheet="markers")


def test_strips_printed_to_different_scales_do_not_fit_together() -> None:
    picture = table()
    lay(picture, PIECES["front"], BROWN)
    for (strip, at, degrees), scale in zip(STRIPS, (1.0, 0.94, 1.0, 0.94), strict=True):
        lay_strip(picture, strip, at, degrees, scale)
    with pytest.raises(DrawingRefused, match="do not fit together"):
        trace(photograph(picture, TILTED), sheet="markers")


def half_seen() -> bytes:
    picture = table()
    lay(picture, [(50, 30), (95.9, 30), (95.9, 60), (50, 60)], BROWN)
    lay_strip(picture, 0, (22, 17), 0)
    lay_strip(picture, 2, (34, 76), 0)
    return photograph(picture, Shot())


def test_a_photograph_of_the_table_alone_and_of_half_a_piece_is_refused() -> None:
    with pytest.raises(DrawingRefused, match="hardly differs"):
        trace(photograph(table(), Shot(noise=3)), sheet="A4")
    with pytest.raises(DrawingRefused, match="over the edge of the picture"):
        trace(half_seen(), sheet="markers")


def test_a_piece_like_the_table_is_refused_for_want_of_contrast_or_of_a_piece() -> None:
    with pytest.raises(DrawingRefused, match=r"hardly differs|No piece was seen"):
        trace(shot_of(PIECES["front"], Shot(noise=6), colour=(63, 75, 85)), sheet="markers")


def test_a_strip_that_lies_on_the_piece_is_told() -> None:
    picture = table()
    lay(picture, PIECES["yoke"], BROWN)
    lay_strip(picture, 0, (22, 17), 0)
    lay_strip(picture, 1, (66, 30), 88)
    with pytest.raises(DrawingRefused, match="lies on the piece or against it"):
        trace(photograph(picture, Shot()), sheet="markers")


def test_two_pieces_and_two_white_sheets_are_asked_about() -> None:
    picture = table()
    for left in (20, 50):
        lay(picture, [(left, 30), (left + 20, 30), (left + 20, 70), (left, 70)], BROWN)
    lay_strip(picture, 0, (22, 17), 0)
    lay_strip(picture, 1, (50, 76), 0)
    with pytest.raises(DrawingRefused, match="Two large things"):
        trace(photograph(picture, Shot()), sheet="markers")
    picture = table()
    lay(picture, [(20, 30), (50, 30), (50, 70), (20, 70)], PAPER)
    lay_sheet(picture, (60, 30), 0, SHEETS["A4"])
    with pytest.raises(DrawingRefused, match="Two four-cornered sheets"):
        trace(photograph(picture, Shot()), sheet="A4")


def png_of(width: int, height: int) -> bytes:
    return (
        b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR" + width.to_bytes(4, "big") + height.to_bytes(4, "big") + b"\x08\x02\0\0\0" * 4
    )


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "no photograph in JPEG or PNG"),
        (b"GIF89a" + b"\0" * 100, "no photograph in JPEG or PNG"),
        (b"\xff\xd8\xff", "no photograph in JPEG or PNG"),
        (png_of(50_000, 50_000), "50000 x 50000 pixels"),
        (png_of(300, 5000), "only 300 x 5000 pixels"),
        (png_of(2000, 2000), "damaged"),
        (b"\xff\xd8" + b"\0" * 30_000_001, "at most 30 MB"),
    ],
)
def test_what_is_no_photograph_is_refused_at_once(data: bytes, why: str) -> None:
    began = time.process_time()
    with pytest.raises(DrawingRefused, match=why):
        trace(data, sheet="markers")
    assert time.process_time() - began < 2


def test_our_markers_are_those_that_opencv_looks_for() -> None:
    import cv2

    kind = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    for number, marker in markers().items():
        expected = cv2.aruco.generateImageMarker(kind, number, 6, borderBits=1) > 0
        assert [list(row) for row in marker.squares] == expected.tolist()
    assert WOOD != BROWN


@pytest.mark.parametrize(("laid", "said"), [("letter", "A4"), ("A4", "letter")])
@pytest.mark.parametrize("shot", [Shot(), TILTED], ids=["from above", "35 degrees"])
def test_a_sheet_of_another_size_than_was_said_is_noticed(laid: str, said: str, shot: Shot) -> None:
    """Their sides differ in proportion: 1.414 and 1.294."""
    with pytest.raises(DrawingRefused, match=f"has not the sides of {said} paper"):
        trace(shot_of(PIECES["front"], shot, sheet=laid), sheet=said)
