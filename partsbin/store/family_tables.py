"""Typed tables that follow from a family's fields: real columns, CHECK constraints, child tables for lists.

The owner of a catalogue can open the file with any SQL tool and read what is marked on a part.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from operator import ge, gt, le
from typing import Any

from annotated_types import Ge, Gt, Le
from pydantic.fields import FieldInfo
from sqlalchemy import (
    Boolean,
    CheckConstraint,
    Column,
    ColumnElement,
    Connection,
    Float,
    ForeignKey,
    Integer,
    Table,
    Text,
)
from sqlmodel import SQLModel

from partsbin.families import load
from partsbin.families._declare import Facts, child_type, plain_type
from partsbin.store.bulk import insert_rows
from partsbin.store.statements import Change


@dataclass(frozen=True)
class FamilyTables:
    """The family's own table, and a child table for each field that holds a list."""

    main: Table
    children: Mapping[str, Table]

    @property
    def all(self) -> tuple[Table, ...]:
        """The family's own table and those below it."""
        return (self.main, *self.children.values())


_COLUMN = {float: Float, int: Integer, bool: Boolean, str: Text}


_SIGNS: tuple[tuple[type, str, Callable[[Any, Any], Any]], ...] = ((Gt, "gt", gt), (Ge, "ge", ge), (Le, "le", le))


def _column(name: str, info: FieldInfo) -> tuple[Column[Any], list[ColumnElement[bool]]]:
    """Return the column and its bounds: as expressions, so that a name such as ``drop`` is quoted where it must be."""
    kind, words = plain_type(info.annotation)
    column: Column[Any] = Column(name, _COLUMN[kind](), nullable=True, comment=info.description)
    bounds = [
        compare(column, getattr(mark, bound))
        for mark in info.metadata
        for cls, bound, compare in _SIGNS
        if isinstance(mark, cls)
    ]
    return column, [*bounds, column.in_(words)] if words else bounds


def _table(name: str, model: type[Facts], keys: Sequence[Column[Any]]) -> Table:
    columns: list[Column[Any]] = []
    checks: list[CheckConstraint] = []
    for field, info in model.model_fields.items():
        if child_type(info.annotation) is None:
            column, bounds = _column(field, info)
            columns.append(column)
            checks.extend(CheckConstraint(bound, name=f"{name}_{field}_{index}") for index, bound in enumerate(bounds))
    return Table(name, SQLModel.metadata, *keys, *columns, *checks, extend_existing=False)


@cache
def tables(name: str) -> FamilyTables:
    """Return the tables of a family, declared once in the shared metadata."""
    import partsbin.store.tables  # noqa: F401 the foreign key to part needs the shared tables registered first

    family = load(name)
    main = _table(
        f"family_{name}",
        family.facts,
        [Column("part_id", ForeignKey("part.id", ondelete="CASCADE"), primary_key=True, autoincrement=False)],
    )
    children = {}
    for field, info in family.facts.model_fields.items():
        inner = child_type(info.annotation)
        if inner is not None:
            children[field] = _table(
                f"family_{name}_{field}",
                inner,
                [
                    Column("part_id", ForeignKey("part.id", ondelete="CASCADE"), primary_key=True, autoincrement=False),
                    Column("position", Integer, primary_key=True, autoincrement=False),
                ],
            )
    return FamilyTables(main, children)


def save(connection: Connection, family: str, rows: Iterable[tuple[int, Facts]]) -> None:
    """Write the marked facts of parts."""
    own = tables(family)
    main: list[dict[str, Any]] = []
    below: dict[str, list[dict[str, Any]]] = {field: [] for field in own.children}
    lists = list(own.children)
    for part_id, facts in rows:
        values = dict(vars(facts))
        for field in lists:
            for position, child in enumerate(values.pop(field)):
                below[field].append({"part_id": part_id, "position": position, **vars(child)})
        main.append({"part_id": part_id, **values})
    insert_rows(connection, own.main, main)
    for field, entries in below.items():
        insert_rows(connection, own.children[field], entries)


def drop(connection: Connection, family: str, part_id: int) -> None:
    """Remove the marked facts of a part, to write them anew."""
    for change in _drops(family):
        change.run(connection, {"part": part_id})


@cache
def _drops(family: str) -> tuple[Change, ...]:
    return tuple(Change(f"DELETE FROM {table.name} WHERE part_id = :part") for table in reversed(tables(family).all))
