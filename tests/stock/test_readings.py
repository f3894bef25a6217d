"""Measurements as they are written down."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.errors import UsageError
from partsbin.families import load
from partsbin.notation.writing import format_quantity
from partsbin.stock.readings import BOUND_SPAN, USUAL_METER, read_measurement, read_measurements

WRITTEN = [
    ("capacitor", "capacitance=22.0uF±1%", "capacitance", 22e-6, 0.22e-6, {}),
    ("capacitor", "capacitance = 22 µF +/- 0.2 µF", "capacitance", 22e-6, 0.2e-6, {}),
    ("capacitor", "capacitance@2=7.6uF±1%", "capacitance@2", 7.6e-6, 0.076e-6, {}),
    ("capacitor", "capacitance@02=7.6uF±1%", "capacitance@2", 7.6e-6, 0.076e-6, {}),
    ("capacitor", "leakage=12uA±5%@350V", "leakage", 12e-6, 0.6e-6, {"volts": 350.0}),
    ("transformer", "insulation=50M±10%@500V", "insulation", 50e6, 5e6, {"volts": 500.0}),
    ("transformer", "ratio=230V:5.1V±1%", "ratio", 230 / 5.1, 2.3 / 5.1, {}),
    ("transformer", "Ratio = 45.1:1 ± 0.5", "ratio", 45.1, 0.5, {}),
    ("transformer", "primary_resistance=380±2", "primary_resistance", 380.0, 2.0, {}),
]


@pytest.mark.parametrize(("family", "text", "quantity", "value", "half_width", "conditions"), WRITTEN)
def test_a_measurement_is_read(
    family: str, text: str, quantity: str, value: float, half_width: float, conditions: dict[str, float]
) -> None:
    """Into SI, with its half-width, its section or winding pair, and the volts at which it was taken."""
    read = read_measurement(load(family), text)
    assert (read.quantity, read.conditions) == (quantity, conditions)
    assert (read.value, read.uncertainty) == pytest.approx((value, half_width), rel=1e-9)


METERS = [
    ("capacitor", "capacitance=22uF", USUAL_METER),
    ("transformer", "ratio=45.1", USUAL_METER),
    ("transformer", "ratio=230V:5.1V", 2 * USUAL_METER),
]


@pytest.mark.parametrize(("family", "text", "share"), METERS)
def test_without_an_uncertainty_an_ordinary_meter_is_taken(family: str, text: str, share: float) -> None:
    """Two per cent; where two voltages were read, their errors add."""
    read = read_measurement(load(family), text)
    assert read.uncertainty == pytest.approx(share * read.value)


def test_the_unit_is_that_of_the_quantity() -> None:
    """As the family declares it."""
    assert read_measurement(load("transformer"), "primary_resistance=0.38k").unit == "ohm"


def test_several_measurements_stand_between_semicolons() -> None:
    """Or on lines of their own; empty ones count for nothing."""
    read = read_measurements(load("capacitor"), "capacitance@1=8uF; capacitance@2=7.6uF;\nleakage@1=40uA@350V;")
    assert [r.quantity for r in read] == ["capacitance@1", "capacitance@2", "leakage@1"]


REFUSED = [
    ("capacitor", "capacitance", "'capacitance' is not NAME=VALUE with a quantity of a capacitor"),
    ("capacitor", "esr=3", "'esr=3' is not NAME=VALUE with a quantity of a capacitor"),
    ("capacitor", "capacitance=3 bananas", "'capacitance=3 bananas': 'bananas' in '3 bananas' is not understood"),
    ("capacitor", "capacitance=12V", "'capacitance=12V': '12V' is in V: expected F"),
    ("capacitor", "leakage=12uA@350mA", "'leakage=12uA@350mA': '350mA' is in A: expected V"),
    ("capacitor", "leakage=0uA@250V", "'leakage=0uA@250V': expected a value above zero"),
    ("capacitor", "capacitance=0.022", "'capacitance=0.022': '0.022' has no unit"),
    ("capacitor", "capacitance=2.2e-08", "'capacitance=2.2e-08': '2.2e-08' has no unit"),
    ("capacitor", "leakage=5@250V", "'leakage=5@250V': '5' has no unit"),
    ("transformer", "insulation=200@500V", "'insulation=200@500V': '200' has no unit"),
    ("transformer", "primary_inductance=9", "'primary_inductance=9': '9' has no unit"),
    ("capacitor", "leakage=5uA", "'leakage=5uA': leakage says nothing without the volts it was read at"),
    ("capacitor", "insulation=20M", "'insulation=20M': insulation says nothing without the volts it was read at"),
    ("capacitor", "capacitance=over 22nF", "'capacitance=over 22nF': 'over 22nF' is a bound: expected the capacitance"),
    ("transformer", "insulation=over 200M±-1%", "'insulation=over 200M±-1%': expected an uncertainty below the value"),
    ("transformer", "leakage=1uA@500V", "'leakage=1uA@500V' is not NAME=VALUE with a quantity of a transformer"),
    ("capacitor", "leakage=12uA@0V", "'leakage=12uA@0V': expected a value above zero"),
    ("transformer", "ratio=-3", "'ratio=-3': expected a value above zero"),
    ("transformer", "ratio=230V:0V", "'ratio=230V:0V': '230V:0V': expected two values above zero"),
    ("capacitor", "capacitance@0=8u", "'capacitance@0=8u': '0' is no number of a section or winding pair"),
    ("capacitor", "capacitance@two=8u", "'capacitance@two=8u': 'two' is no number of a section or winding pair"),
    ("capacitor", "capacitance@²=8u", "'capacitance@²=8u': '²' is no number of a section or winding pair"),
    ("capacitor", "capacitance=1u±200%", "'capacitance=1u±200%': expected an uncertainty below the value itself"),
    ("capacitor", "capacitance=1u±-1%", "'capacitance=1u±-1%': expected an uncertainty below the value itself"),
]


@pytest.mark.parametrize(("family", "text", "fault"), REFUSED)
def test_a_measurement_that_cannot_be_is_refused(family: str, text: str, fault: str) -> None:
    """Quoted whole, with what was expected."""
    with pytest.raises(UsageError, match=f"^{re.escape(fault)}"):
        read_measurement(load(family), text)


HINTS = [
    ("capacitance=0.022", "write it out: capacitance=22nF or 0.022uF"),
    ("leakage=5@250V", "write it out: leakage=5uA"),
    ("leakage=5uA", "leakage=5uA@250V"),
    ("insulation=20M", "insulation=20M@250V"),
    ("leakage=0uA@250V", "a meter that shows none: leakage=<0.1uA@250V"),
]


@pytest.mark.parametrize(("text", "hint"), HINTS)
def test_the_hint_shows_how_it_is_written(text: str, hint: str) -> None:
    """With the unit and the volts that were missing."""
    with pytest.raises(UsageError, match=text.partition("=")[0]) as caught:
        read_measurement(load("capacitor"), text)
    assert caught.value.hint == hint


def ends(text: str, family: str = "capacitor") -> tuple[float, float]:
    """Return the lowest and the highest value that a reading leaves open."""
    read = read_measurement(load(family), text)
    return read.value - read.uncertainty, read.value + read.uncertainty


@pytest.mark.parametrize("text", ["insulation=20M±10%@250V", "Insulation = 20 MΩ ± 2M at 250 V"])
def test_the_insulation_of_a_capacitor_is_its_leakage(text: str) -> None:
    """18 to 22 megohm at 250 V let through 250 / 22e6 = 11.36 to 250 / 18e6 = 13.89 microampere."""
    read = read_measurement(load("capacitor"), text)
    assert (read.quantity, read.unit, read.conditions) == ("leakage", "A", {"volts": 250.0})
    assert ends(text) == pytest.approx((11.3636e-6, 13.8889e-6), rel=1e-4)


def test_the_insulation_of_a_section_stays_that_of_the_section() -> None:
    """A can has as many leakages as sections."""
    assert read_measurement(load("capacitor"), "insulation@2=20M@250V").quantity == "leakage@2"


@pytest.mark.parametrize("text", ["over 200M", ">200M", "> 200 MΩ", ">=200M", "≥200M", "more than 200M", "über 200M"])
def test_more_than_the_meter_shows_is_a_lower_bound(text: str) -> None:
    """The bound itself comes back exactly, so that a wall at 200 megohm holds it; how far beyond is not known."""
    low, high = ends(f"insulation={text}@500V", "transformer")
    assert (low, high) == (200e6, 200e6 * BOUND_SPAN)
    assert ends(f"insulation={text}@500V")[1] == pytest.approx(500 / 200e6)


@pytest.mark.parametrize("text", ["leakage=<1uA@250V", "leakage = under 1 uA @ 250V", "leakage<1uA@250V"])
def test_less_than_the_meter_shows_is_an_upper_bound(text: str) -> None:
    """At most one microampere."""
    assert ends(text) == pytest.approx((1e-6 / BOUND_SPAN, 1e-6))


def test_a_sign_may_stand_for_the_sign_of_equality() -> None:
    """As people write it."""
    assert ends("insulation > 200M @ 500V", "transformer")[0] == 200e6


def test_the_doubt_of_a_bound_counts_against_the_part() -> None:
    """Over 200 megohm by a meter of ten per cent is over 180."""
    assert ends("insulation=over 200M±10%@500V", "transformer")[0] == pytest.approx(180e6)


def test_ohms_and_ratios_need_no_unit() -> None:
    """Nobody reads copper in anything else."""
    assert read_measurement(load("transformer"), "primary_resistance=380").value == 380.0


def test_the_hint_names_what_can_be_measured() -> None:
    """The quantities of the family, no others."""
    with pytest.raises(UsageError, match="esr") as caught:
        read_measurement(load("capacitor"), "esr=3")
    assert caught.value.hint == "known: capacitance, leakage"


@given(st.integers(1, 9999), st.integers(-12, -4), st.integers(1, 99))
def test_a_value_that_was_written_is_read_back(digits: int, power: int, percent: int) -> None:
    """Up to four digits, at any size, with any uncertainty in per cent."""
    value = digits * 10.0**power / 1000
    read = read_measurement(load("capacitor"), f"capacitance={format_quantity(value, 'F')}±{percent}%")
    assert (read.value, read.uncertainty) == pytest.approx((value, value * percent / 100), rel=1e-9)


@given(st.text(max_size=40), st.sampled_from(["capacitance=", "leakage@1=", "insulation=>", "", "capacitance@"]))
def test_any_text_is_read_or_refused_in_words(text: str, before: str) -> None:
    """What is read lies above zero, with an uncertainty below it."""
    try:
        read = read_measurement(load("capacitor"), before + text)
    except UsageError:
        return
    assert 0 <= read.uncertainty < read.value
