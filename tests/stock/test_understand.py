"""What a row means when its facts are spread over cells, or contradict each other."""

from __future__ import annotations

from typing import Any

import pytest

from partsbin.stock.intake import NOT_OURS, TAKEN, UNREAD, UNSURE, RowAccount, take_in
from partsbin.stock.lists import Cells


def _rows(header: str, *rows: str, comma: bool = False) -> list[RowAccount]:
    numbered = tuple((line, tuple(row.split("|"))) for line, row in enumerate(rows, 2))
    return take_in(Cells("shelf.csv", tuple(header.split("|")), numbered, (), comma)).rows


SPREAD: list[tuple[str, str, dict[str, Any]]] = [
    ("Ref|Value|Voltage", "C1|100n|400", {"capacitance": 100e-9, "voltage_dc": 400.0}),
    (
        "Ref|Wert|Spannung|Toleranz (%)",
        "C1|0,1 µF|630 V|10",
        {"capacitance": 100e-9, "voltage_dc": 630.0, "tolerance": 0.1},
    ),
    ("Ref|Wert (nF)|Volts", "C1|22|250", {"capacitance": 22e-9, "voltage_dc": 250.0}),
    ("Bauteilnummer|Wert|Leistung", "R3|4k7|0,5", {"resistance": 4700.0, "power": 0.5}),
    ("Value|Rating|Description", "4k7|0.25W|Metal film resistor", {"resistance": 4700.0, "power": 0.25}),
    ("Capacitance|Voltage|Amount", "22n|400 V|3", {"capacitance": 22e-9, "voltage_dc": 400.0}),
]


@pytest.mark.parametrize(("header", "row", "fields"), SPREAD)
def test_values_and_ratings_in_different_columns_are_put_together(
    header: str, row: str, fields: dict[str, Any]
) -> None:
    """A bare number has the unit of its heading, or of the field that the heading names."""
    (found,) = _rows(header, row)
    assert found.problems == []
    assert {name: found.fields.get(name) for name in fields} == {
        name: pytest.approx(value) for name, value in fields.items()
    }


CONTRADICTIONS = [
    ("Ref|Value|Description", "C1|100n|47n 400V polyester", "capacitance"),
    ("Ref|Value|Rating|Description", "C1|100n|400V|630V film", "voltage_dc"),
    ("family|description|voltage_dc", "capacitor|22n 400V film|350 V", "voltage_dc"),
]


@pytest.mark.parametrize(("header", "row", "name"), CONTRADICTIONS)
def test_cells_that_contradict_each_other_are_reported(header: str, row: str, name: str) -> None:
    """The row is taken with a doubt that names the field."""
    (found,) = _rows(header, row)
    assert found.status == UNSURE
    assert any(note.startswith(f"the row contradicts itself of {name}") for note in found.notes)


def test_cells_that_say_the_same_are_no_contradiction() -> None:
    """In whatever notation."""
    (found,) = _rows("Ref|Value|Description", "C1|0.1uF|100n polyester")
    assert (found.status, found.notes) == (TAKEN, ())


COMMAS = [
    ("Wert|Anzahl", "4.700 µF Elko|1.000", {"capacitance": 4700e-6}, 1000),
    ("Wert|Anzahl", "1,000 µF Elko|2", {"capacitance": 1e-6}, 2),
    ("Wert|Anzahl", "0,022 µF Folie|3", {"capacitance": 22e-9}, 3),
    ("Wert|Anzahl", "0.022 µF Folie|3", {"capacitance": 22e-9}, 3),
]


@pytest.mark.parametrize(("header", "row", "fields", "count"), COMMAS)
def test_a_list_with_decimal_commas_has_points_between_thousands(
    header: str, row: str, fields: dict[str, float], count: int
) -> None:
    """Also where a number alone could be read either way."""
    (found,) = _rows(header, row, comma=True)
    assert found.draft is not None
    assert (found.draft.count, found.fields["capacitance"]) == (count, pytest.approx(fields["capacitance"]))


def test_raw_cells_stay_as_they_came() -> None:
    """However their numbers were read."""
    (found,) = _rows("Wert|Anzahl", "4.700 µF Elko|1.000", comma=True)
    assert found.draft is not None
    assert found.draft.file is not None
    assert dict(found.draft.file[3]) == {"Wert": "4.700 µF Elko", "Anzahl": "1.000"}


