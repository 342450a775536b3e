"""The cloth in pictures and words: true to size on page and paper, under the pieces where it will lie, told without colour."""

from __future__ import annotations

import base64
import datetime
import io
import itertools
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pypdfium2
import pytest
from PIL import Image
from planning.cloth.test_cloth_picture import bodice, drawings, project_of, striped
from sheets.printed import reader, text_of

from clothwright.cloth import Window
from clothwright.colours import ColoursOfCloth, Sight, threads
from clothwright.planning import ClothPicture, picture_of_cloth, plan, plan_colours, planned_warp
from clothwright.planning.cloth.cloth_on_pieces import CutPiece, cut_pieces, meetings
from clothwright.sheets import cloth_sheet_pdf
from clothwright.sheets import cloth_words as words
from clothwright.sheets.cloth.cloth_views import (
    ON_PAPER,
    View,
    flat_view,
    paper_address,
    patch_view,
    real_cloth,
    size_mm,
    usable,
)
from clothwright.sheets.pictures.cut_piece import common_scale, cut_piece_svg
from clothwright.sheets.pictures.lay import cloth_svg, layout_svg
from clothwright.sheets.pictures.patch import CARD_MM, patch_svg

SVG = "{http://www.w3.org/2000/svg}"
DAY = datetime.date(2026, 11, 25)


def images(svg: str) -> list[ElementTree.Element]:
    return [one for one in ElementTree.fromstring(svg).iter() if one.tag == f"{SVG}image"]


def pieces() -> tuple[CutPiece, ...]:
    project, planned = bodice()
    return cut_pieces(project, drawings(), planned)


def pixels_of(href: str) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(base64.b64decode(href.partition(",")[2]))))


def test_a_patch_is_as_large_as_a_bank_card() -> None:
    """85.60 by 53.98 mm. *Source*: ISO/IEC 7810, size ID-1. As the svg says it to a browser, and in dots of the file."""
    view = patch_view(striped(), ON_PAPER)
    root = ElementTree.fromstring(patch_svg("cloth.png", size_mm(view), "words"))
    assert (root.get("width"), root.get("height")) == ("85.6mm", "53.98mm")
    file = Image.open(io.BytesIO(view.png(striped())))
    assert file.width / file.info["dpi"][0] * 25.4 == pytest.approx(85.60, abs=0.1)
    assert file.height / file.info["dpi"][1] * 25.4 == pytest.approx(53.98, abs=0.1)


def test_a_patch_stays_on_the_cloth_wherever_it_is_asked_to_begin() -> None:
    for across, along in ((0.0, 0.0), (10.0, 20.0), (500.0, 5000.0)):
        view = patch_view(striped(), 20, across_cm=across, along_cm=along)
        assert size_mm(view) == pytest.approx(CARD_MM, abs=1e-6)
        assert view.window.across[1] <= striped().face.width_cm + 1e-9


def test_a_screen_that_was_measured_is_corrected() -> None:
    svg = patch_svg("cloth.png", CARD_MM, "words", shown_mm=(100.0, 63.06))
    assert 'width="100mm"' in svg
    assert 'viewBox="0 0 85.6 53.98"' in svg


def test_the_layout_lies_on_the_part_of_the_cloth_it_is_cut_from() -> None:
    """Squaring of 3 cm along and trim of 0.5 cm across are left out: the picture begins there, and is as large as the layout."""
    _, planned = bodice()
    asked: list[View] = []
    real = usable(real_cloth(striped(), lambda view: asked.append(view) or "cloth.png"), striped())  # type: ignore[func-returns-value]
    svg = layout_svg(planned, real=real)
    assert planned.layout is not None
    assert len(images(svg)) == len(asked)
    near = (0.5, 0.5 + planned.layout.width_cm)
    assert asked[0].window.across == pytest.approx(striped().across_from_near(near))
    assert asked[0].window.along[0] == pytest.approx(3.0)
    assert asked[-1].window.along[1] == pytest.approx(min(3 + planned.layout.length_cm, striped().face.length_cm))
    assert "style=" not in svg
    assert layout_svg(planned) == layout_svg(planned, real=None)


