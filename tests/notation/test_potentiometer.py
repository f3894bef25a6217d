"""Descriptions of potentiometers: one sure reading, several with the reason, or none."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.families import load
from partsbin.notation.potentiometer import LAWS, read_potentiometer
from partsbin.notation.potentiometer_words import POTENTIOMETER
from partsbin.notation.scan import phrase_key, scan
from partsbin.notation.vocabulary import CONDITION

SURE: list[tuple[str, dict[str, Any]]] = [
    ("250k log DP sw", {"resistance": 250e3, "taper": "log", "switch_poles": 2}),
    ("250K(70K-tap)", {"resistance": 250e3, "taps": [{"ratio": 0.28}]}),
    ("2M log tap at 20% SP switch", {"resistance": 2e6, "taper": "log", "switch_poles": 1, "taps": [{"ratio": 0.2}]}),
    ("pot 500k tapped", {"resistance": 500e3, "taps": [{}]}),
    ("3M RA", {"resistance": 3e6, "taper": "antilog"}),
    (
        "2x 250k lin SP sw 1/4in shaft long",
        {"resistance": 250e3, "taper": "linear", "switch_poles": 1, "shaft_diameter": 0.00635, "count": 2},
    ),
    ("Poti 1M log m. Schalter 2pol", {"resistance": 1e6, "taper": "log", "switch_poles": 2}),
    ("Drehpoti 250 kOhm positiv logarithmisch ohne Schalter", {"resistance": 250e3, "taper": "log", "switch_poles": 0}),
    ("dual 100k log", {"resistance": 100e3, "taper": "log", "gangs": 2}),
    ("tandem 50k lin", {"resistance": 50e3, "taper": "linear", "gangs": 2}),
    ("500k/500k log", {"resistance": 500e3, "taper": "log", "gangs": 2}),
    ("stereo pot 2x 100k lin", {"resistance": 100e3, "taper": "linear", "gangs": 2, "count": 2}),
    ("w/w 100R hum", {"resistance": 100.0, "track": "wirewound"}),
    ("trimmer 10k", {"resistance": 10e3}),
    ("10k cermet preset 0.5W", {"resistance": 10e3, "track": "cermet", "power": 0.5}),
    ("1/2 Meg log", {"resistance": 500e3, "taper": "log"}),
    ("1M log DPST 2A 250V~", {"resistance": 1e6, "taper": "log", "switch_poles": 2, "switch_current": 2.0, "switch_voltage_ac": 250.0}),
    ("1M log DPST 1A 16V DC", {"resistance": 1e6, "taper": "log", "switch_poles": 2, "switch_current": 1.0, "switch_voltage_dc": 16.0}),
    (
        "1M log with double pole mains switch 4A 250V AC",
        {"resistance": 1e6, "taper": "log", "switch_poles": 2, "switch_current": 4.0, "switch_voltage_ac": 250.0},
    ),
    ("250k log push-pull sw", {"resistance": 250e3, "taper": "log", "switch_action": "push-pull"}),
    ("500k lin spline", {"resistance": 500e3, "taper": "linear", "shaft_style": "spline"}),
    ("500k lin D-shaft 6mm", {"resistance": 500e3, "taper": "linear", "shaft_style": "flat", "shaft_diameter": 0.006}),
    (
        "1M log plastic spindle 6 x 45 mm bush 10 mm",
        {"resistance": 1e6, "taper": "log", "insulated_shaft": True, "shaft_diameter": 0.006, "shaft_length": 0.045,
         "bush_diameter": 0.01},
    ),
    ("1M log bush 10 mm spindle 6 mm long 20 mm",
     {"resistance": 1e6, "taper": "log", "bush_diameter": 0.01, "shaft_diameter": 0.006, "shaft_length": 0.02}),
    ("10 mm bush 6 mm shaft 1M lin", {"resistance": 1e6, "taper": "linear", "bush_diameter": 0.01, "shaft_diameter": 0.006}),
    ("5k wirewound 3W pot M10 bush", {"resistance": 5e3, "track": "wirewound", "power": 3.0, "bush_diameter": 0.01}),
    ("100k lin ±20% 350V", {"resistance": 100e3, "taper": "linear", "tolerance": 0.2, "voltage_limit": 350.0}),
    ("25k lin preset rheostat", {"resistance": 25e3, "taper": "linear", "wired": "rheostat"}),
    ("A500K log", {"resistance": 500e3, "taper": "log"}),
    ("used 1M log pot", {"resistance": 1e6, "taper": "log", "condition": "salvaged"}),
    ("6.35 mm pot 1M lin", {"resistance": 1e6, "taper": "linear", "shaft_diameter": 0.00635}),
    ("Drehpotentiometer, 10 kOhm, linear, 4 mm", {"resistance": 10e3, "taper": "linear", "shaft_diameter": 0.004}),
    ("Drehpotentiometer, Stereo, 100 kOhm, 4mm, linear",
     {"resistance": 100e3, "taper": "linear", "shaft_diameter": 0.004, "gangs": 2}),
]  # fmt: skip


@pytest.mark.parametrize(("text", "fields"), SURE, ids=[text for text, _ in SURE])
def test_a_plain_description_has_one_sure_reading(text: str, fields: dict[str, Any]) -> None:
    """All of it is understood, nothing is added."""
    (reading,) = read_potentiometer(text)
    assert reading.sure, reading.notes
    assert (reading.fields, reading.rest) == (fields, "")


SEVERAL = [
    ("A500K", 500e3, ["log", "linear"]),
    ("500KA", 500e3, ["log", "linear"]),
    ("1MA", 1e6, ["log", "linear"]),
    ("B100K", 100e3, ["linear", "log", "antilog"]),
    ("25kB", 25e3, ["linear", "log", "antilog"]),
    ("100KC pot", 100e3, ["antilog"]),
    ("pot 500k A taper", 500e3, ["log", "linear"]),
]


@pytest.mark.parametrize(("text", "ohms", "laws"), SEVERAL)
def test_a_letter_for_the_law_has_every_meaning_it_has_had(text: str, ohms: float, laws: list[str]) -> None:
    """None of them sure, each with who means it so."""
    found = read_potentiometer(text)
    assert [reading.fields["taper"] for reading in found] == laws
    assert {reading.fields["resistance"] for reading in found} == {ohms}
    assert all(not reading.sure and "as the letter for the law" in reading.notes[-1] for reading in found)


def test_two_times_without_a_blank_is_two_or_one_with_two_gangs() -> None:
    """Both readings, with the reason."""
    found = read_potentiometer("2x250k lin")
    assert [(reading.fields.get("count"), reading.fields.get("gangs")) for reading in found] == [(2, None), (None, 2)]
    assert {reading.notes[-1] for reading in found} == {"'2x' is two of them or one with two gangs"}


UNSURE = [
    ("500k log linear", "the words disagree on the law"),
    ("1M log sw 16V", "16 V is taken as DC: so few volts are a battery's"),
    ("500k 250k log", "several values: the first is taken"),
    ("250k log 400k tap", "a tap that is not inside the track"),
    ("C500K lin", "letter C and the word linear disagree: the word is taken"),
    ("100k lin 2A", "amperes, and no switch: not understood"),
    ("100k lin 0.5 W 2 W", "several powers: the smallest is taken"),
]


@pytest.mark.parametrize(("text", "note"), UNSURE)
def test_a_contradiction_is_said_and_makes_the_reading_unsure(text: str, note: str) -> None:
    """Nothing is decided in silence."""
    (reading,) = read_potentiometer(text)
    assert not reading.sure
    assert note in reading.notes


def test_beside_a_switch_the_volts_next_to_the_amperes_are_the_switchs() -> None:
    """The others are the track's limit."""
    (reading,) = read_potentiometer("1M log 350V DPST 2A 250V")
    assert (reading.fields["switch_voltage_ac"], reading.fields["voltage_limit"]) == (250.0, 350.0)