def test_a_row_that_says_nothing_of_its_family_is_like_the_rest_of_its_list() -> None:
    """In a list of valves an unknown type is a valve, kept as it is called; it is said."""
    *known, unknown = _rows("Type|Amount", *(f"{name}|2" for name in ("ECC83", "EL84", "EF86", "EZ81", "9999XX")))
    assert [row.status for row in known] == [TAKEN] * 4
    assert (unknown.status, unknown.family, unknown.title) == (UNSURE, "valve", "9999XX")
    assert "taken for a valve, like the rest of the list" in unknown.notes


def test_a_mixed_list_lends_no_family() -> None:
    """What is not known in it stays out, and is counted."""
    *_, unknown = _rows("Type|Amount", "ECC83|2", "22n 400V film|3", "4k7 resistor|1", "gizmo X|1")
    assert (unknown.status, unknown.family) == (NOT_OURS, "")


def test_the_column_that_is_filled_names_the_family() -> None:
    """Only a capacitor has a capacitance; a resistance may be of several things."""
    cap, res = _rows("capacitance|resistance", "22n|", "|4k7")
    assert (cap.family, cap.status) == ("capacitor", TAKEN)
    assert res.family in ("", "resistor")


def test_a_part_of_which_nothing_is_said_is_left() -> None:
    """A place alone makes no part."""
    (found,) = _rows("place|count", "drawer 4|3")
    assert found.status == UNREAD


def test_volts_alone_tell_of_no_family() -> None:
    """Lamps have them, and capacitors."""
    (row,) = _rows("V|Qty", "450|2")
    assert (row.status, row.family) == (NOT_OURS, "")


def test_a_capacitance_without_a_unit_is_doubtful_and_never_in_farads() -> None:
    """Nobody keeps 47 farads."""
    (row,) = _rows("Typ|Kapazität|Spannung", "Elko|47|450")
    assert (row.status, row.fields["capacitance"]) == (UNSURE, pytest.approx(47e-6))
    assert "'47' has no unit: say it in the heading" in row.notes


def test_a_unit_may_stand_in_a_column_of_its_own() -> None:
    """It decides the family as well."""
    rows = _rows("Value|Unit|Volt", "22|nF|630", "10|kΩ|", "1|MΩ|")
    assert [row.title for row in rows] == ["22 nF 630 V", "10 kΩ", "1 MΩ"]


@pytest.mark.parametrize(
    ("text", "title", "count"),
    [
        ("C1: 22n 630V", "22 nF 630 V", 1),
        ("R2, R3: 1M", "1 MΩ", 2),
        ("- 3 x 22n 630V", "22 nF 630 V", 3),
        ("2) 100k 1W - 12 pcs", "100 kΩ 1 W", 12),
        ("ECC83 2x", "ECC83", 2),
        ("2 off EL84", "EL84", 2),
    ],
)
def test_a_typed_line_is_read_behind_its_label_and_beside_its_count(text: str, title: str, count: int) -> None:
    """Designators, bullets and numbers are not marked on the part."""
    (row,) = _rows("what", text)
    assert (row.title, row.count, row.status) == (title, count, TAKEN)


def test_several_parts_in_one_line_are_doubtful() -> None:
    """One line, one part."""
    (row,) = _rows("Contents", "22n 630V x12, 47n 630V x4")
    assert row.status == UNSURE


def test_a_count_in_the_text_beside_another_is_doubtful() -> None:
    """``2x8µF`` may be a can of two sections."""
    (row,) = _rows("what|Qty", "2x8µF 450V|1")
    assert (row.status, row.count) == (UNSURE, 1)


def test_designators_are_as_many_as_the_parts() -> None:
    """Where no column counts them."""
    assert [row.count for row in _rows("Ref|Value", "C1,C2,C3|100n", "R1-R5|10k")] == [3, 5]
    assert [row.count for row in _rows("Ref|Value|Qty", "C1,C2,C3|100n|9")] == [9]


@pytest.mark.parametrize("text", ["=SUM(A1)", "-470k", "Oddments"])
def test_what_is_no_type_is_not_one_more_of_the_rest(text: str) -> None:
    """A list of one family takes in what is called by a type, and nothing else."""
    row = _rows("what", "10k 1W", "22k 1W", "47k 1W", text)[-1]
    assert row.status in (NOT_OURS, UNREAD)