def test_stripes_under_the_pieces_are_where_the_order_has_them() -> None:
    """Down a column of the laid picture, which is drawn over the layout, the stripes come in the order of the ends: the first at the left of
    the loom, which is the top of the table.
    """
    picture = striped()
    view = View(Window((0, picture.face.width_cm), (0, 2)), 12, laid=True, relief=False)
    column = view.pixels(picture).astype(int).mean(axis=1)
    per_end = len(column) / len(picture.threads.warp)
    for stripe in picture.warp_stripes:
        if stripe.threads >= 6:
            middle = (stripe.first - 1 + stripe.threads / 2) * per_end
            red, green, blue = column[int(middle)]
            seen = "foam" if blue > 180 else "sea lettuce" if green > red else "driftwood"
            assert seen == stripe.yarn


def test_a_flat_view_is_never_so_fine_that_its_threads_beat_when_shown_smaller() -> None:
    """At most two dots to a thread, and no more dots across than asked for."""
    picture = striped()
    long = flat_view(picture, Window((0, 10), (0, 100)), Sight.ALL_CONES)
    short = flat_view(picture, Window((0, 10), (0, 10)), Sight.ALL_CONES)
    assert short.dots_per_cm == pytest.approx(2 * picture.ends_per_cm)
    assert long.dots_per_cm * 100 <= 1800


def test_a_piece_by_itself_shows_the_stripes_it_is_cut_from_and_its_stitching_line() -> None:
    every = pieces()
    real = usable(real_cloth(striped(), paper_address(striped())), striped())
    scale = common_scale(every)
    for piece in every:
        svg = cut_piece_svg(piece, real, scale, "words & more")
        (image,) = images(svg)
        long = max(x for x, _ in piece.outline) - min(x for x, _ in piece.outline)
        assert float(image.get("width", 0)) / scale == pytest.approx(long, abs=0.01)
        assert 'class="cw-stitching"' in svg
        assert ">waist<" in svg
        assert " id=" not in svg
        assert pixels_of(image.get("href", "")).shape[2] == 3


def test_a_long_cloth_is_drawn_whole_in_rows_that_join() -> None:
    asked: list[View] = []
    project = project_of("basket-of-balls.toml")
    picture = picture_of_cloth(project, plan(project))
    cloth_svg("basket", real_cloth(picture, lambda view: asked.append(view) or "x"), "words")  # type: ignore[func-returns-value]
    spans = [view.window.along for view in asked]
    assert spans[0][0] == 0
    assert spans[-1][1] == pytest.approx(picture.face.length_cm)
    assert all(one[1] == pytest.approx(other[0]) for one, other in itertools.pairwise(spans))


# --- words -------------------------------------------------------------------------------------------------------


def test_what_looks_alike_is_said_with_names_never_by_colour() -> None:
    said = words.contrast_sentences(striped().contrasts)
    assert said == [
        "driftwood and sea lettuce look the same to someone without green cones (deutan) (side by side in the warp).",
        "driftwood and sea lettuce look nearly the same to someone without red cones (protan) (side by side in the warp).",
    ]
    assert words.contrast_sentences(striped().contrasts[1:]) == ["Yarns that meet look different to all of these."]
    assert words.contrast_sentences(striped().contrasts, ["driftwood", "foam"]) == []


def test_few_stripes_are_told_one_by_one_and_many_by_their_shares() -> None:
    many = words.stripes_in_words(striped(), imperial=False)
    assert many[0].startswith("Warp, from the first selvedge: 25 stripes, beginning")
    assert many[1] == f"Weft: all {len(striped().threads.weft)} picks are foam."


def test_few_stripes_have_their_widths() -> None:
    picture = few_stripes()
    told = words.stripes_in_words(picture, imperial=False)[0].replace("\u00a0", " ")
    assert (
        told
        == "Warp, from the first selvedge: kelp 2 cm (¾ in) (8 ends), shell 1 cm (⅜ in) (4 ends), kelp 3 cm (1⅛ in) (12 ends)."
    )
    assert "As someone without blue cones (tritan) is thought to see it." in words.alt(
        picture, Sight.TRITAN, imperial=False
    )


