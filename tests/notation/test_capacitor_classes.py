"""x2 on a capacitor: a class has to be earned by AC volts or capitals; what could be either is read both ways."""

from __future__ import annotations

import pytest

from partsbin.notation.capacitor import read_capacitor
from partsbin.notation.capacitor_classes import class_or_count
from partsbin.notation.reading import Reading


def only(text: str) -> Reading:
    """The one reading of a text."""
    (reading,) = read_capacitor(text)
    return reading


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("100n 630V film x2", 2),
        ("x2 100n 630V polyester", 2),
        ("100nF 250V film, x2 pcs", 2),
        ("4n7 1kV ceramic x2", 2),
        ("100nF 250V film x 2", 2),
        ("100nF 250V~ film x 2 pcs", 2),
        ("100n 400V film x10", 10),
        ("100n 63V film qty x3", 3),
        ("100uF 450V elko x2", 2),
        ("100UF 450V ELKO X2", 2),
    ],
)
def test_a_number_of_pieces_is_no_safety_class(text: str, count: int) -> None:
    """Two pieces of a DC part must not pass across the mains."""
    fields = only(text).fields
    assert fields["count"] == count
    assert "safety_class" not in fields


@pytest.mark.parametrize(
    "text",
    ["100n 275vac x2", "0.1uF X2 275V", "X2 220n 275V~", "100n 275 V~ x2", "100n film X2", "100n X2 275VAC, 5 pcs"],
)
def test_a_class_with_ac_volts_or_in_capitals_is_one(text: str) -> None:
    """As approvals are printed."""
    assert only(text).fields["safety_class"] == "X2"


@pytest.mark.parametrize(
    "text",
    [
        "100n 275VAC film x2 (count)",
        "100n 275V~ x2 pcs",
        "100n 275V x2 film",
        "0.1uF 400V x2",
        "100n x2",
        "100n 630V X2",
    ],
)
def test_what_could_be_either_is_read_both_ways(text: str) -> None:
    """The class, and two pieces without it; neither is sure, and both say so."""
    readings = read_capacitor(text)
    assert {reading.fields.get("safety_class") for reading in readings} == {"X2", None}
    assert {reading.fields.get("count") for reading in readings} == {2, None}
    assert not any(reading.sure for reading in readings)
    assert all("may be a safety class or a number of pieces" in " ".join(reading.notes) for reading in readings)


def test_two_in_series_are_two() -> None:
    """The word for the joining needs the number."""
    assert only("100uF 350V x2 in series").fields["series"] == 2


@pytest.mark.parametrize(
    "text", ["18 x 2 mm 10n 400V", "10n 400V 18 mm x 2 mm", "4n7 X1/Y2", "2 x2u2 film", "470n 100V"]
)
def test_other_crosses_are_left_alone(text: str) -> None:
    """Sizes, joined classes and a leading number are no question of class or count."""
    assert [way.text for way in class_or_count(text)] == [text]


@pytest.mark.parametrize("text", ["4n7 Y2 1kV", "4n7 Y2 630V", "100n X2 275V 630V"])
def test_bare_volts_above_500_beside_a_class_are_not_ac(text: str) -> None:
    """They are DC or a test voltage: no approval is given for so much."""
    reading = only(text)
    assert reading.fields.get("voltage_ac", 0.0) in (0.0, 275.0)
    assert "is no AC rating of a safety class" in " ".join(reading.notes)


@pytest.mark.parametrize(
    ("text", "volts"),
    [
        ("472M X1 400~ Y2 125~", 125.0),
        ("X1 400V~ Y2 150", 150.0),
        ("2n2 X1 400V~ Y2 250V~", 250.0),
        ("2n2 X1Y2 400/250V~", 250.0),
    ],
)
def test_of_two_approvals_the_lower_volts_count(text: str, volts: float) -> None:
    """The part bears no more than that where the stricter class is wanted; the note names the other."""
    reading = only(text)
    assert reading.fields["voltage_ac"] == volts
    assert "several AC ratings, the lowest taken: 400 V" in " ".join(reading.notes)


def test_a_number_left_over_on_a_class_part_is_not_sure() -> None:
    """It may be the volts of the stricter class."""
    assert not only("2n2 X1 400V~ Y2 17").sure
    assert not only("X1 400V~ Y2 150").sure
