"""The catalogue: what is shelved comes back, with its ledger line, readings and search keys, whole or not at all."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import Connection, Engine, delete, insert, inspect, select, text, update
from sqlalchemy.exc import DBAPIError, IntegrityError

from partsbin.errors import UsageError
from partsbin.families import load, names
from partsbin.stock.catalogue import BATCH, Draft, NewReading, Shelved, get, id_of, number_of, shelve
from partsbin.stock.keys import keys_of, promise, without_name
from partsbin.store.engine import reading, writing
from partsbin.store.tables import Act, Donor, Movement, OptionKeys, Part, Reading, Rung, table_of
from tests.engines import ENGINES, undone
from tests.stock.random_drafts import drafts

CAPACITOR, TRANSFORMER = load("capacitor"), load("transformer")
WHEN = datetime(2026, 3, 1, tzinfo=UTC)


def _film(**more: Any) -> Draft:
    facts = CAPACITOR.facts.model_validate({"capacitance": 22e-9, "voltage_dc": 400.0, "dielectric": "film"})
    return Draft("capacitor", facts, **more)


def _output(**more: Any) -> Draft:
    return Draft(
        "transformer", TRANSFORMER.facts.model_validate({"kind": "output", "pairs": [{"ratio": 45.0}]}), **more
    )


def _shelve(engine: Engine, at: datetime, *made: Draft, **said: str) -> list[int]:
    with writing(engine) as connection:
        return shelve(connection, made, at=at, **said)


def _one(engine: Engine, ident: int, family: str = "capacitor") -> Shelved:
    with reading(engine) as connection:
        return get(connection, load(family), [ident])[ident]


def _stored(connection: Connection, model: Any) -> list[dict[str, Any]]:
    table = table_of(model)
    return [dict(row) for row in connection.execute(select(table).order_by(*table.primary_key)).mappings()]


def _rows(engine: Engine, model: Any) -> list[dict[str, Any]]:
    with reading(engine) as connection:
        return _stored(connection, model)


def _rung(row: Mapping[str, Any]) -> tuple[Any, ...]:
    return row["family"], row["missing"], row["limit_class"], row["spread"]


@pytest.mark.parametrize("kind", ENGINES)
@settings(max_examples=40, deadline=None)
@given(st.lists(drafts(), min_size=1, max_size=6))
def test_what_is_shelved_comes_back_equal(kind: str, made: list[Draft]) -> None:
    """Marked facts with sections, windings and pairs, readings, condition, place, donor and all that stands beside."""
    with undone(kind) as connection:
        ids = shelve(connection, made, at=WHEN)
        parts = {ident: part for name in names() for ident, part in get(connection, load(name), ids).items()}
    for ident, draft in zip(ids, made, strict=True):
        part = parts[ident]
        assert part.item.facts == draft.facts
        assert part.item.readings.keys() == {r.quantity for r in draft.readings}
        assert (part.on_hand, part.rough, part.place, part.donor) == (
            draft.count,
            draft.rough,
            draft.place,
            draft.donor,
        )
        assert (part.item.condition, part.item.marking, part.item.year) == (draft.condition, draft.marking, draft.year)
        assert part.title == (draft.title or load(draft.family).title(draft.facts))
        assert [part.row[name] for name in ("maker", "date_code", "lead_style", "note")] == [
            draft.maker,
            draft.date_code,
            draft.lead_style,
            draft.note,
        ]


def _keys_as_read(connection: Connection) -> list[dict[str, Any]]:
    """The keys that the parts would have if they were shelved as they now lie."""
    made = []
    for name in names():
        family = load(name)
        known = connection.execute(select(table_of(Part).c.id).where(table_of(Part).c.family == name)).scalars().all()
        for part in get(connection, family, known).values():
            if part.available > 0:
                order = promise(part.item.condition, part.available, part.origin)
                made += map(without_name, keys_of(family, part.id, family.options(part.item), order))
    return sorted(made, key=lambda row: row["id"])


@pytest.mark.parametrize("kind", ENGINES)
@settings(max_examples=40, deadline=None)
@given(st.lists(drafts(), min_size=1, max_size=4), st.lists(drafts(), max_size=4))
def test_stored_keys_are_those_of_the_parts_as_they_lie(kind: str, first: list[Draft], later: list[Draft]) -> None:
    """Also where a later part brings the valves of a donor that earlier ones came from."""
    with undone(kind) as connection:
        for made in (first, later):
            shelve(connection, made, at=WHEN)
        stored = _stored(connection, OptionKeys)
        rungs = [_rung(row) for row in _stored(connection, Rung)]
        assert sorted(stored, key=lambda row: row["id"]) == _keys_as_read(connection)
    assert set(rungs) >= {_rung(row) for row in stored}


def test_valves_noted_later_stand_for_the_parts_shelved_before(store: Engine, noon: datetime) -> None:
    """The single EL84 of the donor says that its output transformer carried 48 mA; the stored key learns of it."""
    _shelve(store, noon, _output(donor="D-011"))
    before = _rows(store, OptionKeys)[0]["limit_high"]
    _shelve(store, noon, _film(donor="D-011", donor_lineup="ECH81 EBF89 EL84 EZ80"))
    assert (before, _rows(store, OptionKeys)[0]["limit_high"]) == (None, 0.048)


def test_a_part_gets_its_ledger_line(store: Engine, noon: datetime) -> None:
    """Shelved, how many, when, by whom and why."""
    ident = _shelve(store, noon, _film(count=12), by="ann", why="from the drawer")[0]
    line, act = _rows(store, Movement)[0], _rows(store, Act)[0]
    assert (line["part_id"], line["word"], line["quantity"], line["aside"]) == (ident, "shelved", 12, 0)
    assert (act["id"], act["word"], act["by"], act["why"]) == (line["act_id"], "shelved", "ann", "from the drawer")
    assert act["at"] == noon


def test_parts_get_their_numbers_in_order(store: Engine, noon: datetime) -> None:
    """Over batches and over acts."""
    first = _shelve(store, noon, *[_film(place=f"drawer {n % 7}") for n in range(BATCH + 3)])
    second = _shelve(store, noon, _output(), _film())
    assert first + second == list(range(1, BATCH + 6))


def test_a_part_of_which_none_is_left_has_no_search_keys(store: Engine, noon: datetime) -> None:
    """It is remembered, not offered."""
    _shelve(store, noon, _film(count=0))
    assert _rows(store, OptionKeys) == []
    assert _one(store, 1).on_hand == 0


def test_a_part_without_a_title_gets_one_of_its_family(store: Engine, noon: datetime) -> None:
    """In trade notation; one of the owner's own stands."""
    _shelve(store, noon, _film(), _film(title="the good ones"))
    assert (_one(store, 1).title, _one(store, 2).title) == ("22 nF 400 V film", "the good ones")


