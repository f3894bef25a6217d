"""Typed tables that follow from a family's fields."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, Literal

import pytest
from sqlalchemy import Boolean, Column, Connection, Float, Integer, Text, inspect
from sqlalchemy.dialects import sqlite
from sqlalchemy.schema import CreateTable
from sqlmodel import SQLModel

from partsbin import families
from partsbin.errors import DeclarationError
from partsbin.families import load
from partsbin.families._declare import Facts, child_type, fact, facts_list, plain_type
from partsbin.stock.shelf import marked
from partsbin.store.engine import open_store
from partsbin.store.family_tables import FamilyTables, _table, save, tables
from partsbin.store.tables import Part, table_of

FAMILIES = families.names()
COLUMN = {float: Float, int: Integer, bool: Boolean, str: Text}


def _own(model: type[Facts]) -> dict[str, Any]:
    """The plain fields of a model."""
    return {name: info for name, info in model.model_fields.items() if child_type(info.annotation) is None}


def _lists(model: type[Facts]) -> dict[str, type[Facts]]:
    found = {name: child_type(info.annotation) for name, info in model.model_fields.items()}
    return {name: inner for name, inner in found.items() if inner is not None}


@pytest.mark.parametrize("name", FAMILIES)
def test_every_plain_field_has_a_column(name: str) -> None:
    """Under its own name, after the part that it belongs to."""
    assert list(tables(name).main.columns.keys()) == ["part_id", *_own(load(name).facts)]


@pytest.mark.parametrize("name", FAMILIES)
def test_every_list_has_a_table_of_its_own(name: str) -> None:
    """A row a child, numbered within its part."""
    lists = _lists(load(name).facts)
    children = tables(name).children
    assert {field: list(table.columns.keys()) for field, table in children.items()} == {
        field: ["part_id", "position", *inner.model_fields] for field, inner in lists.items()
    }
    assert {table.name for table in children.values()} == {f"family_{name}_{field}" for field in lists}


def test_the_families_of_this_version_have_the_child_tables_that_they_declare() -> None:
    """Sections of a can; windings and pairs of a transformer."""
    assert {name: set(tables(name).children) for name in ("capacitor", "transformer")} == {
        "capacitor": {"sections"},
        "transformer": {"windings", "pairs"},
    }


@pytest.mark.parametrize("name", FAMILIES)
def test_columns_have_the_kind_of_their_field_and_may_be_unknown(name: str) -> None:
    """Numbers are numbers, so that the owner's own SQL can compare them; the description is the column's comment."""
    for field, info in _own(load(name).facts).items():
        column = tables(name).main.columns[field]
        assert isinstance(column.type, COLUMN[plain_type(info.annotation)[0]])
        assert column.nullable
        assert column.comment == info.description


@pytest.mark.parametrize("name", FAMILIES)
def test_rows_go_with_their_part(name: str) -> None:
    """Main table and children hang on the part's id."""
    own = tables(name)
    for table in (own.main, *own.children.values()):
        key = next(iter(table.columns["part_id"].foreign_keys))
        assert (key.target_fullname, key.ondelete) == ("part.id", "CASCADE")


def test_tables_are_declared_once() -> None:
    """Asking again gives the same."""
    assert tables("capacitor") is tables("capacitor")


class Contact(Facts):
    """A child row of the family made up here."""

    poles: int | None = fact("poles", gt=0, le=12)


class Relay(Facts):
    """A family with a field of each kind."""

    coil_voltage: float | None = fact("rated coil volts", unit="V", gt=0, le=1000)
    offset: float | None = fact("a number that may be zero", ge=-1)
    action: Literal["make", "break"] | None = fact("what it does")
    sealed: bool | None = fact("sealed can")
    maker_type: str | None = fact("type as printed")
    contacts: tuple[Contact, ...] = facts_list("contact sets")


@pytest.fixture
def relay() -> Iterator[FamilyTables]:
    """Tables of the made-up family, taken out of the shared metadata again."""
    key = Column("part_id", Integer, primary_key=True)
    main = _table("family_made_up", Relay, [key])
    yield FamilyTables(main, {})
    SQLModel.metadata.remove(main)


