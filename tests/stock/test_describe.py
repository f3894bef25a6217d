"""What a description says: which family it speaks of, and what that family reads in it."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.families import load, names
from partsbin.stock.describe import (
    TRADE_FAMILIES,
    facts_from,
    family_by_designator,
    family_by_words,
    part_fields,
    readings_of,
)

CAPACITOR, TRANSFORMER = load("capacitor"), load("transformer")

DESIGNATORS = [
    ("C17", "capacitor"),
    ("c 3", "capacitor"),
    ("C1, C2, C5", "capacitor"),
    ("VC1", "capacitor"),
    ("R12", "resistor"),
    ("RV2", "potentiometer"),
    ("VR1", "potentiometer"),
    ("T1", "transformer"),
    ("OPT1", "transformer"),
    ("TR2", "transformer"),
    ("CH1", "choke"),
    ("L4", "coil"),
    ("V3", "valve"),
    ("D2", "rectifier"),
    ("LP1", "lamp"),
    ("FS1", "fuse"),
    ("LS1", "loudspeaker"),
    ("SW1", "switch"),
    ("U3", ""),
    ("C", ""),
    ("17", ""),
    ("CX1", ""),
    ("", ""),
]


@pytest.mark.parametrize(("designator", "family"), DESIGNATORS)
def test_a_designator_stands_for_a_family(designator: str, family: str) -> None:
    """By its letters, before a number; letters that the trade does not use stand for none."""
    assert family_by_designator(designator) == family


WORDS = [
    ("Metallized Polypropylene Film", "capacitor"),
    ("Elko 450V", "capacitor"),
    (".1 mfd paper", "capacitor"),
    ("500 mmf", "capacitor"),
    ("output transformer", "transformer"),
    ("Ausgangstrafo 5k2", "transformer"),
    ("Metallschicht Widerstand", "resistor"),
    ("metal film 1 %", "resistor"),
    ("choke 200 ohm", "choke"),
    ("loudspeaker 3 ohm", "loudspeaker"),
    ("Drehwiderstand 10k", "potentiometer"),
    ("Carbon potentiometer, rotatory", "potentiometer"),
    ("smoothing choke 10H", "choke"),
    ("3PDT toggle switch", "switch"),
    ("selenium rectifier", "rectifier"),
    ("pilot bulb 6.3V 0.3A, screw", "lamp"),
    ("screw for a lamp holder", "hardware"),
    ("2 x 8uF 500V in one cardboard tube", ""),
    ("radio tube", "valve"),
    ("speaker, field 1200 ohms, 2.5 ohm voice coil", "loudspeaker"),
    ("trimmer 4-20p", "coil"),
    ("trimmer 100k", ""),
    ("output trans EL84", "transformer"),
    ("Röhrensockel Oktal", "hardware"),
    ("5k:3", ""),
    ("", ""),
]


@pytest.mark.parametrize(("text", "family"), WORDS)
def test_a_family_is_named_in_words(text: str, family: str) -> None:
    """English and German, in any case."""
    assert family_by_words(text) == family


def test_every_family_that_words_or_letters_stand_for_is_one_of_the_trade() -> None:
    """An account names no family that does not exist."""
    named = {family for _, family in (*DESIGNATORS, *WORDS)} - {""}
    assert named <= set(TRADE_FAMILIES)


FOUND = [
    ("22n 400V film", "", "capacitor"),
    ("0.02uF 350V waxed paper", "", "capacitor"),
    ("output transformer 5k2:3", "", "transformer"),
    ("OPT 45:1 Rp 380", "", "transformer"),
    ("5k:3Ω", "transformer", "transformer"),
    ("4k7 resistor", "", "resistor"),
    ("470k", "", "resistor"),
    ("100R", "", "resistor"),
    ("4k7 1/2W", "", "resistor"),
    ("47k wirewound 5W", "", "resistor"),
    ("470 Ω", "", "resistor"),
    ("470 ohms 3 watt", "", "resistor"),
    ("5k:3Ω", "", "transformer"),
    ("brown black orange gold", "", "resistor"),
    ("470K disc", "", "capacitor"),
    ("470K resistor", "", "resistor"),
    ("0.1 400V", "", "capacitor"),
    ("6.3V 1W screw bulb", "", "lamp"),
    ("2 x 8uF 500V in one cardboard tube", "", "capacitor"),
    ("tweeter 8 ohm 10W", "", "loudspeaker"),
    ("Elliptical 8 x 5 inch 3 ohm", "", "loudspeaker"),
    ('8Ω full range 6.5"', "", "loudspeaker"),
    ("mica compression trimmer 10-80pF", "", "coil"),
    ("100mA fast ceramic 250V 5x20 HBC", "", "fuse"),
    ("6.3V 1A", "transformer", "transformer"),
]


@pytest.mark.parametrize(("text", "family", "found"), FOUND)
def test_a_description_is_read_by_its_family(text: str, family: str, found: str) -> None:
    """By the family that was meant, else the one that its words name, else the one that makes sense of it."""
    assert {reading.family for reading in readings_of(text, family)} == {found}


@pytest.mark.parametrize("text", ["xyzzy", "", "10k NTC resistor"])
def test_what_no_family_can_read_has_no_reading(text: str) -> None:
    """A thermistor is not turned into a resistor of some kind."""
    assert readings_of(text) == []


def test_an_ambiguous_description_keeps_all_its_readings() -> None:
    """A 470K on a disc is a code, or the value itself."""
    assert len(readings_of("470K disc ceramic")) == 2


@pytest.mark.parametrize("text", ["470K", "1M", "100"])
def test_what_two_families_mark_alike_is_left_open(text: str) -> None:
    """The resistor and the capacitor, none of them sure, and each says why."""
    found = readings_of(text)
    assert {reading.family for reading in found} >= {"capacitor", "resistor"}
    assert not any(reading.sure for reading in found)
    assert all("nothing says which" in reading.notes[-1] for reading in found)


def test_what_is_wrong_with_all_of_a_text_is_said() -> None:
    """Gold at both ends is no colour code: a reading without fields, with the reason."""
    (reading,) = readings_of("gold red gold")
    assert (reading.fields, reading.sure) == ({}, False)
    assert reading.notes == ("gold as first digit of 'gold red gold': expected brown to white",)


FAULTS: list[tuple[dict[str, Any], list[str]]] = [
    ({"capacitance": -1e-9}, ["capacitance: -1e-09 is impossible, expected more than 0"]),
    ({"capacitance": 5.0}, ["capacitance: 5 is impossible, expected at most 1"]),
    ({"tolerance_low": -1.5}, ["tolerance_low: -1.5 is impossible, expected at least -1"]),
    ({"sections": [{"capacitance": 0.0}]}, ["sections.0.capacitance: 0 is impossible, expected more than 0"]),
    ({"esr": 3.0}, ["esr: no such field"]),
    (
        {"capacitance": 5.0, "voltage_dc": -1.0},
        ["capacitance: 5 is impossible, expected at most 1", "voltage_dc: -1 is impossible, expected more than 0"],
    ),
]


@pytest.mark.parametrize(("fields", "faults"), FAULTS)
def test_impossible_facts_are_told_field_by_field(fields: dict[str, Any], faults: list[str]) -> None:
    """Every fault, with the value given and the bound."""
    assert facts_from(CAPACITOR, fields) == (None, faults)


def test_a_word_that_is_not_of_the_family_is_told_with_those_that_are() -> None:
    """The list of words comes from the field itself."""
    facts, faults = facts_from(CAPACITOR, {"mounting": "glued"})
    assert facts is None
    assert faults == ["mounting: 'glued' is not one of 'axial', 'radial', 'tags', 'twist-lug' or 'clamp'"]


def test_possible_facts_are_validated() -> None:
    """Into the family's own model."""
    facts, faults = facts_from(TRANSFORMER, {"pairs": [{"ratio": 45}]})
    assert faults == []
    assert facts is not None
    assert facts.model_dump(exclude_none=True, exclude_defaults=True) == {"pairs": ({"ratio": 45.0},)}