def test_a_switch_without_a_word_on_its_poles_is_kept_and_said() -> None:
    """Its poles stay unknown: they are never guessed."""
    (reading,) = read_potentiometer("1M log sw")
    assert reading.fields == {"resistance": 1e6, "taper": "log", "switch_action": "rotary"}
    assert "unknown poles" in reading.notes[0]


@pytest.mark.parametrize("text", ["470k", "500k", "1M 20%"])
def test_ohms_alone_are_a_potentiometer_only_where_that_is_said(text: str) -> None:
    """They are marked as bare, so that they do not stand beside a resistor's reading."""
    (reading,) = read_potentiometer(text)
    assert reading.bare


@pytest.mark.parametrize(
    "text",
    [
        "",
        "preset",
        "trimmer 30pF",
        "DPST 2A 250V",
        "0.1uF 350V",
        "capacitor 500k log",
        "64KB ram",
        "EL84",
        "5k2:3 ohm transformer",
    ],
)
def test_a_text_on_something_else_has_no_reading_with_fields(text: str) -> None:
    """Other families answer for it."""
    assert [reading for reading in read_potentiometer(text) if reading.fields] == []


def test_every_word_can_be_found_and_conditions_mean_what_they_mean_elsewhere() -> None:
    """Each phrase, scanned, comes out as one word with its own meaning."""
    for phrase, meaning in POTENTIOMETER.items():
        assert [(piece.kind, piece.meaning) for piece in scan(phrase, POTENTIOMETER)] == [("word", meaning)], phrase
        assert phrase == phrase_key(phrase)
    assert CONDITION.items() <= POTENTIOMETER.items()