def test_bounds_and_words_become_constraints(relay: FamilyTables) -> None:
    """What the model refuses the database refuses too."""
    made = str(CreateTable(relay.main).compile(dialect=sqlite.dialect()))
    assert set(re.findall(r"CHECK \((.*)\)", made)) == {
        "coil_voltage > 0",
        "coil_voltage <= 1000",
        '"offset" >= -1',
        "action IN ('make', 'break')",
    }


def test_a_made_up_family_gets_the_columns_of_its_fields(relay: FamilyTables) -> None:
    """One of each kind, and none for the list."""
    kinds = {column.name: type(column.type) for column in relay.main.columns}
    assert kinds == {
        "part_id": Integer,
        "coil_voltage": Float,
        "offset": Float,
        "action": Text,
        "sealed": Boolean,
        "maker_type": Text,
    }


@pytest.mark.parametrize("annotation", [complex | None, dict[str, float], float | int, bytes, tuple[float, ...]])
def test_a_field_of_an_unknown_type_is_refused(annotation: Any) -> None:
    """With the type, and those that have a column."""
    with pytest.raises(DeclarationError, match="has no column") as caught:
        plain_type(annotation)
    assert caught.value.hint == "use float, int, bool, str, Literal or a list of Facts"


def test_a_model_with_such_a_field_gets_no_table() -> None:
    """The fault shows when the family is loaded, not when its first part is shelved."""

    class Odd(Facts):
        shape: complex | None = None

    with pytest.raises(DeclarationError, match="complex"):
        _table("family_odd", Odd, [])
    assert "family_odd" not in SQLModel.metadata.tables


@pytest.fixture
def connection() -> Iterator[Connection]:
    """A catalogue in memory with one part of each family, their facts still to come."""
    engine = open_store("sqlite://")
    with engine.connect() as connection, connection.begin():
        for ident, name in enumerate(FAMILIES, 1):
            connection.execute(table_of(Part).insert().values(id=ident, family=name, title=name))
        yield connection
    engine.dispose()


SAVED: list[tuple[str, dict[str, Any]]] = [
    ("capacitor", {}),
    ("capacitor", {"capacitance": 22e-9, "polarised": False, "insulated_can": True, "approval": "it's marked"}),
    ("capacitor", {"sections": [{"capacitance": 32e-6, "voltage_dc": 350.0}, {}, {"capacitance": 8e-6}]}),
    ("transformer", {"pairs": [{"ratio": 45.0}, {"ratio": 30.0}], "windings": [{"name": "HT", "voltage": 250.0}]}),
]


@pytest.mark.parametrize(("name", "fields"), SAVED)
def test_marked_facts_come_back_as_they_were_written(connection: Connection, name: str, fields: dict[str, Any]) -> None:
    """Children in their order, truth values as such, what is unknown as None."""
    ident = FAMILIES.index(name) + 1
    facts = load(name).facts.model_validate(fields)
    save(connection, name, [(ident, facts)])
    assert marked(connection, load(name), [ident]) == {ident: facts}


def test_facts_of_several_parts_are_told_apart(connection: Connection) -> None:
    """Sections stay with their can."""
    connection.execute(table_of(Part).insert().values(id=99, family="capacitor", title="another"))
    model = load("capacitor").facts
    first = model.model_validate({"sections": [{"capacitance": 8e-6}]})
    other = model.model_validate({"sections": [{"capacitance": 16e-6}, {"capacitance": 4e-6}]})
    ident = FAMILIES.index("capacitor") + 1
    save(connection, "capacitor", [(ident, first), (99, other)])
    assert marked(connection, load("capacitor"), [99, ident]) == {ident: first, 99: other}


def test_the_tables_are_in_the_catalogue_for_any_sql_tool(connection: Connection) -> None:
    """Under names that say what they hold."""
    found = set(inspect(connection).get_table_names())
    assert found >= {"part", "family_capacitor", "family_capacitor_sections", "family_transformer_pairs"}