def test_places_and_donors_are_noted_once(store: Engine, noon: datetime) -> None:
    """However many parts lie there or came from there."""
    _shelve(
        store, noon, _film(place="box T2", donor="D-011", donor_lineup="EL84"), _film(place="box T2", donor="D-011")
    )
    _shelve(store, noon, _film(place="box T2", donor="D-011"))
    assert [(row["code"], row["lineup"]) for row in _rows(store, Donor)] == [("D-011", "EL84")]
    assert {_one(store, ident).place for ident in (1, 2, 3)} == {"box T2"}


def test_the_newest_reading_of_a_quantity_counts(store: Engine, noon: datetime) -> None:
    """By its date, whenever it was written down."""
    _shelve(store, noon, _film(readings=(NewReading("capacitance", 21e-9, "F", 0.2e-9),)))
    later = {"part_id": 1, "quantity": "capacitance", "unit": "F", "uncertainty": 0.1e-9, "conditions": {}}
    with writing(store) as connection:
        connection.execute(insert(Reading), [{**later, "value": 20e-9, "taken_at": noon + timedelta(days=1)}])
        connection.execute(insert(Reading), [{**later, "value": 25e-9, "taken_at": noon - timedelta(days=1)}])
    measured = _one(store, 1).item.readings["capacitance"]
    assert (measured.value, measured.uncertainty) == (20e-9, 0.1e-9)


def test_readings_keep_their_conditions_and_their_section(store: Engine, noon: datetime) -> None:
    """A leakage without its volts says little."""
    made = (NewReading("leakage@2", 12e-6, "A", 0.0, {"volts": 350.0}), NewReading("leakage@1", 9e-6, "A"))
    _shelve(store, noon, _film(readings=made))
    found = _one(store, 1).item.readings
    assert found["leakage@2"].conditions == {"volts": 350.0}
    assert found["leakage@1"].conditions == {}


