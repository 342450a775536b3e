"""Pieces on paper: true to 0.2 mm as rendered, and read back from the PDF as the same pieces."""

import datetime

import numpy as np
import pypdfium2
import pytest
from pattern.garments import garment
from sheets.printed import text_of

from clothwright.pattern import Piece, PieceMark, read_drawing, rectangle
from clothwright.pattern.piece import MarkKind
from clothwright.project import ProblemsFound
from clothwright.sheets import PAPERS, OfPattern, piece_page_pdf, piece_tiles_pdf
from clothwright.sheets.pieces.piece_sheets import _HOW

DAY = datetime.date(2026, 11, 25)
DPI = 400
MM = 25.4 / DPI


def smock() -> list[Piece]:
    """Published outlines (shirts), with names, counts and marks of our own."""
    pieces = [
        Piece(one.name, tuple((x, -y) for x, y in one.points), cut=2, pair=True) for one in garment("shirts", 45)[:4]
    ]
    band = Piece(
        "band",
        ((0, 0), (60, 0), (60, 8), (0, 8)),
        one_way=True,
        material="lining",
        stitching=((1, 1), (59, 1), (59, 7), (1, 7)),
        marks=(PieceMark(MarkKind.JOIN, ((30, 0), (30, 8))), PieceMark(MarkKind.NOTCH, ((15, 0),))),
    )
    return [*pieces, band]


def rendered(pdf: bytes, number: int) -> np.ndarray:
    """A page in dots, True where it is dark."""
    return (
        np.asarray(pypdfium2.PdfDocument(pdf)[number].render(scale=DPI / 72, grayscale=True).to_numpy()).squeeze() < 190
    )


def long_runs_mm(dark: np.ndarray, axis: int, at_least_mm: float) -> list[float]:
    """Where lines along an axis that are dark over a length lie, middle of the stroke, mm."""
    much = np.flatnonzero(dark.sum(axis=axis) * MM >= at_least_mm)
    groups = np.split(much, np.flatnonzero(np.diff(much) > 1) + 1) if len(much) else []
    return [float(group.mean() + 0.5) * MM for group in groups]


@pytest.mark.parametrize("paper", PAPERS)
def test_frames_on_paper_measure_what_they_are(paper: str) -> None:
    """20 mm less across and 32 mm less down than the paper, to 0.2 mm, measured in dots."""
    _, wide, high = PAPERS[paper]
    dark = rendered(piece_tiles_pdf(smock(), "Kelp smock", paper=paper, made_on=DAY), 1)
    across, down = long_runs_mm(dark, 0, 0.9 * (high - 32)), long_runs_mm(dark, 1, 0.9 * (wide - 20))
    assert across[-1] - across[0] == pytest.approx(wide - 20, abs=0.2)
    assert down[-1] - down[0] == pytest.approx(high - 32, abs=0.2)


def test_test_square_and_ruler_measure_10_cm_and_a_piece_its_size() -> None:
    pocket = rectangle("pocket", width_cm=15, length_cm=12)
    pdf = piece_page_pdf([pocket], "Kelp smock", made_on=DAY)
    dark = rendered(pdf, 0)
    down = long_runs_mm(dark, 1, 95)
    across = long_runs_mm(dark, 0, 95)
    assert across == pytest.approx([11, 161, 173, 273], abs=0.2)
    assert down[-1] - down[0] == pytest.approx(120, abs=0.2)
    assert down[1] - down[0] == pytest.approx(100, abs=0.2)
    tiled = rendered(piece_tiles_pdf([pocket], "Kelp smock", made_on=DAY), 0)
    rows = np.flatnonzero(tiled.sum(axis=1) * MM >= 99)
    ruler = next(
        np.flatnonzero(tiled[row]) for row in rows[::-1] if 99 <= np.ptp(np.flatnonzero(tiled[row])) * MM <= 101
    )
    assert np.ptp(ruler) * MM == pytest.approx(100, abs=0.2)


@pytest.mark.parametrize("paper", PAPERS)
def test_tiles_read_back_are_the_same_pieces(paper: str) -> None:
    pieces = smock()
    drawing = read_drawing(piece_tiles_pdf(pieces, "Kelp smock", paper=paper, made_on=DAY))
    back = {piece.name: piece for piece in drawing.pieces}
    assert sorted(back) == sorted(piece.name for piece in pieces)
    for piece in pieces:
        other = back[piece.name]
        assert other.area_cm2 == pytest.approx(piece.area_cm2, rel=1e-3)
        assert other.around_cm == pytest.approx(piece.around_cm, rel=1e-3)
        assert (other.cut, other.pair, other.one_way, other.material) == (
            piece.cut,
            piece.pair,
            piece.one_way,
            piece.material,
        )


def test_one_large_page_reads_back_as_the_same_pieces() -> None:
    back = read_drawing(piece_page_pdf(smock(), "Kelp smock", made_on=DAY)).pieces
    assert sorted((p.name, round(p.area_cm2, 1)) for p in back) == sorted(
        (p.name, round(p.area_cm2, 1)) for p in smock()
    )


def test_the_cover_says_how_to_glue_and_every_tile_its_place() -> None:
    said = text_of(piece_tiles_pdf(smock(), "Kelp smock", made_on=DAY))
    for words in (
        *(line[:40] for line in _HOW),
        "row 1, column 1 of",
        "tile A1",
        "test square 10 cm",
        "25 November 2026",
    ):
        assert words in said


def test_no_piece_and_too_many_pages_are_refused() -> None:
    with pytest.raises(ProblemsFound, match="no piece to print"):
        piece_tiles_pdf([], "Kelp smock", made_on=DAY)
    with pytest.raises(ProblemsFound, match="at most 200"):
        piece_tiles_pdf([Piece(f"p{i}", ((0, 0), (90, 0), (90, 90), (0, 90))) for i in range(30)], "x", made_on=DAY)


def test_the_same_pieces_give_the_same_bytes() -> None:
    assert piece_tiles_pdf(smock(), "Kelp smock", made_on=DAY) == piece_tiles_pdf(smock(), "Kelp smock", made_on=DAY)


def test_pieces_name_the_state_of_their_pattern_and_show_dotted_where_they_lay() -> None:
    """The lines before are no pieces: the sheet reads back as the same pieces, changed."""
    from pattern.fitted import bodice

    from clothwright.pattern import Change, Do, take_steps

    stepped = take_steps(bodice(), [Change(Do.LENGTHEN, 3.0, match="waist")])
    said = OfPattern("pattern 3f9a21c4, 1 change", stepped.was)
    pdf = piece_page_pdf(stepped.pieces, "Kelp bodice", made_on=DAY, pattern=said)
    assert "pattern 3f9a21c4, 1 change" in text_of(pdf)
    back = {piece.name: piece for piece in read_drawing(pdf).pieces}
    assert sorted(back) == sorted(piece.name for piece in stepped.pieces)
    for piece in stepped.pieces:
        assert back[piece.name].area_cm2 == pytest.approx(piece.area_cm2, rel=1e-3)
    plain = piece_page_pdf(stepped.pieces, "Kelp bodice", made_on=DAY, pattern=OfPattern("pattern 3f9a21c4, 1 change"))
    assert len(plain) < len(pdf)
    assert "before the changes" in text_of(piece_tiles_pdf(stepped.pieces, "Kelp bodice", made_on=DAY, pattern=said))
