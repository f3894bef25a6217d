"""Which column of somebody's list is what."""

from __future__ import annotations

import pytest
from hypothesis import given as drawn
from hypothesis import strategies as st

from partsbin.errors import UsageError
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


@drawn(st.lists(st.one_of(st.text(max_size=20), st.sampled_from(["Value", "Qty", "capacitance", "Wert", "ref"]))))
def test_every_column_gets_one_role_and_no_role_two_columns(header: list[str]) -> None:
    """Whatever the headings are."""
    roles = map_columns(header, FIELDS).roles
    given_roles = [role for role in roles if role]
    assert len(roles) == len(header)
    assert len(given_roles) == len(set(given_roles))


def _roles(header: list[str], *rows: str, **said: dict[str, str]) -> dict[str, tuple[str, str]]:
    cells = [row.split("|") for row in rows]
    mapping = map_columns(header, FIELDS, cells, **said)
    return {column.heading: (column.role, column.why) for column in mapping.columns}


def test_contents_tell_what_headings_do_not() -> None:
    """Designators, values and descriptions, with how sure that is."""
    found = _roles(
        ["A", "B", "C"], "C1|100n|22n 400V film", "R2|4k7|x", "C3|47n|47n polyester", "R4|10k|4k7 resistor 1W"
    )
    assert found == {
        "A": (DESIGNATOR, "by its contents"),
        "B": (VALUE, "by its contents"),
        "C": ("description", "75 % sure by its contents"),
    }


def test_a_heading_with_several_meanings_is_told_by_its_contents() -> None:
    """A part may be a designator or a description."""
    assert _roles(["Part"], "C1", "R2", "R3")["Part"][0] == DESIGNATOR
    assert _roles(["Part"], "22n 400V film", "EL84", "4k7 resistor")["Part"][0] == "description"
    assert _roles(["Pos", "Text"], "1|22n", "2|47n", "3|10n") == {
        "Pos": ("", ""),
        "Text": ("description", "by its name"),
    }


def test_columns_without_headings_are_told_by_their_contents() -> None:
    """Whole numbers there are counts."""
    assert [role for role, _ in _roles(["", ""], "22n 400V film|3", "47n 630V film|12").values()] == [
        "description",
        "count",
    ]


def test_money_is_not_read_whatever_its_heading() -> None:
    """A value in pounds is no value of a part."""
    assert _roles(["Value", "Description"], "0.40 €|22n", "1.20 €|47n")["Value"] == ("", "")


def test_a_slip_is_shown_with_how_sure_it_is() -> None:
    """So that a person looks at it."""
    assert _roles(["Quantitiy", "Value"])["Quantitiy"] == ("count", "94 % sure by its name")


def test_what_is_told_stands_before_what_is_remembered_and_that_before_the_name() -> None:
    """And frees the role for no other column."""
    header = ["Value", "Wert", "Note"]
    assert [role for role, _ in _roles(header, given={"Wert": "value"}).values()] == ["", VALUE, "note"]
    assert [role for role, _ in _roles(header, remembered={"Wert": "value"}).values()] == ["", VALUE, "note"]
    both = _roles(header, given={"Note": ""}, remembered={"Note": "maker"})
    assert both["Note"] == ("", "as told")


WRONG = [
    ({"Wret": "value"}, "no column 'Wret' in this list", "did you mean 'Wert'?"),
    ({"zzz": "value"}, "no column 'zzz' in this list", "there are Wert, Note"),
    ({"Wert": "valeu"}, "'valeu' is nothing that a column can be", "did you mean 'value'?"),
    ({"Wert": "xyzzy!"}, "'xyzzy!' is nothing that a column can be", "one of part, family"),
]


@pytest.mark.parametrize(("given", "said", "hint"), WRONG)
def test_a_column_or_role_that_is_not_there_is_refused(given: dict[str, str], said: str, hint: str) -> None:
    """With the nearest, or with what there is."""
    with pytest.raises(UsageError) as refused:
        map_columns(["Wert", "Note"], FIELDS, given=given)
    assert refused.value.message == said
    assert refused.value.hint.startswith(hint)
