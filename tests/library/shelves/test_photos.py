"""Photos are written anew: upright, smaller, without place or camera; what is no picture is refused with the reason."""

from __future__ import annotations

import io

import pytest
from PIL import Image

from clothwright.library.models import OnHand, Photo
from clothwright.library.shelves import on_hand
from clothwright.library.shelves.on_hand import Kept
from clothwright.library.shelves.photos import KEPT_ACROSS, MOST_PHOTOS, keep_photo, photos_of, written_anew
from clothwright.project import ProblemsFound

GPS, ORIENTATION, MAKER = 0x8825, 0x0112, 0x010F


def picture(size: tuple[int, int] = (400, 200), kind: str = "JPEG", mode: str = "RGB", turned: int = 1) -> bytes:
    """A picture, its left half red, with a place, a maker and which way up it was held."""
    image = Image.new(mode, size, "white")
    image.paste(Image.new(mode, (size[0] // 2, size[1]), "red"))
    exif = Image.Exif()
    exif[ORIENTATION], exif[MAKER] = turned, "Kelp Cameras"
    exif.get_ifd(GPS)[1] = "N"
    exif.get_ifd(GPS)[2] = (57.0, 30.0, 0.0)
    file = io.BytesIO()
    image.save(file, kind, exif=exif)
    return file.getvalue()


def test_neither_place_nor_camera_is_kept() -> None:
    before = picture()
    assert b"Kelp Cameras" in before
    assert Image.open(io.BytesIO(before)).getexif().get_ifd(GPS)
    after = written_anew(before, "a.jpg").content
    assert b"Kelp Cameras" not in after
    assert not Image.open(io.BytesIO(after)).getexif()
    assert not {"exif", "icc_profile", "comment"} & set(Image.open(io.BytesIO(after)).info)


def test_a_photo_held_sideways_is_turned_upright() -> None:
    """Orientation 6 is a quarter turn clockwise to show (EXIF 2.3): red on the left comes to stand at the top."""
    kept = written_anew(picture(turned=6), "a.jpg")
    assert (kept.width, kept.height) == (200, 400)
    shown = Image.open(io.BytesIO(kept.content)).convert("RGB")
    top, bottom = shown.getpixel((100, 50)), shown.getpixel((100, 350))
    assert isinstance(top, tuple)
    assert isinstance(bottom, tuple)
    assert top[1] < 60 < 200 < bottom[1]


def test_a_large_photo_is_made_smaller_and_keeps_its_shape() -> None:
    kept = written_anew(picture((4000, 1000)), "a.jpg")
    assert (kept.width, kept.height) == (KEPT_ACROSS, KEPT_ACROSS // 4)


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_other_kinds_come_out_as_jpeg_on_white(kind: str) -> None:
    image = Image.new("RGBA", (50, 50), (0, 0, 0, 0))
    file = io.BytesIO()
    image.save(file, kind)
    shown = Image.open(io.BytesIO(written_anew(file.getvalue(), "a").content))
    assert shown.format == "JPEG"
    assert shown.convert("RGB").getpixel((25, 25)) == (255, 255, 255)


def _gif() -> bytes:
    file = io.BytesIO()
    Image.new("P", (10, 10)).save(file, "GIF")
    return file.getvalue()


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "no photo came"),
        (b"GIF89a nothing of the kind", "is no picture that can be read"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>", "is no picture"),
        (picture()[:300], "is no picture"),
        (_gif(), "is no picture"),
        (b"\xff" * 20_000_001, "larger than 20 MB"),
    ],
    ids=["nothing", "false gif", "svg", "cut off", "gif", "too large"],
)
def test_what_is_no_photo_is_refused_in_a_sentence(content: bytes, words: str) -> None:
    with pytest.raises(ProblemsFound, match=words):
        written_anew(content, "a.jpg")


@pytest.mark.parametrize("side", [9000, 16000])
def test_too_many_pixels_are_refused_before_they_are_unpacked(side: int) -> None:
    """81 and 256 million pixels of white are a small file: the size it claims decides."""
    file = io.BytesIO()
    Image.new("1", (side, side), 1).save(file, "PNG")
    assert len(file.getvalue()) < 2_000_000
    with pytest.raises(ProblemsFound, match="60 million pixels"):
        written_anew(file.getvalue(), "huge.png")


@pytest.fixture
def sample() -> OnHand:
    return on_hand.add(Kept.SAMPLE, on_hand.tree_of(Kept.SAMPLE, {"name": "tide square"}), "typed in")


@pytest.mark.django_db
def test_the_same_picture_is_kept_once_and_photos_stay_in_order(sample: OnHand) -> None:
    first, second = picture(), picture((200, 200))
    for content, name in ((first, "a.jpg"), (second, "b.jpg"), (first, "again.jpg")):
        keep_photo(sample, content, name)
    assert [one.name for one in photos_of(sample)] == ["a.jpg", "b.jpg"]


@pytest.mark.django_db
def test_there_is_a_most_of_photos(sample: OnHand) -> None:
    for number in range(MOST_PHOTOS):
        Photo.objects.create(of=sample, name="x", sha256=str(number), content=b"x", width=1, height=1)
    with pytest.raises(ProblemsFound, match="the most"):
        keep_photo(sample, picture(), "one-more.jpg")
