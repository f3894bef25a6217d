"""Photographs written anew: upright, bounded in size, nothing kept of what the camera wrote beside the picture.

Whatever comes in is decoded and drawn onto an empty picture, which is then written as JPEG. So neither place nor owner of the camera
nor anything hidden in the file gets into the catalogue. Colours are taken as they are, profiles of wide screens are not kept.
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from io import BytesIO
from threading import Lock
from typing import TYPE_CHECKING

from partsbin.errors import UsageError
from partsbin.store.page_tables import LARGEST_PICTURE

if TYPE_CHECKING:
    from PIL import Image

FORMATS = ("JPEG", "PNG", "WEBP")
"""What is read."""

EDGE, SMALL_EDGE = 1600, 320
"""Longest edge of the picture, and of the one in lists [px]."""

MOST_PIXELS = 60_000_000
"""What a picture may have before it is made smaller: more than telephones take, less than fills the memory [-]."""

QUALITIES = (85, 70, 50)
"""Of JPEG, the first that is small enough."""

AS_JPEG = "set the camera to JPEG, or send the photograph as one"

_HEIC = ("heic", "heix", "heim", "heis", "hevc", "hevx", "mif1", "msf1")
"""Brands of files of ISO base media that hold stills of a telephone."""

_FOREIGN = (
    (b"GIF8", "a GIF"),
    (b"II*\x00", "a TIFF or raw photograph"),
    (b"MM\x00*", "a TIFF or raw photograph"),
    (b"BM", "a BMP"),
    (b"%PDF", "a PDF"),
)
"""First bytes of files that people take for photographs."""

_ONE_AT_A_TIME = Lock()
"""A picture takes some hundred megabytes while it is read: never two at once."""


@dataclass(frozen=True)
class Picture:
    """A photograph as it is kept: JPEG, the same for lists, width and height [px]."""

    jpeg: bytes
    small: bytes
    width: int
    height: int


def redrawn(data: bytes) -> Picture:
    """Return a photograph written anew.

    Raises
    ------
    UsageError
        If it is none that is read, damaged, or too large.
    """
    from PIL import Image

    if not data:
        raise UsageError("no photograph was sent", hint="choose or take one first")
    with _ONE_AT_A_TIME:
        try:
            with Image.open(BytesIO(data), formats=FORMATS) as opened:
                width, height = opened.size
                if width * height > MOST_PIXELS:
                    raise UsageError(
                        f"a photograph of {width} × {height} pixels: expected at most {MOST_PIXELS:,} in all"
                    )
                opened.draft("RGB", (EDGE, EDGE))  # a JPEG is decoded no larger than it is wanted
                picture = _bounded(_on_white(_upright(opened)), EDGE)
        except UsageError:
            raise
        except (Image.DecompressionBombError, Image.DecompressionBombWarning):
            raise UsageError("a photograph of too many pixels", hint=f"expected at most {MOST_PIXELS:,}") from None
        except Exception:  # foreign bytes: a decoder may stumble over them in any way
            raise UsageError(
                f"{_called(data)} cannot be read as a photograph here: expected JPEG, PNG or WebP", hint=AS_JPEG
            ) from None
        return Picture(_written(picture), _written(_bounded(picture, SMALL_EDGE)), *picture.size)


def _called(data: bytes) -> str:
    """What a file is called that no decoder here reads: by its first bytes where they say it, else by its size."""
    brand = data[8:12].decode("ascii", "replace") if data[4:8] == b"ftyp" else ""
    if brand:
        return "an AVIF picture" if brand in ("avif", "avis") else "a HEIC photograph" if brand in _HEIC else "a video"
    return next((kind for begin, kind in _FOREIGN if data.startswith(begin)), f"this file of {len(data)} bytes")


def _upright(image: Image.Image) -> Image.Image:
    """The picture as the camera was held; where that is written down wrongly, as it is."""
    from PIL import ImageOps

    image.load()
    warnings.filterwarnings("ignore", module=r"PIL\.TiffImagePlugin")  # what it thinks of that goes to no terminal
    try:
        return ImageOps.exif_transpose(image)
    except Exception:  # what is written beside a picture may be anything
        return image


def _on_white(image: Image.Image) -> Image.Image:
    """The picture alone, drawn onto an empty one: what came with it stays behind."""
    from PIL import Image

    empty = Image.new("RGB", image.size, "white")
    if image.mode in ("RGBA", "LA", "PA") or "transparency" in image.info:
        shown = image.convert("RGBA")
        empty.paste(shown, mask=shown.getchannel("A"))
    else:
        empty.paste(image.convert("RGB"))
    return empty


def _bounded(image: Image.Image, edge: int) -> Image.Image:
    smaller = image.copy()
    smaller.thumbnail((edge, edge))
    return smaller


def _written(image: Image.Image) -> bytes:
    for quality in QUALITIES:
        file = BytesIO()
        image.save(file, "JPEG", quality=quality)
        if file.tell() <= LARGEST_PICTURE:
            break
    return file.getvalue()
