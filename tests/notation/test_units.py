"""Units: factors against an independent package, spellings each in its own unit."""

from __future__ import annotations

from decimal import Decimal

import pint
import pytest

from partsbin.notation.quantity import read_quantity
from partsbin.notation.text import normalise
from partsbin.notation.units import CENTIMETRE_OF_CAPACITANCE, SI_UNITS, SPELLINGS, exact, match_unit
from tests.expected import by_hand

REGISTRY = pint.UnitRegistry(non_int_type=Decimal)
PINT_NAMES = {"ohm": "ohm", "°C": "kelvin", "m²": "m**2"}


@pytest.mark.parametrize(
    "text",
    [
        *(
            "1 pF",
            "1 nF",
            "1 µF",
            "1 F",
            "1 mohm",
            "1 ohm",
            "1 kohm",
            "1 Mohm",
            "1 Gohm",
            "1 uV",
            "1 mV",
            "1 V",
            "1 kV",
        ),
        *(
            "1 nA",
            "1 uA",
            "1 mA",
            "1 A",
            "1 mW",
            "1 W",
            "1 kW",
            "1 nH",
            "1 uH",
            "1 mH",
            "1 H",
            "1 Hz",
            "1 kHz",
            "1 MHz",
        ),
        *("1 mm", "1 cm", "1 in", "1 um", "1 mJ", "1 J", "1 ms", "1 us"),
    ],
)
def test_prefixes_have_the_factor_that_pint_gives_them(text: str) -> None:
    """Two independent tables agree on every prefix."""
    ours = read_quantity(text)
    theirs = REGISTRY.Quantity(Decimal(1), text.removeprefix("1 ")).to(PINT_NAMES.get(ours.unit, ours.unit)).magnitude
    assert ours.value == pytest.approx(theirs, rel=Decimal("1E-20"))


@pytest.mark.parametrize(("text", "unit"), [("1 sq in", "in**2"), ("1 cm²", "cm**2"), ("1 mm²", "mm**2")])
def test_areas_have_the_factor_that_pint_gives_them(text: str, unit: str) -> None:
    """Square units too."""
    theirs = REGISTRY.Quantity(Decimal(1), unit).to("m**2").magnitude
    assert read_quantity(text).value == pytest.approx(theirs, rel=Decimal("1E-20"))


def test_the_old_centimetre_of_capacitance_is_what_the_speed_of_light_gives() -> None:
    """1 cm is 1 / (c² × 10⁻⁹) farads in CGS figures."""
    assert float(CENTIMETRE_OF_CAPACITANCE) == by_hand(1.11265e-12, "1 / (0.898755179 × 10^12)", of=exact, rel=1e-5)


def test_every_spelling_is_in_a_known_unit() -> None:
    """No unit outside the list."""
    assert {spelling.unit for spelling in SPELLINGS} <= set(SI_UNITS)


@pytest.mark.parametrize(
    ("text", "unit", "detail"),
    [
        ("VDC", "V", "dc"),
        ("V.D.C.", "V", "dc"),
        ("D.C. volts", "V", "dc"),
        ("v wkg", "V", "dc"),
        ("W.V.", "V", "dc"),
        ("WVDC", "V", "dc"),
        ("volts working", "V", "dc"),
        ("V=", "V", "dc"),
        ("V-", "V", "dc"),
        ("V~", "V", "ac"),
        ("VAC", "V", "ac"),
        ("V a.c.", "V", "ac"),
        ("V RMS", "V", "ac"),
        ("kV AC", "V", "ac"),
        ("volts", "V", ""),
        ("VA", "W", "va"),
        ("cm", "m", "cm"),
        ("c/s", "Hz", ""),
        ("meg", "ohm", ""),
        ("°C", "°C", ""),
    ],
)
def test_a_spelling_says_its_unit_and_whether_it_is_ac_or_dc(text: str, unit: str, detail: str) -> None:
    """The whole spelling is taken, with what it adds."""
    found = match_unit(normalise(text).text, 0)
    assert found is not None
    assert (found[0].unit, found[0].detail, found[1]) == (unit, detail, len(normalise(text).text))


@pytest.mark.parametrize("text", ["in series", "in parallel", "volume", "fish", "hello", "metal film"])
def test_words_that_begin_like_a_unit_are_none(text: str) -> None:
    """A unit ends where a word would go on; "in series" is no inch."""
    assert match_unit(text, 0) is None


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [("47 kilohms", 47e3, "ohm"), ("10 kpF", 10e-9, "F"), ("47k pF", 47e-9, "F"), ("0.1 Mikrofarad", 1e-7, "F")],
)
def test_thousands_spelt_out_are_thousands(text: str, value: float, unit: str) -> None:
    """By hand: a thousand ohms in a kilohm, a thousand picofarads in a kpF."""
    read = read_quantity(normalise(text).text)
    assert (float(read.value), read.unit) == (pytest.approx(value), unit)


def test_exact_takes_a_binary_number_as_it_prints() -> None:
    """2e-8 is 2 × 10⁻⁸, whatever its nearest binary fraction."""
    assert exact(2e-8) == Decimal("2E-8")
    assert exact(0.1) == Decimal("0.1")
