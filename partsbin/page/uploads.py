"""A form with a file in it, read strictly: few fields, one file, nothing of the file's name or kind is believed."""

from __future__ import annotations

import re

from partsbin.errors import UsageError
from partsbin.page.desk import LONGEST, Form

MOST_PIECES = 10
"""Fields of such a form, at most [-]."""

LONGEST_HEAD = 2000
"""Bytes that stand before a field, at most [-]."""

_KIND = re.compile(
    r"multipart/form-data\s*;.*?\bboundary=\"?([0-9A-Za-z'()+_,./:=?-]{1,70})\"?\s*(?:;.*)?", re.I | re.S
)
_NAME = re.compile(rb"[;\s]name=\"([A-Za-z_.]{1,40})\"", re.I)
_FILE = re.compile(rb"[;\s]filename\*?=", re.I)


def read_upload(kind: str, body: bytes) -> tuple[Form, bytes]:
    """Return the fields of a form and the bytes of its file.

    Parameters
    ----------
    kind : str
        The request's Content-Type.
    body : bytes
        What came.

    Raises
    ------
    UsageError
        If it is no such form, or not whole.
    """
    match = _KIND.fullmatch(kind.strip())
    if match is None:
        raise UsageError("a form with a file was expected: multipart/form-data")
    mark = b"\r\n--" + match[1].encode()
    first, *pieces = (b"\r\n" + body).split(mark, MOST_PIECES + 1)
    if first.strip() or not pieces or not pieces[-1].startswith(b"--"):
        raise UsageError("the form did not arrive whole", hint="send it again")
    form: Form = {}
    file = b""
    for piece in pieces[:-1]:
        name, is_file, value = _piece(piece)
        if is_file:
            file = file or value
        else:
            form[name] = _text(value)
    return form, file


def _piece(piece: bytes) -> tuple[str, bool, bytes]:
    """Name of a field, whether it is the file, what it holds."""
    head, gap, value = piece.partition(b"\r\n\r\n")
    name = _NAME.search(head)
    if not gap or name is None or len(head) > LONGEST_HEAD:
        raise UsageError("a field of the form has no name that is understood")
    return name[1].decode(), _FILE.search(head) is not None, value


def _text(value: bytes) -> str:
    if len(value) > 4 * LONGEST or b"\x00" in value:
        raise UsageError(f"a field of {len(value)} bytes: expected text of at most {LONGEST} letters")
    text = value.decode("utf-8", "replace")
    if len(text) > LONGEST:
        raise UsageError(f"a field of {len(text)} letters: expected at most {LONGEST}")
    return text
