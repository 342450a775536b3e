"""The face of a cloth as pixels: who lies on top, how much is seen of each, and that the count of threads comes back."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from clothwright.cloth import (
    Face,
    PictureError,
    Window,
    as_laid,
    as_woven,
    cloth_cover,
    draft_of,
    drawn,
    light_of,
    light_of_colours,
    structure,
    whole,
)

WARP, WEFT, BEHIND = "#ff0000", "#00ff00", "#0000ff"


def woven(
    name: str, *, ends: int = 8, picks: int = 8, setts: tuple[float, float] = (4, 4), mm: tuple[float, float] = (2, 2)
) -> Face:
    """A structure in a red warp and a green weft."""
    draft = np.array([[up == "1" for up in pick] for pick in structure(name).draft])
    up = np.tile(draft, (picks, ends))[:picks, :ends]
    return faced(up, setts, mm, [WARP] * ends, [WEFT] * picks)


def faced(
    up: NDArray[np.bool_], setts: tuple[float, float], mm: tuple[object, object], warp: list[str], weft: list[str]
) -> Face:
    picks, ends = up.shape
    thick = [np.broadcast_to(np.asarray(one, np.float32), count) for one, count in zip(mm, (ends, picks), strict=True)]
    return Face(up, *setts, thick[0], thick[1], light_of_colours(warp), light_of_colours(weft))


def seen(face: Face, **how: object) -> tuple[float, float, float]:
    """The share of the whole face that is warp, weft and gap: the colours are pure, and there is no shading."""
    light = light_of(face, whole(face), (96, 96), relief=0, ground=BEHIND)
    warp, weft, gap = (float(one) for one in light.mean(axis=(0, 1)))
    return warp, weft, gap


# --- who lies on top ---------------------------------------------------------------------------------------------

#: Drawdowns by hand, ■ where the end lies over the pick; the last pick on top, the first end at the right.
PLAIN = """
■□■□■□
□■□■□■
■□■□■□
□■□■□■
"""
TWILL = """
■□□■■□□■
■■□□■■□□
□■■□□■■□
□□■■□□■■
"""


@pytest.mark.parametrize(("name", "by_hand"), [("plain", PLAIN), ("twill 2/2", TWILL)])
def test_the_thread_on_top_is_that_of_the_drawdown(name: str, by_hand: str) -> None:
    """The middle of every crossing shows the warp where the drawdown by hand is filled, else the weft.

    *Source*: plain weave and the 2/2 twill by their definitions in any handbook; common practice, no source.
    """
    rows = by_hand.split()
    face = woven(name, ends=len(rows[0]), picks=len(rows))
    pixels = as_woven(drawn(face, whole(face), (9 * len(rows), 9 * len(rows[0])), relief=0), first_end_left=False)
    middles = pixels[4::9, 4::9]
    assert [["■□"[int(g > r)] for r, g, _ in row] for row in middles.tolist()] == [list(row) for row in rows]


def test_the_cloth_laid_on_the_table_is_the_paper_turned_by_a_quarter() -> None:
    """Clockwise, so that the right side stays up: the first pick comes to the left; a first end at the right to the bottom, at the left to the top."""
    face = woven("twill 2/2", ends=5, picks=3)
    pixels = drawn(face, whole(face), (30, 50))
    for left in (True, False):
        turned = np.rot90(as_woven(pixels, first_end_left=left), -1)
        assert np.array_equal(as_laid(pixels, first_end_left=left), turned)
    assert np.array_equal(as_woven(pixels, first_end_left=True), as_woven(pixels, first_end_left=False)[:, ::-1])


def test_shading_tells_over_from_under() -> None:
    """An end is lightest where it lies over a pick, and darker beside the pick it dives under; a float stays light."""
    face = woven("twill 3/1", ends=4, picks=4, setts=(1, 1), mm=(6, 6))
    red = light_of(face, whole(face), (400, 400))[:, 50, 0]
    over = [pick for pick in range(4) if face.up[pick, 0]]
    assert all(red[100 * pick + 50] > 0.9 for pick in over)
    dives = next(pick for pick in range(4) if not face.up[pick, 0])
    edge = 100 * dives + 50 + 31
    assert 0 < red[edge % 400] < 0.85


# --- how much is seen of each ------------------------------------------------------------------------------------


@pytest.mark.parametrize(("warp_mm", "weft_mm"), [(1.0, 1.0), (2.0, 1.2), (0.6, 2.3), (2.5, 2.5)])
def test_a_balanced_cloth_shows_what_geometry_says(warp_mm: float, weft_mm: float) -> None:
    """With covers a and b plain weave shows a(1 − b) + ab/2 of warp, as much of weft the other way, and (1 − a)(1 − b) of gap.

    *Source*: cover a + b − ab, F. T. Peirce, J. Textile Inst. 28 (1937) T45-T96; each set on top at half of the crossings.
    """
    a, b = 4 * warp_mm / 10, 4 * weft_mm / 10
    warp, weft, gap = seen(woven("plain", mm=(warp_mm, weft_mm)))
    assert warp == pytest.approx(a * (1 - b) + a * b / 2, abs=1e-5)
    assert weft == pytest.approx(b * (1 - a) + a * b / 2, abs=1e-5)
    assert 1 - gap == pytest.approx(cloth_cover(a, b), abs=1e-5)


@pytest.mark.parametrize(("cover", "weft_seen"), [(1.0, 0.5), (1.5, 0.25), (2.0, 0.0), (2.6, 0.0)])
def test_a_warp_set_closer_than_its_thickness_hides_the_weft(cover: float, weft_seen: float) -> None:
    """Of plain weave every other end is up on a pick, twice the spacing apart; as thick as that they touch, and no weft shows.

    A cover of c leaves 1 − c/2 of the pick, by arithmetic; the picks themselves touch.
    """
    warp, weft, gap = seen(woven("plain", ends=64, setts=(4, 4), mm=(2.5 * cover, 2.5)))
    # The selvedge ends have a neighbour on one side only: of sixty-four ends they count for a little.
    assert weft == pytest.approx(weft_seen, abs=0.01)
    assert gap == pytest.approx(0, abs=1e-5)
    assert warp + weft == pytest.approx(1, abs=1e-5)


def test_a_twill_shows_as_much_warp_as_its_draft_has() -> None:
    """Threads that just touch show the structure's own share of each: three quarters of the face of a 3/1 twill."""
    warp, weft, _ = seen(woven("twill 3/1", mm=(2.5, 2.5)))
    assert (warp, weft) == (pytest.approx(0.75, abs=1e-5), pytest.approx(0.25, abs=1e-5))


