"""Reading rectifiers: types, the code of dry rectifiers, words; and what is none."""

from __future__ import annotations

from typing import Any

import pytest

from partsbin.notation.rectifier import read_rectifier_part

DRY: dict[str, Any] = {"technology": "selenium"}
DIODE: dict[str, Any] = {"technology": "silicon", "connection": "single"}


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("1N4007", {**DIODE, "rectifier_type": "1N4007"}),
        ("1n4007 1000V 1A", {**DIODE, "rectifier_type": "1N4007", "voltage_peak_inverse": 1000.0, "dc_current": 1.0}),
        ("BY127", {**DIODE, "rectifier_type": "BY127"}),
        ("B250C100", {**DRY, "rectifier_type": "B250C100", "connection": "bridge", "voltage_ac": 250.0, "dc_current": 0.1}),
        ("E250 C85", {**DRY, "rectifier_type": "E250C85", "connection": "single", "voltage_ac": 250.0, "dc_current": 0.085}),
        ("M300C60", {**DRY, "rectifier_type": "M300C60", "connection": "centre-tap", "voltage_ac": 300.0, "dc_current": 0.06}),
        ("V125C50", {**DRY, "rectifier_type": "V125C50", "connection": "doubler", "voltage_ac": 125.0, "dc_current": 0.05}),
        ("selenium 250V 75mA half wave", {**DRY, "connection": "single", "voltage_ac": 250.0, "dc_current": 0.075}),
        ("bridge 600V 2A", {"technology": "silicon", "connection": "bridge", "voltage_peak_inverse": 600.0, "dc_current": 2.0}),
        ("silicon bridge rectifier 2A 600V 50A surge",
         {"technology": "silicon", "connection": "bridge", "voltage_peak_inverse": 600.0, "dc_current": 2.0, "surge": 50.0}),
        ("silicon diode 1A PIV 800V", {"technology": "silicon", "voltage_peak_inverse": 800.0, "dc_current": 1.0}),
        ("copper oxide bridge 5V 1mA", {"technology": "copper-oxide", "connection": "bridge", "voltage_ac": 5.0, "dc_current": 1e-3}),
        ("contact cooled rectifier 250V 60mA", {**DRY, "voltage_ac": 250.0, "dc_current": 0.06}),
        ("BY 127", {**DIODE, "rectifier_type": "BY127"}),
        ("IN4007", {**DIODE, "rectifier_type": "1N4007"}),
        ("Si-Diode 1000V 1A", {"technology": "silicon", "voltage_peak_inverse": 1000.0, "dc_current": 1.0}),
        ("selenium rectifier used", {**DRY, "condition": "salvaged"}),
    ],
)  # fmt: skip
def test_a_description_is_read(text: str, fields: dict[str, Any]) -> None:
    """Plain volts are AC put in on plates, peak inverse on silicon."""
    (reading,) = read_rectifier_part(text)
    assert reading.fields == fields
    assert (reading.rest, reading.sure) == ("", True)


@pytest.mark.parametrize(
    "text",
    ["EZ80", "1N4148", "1N4733", "bridge", "250 bridge", "full wave", "B250", "0.1uF 250V", "single", "100mA", ""],
)
def test_what_does_not_name_a_rectifier_is_none(text: str) -> None:
    """A bridge alone may be a coil's, volts alone anything's."""
    assert read_rectifier_part(text) == []


def test_a_code_that_both_kinds_bear_is_in_doubt() -> None:
    """B80C1500 may be plates or a silicon block: nothing is said of the material."""
    (reading,) = read_rectifier_part("B80C1500")
    assert "technology" not in reading.fields
    assert not reading.sure


def test_a_metal_rectifier_may_be_of_either_plate() -> None:
    """And the reading says so."""
    (reading,) = read_rectifier_part("metal rectifier 250V 100mA")
    assert reading.fields["voltage_ac"] == 250.0
    assert "technology" not in reading.fields
    assert not reading.sure