@pytest.mark.parametrize("model", [Movement, Reading])
@pytest.mark.parametrize("act", ["update", "delete"])
def test_the_database_itself_keeps_ledger_and_readings(
    store: Engine, noon: datetime, model: type[Movement] | type[Reading], act: str
) -> None:
    """Neither a line nor a reading is ever changed or removed, by whatever program."""
    _shelve(store, noon, _film(readings=(NewReading("capacitance", 21e-9, "F"),)))
    table = table_of(model)
    change = update(table).values(part_id=1) if act == "update" else delete(table)
    refusal = f"{table.name} is append-only: reverse a mistake by a new line"
    with pytest.raises(IntegrityError, match=refusal), writing(store) as connection:
        connection.execute(change)
    assert len(_rows(store, model)) == 1


IMPOSSIBLE = [
    ("UPDATE family_capacitor SET capacitance = -1e-9", "family_capacitor_capacitance"),
    ("UPDATE family_capacitor SET capacitance = 5", "family_capacitor_capacitance"),
    ("UPDATE family_capacitor SET dielectric = 'gum'", "family_capacitor_dielectric"),
    ("INSERT INTO family_capacitor_sections (part_id, position, capacitance) VALUES (1, 0, 0)", "sections_capacitance_0"),
    ("UPDATE part SET condition = 'shiny'", "part_condition_word"),
    ("UPDATE part SET origin = 'found'", "part_origin_word"),
    ("UPDATE part SET on_hand = -1", "part_on_hand_not_negative"),
    ("UPDATE part SET reserved = on_hand + 1", "part_reserved_within_stock"),
    ("INSERT INTO movement (act_id, part_id, word, quantity, aside) VALUES (1, 1, 'lost', 0, 0)",
     "movement_word"),
    ("INSERT INTO family_capacitor (part_id) VALUES (99)", "(?i)foreign key constraint"),
]  # fmt: skip


@pytest.mark.parametrize(("statement", "fault"), IMPOSSIBLE)
def test_the_database_itself_refuses_the_impossible(store: Engine, noon: datetime, statement: str, fault: str) -> None:
    """An owner with an SQL tool of his own cannot write it either."""
    _shelve(store, noon, _film())
    with pytest.raises(IntegrityError, match=fault), writing(store) as connection:
        connection.execute(text(statement))


def _everything(engine: Engine) -> dict[str, int]:
    with reading(engine) as connection:
        names = inspect(connection).get_table_names()
        return {name: connection.execute(text(f"SELECT count(*) FROM {name}")).scalar_one() for name in names}


def test_an_act_that_fails_leaves_nothing(store: Engine, noon: datetime) -> None:
    """Good parts beside the bad one, their places and keys: none of it."""
    before = _everything(store)
    bad = Draft("capacitor", CAPACITOR.facts.model_construct(capacitance=-1.0), place="box T3")
    with pytest.raises(DBAPIError, match="family_capacitor_capacitance_0"):
        _shelve(store, noon, *[_film(place="box T2", donor="D-011")] * (BATCH + 1), bad)
    assert _everything(store) == before


def test_a_fault_of_the_callers_own_leaves_nothing(store: Engine, noon: datetime) -> None:
    """Whole or not at all is the transaction's affair."""
    before = _everything(store)

    def book() -> None:
        with writing(store) as connection:
            shelve(connection, [_film()], at=noon)
            raise KeyError("elsewhere")

    with pytest.raises(KeyError, match="elsewhere"):
        book()
    assert _everything(store) == before


@pytest.mark.parametrize(
    ("number", "ident"), [("P-0042", 42), ("p-42", 42), (" P42 ", 42), ("42", 42), ("P-123456", 123456)]
)
def test_a_part_number_is_read_as_it_is_said(number: str, ident: int) -> None:
    """With or without its letter, dash and noughts."""
    assert id_of(number) == ident


@pytest.mark.parametrize("number", ["", "P-", "P-0", "-1", "Q-3", "P-²", "9" * 5000, "P-1.5", "P-99999999999999999"])
def test_what_is_no_part_number_is_refused(number: str) -> None:
    """Quoted, with what one looks like."""
    with pytest.raises(UsageError, match="is not a part number") as caught:
        id_of(number)
    assert caught.value.hint == "such as P-0042"


@given(st.integers(1, 2**53 - 1))
def test_a_part_number_comes_back(ident: int) -> None:
    """As it is written on labels."""
    assert id_of(number_of(ident)) == ident
