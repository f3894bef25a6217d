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


def test_a_part_may_be_described_in_two_columns() -> None:
    """What it is in one, what is printed on it in the other."""
    rows = [["Loudspeaker", "8 inch 3 ohm", "1"], ["Choke", "10H 100mA", "2"]]
    assert map_columns(["Item", "Details", "Qty"], FIELDS, rows).roles == ("description", "description", "count")


def test_other_names_of_a_valve_describe_it_no_second_time() -> None:
    """Joined they would be understood as none."""
    rows = [["EZ80", "6V4"], ["ECC83", "12AX7"]]
    assert map_columns(["Valve", "Equivalent"], FIELDS, rows).roles == ("description", "")


KINDS = [
    ("Category", ["Capacitors", "Widerstände", "Valves"], "family"),
    ("Class", ["Y2", "X2", ""], "safety_class"),
    ("Kind", ["polyester", "electrolytic", "mica"], "description"),
    ("Number", ["12", "4", "4"], "count"),
    ("Unit", ["nF", "µF", "kΩ"], "unit"),
]


@pytest.mark.parametrize(("heading", "cells", "role"), KINDS)
def test_the_cells_decide_what_a_loose_heading_means(heading: str, cells: list[str], role: str) -> None:
    """One word, several uses."""
    assert map_columns([heading], FIELDS, [[cell] for cell in cells]).roles == (role,)


def test_a_second_value_column_may_hold_ratings() -> None:
    """Its name is taken, its cells tell."""
    rows = [["10k", "1W"], ["22n", "630V"]]
    assert map_columns(["Value", "Value2"], FIELDS, rows).roles == ("value", RATING)


def test_whole_numbers_of_volts_are_no_counts_where_nothing_is_headed() -> None:
    """The other column of numbers is."""
    rows = [["22n", "630", "3"], ["100n", "400", "5"]]
    assert map_columns(["", "", ""], FIELDS, rows).roles == ("value", "voltage", "count")


def test_a_tolerance_of_five_is_in_percent() -> None:
    """A fraction stays one, and so does everything in a list of our own."""
    assert map_columns(["Value", "Tol"], FIELDS, [["10k", "5"]]).columns[1].unit == "%"
    assert map_columns(["Value", "Tol"], FIELDS, [["10k", "0.05"]]).columns[1].unit == ""
    assert map_columns(["family", "tolerance"], FIELDS, [["resistor", "5"]]).columns[1].unit == ""


def test_counts_under_ratings_are_said_not_to_be_read() -> None:
    """How many there are of each part, nobody knows then."""
    rows = [["10n", "5", "3"], ["22n", "", "4"]]
    mapping = map_columns(["Value", "250V", "400V"], FIELDS, rows)
    assert mapping.doubts(rows) == ("", "counts under '250V', '400V' are not read: one line a part")


def test_a_second_table_beside_the_first_is_said_not_to_be_read() -> None:
    """Its headings come twice."""
    mapping = map_columns(["Value", "Qty", "", "Value", "Qty"], FIELDS, [["22n", "3", "", "10k", "5"]])
    assert mapping.doubts([])[0] == (
        "'Value [4]', 'Qty [5]' come a second time and are not read: write that table below the first"
    )


def test_a_comment_describes_the_part_or_is_a_note() -> None:
    """As its cells say; beside a description it is what somebody adds."""
    rows = [["22n 630V", "bought in 2019"], ["10k 1W", "spare"]]
    assert map_columns(["Part", "Comment"], FIELDS, rows).roles == ("description", "note")
    assert map_columns(["Ref", "Comment"], FIELDS, [["C1", "100n"], ["R1", "10k"]]).roles == (DESIGNATOR, "value")