def test_a_piece_is_told_by_the_stripes_it_is_cut_from() -> None:
    """From 1.5 to 4.5 cm of cloth, trim of 0.5 cm counted, from the last end: kelp to 3 cm, shell to 4, then kelp again."""
    picture = few_stripes()
    piece = CutPiece("pocket", "pocket", 1, False, ((0, 1), (2, 1), (2, 4), (0, 4)), None)
    told = words.piece_alt(piece, picture, imperial=False).replace("\u00a0", " ")
    stripes = "kelp 1.5 cm (⅝ in) (6 ends), shell 1 cm (⅜ in) (4 ends), kelp 0.5 cm (¼ in) (2 ends)."
    assert f"pocket. Warp, from the edge below: {stripes}" in told


def few_stripes() -> ClothPicture:
    """Kelp, shell and kelp, at 4 to the cm."""
    warp = threads([("kelp", 8), ("shell", 4), ("kelp", 12)])
    of = ColoursOfCloth(warp, ("kelp",) * 10, {"kelp": "#334433", "shell": "#efe4d2"})
    thick = {"kelp": 1.5, "shell": 1.5}
    return replace(striped(), threads=of, ends_per_cm=4.0, thickness_mm=thick)


def test_what_meets_at_a_notch_is_said_by_yarn_and_copy() -> None:
    (said,) = words.meeting_sentences(meetings(pieces(), striped()))
    assert said.startswith(("waist: meets, ", "waist: does not match, "))
    assert "back" in said
    assert "crossed by foam" in said


# --- paper -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("large_print", [False, True])
@pytest.mark.parametrize("imperial", [False, True])
def test_the_sheet_has_a_patch_at_true_size_in_the_pdf(large_print: bool, imperial: bool) -> None:
    """The picture is placed 85.60 by 53.98 mm on the paper, with 300 dots to the inch, tagged and with the check ruler."""
    _, planned = bodice()
    pdf = cloth_sheet_pdf(striped(), planned, pieces(), made_on=DAY, large_print=large_print, imperial=imperial)
    source = reader(pdf)
    assert source.trailer["/Root"].get_object()["/MarkInfo"]["/Marked"]
    said = text_of(pdf)
    for part in ("Check the print", "look the same to someone without green cones", "waist:", "25 November 2026"):
        assert part in said
    sizes = [(image.image.width, image.image.height) for page in source.pages for image in page.images if image.image]
    wanted = tuple(round(side / 25.4 * 300) for side in CARD_MM)
    assert any(abs(wide - wanted[0]) <= 1 and abs(high - wanted[1]) <= 1 for wide, high in sizes)


def test_the_patch_measures_true_on_the_printed_page() -> None:
    """Rendered at 254 dots to the inch (10 to the mm), the patch is 856 by 540 pixels of cloth on white paper."""
    _, planned = bodice()
    pdf = cloth_sheet_pdf(striped(), planned, pieces(), made_on=DAY)
    page = pypdfium2.PdfDocument(pdf)[0].render(scale=254 / 72).to_numpy()
    coloured = np.ptp(page[..., :3].astype(int), axis=2) > 6
    rows = np.flatnonzero(coloured[:, 160:960].mean(axis=1) > 0.3)
    columns = np.flatnonzero(coloured[rows[0] : rows[-1]].mean(axis=0) > 0.3)
    assert (columns[-1] - columns[0] + 1) == pytest.approx(856, abs=3)
    assert (rows[-1] - rows[0] + 1) == pytest.approx(540, abs=3)


def test_the_order_on_the_sheet_is_that_of_the_colours() -> None:
    """Ends of each yarn in the key are those of the colour order."""
    project = project_of("basket-of-balls.toml")
    picture = picture_of_cloth(project, plan(project))
    order = plan_colours(project, planned_warp(project, plan(project))).order
    for name, _, _, ends, _ in words.key_rows(picture):
        assert int(ends) == sum(run.ends for run in order if run.yarn == name)