def test_a_row_of_which_nothing_is_read_is_shown_as_it_stands() -> None:
    """Else nobody could tell which it is."""
    (row,) = _rows("place|order", "A3|7")
    assert (row.status, row.text) == (UNREAD, "A3 | 7")


def test_small_numbers_under_capacitance_are_no_farads_either() -> None:
    """0.0005 among others is a mica capacitor, not 500 µF; a number with a power of ten is in farads."""
    rows = _rows("Capacitance|Voltage|Type", "0.0005|500|Mica", "2.2e-08|400|Film")
    assert [(row.status, row.title) for row in rows] == [(UNSURE, "500 pF 500 V mica"), (TAKEN, "22 nF 400 V film")]


def test_a_column_of_capacitances_may_hold_a_can() -> None:
    """What the column cannot hold is read as the family reads it."""
    (row,) = _rows("cap|volt", "20/20|450")
    assert row.title == "20+20 µF 450 V"


def test_a_size_under_pitch_is_no_value_and_no_count() -> None:
    """10x4 beside 0.047 µF is no ten of 4 µF: it is left unread, and said."""
    (row,) = _rows("Capacitance (uF)|Voltage (V)|Pitch", "0.047|63|10x4")
    assert row.draft is not None
    assert (row.draft.title, row.draft.count) == ("47 nF 63 V", 1)
    assert any("10x4" in note for note in row.notes)


def test_a_bare_pitch_is_in_millimetres() -> None:
    """Nobody sells capacitors by the metre."""
    (row,) = _rows("Capacitance (uF)|Voltage (V)|Pitch", "0.047|63|22.5")
    assert (row.status, row.fields["pitch"]) == (TAKEN, 0.0225)


@pytest.mark.parametrize("text", ["47nF polyester VPE 1000", "100k pack of 1000", "47n MKT type 400"])
def test_how_many_are_packed_and_the_number_of_a_type_are_no_volts(text: str) -> None:
    """A part must not be taken for one of 1 kV because a thousand are in a bag."""
    (row,) = _rows("Description", text)
    assert row.draft is not None
    assert "0 V" not in row.draft.title


def test_volts_before_the_class_of_a_ceramic_are_no_count() -> None:
    """50 X7R is no fifty pieces."""
    (row,) = _rows("Description", "100nF 50 X7R")
    assert row.draft is not None
    assert row.draft.count == 1


def test_a_size_in_capitals_is_no_count() -> None:
    """A list in capitals: 22X12X30MM is no twelve pieces."""
    (row,) = _rows("Description", "22NF 400V 22X12X30MM")
    assert row.draft is not None
    assert (row.draft.title, row.draft.count) == ("22 nF 400 V", 1)


def test_a_heading_that_names_a_family_gives_it_to_its_cells() -> None:
    """500k under ``Potis`` is no resistor."""
    rows = _rows("Potis|Kennlinie|Stk", "500k|log|2", "1M|lin|3")
    assert [row.title for row in rows] == ["500 kΩ log potentiometer", "1 MΩ linear potentiometer"]


def test_letters_of_designators_may_stand_for_families() -> None:
    """In a column of their own."""
    rows = _rows("Value|Type|Rating", "470|R|1W", "22n|C|400V")
    assert [row.family for row in rows] == ["resistor", "capacitor"]


def test_a_choke_under_the_letter_of_coils_is_a_choke() -> None:
    """The word beside it says more."""
    (row,) = _rows("Part|Description", "L1|Choke 8H 75mA")
    assert (row.family, row.status) == ("choke", TAKEN)


def test_what_a_family_reads_beside_its_name_is_read_in_a_list_of_it() -> None:
    """``807`` alone may be anything; among valves it is one, with a doubt."""
    row = _rows("Valve|Qty", "12AX7|4", "EL84|2", "ECC83|1", "807|2")[-1]
    assert (row.status, row.fields) == (UNSURE, {"valve_type": "807"})


def test_a_count_that_is_not_given_is_said_to_be_one() -> None:
    """Where the list counts its parts."""
    (row,) = _rows("what|Qty", "EL84|")
    assert (row.count, row.notes) == (1, ("how many is not said: one is taken",))


def test_half_a_designation_is_no_type() -> None:
    """Among valves it is kept as it is called."""
    row = _rows("Valve|Qty", "12AX7|4", "EL84|2", "ECC83|1", "RGN 1404|2")[-1]
    assert (row.status, row.title, row.fields) == (UNSURE, "RGN 1404", {})
