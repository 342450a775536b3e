"""Photos brought in: decoded, turned upright, made smaller, and written anew with nothing else in the file.

So where and with what a photo was taken does not go with it, and a file that only claims to be a picture does not come in.
"""

from __future__ import annotations

import hashlib
import io
import warnings
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from django.db import transaction
from PIL import Image, ImageOps

from clothwright.library.files import LARGEST_PHOTO as LARGEST_PHOTO
from clothwright.library.files import MEGABYTE as MEGABYTE
from clothwright.library.models import OnHand, Photo
from clothwright.project import Problem, ProblemsFound

MOST_PIXELS: Final = 60 * MEGABYTE
MOST_PHOTOS: Final = 24
#: The longer side a photo is kept with.
KEPT_ACROSS: Final = 1600
#: The longer side of the small picture that a page shows of it.
SMALL_ACROSS: Final = 320
_FORMATS: Final = ("JPEG", "PNG", "WEBP")
_ACCEPTED: Final = "photos are JPEG, PNG or WebP"


@dataclass(frozen=True)
class Picture:
    """A photo written anew: JPEG bytes, and its size in pixels."""

    content: bytes
    width: int
    height: int


def written_anew(content: bytes, name: str) -> Picture:
    """The picture in a file, upright, at most 1600 pixels across, without anything else; ProblemsFound with the reason if not."""
    if not content:
        raise _refused(f"no photo came; {_ACCEPTED}")
    if len(content) > LARGEST_PHOTO:
        raise _refused(f"“{name}” is larger than {LARGEST_PHOTO // MEGABYTE} MB; make it smaller and bring it in again")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            return _picture(content, name)
    except ProblemsFound:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise _too_many_pixels(name) from None
    except (OSError, ValueError, SyntaxError, EOFError):
        raise _refused(f"“{name}” is no picture that can be read; {_ACCEPTED}") from None


def _picture(content: bytes, name: str) -> Picture:
    with Image.open(io.BytesIO(content), formats=_FORMATS) as opened:
        if opened.width * opened.height > MOST_PIXELS:
            raise _too_many_pixels(name)
        _half_is_enough(opened)
        upright = ImageOps.exif_transpose(opened)
        upright.thumbnail((KEPT_ACROSS, KEPT_ACROSS))
        plain = Image.new("RGB", upright.size, "white")
        seen = upright.convert("RGBA")
        plain.paste(seen, mask=seen.getchannel("A"))
    file = io.BytesIO()
    plain.save(file, "JPEG", quality=85)
    return Picture(file.getvalue(), plain.width, plain.height)


def _half_is_enough(opened: Image.Image) -> None:
    """Have a JPEG read at a half, a quarter or an eighth where that is still as large as it is kept: less than half of the work."""
    if (across := max(opened.size)) > KEPT_ACROSS:
        opened.draft(
            None, (max(1, opened.width * KEPT_ACROSS // across), max(1, opened.height * KEPT_ACROSS // across))
        )


def as_kept(content: bytes, name: str, read: Callable[[bytes, str], Picture] = written_anew) -> Picture:
    """A photo that was kept before, as it is where it holds nothing but its picture; else as `read` writes it anew."""
    picture = read(content, name)
    return Picture(content, picture.width, picture.height) if _nothing_beside(content) else picture


#: What a JPEG of ours is made of: JFIF head, tables, frame; then the picture. Source: ITU-T T.81, table B.1.
_OURS: Final = {0xE0, 0xDB, 0xC0, 0xC4}
_SCAN: Final = 0xDA


def _nothing_beside(content: bytes) -> bool:
    """Whether a JPEG has no segment for anything but the picture, and nothing after its end, and is no larger than kept."""
    at = 2
    while content[:2] == b"\xff\xd8" and at + 4 <= len(content) and content[at] == 0xFF:
        mark, length = content[at + 1], int.from_bytes(content[at + 2 : at + 4])
        if mark == _SCAN:
            scan = content[at + 2 + length :]
            return scan.find(b"\xff\xd9") == len(scan) - 2 and max(_size(content)) <= KEPT_ACROSS
        if mark not in _OURS or (mark == 0xE0 and length != 16):
            return False
        at += 2 + length
    return False


def _size(content: bytes) -> tuple[int, int]:
    with Image.open(io.BytesIO(content), formats=_FORMATS) as opened:
        return opened.size


def small_picture(content: bytes) -> bytes:
    """A kept photo as the small picture a page shows: JPEG, at most 320 pixels across."""
    with Image.open(io.BytesIO(content), formats=_FORMATS) as opened:
        small = opened.convert("RGB")
    small.thumbnail((SMALL_ACROSS, SMALL_ACROSS))
    file = io.BytesIO()
    small.save(file, "JPEG", quality=80)
    return file.getvalue()


def _too_many_pixels(name: str) -> ProblemsFound:
    return _refused(
        f"“{name}” has more than {MOST_PIXELS // MEGABYTE} million pixels; make it smaller and bring it in again"
    )


def _refused(sentence: str) -> ProblemsFound:
    return ProblemsFound(Problem(("photo",), sentence))


@transaction.atomic
def keep_photo(
    one: OnHand, content: bytes, name: str, *, read: Callable[[bytes, str], Picture] = written_anew
) -> Photo:
    """Keep a photo of something on hand; the same picture is kept once. ProblemsFound where it cannot be one, or there are many.

    `read` writes it anew, where that is done elsewhere.
    """
    if Photo.objects.filter(of=one).count() >= MOST_PHOTOS:
        raise _refused(f"{MOST_PHOTOS} photos are kept of one sample, the most; “{name}” was not added")
    picture = read(content, name)
    sha256 = hashlib.sha256(picture.content).hexdigest()
    new = {"name": name[:200], "content": picture.content, "width": picture.width, "height": picture.height}
    return Photo.objects.get_or_create(of=one, sha256=sha256, defaults=new)[0]


def photos_of(one: OnHand) -> list[Photo]:
    """The photos of something on hand, oldest first, without their content."""
    return list(Photo.objects.filter(of=one).defer("content"))


def photo(one: OnHand, key: int) -> Photo:
    """One photo of something on hand; Photo.DoesNotExist if there is none."""
    return Photo.objects.get(of=one, pk=key)
