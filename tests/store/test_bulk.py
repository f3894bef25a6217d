"""Many rows into one table."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import Engine, insert, select

from partsbin.store.bulk import VALUES_AT_ONCE, insert_rows, insert_tuples
from partsbin.store.engine import reading, writing
from partsbin.store.offer_tables import Supplier
from partsbin.store.tables import Act, FileOrigin, Part, Place, Rung, table_of


def test_plain_rows_come_back_as_they_were_given(store: Engine) -> None:
    """Numbers, texts and unknowns, in whatever order the columns are named."""
    rows = [
        {"ratio": 1.25, "family": "capacitor", "missing": 0, "limit_class": 43, "spread": 4},
        {"ratio": 1e6, "family": "it's", "missing": 7, "limit_class": -9999, "spread": 7},
    ]
    with writing(store) as connection:
        insert_rows(connection, table_of(Rung), rows)
        found = connection.execute(select(table_of(Rung)).order_by(table_of(Rung).c.missing)).mappings().all()
    assert [dict(row) for row in found] == rows


def test_columns_that_are_not_named_get_their_defaults(store: Engine) -> None:
    """As an ordinary insert gives them."""
    with writing(store) as connection:
        insert_rows(
            connection, table_of(Part), [{"family": "capacitor", "title": "a"}, {"family": "capacitor", "title": "b"}]
        )
        found = connection.execute(select(table_of(Part))).mappings().all()
    assert [(row["title"], row["origin"], row["on_hand"], row["rough"]) for row in found] == [
        ("a", "shelf", 0, False),
        ("b", "shelf", 0, False),
    ]


def test_dates_and_json_are_converted(store: Engine, noon: datetime) -> None:
    """They come back as what they were."""
    act = {"word": "shelved", "at": noon, "by": "", "why": ""}
    with writing(store) as connection:
        insert_rows(
            connection, table_of(FileOrigin), [{"file": "a.csv", "line": 2, "key": "k", "cells": {"Wert": "8 µF"}}]
        )
        insert_rows(connection, table_of(Act), [act])
    with reading(store) as connection:
        assert connection.execute(select(table_of(FileOrigin).c.cells)).scalar_one() == {"Wert": "8 µF"}
        assert connection.execute(select(table_of(Act).c.at)).scalar_one() == noon


def test_json_that_is_not_there_is_null_as_an_ordinary_insert_has_it(store: Engine) -> None:
    """Both ways give the same rows."""
    with writing(store) as connection:
        insert_rows(connection, table_of(FileOrigin), [{"file": "a", "line": 1, "key": "k", "cells": {}}])
        connection.execute(insert(table_of(FileOrigin)), [{"file": "a", "line": 1, "key": "l", "cells": {}}])
        first, second = connection.exec_driver_sql("SELECT file, line, cells FROM file_origin").all()
    assert first == second


def test_one_column_alone_is_written(store: Engine) -> None:
    """The rest are left to the database."""
    with writing(store) as connection:
        insert_rows(connection, table_of(Place), [{"name": "drawer 1"}, {"name": "drawer 2"}])
        assert connection.execute(select(table_of(Place).c.name)).scalars().all() == ["drawer 1", "drawer 2"]


def test_rows_are_numbered_in_the_order_in_which_they_are_given_however_many_one_statement_writes(
    store: Engine,
) -> None:
    """The lines of a price list keep their order: one row more and one fewer than whole statements hold."""
    names = ("name", "shipping")
    for several in (VALUES_AT_ONCE // 2 - 1, VALUES_AT_ONCE // 2, VALUES_AT_ONCE + 1):
        with writing(store) as connection:
            shop = table_of(Supplier)
            last = max(connection.execute(select(shop.c.id)).scalars(), default=0)
            rows = [(f"supplier {several} {number}", number) for number in range(several)]
            insert_tuples(connection, shop, names, rows)
            query = select(shop.c.name, shop.c.shipping).where(shop.c.id > last).order_by(shop.c.id)
            assert connection.execute(query).all() == rows


def test_no_rows_are_no_work(store: Engine) -> None:
    """A part without sections writes none."""
    with writing(store) as connection:
        insert_rows(connection, table_of(Rung), [])
        assert connection.execute(select(table_of(Rung))).all() == []
