"""Making the tables: the shared ones and those of every family."""

from __future__ import annotations

from sqlalchemy import Engine, insert, inspect
from sqlmodel import SQLModel

from partsbin import families
from partsbin.errors import StoreError
from partsbin.store.engine import SCHEMA_VERSION, schema_version, writing
from partsbin.store.family_tables import tables
from partsbin.store.tables import Meta


def complete(engine: Engine) -> None:
    """Create what is missing: everything in a new database, the tables of families that came later in an old one."""
    with engine.connect() as connection:
        have = set(inspect(connection).get_table_names())
    if {"meta", *(f"family_{name}" for name in families.names())} <= have:
        return
    if have and "meta" not in have and engine.dialect.name == "sqlite":
        raise StoreError(
            f"this file holds other tables ({', '.join(sorted(have)[:3])}) and no catalogue",
            hint="name a file of its own with --db",
        )
    for name in families.names():
        tables(name)
    with writing(engine) as connection:
        SQLModel.metadata.create_all(connection)
        if schema_version(connection) is None:
            connection.execute(insert(Meta), [{"name": "schema_version", "value": str(SCHEMA_VERSION)}])
