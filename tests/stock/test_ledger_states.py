"""Whatever is done in whatever order: stock is the sum of the ledger, never negative, undo restores, no act is half done."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from sqlalchemy import Connection, Engine, event, text

from partsbin.errors import PartsbinError
from partsbin.stock.acts import Who, buy, measure, move, part_of, release, reserve, scrap
from partsbin.stock.catalogue import shelve
from partsbin.stock.counting import count
from partsbin.stock.draft import draft_from_text
from partsbin.stock.keeping.derived import derived_faults
from partsbin.stock.ledger import undo
from partsbin.stock.marking import mark
from partsbin.stock.parts import NewReading
from partsbin.store.engine import open_store, writing
from tests.engines import new_store, on_server, remove

PEOPLE = ("ann", "bob")
SAID = ("polyester", "22n 630V", "1W", "wirewound")
"""What may be seen on a part later; as the other part it is refused."""

START = datetime(2026, 3, 1, 12, tzinfo=UTC)


class _PowerCut(Exception):  # noqa: N818 not a fault of the program
    """What happens between two statements."""


def _state(connection: Connection) -> dict[str, Any]:
    """What a person sees of the stock: counts, claims, places, titles, valid readings, what sits in sets."""
    parts = connection.execute(
        text("SELECT id, on_hand, reserved, rough, place_id, price FROM part WHERE on_hand > 0 OR reserved > 0")
    )
    readings = connection.execute(
        text(
            "SELECT part_id, quantity, value FROM reading JOIN part ON part.id = part_id WHERE on_hand > 0 AND NOT EXISTS "
            "(SELECT 1 FROM act WHERE reverses_id = reading.act_id) ORDER BY reading.id"
        )
    )
    claims = connection.execute(
        text("SELECT part_id, job_id, sum(aside) FROM movement GROUP BY part_id, job_id HAVING sum(aside) <> 0")
    )
    sets = connection.execute(
        text(
            "SELECT part_id, job_id, -sum(quantity) FROM movement WHERE word IN ('fitted', 'returned') "
            "GROUP BY part_id, job_id HAVING sum(quantity) <> 0"
        )
    )
    titles = connection.execute(text("SELECT id, title FROM part WHERE on_hand > 0"))
    keys = connection.execute(text("SELECT id, value, low, high, promise FROM option_keys ORDER BY id"))
    return {
        "parts": {tuple(row) for row in parts},
        "readings": [tuple(row) for row in readings],
        "sets": {tuple(row) for row in sets},
        "titles": {tuple(row) for row in titles},
        "claims": {tuple(row) for row in claims},
        "keys": [tuple(row) for row in keys],
    }


class Shelf(RuleBasedStateMachine):
    """Two people at one catalogue, and the power that may fail at any statement."""

    kind = "sqlite"

    def __init__(self) -> None:
        super().__init__()
        self.engine: Engine = open_store("sqlite://") if self.kind == "sqlite" else new_store(self.kind, Path())
        self.minutes = 0
        self.before: list[tuple[str, dict[str, Any]]] = []
        self.left: int | None = None
        event.listen(self.engine, "before_cursor_execute", self._count_down)

    def teardown(self) -> None:
        """Every act that still stands is taken back, the last one first: each time all is as it was before it."""
        while self.before:
            self.take_back_the_last_of_all(None)
        remove(self.engine)

    def _count_down(self, *_: Any) -> None:
        if self.left is not None:
            self.left -= 1
            if self.left < 0:
                raise _PowerCut

    def _do(self, by: str, work: Callable[[Connection, Who], Any], fails_after: int | None = None) -> None:
        """One act in one transaction; refused or cut short, everything is as before."""
        self.minutes += 1
        who = Who(START + timedelta(minutes=self.minutes), by)
        with self.engine.connect() as connection:
            before = _state(connection)
            acts = connection.execute(text("SELECT count(*) FROM act")).scalar_one()
        self.left = fails_after
        try:
            with writing(self.engine) as connection:
                work(connection, who)
                self.left = None
        except (PartsbinError, _PowerCut):
            self.left = None
            with self.engine.connect() as connection:
                assert _state(connection) == before
                assert connection.execute(text("SELECT count(*) FROM act")).scalar_one() == acts
            return
        with self.engine.connect() as connection:
            self.before.append((by, before))

    def _ids(self) -> list[int]:
        with self.engine.connect() as connection:
            return list(connection.execute(text("SELECT id FROM part ORDER BY id")).scalars())

    def _pick(self, data: st.DataObject) -> int:
        return data.draw(st.sampled_from(self._ids()))

    @initialize()
    def some_parts(self) -> None:
        """Something on the shelf to begin with."""
        drafts = [
            draft_from_text("22n 400V film", family="capacitor", count=5, condition="new", place="drawer C2")[0],
            draft_from_text("470k 1/2W", family="resistor", count=50, rough=True, condition="salvaged")[0],
        ]
        with writing(self.engine) as connection:
            shelve(connection, drafts, at=START, by="the shop")
            connection.execute(
                text(
                    "INSERT INTO job (id, reference, what, facts, opened_at) VALUES "
                    "(1, '', '', :set, :at), (2, '', '', :set, :at)"
                ),
                {"at": START, "set": '{"rail": "240"}'},
            )

    @rule(
        data=st.data(),
        by=st.sampled_from(PEOPLE),
        pieces=st.integers(1, 8),
        job=st.sampled_from([None, 1, 2]),
        cut=st.none() | st.integers(0, 12),
    )
    def set_aside(self, data: st.DataObject, by: str, pieces: int, job: int | None, cut: int | None) -> None:
        part = self._pick(data)
        self._do(by, lambda c, who: reserve(c, part, pieces, who, job_id=job), cut)

    @rule(data=st.data(), by=st.sampled_from(PEOPLE), pieces=st.integers(1, 8), job=st.sampled_from([None, 1, 2]))
    def let_go(self, data: st.DataObject, by: str, pieces: int, job: int | None) -> None:
        part = self._pick(data)
        self._do(by, lambda c, who: release(c, part, pieces, who, job_id=job))

    @rule(data=st.data(), by=st.sampled_from(PEOPLE), pieces=st.integers(1, 8), cut=st.none() | st.integers(0, 12))
    def throw_away(self, data: st.DataObject, by: str, pieces: int, cut: int | None) -> None:
        part = self._pick(data)
        self._do(by, lambda c, who: scrap(c, part, pieces, who), cut)

    @rule(data=st.data(), by=st.sampled_from(PEOPLE), pieces=st.integers(1, 8), price=st.none() | st.integers(0, 9000))
    def buy_some(self, data: st.DataObject, by: str, pieces: int, price: int | None) -> None:
        part = self._pick(data)
        self._do(by, lambda c, who: buy(c, part, pieces, who, price=price))

    @rule(
        data=st.data(),
        by=st.sampled_from(PEOPLE),
        pieces=st.integers(0, 8),
        place=st.sampled_from(["box T2", "drawer C2"]),
        cut=st.none() | st.integers(0, 25),
    )
    def move_some(self, data: st.DataObject, by: str, pieces: int, place: str, cut: int | None) -> None:
        part = self._pick(data)
        self._do(by, lambda c, who: move(c, part, place, who, pieces=pieces), cut)

    @rule(
        data=st.data(),
        by=st.sampled_from(PEOPLE),
        pieces=st.none() | st.integers(0, 8),
        cut=st.none() | st.integers(0, 25),
    )
    def measure_some(self, data: st.DataObject, by: str, pieces: int | None, cut: int | None) -> None:
        """None stands for all that there are: then no part is split, and the act has a reading alone."""
        part = self._pick(data)
        value = NewReading("capacitance", 21e-9, "F", 0.2e-9)

        def work(connection: Connection, who: Who) -> None:
            measure(
                connection, part, [value], who, pieces=part_of(connection, part).on_hand if pieces is None else pieces
            )

        self._do(by, work, cut)

    @rule(data=st.data(), by=st.sampled_from(PEOPLE), said=st.sampled_from(SAID), cut=st.none() | st.integers(0, 25))
    def mark_one(self, data: st.DataObject, by: str, said: str, cut: int | None) -> None:
        part = self._pick(data)
        self._do(by, lambda c, who: mark(c, part, said, who, correct=True), cut)

    @rule(data=st.data(), by=st.sampled_from(PEOPLE), pieces=st.integers(0, 60), rough=st.booleans())
    def count_one(self, data: st.DataObject, by: str, pieces: int, rough: bool) -> None:
        part = self._pick(data)
        self._do(by, lambda c, who: count(c, {part: (pieces, rough)}, who))

    @rule(cut=st.none() | st.integers(0, 12))
    @precondition(lambda self: self.before)
    def take_back(self, cut: int | None) -> None:
        self.take_back_the_last_of_all(cut)

    def take_back_the_last_of_all(self, cut: int | None) -> None:
        """The one who did the last act takes it back."""
        by, state = self.before[-1]
        self.minutes += 1
        self.left = cut
        try:
            with writing(self.engine) as connection:
                undo(connection, at=START + timedelta(minutes=self.minutes), by=by)
                self.left = None
        except _PowerCut:
            self.left = None
            return
        self.before.pop()
        with self.engine.connect() as connection:
            assert _state(connection) == state

    @invariant()
    def stock_is_the_sum_of_the_ledger(self) -> None:
        """Part by part; claims by job are never negative."""
        with self.engine.connect() as connection:
            wrong = connection.execute(
                text(
                    "SELECT part.id FROM part LEFT JOIN movement ON movement.part_id = part.id GROUP BY part.id HAVING "
                    "on_hand <> coalesce(sum(quantity), 0) OR reserved <> coalesce(sum(aside), 0) OR on_hand < 0 "
                    "OR reserved < 0 OR reserved > on_hand"
                )
            ).all()
            claims = connection.execute(
                text("SELECT part_id FROM movement GROUP BY part_id, job_id HAVING sum(aside) < 0")
            ).all()
        assert (wrong, claims) == ([], [])

    @invariant()
    def what_is_derived_follows_from_the_parts(self) -> None:
        """Search keys and words are those that would be made now, though acts write only what changes of them."""
        with self.engine.connect() as connection:
            assert list(derived_faults(connection)) == []


TestShelf = Shelf.TestCase
TestShelf.settings = settings(max_examples=30, stateful_step_count=25, deadline=None)


class ServerShelf(Shelf):
    """The same on a server."""

    kind = "postgresql"


TestServerShelf = on_server(ServerShelf.TestCase)
TestServerShelf.settings = settings(max_examples=10, stateful_step_count=20, deadline=None)


def test_undo_takes_back_ones_own_acts_alone(store: Engine, noon: datetime) -> None:
    """What another person did meanwhile stands."""
    with writing(store) as connection:
        draft = draft_from_text("22n 400V film", family="capacitor", count=5, condition="new")[0]
        shelve(connection, [draft], at=noon, by="ann")
        scrap(connection, 1, 1, Who(noon, "ann"))
        scrap(connection, 1, 2, Who(noon, "bob"))
        undo(connection, at=noon, by="ann")
        assert connection.execute(text("SELECT on_hand FROM part")).scalar_one() == 3


def test_what_happened_since_may_stand_in_the_way(store: Engine, noon: datetime) -> None:
    """Pieces that are gone cannot be unshelved: nothing happens."""
    with writing(store) as connection:
        draft = draft_from_text("22n 400V film", family="capacitor", count=5, condition="new")[0]
        shelve(connection, [draft], at=noon, by="ann")
        scrap(connection, 1, 1, Who(noon, "bob"))
    with pytest.raises(PartsbinError, match="P-0001: 5 wanted, 4 on hand"), writing(store) as connection:
        undo(connection, at=noon, by="ann")
    with store.connect() as connection:
        assert connection.execute(text("SELECT on_hand FROM part")).scalar_one() == 4
