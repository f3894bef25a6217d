"""Making the tables: the shared ones and those of every family; bringing an older catalogue up to date."""

from __future__ import annotations

from sqlalchemy import Engine, insert, inspect, update
from sqlmodel import SQLModel, col

import partsbin.store.job_tables  # its tables belong to every catalogue, those of the next as well
import partsbin.store.offer_tables
import partsbin.store.page_tables  # noqa: F401 so do these
from partsbin import families
from partsbin.errors import StoreError
from partsbin.store.engine import SCHEMA_VERSION, schema_version, writing
from partsbin.store.family_tables import tables
from partsbin.store.migrations import add_columns, keep_copy, migrate
from partsbin.store.tables import Meta


def complete(engine: Engine) -> None:
    """Create what is missing: everything in a new database, what came later in an old one, of which a copy is kept."""
    with engine.connect() as connection:
        have = set(inspect(connection).get_table_names())
        version = schema_version(connection)
    wanted = {*SQLModel.metadata.tables, *(f"family_{name}" for name in families.names())}
    if version == SCHEMA_VERSION and wanted <= have:
        return
    if have and "meta" not in have and engine.dialect.name == "sqlite":
        raise StoreError(
            f"this file holds other tables ({', '.join(sorted(have)[:3])}) and no catalogue",
            hint="name a file of its own with --db",
        )
    for name in families.names():
        tables(name)
    with writing(engine) as connection:
        version = schema_version(connection)  # another process may have been quicker
        if version is not None and version < SCHEMA_VERSION:
            keep_copy(engine, version)
            migrate(connection, version, SCHEMA_VERSION)
        SQLModel.metadata.create_all(connection)
        if version is not None:
            add_columns(connection, [table for name in families.names() for table in tables(name).all])
        if version is None:
            connection.execute(insert(Meta), [{"name": "schema_version", "value": str(SCHEMA_VERSION)}])
        elif version < SCHEMA_VERSION:
            connection.execute(update(Meta).where(col(Meta.name) == "schema_version").values(value=str(SCHEMA_VERSION)))
