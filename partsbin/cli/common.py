"""What the commands share: the catalogue's option, printing, the clock and the user."""

from __future__ import annotations

import getpass
import json
import shutil
import sys
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from sqlalchemy import Engine

Db = Annotated[str | None, typer.Option("--db", metavar="FILE", help="The catalogue: a file or a database URL.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON document.")]


def engine(context: typer.Context, db: str | None, *, create: bool = False) -> Engine:
    """Open the catalogue named here, before the command, or by PARTSBIN_DB."""
    from partsbin.store.engine import open_store

    return open_store(db or context.obj, create=create)


def print_json(document: Any) -> None:
    """Print one JSON document on stdout, with escapes where the terminal's encoding lacks signs such as Ω."""
    ascii_only = (sys.stdout.encoding or "").lower().replace("-", "") != "utf8"
    print(json.dumps(document, ensure_ascii=ascii_only, indent=2, allow_nan=False))


_CONTROL = dict.fromkeys((*range(10), *range(11, 32), *range(127, 160)), " ")


def tell(text: str) -> None:
    """Print text on stdout; control characters that came in with somebody's words do not reach the terminal."""
    print(text.translate(_CONTROL))


def say(text: str) -> None:
    """Print a message for the person at the terminal, on stderr."""
    sys.stderr.write(f"{text.translate(_CONTROL)}\n")


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
