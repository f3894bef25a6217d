"""Reading valves: designations of every kind, and values and transistors that only look like one."""

from __future__ import annotations

import pytest

from partsbin.families import load
from partsbin.notation.valve import read_valve
from partsbin.reference.equivalents import equivalents, type_key
from partsbin.reference.valves import valves

LISTED = sorted({row.type for row in valves()} | {name for row in equivalents() for name in (row.type_a, row.type_b)})


@pytest.mark.parametrize("name", LISTED)
def test_every_listed_type_is_read_beside_the_word_valve(name: str) -> None:
    """Whatever its make-up, bare numbers included."""
    (reading,) = read_valve(f"valve {name}")
    assert type_key(str(reading.fields["valve_type"])) == type_key(name)
    assert (reading.rest, reading.sure) == ("", True)


@pytest.mark.parametrize(
    ("text", "type"),
    [
        ("EL84", "EL84"), ("ecl86", "ECL86"), ("EL 84", "EL84"), ("EZ-81", "EZ81"), ("2x EL84", "EL84"), ("2 x EL84", "EL84"),
        ("6V6GT", "6V6GT"), ("6X4", "6X4"), ("ECC83/12AX7", "ECC83/12AX7"), ("E88CC", "E88CC"), ("CV1377", "CV1377"),
        ("KT66", "KT66"), ("PL504", "PL504"), ("UABC80", "UABC80"), ("300B tube", "300B"), ("valve 80", "80"),
        ("valve 6K8", "6K8"), ("6K8G", "6K8G"), ("35W4", "35W4"), ("2A3", "2A3"),
        ("6V6-GT", "6V6GT"), ("6SN7-GTB", "6SN7GTB"), ("VR150/30", "VR150/30"),
    ],
)  # fmt: skip
def test_a_designation_is_read(text: str, type: str) -> None:
    """European, American, services numbers; torn apart, in small letters, with a count."""
    (reading,) = read_valve(text)
    assert reading.fields["valve_type"] == type


@pytest.mark.parametrize(
    "text",
    ["6K8", "4k7", "2M2", "1R5", "80", "470K", "6n8", "BC107", "AC128", "BY127", "EM513", "1N4007", "B250C100", "AC 250", "X2",
     "10uF EL34", "EL84 5k2:3 ohm", "DC12", "CP2", "F1A", "16V", "8uF", ""],
)  # fmt: skip
def test_a_value_a_transistor_or_another_part_is_no_valve(text: str) -> None:
    """Without the word nobody can tell; with values beside it the text is about another part."""
    assert read_valve(text) == []


def test_base_and_condition_are_read_beside_the_type() -> None:
    """And a word of the box does not make the reading unsure."""
    (reading,) = read_valve("PCL82 noval, salvaged, boxed")
    assert reading.fields == {"valve_type": "PCL82", "base": "B9A", "condition": "salvaged"}
    assert reading.sure


def test_a_number_that_the_tables_hold_is_read_by_the_family() -> None:
    """5751 is a valve, 80 alone is not, and 14K7 may be 14.7 kΩ."""
    read = load("valve").read
    assert [bool(read(text)) for text in ("5751", "7025", "80", "14K7", "9999")] == [True, True, False, False, False]


@pytest.mark.parametrize(("text", "kind"), [("6V6GT/G", "6V6GT"), ("5Y3GT/G boxed", "5Y3GT"), ("6V6-GT", "6V6GT")])
def test_a_bulb_that_took_the_place_of_two_is_one_type(text: str, kind: str) -> None:
    """GT/G was printed on those that serve for both (common practice, no source)."""
    (reading,) = read_valve(text)
    assert reading.fields["valve_type"] == kind
