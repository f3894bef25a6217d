"""Plain statements: the same rows as the toolkit's own way, any number of ids, a plain error."""

from __future__ import annotations

import pytest
from sqlalchemy import Engine, bindparam, select, text, update

from partsbin.errors import StoreError
from partsbin.store.bulk import insert_rows
from partsbin.store.engine import reading, writing
from partsbin.store.repeating import noting
from partsbin.store.statements import MOST_IDS, Change, Statement
from partsbin.store.tables import Part, table_of


def _shelve(store: Engine, n: int) -> None:
    with writing(store) as connection:
        insert_rows(connection, table_of(Part), [{"family": "capacitor", "title": f"part {i}"} for i in range(n)])


def test_a_name_that_stands_twice_is_given_twice(store: Engine) -> None:
    """The database takes parameters by position, the text by name."""
    _shelve(store, 5)
    query = "SELECT id, title FROM part WHERE id >= :least AND (id < :most OR id = :least) AND :most > 0 ORDER BY id"
    values = {"most": 4, "least": 2, "not used": 9}
    with reading(store) as connection:
        expected = [tuple(row) for row in connection.execute(text(query), {"most": 4, "least": 2})]
        assert Statement(query).rows(connection, values) == expected == [(2, "part 1"), (3, "part 2")]


@pytest.mark.parametrize("n", [0, 1, 3, 64, MOST_IDS + 3])
def test_a_list_of_ids_may_have_any_length(store: Engine, n: int) -> None:
    """Each row comes once, whatever the list is filled up with."""
    _shelve(store, n)
    with reading(store) as connection:
        found = Statement("SELECT id, title FROM part WHERE id IN :ids AND family = :family ORDER BY id").of_ids(
            connection, list(range(1, n + 1)), family="capacitor"
        )
    assert found == [{"id": i + 1, "title": f"part {i}"} for i in range(n)]


def test_what_the_database_refuses_is_a_plain_error(store: Engine) -> None:
    """A catalogue without its tables is no traceback."""
    with reading(store) as connection, pytest.raises(StoreError, match=r"cannot read the catalogue: .*nowhere"):
        Statement("SELECT 1 FROM nowhere").rows(connection, {})


def test_a_change_says_how_many_rows_it_was_of(store: Engine) -> None:
    """None, where nothing is as it was thought to be."""
    _shelve(store, 3)
    change = Change("UPDATE part SET title = :title WHERE id < :most AND title <> :title")
    with writing(store) as connection:
        assert [change.run(connection, {"title": "a", "most": 3}).rowcount for _ in range(2)] == [2, 0]
        assert connection.execute(text("SELECT title FROM part ORDER BY id")).scalars().all() == ["a", "a", "part 2"]


def test_a_change_by_an_expression_converts_its_values(store: Engine) -> None:
    """A truth that was kept as a number, and the constants of the expression itself."""
    _shelve(store, 2)
    part = table_of(Part)
    change = Change(
        update(part)
        .where(
            part.c.id == bindparam("part"),
            part.c.origin == "shelf",
            part.c.rough.is_not_distinct_from(bindparam("was")),
        )
        .values(rough=bindparam("now"))
        .returning(part.c.title)
    )
    with writing(store) as connection:
        found = [change.run(connection, {"part": 2, "was": was, "now": 1}).all() for was in (0, None, 0)]
        assert [[tuple(row) for row in rows] for rows in found] == [[("part 1",)], [], []]
        assert connection.execute(select(part.c.rough).order_by(part.c.id)).scalars().all() == [False, True]


def test_what_writes_is_never_taken_for_read(store: Engine) -> None:
    """It stays open among what is noted, whatever it gives back."""
    _shelve(store, 1)
    with writing(store) as connection, noting() as reads:
        Change("UPDATE part SET title = title WHERE id = :part RETURNING title").run(connection, {"part": 1})
        reads.settle(connection)
    assert [query.split()[0] for query, _ in reads.open] == ["UPDATE"]