@settings(deadline=None, max_examples=120)
@given(st.data())
def test_every_place_is_of_one_thread_or_of_the_gap(data: st.DataObject) -> None:
    """Whatever the structure, the thicknesses and the scale, what is seen adds up to the whole, in every pixel."""
    ends, picks = data.draw(st.integers(1, 7)), data.draw(st.integers(1, 7))
    up = np.array(data.draw(st.lists(st.booleans(), min_size=ends * picks, max_size=ends * picks))).reshape(picks, ends)
    thick = st.floats(0.2, 9)
    mm = [data.draw(st.lists(thick, min_size=many, max_size=many)) for many in (ends, picks)]
    setts = data.draw(st.floats(0.5, 12)), data.draw(st.floats(0.5, 12))
    face = faced(up, setts, (mm[0], mm[1]), ["#ffffff"] * ends, ["#ffffff"] * picks)
    shape = data.draw(st.integers(1, 60)), data.draw(st.integers(1, 60))
    light = light_of(face, whole(face), shape, relief=0, ground="#ffffff")
    assert np.abs(light - 1).max() < 1e-4


# --- scale -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("dots_per_cm", [38, 60, 118])
@pytest.mark.parametrize(("ends_per_cm", "picks_per_cm"), [(3.0, 3.4), (5.2, 4.1), (9.7, 8.3)])
def test_threads_are_counted_back_out_of_the_pixels(
    dots_per_cm: float, ends_per_cm: float, picks_per_cm: float
) -> None:
    """The strongest wave across and along is that of the threads, to one in a hundred: plain weave has two to its repeat."""
    face = woven(
        "plain", ends=120, picks=110, setts=(ends_per_cm, picks_per_cm), mm=(7 / ends_per_cm, 7 / picks_per_cm)
    )
    window = whole(face)
    grey = drawn(face, window, window.pixels(dots_per_cm), relief=0).astype(float)[..., 1]
    for axis, (per_cm, long_cm) in enumerate(((picks_per_cm, face.length_cm), (ends_per_cm, face.width_cm))):
        line = grey[len(grey) // 2 // 2] if axis else grey[:, grey.shape[1] // 4]
        waves = np.abs(np.fft.rfft(line - line.mean()))
        repeats = int(np.argmax(waves[1:])) + 1
        threads = repeats if repeats > 0.75 * per_cm * long_cm else 2 * repeats
        assert threads / long_cm == pytest.approx(per_cm, rel=0.01)


@pytest.mark.parametrize("pixels_per_end", [0.41, 0.57, 0.61, 0.64])
def test_fine_stripes_do_not_beat_against_the_pixels(pixels_per_end: float) -> None:
    """End about, light and dark, drawn so small that none is seen: an even tone, where an average of each pixel has bands.

    The bands of the plain average are reckoned here beside it, from the stripes themselves.
    """
    ends, pixels = 600, round(600 * pixels_per_end)
    face = faced(np.ones((2, ends), bool), (10, 10), (1.0, 1.0), ["#ffffff", "#000000"] * (ends // 2), ["#808080"] * 2)
    light = light_of(face, whole(face), (2, pixels), relief=0)[0, 4:-4, 0]
    assert light.mean() == pytest.approx(0.5, abs=0.01)
    summed = np.interp(np.linspace(0, ends, pixels + 1), np.arange(ends + 1), np.append(0, np.cumsum([1, 0] * 300)))
    bands = np.ptp(np.diff(summed)[4:-4] * pixels / ends)
    assert bands > 0.12
    assert np.ptp(light) < bands / 4


def test_the_tone_of_a_picture_is_the_same_at_every_scale() -> None:
    """The average light over the cloth is that of its threads, however few pixels there are."""
    face = woven("twill 2/1", ends=60, picks=45, mm=(1.7, 2.1))
    tones = [light_of(face, whole(face), shape, relief=0).mean(axis=(0, 1)) for shape in ((3, 4), (40, 55), (400, 500))]
    assert np.allclose(tones[0], tones[2], atol=0.01)
    assert np.allclose(tones[1], tones[2], atol=0.002)


def test_a_part_is_drawn_as_it_stands_in_the_whole() -> None:
    """A window of whole pixels is the same pixels cut out of the whole picture, and long cloths show no seams."""
    face = woven("twill 2/2", ends=40, picks=50, setts=(4, 5), mm=(2, 3))
    every = drawn(face, whole(face), (500, 500))
    part = drawn(face, Window((2.0, 5.0), (3.0, 8.0)), (250, 150))
    assert np.array_equal(part, every[150:400, 100:250])
    long = woven("twill 2/2", ends=400, picks=4000, setts=(10, 10), mm=(0.8, 0.8))
    rows = drawn(long, whole(long), (1333, 133))[5:-5]
    assert np.ptp(rows.astype(int).mean(axis=(1, 2))) < 2


def test_colours_come_back_as_they_were_given() -> None:
    """Warp-faced cloth of one colour, unshaded, is that colour: through light and back. *Source*: sRGB, IEC 61966-2-1."""
    for colour in ("#7a2e3a", "#efe4d2", "#000000", "#ffffff", "#8fb7c4", "#2b2f3a"):
        face = faced(np.ones((3, 3), bool), (4, 4), (2.5, 2.5), [colour] * 3, ["#123456"] * 3)
        shown = drawn(face, whole(face), (6, 6), relief=0)
        assert np.abs(shown.astype(int) - [int(colour[at : at + 2], 16) for at in (1, 3, 5)]).max() <= 1


# --- wrong input -------------------------------------------------------------------------------------------------


def test_what_cannot_be_drawn_is_told_in_a_sentence() -> None:
    face = woven("plain")
    with pytest.raises(PictureError, match=r"0 to 3 cm across: the cloth is 2\.0 cm there"):
        drawn(face, Window((0, 3), (0, 1)), (9, 9))
    with pytest.raises(PictureError, match="more than 40 million"):
        whole(face).pixels(1_000_000)
    with pytest.raises(PictureError, match="one each is wanted"):
        faced(np.ones((2, 2), bool), (4, 4), (1, 1), [WARP], [WEFT] * 2)


def test_a_draft_is_drawn_as_the_structure_it_weaves() -> None:
    """Threading and lifts of a 2/2 twill on four shafts give the same pixels as its table of ups and downs."""
    draft = draft_of(structure("twill 2/2"), ends=9, picks=7)
    one = faced(draft.up, (4, 4), (2, 2), [WARP] * 9, [WEFT] * 7)
    other = woven("twill 2/2", ends=9, picks=7)
    assert np.array_equal(drawn(one, whole(one), (70, 90)), drawn(other, whole(other), (70, 90)))
