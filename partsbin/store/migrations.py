"""From an older catalogue to this program's: one step a version, each in one transaction, a copy of the file kept before.

A step is written in the SQL of its day and never edited afterwards: it must not follow the models as they go on changing.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

from sqlalchemy import (
    Connection,
    Engine,
    Table,
    inspect,
    text,
)

from partsbin.store.tables_then import tables_of_3, tables_of_5, tables_of_6, tables_of_8


def _to_3(connection: Connection) -> None:
    """The ledger's lines are gathered into acts; jobs, what was fitted, hours of stripping, prices come in."""
    if connection.dialect.name == "sqlite":
        _each(connection, "DROP TRIGGER IF EXISTS movement_no_update", "DROP TRIGGER IF EXISTS movement_no_delete")
    else:  # names of keys and sequences stay with the old table, which is about to go
        _each(
            connection,
            "DROP FUNCTION IF EXISTS movement_append_only() CASCADE",
            "ALTER TABLE movement RENAME CONSTRAINT movement_pkey TO movement_of_2_pkey",
            "ALTER SEQUENCE IF EXISTS movement_id_seq RENAME TO movement_of_2_id_seq",
        )
    _each(
        connection,
        "DROP INDEX IF EXISTS ix_movement_part_id",
        "ALTER TABLE movement RENAME TO movement_of_2",
    )
    tables_of_3().create_all(connection)
    _each(
        connection,
        "ALTER TABLE donor ADD COLUMN note VARCHAR NOT NULL DEFAULT ''",
        "ALTER TABLE donor ADD COLUMN cost INTEGER",
        "ALTER TABLE donor ADD COLUMN came VARCHAR NOT NULL DEFAULT ''",
        "ALTER TABLE part ADD COLUMN price INTEGER",
        "ALTER TABLE part ADD COLUMN parted_from_id INTEGER REFERENCES part (id)",
        "CREATE INDEX ix_part_parted_from_id ON part (parted_from_id)",
        "ALTER TABLE reading ADD COLUMN act_id INTEGER REFERENCES act (id)",
        "CREATE INDEX ix_reading_act_id ON reading (act_id)",
        """INSERT INTO act (word, at, by, why)
           SELECT act, at, by, why FROM movement_of_2 GROUP BY act, at, by, why ORDER BY min(id)""",
        """INSERT INTO movement (id, act_id, part_id, word, quantity, aside)
           SELECT line.id, act.id, line.part_id, line.act, line.quantity, line.aside
           FROM movement_of_2 AS line
           JOIN act ON act.word = line.act AND act.at = line.at AND act.by = line.by AND act.why = line.why
           ORDER BY line.id""",
        "DROP TABLE movement_of_2",
    )
    if connection.dialect.name != "sqlite":
        _each(connection, "SELECT setval(pg_get_serial_sequence('movement', 'id'), (SELECT max(id) FROM movement))")


def _to_4(connection: Connection) -> None:
    """Classes of rating become two per cent wide; a need says why it has its position; new tables are made with the others."""
    if inspect(connection).has_table("job_need"):  # one of version 2 gets it with the new tables
        _each(connection, "ALTER TABLE job_need ADD COLUMN why VARCHAR NOT NULL DEFAULT ''")
    limits = connection.execute(
        text("SELECT DISTINCT limit_high FROM option_keys WHERE limit_high IS NOT NULL")
    ).scalars()
    new = [
        {"name": math.floor(math.log(max(limit, 1e-300)) / math.log(1.02) + 1e-9), "limit": limit} for limit in limits
    ]
    _each(
        connection,
        "CREATE TEMPORARY TABLE class_of_4 (limit_high DOUBLE PRECISION PRIMARY KEY, name INTEGER NOT NULL)",
        "CREATE TEMPORARY TABLE ratio_of_4 (family VARCHAR, spread INTEGER, ratio DOUBLE PRECISION)",
        "INSERT INTO ratio_of_4 SELECT DISTINCT family, spread, ratio FROM rung",
    )
    if new:
        connection.execute(text("INSERT INTO class_of_4 (limit_high, name) VALUES (:limit, :name)"), new)
    _each(
        connection,
        """UPDATE option_keys SET limit_class = (SELECT name FROM class_of_4 WHERE class_of_4.limit_high = option_keys.limit_high)
           WHERE limit_high IS NOT NULL""",
        "DELETE FROM rung",
        """INSERT INTO rung (family, missing, limit_class, spread, ratio)
           SELECT DISTINCT o.family, o.missing, o.limit_class, o.spread, r.ratio FROM option_keys AS o
           JOIN ratio_of_4 AS r ON r.family = o.family AND r.spread = o.spread""",
        "DROP TABLE class_of_4",
        "DROP TABLE ratio_of_4",
    )