def test_what_lies_on_the_shelf_is_told_from_what_is_marked() -> None:
    """Count and condition belong to the part as it lies; words that came as a list become a text."""
    fields = {"served": ["EL84", "EZ80"], "power": 5.0, "count": 3, "condition": "new"}
    own, lying = part_fields(fields, TRANSFORMER)
    assert (own, lying) == ({"served": "EL84 EZ80", "power": 5.0}, {"count": 3, "condition": "new"})


@given(st.text(max_size=80))
def test_any_text_has_readings_of_known_families_or_none(text: str) -> None:
    """Never a fault of the program's own."""
    assert {reading.family for reading in readings_of(text)} <= set(names())


def test_megohms_or_microfarads_of_a_watt_rating_are_told() -> None:
    """1MF is 1 µF on old capacitors; beside watts it may be 1 MΩ ±1 %, or a control, and the doubt says so."""
    found = readings_of("1MF 3W")
    assert {reading.family for reading in found} == {"resistor", "potentiometer"}
    assert not any(reading.sure for reading in found)
    assert any("else it is 1 µF" in note for reading in found for note in reading.notes)
    assert [reading.family for reading in readings_of("1MF 350V")] == ["capacitor"]


@pytest.mark.parametrize("text", ["100uH", "2.5 mH"])
def test_microhenries_alone_are_a_coils(text: str) -> None:
    """A capacitor of tolerance H has volts beside it."""
    assert [reading.family for reading in readings_of(text)] == ["coil"]


@pytest.mark.parametrize(("text", "henries"), [("10 h 100 ma", 10.0), ("10h/60mA", 10.0), ("5000 h", None)])
def test_h_is_henries_of_a_choke_and_hours_of_an_electrolytic(text: str, henries: float | None) -> None:
    """No choke has hundreds of henries (common practice, no source)."""
    found = readings_of(text, "choke")
    assert [reading.fields.get("inductance") for reading in found] == ([henries] if henries else [])


@pytest.mark.parametrize(
    ("text", "family"),
    [
        ("Feldspule 1500 Ohm 60 mA", "choke"),
        ("Erregerspule 1200 Ohm", "choke"),
        ("Lautsprecher 4 Ohm permanentdynamisch, ohne Feldspule", "loudspeaker"),
        ("Lautsprecher 4 Ohm, Feldspule 1500 Ohm", "loudspeaker"),
        ("loudspeaker 3 ohm 8 in, field coil 1200 ohm", "loudspeaker"),
        ("3 ohm 8 in, field coil", "loudspeaker"),
    ],
)
def test_a_field_coil_of_which_the_loudspeaker_is_named_is_part_of_it(text: str, family: str) -> None:
    """The ohms of a voice coil are no copper that a rail runs through."""
    assert {reading.family for reading in readings_of(text)} == {family}