TITLED = st.fixed_dictionaries(
    {"resistance": st.sampled_from((100.0, 10e3, 250e3, 1e6)), "taper": st.sampled_from(("linear", "log", "antilog"))},
    optional={
        "track": st.sampled_from(("carbon", "cermet", "wirewound", "conductive-plastic")),
        "tolerance": st.sampled_from((0.1, 0.2)), "power": st.sampled_from((0.1, 0.25, 2.0)),
        "voltage_limit": st.sampled_from((50.0, 350.0)), "gangs": st.sampled_from((2, 3)),
        "taps": st.just([{"ratio": 0.2}]), "switch_poles": st.sampled_from((1, 2)),
        "shaft_diameter": st.sampled_from((0.006, 0.00635)), "shaft_style": st.sampled_from(("flat", "spline", "round", "slotted")),
        "insulated_shaft": st.booleans(), "bush_diameter": st.sampled_from((0.007, 0.01)),
    },
)  # fmt: skip
RATED = st.sampled_from(
    ({}, {"switch_voltage_ac": 250.0, "switch_current": 2.0}, {"switch_voltage_dc": 16.0, "switch_current": 1.0})
)


@given(TITLED, RATED)
def test_a_title_is_read_back_as_what_it_was_made_from(facts: dict[str, Any], rated: dict[str, float]) -> None:
    """The trade's way of writing round-trips."""
    family = load("potentiometer")
    marked = {**facts, **(rated if facts.get("switch_poles") else {})}
    text = family.title(family.facts.model_validate(marked))
    (reading,) = read_potentiometer(text)
    assert reading.sure, (text, reading.notes)
    assert family.facts.model_validate(reading.fields) == family.facts.model_validate(marked), text


@given(st.sampled_from(sorted(LAWS)), st.sampled_from(("1M", "470k", "25K", "2M2", "4k7")), st.booleans())
def test_a_letter_never_gives_a_sure_law(letter: str, value: str, front: bool) -> None:
    """In front or behind, whatever the value."""
    found = read_potentiometer(f"{letter}{value} pot" if front else f"{value}{letter} pot")
    assert found
    assert not any(reading.sure for reading in found)


@given(st.text(max_size=60))
def test_no_text_breaks_the_reader(text: str) -> None:
    """Whatever stands in a list."""
    for reading in read_potentiometer(text):
        assert reading.family == "potentiometer"


@pytest.mark.parametrize("text", ["500k loudness control tapped at 100k and 250k", "500k log tapped at 100k, 250k"])
def test_a_second_tap_is_one_too(text: str) -> None:
    """Loudness controls have two (by hand: 100/500 and 250/500)."""
    (reading,) = read_potentiometer(text)
    assert reading.fields["taps"] == [{"ratio": 0.2}, {"ratio": 0.5}]
