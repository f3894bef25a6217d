"""Colours in descriptions: which scheme the words choose, rows of dots, and lists that belong to a resistor."""

from __future__ import annotations

import pytest

from partsbin.notation.capacitor import read_capacitor
from partsbin.notation.colour_capacitors import find_colours
from partsbin.notation.reading import Reading
from tests.expected import by_hand, published


def only(text: str) -> Reading:
    """The one reading of a text."""
    (reading,) = read_capacitor(text)
    return reading


@pytest.mark.parametrize(
    ("text", "scheme"),
    [
        ("dots red violet yellow / silver blue red", "6 dots of RMA"),
        ("moulded mica 3 dots red green black", "3 dots of RMA"),
        ("dots silver red red / red silver orange", "6 dots of AWS"),
        ("moulded paper bands red red orange silver yellow", "moulded paper"),
        ("paper tubular brown black orange silver brown black", "moulded paper"),
        ("ceramic tubular violet yellow violet brown white", "tubular ceramics"),
        ("tantalum bead yellow violet white pink", "tantalum bead"),
        ("polyester stripes brown black yellow white red", "dipped polyester"),
    ],
)
def test_the_words_choose_the_scheme_and_the_notes_name_it(text: str, scheme: str) -> None:
    """One reading each."""
    assert scheme in only(text).notes[0]


def test_rma_rows_are_read_round_the_edge() -> None:
    """Below, from the right: noughts, tolerance, volts."""
    fields = only("dots red violet yellow / silver blue red").fields
    assert fields["capacitance"] == by_hand(27400e-12, "274 x 100 pF", of=read_capacitor)
    assert fields["tolerance"] == by_hand(0.06, "blue: digit 6 in per cent", of=read_capacitor)
    assert fields["voltage_dc"] == published(2000.0, "vcomp", of=read_capacitor, where="silver")


def test_schemes_that_differ_give_several_readings_none_sure() -> None:
    """51 pF and 500 V to one reader, 051 pF and 200 V to another."""
    first, second = read_capacitor("mica dots black green brown / red yellow black")
    assert first.fields["voltage_dc"] == published(500.0, "arc5c", of=read_capacitor, where="one reader")
    assert second.fields["voltage_dc"] == published(200.0, "arc5c", of=read_capacitor, where="another reader")
    assert not first.sure
    assert not second.sure


def test_six_dots_in_one_row_may_lie_either_way() -> None:
    """Row by row, or once round the edge."""
    readings = read_capacitor("moulded mica dots white red green brown silver red")
    assert [reading.fields["capacitance"] for reading in readings] == [
        by_hand(2500e-12, "25 x 100 pF, red last", of=read_capacitor),
        by_hand(250e-12, "25 x 10 pF, brown before the tolerance", of=read_capacitor),
    ]


@pytest.mark.parametrize(
    "text", ["mica dots white red green / brown silver red", "mica dots upper white red green lower brown silver red"]
)
def test_rows_are_told_by_a_stroke_or_a_word(text: str) -> None:
    """One reading, and it is sure."""
    reading = only(text)
    assert reading.fields["capacitance"] == by_hand(2500e-12, "25 x 100 pF", of=read_capacitor)
    assert reading.sure


def test_dots_that_only_fit_upside_down_are_read_so() -> None:
    """The same part held the wrong way up, which the notes say."""
    reading = only("mica dots red silver brown / green red white")
    assert reading.fields["capacitance"] == by_hand(2500e-12, "25 x 100 pF", of=read_capacitor)
    assert "read upside down" in reading.notes


def test_three_dots_without_a_word_for_the_body_are_not_sure() -> None:
    """A ceramic with three dots has no 500 V."""
    assert not only("dots red green black").sure


def test_volts_in_the_text_go_before_those_of_the_colours() -> None:
    """And the difference is noted."""
    reading = only("mica dots white red green / brown silver red 300V used")
    assert reading.fields["voltage_dc"] == 300.0
    assert reading.fields["condition"] == "salvaged"
    assert not reading.sure


@pytest.mark.parametrize("text", ["mica dots red green black 25pF", "mica dots red green black 250pF"])
def test_a_value_in_the_text_has_to_agree(text: str) -> None:
    """Where it does not, the reading is not sure."""
    assert only(text).sure == (" 25pF" in text)


def test_the_words_and_the_colours_may_contradict_each_other() -> None:
    """Silver first says paper."""
    reading = only("silver mica dots silver red red / red silver orange")
    assert "the colours say paper-moulded, the words mica" in reading.notes


def test_an_abbreviation_of_two_colours_is_read_both_ways() -> None:
    """bl is blue or black."""
    readings = read_capacitor("mica dots bl green black / red green black")
    assert len(readings) > 1
    assert all("abbreviates more than one colour" in " ".join(reading.notes) for reading in readings)


@pytest.mark.parametrize("text", ["mica dots red green black orange", "dots gold red red", "tantalum red red red red"])
def test_colours_of_no_scheme_are_said_to_be_so(text: str) -> None:
    """No value is guessed."""
    reading = only(text)
    assert "capacitance" not in reading.fields
    assert "no scheme of capacitors has these colours so" in " ".join(reading.notes)


@pytest.mark.parametrize(
    "text",
    [
        "red violet yellow silver",
        "brown black orange gold 1/2W carbon",
        "body red tip violet dot yellow",
        "silver mica 100pF 500V",
        "wire red green black",
        "knob moulded red green black",
        "red green mica",
    ],
)
def test_other_colours_are_left_alone(text: str) -> None:
    """A resistor's bands, wires, and silver that is the mica's own."""
    assert find_colours(text) is None
