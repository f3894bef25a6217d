"""Photographs written anew: nothing but the picture gets through, upright and bounded; what is none is refused."""

from __future__ import annotations

import struct
import zlib
from io import BytesIO
from typing import Any

import pytest
from PIL import Image
from PIL.ExifTags import GPS, IFD, Base

from partsbin.errors import UsageError
from partsbin.stock.pictures import EDGE, MOST_PIXELS, SMALL_EDGE, redrawn
from partsbin.store.page_tables import LARGEST_PICTURE

SCRIPT = "<script>alert(1)</script>"


def picture(size: tuple[int, int] = (40, 20), kind: str = "JPEG", mode: str = "RGB", **said: Any) -> bytes:
    """Return a picture: red at the left, blue at the right."""
    drawn = Image.new("RGB", size, "red")
    drawn.paste("blue", (size[0] // 2, 0, size[0], size[1]))
    file = BytesIO()
    drawn.convert(mode).save(file, kind, **said)
    return file.getvalue()


def with_everything() -> bytes:
    """Return a picture with its place, its owner, script and a comment beside it, held sideways."""
    exif = Image.Exif()
    exif[Base.Orientation] = 6
    exif[Base.Artist] = "somebody"
    exif[Base.ImageDescription] = SCRIPT
    exif.get_ifd(IFD.GPSInfo)[GPS.GPSLatitude] = (52.0, 31.0, 12.0)
    exif.get_ifd(IFD.GPSInfo)[GPS.GPSLatitudeRef] = "N"
    return picture(exif=exif, comment=b"bench at home", icc_profile=b"profile of a screen", xmp=b"<x>GPSLatitude</x>")


def opened(jpeg: bytes) -> Image.Image:
    """Return a picture read again."""
    image = Image.open(BytesIO(jpeg))
    image.load()
    return image


def png_of(width: int, height: int) -> bytes:
    """Return a PNG that claims a size and holds next to nothing."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(bytes(1000))) + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize("word", [b"somebody", b"script", b"bench at home", b"profile", b"GPS", b"Exif", b"http"])
def test_nothing_comes_along_with_the_picture(word: bytes) -> None:
    """Neither where it was taken, nor by whom, nor what somebody hid in it."""
    given, kept = with_everything(), redrawn(with_everything())
    assert (word in kept.jpeg, word in kept.small) == (False, False)
    assert word in given or word in (b"GPS", b"http")


def test_the_place_is_gone_while_it_was_there_before() -> None:
    """Read by the same reader, before and after."""
    before, after = (
        opened(data).getexif().get_ifd(IFD.GPSInfo) for data in (with_everything(), redrawn(with_everything()).jpeg)
    )
    assert (bool(before), dict(after)) == (True, {})


def test_a_picture_held_sideways_stands_upright() -> None:
    """Red was at the left: turned by a quarter it is at the top."""
    kept = redrawn(with_everything())
    red, _, blue = opened(kept.jpeg).getpixel((10, 2))  # type: ignore[misc]
    assert (kept.width, kept.height, red > 200 > blue) == (20, 40, True)


def test_large_pictures_are_bounded() -> None:
    """By their longest edge; the one for lists further."""
    kept = redrawn(picture((4000, 3000)))
    assert (kept.width, kept.height, max(opened(kept.small).size)) == (EDGE, 1200, SMALL_EDGE)


def test_small_pictures_stay_as_they_are() -> None:
    """Nothing is blown up."""
    assert (redrawn(picture()).width, redrawn(picture()).height) == (40, 20)


@pytest.mark.parametrize(
    ("kind", "mode"), [("PNG", "RGBA"), ("PNG", "P"), ("PNG", "L"), ("PNG", "1"), ("JPEG", "CMYK"), ("WEBP", "RGBA")]
)
def test_other_kinds_become_jpeg(kind: str, mode: str) -> None:
    """Whatever the camera writes."""
    assert opened(redrawn(picture(kind=kind, mode=mode)).jpeg).format == "JPEG"


def test_what_shows_through_is_white() -> None:
    """Not black."""
    file = BytesIO()
    Image.new("RGBA", (4, 4), (0, 0, 0, 0)).save(file, "PNG")
    assert min(opened(redrawn(file.getvalue()).jpeg).getpixel((1, 1))) > 250  # type: ignore[type-var]


def test_noise_is_kept_within_what_the_catalogue_takes() -> None:
    """The largest that a picture of this size can become."""
    file = BytesIO()
    Image.effect_noise((1600, 1600), 200).convert("RGB").save(file, "JPEG", quality=95)
    assert len(redrawn(file.getvalue()).jpeg) <= LARGEST_PICTURE


@pytest.mark.parametrize("size", [(60_000, 60_000), (MOST_PIXELS, 2), (9_000, 9_000)])
def test_a_picture_of_too_many_pixels_is_refused_before_it_is_unpacked(size: tuple[int, int]) -> None:
    """A few hundred bytes that would fill the memory."""
    with pytest.raises(UsageError, match="pixels"):
        redrawn(png_of(*size))


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"no picture",
        b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
        b"GIF89a" + bytes(100),
        b"\xff\xd8\xff\xe0" + bytes(1000),
        png_of(400, 400),
        picture()[:300],
        b"%PDF-1.7",
        b"BM" + bytes(60),
        bytes(5000),
    ],
)
def test_what_is_no_picture_is_refused_in_words(data: bytes) -> None:
    """Damaged, of a kind that is not read, or something else altogether."""
    with pytest.raises(UsageError, match="photograph"):
        redrawn(data)


def test_words_behind_a_picture_do_not_come_along() -> None:
    """A file that is two things at once comes out as one."""
    assert b"<script>" not in redrawn(picture() + SCRIPT.encode()).jpeg
