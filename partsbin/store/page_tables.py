"""The tables of the bench page: devices that were let in, and photographs of parts."""

from datetime import datetime
from typing import Any

from sqlalchemy import CheckConstraint, Column, LargeBinary
from sqlmodel import Field, SQLModel

LARGEST_PICTURE = 4_000_000
"""Bytes that one kept picture may have, at most [-]."""


class PairedDevice(SQLModel, table=True):
    """A telephone or tablet that was let in once. Of its token only the hash is kept; one that is forgotten stays as a line."""

    __tablename__ = "paired_device"

    id: int | None = Field(default=None, primary_key=True)
    name: str
    token_hash: str = Field(unique=True, index=True)
    paired_at: datetime
    seen_at: datetime | None = None
    forgotten_at: datetime | None = None


class Photograph(SQLModel, table=True):
    """A photograph of a part as the page wrote it anew: upright, bounded, without what the camera wrote beside it.

    `small` is the same for lists. One that was a mistake is taken back and stays; nothing is deleted.
    """

    __table_args__: Any = (
        CheckConstraint("width > 0 AND height > 0", name="photograph_size"),
        CheckConstraint(f"length(jpeg) <= {LARGEST_PICTURE}", name="photograph_bytes"),
        {"info": {"at_once": 20}},  # rows this large are carried a few together
    )

    id: int | None = Field(default=None, primary_key=True)
    part_id: int = Field(foreign_key="part.id", index=True)
    at: datetime
    by: str = ""
    caption: str = ""
    width: int
    height: int
    jpeg: bytes = Field(sa_column=Column(LargeBinary, nullable=False))
    small: bytes = Field(sa_column=Column(LargeBinary, nullable=False))
    taken_back_at: datetime | None = None
    taken_back_by: str = ""
