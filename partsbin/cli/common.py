"""What the commands share: the catalogue's option, printing, the clock and the user."""

from __future__ import annotations

import getpass
import json
import re
import shutil
import sys
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from sqlalchemy import Engine

MOST = 1_000_000
"""Pieces that a command speaks of, at most [-]."""

Db = Annotated[str | None, typer.Option("--db", metavar="FILE", help="The catalogue: a file or a database URL.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON document.")]


def engine(context: typer.Context, db: str | None, *, create: bool = False) -> Engine:
    """Open the catalogue named here, before the command, or by PARTSBIN_DB; it is closed when the command ends."""
    from partsbin.store.engine import open_store

    opened = open_store(db or context.obj, create=create)
    context.call_on_close(opened.dispose)  # else its files stay open as long as the process lives
    return opened


def print_json(document: Any) -> None:
    """Print one JSON document on stdout, with escapes where the terminal's encoding lacks signs such as Ω."""
    ascii_only = (sys.stdout.encoding or "").lower().replace("-", "") != "utf8"
    print(json.dumps(document, ensure_ascii=ascii_only, indent=2, allow_nan=False))


_HIDDEN = "\x00-\x1f\x7f-\x9f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb"
"""Signs that are not seen and may move, hide or forge what is: controls, line ends, marks that turn the direction of writing."""

_FOLDED = re.compile(f" ?[{_HIDDEN}]+ ?")
_STRAY = re.compile(f"(?!\n)[{_HIDDEN}]")


def plain(document: Any) -> Any:
    """Return a document whose texts each keep to one line: what came in with somebody's words forges no line of ours."""
    if isinstance(document, str):
        return _FOLDED.sub(" ", document).strip() if _FOLDED.search(document) else document
    if isinstance(document, Mapping):
        return {plain(key): plain(value) for key, value in document.items()}
    if isinstance(document, (list, tuple)):
        return [plain(entry) for entry in document]
    return document


def visible(text: str) -> str:
    """Return lines without the other control characters."""
    return _STRAY.sub(" ", text)


def tell(text: str) -> None:
    """Print lines on stdout; other control characters do not reach the terminal."""
    print(visible(text))


def say(text: str) -> None:
    """Print one line for the person at the terminal, on stderr."""
    sys.stderr.write(f"{_FOLDED.sub(' ', text)}\n")


def width() -> int:
    """Return the width to wrap at: the terminal's, between 60 and 120."""
    return min(120, max(60, shutil.get_terminal_size((110, 24)).columns))


def now() -> datetime:
    """Return the time, with its zone."""
    return datetime.now(UTC)


def user() -> str:
    """Return who is at the bench, "" where the system does not know."""
    try:
        return getpass.getuser()
    except (KeyError, OSError):
        return ""


def write_new(name: str, content: bytes) -> None:
    """Write a file that is not there yet, and say so.

    Raises
    ------
    UsageError
        If it is there already or cannot be written.
    """
    from partsbin.errors import UsageError
    from partsbin.files import new_file

    try:
        with new_file(Path(name)) as half:
            half.write_bytes(content)
    except FileExistsError:
        raise UsageError(f"{name!r} is there already", hint="name a file that is not") from None
    except OSError as fault:
        raise UsageError(f"cannot write {name!r}: {fault.strerror}") from None
    say(f"    {name}")