def _to_5(connection: Connection) -> None:
    """Devices that were let in, and photographs of parts."""
    tables_of_5().create_all(connection)


def _to_6(connection: Connection) -> None:
    """Offers get numbers of their own: what several lists say alike becomes one part with the next list; orders come in."""
    if not inspect(connection).has_table("offer"):
        return  # the tables are made with the others
    old = connection.execute(text("SELECT * FROM offer ORDER BY part_id")).mappings().all()
    listed = connection.execute(text("SELECT supplier_id AS of, max(at) AS at FROM offer GROUP BY supplier_id")).all()
    kind = "DATETIME" if connection.dialect.name == "sqlite" else "TIMESTAMP WITH TIME ZONE"
    _each(connection, "DROP TABLE offer", f"ALTER TABLE supplier ADD COLUMN listed_at {kind}")
    for of, at in listed:
        connection.execute(text("UPDATE supplier SET listed_at = :at WHERE id = :of"), {"of": of, "at": at})
    then = tables_of_6()
    then.create_all(connection)
    rows = []
    for row in old:
        breaks = json.loads(row["breaks"]) if isinstance(row["breaks"], str) else row["breaks"]
        kept = {
            name: row[name] for name in ("part_id", "supplier_id", "article", "pack", "minimum", "supply", "here_id")
        }
        least = min(price for _, price in breaks)
        rows.append({"id": row["part_id"], "breaks": json.dumps(breaks), "least": least, **kept})
    if rows:
        kinds = [{"part_id": row["part_id"], "key": f"before 6: {row['part_id']}"} for row in rows]
        connection.execute(then.tables["offered_kind"].insert(), kinds)
        connection.execute(then.tables["offer"].insert(), rows)
        if connection.dialect.name != "sqlite":
            _each(connection, "SELECT setval(pg_get_serial_sequence('offer', 'id'), (SELECT max(id) FROM offer))")


_NAME_NUMBERS = 1 << 52


def _to_7(connection: Connection) -> None:
    """The keys of a valve hold the number of its type; numbers of options have room for more parts on a server."""
    if connection.dialect.name != "sqlite":
        _each(
            connection,
            "ALTER TABLE option_keys ALTER COLUMN id TYPE BIGINT",
            "ALTER TABLE option_keys ALTER COLUMN id DROP DEFAULT",
            "DROP SEQUENCE IF EXISTS option_keys_id_seq",
        )
    wide = "INTEGER" if connection.dialect.name == "sqlite" else "BIGINT"
    _each(
        connection,
        f"""CREATE TABLE key_name (family VARCHAR NOT NULL, number {wide} NOT NULL, name VARCHAR NOT NULL,
            PRIMARY KEY (family, number))""",
    )
    if inspect(connection).has_table("family_valve"):
        _name_valves(connection)


def _name_valves(connection: Connection) -> None:
    base = any(column["name"] == "base" for column in inspect(connection).get_columns("family_valve"))
    found = connection.execute(
        text(f"""
        SELECT o.id, o.family, o.missing, o.kind, coalesce(valve.valve_type, '') AS called,
          {"coalesce(valve.base, '')" if base else "''"} AS base,
          EXISTS (SELECT 1 FROM reading WHERE reading.part_id = valve.part_id
            AND NOT EXISTS (SELECT 1 FROM act WHERE act.reverses_id = reading.act_id)) AS tested
        FROM option_keys AS o JOIN family_valve AS valve ON valve.part_id = o.id / 256
        WHERE o.family IN ('valve', 'valve/offered')""")
    ).all()
    rows, names = [], {}
    for ident, family, missing, kind, called, marked, tested in found:
        name = f"{called}\t{marked}"
        digest = hashlib.blake2b(name.encode("utf-8", "surrogatepass"), digest_size=8).digest()
        number = int.from_bytes(digest, "big") % (_NAME_NUMBERS - 1) + 1
        names[family, number] = name
        asks = (missing & 2) | (4 if tested else 0)
        rows.append({"id": ident, "number": float(number), "missing": asks, "kind": 2 * kind + bool(tested)})
    if not rows:
        return
    changed = "value = :number, low = :number, high = :number, missing = :missing, kind = :kind"
    connection.execute(text(f"UPDATE option_keys SET limit_class = -9999, spread = 0, {changed} WHERE id = :id"), rows)
    _each(
        connection,
        "DELETE FROM rung WHERE family IN ('valve', 'valve/offered')",
        """INSERT INTO rung (family, missing, limit_class, spread, ratio)
           SELECT DISTINCT family, missing, -9999, 0, 1.0125 FROM option_keys WHERE family IN ('valve', 'valve/offered')""",
    )
    connection.execute(
        text("INSERT INTO key_name (family, number, name) VALUES (:family, :number, :name)"),
        [{"family": family, "number": number, "name": name} for (family, number), name in names.items()],
    )


