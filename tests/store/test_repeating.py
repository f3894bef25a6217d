"""What was made of a catalogue's answers stands as long as it gives the same ones, and no longer."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from sqlalchemy import Engine, event, select, text
from sqlalchemy.exc import IntegrityError

from partsbin.errors import StoreError
from partsbin.matching.answer import find
from partsbin.needs import Request
from partsbin.sets import read_facts
from partsbin.store import repeating
from partsbin.store.engine import reading, writing
from partsbin.store.repeating import Repeated, noting
from partsbin.store.statements import Statement
from partsbin.store.tables import Place, table_of
from tests.page.visit import shelve


@pytest.fixture
def made(store: Engine) -> Callable[[], tuple[str, int]]:
    """Say what lies under two names, by a text and by the toolkit; how often that was worked out stands beside it."""
    repeated: Repeated[tuple[str, int]] = Repeated(lambda: reading(store))
    times = [0]

    def work() -> tuple[str, int]:
        times[0] += 1
        with reading(store) as connection:
            one = Statement("SELECT count(*) FROM place WHERE name = :name").rows(connection, {"name": "one"})
            place = table_of(Place)
            two = connection.execute(select(place.c.id).where(place.c.name == "two")).all()
        return f"{one[0][0]} and {len(two)}", times[0]

    return lambda: repeated.of("both", work)


def put(store: Engine, name: str) -> None:
    """Add a place."""
    with writing(store) as connection:
        connection.execute(text("INSERT INTO place (name) VALUES (:name)"), {"name": name})


def test_the_same_answers_are_worked_with_once(made: Callable[[], tuple[str, int]]) -> None:
    """Nothing has changed."""
    assert (made(), made()) == (("0 and 0", 1), ("0 and 0", 1))


def test_a_change_of_something_else_is_nothing_to_it(made: Callable[[], tuple[str, int]], store: Engine) -> None:
    """Another place was not asked for."""
    made()
    put(store, "three")
    assert made() == ("0 and 0", 1)


@pytest.mark.parametrize(("name", "said"), [("one", "1 and 0"), ("two", "0 and 1")])
def test_what_changed_is_worked_with_anew(
    made: Callable[[], tuple[str, int]], store: Engine, name: str, said: str
) -> None:
    """However it was asked for."""
    made()
    put(store, name)
    assert (made(), made()) == ((said, 2), (said, 2))


def test_what_writes_is_done_each_time(store: Engine) -> None:
    """It is no answer of the catalogue, and to ask again would write again."""
    repeated: Repeated[None] = Repeated(lambda: reading(store))

    def work() -> None:
        with reading(store) as connection:
            Statement("SELECT count(*) FROM place").rows(connection, {})
        put(store, "another")

    repeated.of("it", work)
    with pytest.raises(IntegrityError):
        repeated.of("it", work)


def test_nothing_is_read_for_an_answer_without_being_noted(store: Engine) -> None:
    """What the driver is given while an answer is found, statement by statement, is among what is noted."""
    shelve(store, "22n 630V polypropylene", count=3)
    given: list[str] = []
    wanted = Request("capacitor", "0.02uF 350V waxed paper", "coupling", {}, read_facts([]))
    with reading(store) as connection:
        raw = connection.connection.driver_connection
        if store.dialect.name == "sqlite":
            raw.set_trace_callback(given.append)
        else:
            event.listen(store, "before_cursor_execute", lambda *said: given.append(said[2]))
        with noting() as reads:
            find(connection, wanted)
        if store.dialect.name == "sqlite":
            raw.set_trace_callback(None)
    noted = [*(query for query, _, _ in reads.answered), *(query for query, _ in reads.open)]
    beginnings = tuple({query.partition("?")[0].partition("%(")[0] for query in noted})
    assert len(noted) > 5
    assert [each for each in given if not each.startswith(beginnings)] == []
    assert store.dialect.name != "sqlite" or len(given) == len(noted)


def test_what_is_remembered_is_bounded_by_its_weight(store: Engine, monkeypatch: pytest.MonkeyPatch) -> None:
    """What was asked for longest ago goes first; what is larger than all the room is not kept at all."""
    monkeypatch.setattr(repeating, "MOST_BYTES", 100 + 3 * repeating.QUESTION)
    repeated: Repeated[str] = Repeated(lambda: reading(store), len)
    times = []

    def asked(key: str, size: int) -> int:
        def work() -> str:
            times.append(key)
            with reading(store) as connection:
                Statement("SELECT count(*) FROM place").rows(connection, {})
            return size * "x"

        repeated.of(key, work)
        return times.count(key)

    assert [asked(*each) for each in (("a", 40), ("b", 40), ("a", 40), ("c", 40), ("a", 40), ("b", 40))] == [
        1, 1, 1, 1, 1, 2,
    ]  # fmt: skip
    assert [asked("large", 10_000), asked("large", 10_000), asked("a", 40), asked("a", 40)] == [1, 2, 2, 2]


def test_an_answer_that_cannot_be_asked_for_again_does_not_stand(
    made: Callable[[], tuple[str, int]], store: Engine
) -> None:
    """Whoever makes it anew meets what is the matter, and says it as it is said everywhere."""
    made()
    with store.begin() as connection:
        connection.execute(text("ALTER TABLE place RENAME TO elsewhere"))
    with pytest.raises(
        StoreError, match=r"cannot read the catalogue: (no such table: place|relation \"place\" does not exist)"
    ):
        made()
