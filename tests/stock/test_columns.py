"""Which column of somebody's list is what."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.stock.columns import DESIGNATOR, PART_COLUMNS, RATING, VALUE, map_columns
from partsbin.stock.intake import all_fields

FIELDS = all_fields()


@pytest.mark.parametrize("name", [*PART_COLUMNS, *FIELDS])
def test_our_own_names_are_read_as_they_stand(name: str) -> None:
    """Columns that every part has, and the fields of every family."""
    assert map_columns(["family", name], FIELDS).roles[-1] == ("" if name == "family" else name)


@pytest.mark.parametrize("name", ["Voltage DC", "voltage-dc", " VOLTAGE_DC "])
def test_our_own_names_may_be_written_loosely(name: str) -> None:
    """With blanks or dashes, in any case."""
    assert map_columns([name], FIELDS).roles == ("voltage_dc",)


FOREIGN = [
    ("Reference", DESIGNATOR),
    ("Part Ref.", DESIGNATOR),
    ("Bauteilnummer", DESIGNATOR),
    ("Wert", VALUE),
    ("Val", VALUE),
    ("Characteristics", RATING),
    ("Working voltage", "voltage"),
    ("Spannung", "voltage"),
    ("Bezeichnung", "description"),
    ("Comment", "description"),
    ("Qty", "count"),
    ("Stück", "count"),
    ("No. off", "count"),
    ("Lagerort", "place"),
    ("Drawer", "place"),
    ("Zustand", "condition"),
    ("Hersteller", "maker"),
    ("Bemerkung", "note"),
    ("Chassis", "donor"),
]


@pytest.mark.parametrize(("name", "role"), FOREIGN)
def test_the_usual_names_of_other_lists_are_known(name: str, role: str) -> None:
    """English and German headings, whatever stands between the words."""
    assert map_columns([name], FIELDS).roles == (role,)


@pytest.mark.parametrize("name", ["Footprint", "Source1Price", "", "Datasheet", "€ value", "Value (EUR)", "Preis"])
def test_a_column_that_says_nothing_of_the_part_is_kept_unread(name: str) -> None:
    """It stays with the row it came in."""
    assert map_columns([name], FIELDS).roles == ("",)


def test_each_role_is_given_once() -> None:
    """Our own name stands before another for the same; of two others the first is read."""
    assert map_columns(["Value", "Wert", "Qty", "count"], FIELDS).roles == (VALUE, "", "", "count")


def test_a_type_is_a_description_only_where_there_is_no_other() -> None:
    """Lists of valves have nothing else; lists of capacitors write the dielectric's trade name there."""
    assert map_columns(["Type", "Amount"], FIELDS).roles == ("description", "count")
    assert map_columns(["Type", "Description"], FIELDS).roles == ("", "description")


def test_a_role_is_found_by_its_column() -> None:
    """None where the list has no such column."""
    mapping = map_columns(["Ref", "Value"], FIELDS)
    assert (mapping.index(VALUE), mapping.index("count")) == (1, None)


@given(st.lists(st.one_of(st.text(max_size=20), st.sampled_from(["Value", "Qty", "capacitance", "Wert", "ref"]))))
def test_every_column_gets_one_role_and_no_role_two_columns(header: list[str]) -> None:
    """Whatever the headings are."""
    roles = map_columns(header, FIELDS).roles
    given_roles = [role for role in roles if role]
    assert len(roles) == len(header)
    assert len(given_roles) == len(set(given_roles))
