"""Pages as a printer and a camera see them: rendered, tilted, blurred; the codes in them are read by a general decoder."""

from __future__ import annotations

import ctypes
import math
from collections.abc import Iterator
from contextlib import closing, contextmanager
from typing import NamedTuple

import numpy as np
import pypdfium2.raw as raw
import zxingcpp
from numpy.typing import NDArray
from PIL import Image, ImageFilter
from pypdfium2 import PdfDocument, PdfObject, PdfPage

DPI = 203
"""Of a cheap printer of labels [1/in]."""

MM = 25.4 / 72
"""A unit of PDF, the point [mm]."""

Point = tuple[float, float]


@contextmanager
def opened(data: bytes) -> Iterator[list[PdfPage]]:
    """Give the pages of a document."""
    with closing(PdfDocument(data)) as document:
        yield [document[at] for at in range(len(document))]


def rendered(data: bytes, dpi: float = DPI) -> list[Image.Image]:
    """Return the pages as grey pictures."""
    with opened(data) as pages:
        return [page.render(scale=dpi / 72).to_pil().convert("L") for page in pages]


class Box(NamedTuple):
    """Edges from the page's upper left corner [mm]."""

    left: float
    top: float
    right: float
    bottom: float


def size(page: PdfPage) -> tuple[float, float]:
    """Return a page's width and height [mm]."""
    wide, high = page.get_size()
    return wide * MM, high * MM


def drawn(page: PdfPage) -> list[Box]:
    """Return what is drawn on a page and is no type, by the corners that the document itself gives, lines without their width."""
    found = []
    for shape in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        matrix = shape.get_matrix()
        corners = [matrix.on_point(*_corner(shape, at)) for at in range(raw.FPDFPath_CountSegments(shape))]
        left, right = min(x for x, _ in corners), max(x for x, _ in corners)
        top, bottom = max(y for _, y in corners), min(y for _, y in corners)
        high = page.get_height()
        found.append(Box(left * MM, (high - top) * MM, right * MM, (high - bottom) * MM))
    return found


def _corner(shape: PdfObject, at: int) -> Point:
    x, y = ctypes.c_float(), ctypes.c_float()
    assert raw.FPDFPathSegment_GetPoint(raw.FPDFPath_GetPathSegment(shape, at), x, y)
    return x.value, y.value


def ink(picture: Image.Image) -> NDArray[np.bool_]:
    """Return which dots are darker than half grey."""
    return np.asarray(picture) < 128


def decoded(picture: Image.Image) -> list[str]:
    """Return the texts of all codes in a picture, sorted."""
    return sorted(
        code.bytes.decode() for code in zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
    )


def photographed(picture: Image.Image, *, turn: float = 15.0, far: float = 0.85, blur: float = 1.0) -> Image.Image:
    """Return a picture taken with an unsteady hand and not from straight above.

    Parameters
    ----------
    picture : Image
        As it lies on the bench.
    turn : float
        How far it is turned in its plane [°].
    far : float
        How long its far side is seen, as a fraction of the near one [-].
    blur : float
        Radius of the blur [dots].
    """
    wide, high = picture.size
    centre = (wide / 2, high / 2)
    shrink = (1 - far) / 2
    seen = [(shrink * wide, 0.05 * high), ((1 - shrink) * wide, 0.05 * high), (wide, high), (0, high)]
    corners = [_turned(point, centre, math.radians(turn)) for point in seen]
    left, top = (min(point[axis] for point in corners) - 10 for axis in (0, 1))
    right, bottom = (max(point[axis] for point in corners) + 10 for axis in (0, 1))
    moved = [(x - left, y - top) for x, y in corners]
    whole = [(0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)]
    tilted = picture.transform(
        (math.ceil(right - left), math.ceil(bottom - top)),
        Image.Transform.PERSPECTIVE,
        _perspective(moved, whole),
        Image.Resampling.BICUBIC,
        fillcolor=160,
    )
    return tilted.filter(ImageFilter.GaussianBlur(blur))


def _turned(point: Point, centre: Point, angle: float) -> Point:
    x, y = point[0] - centre[0], point[1] - centre[1]
    return (
        centre[0] + x * math.cos(angle) - y * math.sin(angle),
        centre[1] + x * math.sin(angle) + y * math.cos(angle),
    )


def _perspective(seen: list[Point], whole: list[Point]) -> list[float]:
    """Return the eight figures by which a dot of the new picture is looked up in the old one."""
    rows, sought = [], []
    for (x, y), (u, v) in zip(seen, whole, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        sought += [u, v]
    return list(np.linalg.solve(np.array(rows), np.array(sought)))
