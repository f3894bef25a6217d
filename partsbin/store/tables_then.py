"""Tables as steps of the migration made them: written once, and never edited when the models go on changing."""

from __future__ import annotations

from typing import Any

from sqlalchemy import (
    JSON,
    CheckConstraint,
    Column,
    DateTime,
    Float,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    text,
)

from partsbin.store.tables import append_only


def tables_of_3() -> MetaData:
    """The ledger as version 3 made it, and what it points at."""
    then = MetaData()
    Table("part", then, Column("id", Integer, primary_key=True))
    Table(
        "job",
        then,
        Column("id", Integer, primary_key=True),
        Column("reference", String, nullable=False),
        Column("what", String, nullable=False),
        Column("facts", JSON, nullable=False),
        Column("opened_at", DateTime, nullable=False),
        Column("closed_at", DateTime),
    )
    for_a_job = text("job_id IS NOT NULL")
    words = (
        "'shelved', 'bought', 'reserved', 'released', 'fitted', 'returned', 'scrapped', 'counted', 'moved', 'parted', "
        "'measured', 'marked'"
    )
    Table(
        "act",
        then,
        Column("id", Integer, primary_key=True),
        Column("word", String, nullable=False),
        Column("at", DateTime, nullable=False),
        Column("by", String, nullable=False),
        Column("why", String, nullable=False),
        Column("reverses_id", ForeignKey("act.id"), unique=True),
        CheckConstraint(f"word IN ({words}, 'undone')", name="act_word"),
    )
    Table(
        "movement",
        then,
        Column("id", Integer, primary_key=True),
        Column("act_id", ForeignKey("act.id"), nullable=False, index=True),
        Column("part_id", ForeignKey("part.id"), nullable=False, index=True),
        Column("job_id", ForeignKey("job.id")),
        Column("word", String, nullable=False),
        Column("quantity", Integer, nullable=False),
        Column("aside", Integer, nullable=False),
        Column("price", Integer),
        Column("changes", JSON),
        CheckConstraint(f"word IN ({words})", name="movement_word"),
        Index("movement_by_job", "job_id", sqlite_where=for_a_job, postgresql_where=for_a_job),
    )
    for name in ("act", "movement"):
        append_only(then.tables[name], name)
    return then


def tables_of_5() -> MetaData:
    """Devices and photographs as version 5 made them."""
    then = MetaData()
    Table("part", then, Column("id", Integer, primary_key=True))
    Table(
        "paired_device",
        then,
        Column("id", Integer, primary_key=True),
        Column("name", String, nullable=False),
        Column("token_hash", String, nullable=False, unique=True, index=True),
        Column("paired_at", DateTime(timezone=True), nullable=False),
        Column("seen_at", DateTime(timezone=True)),
        Column("forgotten_at", DateTime(timezone=True)),
    )
    Table(
        "photograph",
        then,
        Column("id", Integer, primary_key=True),
        Column("part_id", ForeignKey("part.id"), nullable=False, index=True),
        Column("at", DateTime(timezone=True), nullable=False),
        Column("by", String, nullable=False),
        Column("caption", String, nullable=False),
        Column("width", Integer, nullable=False),
        Column("height", Integer, nullable=False),
        Column("jpeg", LargeBinary, nullable=False),
        Column("small", LargeBinary, nullable=False),
        Column("taken_back_at", DateTime(timezone=True)),
        Column("taken_back_by", String, nullable=False),
        CheckConstraint("width > 0 AND height > 0", name="photograph_size"),
        CheckConstraint("length(jpeg) <= 4000000", name="photograph_bytes"),
    )
    return then


def _offers(then: MetaData, part: Column[int], *further: Column[Any]) -> None:
    """Offers, with the part that each is of and what a version further kept of them."""
    Table("part", then, Column("id", Integer, primary_key=True))
    Table("supplier", then, Column("id", Integer, primary_key=True))
    somewhere = text("here_id IS NOT NULL")
    Table(
        "offer",
        then,
        Column("id", Integer, primary_key=True),
        part,
        Column("supplier_id", ForeignKey("supplier.id"), nullable=False),
        Column("article", String, nullable=False),
        Column("breaks", String, nullable=False),
        Column("least", Integer, nullable=False),
        Column("pack", Integer, nullable=False),
        Column("minimum", Integer, nullable=False),
        Column("supply", Integer),
        Column("here_id", ForeignKey("part.id")),
        *further,
        CheckConstraint("pack > 0", name="offer_pack"),
        CheckConstraint("minimum > 0", name="offer_minimum"),
        CheckConstraint("supply >= 0", name="offer_supply"),
        Index("ix_offer_here_id", "here_id", sqlite_where=somewhere, postgresql_where=somewhere),
        sqlite_autoincrement=True,
    )


def tables_of_6() -> MetaData:
    """Offers as version 6 made them, and what they point at."""
    then = MetaData()
    _offers(then, Column("part_id", ForeignKey("part.id"), nullable=False, index=True))
    Table(
        "offered_kind",
        then,
        Column("part_id", ForeignKey("part.id"), primary_key=True, autoincrement=False),
        Column("key", String, nullable=False, unique=True, index=True),
    )
    return then


def tables_of_8() -> MetaData:
    """Offers as version 8 made them, and what they point at."""
    then = MetaData()
    Table(
        "price_list",
        then,
        Column("id", Integer, primary_key=True),
        Column("key", String, nullable=False, unique=True, index=True),
        Column("columns", String, nullable=False),
    )
    _offers(
        then,
        Column("part_id", ForeignKey("part.id"), index=True),
        Column("list_id", ForeignKey("price_list.id")),
        Column("said", String, nullable=False),
        Column("sieve", Integer, nullable=False),
        Column("low", Float, nullable=False),
        Column("high", Float, nullable=False),
        Column("most", Float, nullable=False),
        Column("together", Integer, nullable=False),
    )
    return then