def _to_8(connection: Connection) -> None:
    """Lines of price lists can wait unread: an offer need be of no part yet, and keeps what its line said."""
    if not inspect(connection).has_table("offer"):
        return  # the tables are made with the others
    if connection.dialect.name != "sqlite":
        tables_of_8().tables["price_list"].create(connection)
        _each(
            connection,
            "ALTER TABLE offer ALTER COLUMN part_id DROP NOT NULL",
            "ALTER TABLE offer ADD COLUMN list_id INTEGER REFERENCES price_list (id)",
            *(
                f"ALTER TABLE offer ADD COLUMN {name} {kind} NOT NULL DEFAULT {value}"
                for name, kind, value in (
                    ("said", "VARCHAR", "''"),
                    ("sieve", "INTEGER", "0"),
                    ("low", "DOUBLE PRECISION", "0"),
                    ("high", "DOUBLE PRECISION", "0"),
                    ("most", "DOUBLE PRECISION", "0"),
                    ("together", "INTEGER", "1"),
                )
            ),
            *(
                f"ALTER TABLE offer ALTER COLUMN {name} DROP DEFAULT"
                for name in ("said", "sieve", "low", "high", "most", "together")
            ),
        )
        return
    names = "id, part_id, supplier_id, article, breaks, least, pack, minimum, supply, here_id"
    last = connection.execute(text("SELECT seq FROM sqlite_sequence WHERE name = 'offer'")).scalar()
    _each(
        connection,
        "ALTER TABLE offer RENAME TO offer_of_7",
        "DROP INDEX IF EXISTS ix_offer_part_id",
        "DROP INDEX IF EXISTS ix_offer_here_id",
    )
    tables_of_8().create_all(connection)
    _each(
        connection,
        f"INSERT INTO offer ({names}, said, sieve, low, high, most, together) SELECT {names}, '', 0, 0, 0, 0, 1 FROM offer_of_7",
        "DROP TABLE offer_of_7",
    )
    if last is not None:  # a number that was given once is not given again
        connection.execute(text("DELETE FROM sqlite_sequence WHERE name = 'offer'"))
        connection.execute(text("INSERT INTO sqlite_sequence (name, seq) VALUES ('offer', :last)"), {"last": last})


def _to_9(connection: Connection) -> None:
    """Lines that wait unread stand in no index of parts."""
    if inspect(connection).has_table("offer"):
        _each(
            connection,
            "DROP INDEX ix_offer_part_id",
            "CREATE INDEX ix_offer_part_id ON offer (part_id) WHERE part_id IS NOT NULL",
        )


STEPS: Mapping[int, Callable[[Connection], None]] = {
    3: _to_3,
    4: _to_4,
    5: _to_5,
    6: _to_6,
    7: _to_7,
    8: _to_8,
    9: _to_9,
}
"""What leads to each version from the one before it."""


def migrate(connection: Connection, version: int, target: int) -> None:
    """Lead a catalogue to a later version, step by step.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction: all steps happen or none.
    version, target : int
        Where it stands and where it goes [-].
    """
    for number in range(version + 1, target + 1):
        if number in STEPS:
            STEPS[number](connection)


def add_columns(connection: Connection, tables: Iterable[Table]) -> None:
    """Add the columns that a family's tables have got since a catalogue was made; of the parts in it they are unknown."""
    prepare = connection.dialect.identifier_preparer
    for table in tables:
        have = {column["name"] for column in inspect(connection).get_columns(table.name)}
        for column in table.c:
            if column.name not in have:
                kind = column.type.compile(dialect=connection.dialect)
                _each(connection, f"ALTER TABLE {table.name} ADD COLUMN {prepare.quote(column.name)} {kind}")


def keep_copy(engine: Engine, version: int) -> Path | None:
    """Keep a copy of an SQLite catalogue beside it before its tables change, and return where; None for other databases."""
    named = engine.url.database
    if engine.dialect.name != "sqlite" or not named or named == ":memory:":
        return None
    from partsbin.store.copies import copy_to

    target = Path(f"{named}.schema-{version}")
    number = 1
    while target.exists():
        number += 1
        target = Path(f"{named}.schema-{version}.{number}")
    copy_to(engine, target)
    return target


def _each(connection: Connection, *statements: str) -> None:
    for statement in statements:
        connection.execute(text(statement))
