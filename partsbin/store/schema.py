"""Making the tables: the shared ones and those of every family."""

from __future__ import annotations

from sqlalchemy import Engine, insert, inspect, update
from sqlmodel import SQLModel, col

from partsbin import families
from partsbin.errors import StoreError
from partsbin.store.engine import SCHEMA_VERSION, schema_version, writing
from partsbin.store.family_tables import tables
from partsbin.store.tables import Meta


def complete(engine: Engine) -> None:
    """Create what is missing: everything in a new database, the tables that came later in an old one."""
    with engine.connect() as connection:
        have = set(inspect(connection).get_table_names())
    if {*SQLModel.metadata.tables, *(f"family_{name}" for name in families.names())} <= have:
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
        version = schema_version(connection)
        if version is None:
            connection.execute(insert(Meta), [{"name": "schema_version", "value": str(SCHEMA_VERSION)}])
        elif version < SCHEMA_VERSION:
            connection.execute(update(Meta).where(col(Meta.name) == "schema_version").values(value=str(SCHEMA_VERSION)))
