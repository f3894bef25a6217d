"""What a fault of the database means at the bench: the same words on the terminal and in the page."""

from __future__ import annotations

import json
import traceback

from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from partsbin.errors import StoreError
from partsbin.store.engine import advice


def store_fault(fault: Exception) -> StoreError | None:
    """Return a fault of the database in words, None for one that is our own.

    Parameters
    ----------
    fault : Exception
        As it came out of a command or a page.

    Returns
    -------
    StoreError or None
        What happened, and what to look at.
    """
    if isinstance(fault, ValueError) and _met_in_the_store(fault):
        return StoreError(
            f"the catalogue is damaged: {fault}",
            hint="partsbin verify looks it over; partsbin restore FILE puts a copy in its place",
        )
    if not isinstance(fault, SQLAlchemyError):
        return None
    said = str(fault.orig if isinstance(fault, DBAPIError) else fault).partition("\n")[0]
    if "locked" in said or "busy" in said or "lock timeout" in said:
        return StoreError(f"the catalogue is in use by another program: {said}", hint="try again when it is done")
    return StoreError(
        f"the catalogue cannot be worked with: {said}",
        hint=advice(said)
        or "made or changed by another program, or another version? name another with --db, or restore a backup",
    )


def _met_in_the_store(fault: ValueError) -> bool:
    """Whether it is about bytes that are no text, or a text that is no JSON, read from a database."""
    if not isinstance(fault, (UnicodeDecodeError, json.JSONDecodeError)):
        return False
    frames = traceback.walk_tb(fault.__traceback__)
    return any(
        str(frame.f_globals.get("__name__")).startswith(("sqlalchemy.", "partsbin.store.")) for frame, _ in frames
    )
