"""A small shelf for the tests of the pages."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import Engine

from partsbin.stock.catalogue import shelve as put
from partsbin.stock.draft import draft_from_text
from partsbin.store.engine import writing


def shelve(engine: Engine, text: str, at: datetime, *, place: str = "drawer E1") -> None:
    """Shelve three new pieces."""
    draft, _ = draft_from_text(text, family="capacitor", count=3, place=place, condition="new")
    with writing(engine) as connection:
        put(connection, [draft], at=at, by="test")
